//! The fit: from prepared points and an expectation to the arcs, with mis-taken points left out.

use super::Wish;
use super::model::Model;
use super::prior::Expectation;
use super::slips::{lies_there, no_slip, no_slips_together, put, slips};
use super::solve::{Condition, End, Loss, MOST_STEPS, Observation, Prior, Problem};
use super::solved::Solved;
use crate::arc::Chain;
use crate::order::{ascending, median};
use crate::outline::{Bout, Corner, Run};
use crate::trace::{PlacedPoint, PreparedTrace};
use nalgebra::{DMatrix, DVector};
use ribline_linear::Factored;

/// Residuals beyond this many standard deviations weigh less and less. 95 % as sharp as plain least squares would
/// be on faultless readings is had at 1.345; ribs are not faultless but nearly, so a little more.
pub(super) const HUBER: f64 = 2.0;
/// Where Cauchy's loss turns, in standard deviations: 95 % as sharp as least squares on faultless readings.
const CAUCHY: f64 = 2.385;
/// No tracing is better than this, mm; keeps a made-up trace without any noise from weighing without limit.
const LEAST_SD: f64 = 0.01;
/// What is beyond this is not the hand but the ribs, mm: an edge that follows them must not take it for noise and lean on the
/// recipe instead.
const HAND_SD: f64 = 0.15;
/// Nor worse: beyond it, it is another line, mm.
const MOST_SD: f64 = 3.0;
/// However well or badly a point was taken, it counts for no less and no more beside the others: what is said of it is an
/// estimate too.
const LEAST_COUNT: f64 = 1.0 / 16.0;
const MOST_COUNT: f64 = 4.0;
/// So many points that were let go of are taken back again at most: a trace may be as full of slips as it likes.
const MOST_TAKEN_BACK: usize = 12;
/// How often the construction is worked anew where the ribs are; a third time moves nothing.
const EXPECTED_ANEW: usize = 2;
/// Steps in which a model is tried of which only the gain is wanted, and the tolerance that ends them before. After six steps it
/// could not be seen yet that one arc more follows a wave in a corner's hook.
const TRIED_STEPS: usize = 12;
const TRIED: f64 = 2e-3;
/// Last tolerance of the solver (logarithms, radians, mm).
pub(super) const FINE: f64 = 1e-10;
pub(super) const COARSE: f64 = 2e-2;
/// Standard deviation of a corner as the points show it: this part of how far the nearest of them is from it, but no less than so
/// many mm; chosen by trial on simulated ribs, where it is off by two thirds of that.
const END_SD: f64 = 0.3;
const LEAST_END_SD: f64 = 1.0;
/// So much less sure is a corner by which a point may have been mis-taken, which has moved the corner too.
const LOOSELY: f64 = 3.0;
/// So many points of a run show where it ends.
const SHOW_AN_END: usize = 4;
/// How near to where two runs part a point may be given to the other one, mm.
const NEAR_CORNER: f64 = 22.0;

#[derive(Clone)]
pub(super) struct Fit {
    pub model: Model,
    /// The expectation, worked where these ribs are.
    pub expectation: Expectation,
    /// The prior as it was left: loosened where these ribs leave the recipe.
    pub prior: Prior,
    pub solved: Solved,
    /// The solver's, with which it was found.
    pub tolerance: f64,
    /// That of the parameters, each reading counting once.
    pub covariance: DMatrix<f64>,
    /// Standard deviation of a traced point, mm; likewise.
    pub sd: f64,
    /// What the ways of taking the points say of it.
    pub stated: Option<f64>,
    pub observations: Vec<Observation>,
    pub ends: Vec<End>,
    /// Prepared points judged mis-taken: index into the prepared points, and by how many mm.
    pub left_out: Vec<(usize, f64)>,
}

pub(super) fn observations(trace: &PreparedTrace, wish: &Wish) -> Vec<Observation> {
    let stated = stated_sd(trace);
    let mut observations: Vec<Observation> = trace
        .points
        .iter()
        .enumerate()
        .map(|(source, p)| {
            let wanted = wish.distance(p.run.bout);
            // A point of which nothing is said is taken for one like the others.
            let ratio = stated.zip(sound(p.sd)).map_or(1.0, |(all, sd)| all / sd);
            let counts = (ratio * ratio).clamp(LEAST_COUNT, MOST_COUNT);
            Observation { at: p.at, run: p.run, wanted, counts, times: 1.0, source }
        })
        .collect();
    let mean = observations.iter().map(|o| o.counts).sum::<f64>() / observations.len().max(1) as f64;
    observations.iter_mut().for_each(|o| o.counts /= mean);
    observations
}

/// Where the runs end: at the corners, as far as they were traced.
pub(super) fn ends(trace: &PreparedTrace, wish: &Wish) -> Vec<End> {
    let mut ends = Vec::with_capacity(8);
    for corner in Corner::ALL {
        let Some(at) = trace.corners[corner.index()] else { continue };
        let nearest = trace.points.iter().map(|p| p.at.distance(at)).fold(f64::INFINITY, f64::min);
        let sd = LEAST_END_SD.max(END_SD * nearest);
        for run in [corner.outer_run(), corner.waist_run()] {
            ends.push(End { at, run, wanted: wish.distance(run.bout), sd });
        }
    }
    ends
}

/// A standard deviation that can be meant; a file may say anything.
fn sound(sd: Option<f64>) -> Option<f64> {
    sd.filter(|sd| sd.is_finite() && *sd > 0.0).map(|sd| sd.clamp(LEAST_SD, MOST_SD))
}

/// Standard deviation of the traced points as the ways of taking them have it, mm: that of which the mean precision is theirs.
fn stated_sd(trace: &PreparedTrace) -> Option<f64> {
    let precisions: Vec<f64> =
        trace.points.iter().filter_map(|p| sound(p.sd)).map(|sd| 1.0 / (sd * sd)).collect();
    let mean = precisions.iter().sum::<f64>() / precisions.len() as f64;
    (mean > 0.0).then(|| 1.0 / mean.sqrt())
}

/// Fits the arcs to the points.
pub(super) fn fit(expectation: &Expectation, trace: &PreparedTrace, wish: &Wish) -> Fit {
    let mut fitting = Fitting::neighbourhood(expectation, trace, wish);
    fitting.let_go_of_slips();
    fitting.hold_ends(trace);
    fitting.settle();
    // Each is looked at again with the arcs where the others have them.
    for _ in 0..MOST_TAKEN_BACK {
        if !fitting.take_over_a_corner(trace, wish) && !fitting.take_back() {
            break;
        }
        fitting.settle();
    }
    if fitting.take_back_together() {
        fitting.settle();
    }
    fitting.finished()
}

/// A fit on its way.
struct Fitting {
    model: Model,
    expectation: Expectation,
    prior: Prior,
    observations: Vec<Observation>,
    ends: Vec<End>,
    stated: Option<f64>,
    solved: Solved,
    sd: f64,
    slips: Vec<Observation>,
}

impl Fitting {
    /// Finds the neighbourhood: first with a broad loss, then with one as broad as the residuals are.
    fn neighbourhood(expectation: &Expectation, trace: &PreparedTrace, wish: &Wish) -> Self {
        let (model, prior) = (expectation.model.clone(), expectation.prior.clone());
        let mut observations = observations(trace, wish);
        let ends: Vec<End> =
            ends(trace, wish).into_iter().map(|end| End { sd: LOOSELY * end.sd, ..end }).collect();
        let solve = |observations: &[Observation], start: &[f64], sd: f64, loss: Loss| {
            let (model, prior) = (&model, &prior);
            let (tolerance, most_steps) = (COARSE, MOST_STEPS);
            Problem { model, prior, observations, ends: &ends, sd, loss, tolerance, most_steps }.solve(start)
        };
        let mut solved = solve(&observations, prior.mean.as_slice(), 1.0, Loss::Cauchy(1.5));
        for _ in 0..3 {
            let moved = reassign(&model, &solved.values, trace, wish, &mut observations);
            let sd = median_sd(evened(&observations, &solved)).clamp(0.1, 1.0);
            solved = solve(&observations, &solved.values, sd, Loss::Cauchy(CAUCHY));
            if !moved {
                break;
            }
        }
        let sd = median_sd(evened(&observations, &solved)).clamp(LEAST_SD, MOST_SD);
        let (expectation, stated) = (expectation.clone(), stated_sd(trace));
        Fitting { model, expectation, prior, observations, ends, stated, solved, sd, slips: Vec::new() }
    }

    fn problem(&self, sd: f64, loss: Loss, tolerance: f64) -> Problem<'_> {
        let (model, prior) = (&self.model, &self.prior);
        let (observations, ends) = (&self.observations[..], &self.ends[..]);
        Problem { model, prior, observations, ends, sd, loss, tolerance, most_steps: MOST_STEPS }
    }

    fn solve(&mut self, tolerance: f64) {
        self.solved =
            self.problem(self.sd.min(HAND_SD), huber(self.sd), tolerance).solve(&self.solved.values);
    }

    fn covariance(&self) -> DMatrix<f64> {
        self.solved.covariance().unwrap_or_else(|| DMatrix::zeros(self.model.size, self.model.size))
    }

    fn let_go_of_slips(&mut self) {
        let problem = self.problem(self.sd, Loss::Cauchy(CAUCHY), COARSE);
        let (slip, solved) = slips(&problem, &self.solved);
        self.solved = solved;
        let mut slipped = slip.into_iter();
        self.slips = self.observations.extract_if(.., |_| slipped.next() == Some(true)).collect();
    }

    /// Holds the runs to their ends, but those by which points were let go of as loosely as before.
    fn hold_ends(&mut self, trace: &PreparedTrace) {
        for end in &mut self.ends {
            let (at, run) = (end.at, end.run);
            let from_end = |p: &PlacedPoint| p.at.distance(at);
            let of_run = |p: &&PlacedPoint| p.run == run;
            let shows_it = |slip: &PlacedPoint| {
                let nearer = |p: &&PlacedPoint| from_end(p) < from_end(slip);
                trace.points.iter().filter(of_run).filter(nearer).count() < SHOW_AN_END
            };
            let mut slips = self.slips.iter().map(|slip| &trace.points[slip.source]).filter(of_run);
            if !slips.any(shows_it) {
                end.sd /= LOOSELY;
            }
        }
    }

    /// Works the construction anew where the ribs are, and finds how free of it they are and how steady the hand was.
    fn settle(&mut self) {
        for round in 0..6 {
            if round < EXPECTED_ANEW
                && let Some(anew) = self.expectation.about(&self.solved, &self.prior)
            {
                self.expectation = anew;
            }
            // Only once the construction has come to these ribs is it seen how close they keep to it.
            if round == EXPECTED_ANEW - 1 {
                self.expectation = self.expectation.freed(&self.solved, &self.prior);
            }
            if round < 4 {
                let loosened = self.expectation.loosened(&self.solved.values);
                self.prior = loosened.unwrap_or_else(|| self.expectation.prior.clone());
            }
            self.solve(COARSE);
            let now = self.solved.observed_sd(&self.covariance(), self.stated).clamp(LEAST_SD, MOST_SD);
            let settled = (now / self.sd).ln().abs() < 0.05;
            self.sd = now;
            if settled && round >= EXPECTED_ANEW - 1 {
                break;
            }
        }
    }

    /// Takes back an unnamed point let go of, as one of the run beyond the corner, if it lies where that has the ribs. Returns whether
    /// there was one.
    fn take_over_a_corner(&mut self, trace: &PreparedTrace, wish: &Wish) -> bool {
        if self.slips.iter().all(|slip| trace.points[slip.source].named) {
            return false;
        }
        let problem = self.problem(self.sd, huber(self.sd), COARSE);
        let covariance = self.covariance();
        let found = self.slips.iter().enumerate().find_map(|(k, slip)| {
            beyond_a_corner(slip, trace, wish)
                .find(|other| lies_there(&problem, &self.solved, &covariance, other))
                .map(|other| (k, other))
        });
        let Some((k, other)) = found else { return false };
        self.slips.remove(k);
        put(&mut self.observations, other);
        true
    }

    /// Takes back the likeliest of the points let go of, if it lies where the others have the ribs as well as can be told. Returns
    /// whether one did.
    fn take_back(&mut self) -> bool {
        if self.slips.is_empty() {
            return false;
        }
        let problem = self.problem(self.sd, huber(self.sd), COARSE);
        let Some(k) = no_slip(&problem, &self.solved, &self.covariance(), &self.slips) else { return false };
        put(&mut self.observations, self.slips.remove(k));
        true
    }

    /// Takes back all the points let go of in a run that goes by them as well, held by the recipe as if it had never left it. Returns
    /// whether any run does.
    fn take_back_together(&mut self) -> bool {
        if self.slips.is_empty() {
            return false;
        }
        let problem =
            Problem { prior: &self.expectation.prior, ..self.problem(self.sd, huber(self.sd), COARSE) };
        let (back, start) = no_slips_together(&problem, &self.solved, &self.slips);
        let any = back.contains(&true);
        if any {
            self.slips.retain(|slip| {
                let back = back[slip.run.index()];
                if back {
                    put(&mut self.observations, *slip);
                }
                !back
            });
            self.prior = self.expectation.prior.clone();
            self.solved.values = start;
            self.solve(COARSE);
        }
        any
    }

    fn finished(mut self) -> Fit {
        self.solve(FINE);
        let problem = self.problem(self.sd, huber(self.sd), FINE);
        let off = |o: &Observation| problem.off(&self.solved.values, o).mm.abs();
        let left_out = self.slips.iter().map(|o| (o.source, off(o))).collect();
        let covariance = self.covariance();
        let Fitting { model, expectation, prior, observations, ends, stated, solved, sd, .. } = self;
        let tolerance = FINE;
        Fit {
            model,
            expectation,
            prior,
            solved,
            tolerance,
            covariance,
            sd,
            stated,
            observations,
            ends,
            left_out,
        }
    }
}

/// How far beyond their joints the open arcs are carried before the corners are cut, as a part of the body length: well past
/// the longest corner, yet not round to the other end of the waist.
pub(super) const CARRIED_ON: f64 = 0.3;

impl Fit {
    /// The runs as fitted, counter-clockwise, carried on past their corners on a body of this length, mm.
    pub fn runs(&self, body_length: f64) -> [Chain; 6] {
        let placed = self.model.placed(&self.solved.values);
        placed.each_ref().map(|run| run.chain(CARRIED_ON * body_length))
    }

    /// The standard deviation of the hand alone, mm: how far readings are from the middle of their two neighbours, in which
    /// waves of the ribs hardly show.
    pub fn hand_sd(&self) -> f64 {
        let order = along_run(&self.model, &self.observations, &self.solved);
        let bends = order
            .windows(3)
            .filter(|three| {
                three.iter().all(|i| self.observations[*i].run == self.observations[three[0]].run)
            })
            .map(|three| {
                let [before, at, after] = [0, 1, 2].map(|k| self.solved.residuals[three[k]]);
                let variance = [0, 1, 2].map(|k| 1.0 / self.observations[three[k]].counts);
                (at - 0.5 * (before + after)) / (variance[1] + 0.25 * (variance[0] + variance[2])).sqrt()
            });
        median_sd(bends).min(self.sd).max(LEAST_SD)
    }

    /// Finds how well everything is known where it has been solved.
    pub fn reckon(&mut self) {
        let size = self.model.size;
        self.covariance = self.solved.covariance().unwrap_or_else(|| DMatrix::zeros(size, size));
        self.sd = self.solved.observed_sd(&self.covariance, self.stated).clamp(LEAST_SD, MOST_SD);
    }

    /// One run by itself: its points, and as a Gaussian belief what all others and the prior say of the parameters about here.
    /// Much is tried on it in little time; how well things are known is not reckoned.
    pub fn alone(&self, run: Run) -> Option<Fit> {
        let values = &self.solved.values;
        let its = |i: &usize| self.observations[*i].run == run;
        let places: Vec<usize> = (0..self.observations.len()).filter(its).collect();
        let observations: Vec<Observation> = places.iter().map(|i| self.observations[*i]).collect();
        let ends: Vec<End> = self.ends.iter().copied().filter(|end| end.run == run).collect();
        let whole = self.problem(&self.model, &self.prior, COARSE);
        let problem = Problem { observations: &observations, ends: &ends, ..whole };
        let (gradient, curvature) = problem.held_at(values);
        let precision = &self.solved.curvature - curvature;
        // Where the whole is solved, the others' gradient is just opposite.
        let off = Factored::of(precision.clone())?.solve(&gradient);
        let mean = DVector::from_column_slice(values) + off;
        let solved = Solved {
            residuals: places.iter().map(|i| self.solved.residuals[*i]).collect(),
            inside: places.iter().map(|i| self.solved.inside[*i]).collect(),
            weights: places.iter().map(|i| self.solved.weights[*i]).collect(),
            ..self.solved.clone()
        };
        Some(Fit { observations, ends, prior: Prior { mean, precision }, solved, ..self.clone() })
    }

    /// The same points fitted by another model, from `start`, without reckoning how well anything is known.
    pub fn tried(&self, model: Model, prior: Prior, start: &[f64]) -> Fit {
        let solved = self.problem(&model, &prior, TRIED).solve(start);
        Fit { model, prior, solved, tolerance: TRIED, ..self.clone() }
    }

    /// The arcs solved again from where they are, with the readings counting for what they count for now.
    pub fn solved_again(&self, tolerance: f64) -> Solved {
        self.problem(&self.model, &self.prior, tolerance).solve(&self.solved.values)
    }

    fn problem<'a>(&'a self, model: &'a Model, prior: &'a Prior, tolerance: f64) -> Problem<'a> {
        Problem {
            model,
            prior,
            observations: &self.observations,
            ends: &self.ends,
            sd: self.sd.min(HAND_SD),
            loss: huber(self.sd),
            tolerance,
            most_steps: if tolerance > FINE { TRIED_STEPS } else { MOST_STEPS },
        }
    }

    /// Solves to the last digit what has been fitted coarsely.
    pub fn settle(&mut self) {
        if self.tolerance > FINE {
            self.tolerance = FINE;
            self.solved = self.solved_again(FINE);
            self.reckon();
        }
    }

    /// Twice the negative logarithm of the chance of these points under an expectation, but for a constant that depends on the
    /// number of points alone: the lower, the better the recipe explains the ribs. Laplace's approximation.
    /// `sd` is that of a traced point; recipes are compared at the same one.
    pub fn surprise(&self, sd: f64) -> f64 {
        let expectation = &self.expectation;
        let problem = Problem {
            model: &expectation.model,
            prior: &expectation.prior,
            observations: &self.observations,
            ends: &[],
            sd,
            loss: Loss::Huber(HUBER),
            tolerance: COARSE,
            most_steps: MOST_STEPS,
        };
        let solved = problem.solve(&self.solved.values);
        let log_determinant = |matrix: &DMatrix<f64>| {
            Factored::of(matrix.clone()).map_or(f64::INFINITY, |f| f.log_determinant())
        };
        2.0 * problem.cost_at(&solved.values) + log_determinant(&solved.curvature)
            - log_determinant(&expectation.prior.precision)
    }

    /// Solves again from `start` under conditions that are to hold exactly.
    pub fn solved_under(&self, start: &[f64], conditions: impl Fn(&[f64]) -> Vec<Condition>) -> Solved {
        self.problem(&self.model, &self.prior, FINE).solve_under(start, conditions)
    }
}

/// Huber's loss that turns linear at so many of the ribs' own standard deviations, however little of them is the hand's.
fn huber(sd: f64) -> Loss {
    Loss::Huber(HUBER * sd / sd.min(HAND_SD))
}

/// The residuals as they would be had all points been taken alike well, mm.
fn evened(observations: &[Observation], solved: &Solved) -> impl Iterator<Item = f64> {
    observations.iter().zip(&solved.residuals).map(|(o, r)| r * o.counts.sqrt())
}

/// The standard deviation of which these would be the residuals if most of them are sound: 1.4826 times
/// the median of their sizes.
fn median_sd(residuals: impl Iterator<Item = f64>) -> f64 {
    let sizes: Vec<f64> = residuals.map(f64::abs).collect();
    1.4826 * median(&sizes).unwrap_or_default()
}

/// Gives unnamed points near a corner to the run they fit better. Returns whether any changed hands.
fn reassign(
    model: &Model,
    values: &[f64],
    trace: &PreparedTrace,
    wish: &Wish,
    observations: &mut [Observation],
) -> bool {
    let placed = model.placed(values);
    let mut moved = false;
    for o in observations.iter_mut().filter(|o| !trace.points[o.source].named) {
        let point = model.seen(values, o.at);
        let misfit = |o: &Observation| (placed[o.run.index()].inside(point).distance - o.wanted).abs();
        let now = misfit(o);
        let other = beyond_a_corner(o, trace, wish).find(|other| misfit(other) + 0.05 < now);
        if let Some(other) = other {
            *o = other;
            moved = true;
        }
    }
    moved
}

/// An unnamed point that may lie on the other flank of a corner as well, as one of the run there; of the waist there are two.
fn beyond_a_corner(
    o: &Observation,
    trace: &PreparedTrace,
    wish: &Wish,
) -> impl Iterator<Item = Observation> + use<> {
    let bouts: &[Bout] = match o.run.bout {
        _ if trace.points[o.source].named => &[],
        Bout::Waist => &[Bout::Lower, Bout::Upper],
        Bout::Lower | Bout::Upper => &[Bout::Waist],
    };
    let (o, corners, wish) = (*o, trace.corners, *wish);
    bouts.iter().filter_map(move |bout| {
        let corner_bout = if *bout == Bout::Waist { o.run.bout } else { *bout };
        let corner = Corner::of(corner_bout, o.run.side);
        let near = corner.and_then(|c| corners[c.index()]).is_none_or(|c| c.distance(o.at) < NEAR_CORNER);
        let other = Run { bout: *bout, side: o.run.side };
        near.then(|| Observation { run: other, wanted: wish.distance(other.bout), ..o })
    })
}

/// The observations run by run, in the order in which they lie along it.
pub(super) fn along_run(model: &Model, observations: &[Observation], solved: &Solved) -> Vec<usize> {
    let placed = model.placed(&solved.values);
    let place: Vec<f64> = observations
        .iter()
        .zip(&solved.inside)
        .map(|(o, inside)| {
            let run = o.run.index();
            // No arc turns by as much as 16 radians, and no run has as many as a thousand.
            (run * 1000 + inside.arc) as f64 * 16.0 + placed[run].turned(inside)
        })
        .collect();
    ascending(&place)
}
