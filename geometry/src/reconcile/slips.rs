//! Points that a slip of the hand has put off the ribs, told from where the ribs themselves go.

use super::fit::{HUBER, along_run};
use super::solve::{Loss, Observation, Problem};
use super::solved::Solved;
use crate::order::ascending;
use crate::outline::{Bout, Run};
use kurbo::Point;
use nalgebra::DMatrix;

/// A point this many of its own standard deviations off, and [`GROSS`] mm, may have been mis-taken.
const SUSPECT: f64 = 4.5;
/// One that was left out for that, but lies no more than so many of them off where the others then have the ribs, was not.
const TAKEN_BACK: f64 = 3.0;
/// Points at a corner are both left out where this much of the cost (odds of 7 to 1) does not tell which of them it is.
const UNDECIDED: f64 = 2.0;
/// How far from mirror images the two sides are changes by this variance for every mm along a run, mm: by half a millimetre from one
/// point to the next of thirty. Chosen by trial on simulated ribs.
const UNLIKE: f64 = 0.03;
/// Less than this a maker would not call a mistake in tapping or reading, mm.
const GROSS: f64 = 1.0;
/// So many points at a corner may be followed by the last arc of a run, whichever of them is mis-taken.
const AT_CORNER: usize = 3;

/// Looks for them in a problem solved with a loss that lets go of them: whether each observation is one, and the problem solved
/// without them. Each corner is judged by itself, so that it does not matter which comes first.
pub(super) fn slips(problem: &Problem, solved: &Solved) -> (Vec<bool>, Solved) {
    let order = along_run(problem.model, problem.observations, solved);
    let alone = off_alone(problem, solved, &order);
    let covariance = solved.covariance();
    let mut slip = alone.clone();
    let mut begin_anew = Vec::new();
    for run in Run::ALL {
        let of_run: Vec<usize> =
            order.iter().copied().filter(|i| problem.observations[*i].run == run).collect();
        let mut ends = vec![of_run.iter().rev().copied().collect::<Vec<_>>()];
        if run.bout == Bout::Waist {
            ends.push(of_run);
        }
        for inward in ends.iter().filter(|inward| inward.len() >= AT_CORNER) {
            let end = &inward[..AT_CORNER];
            let strained = covariance.as_ref().is_some_and(|known| strained(problem, solved, known, end));
            if strained || end.iter().any(|i| alone[*i]) {
                let out = at_corner(problem, solved, &alone, inward);
                end.iter().for_each(|i| slip[*i] = out.contains(i));
                if !out.is_empty() {
                    begin_anew.push(run.index());
                }
            }
        }
    }
    let solved =
        if slip == alone { solved.clone() } else { without(problem, solved, &|i| slip[i], &begin_anew).1 };
    (slip, solved)
}

/// The problem solved anew without some of its observations, and its cost. The last arc of these runs may have followed what is
/// left out now: they are begun anew too, at the sweeps that are expected of them.
fn without(problem: &Problem, solved: &Solved, out: &dyn Fn(usize) -> bool, runs: &[usize]) -> (f64, Solved) {
    let rest: Vec<Observation> =
        (0..problem.observations.len()).filter(|i| !out(*i)).map(|i| problem.observations[i]).collect();
    let tried = Problem { observations: &rest, loss: Loss::Huber(HUBER), ..*problem };
    let mut best = tried.solve(&solved.values);
    let mut least = tried.cost_at(&best.values);
    for run in runs {
        let (cost, anew) = begun_anew(&tried, *run, &best.values);
        if cost < least {
            (least, best) = (cost, anew);
        }
    }
    (least, best)
}

/// Of those points found mis-taken before that lie where the others now have the ribs, but for chance: the one where they know it
/// best. With it they know it better where the next lies.
pub(super) fn no_slip(
    problem: &Problem,
    solved: &Solved,
    covariance: &DMatrix<f64>,
    slips: &[Observation],
) -> Option<usize> {
    let off = slips.iter().enumerate().map(|(k, o)| {
        let off = problem.off(&solved.values, o);
        let variance = off.variance(covariance);
        (k, variance, off.mm.abs() < by_chance(problem, o, variance).max(GROSS))
    });
    off.filter(|(.., chance)| *chance).min_by(|a, b| a.1.total_cmp(&b.1)).map(|(k, ..)| k)
}

/// Whether a point lies where the ribs are, but for chance.
pub(super) fn lies_there(
    problem: &Problem,
    solved: &Solved,
    covariance: &DMatrix<f64>,
    o: &Observation,
) -> bool {
    let off = problem.off(&solved.values, o);
    off.mm.abs() < by_chance(problem, o, off.variance(covariance))
}

/// How far off a point may lie by chance, mm.
fn by_chance(problem: &Problem, o: &Observation, variance: f64) -> f64 {
    TAKEN_BACK * (problem.sd * problem.sd / o.counts + variance).sqrt()
}

fn suspect(problem: &Problem, i: usize, residual: f64, variance: f64) -> bool {
    let own = problem.sd * problem.sd / problem.observations[i].counts;
    residual.abs() > GROSS && residual * residual > SUSPECT * SUSPECT * (own + variance)
}

/// Points that lie far off and are not borne out by their neighbours along the run: a bump in the
/// ribs is shared by neighbouring points, a slip of the hand is not.
fn off_alone(problem: &Problem, solved: &Solved, order: &[usize]) -> Vec<bool> {
    let mut slip = vec![false; order.len()];
    for (at, &i) in order.iter().enumerate() {
        let residual = solved.residuals[i];
        if !suspect(problem, i, residual, 0.0) {
            continue;
        }
        let same_run = |j: &usize| problem.observations[*j].run == problem.observations[i].run;
        let before = order[..at].iter().rev().copied().filter(same_run).take(2);
        let after = order[at + 1..].iter().copied().filter(same_run).take(2);
        let neighbours: Vec<f64> = before.chain(after).map(|j| solved.residuals[j]).collect();
        let agreeing = neighbours.iter().filter(|r| agree(residual, **r)).count();
        // Half of the neighbours telling the same tale bear it out, or the other side; beyond 3 mm nothing does but nearly all
        // of the neighbours.
        let borne_out = if residual.abs() > 3.0 {
            2 * agreeing > neighbours.len()
        } else {
            2 * agreeing >= neighbours.len()
                || across(problem, i).is_some_and(|j| tells_the_same(solved, i, j))
        };
        slip[i] = neighbours.is_empty() || !borne_out;
    }
    slip
}

fn agree(residual: f64, other: f64) -> bool {
    other * residual > 0.0 && other.abs() > 0.5 * residual.abs()
}

fn tells_the_same(solved: &Solved, i: usize, j: usize) -> bool {
    agree(solved.residuals[i], solved.residuals[j])
}

/// The point across the centreline from this one: where the recipe's arcs are not those that the ribs were bent by, both sides
/// leave them alike.
fn across(problem: &Problem, i: usize) -> Option<usize> {
    let one = &problem.observations[i];
    let there = Point::new(-one.at.x, one.at.y);
    let apart = |j: &usize| problem.observations[*j].at.distance(there);
    let across = |j: &usize| {
        let other = problem.observations[*j].run;
        other.bout == one.run.bout && other.side != one.run.side
    };
    (0..problem.observations.len()).filter(across).min_by(|a, b| apart(a).total_cmp(&apart(b)))
}

/// Which of the points at a corner, the last first, are mis-taken. Nothing but the recipe holds the last arc of a run beyond them,
/// so that it follows a mis-taken one, and then it is the next that lies off. So each is left out in turn: it is the
/// one without which the others, the recipe and the other side agree best, if that is any.
fn at_corner(problem: &Problem, solved: &Solved, alone: &[bool], inward: &[usize]) -> Vec<usize> {
    let end = &inward[..AT_CORNER];
    let run = problem.observations[end[0]].run.index();
    let cost_without = |out: &Vec<usize>| {
        let left_out = |i: usize| out.contains(&i) || (alone[i] && !end.contains(&i));
        let anew: &[usize] = if out.is_empty() { &[] } else { &[run] };
        let (mut cost, solved) = without(problem, solved, &left_out, anew);
        cost += slip_cost(out.len());
        let covariance = solved.covariance();
        for i in out {
            let off = problem.off(&solved.values, &problem.observations[*i]);
            let variance = covariance.as_ref().map(|known| off.variance(known));
            if !variance.is_some_and(|variance| suspect(problem, *i, off.mm, variance)) {
                cost = f64::INFINITY;
            }
        }
        cost
    };
    let mut choices: Vec<Vec<usize>> = vec![Vec::new()];
    choices.extend(end.iter().map(|i| vec![*i]));
    let here = end.iter().filter(|i| alone[**i]).count();
    if here > 1 {
        choices.extend([[0, 1], [0, 2], [1, 2]].map(|pair| pair.map(|k| end[k]).to_vec()));
    }
    if here == AT_CORNER {
        choices.push(end.to_vec());
    }
    let mut costs: Vec<f64> = choices.iter().map(cost_without).collect();
    // Of two ways to leave out as many, the other side bears out one; it does not say whether any is to be left out.
    for many in 1..=2 {
        let these: Vec<usize> = (0..choices.len()).filter(|k| choices[*k].len() == many).collect();
        let unlike: Vec<f64> =
            these.iter().map(|k| unlike_across(problem, solved, inward, &choices[*k])).collect();
        let least = unlike.iter().copied().fold(f64::INFINITY, f64::min);
        for (k, unlike) in these.iter().zip(&unlike) {
            costs[*k] += unlike - least;
        }
    }
    let order = ascending(&costs);
    let (best, next) = (order[0], order[1]);
    if choices[best].len() == 1 && choices[next].len() == 1 && costs[next] - costs[best] < UNDECIDED {
        return vec![choices[best][0], choices[next][0]];
    }
    choices.swap_remove(best)
}

/// How unlike the other side a run is to its end without some of its last points: the two sides are no mirror images, but from one point to
/// the next the difference between them changes little.
fn unlike_across(problem: &Problem, solved: &Solved, inward: &[usize], out: &[usize]) -> f64 {
    let left: Vec<&Observation> = (inward.iter().take(AT_CORNER + 1).filter(|i| !out.contains(i)))
        .map(|i| &problem.observations[*i])
        .collect();
    let off_other_side = |o: &Observation| {
        let run = Run { side: o.run.side.opposite(), ..o.run };
        let there = Observation { at: Point::new(-o.at.x, o.at.y), run, ..*o };
        problem.off(&solved.values, &there).mm
    };
    let unlike = left.windows(2).map(|pair| {
        let apart = pair[0].at.distance(pair[1].at).max(1.0);
        let changes = off_other_side(pair[0]) - off_other_side(pair[1]);
        Loss::Huber(HUBER).cost(changes / (UNLIKE * apart).sqrt())
    });
    unlike.sum()
}

/// What it costs to take so many points for mis-taken.
fn slip_cost(points: usize) -> f64 {
    Loss::Huber(HUBER).cost(SUSPECT) * points as f64
}

/// Which runs go by all of their points found mis-taken before as well as without them, and where they then go. Without them
/// the last arc of a run may have gone astray, and only so do they lie off it: each run is begun anew at the sweeps that
/// are expected of it. Each is judged by itself, so that it does not matter which comes first.
pub(super) fn no_slips_together(
    problem: &Problem,
    solved: &Solved,
    slips: &[Observation],
) -> ([bool; 6], Vec<f64>) {
    let (without, _) = without(problem, solved, &|_| false, &[]);
    let mut values = solved.values.clone();
    let mut back = [false; 6];
    for (run, back) in back.iter_mut().enumerate() {
        let mut observations = problem.observations.to_vec();
        for slip in slips {
            if slip.run.index() == run {
                observations.push(*slip);
            }
        }
        let more = observations.len() - problem.observations.len();
        if more > 0 {
            let tried = Problem { observations: &observations, loss: Loss::Huber(HUBER), ..*problem };
            let (cost, found) = begun_anew(&tried, run, &solved.values);
            *back = cost < without + slip_cost(more);
            if *back {
                lay_sweeps(problem, run, &found.values, &mut values);
            }
        }
    }
    (back, values)
}

/// The problem solved from values in which a run has the sweeps that are expected of it, and its cost.
fn begun_anew(problem: &Problem, run: usize, values: &[f64]) -> (f64, Solved) {
    let mut start = values.to_vec();
    lay_sweeps(problem, run, problem.prior.mean.as_slice(), &mut start);
    let solved = problem.solve(&start);
    (problem.cost_at(&solved.values), solved)
}

/// Gives a run the sweeps that it has among other values.
fn lay_sweeps(problem: &Problem, run: usize, from: &[f64], values: &mut [f64]) {
    for slot in problem.model.runs[run].arcs.iter().filter_map(|arc| arc.sweep) {
        values[slot] = from[slot];
    }
}

/// Puts an observation among others, in its place.
pub(super) fn put(observations: &mut Vec<Observation>, o: Observation) {
    let place = observations.partition_point(|other| other.source < o.source);
    observations.insert(place, o);
}

/// Whether one of these points lies further off than it would by chance, seen how closely the arcs follow it.
fn strained(problem: &Problem, solved: &Solved, covariance: &DMatrix<f64>, end: &[usize]) -> bool {
    end.iter().any(|i| {
        let o = &problem.observations[*i];
        let off = problem.off(&solved.values, o);
        let own = problem.sd * problem.sd / o.counts;
        let weight = problem.loss.weight(off.mm / own.sqrt());
        let free = 1.0 - weight * off.variance(covariance) / own;
        free > 0.01 && off.mm * off.mm > SUSPECT * SUSPECT * own * free
    })
}

#[cfg(test)]
mod tests {
    use crate::arc::left_of;
    use crate::recipe::violin;
    use crate::reconcile::report::Judged;
    use crate::reconcile::{Finish, Wish, reconcile};
    use crate::trace::simulated::{RibLines, Taking, outline_of, take};

    #[test]
    fn a_slip_at_either_end_of_a_run_is_told_from_its_neighbours() {
        const A_RUN: usize = 30;
        let recipe = violin();
        let wish = Wish { finish: Finish::Fitted, ..Wish::customary(&recipe) };
        // Ribs that came out fuller than the recipe has them.
        let ribs = RibLines::inside(&outline_of(356.0, 1.02, 0.98, 1.04), 2.5);
        let taking = Taking { named: true, shuffled: false, ..Taking::plain(A_RUN, 1) };
        let taken = take(&ribs, &taking).trace;
        for run in 0..6 {
            for in_run in [0, 1, 2, A_RUN - 3, A_RUN - 2, A_RUN - 1] {
                for by in [-5.0, 4.0] {
                    let place = run * A_RUN + in_run;
                    let mut trace = taken.clone();
                    let inner = if in_run == 0 { place + 1 } else { place - 1 };
                    let outer = if in_run == A_RUN - 1 { place } else { place + 1 };
                    let along = trace.points[outer].at - trace.points[inner].at;
                    trace.points[place].at += left_of(along.atan2()) * by;
                    let found = reconcile(&trace, &recipe, &wish).unwrap();
                    let out = found.points.iter().filter(|p| p.judged == Judged::LeftOut);
                    let out: Vec<usize> = out.map(|p| p.index).collect();
                    assert_eq!(out, [place], "point {in_run} of run {run}, {by} mm off");
                }
            }
        }
    }
}
