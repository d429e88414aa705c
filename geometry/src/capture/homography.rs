//! The projective map between a flat board and its picture.
//!
//! Source: Hartley, Zisserman, "Multiple View Geometry in Computer Vision", 2nd ed., 4.1 (direct linear transformation),
//! 4.4 (normalising) and 4.5 (refining by least squares).

use kurbo::{Point, Size, Vec2};
use nalgebra::{DMatrix, DVector, Matrix2, Matrix3, Vector3};

/// A projective map of the plane: (x, y, 1) to (X, Y, W), and so to (X/W, Y/W).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Homography {
    /// Row by row. Only the proportions of the nine matter.
    rows: Matrix3<f64>,
}

/// Why places in one plane and in the other determine no map.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum HomographyError {
    #[error("Four marks are needed for the scale; there are {0}. Tap the missing ones.")]
    TooFew(usize),
    #[error(
        "Three of the four marks lie on one line, so they say nothing of the perspective. Take marks that form a rectangle."
    )]
    OnALine,
    #[error("The marks are not in their order around the board. Tap each where it is asked for.")]
    OutOfOrder,
}

/// Steps of the refinement; it settles in three or four.
const MOST_STEPS: usize = 12;
/// Of normalised marks the area of a proper triangle is near 1; below this, three are on a line.
const LEAST_AREA: f64 = 1e-3;

impl Homography {
    pub const IDENTITY: Homography =
        Homography { rows: Matrix3::new(1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0) };

    /// From its nine numbers, row by row. `None` where they make no map.
    pub fn from_rows(rows: [f64; 9]) -> Option<Self> {
        Self::of(Matrix3::from_row_slice(&rows))
    }

    fn of(rows: Matrix3<f64>) -> Option<Self> {
        let size = rows.norm();
        let rows = rows / size;
        let sound = size.is_finite() && size > 0.0 && rows.determinant().abs() > 1e-18;
        sound.then_some(Homography { rows })
    }

    /// The nine numbers, row by row, the last of them 1 where it can be.
    pub fn rows(&self) -> [f64; 9] {
        let last = self.rows[(2, 2)];
        let by = if last.abs() > 1e-12 { last } else { 1.0 };
        let mut rows = [0.0; 9];
        for (k, value) in rows.iter_mut().enumerate() {
            *value = self.rows[(k / 3, k % 3)] / by;
        }
        rows
    }

    /// From a picture of one size, pixels, to the same picture of another. `None` where one of them has no area.
    pub fn between(from: Size, to: Size) -> Option<Self> {
        let by = Vec2::new(to.width / from.width, to.height / from.height);
        let real = |by: f64| by.is_finite() && by > 0.0;
        if !(real(by.x) && real(by.y)) {
            return None;
        }
        Self::of(Matrix3::from_diagonal(&[by.x, by.y, 1.0].into()))
    }

    /// A turn, a scale and a shift: the map that takes `from` to `to`, whose y axes run opposite ways (pixels are counted
    /// downwards, millimetres upwards). `None` where the two places are one.
    pub fn similarity(from: [Point; 2], to: [Point; 2]) -> Option<Self> {
        let (v, w) = (from[1] - from[0], to[1] - to[0]);
        let square = v.hypot2();
        if square.is_nan() || square <= 1e-12 || w.hypot2() <= 1e-12 {
            return None;
        }
        // w = z * conj(v): a reflection in the x axis, then a turn and a scale.
        let (re, im) = ((w.x * v.x - w.y * v.y) / square, (w.y * v.x + w.x * v.y) / square);
        let shift = to[0] - Point::new(re * from[0].x + im * from[0].y, im * from[0].x - re * from[0].y);
        Self::of(Matrix3::new(re, im, shift.x, im, -re, shift.y, 0.0, 0.0, 1.0))
    }

    /// The map that takes `from` to `to`: exactly for four places, for more with the least squares of what is left over
    /// in the plane of `to`.
    ///
    /// ```
    /// use ribline_geometry::capture::Homography;
    /// let square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)].map(Into::into);
    /// let seen = [(10.0, 80.0), (90.0, 85.0), (75.0, 20.0), (20.0, 22.0)].map(Into::into);
    /// let map = Homography::through(&square, &seen)?;
    /// assert!(map.at(square[2]).distance(seen[2]) < 1e-9);
    /// # Ok::<(), ribline_geometry::capture::HomographyError>(())
    /// ```
    ///
    /// # Errors
    /// Fewer than four places, three of four on a line, or an order that no view of a board can have.
    pub fn through(from: &[Point], to: &[Point]) -> Result<Self, HomographyError> {
        let count = from.len().min(to.len());
        if count < 4 {
            return Err(HomographyError::TooFew(count));
        }
        let (from, to) = (&from[..count], &to[..count]);
        let (near, far) = (Normal::of(from), Normal::of(to));
        let (a, b) = (near.all(from), far.all(to));
        if on_a_line(&a) || on_a_line(&b) {
            return Err(HomographyError::OnALine);
        }
        let linear = direct_linear(&a, &b).ok_or(HomographyError::OnALine)?;
        let refined = if count > 4 { refined(linear, &a, &b) } else { linear };
        let map =
            Self::of(far.matrix().try_inverse().ok_or(HomographyError::OnALine)? * refined * near.matrix())
                .ok_or(HomographyError::OnALine)?;
        // A camera sees nothing that is behind it: the third coordinate has the same sign for all.
        let signs = from.iter().map(|p| map.third(*p));
        let (low, high) = signs.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        if low <= 0.0 && high >= 0.0 { Err(HomographyError::OutOfOrder) } else { Ok(map) }
    }

    fn third(&self, p: Point) -> f64 {
        self.rows[(2, 0)] * p.x + self.rows[(2, 1)] * p.y + self.rows[(2, 2)]
    }

    /// Where a place comes to lie. Not finite on the horizon.
    pub fn at(&self, p: Point) -> Point {
        let v = self.rows * Vector3::new(p.x, p.y, 1.0);
        Point::new(v.x / v.z, v.y / v.z)
    }

    /// Neither place nor any between them lies on the horizon, beyond which everything is seen upside down.
    pub fn on_one_side(&self, a: Point, b: Point) -> bool {
        self.third(a) * self.third(b) > 0.0
    }

    /// How the place moves with `p`: the columns are its derivatives by x and by y.
    pub fn jacobian(&self, p: Point) -> Matrix2<f64> {
        let h = &self.rows;
        let (at, w) = (self.at(p), self.third(p));
        Matrix2::new(
            (h[(0, 0)] - at.x * h[(2, 0)]) / w,
            (h[(0, 1)] - at.x * h[(2, 1)]) / w,
            (h[(1, 0)] - at.y * h[(2, 0)]) / w,
            (h[(1, 1)] - at.y * h[(2, 1)]) / w,
        )
    }

    /// A small step at `p` as it comes out.
    pub fn step(&self, p: Point, by: Vec2) -> Vec2 {
        let j = self.jacobian(p);
        Vec2::new(j[(0, 0)] * by.x + j[(0, 1)] * by.y, j[(1, 0)] * by.x + j[(1, 1)] * by.y)
    }

    /// The least and the largest length that a step of length 1 at `p` comes out with.
    pub fn stretch(&self, p: Point) -> (f64, f64) {
        let j = self.jacobian(p);
        let (sum, determinant) = (j.norm_squared(), j.determinant().abs());
        let root = (sum * sum / 4.0 - determinant * determinant).max(0.0).sqrt();
        let largest = (sum / 2.0 + root).max(0.0).sqrt();
        (if largest > 0.0 { determinant / largest } else { 0.0 }, largest)
    }

    /// The map back. `None` only where rounding has left none.
    pub fn inverse(&self) -> Option<Self> {
        Self::of(self.rows.try_inverse()?)
    }

    /// This map, and then another.
    pub fn then(&self, next: &Homography) -> Option<Self> {
        Self::of(next.rows * self.rows)
    }
}

/// Shifts and scales places so that they lie about the origin at a mean distance of √2.
struct Normal {
    centre: Point,
    scale: f64,
}

impl Normal {
    fn of(places: &[Point]) -> Normal {
        let n = places.len().max(1) as f64;
        let centre = (places.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / n).to_point();
        let mean = places.iter().map(|p| p.distance(centre)).sum::<f64>() / n;
        Normal { centre, scale: if mean > 0.0 { std::f64::consts::SQRT_2 / mean } else { 1.0 } }
    }

    fn all(&self, places: &[Point]) -> Vec<Point> {
        places.iter().map(|p| ((*p - self.centre) * self.scale).to_point()).collect()
    }

    fn matrix(&self) -> Matrix3<f64> {
        let (s, c) = (self.scale, self.centre);
        Matrix3::new(s, 0.0, -s * c.x, 0.0, s, -s * c.y, 0.0, 0.0, 1.0)
    }
}

/// Whether the places have no four of which no three are on a line.
fn on_a_line(places: &[Point]) -> bool {
    let area = |a: Point, b: Point, c: Point| (b - a).cross(c - a).abs();
    if !places.iter().all(|p| p.x.is_finite() && p.y.is_finite()) {
        return true;
    }
    let n = places.len();
    for i in 0..n {
        for j in i + 1..n {
            for k in j + 1..n {
                let first = area(places[i], places[j], places[k]);
                for l in (k + 1..n).map(|l| places[l]) {
                    let least = first
                        .min(area(places[i], places[j], l))
                        .min(area(places[i], places[k], l))
                        .min(area(places[j], places[k], l));
                    if least > LEAST_AREA {
                        return false;
                    }
                }
            }
        }
    }
    true
}

fn direct_linear(a: &[Point], b: &[Point]) -> Option<Matrix3<f64>> {
    // Nine rows at least, so that the last right singular vector is there for four places too.
    let mut rows = DMatrix::<f64>::zeros((2 * a.len()).max(9), 9);
    for (k, (p, q)) in a.iter().zip(b).enumerate() {
        let (x, y, u, v) = (p.x, p.y, q.x, q.y);
        rows.row_mut(2 * k).copy_from_slice(&[x, y, 1.0, 0.0, 0.0, 0.0, -u * x, -u * y, -u]);
        rows.row_mut(2 * k + 1).copy_from_slice(&[0.0, 0.0, 0.0, x, y, 1.0, -v * x, -v * y, -v]);
    }
    let svd = rows.try_svd(false, true, 1e-14, 500)?;
    let (least, _) = svd.singular_values.argmin();
    let v = svd.v_t?;
    let h: Vec<f64> = v.row(least).iter().copied().collect();
    let map = Matrix3::from_row_slice(&h);
    map.iter().all(|v| v.is_finite()).then_some(map)
}

/// Least squares of what is left over in the second plane, by Gauss-Newton. The last of the nine is held at 1: of normalised
/// places the middle of the board, which no camera has behind it.
fn refined(start: Matrix3<f64>, a: &[Point], b: &[Point]) -> Matrix3<f64> {
    if start[(2, 2)].abs() < 1e-9 {
        return start;
    }
    let mut best = start / start[(2, 2)];
    let left_over = |map: &Matrix3<f64>| {
        let map = Homography { rows: *map };
        a.iter().zip(b).map(|(p, q)| (map.at(*p) - *q).hypot2()).sum::<f64>()
    };
    let mut least = left_over(&best);
    for _ in 0..MOST_STEPS {
        let mut rows = DMatrix::<f64>::zeros(2 * a.len(), 8);
        let mut off = DVector::<f64>::zeros(2 * a.len());
        let map = Homography { rows: best };
        for (k, (p, q)) in a.iter().zip(b).enumerate() {
            let (at, w) = (map.at(*p), map.third(*p));
            let (x, y) = (p.x / w, p.y / w);
            let one = 1.0 / w;
            rows.row_mut(2 * k).copy_from_slice(&[x, y, one, 0.0, 0.0, 0.0, -at.x * x, -at.x * y]);
            rows.row_mut(2 * k + 1).copy_from_slice(&[0.0, 0.0, 0.0, x, y, one, -at.y * x, -at.y * y]);
            off[2 * k] = q.x - at.x;
            off[2 * k + 1] = q.y - at.y;
        }
        let Some(step) = rows.try_svd(true, true, 1e-14, 500).and_then(|svd| svd.solve(&off, 1e-12).ok())
        else {
            break;
        };
        let mut next = best;
        for k in 0..8 {
            next[(k / 3, k % 3)] += step[k];
        }
        let now = left_over(&next);
        if !now.is_finite() || now >= least {
            break;
        }
        let settled = least - now < 1e-15 * (1.0 + least);
        (best, least) = (next, now);
        if settled {
            break;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn places(of: &[(f64, f64)]) -> Vec<Point> {
        of.iter().map(|p| Point::from(*p)).collect()
    }

    fn a_view() -> Homography {
        Homography::from_rows([9.1, 0.4, 300.0, -0.3, -8.7, 3400.0, 2e-5, -4e-4, 1.0]).unwrap()
    }

    #[test]
    fn more_than_four_places_of_one_view_give_that_view_back() {
        let board =
            places(&[(0., 0.), (300., 0.), (300., 400.), (0., 400.), (150., 0.), (300., 200.), (7., 11.)]);
        let seen: Vec<Point> = board.iter().map(|p| a_view().at(*p)).collect();
        let found = Homography::through(&board, &seen).unwrap();
        for (one, other) in found.rows().iter().zip(a_view().rows()) {
            assert!((one - other).abs() < 1e-7 * other.abs().max(1e-3), "{one} {other}");
        }
    }

    #[test]
    fn least_squares_leave_less_over_than_the_linear_solution_and_any_map_near_by() {
        let board = places(&[(0., 0.), (300., 0.), (300., 400.), (0., 400.), (150., 0.), (300., 200.)]);
        let off = [(3., -2.), (-4., 1.), (2., 5.), (-1., -3.), (6., 2.), (-5., 4.)];
        let seen: Vec<Point> =
            board.iter().zip(off).map(|(p, by)| a_view().at(*p) + Vec2::from(by)).collect();
        let found = Homography::through(&board, &seen).unwrap();
        let left =
            |map: &Homography| board.iter().zip(&seen).map(|(p, q)| (map.at(*p) - *q).hypot2()).sum::<f64>();
        let least = left(&found);
        for k in 0..8 {
            for by in [-1e-4, 1e-4] {
                let mut rows = found.rows();
                rows[k] *= 1.0 + by;
                assert!(left(&Homography::from_rows(rows).unwrap()) >= least);
            }
        }
    }

    #[test]
    fn a_similarity_turns_the_picture_over() {
        let map = Homography::similarity(
            [Point::new(100.0, 900.0), Point::new(100.0, 100.0)],
            [Point::ORIGIN, Point::new(0.0, 400.0)],
        )
        .unwrap();
        assert!(map.at(Point::new(100.0, 500.0)).distance(Point::new(0.0, 200.0)) < 1e-9);
        assert!(map.at(Point::new(300.0, 900.0)).distance(Point::new(100.0, 0.0)) < 1e-9);
    }

    #[test]
    fn a_place_of_a_smaller_picture_is_the_same_place_of_the_larger() {
        let map = Homography::between(Size::new(2449.0, 3265.0), Size::new(3000.0, 4000.0)).unwrap();
        assert!(map.at(Point::new(2449.0, 3265.0)).distance(Point::new(3000.0, 4000.0)) < 1e-9);
        assert!(map.at(Point::new(2449.0 / 3.0, 0.0)).distance(Point::new(1000.0, 0.0)) < 1e-9);
        assert_eq!(Homography::between(Size::ZERO, Size::new(3.0, 4.0)), None);
        assert_eq!(Homography::between(Size::new(3.0, 4.0), Size::ZERO), None);
    }

    #[test]
    fn places_that_make_no_view_are_refused() {
        let board = places(&[(0., 0.), (300., 0.), (300., 400.), (0., 400.)]);
        let on_line = places(&[(0., 0.), (10., 0.), (20., 0.), (5., 9.)]);
        assert_eq!(Homography::through(&board, &on_line), Err(HomographyError::OnALine));
        assert_eq!(Homography::through(&board[..3], &on_line), Err(HomographyError::TooFew(3)));
        let crossed = places(&[(0., 0.), (300., 0.), (0., 400.), (300., 400.)]);
        assert_eq!(Homography::through(&board, &crossed), Err(HomographyError::OutOfOrder));
        let nowhere = places(&[(f64::NAN, 0.), (300., 0.), (0., 400.), (300., 400.)]);
        assert_eq!(Homography::through(&board, &nowhere), Err(HomographyError::OnALine));
    }

    proptest! {
        #[test]
        fn there_and_back_is_the_same_place(x in 0.0..300.0f64, y in 0.0..400.0f64) {
            let back = a_view().inverse().unwrap();
            prop_assert!(back.at(a_view().at(Point::new(x, y))).distance(Point::new(x, y)) < 1e-8);
        }

        #[test]
        fn the_jacobian_is_the_slope(x in 0.0..300.0f64, y in 0.0..400.0f64, turn in 0.0..6.3f64) {
            let (at, by) = (Point::new(x, y), 1e-4 * Vec2::from_angle(turn));
            let slope = (a_view().at(at + by) - a_view().at(at - by)) / 2.0;
            prop_assert!((slope - a_view().step(at, by)).hypot() < 1e-9);
            let (least, largest) = a_view().stretch(at);
            prop_assert!((least - 1e-9..=largest + 1e-9).contains(&(slope.hypot() / by.hypot() )) || (slope.hypot() / by.hypot() - least).abs() < 1e-5 || (slope.hypot() / by.hypot() - largest).abs() < 1e-5);
        }

        #[test]
        fn nothing_upsets_it(values in prop::collection::vec(any::<f64>(), 0..40)) {
            let places: Vec<Point> = values.chunks_exact(2).map(|v| Point::new(v[0], v[1])).collect();
            let (from, to) = places.split_at(places.len() / 2);
            let _ = Homography::through(from, to);
            if let (Some(a), Some(b)) = (from.get(..2), to.get(..2)) {
                let _ = Homography::similarity([a[0], a[1]], [b[0], b[1]]);
            }
        }
    }
}
