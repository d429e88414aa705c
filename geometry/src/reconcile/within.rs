//! Holding the overhang within its tolerance where the ribs are wavier than arcs can follow.
//!
//! Least squares leave a wave's crest further out than need be. Where a run leaves the tolerance its furthest readings are made
//! to count more, again and again, until they are off about alike.
//! Source of the way: Lawson's weights for the least largest departure, as in Rice, Usow, "The Lawson algorithm and
//! extensions", Mathematics of Computation 22 (1968).

use super::fit::{COARSE, FINE, Fit, along_run};
use super::{Finish, Wish};
use crate::outline::Run;

/// Fitted arcs are held within this even where more would be borne, mm.
const CLOSE: f64 = 0.2;
/// More rounds than it takes for the largest departure to stay where it is.
const ROUNDS: usize = 8;
/// By how much more the furthest reading of a run counts after each round; another by its part of the furthest, so high.
const MORE: f64 = 1.0;
const POWER: i32 = 4;

/// Moves the arcs of a settled fit until the overhang is within the tolerance, or no nearer to it; what brings nothing changes
/// nothing. How well everything is known stays as it is: a reading that counts for more has not been taken any better.
pub(super) fn hold_within(fit: &mut Fit, wish: &Wish) {
    if wish.finish == Finish::Recipe || wish.tolerance <= 0.0 {
        return;
    }
    let limit = limit(fit, wish);
    let mut off = departures(fit);
    let mut furthest = furthest_by_run(fit, &off);
    let unheld = largest(&furthest);
    if unheld <= limit {
        return;
    }
    let mut tried = fit.clone();
    let mut best = unheld;
    let mut held = None;
    for _ in 0..ROUNDS {
        for (i, by) in off {
            let furthest = furthest[tried.observations[i].run.index()];
            if furthest > limit {
                tried.observations[i].times += MORE * (by.abs() / furthest).powi(POWER);
            }
        }
        tried.solved = tried.solved_again(COARSE);
        off = departures(&tried);
        furthest = furthest_by_run(&tried, &off);
        let now = largest(&furthest);
        if now < best {
            best = now;
            held = Some(tried.clone());
        }
        if now <= limit {
            break;
        }
    }
    let Some(mut held) = held else { return };
    held.solved = held.solved_again(FINE);
    if largest(&furthest_by_run(&held, &departures(&held))) < unheld {
        *fit = held;
    }
}

/// What an evened reading may be off before the ribs are taken to be beyond what the arcs follow, mm: the tolerance, or, where the
/// hand was less steady than that, what it is unsteady by.
pub(super) fn limit(fit: &Fit, wish: &Wish) -> f64 {
    let borne = if wish.finish == Finish::Fitted { wish.tolerance.min(CLOSE) } else { wish.tolerance };
    borne.max(beyond_the_hand(fit))
}

/// What an evened reading is off by more than the hand is unsteady, mm: 3.5 standard deviations of the mean of three readings.
pub(super) fn beyond_the_hand(fit: &Fit) -> f64 {
    3.5 / 3.0_f64.sqrt() * fit.hand_sd()
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

/// The largest departure in every run, mm, in the order of [`Run::ALL`].
pub(super) fn furthest_by_run(fit: &Fit, departures: &[(usize, f64)]) -> [f64; 6] {
    let mut furthest = [0.0_f64; 6];
    for (i, by) in departures {
        let so_far = &mut furthest[fit.observations[*i].run.index()];
        *so_far = so_far.max(by.abs());
    }
    furthest
}

fn largest(by_run: &[f64; 6]) -> f64 {
    by_run.iter().copied().fold(0.0, f64::max)
}

/// The largest departure in a run, mm.
pub(super) fn furthest_in(fit: &Fit, run: Run) -> f64 {
    furthest_by_run(fit, &departures(fit))[run.index()]
}

#[cfg(test)]
mod tests {
    use crate::recipe::violin;
    use crate::reconcile::report::Reconciled;
    use crate::reconcile::{Finish, Wish, reconcile};
    use crate::trace::Trace;
    use crate::trace::simulated::{RibLines, Taking, take, template};
    use kurbo::Vec2;

    /// Ribs with waves of 40 mm up the body, 0.6 mm either way.
    fn wobbling(seed: u64) -> Trace {
        let ribs = RibLines::inside(&template(), 2.5)
            .warped(|p| Vec2::new(0.6 * (p.y * std::f64::consts::TAU / 40.0).sin(), 0.0));
        take(&ribs, &Taking { named: true, noise: 0.1, ..Taking::plain(30, seed) }).trace
    }

    /// Without a tolerance nothing is held.
    const UNHELD: f64 = 0.0;

    fn reconciled(trace: &Trace, tolerance: f64) -> Reconciled {
        let recipe = violin();
        let wish = Wish { finish: Finish::Fitted, extra_arcs: false, tolerance, ..Wish::customary(&recipe) };
        reconcile(trace, &recipe, &wish).unwrap()
    }

    #[test]
    fn holding_the_overhang_makes_nothing_surer() {
        for seed in 0..3 {
            let trace = wobbling(seed);
            let [held, unheld] = [0.25, UNHELD].map(|tolerance| reconciled(&trace, tolerance));
            assert!(held.edge != unheld.edge, "nothing was held");
            assert_eq!(held.arcs.len(), unheld.arcs.len());
            for (one, other) in held.arcs.iter().zip(&unheld.arcs) {
                let [one, other] = [one, other].map(|a| a.radius_sd / a.arc.radius);
                assert!(one > 0.999 * other, "{one} for {other} of a radius");
            }
            // The length along which a width is measured turns a little with the arcs.
            for (one, other) in held.measures.iter().zip(&unheld.measures) {
                assert!(one.sd > 0.95 * other.sd, "{}: {} mm for {}", one.name, one.sd, other.sd);
            }
        }
    }

    #[test]
    fn the_scatter_told_is_that_of_the_readings_as_they_are() {
        for seed in 0..3 {
            let trace = wobbling(seed);
            let [held, unheld] = [0.25, UNHELD].map(|tolerance| reconciled(&trace, tolerance).trace_sd);
            assert!((held / unheld).ln().abs() < 0.05, "{held} mm for {unheld}");
        }
    }

    #[test]
    fn holding_leaves_no_reading_further_off_than_it_was() {
        for seed in 0..6 {
            let trace = wobbling(seed);
            let [held, unheld] = [0.25, UNHELD].map(|tolerance| {
                let overhang = reconciled(&trace, tolerance).overhang;
                overhang.samples.iter().map(|s| (s.overhang - s.wanted).abs()).fold(0.0, f64::max)
            });
            assert!(held < unheld, "{held} mm for {unheld}");
        }
    }
}
