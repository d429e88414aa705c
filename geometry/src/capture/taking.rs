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
                    add(*tap, run, HowTaken::Tapped, squared.tapped_sd());
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

    /// Standard deviation of the followed points, mm: of their places on the photo, and of the photo's on the board.
    pub fn sd(&self, squared: &Squared) -> f64 {
        let sds: Vec<f64> = self
            .runs
            .iter()
            .flat_map(|along| &along.pieces)
            .filter_map(|piece| match piece {
                Piece::Followed(stretch) if !stretch.points.is_empty() => Some(stretch.sd()),
                _ => None,
            })
            .collect();
        let mean = sds.iter().map(|sd| sd * sd).sum::<f64>() / sds.len().max(1) as f64;
        squared.point_sd(mean.sqrt())
    }
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
        assert!((taking.sd(&squared) - squared.point_sd(0.2)).abs() < 1e-12);
    }
}
