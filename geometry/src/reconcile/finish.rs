//! Three ways to finish a fit: as fitted, by ratio, as the recipe says.

use super::fit::{CARRIED_ON, Fit};
use super::found::{FoundLength, found_lengths};
use super::model::Slot;
use super::reading::{HELD, INTERVAL, Quotient, chance_of_match, read_ratio};
use super::report::{ExtraArcs, Reading, Standing};
use super::solve::Condition;
use super::solved::Solved;
use super::{Finish, ReconcileError, Wish};
use crate::arc::Chain;
use crate::outline::{Bout, Run};
use crate::ratio::Ratio;
use crate::recipe::{Action, Plan, Recipe, Size};
use kurbo::Vec2;
use ribline_linear::{narrow, times};
use std::collections::BTreeMap;

pub(super) struct Finished {
    pub fit: Fit,
    /// The parameters after finishing.
    pub solved: Solved,
    /// Six runs counter-clockwise, carried on past the corners.
    pub runs: [Chain; 6],
    /// Circle (index of the step) of every arc of every run, counter-clockwise.
    pub circles: [Vec<usize>; 6],
    /// Standard deviation of the radius of every arc, as fitted, likewise; mm.
    pub radius_sds: [Vec<f64>; 6],
    pub readings: [Vec<Option<Reading>>; 6],
    pub lengths: Vec<FoundLength>,
    pub length_sds: Vec<f64>,
    /// Arcs more that would help, or were taken.
    pub extra: Vec<ExtraArcs>,
}

/// A radius whose recipe size is a ratio of a measure.
struct RatioRadius {
    slot: Slot,
    planned: Ratio,
    choices: Vec<Ratio>,
    /// Index of the measure.
    of: usize,
}

fn ratio_radii(recipe: &Recipe, fit: &Fit) -> Vec<RatioRadius> {
    let mut radii: Vec<RatioRadius> = Vec::new();
    for arc in fit.model.runs.iter().flat_map(|r| &r.arcs) {
        if radii.iter().any(|r| r.slot == arc.radius) {
            continue;
        }
        let Some(step) = recipe.steps.get(arc.circle) else { continue };
        if let Action::Circle { radius: Size::Ratio { ratio, of }, .. } = &step.action
            && let Some(of) = recipe.measures.iter().position(|m| m.name == *of)
        {
            radii.push(RatioRadius { slot: arc.radius, planned: *ratio, choices: step.choices.clone(), of });
        }
    }
    radii
}

/// d log(radius / measure) / d parameter, and its value now.
fn log_quotient(slot: Slot, measure: &FoundLength, values: &[f64]) -> (f64, Vec<(Slot, f64)>) {
    let mut by = vec![(slot, 1.0)];
    by.extend(measure.by.iter().map(|(s, d)| (*s, -d / measure.mm)));
    (values[slot] - measure.mm.ln(), by)
}

fn dot(by: &[(Slot, f64)], vector: &[f64]) -> f64 {
    by.iter().map(|(j, d)| d * vector[*j]).sum()
}

/// A ratio settled on for a radius.
#[derive(Debug, Clone)]
struct Chosen {
    of: usize,
    ratio: Ratio,
    standing: Standing,
    chance: f64,
}

/// A radius that has no ratio yet: the logarithm of its quotient by its measure, that one's derivatives, and its variance as far
/// as ratios are settled on.
struct OpenRadius {
    radius: RatioRadius,
    log: f64,
    by: Vec<(Slot, f64)>,
    variance: f64,
}

/// Chooses a ratio for every radius, the surest first. Each choice is taken into account before the next: the
/// posterior is narrowed to those edges that have it, which is why ratios chosen one by one still fit together.
/// Returned with them: the parameters that the narrowing comes to, close to where the ratios hold.
fn choose_ratios(recipe: &Recipe, fit: &Fit) -> (BTreeMap<Slot, Chosen>, Vec<f64>) {
    let mut values = fit.solved.values.clone();
    let mut covariance = fit.covariance.clone();
    let measures = found_lengths(recipe, &fit.model, &values);
    let origin = values.clone();
    let mut open: Vec<OpenRadius> = ratio_radii(recipe, fit)
        .into_iter()
        .filter(|r| measures[r.of].mm > 0.0)
        .map(|r| {
            let (log, by) = log_quotient(r.slot, &measures[r.of], &origin);
            let variance = dot(&by, &times(&covariance, &by));
            OpenRadius { radius: r, log, by, variance }
        })
        .collect();
    let mut chosen = BTreeMap::new();
    while let Some(at) = (0..open.len()).min_by(|&i, &j| open[i].variance.total_cmp(&open[j].variance)) {
        let OpenRadius { radius, log: log_at_origin, by, .. } = open.swap_remove(at);
        let moved: Vec<f64> = values.iter().zip(&origin).map(|(v, o)| v - o).collect();
        let log = log_at_origin + dot(&by, &moved);
        let reach = times(&covariance, &by);
        let variance = dot(&by, &reach).max(1e-14);
        let quotient = Quotient { log, sd: variance.sqrt(), length: values[radius.slot].exp() };
        let Some((ratio, standing)) = read_ratio(quotient, Some(radius.planned), &radius.choices, HELD)
        else {
            continue;
        };
        let pull = (ratio.value().ln() - log) / variance;
        for (value, r) in values.iter_mut().zip(&reach) {
            *value += r * pull;
        }
        narrow(&mut covariance, &reach, variance);
        for other in &mut open {
            other.variance = (other.variance - dot(&other.by, &reach).powi(2) / variance).max(0.0);
        }
        let chance = chance_of_match(quotient, ratio);
        chosen.insert(radius.slot, Chosen { of: radius.of, ratio, standing, chance });
    }
    (chosen, values)
}

/// Holds every chosen radius at its ratio of the measure as it comes out, and solves the placement again.
fn hold_ratios(recipe: &Recipe, fit: &Fit, chosen: &BTreeMap<Slot, Chosen>, start: &[f64]) -> Solved {
    fit.solved_under(start, |values| {
        let measures = found_lengths(recipe, &fit.model, values);
        chosen
            .iter()
            .map(|(slot, choice)| {
                let (log, by) = log_quotient(*slot, &measures[choice.of], values);
                Condition { value: log - choice.ratio.value().ln(), by }
            })
            .collect()
    })
}

pub(super) fn finish(
    recipe: &Recipe,
    plan: &Plan,
    planned: &[f64],
    fit: Fit,
    extra: Vec<ExtraArcs>,
    wish: &Wish,
) -> Result<Finished, ReconcileError> {
    let (chosen, near) = choose_ratios(recipe, &fit);
    let solved = match wish.finish {
        Finish::Ratio => hold_ratios(recipe, &fit, &chosen, &near),
        Finish::Fitted | Finish::Recipe => fit.solved.clone(),
    };
    let fitted_lengths = found_lengths(recipe, &fit.model, &fit.solved.values);
    let lengths = found_lengths(recipe, &fit.model, &solved.values);
    let length_sds = lengths.iter().map(|l| l.variance(&fit.covariance).max(0.0).sqrt()).collect();
    let counter_clockwise =
        |run: Run| -> bool { (run.bout == Bout::Upper) != (run.side == crate::outline::Side::Right) };

    let mut circles: [Vec<usize>; 6] = Default::default();
    let mut radius_sds: [Vec<f64>; 6] = Default::default();
    let mut readings: [Vec<Option<Reading>>; 6] = Default::default();
    for model in &fit.model.runs {
        let i = model.run.index();
        for arc in &model.arcs {
            circles[i].push(arc.circle);
            let sd = fit.covariance[(arc.radius, arc.radius)].max(0.0).sqrt();
            radius_sds[i].push(sd * fit.solved.values[arc.radius].exp());
            readings[i].push(reading(
                recipe,
                &fit,
                &chosen,
                &fitted_lengths,
                arc.radius,
                arc.circle,
                wish.finish,
            ));
        }
        if !counter_clockwise(model.run) {
            circles[i].reverse();
            radius_sds[i].reverse();
            readings[i].reverse();
        }
    }
    let carried_on = CARRIED_ON * lengths.first().map_or(0.0, |l| l.mm);
    let runs = match wish.finish {
        Finish::Recipe => as_the_recipe_says(plan, planned, &lengths, &solved, &fit)?,
        Finish::Fitted | Finish::Ratio => {
            fit.model.placed(&solved.values).each_ref().map(|run| run.chain(carried_on))
        }
    };
    Ok(Finished { fit, solved, runs, circles, radius_sds, readings, lengths, length_sds, extra })
}

impl Finished {
    /// The ratio of a measure to the one that the recipe derives it from, as these ribs have it.
    pub fn measure_reading(&self, recipe: &Recipe, measure: usize) -> Option<Reading> {
        let Size::Ratio { ratio: planned, of } = &recipe.measures.get(measure)?.size else { return None };
        let base = recipe.measures.iter().position(|m| m.name == *of)?;
        let (length, base) = (self.lengths.get(measure)?, self.lengths.get(base)?);
        let mut by: Vec<(Slot, f64)> = length.by.iter().map(|(s, d)| (*s, d / length.mm)).collect();
        by.extend(base.by.iter().map(|(s, d)| (*s, -d / base.mm)));
        let variance = dot(&by, &times(&self.fit.covariance, &by)).max(1e-14);
        let quotient = Quotient { log: (length.mm / base.mm).ln(), sd: variance.sqrt(), length: length.mm };
        let (ratio, standing) =
            read_ratio(quotient, Some(*planned), &recipe.measures[measure].choices, INTERVAL)?;
        Some(Reading {
            ratio,
            of: of.clone(),
            standing,
            chance: chance_of_match(quotient, ratio),
            held: false,
        })
    }
}

fn reading(
    recipe: &Recipe,
    fit: &Fit,
    chosen: &BTreeMap<Slot, Chosen>,
    measures: &[FoundLength],
    slot: Slot,
    circle: usize,
    finish: Finish,
) -> Option<Reading> {
    let name = |of: usize| recipe.measures.get(of).map(|m| m.name.clone());
    let step = recipe.steps.get(circle)?;
    let Action::Circle { radius: Size::Ratio { ratio: planned, of }, .. } = &step.action else { return None };
    let of = recipe.measures.iter().position(|m| m.name == *of)?;
    let (log, by) = log_quotient(slot, measures.get(of)?, &fit.solved.values);
    let variance = dot(&by, &times(&fit.covariance, &by)).max(1e-14);
    let quotient = Quotient { log, sd: variance.sqrt(), length: fit.solved.values[slot].exp() };
    match finish {
        Finish::Ratio => {
            let choice = chosen.get(&slot)?;
            Some(Reading {
                ratio: choice.ratio,
                of: name(choice.of)?,
                standing: choice.standing,
                chance: choice.chance,
                held: true,
            })
        }
        Finish::Fitted => {
            let (ratio, standing) = read_ratio(quotient, Some(*planned), &step.choices, INTERVAL)?;
            Some(Reading {
                ratio,
                of: name(of)?,
                standing,
                chance: chance_of_match(quotient, ratio),
                held: false,
            })
        }
        Finish::Recipe => Some(Reading {
            ratio: *planned,
            of: name(of)?,
            standing: Standing::Planned,
            chance: chance_of_match(quotient, *planned),
            held: true,
        }),
    }
}

/// The recipe's own outline at the body length found, set on the centreline where the fitted edge begins.
fn as_the_recipe_says(
    plan: &Plan,
    planned: &[f64],
    lengths: &[FoundLength],
    solved: &Solved,
    fit: &Fit,
) -> Result<[Chain; 6], ReconcileError> {
    let scale = lengths.first().zip(planned.first()).map_or(1.0, |(found, plan)| found.mm / plan);
    let at_this_length: Vec<f64> = planned.iter().map(|l| l * scale).collect();
    let outline = plan.evaluate_at(&at_this_length)?.outline;
    let up = solved.values[fit.model.bottom] - outline.runs[0].start.y;
    let mut runs = outline.moved(0.0, Vec2::new(0.0, up)).runs;
    for (run, chain) in Run::ALL.into_iter().zip(runs.iter_mut()) {
        carry_on(run, chain, CARRIED_ON * at_this_length[0]);
    }
    Ok(runs)
}

/// Lengthens the arcs of a finished run that end in a corner.
fn carry_on(run: Run, chain: &mut Chain, by: f64) {
    let longer = |radius: f64, sweep: f64| (by / radius.abs()).min(2.2).max(sweep);
    let starts_in_corner =
        run.bout == Bout::Waist || (run.bout == Bout::Upper) == (run.side == crate::outline::Side::Right);
    let ends_in_corner = run.bout == Bout::Waist || !starts_in_corner;
    if ends_in_corner && let Some(last) = chain.pieces.last_mut() {
        last.sweep = longer(last.radius, last.sweep);
    }
    if starts_in_corner {
        let mut turned = chain.reversed();
        if let Some(last) = turned.pieces.last_mut() {
            last.sweep = longer(last.radius, last.sweep);
        }
        *chain = turned.reversed();
    }
}

/// Names of the circles, for those arcs whose step is known.
pub(super) fn circle_name(recipe: &Recipe, circle: usize) -> String {
    recipe.steps.get(circle).map(|s| s.name.clone()).unwrap_or_default()
}

/// The recipe's own size of a circle at lengths found, mm.
pub(super) fn planned_radius(recipe: &Recipe, circle: usize, planned: &[f64], scale: f64) -> Option<f64> {
    match &recipe.steps.get(circle)?.action {
        Action::Circle { radius: Size::Ratio { ratio, of }, .. } => {
            let of = recipe.measures.iter().position(|m| m.name == *of)?;
            planned.get(of).map(|l| ratio.of(l * scale))
        }
        Action::Circle { radius: Size::Mm(mm), .. } => Some(*mm),
        Action::Point { .. } => None,
    }
}
