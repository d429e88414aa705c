//! Holding the overhang within its tolerance where the ribs are wavier than arcs can follow.
//!
//! Least squares leave a wave's crest further out than need be. Where a run leaves the tolerance its furthest readings are made
//! to count more, again and again, until they are off about alike.
//! Source of the way: Lawson's weights for the least largest departure, as in Rice, Usow, "The Lawson algorithm and
//! extensions", Mathematics of Computation 22 (1968).

use super::fit::{COARSE, Fit, along_run};
use super::{Finish, Wish};
use crate::outline::Run;

/// More rounds than it takes for the largest departure to stay where it is.
const ROUNDS: usize = 8;
/// By how much more the furthest reading of a run counts after each round; another by its part of the furthest, so high.
const MORE: f64 = 1.0;
const POWER: i32 = 4;

/// Fits again until the overhang is within the tolerance, or no nearer to it; what brings nothing changes nothing.
pub(super) fn hold_within(fit: &mut Fit, wish: &Wish) {
    if wish.finish == Finish::Recipe || wish.tolerance <= 0.0 {
        return;
    }
    let limit = limit(fit, wish);
    let mut best = furthest(fit);
    if best <= limit {
        return;
    }
    let mut tried = fit.clone();
    let mut found = false;
    for _ in 0..ROUNDS {
        let furthest_by_run = Run::ALL.map(|run| furthest_in(&tried, run));
        for (i, by) in departures(&tried) {
            let furthest = furthest_by_run[tried.observations[i].run.index()];
            if furthest > limit {
                let near = (by.abs() / furthest).powi(POWER);
                tried.observations[i].times += MORE * near;
            }
        }
        tried = tried.again(tried.model.clone(), tried.prior.clone(), &tried.solved.values, COARSE);
        let now = furthest(&tried);
        if now < best {
            best = now;
            fit.observations = tried.observations.clone();
            found = true;
        }
        if now <= limit {
            break;
        }
    }
    if found {
        *fit = fit.again(fit.model.clone(), fit.prior.clone(), &tried.solved.values, COARSE);
    }
}

/// What an evened reading may be off before the ribs are taken to be beyond what the arcs follow, mm: the tolerance, or, where the
/// hand was less steady than that, 3.5 standard deviations of the mean of three readings.
pub(super) fn limit(fit: &Fit, wish: &Wish) -> f64 {
    wish.tolerance.max(3.5 / 3.0_f64.sqrt() * fit.hand_sd())
}

/// How far each reading is off the wanted overhang, evened with its two neighbours in the run, mm; with its place among the
/// observations.
pub(super) fn departures(fit: &Fit) -> Vec<(usize, f64)> {
    let order = along_run(&fit.model, &fit.observations, &fit.solved);
    let run = |at: usize| fit.observations[order[at]].run;
    (0..order.len())
        .map(|at| {
            let near = at.saturating_sub(1)..(at + 2).min(order.len());
            let same: Vec<usize> = near.filter(|k| run(*k) == run(at)).collect();
            let sum: f64 = same.iter().map(|k| fit.solved.residuals[order[*k]]).sum();
            (order[at], sum / same.len() as f64)
        })
        .collect()
}

fn furthest(fit: &Fit) -> f64 {
    departures(fit).iter().map(|(_, by)| by.abs()).fold(0.0, f64::max)
}

/// The largest departure in a run, mm.
pub(super) fn furthest_in(fit: &Fit, run: Run) -> f64 {
    departures(fit)
        .iter()
        .filter(|(i, _)| fit.observations[*i].run == run)
        .map(|(_, by)| by.abs())
        .fold(0.0, f64::max)
}
