//! What leaves for the bench, before it is written as any particular file: paths of lines and circular arcs on named
//! layers, in millimetres, in the frame of the result (y up). SVG, DXF and PDF are written from it.

use crate::arc::{Arc, Chain};
use crate::outline::{Outline, Run};
use kurbo::{Point, Rect};

/// Two places nearer than this are one, mm: far below what any machine resolves, far above rounding.
pub const SAME_PLACE: f64 = 1e-7;

/// What a path is for. Its name is the layer's name in every file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Layer {
    Edge,
    /// The edge with what is left outside of it for the file.
    LeftForTheFile,
    Ribs,
    Traced,
    Corners,
    Purfling,
    PurflingChannel,
    Button,
    Centres,
    Pins,
    Centreline,
    Mould,
    Recesses,
    Holes,
    Check,
}

impl Layer {
    pub const ALL: [Layer; 15] = [
        Layer::Edge,
        Layer::LeftForTheFile,
        Layer::Ribs,
        Layer::Traced,
        Layer::Corners,
        Layer::Purfling,
        Layer::PurflingChannel,
        Layer::Button,
        Layer::Centres,
        Layer::Pins,
        Layer::Centreline,
        Layer::Mould,
        Layer::Recesses,
        Layer::Holes,
        Layer::Check,
    ];

    /// As layers are named in files: lower case, ASCII, hyphens.
    pub fn name(self) -> &'static str {
        match self {
            Layer::Edge => "edge",
            Layer::LeftForTheFile => "left-for-the-file",
            Layer::Ribs => "ribs",
            Layer::Traced => "traced",
            Layer::Corners => "corners",
            Layer::Purfling => "purfling",
            Layer::PurflingChannel => "purfling-channel",
            Layer::Button => "button",
            Layer::Centres => "centres",
            Layer::Pins => "pins",
            Layer::Centreline => "centreline",
            Layer::Mould => "mould",
            Layer::Recesses => "recesses",
            Layer::Holes => "holes",
            Layer::Check => "check",
        }
    }
}

/// One piece of a path.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    Line { from: Point, to: Point },
    Arc(Arc),
}

impl Segment {
    pub fn start(&self) -> Point {
        match self {
            Segment::Line { from, .. } => *from,
            Segment::Arc(arc) => arc.at(0.0),
        }
    }

    pub fn end(&self) -> Point {
        match self {
            Segment::Line { to, .. } => *to,
            Segment::Arc(arc) => arc.at(1.0),
        }
    }

    /// The place at `t`, 0 at the start and 1 at the end.
    pub fn at(&self, t: f64) -> Point {
        match self {
            Segment::Line { from, to } => from.lerp(*to, t),
            Segment::Arc(arc) => arc.at(t),
        }
    }

    /// mm.
    pub fn length(&self) -> f64 {
        match self {
            Segment::Line { from, to } => from.distance(*to),
            Segment::Arc(arc) => arc.length(),
        }
    }

    pub fn bounds(&self) -> Rect {
        match self {
            Segment::Line { from, to } => Rect::from_points(*from, *to),
            Segment::Arc(arc) => {
                let mut bounds = Rect::from_points(arc.at(0.0), arc.at(1.0));
                let quarter = std::f64::consts::FRAC_PI_2;
                let (low, high) =
                    (arc.start.min(arc.start + arc.sweep), arc.start.max(arc.start + arc.sweep));
                let first = (low / quarter).ceil() as i64;
                for k in first..first.saturating_add(5) {
                    let angle = k as f64 * quarter;
                    if angle > high {
                        break;
                    }
                    bounds = bounds.union_pt(arc.centre + arc.radius * crate::arc::direction(angle));
                }
                bounds
            }
        }
    }
}

/// Lines and arcs end to end. A closed path ends where it starts; pieces without length are left out.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    pub segments: Vec<Segment>,
    pub closed: bool,
}

impl Path {
    pub fn open(segments: Vec<Segment>) -> Self {
        Path { segments: with_length(segments), closed: false }
    }

    /// Closed, with a straight line back to the start where the pieces do not end there.
    pub fn closed(segments: Vec<Segment>) -> Self {
        let mut segments = with_length(segments);
        if let (Some(first), Some(last)) =
            (segments.first().map(Segment::start), segments.last().map(Segment::end))
            && first.distance(last) > SAME_PLACE
        {
            segments.push(Segment::Line { from: last, to: first });
        }
        Path { segments, closed: true }
    }

    pub fn line(from: Point, to: Point) -> Self {
        Path::open(vec![Segment::Line { from, to }])
    }

    /// A whole circle in two halves, so that every format can hold it.
    pub fn circle(centre: Point, radius: f64) -> Self {
        let half = |start: f64| Segment::Arc(Arc { centre, radius, start, sweep: std::f64::consts::PI });
        Path { segments: vec![half(0.0), half(std::f64::consts::PI)], closed: true }
    }

    pub fn chain(chain: &Chain) -> Self {
        Path::open(chain.arcs().into_iter().map(Segment::Arc).collect())
    }

    /// The closed edge: six runs, a straight line across each corner.
    pub fn outline(outline: &Outline) -> Self {
        let mut segments: Vec<Segment> = Vec::new();
        for run in Run::ALL {
            let chain = outline.run(run);
            if let Some(last) = segments.last().map(Segment::end)
                && last.distance(chain.start) > SAME_PLACE
            {
                segments.push(Segment::Line { from: last, to: chain.start });
            }
            segments.extend(chain.arcs().into_iter().map(Segment::Arc));
        }
        Path::closed(segments)
    }

    pub fn length(&self) -> f64 {
        self.segments.iter().map(Segment::length).sum()
    }

    /// Where it begins and where it ends. `None` of a path without pieces.
    pub fn ends(&self) -> Option<[Point; 2]> {
        Some([self.segments.first()?.start(), self.segments.last()?.end()])
    }

    /// `None` of a path without pieces.
    pub fn bounds(&self) -> Option<Rect> {
        self.segments.iter().map(Segment::bounds).reduce(|a, b| a.union(b))
    }

    /// Area enclosed, mm²; positive where the path runs counter-clockwise. Of an open path, as if closed by a line.
    pub fn area(&self) -> f64 {
        let chords: f64 =
            self.segments.iter().map(|s| s.start().to_vec2().cross(s.end().to_vec2()) / 2.0).sum();
        let bows: f64 = self
            .segments
            .iter()
            .map(|s| match s {
                Segment::Line { .. } => 0.0,
                Segment::Arc(arc) => arc.radius * arc.radius * (arc.sweep - arc.sweep.sin()) / 2.0,
            })
            .sum();
        chords + bows
    }
}

fn with_length(segments: Vec<Segment>) -> Vec<Segment> {
    segments.into_iter().filter(|segment| segment.length() > SAME_PLACE).collect()
}

/// What the two feet of a button are called in a file, beside the edge that has it: four numbers, across and along of each. It
/// is for whoever reads the file back and wants the edge without it, and nothing that is cut or drawn.
pub const BUTTON_FEET: &str = "data-button-feet";

/// A path and the layer it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Layered {
    pub layer: Layer,
    pub path: Path,
    /// Of an edge with a button: where the button leaves it.
    pub button_feet: Option<[Point; 2]>,
}

/// Paths on layers, in the order in which they are drawn.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Shapes(pub Vec<Layered>);

impl Shapes {
    pub fn add(&mut self, layer: Layer, path: Path) {
        if !path.segments.is_empty() {
            self.0.push(Layered { layer, path, button_feet: None });
        }
    }

    /// The closed edge of a plate, and where its button leaves it if it has one.
    pub fn add_edge(&mut self, path: Path, button_feet: Option<[Point; 2]>) {
        self.0.push(Layered { layer: Layer::Edge, path, button_feet });
    }

    pub fn on(&self, layer: Layer) -> impl Iterator<Item = &Path> {
        self.0.iter().filter(move |l| l.layer == layer).map(|l| &l.path)
    }

    /// `None` when there is nothing at all.
    pub fn bounds(&self) -> Option<Rect> {
        self.0.iter().filter_map(|l| l.path.bounds()).reduce(|a, b| a.union(b))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::violin;

    #[test]
    fn an_outline_as_a_path_keeps_its_length_area_and_bounds() {
        let outline = violin().evaluate().unwrap().outline;
        let path = Path::outline(&outline);
        assert!((path.length() - outline.length()).abs() < 1e-6);
        assert!((path.area() - outline.area()).abs() < 1e-4);
        let (ours, theirs) = (path.bounds().unwrap(), outline.bounds());
        for (a, b) in [(ours.x0, theirs.x0), (ours.x1, theirs.x1), (ours.y0, theirs.y0), (ours.y1, theirs.y1)]
        {
            assert!((a - b).abs() < 1e-6, "{ours:?} {theirs:?}");
        }
    }

    #[test]
    fn a_path_closes_itself_and_drops_what_has_no_length() {
        let (a, b, c) = (Point::new(0.0, 0.0), Point::new(3.0, 0.0), Point::new(3.0, 4.0));
        let line = |from, to| Segment::Line { from, to };
        let path = Path::closed(vec![line(a, b), line(b, b), line(b, c)]);
        assert_eq!(path.segments, vec![line(a, b), line(b, c), line(c, a)]);
        assert!((path.area() - 6.0).abs() < 1e-12);
    }
}
