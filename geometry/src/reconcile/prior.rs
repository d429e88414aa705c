//! What the recipe leads one to expect: the mean and spread of every parameter before a point is looked at.
//!
//! The recipe is worked at the length and widths of these ribs, not of the plan. Then each of its
//! measures, points and compass settings is eased by its looseness, one after another, and what that does to
//! the arcs is taken as one direction in which ribs are expected to vary: partly alike on both sides, partly
//! on each side by itself. On top of this every parameter has some freedom of its own, since the ribs were
//! bent by hand and need not know the construction; how much of it is read from the ribs.

use super::easing::Construction;
use super::half::Half;
use super::layout::{circles_of, lay_out};
use super::model::{Anchor, Model, Slot};
use super::solve::Prior;
use super::solved::Solved;
use super::{Radii, ReconcileError};
use crate::outline::Bout;
use crate::recipe::{Ease, Plan, Recipe};
use nalgebra::{DMatrix, DVector};
use ribline_linear::Factored;

/// Freedom of each parameter beyond what the recipe's looseness gives it; standard deviations.
///
/// Chosen by trial on simulated ribs of other constructions. Ribs that keep closer to the recipe, or less close, have so many
/// times these, see [`FREEDOMS`].
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

/// Ribs made by the recipe need next to no freedom of their own, those made by another construction more than is usual.
/// The first is the freedom to begin with, until the ribs have been looked at; without any they would never show that they
/// want more.
const FREEDOMS: [f64; 6] = [0.8, 0.1, 0.2, 0.4, 1.5, 3.0];

/// Beyond so many standard deviations a departure is the ribs' and no longer chance.
const PLAIN: f64 = 3.0;

/// Of what a measure or a point is eased by, this part of the variance is alike on both sides.
const ALIKE: f64 = 0.5;

/// Body length to which the lengths in [`own_freedom`] belong, mm.
const VIOLIN_LENGTH: f64 = 355.0;

/// The model, and what is expected of it.
#[derive(Debug, Clone)]
pub(super) struct Expectation {
    pub model: Model,
    pub prior: Prior,
    /// The inverse of the prior's precision.
    covariance: DMatrix<f64>,
    construction: Construction,
    /// For each side the slots of [`Half::values`].
    slots: [Vec<Slot>; 2],
    /// How much of each easing's variance is alike on both sides.
    alike: Vec<f64>,
    /// How far up the centreline the construction is set, mm.
    lift: f64,
    /// d parameter / d easing of either side, where the construction was last worked; easing by easing.
    answers: [Vec<Vec<f64>>; 2],
    /// By how much lengths are freer than on a violin.
    scale: f64,
    /// The covariance but for the arcs' own freedom.
    by_construction: DMatrix<f64>,
    /// Variance of the arcs' parameters beyond that, at a freedom of 1.
    own: Vec<f64>,
    /// So many times the standard deviations of `own` these ribs are free of the construction.
    freedom: f64,
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
    let construction = Construction::new(recipe, plan, lengths, eased);
    let count = construction.easings.len();
    let half = construction.half(&[])?;
    let (model, slots) = lay_out(&half, &circles_of(recipe)?, radii, free_centreline);
    let alike = construction
        .easings
        .iter()
        .map(|easing| if easing.is_setting() && radii == Radii::Shared { 1.0 } else { ALIKE })
        .collect();
    // A cello's ribs are eased further than a violin's, but not by as much as it is longer.
    let scale = lengths.first().map_or(1.0, |l| (l / VIOLIN_LENGTH).max(0.01).sqrt());
    let size = model.size;
    let mut expectation = Expectation {
        prior: Prior { mean: DVector::zeros(size), precision: DMatrix::zeros(size, size) },
        covariance: DMatrix::zeros(size, size),
        construction,
        slots,
        alike,
        lift: 0.0,
        answers: Default::default(),
        scale,
        by_construction: DMatrix::zeros(size, size),
        own: own_freedom(&model, &half, scale),
        freedom: FREEDOMS[0],
        model,
    };
    expectation.work([vec![0.0; count], vec![0.0; count]])?;
    Ok(expectation)
}

/// The covariance of what is no arc: the two ends, and an estimated centreline.
fn ends_freedom(model: &Model, scale: f64) -> DMatrix<f64> {
    let mut covariance = DMatrix::zeros(model.size, model.size);
    let mut free = |slot: Slot, sd: f64| covariance[(slot, slot)] = sd * sd;
    free(model.bottom, own_freedom::END * scale);
    free(model.top, own_freedom::END * scale);
    if let Some(frame) = model.frame {
        free(frame.tilt, own_freedom::TILT);
        free(frame.shift, own_freedom::SHIFT * scale);
    }
    covariance
}

/// The variance of every arc's parameters by themselves.
fn own_freedom(model: &Model, half: &Half, scale: f64) -> Vec<f64> {
    let mut own = vec![0.0; model.size];
    let mut free = |slot: Slot, sd: f64| own[slot] = sd * sd;
    for run in &model.runs {
        if let Anchor::Joint { x, y, heading } = run.anchor {
            free(x, own_freedom::WAIST_PLACE * scale);
            free(y, own_freedom::WAIST_PLACE * scale);
            free(heading, own_freedom::WAIST_HEADING);
        }
        let planned = match run.run.bout {
            Bout::Lower => &half.arcs[0],
            Bout::Waist => &half.arcs[1],
            Bout::Upper => &half.arcs[2],
        };
        for (arc, planned) in run.arcs.iter().zip(planned) {
            let hook = arc.bend < 0.0 && arc.sweep.is_none();
            free(arc.radius, if hook { own_freedom::LOG_HOOK } else { own_freedom::LOG_RADIUS });
            if let Some(sweep) = arc.sweep {
                let length = (planned.log_radius + planned.log_sweep).exp();
                free(sweep, (own_freedom::JOINT * scale / length).clamp(0.02, 0.8));
            }
        }
    }
    own
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
        let precision = any.then(|| Factored::of(covariance))??.inverse();
        Some(Prior { mean: self.prior.mean.clone(), precision })
    }

    /// The construction worked anew where it comes nearest to what was found under a prior: a compass eased by a few
    /// millimetres moves the joints beside it further than in proportion. `None` where it breaks down there.
    pub fn about(&self, found: &Solved, prior: &Prior) -> Option<Expectation> {
        let strain = prior.gradient(&found.values);
        let pulled = self.answers.each_ref().map(|answers| -> Vec<f64> {
            answers.iter().map(|by| by.iter().zip(strain.iter()).map(|(b, s)| b * s).sum()).collect()
        });
        let eased = [0, 1].map(|side: usize| -> Vec<f64> {
            let easings = self.construction.easings.iter().enumerate();
            easings
                .map(|(k, easing)| {
                    easing.looseness.powi(2) * (pulled[side][k] + self.alike[k] * pulled[1 - side][k])
                })
                .collect()
        });
        let mut expectation = self.clone();
        expectation.work(eased).ok()?;
        Some(expectation)
    }

    /// The same expectation with these ribs as free of the construction as is likeliest, as far as the straight-line picture
    /// about what was found under a prior shows.
    pub fn freed(&self, found: &Solved, prior: &Prior) -> Expectation {
        let by_data = -prior.gradient(&found.values);
        let data_curvature = &found.curvature - &prior.precision;
        let mut best = (f64::INFINITY, self.clone());
        for freedom in FREEDOMS {
            let mut tried = self.clone();
            if tried.free(freedom).is_err() {
                continue;
            }
            let by_prior = tried.prior.gradient(&found.values);
            let gradient = &by_data + &by_prior;
            let precision = tried.prior.precision.clone();
            let Some(curvature) = Factored::of(&data_curvature + &precision) else { continue };
            let Some(precision) = Factored::of(precision) else { continue };
            // Twice the negative logarithm of the chance of these points, but for a constant.
            let off = DVector::from_column_slice(&found.values) - &tried.prior.mean;
            let surprise = off.dot(&by_prior) - gradient.dot(&curvature.solve(&gradient))
                + curvature.log_determinant()
                - precision.log_determinant();
            if surprise < best.0 {
                best = (surprise, tried);
            }
        }
        best.1
    }

    /// Works the construction with each side eased by so much, and sets out what to expect.
    fn work(&mut self, eased: [Vec<f64>; 2]) -> Result<(), ReconcileError> {
        let size = self.model.size;
        let mut share = vec![0.0; size];
        for slot in self.slots.iter().flatten() {
            share[*slot] += 1.0;
        }
        let mut mean = DVector::zeros(size);
        let mut answers: [Vec<Vec<f64>>; 2] = Default::default();
        let mut worked: Option<(Half, Vec<Vec<f64>>)> = None;
        for side in 0..2 {
            // Eased alike, both sides are.
            let (half, by) = match worked.take().filter(|_| eased[0] == eased[1]) {
                Some(alike) => alike,
                None => {
                    let half = self.construction.half(&eased[side])?;
                    let by = self.construction.answers(&eased[side], &half);
                    (half, by)
                }
            };
            for (slot, value) in self.slots[side].iter().zip(half.values()) {
                mean[*slot] += value / share[*slot];
            }
            for (answer, eased) in by.iter().zip(&eased[side]) {
                let mut spread = vec![0.0; size];
                for (slot, by) in self.slots[side].iter().zip(answer) {
                    spread[*slot] = by / share[*slot];
                    mean[*slot] -= eased * spread[*slot];
                }
                answers[side].push(spread);
            }
            worked = Some((half, by));
        }
        let mut covariance = ends_freedom(&self.model, self.scale);
        for (k, easing) in self.construction.easings.iter().enumerate() {
            let [right, left] = [&answers[0][k], &answers[1][k]];
            let variance = 0.5 * easing.looseness.powi(2);
            let together: Vec<f64> = right.iter().zip(left).map(|(r, l)| r + l).collect();
            let apart: Vec<f64> = right.iter().zip(left).map(|(r, l)| r - l).collect();
            add_outer(&mut covariance, &together, variance * (1.0 + self.alike[k]));
            add_outer(&mut covariance, &apart, variance * (1.0 - self.alike[k]));
        }
        self.by_construction = covariance;
        self.prior.mean = mean;
        self.answers = answers;
        self.raise(self.lift);
        self.free(self.freedom)
    }

    /// Sets how free these ribs are of the construction.
    fn free(&mut self, freedom: f64) -> Result<(), ReconcileError> {
        self.covariance = self.by_construction.clone();
        for (slot, own) in self.own.iter().enumerate() {
            self.covariance[(slot, slot)] += freedom * freedom * own;
        }
        let factor = Factored::of(self.covariance.clone()).ok_or(ReconcileError::NoExpectation)?;
        self.prior.precision = factor.inverse();
        self.freedom = freedom;
        Ok(())
    }

    /// Moves everything up the centreline by so many mm.
    pub fn lift(&mut self, mm: f64) {
        self.lift += mm;
        self.raise(mm);
    }

    fn raise(&mut self, mm: f64) {
        self.prior.mean[self.model.bottom] += mm;
        self.prior.mean[self.model.top] += mm;
        for run in &self.model.runs {
            if let Anchor::Joint { y, .. } = run.anchor {
                self.prior.mean[y] += mm;
            }
        }
    }
}

fn add_outer(matrix: &mut DMatrix<f64>, direction: &[f64], variance: f64) {
    let used: Vec<(usize, f64)> =
        direction.iter().copied().enumerate().filter(|(_, v)| variance != 0.0 && *v != 0.0).collect();
    for &(i, a) in &used {
        for &(j, b) in &used {
            matrix[(i, j)] += variance * a * b;
        }
    }
}
