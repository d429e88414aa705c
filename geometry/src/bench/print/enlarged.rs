//! The corners on a page of their own, enlarged: to see how they come out, and to set the ends of their cuts out by figures. Not
//! to be cut to.

use super::canvas::{Canvas, Page, Stands, Type};
use super::ink::{self, HAIR, RULE};
use super::strip::{Flow, Heading, SMALL, STRONG, TEXT, TITLE, key};
use super::wish::{Pages, Paper, Part, PrintWish};
use super::words::Words;
use crate::bench::plate::plate_drawing;
use crate::bench::shapes::{Layer, Path, Shapes};
use crate::edge::CornerEnd;
use crate::outline::{Bout, Side, StringSide};
use crate::project::Project;
use crate::reconcile::report::Reconciled;
use kurbo::{Affine, Point, Rect, Size, Vec2};

const HEAD: Type = Type::bold(6.0);
/// Side of the square in which a corner is drawn, where the paper has room for it, mm.
const PANEL: f64 = 88.0;
const GAP: f64 = 6.0;
/// What a square shows is to be so many times as wide as the widest cut: the flanks belong to a corner too.
const ROUND_IT: f64 = 3.0;
/// By how much corners are enlarged, at least and at most.
const TIMES: (f64, f64) = (2.0, 5.0);
/// Lines of words below a square.
const LINES: usize = 3;
/// What the heading takes, and what the bar, the key and the cautions take below, mm.
const ABOVE: f64 = 33.0;
const BELOW: f64 = 29.0;

/// The corners of a plate to be enlarged.
#[derive(Debug, Clone, PartialEq)]
pub struct Corners {
    shapes: Shapes,
    ends: Vec<(CornerEnd, StringSide)>,
    part: Part,
    /// Heights are from a pin rather than from the bottom.
    from_pin: bool,
    /// It is the ribs that were traced.
    of_ribs: bool,
    paper: Paper,
    margin: f64,
}

/// The corners on the part of the plate that is printed.
pub fn corners(project: &Project, result: &Reconciled, wish: &PrintWish) -> Corners {
    const SHOWN: [Layer; 6] = [
        Layer::LeftForTheFile,
        Layer::Edge,
        Layer::Ribs,
        Layer::PurflingChannel,
        Layer::Corners,
        Layer::Traced,
    ];
    let mut shapes = plate_drawing(project, result).shapes;
    // A corner is told by its edge, whatever else is wanted.
    shapes.0.retain(|l| {
        let wanted = ink::drawn(l.layer).is_some_and(|drawn| wish.drawn.has(drawn));
        SHOWN.contains(&l.layer) && (wanted || matches!(l.layer, Layer::Edge | Layer::Corners))
    });
    let on_it = |end: &&CornerEnd| wish.part == Part::Whole || wish.part == Part::Half(end.at.side());
    let ends = result.edge.corners.iter().filter(on_it);
    Corners {
        shapes,
        ends: ends.map(|end| (*end, project.face.string_side(end.at.side()))).collect(),
        part: wish.part,
        from_pin: result.pins.lower.is_some(),
        of_ribs: result.overhang.is_of_ribs(),
        paper: match wish.pages {
            Pages::Sheets(paper) => paper,
            Pages::One => Paper::A4,
        },
        margin: wish.margin,
    }
}

impl Corners {
    /// The squares of the page, and by how much what is in them is enlarged.
    fn laid(&self, page: Rect) -> (f64, f64) {
        let below = LINES as f64 * SMALL.leading() + 3.0;
        let high = (page.height() - ABOVE - BELOW) / 2.0 - below;
        let panel = PANEL.min((page.width() - GAP) / 2.0).min(high).max(10.0);
        let widest = self.ends.iter().map(|(end, _)| end.width).fold(1.0, f64::max);
        (panel, (panel / (ROUND_IT * widest)).floor().clamp(TIMES.0, TIMES.1))
    }

    /// The page, as the given one of so many.
    pub fn page(&self, heading: &Heading, [number, of]: [usize; 2], scale: [f64; 2], words: &Words) -> Page {
        let size = Size::from(self.paper.size());
        let mut canvas = Canvas::new((size.width, size.height), scale);
        let page = size.to_rect().inset(-(self.margin + 2.0));
        let (panel, times) = self.laid(page);
        let enlarged = &words.enlarged;
        let by = words.figure(times, 0);

        let mut flow = Flow {
            canvas: &mut canvas,
            at: Point::new(page.x0, page.y1),
            measure: page.width(),
            floor: page.y1 - ABOVE,
        };
        flow.write(HEAD, &(enlarged.title)(&by), 1);
        flow.gap(1.0);
        flow.write(TITLE, &heading.title, 1);
        flow.write(STRONG, &format!("{}; {}", heading.face, heading.sides), 1);
        flow.write(TEXT, &format!("{} \u{b7} {}", heading.day, heading.recipe), 1);
        flow.write(STRONG, &(words.page)(number, of), 1);

        let row = panel + LINES as f64 * SMALL.leading() + 3.0;
        for (end, side) in &self.ends {
            let is_upper = end.at.bout() == Bout::Upper;
            // As they lie on the plate; the two of a half beside one another.
            let (on_left, is_above) = match self.part {
                Part::Whole => (end.at.side() == Side::Left, is_upper),
                Part::Half(_) => (is_upper, true),
            };
            let x = page.center().x + if on_left { -GAP / 2.0 - panel } else { GAP / 2.0 };
            let top = page.y1 - ABOVE - if is_above { 0.0 } else { row };
            let square = Rect::new(x, top - panel, x + panel, top);
            self.corner(&mut canvas, end, square, times, words);
            let mut flow = Flow {
                canvas: &mut canvas,
                at: Point::new(square.x0, square.y0 - 1.0),
                measure: panel,
                floor: square.y0 - row,
            };
            flow.write(STRONG, (enlarged.corner)(end.at.bout(), *side), 1);
            let [first, second] = figures(end, words);
            if self.of_ribs {
                flow.write(SMALL, &first, 1);
            }
            flow.write(SMALL, &second, 1);
        }

        // A bar to measure, then what lines there are, then what to mind.
        let rows = if self.part == Part::Whole { 2.0 } else { 1.0 };
        let floor = page.y1 - ABOVE - rows * row - 2.0;
        let from = Point::new(page.x0 + 2.0, floor - 6.0);
        let long = 10.0 * times;
        canvas.pen(RULE);
        canvas.line(from, from + Vec2::new(long, 0.0));
        for end in [from, from + Vec2::new(long, 0.0)] {
            canvas.line(end - Vec2::new(0.0, 2.0), end + Vec2::new(0.0, 2.0));
        }
        let label = (enlarged.bar)(&by, &words.figure(long, 1));
        canvas.text(from + Vec2::new(1.0, 1.2), Stands::After, SMALL, &label);
        let column = (page.width() - 2.0 * GAP) / 3.0;
        let at = Point::new(page.x0, floor - 10.0);
        let own = Heading { key: self.key(heading), ..heading.clone() };
        key(&mut canvas, &own, at, column, page.y0);
        let beside = Point::new(page.x0 + column + GAP, floor - 2.0);
        let measure = 2.0 * column + GAP;
        let mut flow = Flow { canvas: &mut canvas, at: beside, measure, floor: page.y0 };
        flow.write(STRONG, enlarged.not_to_cut, 2);
        let counted = if self.from_pin { enlarged.from_pin } else { enlarged.from_bottom };
        let ring = if self.of_ribs { enlarged.ring } else { "" };
        flow.write(SMALL, format!("{counted} {ring}").trim_end(), 2);
        flow.write(SMALL, heading.cautions, 5);
        canvas.finish()
    }

    fn key(&self, heading: &Heading) -> Vec<(Layer, &'static str)> {
        let is_here = |layer: Layer| self.shapes.0.iter().any(|l| l.layer == layer);
        heading.key.iter().copied().filter(|(layer, _)| is_here(*layer)).collect()
    }

    /// One corner in its square, the cut's width written beyond it.
    fn corner(&self, canvas: &mut Canvas, end: &CornerEnd, square: Rect, times: f64, words: &Words) {
        let out = Vec2::from_angle(end.heading);
        let tip = end.outer.midpoint(end.waist);
        // The corner points out of the middle, so that more is seen of its flanks than of the white beyond.
        let middle = tip - 0.2 * square.width() / times * out;
        let placed = Affine::translate(square.center().to_vec2())
            * Affine::scale(times)
            * Affine::translate(-middle.to_vec2());
        canvas.clipped(square);
        for layered in &self.shapes.0 {
            if let Some(pen) = ink::pen(layered.layer) {
                canvas.pen(pen);
                canvas.path(&layered.path, placed);
            }
        }
        const RING: f64 = 1.1;
        let ribs = placed * end.rib_corner;
        canvas.pen(RULE);
        if self.of_ribs {
            canvas.path(&Path::circle(ribs, RING), Affine::IDENTITY);
        }
        // Beyond the ring, where that lies beyond the cut; but in the square.
        let beyond = ((ribs - placed * tip).dot(out) + RING + 2.0).clamp(4.0, 0.2 * square.width());
        let [a, b] = [end.outer, end.waist].map(|at| placed * at + beyond * out);
        canvas.line(a, b);
        let stroke = 1.6 * out;
        for at in [a, b] {
            canvas.line(at - stroke, at + stroke);
        }
        let [width, _] = (words.corner)(&words.figure(end.width, 1), "", false);
        let label = a.midpoint(b) + 3.0 * out - Vec2::new(0.0, 0.36 * TEXT.size);
        let stands = match out.x {
            x if x > 0.4 => Stands::After,
            x if x < -0.4 => Stands::Before,
            _ => Stands::About,
        };
        canvas.text(label, stands, TEXT, &width);
        canvas.unclipped();
        canvas.pen(HAIR);
        canvas.rect(square);
    }
}

/// How the corner lies to the ribs, and where its cut begins and ends.
fn figures(end: &CornerEnd, words: &Words) -> [String; 2] {
    let mm = |value: f64| words.figure(value, 1);
    let [_, reach] = (words.corner)("", &mm(end.beyond_ribs.abs()), end.beyond_ribs < 0.0);
    let place = |at: Point| [mm(at.x.abs()), mm(at.y)];
    [
        (words.enlarged.flanks)(&reach, &mm(end.overhang_outer), &mm(end.overhang_waist)),
        (words.enlarged.cut)(&place(end.outer), &place(end.waist)),
    ]
}
