//! Where a compass of given setting has to stand so that its circle touches other circles or passes
//! through a point.
//!
//! Circles that touch have their centres and the point of contact in one line (Euclid, Elements III.11
//! and III.12), so a centre lies at the sum of the radii from the centre of a circle touched from
//! outside, at their difference from that of a circle touched inside. A point to pass through is
//! a circle of no size. Every placement thus comes down to the two points at given distances from two
//! others.

use super::TouchFrom;
use kurbo::{Point, Vec2};

/// A circle: where the compass stands and how far it is opened, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    pub centre: Point,
    pub radius: f64,
}

impl Circle {
    /// How far the centre of a circle of `radius` lies from the centre of this one, if they touch.
    pub fn distance_when_touched(self, from: TouchFrom, radius: f64) -> f64 {
        match from {
            TouchFrom::Inside => (self.radius - radius).abs(),
            TouchFrom::Outside => self.radius + radius,
        }
    }

    /// The point of contact with another circle that touches this one: on the line through both
    /// centres. `None` where the centres coincide, as no line goes through them then.
    pub fn contact(self, other: Circle) -> Option<Point> {
        // Inside, the contact lies beyond the smaller circle's centre; outside, between the two centres:
        // either way it is found by going from the larger one's centre towards the smaller one's.
        let (large, small) = if self.radius >= other.radius { (self, other) } else { (other, self) };
        let apart = small.centre - large.centre;
        let distance = apart.hypot();
        if distance <= 1e-12 * large.radius || !distance.is_finite() {
            return None;
        }
        Some(large.centre + large.radius / distance * apart)
    }
}

/// The two points at distance `first` from `one` and `second` from `other`: the first of them to the
/// left when looking from `one` to `other`. `None` where there is none.
///
/// ```
/// use kurbo::Point;
/// use ribline_geometry::recipe::tangency::at_distances;
/// let [left, right] = at_distances(Point::ZERO, 5.0, Point::new(6.0, 0.0), 5.0).unwrap();
/// assert!(left.distance(Point::new(3.0, 4.0)) < 1e-12);
/// assert!(right.distance(Point::new(3.0, -4.0)) < 1e-12);
/// ```
pub fn at_distances(one: Point, first: f64, other: Point, second: f64) -> Option<[Point; 2]> {
    let line = other - one;
    let apart = line.hypot();
    let scale = apart.max(first.abs()).max(second.abs());
    if apart <= 1e-9 * scale || !scale.is_finite() {
        return None;
    }
    let along = (apart * apart + first * first - second * second) / (2.0 * apart);
    let square = first * first - along * along;
    // A setting that only just does leaves rounding here; the circle then misses by some 1e-10 of its size.
    if square < -1e-10 * scale * scale {
        return None;
    }
    let across = square.max(0.0).sqrt();
    let unit = line / apart;
    let foot = one + along * unit;
    let square_to = Vec2::new(-unit.y, unit.x);
    Some([foot + across * square_to, foot - across * square_to])
}

/// The compass setting nearest to `given` with which a circle can touch both: a point to pass through
/// is a circle of radius nought touched from outside. `None` where no setting will do.
///
/// Both distances of the sought centre are broken lines in the radius, and a centre exists where their
/// sum is at least, and their difference at most, the distance of the two given centres. The limits
/// are therefore found among a handful of straight-line equations.
pub fn nearest_setting(one: (Circle, TouchFrom), other: (Circle, TouchFrom), given: f64) -> Option<f64> {
    let apart = one.0.centre.distance(other.0.centre);
    let distance =
        |(circle, from): (Circle, TouchFrom), radius: f64| circle.distance_when_touched(from, radius);
    let scale = apart.max(one.0.radius).max(other.0.radius).max(given.abs());
    let does = |radius: f64| {
        let (first, second) = (distance(one, radius), distance(other, radius));
        let slack = 1e-9 * scale;
        first + second >= apart - slack && (first - second).abs() <= apart + slack
    };
    // Each distance as intercept + slope * radius, on either side of its bend.
    let lines = |(circle, from): (Circle, TouchFrom)| match from {
        TouchFrom::Outside => [(circle.radius, 1.0), (circle.radius, 1.0)],
        TouchFrom::Inside => [(circle.radius, -1.0), (-circle.radius, 1.0)],
    };
    let mut nearest: Option<f64> = None;
    for (a, b) in lines(one) {
        for (c, d) in lines(other) {
            for (intercept, slope) in [(a + c, b + d), (a - c, b - d), (c - a, d - b)] {
                if slope == 0.0 {
                    continue;
                }
                let radius = (apart - intercept) / slope;
                let usable = radius > 1e-9 * scale && radius.is_finite() && does(radius);
                if usable && nearest.is_none_or(|n| (radius - given).abs() < (n - given).abs()) {
                    nearest = Some(radius);
                }
            }
        }
    }
    nearest
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_circle() -> impl Strategy<Value = Circle> {
        (-100.0..100.0, -100.0..100.0, 5.0..120.0)
            .prop_map(|(x, y, radius): (f64, f64, f64)| Circle { centre: Point::new(x, y), radius })
    }

    fn any_from() -> impl Strategy<Value = TouchFrom> {
        prop_oneof![Just(TouchFrom::Inside), Just(TouchFrom::Outside)]
    }

    proptest! {
        /// Euclid, Elements III.11 (inside) and III.12 (outside).
        #[test]
        fn both_centres_and_the_contact_lie_in_one_line_and_the_contact_on_both_circles(
            one in any_circle(), other in any_circle(), from in any_from(), other_from in any_from(), radius in 5.0..120.0
        ) {
            let first = one.distance_when_touched(from, radius);
            let second = other.distance_when_touched(other_from, radius);
            for centre in at_distances(one.centre, first, other.centre, second).into_iter().flatten() {
                let placed = Circle { centre, radius };
                for touched in [one, other] {
                    // Nearly the same circle: where they touch is anybody's guess.
                    if centre.distance(touched.centre) < 0.1 { continue; }
                    let contact = placed.contact(touched).unwrap();
                    prop_assert!((contact.distance(centre) - radius).abs() < 1e-5);
                    prop_assert!((contact.distance(touched.centre) - touched.radius).abs() < 1e-5);
                    let off_line = (touched.centre - centre).cross(contact - centre) / centre.distance(touched.centre);
                    prop_assert!(off_line.abs() < 1e-9);
                }
            }
        }

        #[test]
        fn the_nearest_setting_just_does_and_one_step_back_does_not(
            one in any_circle(), other in any_circle(), from in any_from(), other_from in any_from(), radius in 1.0..300.0
        ) {
            let centres = |radius: f64| at_distances(
                one.centre, one.distance_when_touched(from, radius),
                other.centre, other.distance_when_touched(other_from, radius),
            );
            if centres(radius).is_none() && let Some(least) = nearest_setting((one, from), (other, other_from), radius) {
                prop_assert!(centres(least).is_some(), "{least} should do");
                let short = least + (radius - least) * 0.05;
                prop_assert!((short - least).abs() < 1e-3 || centres(short).is_none(), "{short} should not do");
            }
        }
    }
}
