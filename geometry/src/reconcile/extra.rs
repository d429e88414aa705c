//! One arc more, or two: where a run cannot stay within the tolerance of its overhang, the arc of it that is best struck in two.

use super::finish::circle_name;
use super::fit::Fit;
use super::model::{ArcSlot, Model, Slot};
use super::report::ExtraArcs;
use super::solve::Prior;
use super::within::{beyond_the_hand, departures, furthest_by_run, furthest_in, limit};
use super::{Finish, Wish};
use crate::order::{ascending, sort_by_value};
use crate::outline::{Bout, Run};
use crate::recipe::Recipe;
use nalgebra::DMatrix;
use std::f64::consts::LN_2;

/// Freedom of the second arc's radius about the first's, as the standard deviation of its logarithm: anything from
/// half of it to double is to be expected.
const LOG_RADIUS: f64 = 0.5;
/// Likewise of the two sweeps, about half of the one they come from.
const LOG_SWEEP: f64 = 0.8;
/// Arcs more that a run may take in. Ribs that want more are not this recipe's.
const MOST_IN_A_RUN: usize = 4;
/// What an arc more has to earn where the run is within the tolerance without it: very plain evidence.
/// Source of the scale: Kass, Raftery, "Bayes factors", JASA 90 (1995).
const PLAIN: f64 = 10.0;
/// Parameters of an arc: its radius and where it begins.
const PARAMETERS: f64 = 2.0;

/// Looks, in every run that cannot stay within the tolerance, or for fitted arcs goes plainly elsewhere, for the extra arc that helps
/// most there, and takes it where the maker lets it. Only arcs that earn their parameters and bring the run nearer are named; worst
/// run first.
pub(super) fn extra_arcs(recipe: &Recipe, fit: &mut Fit, wish: &Wish) -> Vec<ExtraArcs> {
    if wish.finish == Finish::Recipe {
        return Vec::new();
    }
    let held = limit(fit, wish);
    // Fitted arcs follow the ribs wherever it is plain where they go, whatever the tolerance.
    let limit = if wish.finish == Finish::Fitted { beyond_the_hand(fit) } else { held };
    let furthest = furthest_by_run(fit, &departures(fit));
    let mut beyond: Vec<(Run, f64)> =
        Run::ALL.into_iter().zip(furthest).filter(|(_, by)| *by > limit).collect();
    sort_by_value(&mut beyond, |(_, by)| -by);
    let mut extra = Vec::new();
    for (run, _) in beyond {
        let before = furthest_in(fit, run);
        let mut of_run =
            ExtraArcs { run, circles: Vec::new(), gain: 0.0, before, after: before, taken: wish.extra_arcs };
        while of_run.circles.len() < MOST_IN_A_RUN && of_run.after > limit {
            let worth = if of_run.after > held { 0.0 } else { PLAIN };
            let Some(best) = best_split(fit, run, worth) else { break };
            of_run.circles.extend(best.circles.iter().map(|step| circle_name(recipe, *step)));
            of_run.gain += best.gain;
            of_run.after = best.furthest;
            // What is only proposed changes nothing, and would be proposed again.
            if !wish.extra_arcs {
                break;
            }
            *fit = best.fit;
        }
        if !of_run.circles.is_empty() {
            extra.push(of_run);
        }
    }
    extra
}

/// A fit with arcs of one run struck in two.
struct Split {
    fit: Fit,
    /// The circles they are of, by their steps.
    circles: Vec<usize>,
    gain: f64,
    /// Largest departure left in the run, mm.
    furthest: f64,
}

/// How many of those that promise most are solved with all other runs before none is taken.
const SOLVED_WHOLE: usize = 2;
/// What falls short by so much on the run alone (units of the criterion, see [`gain`]) does not earn it with all others either.
const FORLORN: f64 = 5.0;

/// The best way of striking an arc of a run in two that earns more than it is to be worth. Where no arc more does, the best two: a
/// wave within one arc takes two joints to follow. `None` where that brings the run no nearer, or earns nothing.
fn best_split(fit: &Fit, run: Run, worth: f64) -> Option<Split> {
    let alone = Trial { fit: fit.alone(run)?, struck: Vec::new() };
    let ones = alone.struck_once_more(run);
    best(fit, run, worth, &alone, &ones).or_else(|| {
        let mut twos = Vec::new();
        for one in &ones {
            twos.extend(one.struck_once_more(run));
        }
        best(fit, run, worth, &alone, &twos)
    })
}

/// The one that earns most of those tried on the run alone. That only ranks them: what is taken is judged with all runs solved.
fn best(fit: &Fit, run: Run, worth: f64, alone: &Trial, tried: &[Trial]) -> Option<Split> {
    let count = fit.observations.len();
    let hand_sd = fit.hand_sd();
    let before = furthest_in(fit, run);
    let promised = |trial: &Trial| gain(&alone.fit, &trial.fit, trial.struck.len(), hand_sd, count);
    let promises: Vec<f64> = tried.iter().map(|trial| -promised(trial)).collect();
    for place in ascending(&promises).into_iter().take(SOLVED_WHOLE) {
        if promises[place] > FORLORN {
            break;
        }
        let trial = &tried[place];
        let Some(mut whole) = trial.whole(fit) else { continue };
        let gain = gain(fit, &whole, trial.struck.len(), hand_sd, count);
        let furthest = furthest_in(&whole, run);
        if gain.is_finite() && gain > worth && furthest < before {
            let circles = trial.struck.iter().map(|struck| struck.circle).collect();
            whole.reckon();
            return Some(Split { fit: whole, circles, gain, furthest });
        }
    }
    None
}

/// A run alone with arcs struck in two.
struct Trial {
    fit: Fit,
    /// In the order in which they were.
    struck: Vec<Struck>,
}

impl Trial {
    /// With one arc more: that on which the run is furthest off struck in two, or one beside it.
    fn struck_once_more(&self, run: Run) -> Vec<Trial> {
        let arcs = self.fit.model.runs[run.index()].arcs.len();
        let worst = departures(&self.fit)
            .into_iter()
            .max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))
            .map_or(0, |(i, _)| self.fit.solved.inside[i].arc);
        let mut trials = Vec::new();
        for k in worst.saturating_sub(1)..(worst + 2).min(arcs) {
            for of_its_own in [Part::Second, Part::First] {
                let Some(more) = struck(&self.fit, run, k, of_its_own) else { continue };
                let start = more.start(&self.fit.solved.values);
                let fit = self.fit.tried(more.model.clone(), more.widened(&self.fit.prior), &start);
                let mut struck = self.struck.clone();
                struck.push(more);
                trials.push(Trial { fit, struck });
            }
        }
        trials
    }

    /// The same arcs struck in two with all runs solved again.
    fn whole(&self, fit: &Fit) -> Option<Fit> {
        let model = self.struck.last()?.model.clone();
        let prior = self.struck.iter().fold(fit.prior.clone(), |prior, struck| struck.widened(&prior));
        Some(fit.tried(model, prior, &self.fit.solved.values))
    }
}

/// By how much the Bayesian information criterion falls from a fit to one with so many arcs more, at the noise of the hand as the
/// first one's readings show it: by their squares over its variance, less the logarithm of their number for every parameter.
/// Readings far off count in the squares for as little as they did in the fit, and the prior's pull on the arcs is left out.
/// Source: Schwarz, "Estimating the dimension of a model", Annals of Statistics 6 (1978).
fn gain(fit: &Fit, tried: &Fit, arcs: usize, hand_sd: f64, readings: usize) -> f64 {
    (fit.misfit() - tried.misfit()) / hand_sd.powi(2) - arcs as f64 * PARAMETERS * (readings as f64).ln()
}

/// An arc struck in two: what that changes in the parameters.
#[derive(Clone)]
struct Struck {
    model: Model,
    /// The circle that it is of, by its step.
    circle: usize,
    /// The logarithm of the sweep that is halved; an open arc has none.
    halved: Option<Slot>,
    /// The logarithms of the second arc's radius and of the sweep, as they begin.
    more: [f64; 2],
}

impl Struck {
    fn start(&self, values: &[f64]) -> Vec<f64> {
        let mut values = values.to_vec();
        if let Some(slot) = self.halved {
            values[slot] -= LN_2;
        }
        values.extend(self.more);
        values
    }

    /// What was believed, with the freedom of the second arc.
    fn widened(&self, prior: &Prior) -> Prior {
        let mean = self.start(prior.mean.as_slice());
        let old = prior.mean.len();
        let mut precision = DMatrix::zeros(mean.len(), mean.len());
        precision.view_mut((0, 0), (old, old)).copy_from(&prior.precision);
        precision[(old, old)] = LOG_RADIUS.powi(-2);
        let (added, apart) = (old + 1, LOG_SWEEP.powi(-2));
        precision[(added, added)] = apart;
        // What was believed of the sweep that is halved is believed of both parts together.
        if let Some(halved) = self.halved {
            let parts = [halved, added];
            for i in 0..old {
                let shared = 0.5 * precision[(i, halved)];
                for part in parts {
                    precision[(i, part)] = shared;
                    precision[(part, i)] = shared;
                }
            }
            let shared = 0.5 * precision[(halved, halved)];
            for (one, other) in [(halved, halved), (halved, added), (added, halved), (added, added)] {
                precision[(one, other)] = shared + if one == other { apart } else { -apart };
            }
        }
        Prior { mean: mean.into(), precision }
    }
}

/// Which part of an arc struck in two gets a radius of its own. The other keeps the arc's, which the other side may share.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    First,
    Second,
}

/// Arc `k` of a run struck in two.
fn struck(fit: &Fit, run: Run, k: usize, of_its_own: Part) -> Option<Struck> {
    // Further on an arc struck in two before can stand in for the first part. Before the arc at the centreline there is none, and a
    // wave that begins there is followed by that part or not at all.
    if of_its_own == Part::First && (k > 0 || run.bout == Bout::Waist) {
        return None;
    }
    // A run is tied down at the first joint of the waist; what lies before it is one arc.
    if run.bout == Bout::Waist && k == 0 {
        return None;
    }
    let values = &fit.solved.values;
    let mut model = fit.model.clone();
    let (radius, sweep): (Slot, Slot) = (model.size, model.size + 1);
    model.size += 2;
    let arcs = &mut model.runs[run.index()].arcs;
    let whole = *arcs.get(k)?;
    let half = match whole.sweep {
        Some(slot) => values[slot] - LN_2,
        None => {
            // An open arc is used as far as the last point on it.
            let placed = fit.model.runs[run.index()].placed(values);
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
    let (mut first, mut second) = match whole.sweep {
        Some(_) => (whole, ArcSlot { sweep: Some(sweep), ..whole }),
        None => (ArcSlot { sweep: Some(sweep), ..whole }, whole),
    };
    match of_its_own {
        Part::First => first.radius = radius,
        Part::Second => second.radius = radius,
    }
    arcs.splice(k..=k, [first, second]);
    Some(Struck { model, circle: whole.circle, halved: whole.sweep, more: [values[whole.radius], half] })
}

impl Fit {
    /// Weighted sum of the squared residuals, mm².
    fn misfit(&self) -> f64 {
        self.solved.residuals.iter().zip(&self.solved.weights).map(|(r, w)| w * r * r).sum()
    }
}

#[cfg(test)]
mod tests {
    use crate::outline::{Run, Side};
    use crate::recipe::violin;
    use crate::reconcile::report::{Reconciled, Warning};
    use crate::reconcile::{Finish, Wish, reconcile};
    use crate::trace::Trace;
    use crate::trace::simulated::{RibLines, Taking, take, template};
    use kurbo::{Point, Vec2};

    fn traced(seed: u64, by: impl Fn(Point) -> Vec2) -> Trace {
        let ribs = RibLines::inside(&template(), 2.5).warped(by);
        take(&ribs, &Taking { named: true, noise: 0.1, ..Taking::plain(30, seed) }).trace
    }

    /// With bulges of this length, 0.8 mm either way.
    fn bulging(seed: u64, length: f64) -> Trace {
        traced(seed, |p| Vec2::new(0.8 * (p.y * std::f64::consts::TAU / length).sin(), 0.0))
    }

    fn reconciled(trace: &Trace, extra_arcs: bool) -> Reconciled {
        let recipe = violin();
        let wish = Wish { finish: Finish::Fitted, extra_arcs, ..Wish::customary(&recipe) };
        reconcile(trace, &recipe, &wish).unwrap()
    }

    fn arcs(result: &Reconciled) -> usize {
        result.edge.outline.runs.iter().map(|run| run.pieces.len()).sum()
    }

    #[test]
    fn every_arc_more_earns_its_place_and_brings_its_run_nearer() {
        let mut counts = [0; 8];
        for length in [30.0, 45.0, 60.0, 90.0] {
            for seed in 0..4 {
                for extra in reconciled(&bulging(seed, length), true).extra_arcs {
                    let told = format!("seed {seed}, bulges of {length} mm: {extra:?}");
                    assert!(extra.gain > 0.0 && extra.after < extra.before, "{told}");
                    counts[extra.circles.len()] += 1;
                }
            }
        }
        assert!(counts[1] > 0 && counts[2] > 0, "{counts:?} runs with one, with two");
    }

    #[test]
    fn the_edge_has_as_many_arcs_more_as_are_told_of() {
        for seed in 0..4 {
            let trace = bulging(seed, 60.0);
            let [with, without] = [true, false].map(|taken| reconciled(&trace, taken));
            let told: usize = with.extra_arcs.iter().map(|extra| extra.circles.len()).sum();
            assert!(told > 0);
            assert_eq!(arcs(&with), arcs(&without) + told, "seed {seed}");
            assert!(!without.extra_arcs.is_empty() && without.extra_arcs.iter().all(|e| !e.taken));
        }
    }

    #[test]
    fn a_run_is_told_of_once_however_many_arcs_it_has_more() {
        let mut several = 0;
        for length in [30.0, 45.0, 60.0] {
            for seed in 0..4 {
                let found = reconciled(&bulging(seed, length), true);
                for run in Run::ALL {
                    let of_run: Vec<_> = found.extra_arcs.iter().filter(|extra| extra.run == run).collect();
                    assert!(of_run.len() < 2, "seed {seed}, bulges of {length} mm: {of_run:?}");
                    several += usize::from(of_run.iter().any(|extra| extra.circles.len() > 2));
                }
            }
        }
        assert!(several > 0, "more than two of a run come one after the other");
    }

    #[test]
    fn parts_of_one_circle_have_letters_as_the_recipe_goes_along_them() {
        let mut letters = [0, 0];
        for seed in 0..4 {
            let found = reconciled(&bulging(seed, 60.0), true);
            for run in Run::ALL {
                let mut of_run: Vec<_> = found.arcs.iter().filter(|arc| arc.run == run).collect();
                // From the bottom, the lower corner and the top: up the body but in the upper bout, where it is downwards.
                let up =
                    of_run.first().zip(of_run.last()).is_some_and(|(a, b)| a.arc.at(0.5).y < b.arc.at(0.5).y);
                if up == (run.bout == crate::outline::Bout::Upper) {
                    of_run.reverse();
                }
                let names: Vec<String> = of_run.iter().map(|arc| arc.name()).collect();
                let mut sorted = names.clone();
                sorted.sort();
                sorted.dedup();
                assert_eq!(names, sorted, "seed {seed}: each its own, in the recipe's order");
                let lettered = names.iter().filter(|name| name.ends_with(['a', 'b'])).count();
                letters[usize::from(run.side == Side::Left)] += lettered;
            }
        }
        assert!(letters.iter().all(|n| *n > 0), "{letters:?} on either side");
    }

    #[test]
    fn the_recipes_own_ribs_want_no_arc_more() {
        for seed in 0..4 {
            let found = reconciled(&traced(seed, |_| Vec2::ZERO), true);
            assert_eq!(found.extra_arcs, vec![], "seed {seed}");
            assert!(!found.warnings.iter().any(|w| matches!(w, Warning::ExtraArcs(_))));
        }
    }
}
