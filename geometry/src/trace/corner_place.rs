//! Finding where a corner is when the recipe has it several mm elsewhere.
//!
//! The hooks of two runs come within a few mm of each other. If the ribs' corner is as far from the
//! recipe's, matching nearest places takes the one hook for the other and stays there. So places are tried.

use super::give::Followed;
use super::strips::Half;
use crate::order::sort_by_value;
use kurbo::{Point, Vec2};

/// Points and samples within this of the recipe's corner take part, mm at a violin's size.
const AROUND: f64 = 45.0;
/// A shift of the corner lets up over this, mm.
const LETTING_UP: f64 = 30.0;
/// First tried so far apart, then at half the distance around the best, twice, mm.
const APART: f64 = 5.0;
/// How many such steps out from the recipe's corner are tried.
const RINGS: i32 = 3;
/// A point further off than this is no worse than one that far off, mm: mis-takes must not decide.
const FURTHEST: f64 = 4.0;
/// Standard deviation of a corner's place about the recipe's where the points are undecided, mm at a point's own of 1 mm.
const CORNER_SD: f64 = 5.0;
/// With its points no further off than this, root mean square, mm, the corner is in place already.
const IN_PLACE: f64 = 0.6;
/// Enough points to decide; more only take time.
const ENOUGH: usize = 40;

/// A sample near the corner.
struct Sample {
    at: Point,
    normal: Vec2,
    /// Share of the corner's shift that it takes.
    share: f64,
    strip: usize,
}

impl Half {
    /// Moves the neighbourhood of a corner, 0 lower or 1 upper, to where it fits the points around it best.
    pub fn place_corner(&mut self, corner: usize, points: &[Followed], unit: f64) {
        let at = self.laid[self.corner[2 * corner]];
        let around = points.iter().filter(|p| p.at.distance(at) < AROUND * unit);
        let mut near: Vec<Followed> = around.copied().collect();
        if near.len() < 4 {
            return;
        }
        if near.len() > ENOUGH {
            // The same ones in whatever order they were taken.
            sort_by_value(&mut near, |point| point.at.distance_squared(at));
            near = (0..ENOUGH).map(|k| near[k * near.len() / ENOUGH]).collect();
        }
        let share = |p: Point| (-p.distance_squared(at) / (LETTING_UP * unit).powi(2)).exp();
        let samples: Vec<Sample> = [corner, corner + 1]
            .into_iter()
            .flat_map(|strip| self.strip(strip).step_by(2).map(move |k| (k, strip)))
            .map(|(k, strip)| {
                let at = self.laid[k];
                Sample { at, normal: self.normal(k), share: share(at), strip }
            })
            .filter(|sample| sample.share > 0.02)
            .collect();
        let cost = |shift: Vec2| misfit(&near, &samples, shift, unit);
        let mut best = (cost(Vec2::ZERO), Vec2::ZERO);
        if best.0 < near.len() as f64 * (IN_PLACE * unit).powi(2) {
            return;
        }
        let mut apart = APART * unit;
        for rings in [RINGS, 1, 1] {
            let from = best.1;
            for (i, j) in (-rings..=rings).flat_map(|i| (-rings..=rings).map(move |j| (i, j))) {
                if (i, j) == (0, 0) || i * i + j * j > rings * rings + 1 {
                    continue;
                }
                let shift = from + apart * Vec2::new(f64::from(i), f64::from(j));
                let cost = cost(shift);
                if cost < best.0 {
                    best = (cost, shift);
                }
            }
            apart *= 0.5;
        }
        for k in self.strip(corner).start..self.strip(corner + 1).end {
            let by = best.1 * share(self.laid[k]);
            self.laid[k] += by;
        }
        self.settle_boxes();
    }
}

fn misfit(points: &[Followed], samples: &[Sample], shift: Vec2, unit: f64) -> f64 {
    let furthest = FURTHEST * unit;
    // Samples are some 6 mm apart at a violin's size: beyond that and the furthest, no sample is near.
    let none_near = (7.0 * unit).powi(2);
    let of_points: f64 = points
        .iter()
        .map(|point| {
            let (mut least, mut off) = (none_near, furthest);
            for sample in samples {
                let away = point.at - (sample.at + shift * sample.share);
                let d = away.hypot2();
                if d < least && point.strip.is_none_or(|strip| strip == sample.strip) {
                    least = d;
                    off = away.dot(sample.normal);
                }
            }
            (off * off).min(furthest * furthest)
        })
        .sum();
    of_points + shift.hypot2() / (CORNER_SD * CORNER_SD)
}
