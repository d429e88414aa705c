//! The outline of a plate: six runs between the two ends of the centreline and the four corners.

use crate::arc::{Arc, Chain};
use crate::order::ascending;
use kurbo::{BezPath, Point, Vec2};
use std::fmt;
use std::str::FromStr;

/// As drawn, neck end up. Which of them is the bass side depends on the face: see [`Face`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    Left,
    Right,
}

impl Side {
    pub const BOTH: [Side; 2] = [Side::Left, Side::Right];

    /// +1 right of the centreline, -1 left of it.
    pub fn sign(self) -> f64 {
        match self {
            Side::Left => -1.0,
            Side::Right => 1.0,
        }
    }

    pub fn opposite(self) -> Side {
        match self {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Bout {
    Lower,
    Waist,
    Upper,
}

impl Bout {
    pub const ALL: [Bout; 3] = [Bout::Lower, Bout::Waist, Bout::Upper];
}

/// One of the six runs of an outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Run {
    pub bout: Bout,
    pub side: Side,
}

impl Run {
    /// The six runs in the order of an outline: counter-clockwise from the bottom of the centreline.
    pub const ALL: [Run; 6] = [
        Run { bout: Bout::Lower, side: Side::Right },
        Run { bout: Bout::Waist, side: Side::Right },
        Run { bout: Bout::Upper, side: Side::Right },
        Run { bout: Bout::Upper, side: Side::Left },
        Run { bout: Bout::Waist, side: Side::Left },
        Run { bout: Bout::Lower, side: Side::Left },
    ];

    /// The place of this run in [`Run::ALL`].
    pub fn index(self) -> usize {
        match (self.side, self.bout) {
            (Side::Right, Bout::Lower) => 0,
            (Side::Right, Bout::Waist) => 1,
            (Side::Right, Bout::Upper) => 2,
            (Side::Left, Bout::Upper) => 3,
            (Side::Left, Bout::Waist) => 4,
            (Side::Left, Bout::Lower) => 5,
        }
    }

    /// Whether a recipe, which goes from the bottom, the lower corner and the top, goes along this run as the outline does.
    pub fn as_recipes_go(self) -> bool {
        (self.side == Side::Left) == (self.bout == Bout::Upper)
    }
}

impl fmt::Display for Run {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let bout = match self.bout {
            Bout::Lower => "lower",
            Bout::Waist => "waist",
            Bout::Upper => "upper",
        };
        let side = match self.side {
            Side::Left => "left",
            Side::Right => "right",
        };
        write!(f, "{bout}-{side}")
    }
}

/// A name that is none of the six runs.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{0}\" is not a run; the six are lower-left, waist-left, upper-left, upper-right, waist-right and lower-right"
)]
pub struct UnknownRun(pub String);

impl FromStr for Run {
    type Err = UnknownRun;
    fn from_str(text: &str) -> Result<Self, UnknownRun> {
        let wanted = text.trim().to_ascii_lowercase().replace(['_', ' '], "-");
        Run::ALL
            .into_iter()
            .find(|run| run.to_string() == wanted)
            .ok_or_else(|| UnknownRun(text.chars().take(40).collect()))
    }
}

/// One of the four corners.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Corner {
    LowerRight,
    UpperRight,
    UpperLeft,
    LowerLeft,
}

impl Corner {
    /// In the order of an outline: counter-clockwise from the bottom of the centreline.
    pub const ALL: [Corner; 4] =
        [Corner::LowerRight, Corner::UpperRight, Corner::UpperLeft, Corner::LowerLeft];

    pub fn index(self) -> usize {
        self as usize
    }

    pub fn side(self) -> Side {
        match self {
            Corner::LowerRight | Corner::UpperRight => Side::Right,
            Corner::UpperLeft | Corner::LowerLeft => Side::Left,
        }
    }

    /// The bout whose run meets the waist here: lower or upper.
    pub fn bout(self) -> Bout {
        match self {
            Corner::LowerRight | Corner::LowerLeft => Bout::Lower,
            Corner::UpperRight | Corner::UpperLeft => Bout::Upper,
        }
    }

    pub fn of(bout: Bout, side: Side) -> Option<Corner> {
        Corner::ALL.into_iter().find(|c| c.bout() == bout && c.side() == side)
    }

    /// Whether the lower or upper run, travelled counter-clockwise, ends in this corner rather than begins there.
    pub fn outer_ends_here(self) -> bool {
        matches!(self, Corner::LowerRight | Corner::UpperLeft)
    }

    /// The lower or upper run that meets the waist here.
    pub fn outer_run(self) -> Run {
        Run { bout: self.bout(), side: self.side() }
    }

    pub fn waist_run(self) -> Run {
        Run { bout: Bout::Waist, side: self.side() }
    }
}

impl fmt::Display for Corner {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.outer_run())
    }
}

/// The plate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Plate {
    #[default]
    Back,
    Front,
}

/// The face of the plate that looks at the maker while the line is traced.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum FaceUp {
    #[default]
    Inside,
    Outside,
}

/// Which plate, and which of its faces is up: together they decide which side is the bass side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Face {
    pub plate: Plate,
    pub up: FaceUp,
}

/// The side of an instrument, named for its strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum StringSide {
    Bass,
    Treble,
}

impl Face {
    /// A back seen on its inside face has the bass side on the left, seen on its outside on the right;
    /// a front the other way round.
    pub fn string_side(self, side: Side) -> StringSide {
        let bass = match (self.plate, self.up) {
            (Plate::Back, FaceUp::Inside) | (Plate::Front, FaceUp::Outside) => Side::Left,
            (Plate::Back, FaceUp::Outside) | (Plate::Front, FaceUp::Inside) => Side::Right,
        };
        if side == bass { StringSide::Bass } else { StringSide::Treble }
    }

    /// A plate over the same ribs, seen from the same side of them: what shows the inside of the back shows the outside of the front.
    /// Nothing changes sides.
    pub fn of_plate(self, plate: Plate) -> Face {
        let turned = match self.up {
            FaceUp::Inside => FaceUp::Outside,
            FaceUp::Outside => FaceUp::Inside,
        };
        Face { plate, up: if plate == self.plate { self.up } else { turned } }
    }
}

/// Six runs, each a tangent chain, all travelled counter-clockwise: the inside is on the left.
///
/// The end of one run and the start of the next coincide at the two ends of the centreline. At the
/// four corners they meet in a point, or leave the width of the corner end between them, which is
/// then closed by a straight cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Outline {
    /// In the order of [`Run::ALL`].
    pub runs: [Chain; 6],
}

impl Outline {
    pub fn run(&self, run: Run) -> &Chain {
        &self.runs[run.index()]
    }

    /// Every arc with the run it belongs to, counter-clockwise.
    pub fn arcs(&self) -> Vec<(Run, Arc)> {
        Run::ALL
            .into_iter()
            .flat_map(|run| self.run(run).arcs().into_iter().map(move |arc| (run, arc)))
            .collect()
    }

    /// The two ends of the cut at a corner, counter-clockwise.
    pub fn cut(&self, corner: Corner) -> (Point, Point) {
        let first = match corner {
            Corner::LowerRight => 0,
            Corner::UpperRight => 1,
            Corner::UpperLeft => 3,
            Corner::LowerLeft => 4,
        };
        (self.runs[first].end(), self.runs[first + 1].start)
    }

    /// The closed line as cubic Béziers within `tolerance` mm of the arcs, straight across the corner cuts.
    pub fn to_path(&self, tolerance: f64) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(self.runs[0].start);
        for (k, run) in self.runs.iter().enumerate() {
            if k > 0 && self.runs[k - 1].end().distance(run.start) > 1e-9 {
                path.line_to(run.start);
            }
            path.extend(run.path_elements(tolerance));
        }
        path.close_path();
        path
    }

    /// Length of the closed line in mm, corner cuts included.
    pub fn length(&self) -> f64 {
        let gaps: f64 = (0..6).map(|k| self.runs[k].end().distance(self.runs[(k + 1) % 6].start)).sum();
        self.runs.iter().map(Chain::length).sum::<f64>() + gaps
    }

    /// Enclosed area in mm², positive for a counter-clockwise outline: the polygon of the arcs' ends and the
    /// segment of circle above each chord.
    pub fn area(&self) -> f64 {
        let cross = |a: Point, b: Point| 0.5 * a.to_vec2().cross(b.to_vec2());
        let mut area = 0.0;
        let mut last = self.runs[5].end();
        for (_, arc) in self.arcs() {
            let (from, to) = (arc.at(0.0), arc.at(1.0));
            area += cross(last, from) + cross(from, to);
            area += 0.5 * arc.radius * arc.radius * (arc.sweep - arc.sweep.sin());
            last = to;
        }
        area
    }

    /// The first place where the line crosses itself, if it does: a point near the crossing.
    /// Found on chords that leave the arcs by at most 0.02 mm.
    pub fn self_crossing(&self) -> Option<Point> {
        let mut points: Vec<Point> = Vec::new();
        for (_, arc) in self.arcs() {
            // Sagitta of a chord over angle a is r (1 - cos(a/2)).
            let step = 2.0 * (1.0 - (0.02 / arc.radius).min(1.0)).acos();
            let count = (arc.sweep.abs() / step).ceil().clamp(1.0, 2000.0) as usize;
            points.extend((0..=count).map(|i| arc.at(i as f64 / count as f64)));
        }
        points.dedup_by(|a, b| a.distance(*b) < 1e-7);
        if let (Some(first), Some(last)) = (points.first(), points.last())
            && first.distance(*last) < 1e-7
        {
            points.pop();
        }
        first_crossing(&points)
    }

    /// Turned by `angle` about the origin, then shifted.
    pub fn moved(&self, angle: f64, shift: Vec2) -> Outline {
        Outline { runs: self.runs.each_ref().map(|run| run.moved(angle, shift)) }
    }

    /// The image in the centreline x = 0, its runs renamed and travelled counter-clockwise again.
    pub fn mirrored(&self) -> Outline {
        let turned = |run: &Chain| run.mirrored().reversed();
        let [a, b, c, d, e, f] = &self.runs;
        Outline { runs: [f, e, d, c, b, a].map(turned) }
    }

    /// The nearest place on the outline, corner cuts left aside.
    pub fn nearest(&self, point: Point) -> Option<(Run, crate::arc::Nearest)> {
        Run::ALL
            .into_iter()
            .filter_map(|run| self.run(run).nearest(point).map(|n| (run, n)))
            .min_by(|a, b| a.1.offset.abs().total_cmp(&b.1.offset.abs()))
    }

    /// Smallest and largest x and y of the arcs.
    pub fn bounds(&self) -> kurbo::Rect {
        let all = self.arcs().into_iter().map(|(_, arc)| arc.bounds());
        all.reduce(|one, other| one.union(other)).unwrap_or_default()
    }
}

/// Sweep over the closed polygon's edges in order of x. Neighbouring edges are not compared.
pub(crate) fn first_crossing(points: &[Point]) -> Option<Point> {
    let n = points.len();
    if n < 4 {
        return None;
    }
    let edge = |i: usize| (points[i], points[(i + 1) % n]);
    let low = |i: usize| {
        let (a, b) = edge(i);
        a.x.min(b.x)
    };
    let order = ascending(&(0..n).map(low).collect::<Vec<_>>());
    let mut open: Vec<usize> = Vec::new();
    for &i in &order {
        let (a, b) = edge(i);
        open.retain(|&j| {
            let (c, d) = edge(j);
            c.x.max(d.x) >= low(i)
        });
        for &j in &open {
            let apart = i.abs_diff(j);
            if apart <= 1 || apart == n - 1 {
                continue;
            }
            let (c, d) = edge(j);
            if a.y.max(b.y) < c.y.min(d.y) || c.y.max(d.y) < a.y.min(b.y) {
                continue;
            }
            let (r, s) = (b - a, d - c);
            let across = r.cross(s);
            if across == 0.0 {
                continue;
            }
            let t = (c - a).cross(s) / across;
            let u = (c - a).cross(r) / across;
            if (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u) {
                return Some(a + t * r);
            }
        }
        open.push(i);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From the design the parts agree on; a maker who takes one for the other has lost a plate.
    #[test]
    fn the_four_cases_of_face_and_side() {
        use {FaceUp::*, Plate::*, Side::*, StringSide::*};
        for (plate, up, left) in
            [(Back, Inside, Bass), (Back, Outside, Treble), (Front, Inside, Treble), (Front, Outside, Bass)]
        {
            let face = Face { plate, up };
            assert_eq!(face.string_side(Left), left);
            assert_ne!(face.string_side(Right), left);
        }
    }

    #[test]
    fn the_other_plate_over_the_same_ribs_has_its_strings_on_the_same_sides() {
        for plate in [Plate::Back, Plate::Front] {
            for up in [FaceUp::Inside, FaceUp::Outside] {
                let face = Face { plate, up };
                assert_eq!(face.of_plate(plate), face);
                for other in [Plate::Back, Plate::Front] {
                    assert_eq!(face.of_plate(other).plate, other);
                    for side in Side::BOTH {
                        assert_eq!(face.of_plate(other).string_side(side), face.string_side(side));
                    }
                }
            }
        }
    }

    #[test]
    fn runs_read_back_the_names_they_write() {
        for (index, run) in Run::ALL.into_iter().enumerate() {
            assert_eq!(run.to_string().parse(), Ok(run));
            assert_eq!(run.index(), index);
        }
        assert!("middle-left".parse::<Run>().is_err());
    }

    #[test]
    fn a_figure_of_eight_crosses_itself_and_a_square_does_not() {
        let eight = [(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)].map(Point::from);
        assert!(first_crossing(&eight).is_some_and(|p| p.distance((5.0, 5.0).into()) < 1e-9));
        let square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)].map(Point::from);
        assert_eq!(first_crossing(&square), None);
    }
}
