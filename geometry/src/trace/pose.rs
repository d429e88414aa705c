//! How the recipe's outline lies over the points as a whole: turned, shifted, scaled across and up.

use super::Frame;
use super::strips::Half;
use crate::order::sort_by_value;
use crate::outline::Side;
use kurbo::{Affine, Point, Vec2};
use nalgebra::{Matrix5, Vector5};

/// Scaled across and up alike, to this standard deviation: bodies differ in their widths by less.
const ALIKE: f64 = 0.06;
/// Standard deviation of a point about the outline as a whole, mm at a violin's size.
const POINT_SD: f64 = 2.0;
/// Points are thinned to so many: more say no more about the whole.
const ENOUGH: usize = 60;

/// A placing of the outline.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    /// Of the result: the y axis is the outline's centreline.
    pub frame: Frame,
    /// Height of the outline's bottom in the frame, mm.
    pub bottom: f64,
    /// Millimetres across and up per unit of the outline's height.
    pub across: f64,
    pub up: f64,
}

impl Pose {
    /// The body's size in violins.
    pub fn unit(&self) -> f64 {
        self.up / 355.0
    }

    /// The same place of the outline seen from the neck end.
    pub fn upside_down(&self) -> Pose {
        let frame = Frame {
            origin: self.frame.to_given(Point::new(0.0, 2.0 * self.bottom + self.up)),
            angle: self.frame.angle + std::f64::consts::PI,
        };
        Pose { frame, ..*self }
    }
}

/// What of the pose is still open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Open {
    /// The centreline is given: scale and height only.
    AlongCentreline,
    Everything,
}

/// Both halves' outlines, thinned, with the points to be fitted.
pub(super) struct Posing {
    /// Place and direction out of the plate, of an outline whose height is 1.
    outline: Vec<(Point, Vec2)>,
    points: Vec<Point>,
}

impl Posing {
    pub fn new(halves: &[Half; 2], points: &[Point]) -> Posing {
        let mut outline = Vec::new();
        for (side, half) in Side::BOTH.into_iter().zip(halves) {
            let mirror = Affine::scale_non_uniform(side.sign(), 1.0);
            for strip in 0..3 {
                let from = if strip == 0 { half.centreline[0] } else { half.corner[2 * strip - 1] };
                let to = if strip == 2 { half.centreline[1] } else { half.corner[2 * strip] };
                outline.extend((from..to).step_by(3).map(|k| {
                    let normal = half.normal(k);
                    (mirror * half.base[k], Vec2::new(side.sign() * normal.x, normal.y))
                }));
            }
        }
        Posing { outline, points: thinned(points, ENOUGH) }
    }

    /// Improves a pose by iterated closest points, first minding far points too, then near ones only (`reach`, mm at
    /// a violin's size). Returns the pose and what the misfit comes to.
    pub fn improved(&self, mut pose: Pose, open: Open, reaches: &[f64]) -> (Pose, f64) {
        for reach in reaches {
            match self.step(&pose, open, *reach) {
                Some(better) => pose = better,
                None => break,
            }
        }
        (pose, self.misfit(&pose))
    }

    /// Mean over the points of ln(1 + (off / 3 mm)²), the 3 mm at a violin's size: a few points far off do not decide.
    pub fn misfit(&self, pose: &Pose) -> f64 {
        let placed = self.placed(pose);
        let unit = pose.unit();
        let each = self.points.iter().map(|p| {
            let (k, away) = nearest(&placed, pose.frame.to_result(*p));
            // Samples are some 10 mm apart: nearer than that, only the way across the line counts.
            let near = away.hypot() < 8.0 * unit;
            let off = if near { away.dot(self.normal(k, pose)) } else { away.hypot() };
            (off / (3.0 * unit)).powi(2).ln_1p()
        });
        each.sum::<f64>() / self.points.len().max(1) as f64
    }

    /// Out of the plate at a sample of the outline as it is scaled.
    fn normal(&self, k: usize, pose: &Pose) -> Vec2 {
        let out = self.outline[k].1;
        let n = Vec2::new(out.x / pose.across, out.y / pose.up);
        n / n.hypot()
    }

    fn placed(&self, pose: &Pose) -> Vec<Point> {
        self.outline.iter().map(|(p, _)| Point::new(pose.across * p.x, pose.bottom + pose.up * p.y)).collect()
    }

    fn step(&self, pose: &Pose, open: Open, reach: f64) -> Option<Pose> {
        let placed = self.placed(pose);
        let (sd, reach) = (POINT_SD * pose.unit(), reach * pose.unit());
        let alike = (ALIKE * pose.up).powi(-2);
        // In the order: turn, shift across, shift up, across, up. `held` keeps what the points say nothing about.
        let held = match open {
            Open::Everything => Vector5::new(1e-6, 1e-9, 1e-9, 1e-9, 1e-9),
            Open::AlongCentreline => Vector5::new(1e12, 1e12, 1e-9, 1e-9, 1e-9),
        };
        let mut normal = Matrix5::from_diagonal(&held);
        normal[(3, 3)] += alike;
        normal[(4, 4)] += alike;
        normal[(3, 4)] -= alike;
        normal[(4, 3)] -= alike;
        let mut right = Vector5::zeros();
        let uneven = pose.across - pose.up;
        right[3] -= alike * uneven;
        right[4] += alike * uneven;
        for given in &self.points {
            let p = pose.frame.to_result(*given);
            let (k, away) = nearest(&placed, p);
            let (unit, n) = (self.outline[k].0, self.normal(k, pose));
            let off = away.dot(n);
            let weight = 1.0 / (sd * sd * (1.0 + away.hypot2() / (reach * reach)));
            let row = Vector5::new(n.x * p.y - n.y * p.x, -n.x, -n.y, -n.x * unit.x, -n.y * unit.y);
            normal += row * row.transpose() * weight;
            right -= row * (weight * off);
        }
        let step = normal.cholesky()?.solve(&right);
        let [turn, right, up, wider, higher] = step.into();
        let frame = match open {
            Open::AlongCentreline => pose.frame,
            Open::Everything => {
                let turn = turn.clamp(-0.3, 0.3);
                Frame { origin: pose.frame.to_given(Point::new(right, up)), angle: pose.frame.angle + turn }
            }
        };
        let bottom = if open == Open::AlongCentreline { pose.bottom + up } else { pose.bottom };
        let limited = |size: f64, by: f64| size + by.clamp(-0.3 * size, 0.3 * size);
        let better =
            Pose { frame, bottom, across: limited(pose.across, wider), up: limited(pose.up, higher) };
        let finite = [better.across, better.up, better.bottom, better.frame.origin.x, better.frame.origin.y];
        (finite.iter().all(|v| v.is_finite()) && better.across > 1e-3 && better.up > 1e-3).then_some(better)
    }
}

/// Some of the points, evenly by their distance from the middle of all: the same ones in whatever order the points were
/// taken and however the ribs lay.
fn thinned(points: &[Point], enough: usize) -> Vec<Point> {
    if points.len() <= enough {
        return points.to_vec();
    }
    let sum = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    let middle = (sum / points.len() as f64).to_point();
    let mut points = points.to_vec();
    sort_by_value(&mut points, |p| p.distance_squared(middle));
    (0..enough).map(|k| points[k * points.len() / enough]).collect()
}

fn nearest(placed: &[Point], p: Point) -> (usize, Vec2) {
    let (mut least, mut best) = (f64::INFINITY, 0);
    for (k, q) in placed.iter().enumerate() {
        let d = p.distance_squared(*q);
        if d < least {
            (least, best) = (d, k);
        }
    }
    (best, p - placed[best])
}
