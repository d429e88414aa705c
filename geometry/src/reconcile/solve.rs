//! The solver: maximum a posteriori by Levenberg-Marquardt with iteratively reweighted squares.

use super::model::{Inside, Model, PlacedRun, own_frame};
use crate::outline::Run;
use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, DVector};

/// "The edge passes `wanted` mm outside this point."
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Observation {
    /// In the prepared frame.
    pub at: Point,
    pub run: Run,
    pub wanted: f64,
    /// Index into the list of prepared points.
    pub source: usize,
}

/// A Gaussian belief about the parameters before any point is looked at.
#[derive(Debug, Clone)]
pub(super) struct Prior {
    pub mean: DVector<f64>,
    pub precision: DMatrix<f64>,
}

/// How a residual counts once it is large; the argument is in standard deviations.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Loss {
    /// Squares up to this many standard deviations, then linear. One minimum, so the answer does not depend
    /// on the way to it. Source: Huber, "Robust estimation of a location parameter", 1964.
    Huber(f64),
    /// Grows with the logarithm: mistakes lose their pull altogether. For finding the neighbourhood.
    Cauchy(f64),
}

impl Loss {
    fn weight(self, z: f64) -> f64 {
        match self {
            Loss::Huber(k) => (k / z.abs()).min(1.0),
            Loss::Cauchy(c) => 1.0 / (1.0 + (z / c).powi(2)),
        }
    }

    fn cost(self, z: f64) -> f64 {
        match self {
            Loss::Huber(k) if z.abs() <= k => 0.5 * z * z,
            Loss::Huber(k) => k * (z.abs() - 0.5 * k),
            Loss::Cauchy(c) => 0.5 * c * c * (z / c).powi(2).ln_1p(),
        }
    }
}

#[derive(Debug, Clone)]
pub(super) struct Solved {
    pub values: Vec<f64>,
    /// Distance inside less wanted, mm, observation by observation.
    pub residuals: Vec<f64>,
    pub inside: Vec<Inside>,
    pub weights: Vec<f64>,
    /// Second derivatives of the cost of the data alone, and with the prior.
    pub data_curvature: DMatrix<f64>,
    pub curvature: DMatrix<f64>,
    pub settled: bool,
}

/// One problem: everything but the start.
pub(super) struct Problem<'a> {
    pub model: &'a Model,
    pub prior: &'a Prior,
    pub observations: &'a [Observation],
    /// Standard deviation of an observation, mm.
    pub sd: f64,
    pub loss: Loss,
    /// Parameters that stay where they are.
    pub held: &'a [bool],
    /// Largest step (logarithms, radians, mm) at which the work is done.
    pub tolerance: f64,
}

/// More steps than a sound problem ever needs (about 6 to 15).
const MOST_STEPS: usize = 60;

struct Linearised {
    cost: f64,
    gradient: DVector<f64>,
    data_curvature: DMatrix<f64>,
    residuals: Vec<f64>,
    inside: Vec<Inside>,
    weights: Vec<f64>,
}

/// d distance / d (x, y) of the point in the frame of the result.
fn distance_by_point(placed: &PlacedRun, inside: &Inside) -> Vec2 {
    let flip = own_frame(placed.run);
    let by = -placed.arcs[inside.arc].radius.signum() * inside.outward;
    Vec2::new(by.x * flip.x, by.y * flip.y)
}

impl Problem<'_> {
    fn cost(&self, values: &[f64]) -> f64 {
        let placed = self.model.placed(values);
        let data: f64 = self
            .observations
            .iter()
            .map(|o| {
                let point = self.model.seen(values, o.at);
                let residual = placed[o.run.index()].inside(point).distance - o.wanted;
                self.loss.cost(residual / self.sd)
            })
            .sum();
        data + self.prior_cost(values)
    }

    fn prior_cost(&self, values: &[f64]) -> f64 {
        let off = DVector::from_column_slice(values) - &self.prior.mean;
        0.5 * off.dot(&(&self.prior.precision * &off))
    }

    fn linearised(&self, values: &[f64]) -> Linearised {
        let placed = self.model.placed(values);
        let size = self.model.size;
        let count = self.observations.len();
        let mut data_curvature = DMatrix::zeros(size, size);
        let mut gradient = DVector::zeros(size);
        let (mut residuals, mut insides, mut weights) =
            (Vec::with_capacity(count), Vec::with_capacity(count), Vec::with_capacity(count));
        let mut cost = 0.0;
        let mut row: Vec<(usize, f64)> = Vec::with_capacity(32);
        let per_variance = 1.0 / (self.sd * self.sd);
        for o in self.observations {
            let run = &placed[o.run.index()];
            let point = self.model.seen(values, o.at);
            let inside = run.inside(point);
            let residual = inside.distance - o.wanted;
            let z = residual / self.sd;
            let weight = self.loss.weight(z);
            cost += self.loss.cost(z);
            row.clear();
            row.extend(run.slots.iter().copied().zip(run.derivatives(&inside)));
            if let Some(frame) = self.model.frame {
                let by = distance_by_point(run, &inside);
                let (sin, cos) = values[frame.tilt].sin_cos();
                row.push((frame.tilt, by.x * point.y - by.y * point.x));
                row.push((frame.shift, by.y * sin - by.x * cos));
            }
            let scale = weight * per_variance;
            for &(i, a) in &row {
                gradient[i] += scale * a * residual;
                for &(j, b) in &row {
                    data_curvature[(i, j)] += scale * a * b;
                }
            }
            residuals.push(residual);
            insides.push(inside);
            weights.push(weight);
        }
        let off = DVector::from_column_slice(values) - &self.prior.mean;
        let pull = &self.prior.precision * &off;
        cost += 0.5 * off.dot(&pull);
        gradient += pull;
        Linearised { cost, gradient, data_curvature, residuals, inside: insides, weights }
    }

    /// Rows and columns of held parameters replaced by those of the identity.
    fn with_held(&self, mut matrix: DMatrix<f64>) -> DMatrix<f64> {
        for (i, _) in self.held.iter().enumerate().filter(|(_, held)| **held) {
            matrix.row_mut(i).fill(0.0);
            matrix.column_mut(i).fill(0.0);
            matrix[(i, i)] = 1.0;
        }
        matrix
    }

    /// Solves from `start`.
    pub fn solve(&self, start: &[f64]) -> Solved {
        let mut values = start.to_vec();
        let mut now = self.linearised(&values);
        let mut damping = 0.0_f64;
        let mut settled = false;
        'steps: for _ in 0..MOST_STEPS {
            let mut gradient = now.gradient.clone();
            for (i, _) in self.held.iter().enumerate().filter(|(_, held)| **held) {
                gradient[i] = 0.0;
            }
            let curvature = self.with_held(&now.data_curvature + &self.prior.precision);
            loop {
                let mut damped = curvature.clone();
                for i in 0..self.model.size {
                    damped[(i, i)] *= 1.0 + damping;
                }
                let step = damped.cholesky().map(|c| -c.solve(&gradient));
                if let Some(step) = step.filter(|s| s.iter().all(|v| v.is_finite())) {
                    let tried: Vec<f64> = values.iter().zip(step.iter()).map(|(v, s)| v + s).collect();
                    let largest = step.amax();
                    let cost = self.cost(&tried);
                    // At the bottom the cost no longer resolves a step this small.
                    let small =
                        largest < self.tolerance.max(1e-7) && cost <= now.cost + 1e-9 * (1.0 + now.cost);
                    if cost < now.cost || small {
                        values = tried;
                        damping = if damping < 1e-6 { 0.0 } else { damping / 10.0 };
                        now = self.linearised(&values);
                        if largest < self.tolerance {
                            settled = true;
                            break 'steps;
                        }
                        continue 'steps;
                    }
                    if largest < 1e-13 {
                        settled = true;
                        break 'steps;
                    }
                }
                damping = if damping == 0.0 { 1e-4 } else { damping * 8.0 };
                if damping > 1e12 {
                    break 'steps;
                }
            }
        }
        let curvature = self.with_held(&now.data_curvature + &self.prior.precision);
        Solved {
            values,
            residuals: now.residuals,
            inside: now.inside,
            weights: now.weights,
            data_curvature: now.data_curvature,
            curvature,
            settled,
        }
    }
}

impl Solved {
    /// The posterior covariance; held parameters have none.
    pub fn covariance(&self, held: &[bool]) -> Option<DMatrix<f64>> {
        let mut covariance = self.curvature.clone().cholesky()?.inverse();
        for (i, _) in held.iter().enumerate().filter(|(_, held)| **held) {
            covariance[(i, i)] = 0.0;
        }
        Some(covariance)
    }

    /// The standard deviation of an observation as the residuals have it, mm: the weighted squares over the
    /// number of observations less that of the parameters which the data decide.
    pub fn observed_sd(&self, covariance: &DMatrix<f64>) -> f64 {
        let squares: f64 = self.residuals.iter().zip(&self.weights).map(|(r, w)| w * r * r).sum();
        let count: f64 = self.weights.iter().sum();
        let decided = (&self.data_curvature * covariance).trace().clamp(0.0, 0.8 * count);
        (squares / (count - decided).max(1.0)).sqrt()
    }
}
