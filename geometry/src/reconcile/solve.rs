//! The solver: maximum a posteriori by Levenberg-Marquardt with iteratively reweighted squares.

use super::found::FoundLength;
use super::model::{FrameSlots, Inside, Model, PlacedRun, Slot, own_frame};
use super::solved::Solved;
use crate::outline::Run;
use kurbo::{Point, Vec2};
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};

/// "The edge passes `wanted` mm outside this point."
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Observation {
    /// In the prepared frame.
    pub at: Point,
    pub run: Run,
    pub wanted: f64,
    /// How much it counts for beside the others, as the way in which it was taken has it; 1 in the mean.
    pub counts: f64,
    /// Index into the list of prepared points.
    pub source: usize,
    /// As how many such points it counts.
    pub times: f64,
}

/// A Gaussian belief about the parameters before any point is looked at.
#[derive(Debug, Clone)]
pub(super) struct Prior {
    pub mean: DVector<f64>,
    pub precision: DMatrix<f64>,
}

impl Prior {
    /// The gradient of its part of the cost. At values found under it, the gradient of the data's part is just opposite.
    pub fn gradient(&self, values: &[f64]) -> DVector<f64> {
        &self.precision * (DVector::from_column_slice(values) - &self.mean)
    }
}

/// The logarithm of the determinant of what was factored.
pub(super) fn log_determinant(factored: &Cholesky<f64, Dyn>) -> f64 {
    2.0 * factored.l_dirty().diagonal().iter().map(|d| d.ln()).sum::<f64>()
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
    pub fn weight(self, z: f64) -> f64 {
        match self {
            Loss::Huber(k) => (k / z.abs()).min(1.0),
            Loss::Cauchy(c) => 1.0 / (1.0 + (z / c).powi(2)),
        }
    }

    pub fn cost(self, z: f64) -> f64 {
        match self {
            Loss::Huber(k) if z.abs() <= k => 0.5 * z * z,
            Loss::Huber(k) => k * (z.abs() - 0.5 * k),
            Loss::Cauchy(c) => 0.5 * c * c * (z / c).powi(2).ln_1p(),
        }
    }
}

/// One problem: everything but the start.
#[derive(Clone, Copy)]
pub(super) struct Problem<'a> {
    pub model: &'a Model,
    pub prior: &'a Prior,
    pub observations: &'a [Observation],
    /// Standard deviation of an observation, mm.
    pub sd: f64,
    pub loss: Loss,
    /// Largest step (logarithms, radians, mm) at which the work is done.
    pub tolerance: f64,
    pub most_steps: usize,
}

/// After so many steps without settling Gauss-Newton has begun to go to and fro.
const GAUSS_NEWTON_STEPS: usize = 10;
/// A step so small (logarithms, radians, mm) has come so near that the full curvature leads straight on.
const NEAR: f64 = 2e-2;
/// As long as each step is so much smaller than the one before, the full curvature is not reckoned anew.
const LEADS_ON: f64 = 0.1;
/// At the bottom the cost no longer tells whether a step so small leads down (logarithms, radians, mm).
const UNRESOLVED: f64 = 1e-5;
/// More steps than a sound problem ever needs (about 6 to 15).
pub(super) const MOST_STEPS: usize = 60;

/// How the steps have led so far.
struct Way {
    /// Sizes of the last two (logarithms, radians, mm).
    step_before: f64,
    last_step: f64,
    /// The full curvature, while it is kept.
    full: Option<DMatrix<f64>>,
}

impl Way {
    fn new() -> Self {
        Way { step_before: f64::INFINITY, last_step: f64::INFINITY, full: None }
    }

    fn stepped(&mut self, by: f64) {
        (self.step_before, self.last_step) = (self.last_step, by);
    }
}

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

/// What the points of one run add to gradient and curvature, in the run's few parameters.
struct RunSums {
    slots: Vec<Slot>,
    gradient: Vec<f64>,
    /// Lower triangle, row by row.
    curvature: Vec<f64>,
}

impl RunSums {
    fn new(slots: &[Slot], frame: Option<FrameSlots>) -> Self {
        let mut slots = slots.to_vec();
        slots.extend(frame.iter().flat_map(|f| [f.tilt, f.shift]));
        let count = slots.len();
        RunSums { slots, gradient: vec![0.0; count], curvature: vec![0.0; count * (count + 1) / 2] }
    }

    fn add(&mut self, row: &[f64], residual: f64, weight: f64) {
        let mut rest = &mut self.curvature[..];
        for (i, a) in row.iter().enumerate() {
            let scaled = weight * a;
            self.gradient[i] += scaled * residual;
            let (these, following) = rest.split_at_mut(i + 1);
            for (sum, b) in these.iter_mut().zip(row) {
                *sum += scaled * b;
            }
            rest = following;
        }
    }

    fn spread(&self, gradient: &mut DVector<f64>, curvature: &mut DMatrix<f64>) {
        let mut sums = self.curvature.iter();
        for (i, &row) in self.slots.iter().enumerate() {
            gradient[row] += self.gradient[i];
            for (&column, sum) in self.slots[..=i].iter().zip(&mut sums) {
                curvature[(row, column)] += sum;
                if row != column {
                    curvature[(column, row)] += sum;
                }
            }
        }
    }
}

impl Problem<'_> {
    fn linearised(&self, values: &[f64]) -> Linearised {
        let placed = self.model.placed(values);
        let size = self.model.size;
        let count = self.observations.len();
        let (mut residuals, mut insides, mut weights) =
            (Vec::with_capacity(count), Vec::with_capacity(count), Vec::with_capacity(count));
        let mut cost = 0.0;
        let per_variance = 1.0 / (self.sd * self.sd);
        let mut sums = placed.each_ref().map(|run| RunSums::new(&run.slots, self.model.frame));
        let mut row: Vec<f64> = Vec::with_capacity(32);
        for o in self.observations {
            let run = &placed[o.run.index()];
            let point = self.model.seen(values, o.at);
            let inside = run.inside(point);
            let residual = inside.distance - o.wanted;
            let z = residual * o.counts.sqrt() / self.sd;
            let weight = self.loss.weight(z) * o.counts * o.times;
            cost += o.times * self.loss.cost(z);
            self.row(values, run, point, &inside, &mut row);
            sums[o.run.index()].add(&row, residual, weight * per_variance);
            residuals.push(residual);
            insides.push(inside);
            weights.push(weight);
        }
        let mut data_curvature = DMatrix::zeros(size, size);
        let off = DVector::from_column_slice(values) - &self.prior.mean;
        let mut gradient = &self.prior.precision * &off;
        cost += 0.5 * off.dot(&gradient);
        for sum in &sums {
            sum.spread(&mut gradient, &mut data_curvature);
        }
        Linearised { cost, gradient, data_curvature, residuals, inside: insides, weights }
    }

    /// What these points of one run add to d cost / d parameter, in the run's few parameters.
    fn run_gradient(&self, values: &[f64], run: Run, observations: &[&Observation]) -> RunSums {
        let run = self.model.runs[run.index()].placed(values);
        let mut sums = RunSums::new(&run.slots, self.model.frame);
        let mut row: Vec<f64> = Vec::with_capacity(32);
        for o in observations {
            let point = self.model.seen(values, o.at);
            let inside = run.inside(point);
            let residual = inside.distance - o.wanted;
            self.row(values, &run, point, &inside, &mut row);
            let z = residual * o.counts.sqrt() / self.sd;
            let scale = self.loss.weight(z) * o.counts * o.times * residual / (self.sd * self.sd);
            for (sum, by) in sums.gradient.iter_mut().zip(&row) {
                *sum += scale * by;
            }
        }
        sums
    }

    /// The second derivatives of the cost: those of the points by differences of their gradient, run by run, since a parameter
    /// bears on few of them. Where a joint lies next to a point, the distance bends more sharply with the joint's place than
    /// Gauss-Newton knows, and its steps go to and fro for ever.
    fn full_curvature(&self, values: &[f64]) -> DMatrix<f64> {
        const STEP: f64 = 1e-5;
        let mut matrix = DMatrix::zeros(self.model.size, self.model.size);
        let mut moved = values.to_vec();
        for run in Run::ALL {
            let observations: Vec<&Observation> = self.observations.iter().filter(|o| o.run == run).collect();
            let slots = self.run_gradient(values, run, &[]).slots;
            for &column in &slots {
                moved[column] = values[column] + STEP;
                let ahead = self.run_gradient(&moved, run, &observations).gradient;
                moved[column] = values[column] - STEP;
                let behind = self.run_gradient(&moved, run, &observations).gradient;
                moved[column] = values[column];
                for ((&row, ahead), behind) in slots.iter().zip(ahead).zip(behind) {
                    matrix[(row, column)] += (ahead - behind) / (2.0 * STEP);
                }
            }
        }
        0.5 * (&matrix + matrix.transpose()) + &self.prior.precision
    }

    /// d distance / d parameter of one observation, in the order of its run's sums.
    fn row(&self, values: &[f64], run: &PlacedRun, point: Point, inside: &Inside, row: &mut Vec<f64>) {
        run.derivatives(inside, row);
        if let Some(frame) = self.model.frame {
            let by = distance_by_point(run, inside);
            let (sin, cos) = values[frame.tilt].sin_cos();
            row.push(by.x * point.y - by.y * point.x);
            row.push(by.y * sin - by.x * cos);
        }
    }

    /// Gradient and second derivatives of the points' part of the cost.
    pub fn data_at(&self, values: &[f64]) -> (DVector<f64>, DMatrix<f64>) {
        let there = self.linearised(values);
        (there.gradient - self.prior.gradient(values), there.data_curvature)
    }

    /// How much further inside a point lies than is wanted.
    pub fn off(&self, values: &[f64], o: &Observation) -> FoundLength {
        let run = self.model.runs[o.run.index()].placed(values);
        let point = self.model.seen(values, o.at);
        let inside = run.inside(point);
        let mut row = Vec::with_capacity(32);
        self.row(values, &run, point, &inside, &mut row);
        let slots = RunSums::new(&run.slots, self.model.frame).slots;
        FoundLength { mm: inside.distance - o.wanted, by: slots.into_iter().zip(row).collect() }
    }

    pub fn cost_at(&self, values: &[f64]) -> f64 {
        self.linearised(values).cost
    }

    /// Solves from `start`.
    pub fn solve(&self, start: &[f64]) -> Solved {
        let mut values = self.model.within_bounds(start.iter().copied());
        let mut now = self.linearised(&values);
        let mut damping = 0.0_f64;
        let mut way = Way::new();
        'steps: for taken in 0..self.most_steps {
            let curvature = self.curvature(taken, &values, &now, &mut way);
            loop {
                let mut damped = curvature.clone();
                for i in 0..self.model.size {
                    damped[(i, i)] *= 1.0 + damping;
                }
                let step = damped.cholesky().map(|c| -c.solve(&now.gradient));
                if let Some(step) = step.filter(|s| s.iter().all(|v| v.is_finite())) {
                    let tried = self.model.within_bounds(values.iter().zip(step.iter()).map(|(v, s)| v + s));
                    let largest = step.amax();
                    let next = self.linearised(&tried);
                    let small = largest < self.tolerance.max(UNRESOLVED)
                        && next.cost <= now.cost + 1e-9 * (1.0 + now.cost);
                    if next.cost < now.cost || small {
                        values = tried;
                        damping = if damping < 1e-6 { 0.0 } else { damping / 10.0 };
                        now = next;
                        way.stepped(largest);
                        if largest < self.tolerance {
                            break 'steps;
                        }
                        continue 'steps;
                    }
                    if largest < 1e-13 {
                        way.stepped(largest);
                        break 'steps;
                    }
                }
                damping = if damping == 0.0 { 1e-4 } else { damping * 8.0 };
                if damping > 1e12 {
                    break 'steps;
                }
            }
        }
        self.solved(values, now, way.last_step)
    }

    fn solved(&self, values: Vec<f64>, now: Linearised, last_step: f64) -> Solved {
        let curvature = &now.data_curvature + &self.prior.precision;
        let Linearised { residuals, inside, weights, data_curvature, .. } = now;
        Solved { values, residuals, inside, weights, data_curvature, curvature, last_step }
    }

    /// What the next step is reckoned with: Gauss-Newton's curvature, which needs nothing more, while that leads on, and then the
    /// full one, which is kept while it does.
    fn curvature(&self, taken: usize, values: &[f64], now: &Linearised, way: &mut Way) -> DMatrix<f64> {
        if taken < GAUSS_NEWTON_STEPS && way.last_step >= NEAR {
            return &now.data_curvature + &self.prior.precision;
        }
        if way.last_step >= LEADS_ON * way.step_before {
            way.full = None;
        }
        way.full.get_or_insert_with(|| self.full_curvature(values)).clone()
    }
}

/// A condition that holds exactly at the solution: `value` must come to nought; `by` is its gradient.
pub(super) struct Condition {
    pub value: f64,
    pub by: Vec<(Slot, f64)>,
}

/// The step to where the conditions hold and the cost is least, and the conditions' multipliers: what satisfies
/// [H Jᵀ; J 0] [step; multipliers] = [-gradient; -values], by way of J H⁻¹ Jᵀ. `None` where there is none.
fn step_under(
    curvature: DMatrix<f64>,
    gradient: &DVector<f64>,
    conditions: &[Condition],
) -> Option<(DVector<f64>, DVector<f64>)> {
    let curvature = curvature.cholesky()?;
    let along = |condition: &Condition, vector: &DVector<f64>| -> f64 {
        condition.by.iter().map(|(slot, by)| by * vector[*slot]).sum()
    };
    let free = curvature.solve(gradient);
    let count = conditions.len();
    let mut reaches = Vec::with_capacity(count);
    for condition in conditions {
        let mut by = DVector::zeros(gradient.len());
        for (slot, d) in &condition.by {
            by[*slot] += d;
        }
        reaches.push(curvature.solve(&by));
    }
    let mut among = DMatrix::zeros(count, count);
    let mut wanting = DVector::zeros(count);
    for (k, condition) in conditions.iter().enumerate() {
        wanting[k] = condition.value - along(condition, &free);
        for (l, reach) in reaches.iter().enumerate() {
            among[(k, l)] = along(condition, reach);
        }
    }
    let multipliers = among.cholesky()?.solve(&wanting);
    let mut step = -free;
    for (reach, multiplier) in reaches.iter().zip(multipliers.iter()) {
        step -= reach * *multiplier;
    }
    step.iter().all(|v| v.is_finite()).then_some((step, multipliers))
}

impl Problem<'_> {
    /// Solves from `start` so that the conditions hold exactly: Gauss-Newton on the Lagrangian. Meant for a start close by.
    pub fn solve_under(&self, start: &[f64], conditions_at: impl Fn(&[f64]) -> Vec<Condition>) -> Solved {
        let mut values = self.model.within_bounds(start.iter().copied());
        let mut now = self.linearised(&values);
        let mut way = Way::new();
        for taken in 0..self.most_steps {
            let conditions = conditions_at(&values);
            let curvature = self.curvature(taken, &values, &now, &mut way);
            // Where the full curvature is no bottom, Gauss-Newton's still is.
            let step = step_under(curvature, &now.gradient, &conditions).or_else(|| {
                step_under(&now.data_curvature + &self.prior.precision, &now.gradient, &conditions)
            });
            let Some((step, multipliers)) = step else { break };
            let largest = step.amax();
            // Cost and broken conditions together must fall; a condition weighs more than its multiplier does.
            let merit = |at: &[f64], cost: f64| -> f64 {
                let broken: f64 = conditions_at(at).iter().map(|c| c.value.abs()).sum();
                cost + (2.0 * multipliers.amax() + 10.0) * broken
            };
            let before = merit(&values, now.cost);
            // Further than this the straight-line picture of the start no longer holds.
            let mut part = (0.5 / largest.max(1e-300)).min(1.0);
            let next = loop {
                let tried =
                    self.model.within_bounds(values.iter().zip(step.iter()).map(|(v, s)| v + part * s));
                let next = self.linearised(&tried);
                let small = largest < UNRESOLVED;
                if small || merit(&tried, next.cost) < before {
                    values = tried;
                    break Some(next);
                }
                part *= 0.3;
                if part * largest < 1e-9 {
                    break None;
                }
            };
            let Some(next) = next else { break };
            now = next;
            way.stepped(largest);
            if largest < self.tolerance {
                break;
            }
        }
        self.solved(values, now, way.last_step)
    }
}
