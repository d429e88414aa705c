//! Circular arcs, and the tangent chain: arcs joined so that each takes over the heading of the last.
//!
//! A chain is held as a start point, a start heading and a list of signed radii and sweeps. Two
//! neighbours then share point and heading by construction: no set of values can put a kink in it.

use kurbo::{Affine, PathEl, Point, Vec2};
use std::f64::consts::{PI, TAU};

/// Unit vector of a heading, in radians counter-clockwise from +x.
pub fn direction(heading: f64) -> Vec2 {
    Vec2::new(heading.cos(), heading.sin())
}

/// Unit vector a quarter turn to the left of a heading.
pub fn left_of(heading: f64) -> Vec2 {
    Vec2::new(-heading.sin(), heading.cos())
}

/// The same angle within (-π, π].
pub fn wrap_angle(angle: f64) -> f64 {
    let turned = angle - TAU * (angle / TAU).round();
    if turned <= -PI { turned + TAU } else { turned }
}

/// Tighter than this, in mm, no parallel is drawn, sawn or bent.
const LEAST_RADIUS: f64 = 0.05;

/// An arc of a circle. Lengths in mm, angles in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arc {
    /// Where the compass point stands.
    pub centre: Point,
    /// The compass setting; always positive.
    pub radius: f64,
    /// Polar angle, seen from the centre, at which the arc begins.
    pub start: f64,
    /// Signed sweep: positive counter-clockwise.
    pub sweep: f64,
}

impl Arc {
    /// The point at polar angle `start + t * sweep`.
    pub fn at(&self, t: f64) -> Point {
        self.centre + self.radius * direction(self.start + t * self.sweep)
    }

    /// The heading in which the arc is travelled at `t`.
    pub fn heading(&self, t: f64) -> f64 {
        wrap_angle(self.start + t * self.sweep + PI.copysign(self.sweep) / 2.0)
    }

    pub fn length(&self) -> f64 {
        self.radius * self.sweep.abs()
    }

    /// The same arc as a kurbo shape.
    pub fn to_kurbo(&self) -> kurbo::Arc {
        kurbo::Arc::new(self.centre, (self.radius, self.radius), self.start, self.sweep, 0.0)
    }

    /// How far along the arc (0 at its start, 1 at its end) the polar angle of `point` lies.
    /// Outside the arc the nearer end wins, so the value is below 0 or above 1 without a jump
    /// until the opposite side of the circle.
    pub fn parameter_of(&self, point: Point) -> f64 {
        let seen = point - self.centre;
        let middle = self.start + 0.5 * self.sweep;
        0.5 + wrap_angle(seen.y.atan2(seen.x) - middle) / self.sweep
    }

    /// The arc about the same centre, `distance` mm to the left of this one as it is travelled (negative: to the right).
    /// `None` where it would be too tight to be drawn, or inside out.
    pub fn parallel(&self, distance: f64) -> Option<Arc> {
        let radius = self.radius - distance.copysign(distance * self.sweep);
        (radius >= LEAST_RADIUS).then_some(Arc { radius, ..*self })
    }

    /// The points in which the whole circles of two arcs meet.
    pub fn circles_meet(&self, other: &Arc) -> Vec<Point> {
        let between = other.centre - self.centre;
        let apart = between.hypot();
        if apart < 1e-12 {
            return Vec::new();
        }
        let along = (apart * apart + self.radius * self.radius - other.radius * other.radius) / (2.0 * apart);
        let half = self.radius * self.radius - along * along;
        if half < 0.0 {
            return Vec::new();
        }
        let unit = between / apart;
        let (foot, side) = (self.centre + along * unit, half.sqrt() * Vec2::new(-unit.y, unit.x));
        vec![foot + side, foot - side]
    }

    /// Smallest and largest x and y.
    pub fn bounds(&self) -> kurbo::Rect {
        let ends = kurbo::Rect::from_points(self.at(0.0), self.at(1.0));
        let outermost = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)]
            .map(|way| self.centre + self.radius * Vec2::from(way));
        let passed = outermost.into_iter().filter(|point| (0.0..=1.0).contains(&self.parameter_of(*point)));
        passed.fold(ends, |bounds, point| bounds.union_pt(point))
    }

    /// Distance from `point` to the arc, ends included.
    pub fn distance(&self, point: Point) -> f64 {
        let t = self.parameter_of(point);
        if (0.0..=1.0).contains(&t) {
            ((point - self.centre).hypot() - self.radius).abs()
        } else {
            point.distance(self.at(0.0)).min(point.distance(self.at(1.0)))
        }
    }
}

/// One piece of a chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    /// Signed radius in mm: positive where the chain turns left.
    pub radius: f64,
    /// How far it turns, in radians; not negative.
    pub sweep: f64,
}

/// A run of arcs that share point and heading at every joint.
///
/// ```
/// use ribline_geometry::arc::{Chain, Piece};
/// let run = Chain::new((0.0, 0.0).into(), 0.0, vec![
///     Piece { radius: 100.0, sweep: 0.6 },
///     Piece { radius: -20.0, sweep: 0.9 },
/// ]);
/// let [one, two] = run.arcs()[..] else { unreachable!() };
/// assert!((one.at(1.0) - two.at(0.0)).hypot() < 1e-12);
/// assert!((one.heading(1.0) - two.heading(0.0)).abs() < 1e-12);
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    pub start: Point,
    /// Heading at the start, radians counter-clockwise from +x.
    pub heading: f64,
    pub pieces: Vec<Piece>,
}

/// The place on a chain nearest to a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// Which arc of the chain.
    pub piece: usize,
    /// Where on that arc, 0 to 1.
    pub t: f64,
    pub point: Point,
    /// Signed distance in mm: positive to the left of the chain, which is inside an outline.
    pub offset: f64,
}

impl Chain {
    pub fn new(start: Point, heading: f64, pieces: Vec<Piece>) -> Self {
        Chain { start, heading, pieces }
    }

    /// The chain's arcs in order, each with its centre.
    pub fn arcs(&self) -> Vec<Arc> {
        let (mut at, mut heading) = (self.start, self.heading);
        self.pieces
            .iter()
            .map(|piece| {
                let centre = at + piece.radius * left_of(heading);
                let sweep = piece.sweep.copysign(piece.radius);
                let arc = Arc {
                    centre,
                    radius: piece.radius.abs(),
                    start: wrap_angle(heading - PI.copysign(piece.radius) / 2.0),
                    sweep,
                };
                heading += sweep;
                at = centre - piece.radius * left_of(heading);
                arc
            })
            .collect()
    }

    /// A chain from arcs that already touch end to end, e.g. those of an evaluated recipe.
    /// Point and heading are taken from the first arc.
    pub fn from_arcs(arcs: &[Arc]) -> Option<Self> {
        let first = arcs.first()?;
        let pieces = arcs
            .iter()
            .map(|arc| Piece { radius: arc.radius.copysign(arc.sweep), sweep: arc.sweep.abs() })
            .collect();
        Some(Chain::new(first.at(0.0), first.heading(0.0), pieces))
    }

    pub fn end(&self) -> Point {
        self.arcs().last().map_or(self.start, |arc| arc.at(1.0))
    }

    pub fn end_heading(&self) -> f64 {
        self.heading + self.pieces.iter().map(|p| p.sweep.copysign(p.radius)).sum::<f64>()
    }

    /// Length in mm.
    pub fn length(&self) -> f64 {
        self.pieces.iter().map(|p| p.radius.abs() * p.sweep).sum()
    }

    /// The same line travelled the other way.
    pub fn reversed(&self) -> Self {
        let pieces = self.pieces.iter().rev().map(|p| Piece { radius: -p.radius, sweep: p.sweep }).collect();
        Chain::new(self.end(), wrap_angle(self.end_heading() + PI), pieces)
    }

    /// The image in the line x = 0, travelled in the mirrored direction (so left becomes right).
    pub fn mirrored(&self) -> Self {
        let pieces = self.pieces.iter().map(|p| Piece { radius: -p.radius, sweep: p.sweep }).collect();
        Chain::new(Point::new(-self.start.x, self.start.y), wrap_angle(PI - self.heading), pieces)
    }

    /// Turned by `angle` about the origin, then shifted.
    pub fn moved(&self, angle: f64, shift: Vec2) -> Self {
        let start = Affine::translate(shift) * Affine::rotate(angle) * self.start;
        Chain::new(start, wrap_angle(self.heading + angle), self.pieces.clone())
    }

    /// The chain at a constant distance to the left (negative: to the right), in mm.
    /// `None` where an arc bends too tightly for it: its parallel would turn inside out.
    pub fn offset(&self, distance: f64) -> Option<Self> {
        let pieces = self
            .pieces
            .iter()
            .map(|p| {
                let radius = p.radius - distance;
                (radius * p.radius > 0.0).then_some(Piece { radius, sweep: p.sweep })
            })
            .collect::<Option<Vec<_>>>()?;
        Some(Chain::new(self.start + distance * left_of(self.heading), self.heading, pieces))
    }

    /// The nearest place on the chain. `None` only for a chain without arcs.
    pub fn nearest(&self, point: Point) -> Option<Nearest> {
        let arcs = self.arcs();
        let mut best: Option<(f64, Nearest)> = None;
        for (piece, arc) in arcs.iter().enumerate() {
            let t = arc.parameter_of(point).clamp(0.0, 1.0);
            let t = if t.is_nan() { 0.0 } else { t };
            let on = arc.at(t);
            let distance = on.distance(point);
            if best.as_ref().is_none_or(|(least, _)| distance < *least) {
                let side = (point - on).dot(left_of(arc.heading(t)));
                best = Some((distance, Nearest { piece, t, point: on, offset: distance.copysign(side) }));
            }
        }
        best.map(|(_, nearest)| nearest)
    }

    /// Points along the chain no further apart than `spacing` mm, both ends included, with the heading at each.
    pub fn sampled(&self, spacing: f64) -> Vec<(Point, f64)> {
        let mut points = Vec::new();
        let arcs = self.arcs();
        for (k, arc) in arcs.iter().enumerate() {
            let steps = (arc.length() / spacing).ceil().clamp(1.0, 100_000.0) as usize;
            let last = if k + 1 == arcs.len() { steps } else { steps - 1 };
            points.extend((0..=last).map(|i| {
                let t = i as f64 / steps as f64;
                (arc.at(t), arc.heading(t))
            }));
        }
        points
    }

    /// Cubic Bézier segments that follow the chain within `tolerance` mm, without the initial move.
    pub fn path_elements(&self, tolerance: f64) -> Vec<PathEl> {
        self.arcs().iter().flat_map(|arc| arc.to_kurbo().append_iter(tolerance).collect::<Vec<_>>()).collect()
    }
}

/// The circle that lies nearest to a set of points, least squares of the distances.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FittedCircle {
    pub centre: Point,
    pub radius: f64,
}

/// Algebraic circle fit: minimises the squares of x² + y² + bx + cy + d. Quick, exact on exact data,
/// and biased towards small radii on short noisy arcs; a starting value.
/// `None` for fewer than three points or points on a line.
/// Source: Gander, Golub, Strebel, "Least-squares fitting of circles and ellipses", BIT 34 (1994), section 2;
/// here with the coefficient of x² + y² fixed at 1 rather than the coefficient vector's norm.
pub fn quick_circle(points: &[Point]) -> Option<FittedCircle> {
    if points.len() < 3 {
        return None;
    }
    let n = points.len() as f64;
    let mean = (points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n).to_point();
    let (mut xx, mut xy, mut yy, mut xz, mut yz, mut zz) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for p in points {
        let v = *p - mean;
        let z = v.hypot2();
        xx += v.x * v.x;
        xy += v.x * v.y;
        yy += v.y * v.y;
        xz += v.x * z;
        yz += v.y * z;
        zz += z;
    }
    let determinant = xx * yy - xy * xy;
    // Below this the points deviate from a line by less than a millionth of their spread.
    if determinant <= 1e-12 * (xx + yy).powi(2) {
        return None;
    }
    let centre = Vec2::new(0.5 * (xz * yy - yz * xy) / determinant, 0.5 * (yz * xx - xz * xy) / determinant);
    let radius = (zz / n + centre.hypot2()).sqrt();
    Some(FittedCircle { centre: mean + centre, radius })
}

/// Geometric circle fit: minimises the squares of the distances to the circle, by Gauss-Newton from
/// [`quick_circle`]. `None` where that has no answer or the steps do not settle.
/// Source: the same paper, section 3.
pub fn nearest_circle(points: &[Point]) -> Option<FittedCircle> {
    let FittedCircle { mut centre, mut radius } = quick_circle(points)?;
    for _ in 0..200 {
        let mut normal = nalgebra::Matrix3::<f64>::zeros();
        let mut right = nalgebra::Vector3::<f64>::zeros();
        for p in points {
            let v = *p - centre;
            let distance = v.hypot();
            if distance < 1e-12 {
                continue;
            }
            let row = nalgebra::Vector3::new(-v.x / distance, -v.y / distance, -1.0);
            normal += row * row.transpose();
            right -= row * (distance - radius);
        }
        let step = normal.cholesky()?.solve(&right);
        centre += Vec2::new(step.x, step.y);
        radius += step.z;
        if !(centre.is_finite() && radius.is_finite()) {
            return None;
        }
        if step.norm() < 1e-12 * (1.0 + radius.abs()) {
            return (radius > 0.0).then_some(FittedCircle { centre, radius });
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn any_chain() -> impl Strategy<Value = Chain> {
        let piece =
            (10.0..300.0, 0.01..1.2, any::<bool>()).prop_map(|(radius, sweep, left): (f64, f64, bool)| {
                Piece { radius: if left { radius } else { -radius }, sweep }
            });
        (-50.0..50.0, -50.0..50.0, -3.0..3.0, prop::collection::vec(piece, 1..7))
            .prop_map(|(x, y, heading, pieces)| Chain::new(Point::new(x, y), heading, pieces))
    }

    proptest! {
        #[test]
        fn a_chain_keeps_point_and_heading_at_every_joint(chain in any_chain()) {
            for pair in chain.arcs().windows(2) {
                prop_assert!(pair[0].at(1.0).distance(pair[1].at(0.0)) < 1e-9);
                prop_assert!(wrap_angle(pair[0].heading(1.0) - pair[1].heading(0.0)).abs() < 1e-9);
            }
        }

        #[test]
        fn bounds_are_those_of_the_path(chain in any_chain()) {
            use kurbo::Shape;
            for arc in chain.arcs() {
                let (bounds, path) = (arc.bounds(), arc.to_kurbo().to_path(1e-6).bounding_box());
                for (ours, other) in [
                    (bounds.x0, path.x0),
                    (bounds.y0, path.y0),
                    (bounds.x1, path.x1),
                    (bounds.y1, path.y1),
                ] {
                    prop_assert!((ours - other).abs() < 1e-5, "{bounds:?} and {path:?}");
                }
            }
        }

        #[test]
        fn reversing_twice_and_mirroring_twice_give_the_chain_back(chain in any_chain()) {
            for again in [chain.reversed().reversed(), chain.mirrored().mirrored()] {
                prop_assert!(again.start.distance(chain.start) < 1e-9);
                prop_assert!(again.end().distance(chain.end()) < 1e-9);
                prop_assert!(wrap_angle(again.heading - chain.heading).abs() < 1e-9);
            }
        }

        #[test]
        fn a_rigid_motion_moves_every_point_alike(chain in any_chain(), turn in -3.0..3.0) {
            let shift = Vec2::new(7.0, -3.0);
            let motion = Affine::translate(shift) * Affine::rotate(turn);
            let moved = chain.moved(turn, shift);
            for ((p, _), (q, _)) in chain.sampled(9.0).iter().zip(moved.sampled(9.0)) {
                prop_assert!((motion * *p).distance(q) < 1e-8);
            }
        }

        #[test]
        fn every_point_of_an_offset_lies_at_that_distance(chain in any_chain(), distance in -9.0..9.0) {
            let offset = chain.offset(distance).unwrap();
            for ((p, heading), (q, _)) in chain.sampled(5.0).iter().zip(offset.sampled(5.0)).take(1) {
                prop_assert!(((q - *p).dot(left_of(*heading)) - distance).abs() < 1e-9);
            }
            for (one, two) in chain.arcs().iter().zip(offset.arcs()) {
                prop_assert!(one.centre.distance(two.centre) < 1e-8);
            }
        }
    }

    #[test]
    fn bezier_conversion_stays_within_a_millionth_of_a_millimetre() {
        let chain = Chain::new(
            Point::ZERO,
            0.0,
            vec![Piece { radius: 150.0, sweep: 0.9 }, Piece { radius: -17.0, sweep: 1.4 }],
        );
        let mut path = kurbo::BezPath::new();
        path.move_to(chain.start);
        path.extend(chain.path_elements(1e-6));
        use kurbo::ParamCurve;
        for segment in path.segments() {
            for i in 0..=50 {
                let p = segment.eval(f64::from(i) / 50.0);
                let off = chain.nearest(p).unwrap().offset.abs();
                assert!(off <= 1e-6, "{off}");
            }
        }
    }
}
