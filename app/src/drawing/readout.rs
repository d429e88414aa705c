use super::view::use_view;
use crate::number::figure;
use crate::results::use_results;
use crate::showing::{ArcName, Thing, use_showing};
use crate::store::PinName;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::Corner;
use ribline_geometry::recipe::PartialConstruction;
use ribline_geometry::reconcile::report::{EdgeArc, Judged, Reconciled};

/// A line of the readout: what it is, and the figure.
type Line = (&'static str, String);

/// What is pointed at, in a place of its own, so that nothing lies over the line.
#[component]
pub fn Readout() -> impl IntoView {
    let results = use_results();
    let showing = use_showing();
    let recipe_drawn = use_view().recipe_drawn;
    let content = Memo::new(move |_| {
        let thing = showing.pointed()?;
        match (thing, recipe_drawn.get()) {
            (Thing::RecipeStep(step), true) => results.drawn.with(|drawn| recipe_step(drawn, step)),
            (_, true) => None,
            _ => results.with_shown(|shown| describe(shown, thing)).flatten(),
        }
    });
    let body = move || match content.get() {
        None => {
            let words = &words().readout;
            let hint = match (recipe_drawn.get(), showing.mould_drawn()) {
                (_, true) => words.mould_hint,
                (true, _) => words.recipe_hint,
                _ => words.hint,
            };
            view! { <p class="hint">{hint}</p> }.into_any()
        }
        Some((heading, lines)) => {
            let rows = lines
                .into_iter()
                .map(|(what, value)| view! { <div><dt>{what}</dt><dd>{value}</dd></div> })
                .collect_view();
            view! { <h2>{heading}</h2><dl>{rows}</dl> }.into_any()
        }
    };
    view! { <div class="readout" data-test="readout">{move || body()}</div> }
}

fn describe(shown: &Reconciled, thing: Thing) -> Option<(String, Vec<Line>)> {
    match thing {
        Thing::Arc(name) => arc(shown, name),
        Thing::Point(index) => point(shown, index),
        Thing::Pin(pin) => self::pin(shown, pin),
        Thing::Corner(corner) => Some(self::corner(shown, corner)),
        Thing::RecipeStep(_) | Thing::RecipeRun(_) => None,
    }
}

fn arc(shown: &Reconciled, name: ArcName) -> Option<(String, Vec<Line>)> {
    let words = &words().readout;
    let arc: &EdgeArc = shown.arcs.iter().find(|a| a.run == name.run && a.piece == name.piece)?;
    let mut lines =
        vec![(words.radius, (words.mm_sd)(&figure(arc.arc.radius, 1), &figure(arc.radius_sd, 1)))];
    if let Some(reading) = &arc.reading {
        let read = if reading.held { words.held_at } else { words.near };
        lines.push((read, reading.to_string()));
        lines.push((words.chance, (words.chance_of)(reading.chance)));
    }
    let centre = arc.arc.centre;
    lines.push((words.centre, (words.up_across)(centre.y, centre.x)));
    Some(((words.arc_name)(&arc.name(), arc.run.side), lines))
}

/// What a step of the recipe marks or strikes.
fn recipe_step(drawn: &PartialConstruction, step: usize) -> Option<(String, Vec<Line>)> {
    let words = &words().readout;
    if let Some(point) = drawn.points.iter().find(|point| point.step == step) {
        return Some((point.name.clone(), vec![(words.place, (words.up_across)(point.at.y, point.at.x))]));
    }
    let circle = drawn.circles.iter().find(|circle| circle.step == step)?;
    let lines = vec![
        (words.radius, (words.mm)(&figure(circle.radius, 1))),
        (words.centre, (words.up_across)(circle.centre.y, circle.centre.x)),
    ];
    Some((circle.name.clone(), lines))
}

fn point(shown: &Reconciled, index: usize) -> Option<(String, Vec<Line>)> {
    let words = &words().readout;
    let point = shown.points.iter().find(|point| point.index == index)?;
    let mut lines = vec![
        (words.overhang, (words.mm)(&figure(point.overhang, 2))),
        (words.place, (words.up_across)(point.at.y, point.at.x)),
    ];
    if point.judged == Judged::LeftOut {
        lines.push((words.judged, words.left_out.to_string()));
    }
    Some(((words.point_name)(point.line, point.run), lines))
}

fn pin(shown: &Reconciled, pin: PinName) -> Option<(String, Vec<Line>)> {
    let words = &words().readout;
    let at = match pin {
        PinName::Lower => shown.pins.lower,
        PinName::Upper => shown.pins.upper,
    }?;
    Some((
        (crate::words::words().drawing.pin)(pin).to_string(),
        vec![(words.place, (words.up_across)(at.y, at.x))],
    ))
}

fn corner(shown: &Reconciled, corner: Corner) -> (String, Vec<Line>) {
    let words = &words().readout;
    let end = &shown.edge.corners[corner.index()];
    let lines = vec![
        (words.width, (words.mm)(&figure(end.width, 1))),
        (words.beyond, (words.mm)(&figure(end.beyond_ribs, 1))),
        (words.outer_flank, (words.mm)(&figure(end.overhang_outer, 1))),
        (words.waist_flank, (words.mm)(&figure(end.overhang_waist, 1))),
    ];
    ((crate::words::words().corner)(corner), lines)
}
