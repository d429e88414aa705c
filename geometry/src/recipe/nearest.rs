//! What of a drawn recipe is meant when somebody points at the drawing.

use super::PartialConstruction;
use kurbo::{Point, Rect};

/// What is being looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    Point,
    Circle,
    Either,
}

impl PartialConstruction {
    /// The step whose point, centre or circle lies nearest to `at`, if within so many mm. Points and centres come before
    /// lines: they are small, and lie on lines. Only steps before `before` are looked at.
    ///
    /// ```
    /// use ribline_geometry::recipe::{Wanted, built_in};
    /// let drawn = built_in::violin().evaluate_partial();
    /// assert_eq!(drawn.nearest((0.5, 354.0).into(), 3.0, Wanted::Point, 99), Some(1));
    /// ```
    pub fn nearest(&self, at: Point, within: f64, wanted: Wanted, before: usize) -> Option<usize> {
        let points =
            self.points.iter().filter(|_| wanted != Wanted::Circle).map(|p| (p.step, p.at.distance(at)));
        let circles = || self.circles.iter().filter(|_| wanted != Wanted::Point);
        let centres = circles().map(|c| (c.step, c.centre.distance(at)));
        let lines = circles().map(|c| (c.step, (c.centre.distance(at) - c.radius).abs()));
        let best = |all: &mut dyn Iterator<Item = (usize, f64)>| {
            all.filter(|(step, off)| *step < before && *off <= within)
                .min_by(|one, other| one.1.total_cmp(&other.1))
                .map(|(step, _)| step)
        };
        best(&mut points.chain(centres)).or_else(|| best(&mut { lines }))
    }

    /// The part of the board that the recipe takes up, in mm: its outline, or as much of it as there is.
    pub fn extent(&self) -> Rect {
        if let Some(whole) = &self.whole {
            return whole.outline.bounds();
        }
        let lengths = self.lengths.iter().flatten();
        let up = self.lengths.first().copied().flatten().unwrap_or(355.0);
        // The widest that a body is for its length, where no width is known.
        let half = lengths.skip(1).copied().fold(0.6 * up, f64::max).min(up) / 2.0;
        let mut extent = Rect::new(-half, 0.0, half, up);
        for point in &self.points {
            let (x, y) = (point.at.x.abs().min(up), point.at.y.clamp(-up, 2.0 * up));
            extent = extent.union(Rect::new(-x, y, x, y));
        }
        extent
    }
}

#[cfg(test)]
mod tests {
    use super::super::built_in::{built_in, violin};
    use super::*;

    #[test]
    fn every_point_and_every_circle_can_be_pointed_at() {
        for recipe in built_in() {
            let drawn = recipe.evaluate_partial();
            for point in &drawn.points {
                assert_eq!(drawn.nearest(point.at, 1.0, Wanted::Point, 99), Some(point.step));
            }
            for circle in &drawn.circles {
                let found = drawn.nearest(circle.centre, 1.0, Wanted::Circle, 99);
                // Concentric circles are told apart on their lines.
                let found = drawn.circles.iter().find(|c| Some(c.step) == found).unwrap();
                assert!(found.centre.distance(circle.centre) < 1e-6);
            }
        }
    }

    #[test]
    fn nothing_is_meant_far_from_everything_or_after_the_step_at_hand() {
        let drawn = violin().evaluate_partial();
        assert_eq!(drawn.nearest(Point::new(500.0, 900.0), 5.0, Wanted::Either, 99), None);
        let top = Point::new(0.0, 355.0);
        assert_eq!(drawn.nearest(top, 1.0, Wanted::Point, 1), None);
        assert_eq!(drawn.nearest(Point::new(f64::NAN, 0.0), 5.0, Wanted::Either, 99), None);
    }
}
