//! What is printed, before it is laid on any paper: the chosen lines and the words beside them, in the frame of the result.

use super::canvas::{Stands, Type};
use super::half::half;
use super::ink;
use super::wish::{Drawn, Part, PrintWish};
use super::words::Words;
use crate::bench::compass_sheet::compass_sheet;
use crate::bench::mould::mould_shapes;
use crate::bench::plate::plate_drawing;
use crate::bench::shapes::{Layer, Path, Shapes};
use crate::edge::CornerEnd;
use crate::edge::sides;
use crate::mould::Mould;
use crate::outline::{Bout, Side};
use crate::project::Project;
use crate::reconcile::report::Reconciled;
use kurbo::{Point, Rect, Vec2};

/// White around the drawing, mm.
const AROUND: f64 = 4.0;
/// Paper beyond the centreline of a half, mm: room to fold.
const BEYOND_THE_FOLD: f64 = 9.0;
const SMALL: Type = Type::plain(2.6);

/// A line of words beside the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Note {
    pub at: Point,
    /// Unit vector in which it is written.
    pub along: Vec2,
    pub stands: Stands,
    pub kind: Type,
    pub text: String,
}

impl Note {
    fn level(at: Point, stands: Stands, kind: Type, text: impl Into<String>) -> Self {
        Note { at, along: Vec2::new(1.0, 0.0), stands, kind, text: text.into() }
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub shapes: Shapes,
    pub notes: Vec<Note>,
    /// All of it, with some white around.
    pub bounds: Rect,
    /// The line that is cut to alone, for maps.
    pub line: Vec<Path>,
    /// Of the whole along the centreline, mm.
    pub length: f64,
    /// What is said of a half, and of what is not drawn; for every page.
    pub statements: Vec<String>,
    /// The layers that are on it, for the key.
    pub key: Vec<Drawn>,
    pub is_mould: bool,
}

impl Drawing {
    /// Whether a line of it passes through a part of it. The centreline and the fold go wherever the rest goes.
    pub fn has_anything_in(&self, part: Rect) -> bool {
        /// Nothing that matters is shorter, mm.
        const STEP: f64 = 1.0;
        let lines = self.shapes.0.iter().filter(|l| l.layer != Layer::Centreline);
        lines.flat_map(|l| &l.path.segments).any(|segment| {
            let b = segment.bounds();
            let apart = b.x0 > part.x1 || b.x1 < part.x0 || b.y0 > part.y1 || b.y1 < part.y0;
            !apart && {
                let count = (segment.length() / STEP).ceil().clamp(1.0, 5000.0) as usize;
                (0..=count).any(|k| part.contains(segment.at(k as f64 / count as f64)))
            }
        })
    }
}

/// A plate's drawing as asked for.
pub fn of_plate(project: &Project, result: &Reconciled, wish: &PrintWish, words: &Words) -> Drawing {
    let plate = plate_drawing(project, result);
    let mut drawing = chosen(&plate.shapes, Layer::Edge, wish);
    let extent = drawing.bounds.inflate(-AROUND, -AROUND);
    if let Some(refused) = &plate.button_refused {
        drawing.statements.push((words.button_refused)(&refused.to_string()));
    }
    if let Part::Half(side) = wish.part {
        drawing.statements.push(half_statement(side, result, words));
        drawing.notes.extend(fold_notes(extent, side, words));
    }
    let on_it = |at: Point| match wish.part {
        Part::Whole => true,
        Part::Half(side) => at.x * side.sign() > -1e-6,
    };
    if wish.drawn.has(Drawn::Corners) {
        let corners = result.edge.corners.iter().filter(|end| on_it(end.outer));
        drawing.notes.extend(corners.flat_map(|end| corner_notes(end, result.overhang.is_of_ribs(), words)));
    }
    if wish.drawn.has(Drawn::Centres) {
        drawing.notes.extend(centre_notes(project, result, extent).into_iter().filter(|n| on_it(n.at)));
        let off = centres_off(result, extent, on_it);
        if off > 0 {
            drawing.statements.push((words.centres_off)(off));
        }
    }
    for side in Side::BOTH {
        if wish.part == Part::Whole || wish.part == Part::Half(side) {
            let text = (words.side)(project.face.string_side(side));
            let (x, stands) = match side {
                Side::Left => (extent.x0, Stands::After),
                Side::Right => (extent.x1, Stands::Before),
            };
            for y in [extent.y1 - 3.0, extent.y0 + 1.0] {
                drawing.notes.push(Note::level(Point::new(x, y), stands, Type::plain(3.4), text));
            }
        }
    }
    if wish.drawn.has(Drawn::Centreline) {
        let stands = if wish.part == Part::Half(Side::Left) { Stands::Before } else { Stands::After };
        let beside = if stands == Stands::After { 1.5 } else { -1.5 };
        let at = Point::new(beside, extent.y1 + 1.2);
        drawing.notes.push(Note::level(at, stands, SMALL, words.neck_end));
    }
    drawing
}

/// A mould's drawing as asked for.
pub fn of_mould(mould: &Mould, wish: &PrintWish, words: &Words) -> Drawing {
    let mut drawing = chosen(&mould_shapes(mould), Layer::Mould, wish);
    drawing.is_mould = true;
    let extent = drawing.bounds.inflate(-AROUND, -AROUND);
    if let Part::Half(side) = wish.part {
        drawing.statements.push(words.half_same.to_owned());
        drawing.notes.extend(fold_notes(extent, side, words));
    }
    drawing
}

/// The chosen layers, the chosen half of them, and their bounds. Centres that lie off the plate are not drawn: they would
/// cost sheets, and the compass sheet tells where they are.
fn chosen(all: &Shapes, line: Layer, wish: &PrintWish) -> Drawing {
    let line = Shapes(all.0.iter().filter(|l| l.layer == line).cloned().collect());
    let wanted = |layer: Layer| ink::drawn(layer).is_some_and(|drawn| wish.drawn.has(drawn));
    let mut shapes = Shapes(all.0.iter().filter(|l| wanted(l.layer)).cloned().collect());
    // Where the edge itself is not wanted, the sheets are still laid out by it.
    let plate = line.bounds().unwrap_or_default();
    shapes
        .0
        .retain(|l| l.layer != Layer::Centres || l.path.bounds().is_some_and(|b| plate.contains(b.center())));
    let (shapes, line) = match wish.part {
        Part::Whole => (shapes, line),
        Part::Half(side) => (half(&shapes, side), half(&line, side)),
    };
    // The centreline goes on beyond the plate as far as there is paper; it costs none.
    let lines = shapes.0.iter().filter(|l| l.layer != Layer::Centreline);
    let mut bounds = lines.filter_map(|l| l.path.bounds()).fold(plate, |a, b| a.union(b));
    match wish.part {
        Part::Half(Side::Right) => bounds.x0 = AROUND - BEYOND_THE_FOLD,
        Part::Half(Side::Left) => bounds.x1 = BEYOND_THE_FOLD - AROUND,
        Part::Whole => {}
    }
    let has = |drawn: Drawn| shapes.0.iter().any(|l| ink::drawn(l.layer) == Some(drawn));
    let key = Drawn::ALL.into_iter().filter(|drawn| has(*drawn)).collect();
    Drawing {
        notes: Vec::new(),
        bounds: bounds.inflate(AROUND, AROUND),
        length: plate.height(),
        line: line.0.into_iter().map(|l| l.path).collect(),
        statements: Vec::new(),
        key,
        is_mould: false,
        shapes,
    }
}

fn half_statement(side: Side, result: &Reconciled, words: &Words) -> String {
    /// What nobody sees is not worth a word, mm.
    const SEEN: f64 = 0.05;
    let differ = sides::of_bouts(&result.edge.outline).map(|apart| apart.most);
    let by: Vec<(Bout, String)> = Bout::ALL
        .into_iter()
        .zip(differ)
        .filter(|(_, mm)| *mm >= SEEN)
        .map(|(bout, mm)| (bout, words.figure(mm, 1)))
        .collect();
    if by.is_empty() { words.half_same.to_owned() } else { (words.half_differs)(side, &by) }
}

/// Along the centreline, on the side that is only paper; away from its middle, where two sheets may be joined.
fn fold_notes(extent: Rect, side: Side, words: &Words) -> [Note; 2] {
    [0.27, 0.73].map(|t| {
        // Read from the right: on the left of the line the words stand on it, on its right they hang from it.
        let x = if side == Side::Right { -1.8 } else { 3.8 };
        let at = Point::new(x, extent.y0 + t * extent.height());
        let along = Vec2::new(0.0, 1.0);
        Note { at, along, stands: Stands::About, kind: SMALL, text: words.fold.to_owned() }
    })
}

/// In the hollow of the waist beside the corner, where nothing else is.
fn corner_notes(end: &CornerEnd, of_ribs: bool, words: &Words) -> Vec<Note> {
    let side = end.at.side();
    let tip = end.outer.midpoint(end.waist);
    let down = if end.at.bout() == Bout::Upper { -1.0 } else { 1.0 };
    let first = Point::new(tip.x, end.waist.y + 7.0 * down);
    let [upper, lower] = if down > 0.0 { [3.4, 0.0] } else { [0.0, -3.4] };
    let stands = match side {
        Side::Left => Stands::Before,
        Side::Right => Stands::After,
    };
    let beyond = first - Vec2::new(7.0 * side.sign(), 0.0);
    let reach = words.figure(end.beyond_ribs.abs(), 1);
    let [width, reach] = (words.corner)(&words.figure(end.width, 1), &reach, end.beyond_ribs < 0.0);
    let mut notes = vec![Note::level(beyond + Vec2::new(0.0, upper), stands, SMALL, width)];
    if of_ribs {
        notes.push(Note::level(beyond + Vec2::new(0.0, lower), stands, SMALL, reach));
    }
    notes
}

/// The number of each centre on the compass sheet; several where arcs share it.
fn centre_notes(project: &Project, result: &Reconciled, extent: Rect) -> Vec<Note> {
    let sheet = compass_sheet(&project.recipe, result, &project.bench_wish().compass);
    let mut places: Vec<(Point, Vec<usize>)> = Vec::new();
    for arc in &result.arcs {
        let strike = sheet.strikes.iter().find(|s| s.run == arc.run && s.piece == arc.piece);
        let Some(strike) = strike else { continue };
        match places.iter_mut().find(|(at, _)| at.distance(arc.arc.centre) < 1e-6) {
            Some((_, numbers)) => numbers.push(strike.number),
            None => places.push((arc.arc.centre, vec![strike.number])),
        }
    }
    places
        .into_iter()
        .filter(|(at, _)| extent.contains(*at))
        .map(|(at, mut numbers)| {
            numbers.sort_unstable();
            let text = numbers.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
            Note::level(at + Vec2::new(1.0, 0.8), Stands::After, SMALL, text)
        })
        .collect()
}

fn centres_off(result: &Reconciled, extent: Rect, on_it: impl Fn(Point) -> bool) -> usize {
    let mut off: Vec<Point> = Vec::new();
    for arc in &result.arcs {
        let at = arc.arc.centre;
        if on_it(at) && !extent.contains(at) && off.iter().all(|other| other.distance(at) > 1e-6) {
            off.push(at);
        }
    }
    off.len()
}
