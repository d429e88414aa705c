//! What every measure and every step has while it is open: what is wrong with it, its looseness, its place and its end.

use super::composing::use_composing;
use super::worked::use_faults;
use crate::controls::{NumberField, press};
use crate::number::Within;
use crate::results::use_results;
use crate::store::use_store;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::error::Place;
use ribline_geometry::recipe::{Edit, Part, Recipe, RecipeError, Size, SizeOf};

/// Whether a fault has to be put right in this part.
pub fn place_is(fault: &RecipeError, recipe: &Recipe, part: Part) -> bool {
    match (fault.place(), part) {
        (Place::Measure(name), Part::Measure(k)) => recipe.measures.get(k).is_some_and(|m| m.name == name),
        (Place::Step(step), Part::Step(k)) => step.number == k + 1,
        _ => false,
    }
}

/// What is wrong with the part, with values that would do; and why the last change to it was not made.
#[component]
pub fn PartTroubles(part: Part) -> impl IntoView {
    let composing = use_composing();
    let everything_wrong = use_faults();
    let recipe = use_results().recipe;
    let faults = Memo::new(move |_| {
        recipe.with(|recipe| {
            everything_wrong.with(|faults| {
                let here = faults.iter().filter(|fault| place_is(fault, recipe, part));
                let told = here.map(|fault| {
                    let remedies = fault.remedies();
                    let said =
                        remedies.into_iter().map(|size| ((words().recipe().size)(recipe, &size), size));
                    (fault.to_string(), said.collect::<Vec<(String, Size)>>())
                });
                told.collect::<Vec<_>>()
            })
        })
    });
    let take = move |size: &Size| {
        if let Part::Step(k) = part {
            composing.edit(Edit::Size { of: SizeOf::Radius(k), to: Some(size.clone()), keep: None });
        }
    };
    let list = move || {
        let told = faults.get().into_iter().map(|(sentence, remedies)| {
            let buttons = remedies
                .into_iter()
                .map(|(said, size)| {
                    press("would-do", (words().recipe().would_do)(&said), move || take(&size)).view()
                })
                .collect_view();
            view! {
                <div class="fault" role="status" data-test="fault">
                    <p>{sentence}"."</p>
                    <div class="actions">{buttons}</div>
                </div>
            }
        });
        told.collect_view().into_any()
    };
    view! {
        {move || list()}
        <p class="trouble" role="alert" data-test="refusal">{move || composing.refusal.get()}</p>
    }
}

#[component]
pub fn Looseness(part: Part) -> impl IntoView {
    let composing = use_composing();
    let looseness = use_store().part(move |project| part.looseness(&project.recipe).unwrap_or_default());
    view! {
        <NumberField
            label=words().recipe().looseness
            unit="mm"
            test="looseness"
            value=looseness
            within=Within::new(0.0, 100.0)
            on_change=move |mm| {
                composing.edit(Edit::Looseness(part, mm));
            }
        />
    }
}

/// Earlier, later, away.
#[component]
pub fn PartFoot(part: Part) -> impl IntoView {
    let composing = use_composing();
    let recipe = use_results().recipe;
    // The body length stays where it is.
    let (k, first) = match part {
        Part::Measure(k) => (k, 1),
        Part::Step(k) => (k, 0),
    };
    let is_last = move || {
        recipe.with(|recipe| match part {
            Part::Measure(_) => recipe.measures.len(),
            Part::Step(_) => recipe.steps.len(),
        } <= k + 1)
    };
    let doomed = move || composing.doomed.get() == Some(part);
    let what_goes = move || recipe.with(|recipe| (words().recipe().remove_too)(recipe, part));
    let others = move || recipe.with(|recipe| recipe.resting_on(part).len());
    let fixed = part == Part::Measure(0);
    let words = words().recipe();
    let earlier = press("move-earlier", words.earlier, move || composing.move_to(part, k.saturating_sub(1)))
        .disabled(Signal::stored(k <= first));
    let later = press("move-later", words.later, move || composing.move_to(part, k + 1))
        .disabled(Signal::derive(is_last));
    let away = press("remove-part", words.remove, move || composing.remove(part)).class("away");
    let agreed = move || {
        let all = press("remove-all", "", move || composing.remove(part))
            .class("chief")
            .labelled(Signal::derive(move || (words.remove_all)(others())));
        let leave = press("leave-it", words.leave, move || composing.doomed.set(None));
        view! {
            <div class="notice" role="alert" data-test="doomed">
                <p>{move || what_goes()}</p>
                <div class="actions">{all.view()}{leave.view()}</div>
            </div>
        }
        .into_any()
    };
    view! {
        <div class="actions" class:hidden=fixed>{earlier.view()}{later.view()}{away.view()}</div>
        {move || doomed().then(agreed)}
    }
}
