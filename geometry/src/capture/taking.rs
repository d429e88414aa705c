//! From taps and followed stretches on a squared-up photo to a trace.

use super::follow::Stretch;
use super::square::Squared;
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

    /// Whether the corners go round the wrong way: left was taken for right, or lower for upper. Pixels are counted downwards.
    pub fn turned_over(&self) -> bool {
        let [Some(a), Some(b), Some(c), Some(d)] = self.corners else { return false };
        let area = |p: Point, q: Point| p.to_vec2().cross(q.to_vec2());
        area(a, b) + area(b, c) + area(c, d) + area(d, a) > 0.0
    }

    /// How far a place that was tapped may be off on the photo, pixels, beyond what the loupe allows.
    fn roughness(&self, tap: Point) -> f64 {
        self.rough.iter().filter(|(at, _)| *at == tap).map(|(_, sd)| *sd).fold(0.0, f64::max)
    }
}

/// Root of the mean square of the standard deviations of a trace's points, mm. `None` where no point has one.
pub fn mean_sd(trace: &Trace) -> Option<f64> {
    let squares: Vec<f64> = trace.points.iter().filter_map(|point| point.sd).map(|sd| sd * sd).collect();
    (!squares.is_empty()).then(|| (squares.iter().sum::<f64>() / squares.len() as f64).sqrt())
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
        let stretch =
            |points| Piece::Followed(Stretch { tone: Tone::Dark, way: vec![], points, lost: vec![] });
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
        let close = mean_sd(&trace).unwrap();
        assert!(close > sd(0) && close < sd(2));
        assert!(!taking.turned_over());
        let corners =
            [(180.0, 300.0), (170.0, 100.0), (30.0, 110.0), (20.0, 310.0)].map(|at| Some(at.into()));
        assert!(!Taking { corners, ..taking.clone() }.turned_over());
        let [a, b, c, d] = corners;
        for swapped in [[d, c, b, a], [b, a, d, c]] {
            assert!(Taking { corners: swapped, ..taking.clone() }.turned_over());
        }
        taking.rough = vec![(corner, 3.0)];
        let rough = taking.trace(&squared);
        assert_eq!(rough.points[2].sd, Some(squared.tapped_sd().hypot(3.0 / squared.px_per_mm)));
        assert_eq!(rough.points[4].sd, trace.points[4].sd);
        assert!(mean_sd(&rough).unwrap() > 1.0);
        assert_eq!(mean_sd(&Trace::default()), None);
    }
}
