//! The centreline as the line in which the two halves mirror each other.

use super::Frame;
use super::give::Followed;
use super::strips::Half;
use crate::outline::Side;
use kurbo::{Point, Vec2};
use nalgebra::{Matrix2, Vector2};

/// Places where the halves differ by more than this have less say, mm at a violin's size. At first the line itself is
/// off; at last halves differ by about 1 mm, but for a corner that came out elsewhere.
const UNEVEN: [f64; 9] = [6.0, 4.0, 2.5, 1.5, 1.0, 1.0, 1.0, 1.0, 1.0];
/// A sample with no point within so much of it, mm at a violin's size, says nothing: only the recipe is there.
const SUPPORTED: f64 = 18.0;

/// What is held while the centreline is sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Through {
    Anywhere,
    /// The centreline goes through this place of the present frame.
    Pin(Point),
}

/// The centreline about which the halves, laid in `frame`, mirror each other best: the sum over the places
/// traced on both sides, evenly along the line however densely each was traced, of the robust squares of
/// what they differ by. `None` if hardly any place was traced on both sides.
pub(super) fn centreline(
    frame: Frame,
    halves: &[Half; 2],
    followed: &[Vec<Followed>; 2],
    through: Through,
    unit: f64,
) -> Option<Frame> {
    let supported = [supported(&halves[0], &followed[0], unit), supported(&halves[1], &followed[1], unit)];
    // The line through here, and how it is moved from there: sideways, and sideways per height.
    let pivot = match through {
        Through::Anywhere => Point::new(0.0, 180.0 * unit),
        Through::Pin(at) => at,
    };
    let (mut shift, mut turn) = (0.0, 0.0);
    for uneven in UNEVEN {
        let line = Line { at: pivot + Vec2::new(shift, 0.0), turn };
        let mut normal = Matrix2::<f64>::zeros();
        let mut right = Vector2::zeros();
        let mut count = 0;
        for (side, sign) in [(0, Side::Left.sign()), (1, Side::Right.sign())] {
            let (from, onto) = (&halves[side], &halves[1 - side]);
            for (strip, k) in (0..3).flat_map(|s| from.strip(s).step_by(2).map(move |k| (s, k))) {
                let p = from.laid[k];
                if !supported[side][k] {
                    continue;
                }
                // In the frame, mirrored, and in the coordinates of the other half.
                let image = line.mirror(Point::new(sign * p.x, p.y));
                let image = Point::new(-sign * image.x, image.y);
                let place = onto.nearest(image, Some(strip));
                let near = place.sample + usize::from(place.t > 0.5);
                if !supported[1 - side][near] || place.distance > 20.0 * unit {
                    continue;
                }
                count += 1;
                // A shift of the line by 1 moves the image by 2 across, a turn by 2 * (height above the pivot)
                // across and, to the other side, by 2 * (distance out) along.
                let n = Vec2::new(-sign * place.normal.x, place.normal.y);
                let v = Point::new(sign * p.x, p.y) - line.at;
                let row = Vector2::new(2.0 * n.x, 2.0 * (n.x * v.y + n.y * v.x));
                let off = place.off;
                let weight = 1.0 / (1.0 + (off / (uneven * unit)).powi(2));
                normal += row * row.transpose() * weight;
                right -= row * (weight * off);
            }
        }
        if count < 20 {
            return None;
        }
        if through != Through::Anywhere {
            // No shift.
            normal[(0, 0)] = 1.0;
            normal[(0, 1)] = 0.0;
            normal[(1, 0)] = 0.0;
            right[0] = 0.0;
        }
        let step = normal.cholesky()?.solve(&right);
        shift += step.x;
        turn += step.y;
        if !(shift.is_finite() && turn.is_finite() && turn.abs() < 0.5) {
            return None;
        }
    }
    let at = pivot + Vec2::new(shift, 0.0);
    // The line leans to the right by `turn`: the frame turns clockwise.
    Some(Frame { origin: frame.to_given(at), angle: frame.angle - turn.atan() })
}

struct Line {
    at: Point,
    /// Sideways per height.
    turn: f64,
}

impl Line {
    fn mirror(&self, p: Point) -> Point {
        let along = Vec2::new(self.turn, 1.0) / self.turn.hypot(1.0);
        let v = p - self.at;
        self.at + along * (2.0 * v.dot(along)) - v
    }
}

fn supported(half: &Half, followed: &[Followed], unit: f64) -> Vec<bool> {
    let mut supported = vec![false; half.laid.len()];
    for point in followed {
        let place = half.nearest(point.at, point.strip);
        if place.distance > 4.0 * unit {
            continue;
        }
        let strip = half.strip(place.strip);
        let foot = half.foot(&place);
        let within = |k: &usize| half.laid[*k].distance(foot) < SUPPORTED * unit;
        for k in (strip.start..=place.sample).rev().take_while(within) {
            supported[k] = true;
        }
        for k in (place.sample + 1..strip.end).take_while(within) {
            supported[k] = true;
        }
    }
    // What is carried on past the corners was not traced.
    for corner in 0..4 {
        let (at, strip) = (half.corner[corner], corner.div_ceil(2));
        let past = if corner % 2 == 0 { at + 1..half.strip(strip).end } else { half.strip(strip).start..at };
        for k in past {
            supported[k] = false;
        }
    }
    for k in (0..half.centreline[0]).chain(half.centreline[1] + 1..half.laid.len()) {
        supported[k] = false;
    }
    supported
}
