//! The solver: maximum a posteriori by Levenberg-Marquardt with iteratively reweighted squares.

use super::found::FoundLength;
use super::model::{Inside, Model, PlacedRun, Pulled, Slot, along, own_frame};
use super::solved::Solved;
use crate::outline::Run;
use kurbo::{Point, Vec2};
use nalgebra::{DMatrix, DVector};
use ribline_linear::{Factored, Sums};

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

/// "The edge passes `wanted` mm outside this corner of the ribs": where a run ends, as the points about the corner show it. It is
/// known far less well than a point, but nothing else holds the last arc of a run where there is no point on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct End {
    /// In the prepared frame.
    pub at: Point,
    pub run: Run,
    pub wanted: f64,
    /// Standard deviation, mm.
    pub sd: f64,
}

/// What is further off than that has been taken for a corner that it is not.
const END_LOSS: Loss = Loss::Huber(2.0);

/// A Gaussian belief about the parameters before any point is looked at.
#[derive(Debug, Clone)]
pub(super) struct Prior {
    pub mean: DVector<f64>,
    pub precision: DMatrix<f64>,
}

impl Prior {
    /// The gradient of its part of the cost. At values found under it, the gradient of all else is just opposite.
    pub fn gradient(&self, values: &[f64]) -> DVector<f64> {
        &self.precision * (DVector::from_column_slice(values) - &self.mean)
    }
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

    /// How fast the pull `weight(z) * z` grows with z.
    fn slope(self, z: f64) -> f64 {
        match self {
            Loss::Huber(k) => f64::from(z.abs() <= k),
            Loss::Cauchy(c) => {
                let square = (z / c).powi(2);
                (1.0 - square) / (1.0 + square).powi(2)
            }
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
    pub ends: &'a [End],
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
    /// Second derivatives as Gauss and Newton have them: of the observations' part of the cost, and of all.
    data_curvature: DMatrix<f64>,
    curvature: DMatrix<f64>,
    /// Observation by observation, and then of the ends.
    residuals: Vec<f64>,
    inside: Vec<Inside>,
    weights: Vec<f64>,
}

/// What pulls at a run: an observation or an end.
struct Hold {
    at: Point,
    run: Run,
    wanted: f64,
    /// One over the standard deviation, mm.
    per_sd: f64,
    times: f64,
    loss: Loss,
}

impl Hold {
    fn cost(&self, residual: f64) -> f64 {
        self.times * self.loss.cost(residual * self.per_sd)
    }

    /// What its squares count for, per mm².
    fn weight(&self, residual: f64) -> f64 {
        self.times * self.loss.weight(residual * self.per_sd) * self.per_sd * self.per_sd
    }

    /// How fast its pull grows with the residual, per mm².
    fn slope(&self, residual: f64) -> f64 {
        self.times * self.loss.slope(residual * self.per_sd) * self.per_sd * self.per_sd
    }
}

/// One run at certain parameters, and what its points add up to.
struct RunSums {
    placed: PlacedRun,
    /// The parameters by which its rows are: its own, and those of an estimated centreline.
    places: Vec<Slot>,
    sums: Sums,
}

impl RunSums {
    fn new(model: &Model, run: Run, values: &[f64]) -> Self {
        let placed = model.runs[run.index()].placed(values);
        let mut places = placed.slots.clone();
        places.extend(model.frame.iter().flat_map(|f| [f.tilt, f.shift]));
        let sums = Sums::new(places.len());
        RunSums { placed, places, sums }
    }
}

impl Problem<'_> {
    /// The observations and then the ends.
    fn holds(&self) -> Vec<Hold> {
        let mut holds = Vec::with_capacity(self.observations.len() + self.ends.len());
        for o in self.observations {
            let per_sd = o.counts.sqrt() / self.sd;
            let (times, loss) = (o.times, self.loss);
            holds.push(Hold { at: o.at, run: o.run, wanted: o.wanted, per_sd, times, loss });
        }
        for end in self.ends {
            let (per_sd, times, loss) = (1.0 / end.sd, 1.0, END_LOSS);
            holds.push(Hold { at: end.at, run: end.run, wanted: end.wanted, per_sd, times, loss });
        }
        holds
    }

    fn linearised(&self, values: &[f64]) -> Linearised {
        let size = self.model.size;
        let holds = self.holds();
        let count = self.observations.len();
        let all = holds.len();
        let (mut residuals, mut insides, mut weights) =
            (Vec::with_capacity(all), Vec::with_capacity(all), Vec::with_capacity(all));
        let off = DVector::from_column_slice(values) - &self.prior.mean;
        let mut gradient = &self.prior.precision * &off;
        let mut cost = 0.5 * off.dot(&gradient);
        // Only those in which there are points.
        let mut runs: [Option<RunSums>; 6] = Default::default();
        let mut row: Vec<f64> = Vec::with_capacity(32);
        let mut data_curvature = DMatrix::zeros(size, size);
        let mut curvature = self.prior.precision.clone();
        for (of_observations, holds) in [(true, &holds[..count]), (false, &holds[count..])] {
            for hold in holds {
                let run =
                    runs[hold.run.index()].get_or_insert_with(|| RunSums::new(self.model, hold.run, values));
                let point = self.model.seen(values, hold.at);
                let inside = run.placed.inside(point);
                let residual = inside.distance - hold.wanted;
                let weight = hold.weight(residual);
                cost += hold.cost(residual);
                self.row(values, &run.placed, point, &inside, &mut row);
                run.sums.add(&row, residual, weight);
                residuals.push(residual);
                insides.push(inside);
                weights.push(weight * self.sd * self.sd);
            }
            let sum = if of_observations { &mut data_curvature } else { &mut curvature };
            for run in runs.iter_mut().flatten() {
                run.sums.spread(&run.places, &mut gradient, sum);
                run.sums = Sums::new(run.places.len());
            }
        }
        curvature += &data_curvature;
        Linearised { cost, gradient, data_curvature, curvature, residuals, inside: insides, weights }
    }

    /// The second derivatives of the cost. Where a joint lies next to a point, the distance bends more sharply with the joint's
    /// place than Gauss-Newton knows, and its steps go to and fro for ever.
    fn full_curvature(&self, values: &[f64], now: &Linearised) -> DMatrix<f64> {
        let mut matrix = self.prior.precision.clone();
        let holds = self.holds();
        let mut unused = DVector::zeros(self.model.size);
        let mut row: Vec<f64> = Vec::with_capacity(32);
        for model in &self.model.runs {
            let RunSums { placed: run, places, mut sums } = RunSums::new(self.model, model.run, values);
            // By arc: how strongly its radius is pulled, and its centre.
            let mut pulled = vec![Pulled::default(); run.arcs.len()];
            for (hold, inside) in holds.iter().zip(&now.inside).filter(|(hold, _)| hold.run == model.run) {
                let point = self.model.seen(values, hold.at);
                let residual = inside.distance - hold.wanted;
                let pull = hold.weight(residual) * residual;
                self.row(values, &run, point, inside, &mut row);
                sums.add(&row, 0.0, hold.slope(residual));
                // Seen from a centre that moves across, a point lies further off.
                let bend = run.arcs[inside.arc].radius.signum();
                self.row_of_moves(values, &run, point, inside, along(inside.outward), &mut row);
                sums.add(&row, 0.0, -bend * pull / run.centre_distance(inside));
                let pull_out = bend * pull * inside.outward;
                pulled[inside.arc].radius += pull;
                pulled[inside.arc].centre += pull_out;
                if let Some(frame) = self.model.frame {
                    let (tilt, shift) = (run.slots.len(), run.slots.len() + 1);
                    let (sin, cos) = values[frame.tilt].sin_cos();
                    let flip = own_frame(run.run);
                    let pull_out = Vec2::new(pull_out.x * flip.x, pull_out.y * flip.y);
                    sums.put(tilt, tilt, pull_out.dot(point.to_vec2()));
                    sums.put(tilt, shift, -pull_out.dot(Vec2::new(sin, cos)));
                }
            }
            model.bend(values, &run, &pulled, |one, other, by| sums.put(one, other, by));
            sums.spread(&places, &mut unused, &mut matrix);
        }
        matrix
    }

    /// d distance / d parameter of one observation, in the order of its run's sums.
    fn row(&self, values: &[f64], run: &PlacedRun, point: Point, inside: &Inside, row: &mut Vec<f64>) {
        let arc = run.arcs[inside.arc];
        self.row_of_moves(values, run, point, inside, arc.radius.signum() * inside.outward, row);
        row[arc.radius_at] += arc.radius;
    }

    /// d (how far the arc's centre moves along `way` past the point) / d parameter, likewise; `way` in the run's own frame.
    fn row_of_moves(
        &self,
        values: &[f64],
        run: &PlacedRun,
        point: Point,
        inside: &Inside,
        way: Vec2,
        row: &mut Vec<f64>,
    ) {
        row.clear();
        row.extend(run.centre_by(inside.arc).iter().map(|by| way.dot(*by)));
        if let Some(frame) = self.model.frame {
            let flip = own_frame(run.run);
            let (sin, cos) = values[frame.tilt].sin_cos();
            let back = Vec2::new(-way.x * flip.x, -way.y * flip.y);
            row.push(back.x * point.y - back.y * point.x);
            row.push(back.y * sin - back.x * cos);
        }
    }

    /// Gradient and second derivatives of the cost but for the prior's part.
    pub fn held_at(&self, values: &[f64]) -> (DVector<f64>, DMatrix<f64>) {
        let there = self.linearised(values);
        (there.gradient - self.prior.gradient(values), there.curvature - &self.prior.precision)
    }

    /// How much further inside a point lies than is wanted.
    pub fn off(&self, values: &[f64], o: &Observation) -> FoundLength {
        let RunSums { placed: run, places, .. } = RunSums::new(self.model, o.run, values);
        let point = self.model.seen(values, o.at);
        let inside = run.inside(point);
        let mut row = Vec::with_capacity(32);
        self.row(values, &run, point, &inside, &mut row);
        FoundLength { mm: inside.distance - o.wanted, by: places.into_iter().zip(row).collect() }
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
                let step = Factored::of(damped).map(|c| -c.solve(&now.gradient));
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
        let Linearised { mut residuals, mut inside, mut weights, data_curvature, curvature, .. } = now;
        let count = self.observations.len();
        residuals.truncate(count);
        inside.truncate(count);
        weights.truncate(count);
        Solved { values, residuals, inside, weights, data_curvature, curvature, last_step }
    }

    /// What the next step is reckoned with: Gauss-Newton's curvature, which needs nothing more, while that leads on, and then the
    /// full one, which is kept while it does.
    fn curvature(&self, taken: usize, values: &[f64], now: &Linearised, way: &mut Way) -> DMatrix<f64> {
        if taken < GAUSS_NEWTON_STEPS && way.last_step >= NEAR {
            return now.curvature.clone();
        }
        if way.last_step >= LEADS_ON * way.step_before {
            way.full = None;
        }
        way.full.get_or_insert_with(|| self.full_curvature(values, now)).clone()
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
    let curvature = Factored::of(curvature)?;
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
    let multipliers = Factored::of(among)?.solve(&wanting);
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
            let step = step_under(curvature, &now.gradient, &conditions)
                .or_else(|| step_under(now.curvature.clone(), &now.gradient, &conditions));
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::bass_viol;
    use crate::recipe::violin;
    use crate::reconcile::fit::ends;
    use crate::reconcile::{Ready, Wish};
    use crate::trace::simulated::{RibLines, Taking, take};

    /// The derivatives that the steps go by, against differences of what they are the derivatives of.
    #[test]
    fn gradient_and_full_curvature_are_those_of_differences() {
        const STEP: f64 = 1e-6;
        let kinds = [violin(), bass_viol()].map(|recipe| [true, false].map(|named| (recipe.clone(), named)));
        for (recipe, named) in kinds.into_iter().flatten() {
            let loss = if named { Loss::Huber(1.5) } else { Loss::Cauchy(2.0) };
            let wish = Wish::customary(&recipe);
            let ribs = RibLines::inside(&recipe.evaluate().unwrap().outline, 2.5);
            let mut taken = take(&ribs, &Taking { named, noise: 0.3, ..Taking::plain(20, 3) }).trace;
            if !named {
                taken.pins = Default::default();
            }
            let ready = Ready::new(&taken, &recipe, &wish).unwrap();
            let model = &ready.expectation.model;
            assert_eq!(model.frame.is_some(), !named);
            let observations: Vec<Observation> = (ready.prepared.points.iter().enumerate())
                .map(|(source, p)| Observation {
                    at: p.at,
                    run: p.run,
                    wanted: wish.distance(p.run.bout),
                    counts: 1.0 + 0.1 * (source % 5) as f64,
                    source,
                    times: 1.0 + (source % 3) as f64,
                })
                .collect();
            let ends = ends(&ready.prepared, &wish);
            assert_eq!(ends.len(), 8);
            let problem = Problem {
                model,
                prior: &ready.expectation.prior,
                observations: &observations,
                ends: &ends,
                sd: 0.7,
                loss,
                tolerance: 1e-9,
                most_steps: 1,
            };
            let at: Vec<f64> = ready.expectation.prior.mean.iter().copied().collect();
            let now = problem.linearised(&at);
            let curvature = problem.full_curvature(&at, &now);
            let mut checked = 0;
            for slot in 0..model.size {
                let [ahead, behind] = [STEP, -STEP].map(|step| {
                    let mut moved = at.clone();
                    moved[slot] += step;
                    problem.linearised(&moved)
                });
                let by_difference = (ahead.cost - behind.cost) / (2.0 * STEP);
                assert!(
                    (now.gradient[slot] - by_difference).abs() < 1e-4 * (1.0 + by_difference.abs()),
                    "{slot}"
                );
                // Where a point goes over to the next arc there is no second derivative.
                let same = |one: &Linearised| one.inside.iter().zip(&now.inside).all(|(a, b)| a.arc == b.arc);
                if !same(&ahead) || !same(&behind) {
                    continue;
                }
                checked += 1;
                let column = (&ahead.gradient - &behind.gradient) / (2.0 * STEP);
                for row in 0..model.size {
                    let (found, expected) = (curvature[(row, slot)], column[row]);
                    let unit = (curvature[(row, row)] * curvature[(slot, slot)]).abs().sqrt();
                    assert!(
                        (found - expected).abs() < 1e-5 * (1.0 + unit),
                        "{row}, {slot}: {found} for {expected}"
                    );
                }
            }
            assert!(checked > model.size / 2, "{checked} of {}", model.size);
        }
    }
}
