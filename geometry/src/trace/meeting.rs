//! Where the traced runs meet.

use super::laid::Laid;
use crate::order::sort_by_value;
use crate::outline::{Bout, Corner};
use kurbo::Point;

/// A corner needs points within the first of these of it, and points of both its runs within the second; mm at a violin's size.
const NEAR: f64 = 25.0;
const FAR: f64 = 45.0;
/// The crossing of the runs may be further from the nearest point than points are from one another by this, mm at a
/// violin's size.
const BEYOND: f64 = 2.0;

impl Laid {
    /// Where the traced runs meet at a corner, in the frame of the pose; `None` if too little was traced near it.
    /// It is where the strips cross, unless that is further from the points than they are from one another, as it
    /// is if a mis-taken point lies by the corner; then half-way between the last points of the runs.
    pub fn meeting(&self, corner: Corner) -> Option<Point> {
        let half = corner.side() as usize;
        let which = if corner.bout() == Bout::Lower { 0 } else { 1 };
        let lengths = self.halves[half].lengths();
        // The last point of a run, and how far apart its last four are.
        let last = |strip: usize, end: usize| {
            let from_end = |length: f64| (length - lengths[end]).abs();
            let mut near: Vec<(f64, Point)> = self
                .on_strip(half, strip)
                .map(|(point, place)| (from_end(place.along(&lengths)), point.at))
                .collect();
            sort_by_value(&mut near, |(from_end, _)| *from_end);
            let (first, fourth) = (near.first()?, near.get(3).or(near.last())?);
            Some((first.1, (fourth.0 - first.0) / 3.0))
        };
        let (before, after) = self.corner_samples(half, which);
        let ((one, apart), (other, apart_too)) = (last(which, before)?, last(which + 1, after)?);
        let at = self.corner_at(half, which);
        let (near, far) =
            (one.distance(at).min(other.distance(at)), one.distance(at).max(other.distance(at)));
        if near > NEAR * self.unit || far > FAR * self.unit {
            return None;
        }
        let crossed = self.crossings[half][which].is_some();
        let believed = crossed && near < apart.max(apart_too) + BEYOND * self.unit;
        let at = if believed { at } else { one.midpoint(other) };
        Some(Point::new(corner.side().sign() * at.x, at.y))
    }
}
