//! What is pointed at in the recipe, with the lines that it was found by.

use super::path::{arc_path, circle_path, cross, dot, line_to, move_to};
use super::view::use_view;
use crate::recipe::{Open, use_composing};
use crate::results::use_results;
use crate::showing::{Thing, use_showing};
use kurbo::Point;
use leptos::prelude::*;
use ribline_geometry::outline::{Bout, Run};
use ribline_geometry::recipe::{CentreLine, PartialConstruction, Recipe};

/// Arms of a lit point's cross, in pixels.
const ARM: f64 = 9.0;

/// Lines of one kind each, as path data.
#[derive(Debug, Clone, PartialEq, Default)]
struct Lit {
    /// What it rests on: circles touched, lines that a centre lies on.
    basis: String,
    /// From centre to centre, and from the centre to where the line passes.
    helpers: String,
    /// Points passed through and points of contact.
    contacts: String,
    /// The line itself.
    line: String,
    /// Where the point of the compass goes.
    compass: String,
    mark: String,
}

/// The lit step or run.
#[component]
pub fn LitPart() -> impl IntoView {
    let (results, showing) = (use_results(), use_showing());
    let scale = use_view().scale();
    let recipe = use_results().recipe;
    let lit = Memo::new(move |_| {
        let arm = ARM / scale.get();
        results.drawn.with(|drawn| match showing.pointed() {
            Some(Thing::RecipeStep(step)) => recipe.with(|recipe| lit_step(drawn, recipe, step, arm)),
            Some(Thing::RecipeRun(bout)) => recipe.with(|recipe| lit_run(drawn, recipe, bout)),
            _ => Lit::default(),
        })
    });
    let of = move |what: fn(&Lit) -> &String| move || lit.with(|lit| what(lit).clone());
    view! {
        <g class="lit" data-test="lit">
            <path class="basis" d=of(|lit| &lit.basis) />
            <path class="helpers" d=of(|lit| &lit.helpers) />
            <path class="lit-line" data-test="lit-line" d=of(|lit| &lit.line) />
            <path class="contacts" d=of(|lit| &lit.contacts) />
            <path class="compass" d=of(|lit| &lit.compass) />
            <path class="lit-mark" data-test="lit-mark" d=of(|lit| &lit.mark) />
        </g>
    }
}

fn lit_step(drawn: &PartialConstruction, recipe: &Recipe, step: usize, arm: f64) -> Lit {
    let mut lit = Lit::default();
    if let Some(point) = drawn.points.iter().find(|point| point.step == step) {
        cross(&mut lit.mark, point.at, arm);
        // Up the centreline, and out from it.
        let foot = Point::new(0.0, point.at.y);
        move_to(&mut lit.helpers, Point::ORIGIN);
        line_to(&mut lit.helpers, foot);
        line_to(&mut lit.helpers, point.at);
    }
    let Some(circle) = drawn.circles.iter().find(|circle| circle.step == step) else {
        // Not struck: what it was to rest on.
        let names = recipe.steps.get(step).map(|step| step.rests_on()).unwrap_or_default();
        let touched = drawn.circles.iter().filter(|circle| names.contains(&circle.name.as_str()));
        touched.for_each(|circle| lit.basis.push_str(&circle_path(circle.centre, circle.radius)));
        let points = drawn.points.iter().filter(|point| names.contains(&point.name.as_str()));
        points.for_each(|point| lit.contacts.push_str(&dot(point.at)));
        return lit;
    };
    lit.line = circle_path(circle.centre, circle.radius);
    lit.compass = dot(circle.centre);
    let through = circle.point.unwrap_or(circle.centre);
    move_to(&mut lit.helpers, circle.centre);
    line_to(&mut lit.helpers, through);
    lit.contacts.extend(circle.point.map(dot));
    match circle.centre_on {
        Some(CentreLine::Centreline) => {
            move_to(&mut lit.basis, circle.centre);
            line_to(&mut lit.basis, Point::new(0.0, through.y));
        }
        Some(CentreLine::Cross { up }) => {
            move_to(&mut lit.basis, Point::new(0.0, up));
            line_to(&mut lit.basis, Point::new(circle.centre.x.max(through.x) + 3.0 * arm, up));
        }
        None => {}
    }
    for contact in &circle.contacts {
        // Both centres and the contact lie in one line.
        let ends = if contact.at.distance(contact.centre) > contact.at.distance(circle.centre) {
            (contact.centre, contact.at)
        } else {
            (circle.centre, contact.at)
        };
        move_to(&mut lit.helpers, ends.0);
        line_to(&mut lit.helpers, ends.1);
        move_to(&mut lit.helpers, circle.centre);
        line_to(&mut lit.helpers, contact.centre);
        lit.contacts.push_str(&dot(contact.at));
        if let Some(touched) = drawn.circles.iter().find(|other| other.step == contact.step) {
            lit.basis.push_str(&circle_path(touched.centre, touched.radius));
        }
    }
    lit
}

fn lit_run(drawn: &PartialConstruction, recipe: &Recipe, bout: Bout) -> Lit {
    let mut lit = Lit::default();
    if let Some(whole) = &drawn.whole {
        for run in Run::ALL.into_iter().filter(|run| run.bout == bout) {
            for arc in whole.outline.run(run).arcs() {
                lit.line.push_str(&arc_path(&arc));
            }
        }
        return lit;
    }
    let (names, corner) = match bout {
        Bout::Lower => (&recipe.plan.lower, &recipe.plan.lower_corner),
        Bout::Waist => (&recipe.plan.waist, &recipe.plan.lower_corner),
        Bout::Upper => (&recipe.plan.upper, &recipe.plan.upper_corner),
    };
    for circle in drawn.circles.iter().filter(|circle| names.contains(&circle.name)) {
        lit.basis.push_str(&circle_path(circle.centre, circle.radius));
    }
    lit.contacts.extend(drawn.points.iter().find(|point| point.name == *corner).map(|point| dot(point.at)));
    lit
}

/// The two centres that the open step can have, to be tapped.
#[component]
pub fn TwoCentres() -> impl IntoView {
    let composing = use_composing();
    let recipe = use_results().recipe;
    let both = Memo::new(move |_| match composing.opened() {
        Some(Open::Step(k)) => recipe.with(|recipe| recipe.centres(k)),
        _ => None,
    });
    let rings = move || both.get().map(|both| both.map(|(_, centre)| dot(centre)).concat());
    view! {
        <path class="two-centres" data-test="two-centres" d=move || rings().unwrap_or_default() />
        <path class="two-centres within" d=move || rings().unwrap_or_default() />
    }
}
