//! What the recipe leads one to expect: the mean and spread of every parameter before a point is looked at.
//!
//! The recipe is worked at the length and widths of these ribs, not of the plan. Then each of its
//! measures, points and compass settings is eased by its looseness, one after another, and what that does to
//! the arcs is taken as one direction in which ribs are expected to vary: half of it alike on both sides, half
//! on each side by itself. On top of this every parameter has some freedom of its own, since the ribs were
//! bent by hand and need not know the construction.

use super::model::{Anchor, ArcSlot, FrameSlots, Model, RunModel, Slot};
use super::solve::Prior;
use super::{Radii, ReconcileError};
use crate::order::sort_by_value;
use crate::outline::{Bout, Outline, Run, Side};
use crate::recipe::{Action, Ease, Plan, Recipe};
use nalgebra::{DMatrix, DVector};

/// Freedom of each parameter beyond what the recipe's looseness gives it; standard deviations.
///
/// Chosen by trial on simulated ribs: tighter, and ribs made by another construction are pulled off
/// their line; looser, and ten points a run no longer hold the arcs.
mod own_freedom {
    /// Of the logarithm of a radius: 7 % of it.
    pub const LOG_RADIUS: f64 = 0.07;
    /// Of the logarithm of the radius of an arc that runs out into a corner.
    pub const LOG_HOOK: f64 = 0.08;
    /// Of a joint along the edge, mm on a violin.
    pub const JOINT: f64 = 5.0;
    /// Of the place of a waist run, mm on a violin.
    pub const WAIST_PLACE: f64 = 2.0;
    /// Of its heading there, radians.
    pub const WAIST_HEADING: f64 = 0.04;
    /// Of the two ends, mm on a violin.
    pub const END: f64 = 3.0;
    /// Of an estimated centreline: turn in radians, shift in mm.
    pub const TILT: f64 = 0.01;
    pub const SHIFT: f64 = 2.0;
}

/// Beyond so many standard deviations a departure is the ribs' and no longer chance.
const PLAIN: f64 = 2.0;

/// Body length to which the lengths in [`own_freedom`] belong, mm.
const VIOLIN_LENGTH: f64 = 355.0;

/// An arc of the recipe's half outline in the frame of its run.
#[derive(Debug, Clone, Copy, PartialEq)]
struct HalfArc {
    log_radius: f64,
    bend: f64,
    log_sweep: f64,
}

/// The right half of an outline in the terms of the model.
#[derive(Debug, Clone, PartialEq)]
struct Half {
    bottom: f64,
    top: f64,
    arcs: [Vec<HalfArc>; 3],
    /// x, y, heading.
    waist: [f64; 3],
}

impl Half {
    fn of(outline: &Outline) -> Option<Half> {
        let [lower, waist, upper, ..] = &outline.runs;
        let arc = |p: &crate::arc::Piece| HalfArc {
            log_radius: p.radius.abs().ln(),
            bend: p.radius.signum(),
            log_sweep: p.sweep.max(1e-4).ln(),
        };
        let waist_arcs = waist.arcs();
        let first = waist_arcs.first()?;
        let at = if waist_arcs.len() > 1 { 1.0 } else { 0.5 };
        let joint = first.at(at);
        let heading = first.heading(at);
        Some(Half {
            bottom: lower.start.y,
            top: upper.end().y,
            arcs: [
                lower.pieces.iter().map(arc).collect(),
                waist.pieces.iter().map(arc).collect(),
                upper.pieces.iter().rev().map(arc).collect(),
            ],
            waist: [joint.x, joint.y, heading],
        })
    }

    /// All values in a fixed order: bottom, top, radii, sweeps between joints, place of the waist.
    fn values(&self) -> Vec<f64> {
        let mut values = vec![self.bottom, self.top];
        values.extend(self.arcs.iter().flatten().map(|a| a.log_radius));
        for (bout, arcs) in Bout::ALL.into_iter().zip(&self.arcs) {
            values.extend(joined(bout, arcs.len()).map(|k| arcs[k].log_sweep));
        }
        values.extend(self.waist);
        values
    }
}

/// Indices of the arcs of a run that lie between two joints.
fn joined(bout: Bout, count: usize) -> std::ops::Range<usize> {
    match bout {
        Bout::Waist => 1..count.saturating_sub(1).max(1),
        Bout::Lower | Bout::Upper => 0..count.saturating_sub(1),
    }
}

/// The model, what is expected of it, and what its circles are.
pub(super) struct Expectation {
    pub model: Model,
    pub prior: Prior,
    /// The inverse of the prior's precision.
    covariance: DMatrix<f64>,
}

impl Expectation {
    /// The expectation with less of a say where these ribs plainly leave it: each arc parameter that came out more than
    /// [`PLAIN`] standard deviations from its mean gets the departure itself for its standard deviation, which is
    /// the value that makes such a departure most probable. `None` where no parameter did.
    pub fn loosened(&self, values: &[f64]) -> Option<Prior> {
        let mut covariance = self.covariance.clone();
        let mut any = false;
        for slot in self.model.arc_slots() {
            let off = values[slot] - self.prior.mean[slot];
            let variance = self.covariance[(slot, slot)];
            if off * off > PLAIN * PLAIN * variance {
                covariance[(slot, slot)] += off * off - variance;
                any = true;
            }
        }
        let precision = any.then(|| covariance.cholesky())??.inverse();
        Some(Prior { mean: self.prior.mean.clone(), precision })
    }

    /// Moves everything up the centreline by so many mm.
    pub fn lift(&mut self, mm: f64) {
        self.prior.mean[self.model.bottom] += mm;
        self.prior.mean[self.model.top] += mm;
        for run in &self.model.runs {
            if let Anchor::Joint { y, .. } = run.anchor {
                self.prior.mean[y] += mm;
            }
        }
    }
}

/// Lays out the parameters, and returns for each side the slots of [`Half::values`].
fn lay_out(
    half: &Half,
    circles: &[Vec<usize>; 3],
    radii: Radii,
    free_centreline: bool,
) -> (Model, [Vec<Slot>; 2]) {
    let mut size = 0;
    let mut next = || {
        size += 1;
        size - 1
    };
    let (bottom, top) = (next(), next());
    let shared: Vec<Vec<Slot>> = half.arcs.iter().map(|arcs| arcs.iter().map(|_| next()).collect()).collect();
    let mut slots_of = [Vec::new(), Vec::new()];
    let mut runs: Vec<RunModel> = Vec::new();
    for side in [Side::Right, Side::Left] {
        let radius_slots: Vec<Vec<Slot>> = match (radii, side) {
            (Radii::EachSide, Side::Left) => {
                half.arcs.iter().map(|arcs| arcs.iter().map(|_| next()).collect()).collect()
            }
            _ => shared.clone(),
        };
        let sweeps: Vec<Vec<Slot>> = Bout::ALL
            .into_iter()
            .zip(&half.arcs)
            .map(|(bout, arcs)| joined(bout, arcs.len()).map(|_| next()).collect())
            .collect();
        let waist = [next(), next(), next()];
        let mut slots = vec![bottom, top];
        slots.extend(radius_slots.iter().flatten());
        slots.extend(sweeps.iter().flatten());
        slots.extend(waist);
        slots_of[usize::from(side == Side::Left)] = slots;
        for (i, bout) in Bout::ALL.into_iter().enumerate() {
            let between = joined(bout, half.arcs[i].len());
            let arcs = half.arcs[i]
                .iter()
                .enumerate()
                .map(|(k, arc)| ArcSlot {
                    radius: radius_slots[i][k],
                    bend: arc.bend,
                    circle: circles[i][k],
                    sweep: between.contains(&k).then(|| sweeps[i][k - between.start]),
                })
                .collect();
            let anchor = match bout {
                Bout::Lower => Anchor::End { height: bottom },
                Bout::Upper => Anchor::End { height: top },
                Bout::Waist => Anchor::Joint { x: waist[0], y: waist[1], heading: waist[2] },
            };
            runs.push(RunModel { run: Run { bout, side }, anchor, arcs });
        }
    }
    let frame = free_centreline.then(|| FrameSlots { tilt: next(), shift: next() });
    sort_by_value(&mut runs, |run| run.run.index() as f64);
    let runs = runs.try_into().unwrap_or_else(|_| unreachable!("two sides of three bouts are six runs"));
    (Model { size, bottom, top, frame, runs }, slots_of)
}

/// The steps that strike the circles of each bout's run.
pub(super) fn circles_of(recipe: &Recipe) -> Result<[Vec<usize>; 3], ReconcileError> {
    let find = |names: &[String]| -> Result<Vec<usize>, ReconcileError> {
        names
            .iter()
            .map(|name| {
                recipe
                    .steps
                    .iter()
                    .position(|s| s.name == *name)
                    .ok_or_else(|| ReconcileError::CircleMissing(name.clone()))
            })
            .collect()
    };
    Ok([find(&recipe.plan.lower)?, find(&recipe.plan.waist)?, find(&recipe.plan.upper)?])
}

/// Works out what to expect of ribs made by `recipe` whose measures came out as `lengths`, with its steps already eased
/// by so much.
pub(super) fn expectation(
    recipe: &Recipe,
    plan: &Plan,
    lengths: &[f64],
    eased: &[Ease],
    radii: Radii,
    free_centreline: bool,
) -> Result<Expectation, ReconcileError> {
    let outline = |lengths: &[f64], eased: &[Ease]| -> Option<Half> {
        plan.outline_eased(lengths, eased).ok().and_then(|o| Half::of(&o))
    };
    let half = Half::of(&plan.outline_eased(lengths, eased)?).ok_or(ReconcileError::EmptyRun)?;
    if half.arcs.iter().any(Vec::is_empty) {
        return Err(ReconcileError::EmptyRun);
    }
    let circles = circles_of(recipe)?;
    let (model, slots) = lay_out(&half, &circles, radii, free_centreline);
    let base = half.values();

    let mut mean = DVector::zeros(model.size);
    for side in &slots {
        for (slot, value) in side.iter().zip(&base) {
            mean[*slot] = *value;
        }
    }

    // A cello's ribs are eased further than a violin's, but not by as much as it is longer.
    let scale = lengths.first().map_or(1.0, |l| (l / VIOLIN_LENGTH).max(0.01).sqrt());
    let mut covariance = DMatrix::zeros(model.size, model.size);
    // How the half outline answers to one easing: `None` where the construction breaks down or changes its kind.
    let answer = |eased: Option<Half>, by: f64| -> Option<Vec<f64>> {
        let eased = eased?;
        let same_kind = eased
            .arcs
            .iter()
            .zip(&half.arcs)
            .all(|(a, b)| a.len() == b.len() && a.iter().zip(b).all(|(x, y)| x.bend == y.bend));
        same_kind.then(|| eased.values().iter().zip(&base).map(|(e, b)| (e - b) / by).collect())
    };
    // A step so small that the answer is a derivative, so large that rounding does not show.
    const STEP: f64 = 0.02;
    let mut ease = |answer: Option<Vec<f64>>, looseness: f64| {
        let Some(answer) = answer else { return };
        let both = 0.5 * looseness * looseness;
        let mut alike = vec![0.0; model.size];
        for side in &slots {
            for (slot, by) in side.iter().zip(&answer) {
                alike[*slot] = *by;
            }
        }
        add_outer(&mut covariance, &alike, both);
        for side in &slots {
            let mut alone = vec![0.0; model.size];
            for (slot, by) in side.iter().zip(&answer) {
                alone[*slot] = *by;
            }
            add_outer(&mut covariance, &alone, both);
        }
    };
    for (j, measure) in recipe.measures.iter().enumerate() {
        let mut longer = lengths.to_vec();
        longer[j] += STEP;
        ease(answer(outline(&longer, eased), STEP), measure.looseness);
    }
    for (j, step) in recipe.steps.iter().enumerate() {
        let ways = if matches!(step.action, Action::Circle { .. }) { 1 } else { 2 };
        for way in 0..ways {
            let mut further = eased.to_vec();
            further[j][way] += STEP;
            ease(answer(outline(lengths, &further), STEP), step.looseness);
        }
    }

    use own_freedom as own;
    let mut free = |slot: Slot, sd: f64| covariance[(slot, slot)] += sd * sd;
    free(model.bottom, own::END * scale);
    free(model.top, own::END * scale);
    if let Some(frame) = model.frame {
        free(frame.tilt, own::TILT);
        free(frame.shift, own::SHIFT * scale);
    }
    let mut seen = Vec::new();
    for run in &model.runs {
        if let Anchor::Joint { x, y, heading } = run.anchor {
            free(x, own::WAIST_PLACE * scale);
            free(y, own::WAIST_PLACE * scale);
            free(heading, own::WAIST_HEADING);
        }
        for arc in &run.arcs {
            if !seen.contains(&arc.radius) {
                seen.push(arc.radius);
                let hook = arc.bend < 0.0 && arc.sweep.is_none();
                free(arc.radius, if hook { own::LOG_HOOK } else { own::LOG_RADIUS });
            }
            if let Some(sweep) = arc.sweep {
                let length = (mean[arc.radius] + mean[sweep]).exp();
                free(sweep, (own::JOINT * scale / length).clamp(0.02, 0.8));
            }
        }
    }
    let precision = covariance.clone().cholesky().ok_or(ReconcileError::NoExpectation)?.inverse();
    Ok(Expectation { model, prior: Prior { mean, precision }, covariance })
}

fn add_outer(matrix: &mut DMatrix<f64>, direction: &[f64], variance: f64) {
    let used: Vec<(usize, f64)> =
        direction.iter().copied().enumerate().filter(|(_, v)| v.is_finite() && *v != 0.0).collect();
    for &(i, a) in &used {
        for &(j, b) in &used {
            matrix[(i, j)] += variance * a * b;
        }
    }
}
