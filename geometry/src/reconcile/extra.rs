//! One arc more: where a run cannot stay within the tolerance of its overhang, the arc of it that is best struck in two.

use super::fit::{COARSE, Fit};
use super::model::{ArcSlot, Slot};
use super::report::ExtraArc;
use super::solve::Prior;
use super::within::{departures, furthest_by_run, furthest_in, limit};
use super::{Finish, Wish};
use crate::order::sort_by_value;
use crate::outline::{Bout, Run};
use crate::recipe::Recipe;
use nalgebra::DMatrix;

/// Freedom of the second arc's radius about the first's, as the standard deviation of its logarithm: anything from
/// half of it to double is to be expected.
const LOG_RADIUS: f64 = 0.5;
/// Likewise of the two sweeps, about half of the one they come from.
const LOG_SWEEP: f64 = 0.8;
/// Arcs more that a run may take in. Ribs that want more are not this recipe's.
const MOST_IN_A_RUN: usize = 4;
/// Parameters of an arc: its radius and where it begins.
const PARAMETERS: f64 = 2.0;

/// Looks, in every run that cannot stay within the tolerance, for the one extra arc that helps most there, and takes it
/// where the maker lets it. Only arcs that earn their parameters are named; worst run first.
pub(super) fn extra_arcs(recipe: &Recipe, fit: &mut Fit, wish: &Wish) -> Vec<ExtraArc> {
    if wish.finish == Finish::Recipe {
        return Vec::new();
    }
    let limit = limit(fit, wish);
    let furthest = furthest_by_run(fit, &departures(fit));
    let mut beyond: Vec<(Run, f64)> =
        Run::ALL.into_iter().zip(furthest).filter(|(_, by)| *by > limit).collect();
    sort_by_value(&mut beyond, |(_, by)| -by);
    let mut arcs = Vec::new();
    for (run, _) in beyond {
        for _ in 0..MOST_IN_A_RUN {
            let one_more = one_more_arc(recipe, fit, run, wish);
            let taken = one_more.as_ref().is_some_and(|arc| arc.taken);
            arcs.extend(one_more);
            // What was only proposed changes nothing, and would be proposed again.
            if !taken || furthest_in(fit, run) <= limit {
                break;
            }
        }
    }
    arcs
}

fn one_more_arc(recipe: &Recipe, fit: &mut Fit, run: Run, wish: &Wish) -> Option<ExtraArc> {
    let before = furthest_in(fit, run);
    let k = best_split(fit, run)?;
    let circle = fit.model.runs[run.index()].arcs[k].circle;
    let tried = split(fit, run, k)?;
    let after = furthest_in(&tried, run);
    let gain = gain(fit, &tried, 1.0);
    if wish.extra_arcs {
        *fit = tried;
    }
    let circle = recipe.steps.get(circle).map(|s| s.name.clone()).unwrap_or_default();
    Some(ExtraArc { run, circle, gain, before, after, taken: wish.extra_arcs })
}

/// What so many arcs more gain by the Bayesian information criterion.
/// Source: Schwarz, "Estimating the dimension of a model", Annals of Statistics 6 (1978).
fn gain(fit: &Fit, tried: &Fit, arcs: f64) -> f64 {
    let count = fit.observations.len() as f64;
    (fit.misfit() - tried.misfit()) / fit.hand_sd().powi(2) - arcs * PARAMETERS * count.ln()
}

/// The arc of a run that is best struck in two. Where no arc more earns its parameters, the first of the best two: a wave within
/// one arc takes two joints to follow.
fn best_split(fit: &Fit, run: Run) -> Option<usize> {
    let splits = |of: &Fit| -> Vec<(usize, Fit)> {
        let last = of.model.runs[run.index()].arcs.len() - 1;
        let worst = departures(of)
            .into_iter()
            .filter(|(i, _)| of.observations[*i].run == run)
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
            .map_or(0, |(i, _)| of.solved.inside[i].arc);
        (worst.saturating_sub(1)..=(worst + 1).min(last))
            .filter_map(|k| split(of, run, k).map(|tried| (k, tried)))
            .collect()
    };
    let best = |gains: Vec<(f64, usize)>| {
        gains
            .into_iter()
            .filter(|(gain, _)| gain.is_finite() && *gain > 0.0)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(_, k)| k)
    };
    let first = splits(fit);
    best(first.iter().map(|(k, tried)| (gain(fit, tried, 1.0), *k)).collect()).or_else(|| {
        let two = |(k, one): &(usize, Fit)| {
            let gains = splits(one).iter().map(|(_, tried)| gain(fit, tried, 2.0)).fold(f64::MIN, f64::max);
            (gains, *k)
        };
        best(first.iter().map(two).collect())
    })
}

/// The fit with arc `k` of a run struck in two.
fn split(fit: &Fit, run: Run, k: usize) -> Option<Fit> {
    // A run is tied down at the first joint of the waist; what lies before it is one arc.
    if run.bout == Bout::Waist && k == 0 {
        return None;
    }
    let mut model = fit.model.clone();
    let (radius, sweep): (Slot, Slot) = (model.size, model.size + 1);
    model.size += 2;
    let placed = fit.model.placed(&fit.solved.values);
    let arcs = &mut model.runs[run.index()].arcs;
    let whole = *arcs.get(k)?;
    let mut values = fit.solved.values.clone();
    let mut mean: Vec<f64> = fit.prior.mean.iter().copied().collect();
    let half = match whole.sweep {
        Some(slot) => {
            values[slot] -= 2.0_f64.ln();
            mean[slot] -= 2.0_f64.ln();
            values[slot]
        }
        None => {
            // An open arc is used as far as the last point on it.
            let placed = &placed[run.index()];
            let used = fit
                .observations
                .iter()
                .zip(&fit.solved.inside)
                .filter(|(o, inside)| o.run == run && inside.arc == k)
                .map(|(_, inside)| placed.turned(inside))
                .fold(0.0, f64::max);
            if used < 0.05 {
                return None;
            }
            (0.5 * used).ln()
        }
    };
    let (first, second) = match whole.sweep {
        Some(_) => (whole, ArcSlot { radius, sweep: Some(sweep), ..whole }),
        None => (ArcSlot { sweep: Some(sweep), ..whole }, ArcSlot { radius, ..whole }),
    };
    arcs.splice(k..=k, [first, second]);
    values.extend([values[whole.radius], half]);
    mean.extend([values[whole.radius], half]);
    let old = fit.model.size;
    let mut precision = DMatrix::zeros(model.size, model.size);
    precision.view_mut((0, 0), (old, old)).copy_from(&fit.prior.precision);
    precision[(radius, radius)] = LOG_RADIUS.powi(-2);
    precision[(sweep, sweep)] = LOG_SWEEP.powi(-2);
    Some(fit.again(model, Prior { mean: mean.into(), precision }, &values, COARSE))
}

impl Fit {
    /// Weighted sum of the squared residuals, mm².
    fn misfit(&self) -> f64 {
        self.solved.residuals.iter().zip(&self.solved.weights).map(|(r, w)| w * r * r).sum()
    }
}
