//! From taps and followed stretches on a squared-up photo to a trace.

use super::follow::Stretch;
use super::square::Squared;
use crate::order::median;
use crate::outline::{Corner, Run};
use crate::trace::{HowTaken, Pins, Trace, TracedPoint};
use kurbo::Point;

/// How one piece of a run was taken, between two taps next to one another.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    Followed(Stretch),
    /// Nothing but the taps at its ends.
    Tapped,
}

/// What was tapped and followed on a photo; places in pixels.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Taking {
    pub pins: Pins,
    /// In the order of [`Corner::ALL`].
    pub corners: [Option<Point>; 4],
    /// In the order of [`Run::ALL`]: the taps along each run, its ends among them, and the piece after each tap but the last.
    pub runs: [Along; 6],
    /// Places among them that were tapped less closely than under the loupe, and the standard deviation of each, pixels.
    pub rough: Vec<(Point, f64)>,
}

/// What was taken for what it is not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Misplaced {
    /// They go round the wrong way: left was taken for right, or lower for upper.
    Corners,
    /// The bottom of the line was taken for its top, or either lies at the wrong end.
    Ends,
    /// Likewise the pins.
    Pins,
}

/// Why another line may have been followed than was meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// One stretch is much fainter than the others: it may be the grain.
    Faint,
    /// A plainer line of the other kind, dark for light, lies beside it.
    OtherKind,
}

/// A stretch with less than this part of the usual strength may be another line.
const FAINT: f64 = 0.4;

/// One run of a taking, from its beginning to its end in the direction of [`Run::ALL`].
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Along {
    pub taps: Vec<Point>,
    pub pieces: Vec<Piece>,
}

impl Taking {
    /// The trace on the board, mm: the corners for both runs that meet there, the followed places, and the taps of pieces that were
    /// not followed. Every point knows its run and how it was taken.
    pub fn trace(&self, squared: &Squared) -> Trace {
        let on_board = |p: Point| squared.to_board.at(p);
        let mut trace = Trace {
            points: Vec::new(),
            pins: Pins { lower: self.pins.lower.map(on_board), upper: self.pins.upper.map(on_board) },
        };
        let mut add = |at: Point, run: Run, taken: HowTaken, sd: f64| {
            let at = on_board(at);
            if at.x.is_finite() && at.y.is_finite() {
                let line = trace.points.len() + 1;
                trace.points.push(TracedPoint { at, run: Some(run), side: None, line, taken, sd: Some(sd) });
            }
        };
        for (run, along) in Run::ALL.into_iter().zip(&self.runs) {
            let corner = |corner: &Corner| corner.outer_run() == run || corner.waist_run() == run;
            let corners: Vec<Point> = Corner::ALL
                .into_iter()
                .filter(corner)
                .filter_map(|corner| self.corners[corner.index()])
                .collect();
            for (k, tap) in along.taps.iter().enumerate() {
                let tapped = |k: Option<usize>| {
                    k.and_then(|k| along.pieces.get(k)).is_some_and(|piece| *piece == Piece::Tapped)
                };
                // A followed line passes where it is, not where it was tapped; a corner is where it was tapped.
                if corners.contains(tap) || tapped(k.checked_sub(1)) || tapped(Some(k)) {
                    let rough = self.roughness(*tap) / squared.scale_at(*tap);
                    add(*tap, run, HowTaken::Tapped, squared.tapped_sd().hypot(rough));
                }
                if let Some(Piece::Followed(stretch)) = along.pieces.get(k) {
                    for point in &stretch.points {
                        add(point.at, run, HowTaken::Followed, squared.point_sd(point.sd));
                    }
                }
            }
        }
        trace
    }

    /// What was taken for what it is not, if anything was. Pixels are counted downwards.
    pub fn misplaced(&self) -> Option<Misplaced> {
        let [Some(a), Some(b), Some(c), Some(d)] = self.corners else { return None };
        let area = |p: Point, q: Point| p.to_vec2().cross(q.to_vec2());
        if area(a, b) + area(b, c) + area(c, d) + area(d, a) > 0.0 {
            return Some(Misplaced::Corners);
        }
        let of = |corner: Corner| self.corners[corner.index()].unwrap_or_default();
        let lower = of(Corner::LowerRight).midpoint(of(Corner::LowerLeft));
        let upper = of(Corner::UpperRight).midpoint(of(Corner::UpperLeft));
        let above = |p: Point| (p - lower.midpoint(upper)).dot(upper - lower) > 0.0;
        let [bottom, top] = [0, 2].map(|run| self.runs[run].taps.first().copied());
        let top = top.and(self.runs[2].taps.last().copied());
        if bottom.is_some_and(above) || top.is_some_and(|p| !above(p)) {
            return Some(Misplaced::Ends);
        }
        let wrong = self.pins.lower.is_some_and(above) || self.pins.upper.is_some_and(|p| !above(p));
        wrong.then_some(Misplaced::Pins)
    }

    /// The runs of which another line may have been followed than was meant, and why.
    pub fn doubtful(&self) -> Vec<(Run, Doubt)> {
        let followed = |along: &Along| -> Vec<(f64, bool)> {
            let pieces = along.pieces.iter();
            let strength = |piece: &Piece| match piece {
                Piece::Followed(stretch) => Some((stretch.strength, stretch.outshone)),
                Piece::Tapped => None,
            };
            pieces.filter_map(strength).collect()
        };
        let all: Vec<f64> = self.runs.iter().flat_map(followed).map(|(strength, _)| strength).collect();
        let usual = median(&all).unwrap_or_default();
        let doubt = |along: &Along| {
            let pieces = followed(along);
            let outshone = pieces.iter().any(|(_, outshone)| *outshone).then_some(Doubt::OtherKind);
            outshone.or(pieces.iter().any(|(strength, _)| *strength < FAINT * usual).then_some(Doubt::Faint))
        };
        Run::ALL.into_iter().zip(&self.runs).filter_map(|(run, along)| Some((run, doubt(along)?))).collect()
    }

    /// How far a place that was tapped may be off on the photo, pixels, beyond what the loupe allows.
    fn roughness(&self, tap: Point) -> f64 {
        self.rough.iter().filter(|(at, _)| *at == tap).map(|(_, sd)| *sd).fold(0.0, f64::max)
    }
}

/// How many points of a trace were taken in this way, and the root of the mean square of their standard deviations, mm. `None`
/// where none was.
pub fn how_good(trace: &Trace, taken: HowTaken) -> Option<(usize, f64)> {
    let of = trace.points.iter().filter(|point| point.taken == taken);
    let squares: Vec<f64> = of.filter_map(|point| point.sd).map(|sd| sd * sd).collect();
    let count = squares.len();
    (count > 0).then(|| (count, (squares.iter().sum::<f64>() / count as f64).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::{OnLine, Tone};

    #[test]
    fn corners_belong_to_both_runs_and_followed_taps_are_no_points() {
        let squared = Squared::by_pins((0.0, 400.0).into(), (0.0, 0.0).into(), 400.0).unwrap();
        let corner = Point::new(80.0, 260.0);
        let via = Point::new(100.0, 300.0);
        let bottom = Point::new(0.0, 400.0);
        let on = |x, y| OnLine { at: Point::new(x, y), sd: 0.2 };
        let stretch = |points| {
            Piece::Followed(Stretch {
                tone: Tone::Dark,
                way: vec![],
                points,
                lost: vec![],
                strength: 40.0,
                outshone: false,
            })
        };
        let mut taking = Taking { corners: [Some(corner), None, None, None], ..Taking::default() };
        taking.pins.lower = Some(bottom);
        taking.runs[0] = Along {
            taps: vec![bottom, via, corner],
            pieces: vec![stretch(vec![on(50.0, 390.0)]), stretch(vec![on(105.0, 280.0)])],
        };
        taking.runs[1] = Along { taps: vec![corner, Point::new(60.0, 220.0)], pieces: vec![Piece::Tapped] };
        let trace = taking.trace(&squared);
        let found: Vec<_> = trace
            .points
            .iter()
            .map(|p| (p.run.unwrap().to_string(), p.at.x.round(), p.at.y.round(), p.taken))
            .collect();
        use HowTaken::{Followed, Tapped};
        assert_eq!(
            found,
            [
                ("lower-right".to_owned(), 50.0, 10.0, Followed),
                ("lower-right".to_owned(), 105.0, 120.0, Followed),
                ("lower-right".to_owned(), 80.0, 140.0, Tapped),
                ("waist-right".to_owned(), 80.0, 140.0, Tapped),
                ("waist-right".to_owned(), 60.0, 180.0, Tapped),
            ]
        );
        // What is followed is known better than what is tapped, and neither better than the photo is.
        let sd = |k: usize| trace.points[k].sd.unwrap();
        assert!(sd(0) < sd(2) && sd(0) > squared.sd);
        assert!(trace.pins.lower.unwrap().to_vec2().hypot() < 1e-9);
        // A finger that was not slid under the loupe says less, and so do its points all together.
        assert_eq!(how_good(&trace, Followed), Some((2, sd(0))));
        assert_eq!(how_good(&trace, Tapped), Some((3, sd(2))));
        taking.rough = vec![(corner, 3.0)];
        let rough = taking.trace(&squared);
        assert_eq!(rough.points[2].sd, Some(squared.tapped_sd().hypot(3.0 / squared.px_per_mm)));
        assert_eq!(rough.points[4].sd, trace.points[4].sd);
        assert!(how_good(&rough, Tapped).unwrap().1 > 1.0);
        assert_eq!(how_good(&rough, Followed), how_good(&trace, Followed));
        assert_eq!(how_good(&Trace::default(), Tapped), None);
    }

    /// Seen upright, or with the neck end down.
    #[test]
    fn what_was_taken_for_something_else_is_noticed() {
        for turn in [1.0, -1.0] {
            let at = |x: f64, y: f64| Point::new(100.0 + turn * x, 200.0 + turn * y);
            let corners = [at(80.0, 60.0), at(70.0, -60.0), at(-70.0, -50.0), at(-80.0, 70.0)].map(Some);
            let (bottom, top) = (at(0.0, 160.0), at(3.0, -170.0));
            let ends = |bottom: Point, top: Point| {
                let mut runs: [Along; 6] = Default::default();
                runs[0].taps = vec![bottom, at(90.0, 120.0), at(80.0, 60.0)];
                runs[2].taps = vec![at(70.0, -60.0), at(60.0, -130.0), top];
                runs
            };
            let pins = Pins { lower: Some(at(0.0, 150.0)), upper: Some(at(0.0, -160.0)) };
            let right = Taking { pins, corners, runs: ends(bottom, top), rough: vec![] };
            assert_eq!(right.misplaced(), None);
            let [a, b, c, d] = corners;
            for corners in [[d, c, b, a], [b, a, d, c]] {
                assert_eq!(Taking { corners, ..right.clone() }.misplaced(), Some(Misplaced::Corners));
            }
            for runs in [ends(top, bottom), ends(bottom, bottom), ends(top, top)] {
                assert_eq!(Taking { runs, ..right.clone() }.misplaced(), Some(Misplaced::Ends));
            }
            let pins = Pins { lower: pins.upper, upper: pins.lower };
            assert_eq!(Taking { pins, ..right.clone() }.misplaced(), Some(Misplaced::Pins));
            assert_eq!(Taking { corners: [a, b, c, None], ..right }.misplaced(), None);
        }
    }

    #[test]
    fn a_stretch_much_fainter_than_the_others_is_noticed() {
        let piece = |strength| {
            Piece::Followed(Stretch {
                tone: Tone::Dark,
                way: vec![],
                points: vec![],
                lost: vec![],
                strength,
                outshone: false,
            })
        };
        let mut taking = Taking::default();
        for (run, along) in taking.runs.iter_mut().enumerate() {
            along.pieces = vec![piece(40.0 - 4.0 * run as f64), Piece::Tapped];
        }
        assert_eq!(taking.doubtful(), []);
        taking.runs[4].pieces.push(piece(9.0));
        assert_eq!(taking.doubtful(), [(Run::ALL[4], Doubt::Faint)]);
    }
}
