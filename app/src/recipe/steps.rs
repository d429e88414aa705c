use super::composing::{Open, placing_of, use_composing};
use super::item::{Item, Sentence};
use super::part::{Looseness, PartFoot, PartTroubles, place_is};
use super::placing::PlacingFields;
use super::size_field::{OfferThis, SizeField};
use super::worked::use_faults;
use crate::controls::{Rows, TextField, press};
use crate::number::figure;
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::{Edit, Part, Size, SizeOf, Step};
use std::sync::Arc;

/// The steps in the order of the work.
#[component]
pub fn Steps() -> impl IntoView {
    let (composing, results) = (use_composing(), use_results());
    let everything_wrong = use_faults();
    let recipe = use_results().recipe;
    let sentences = Memo::new(move |_| {
        recipe.with(|recipe| {
            let faulty = everything_wrong.with(|faults| {
                let wrong = |k| faults.iter().any(|fault| place_is(fault, recipe, Part::Step(k)));
                (0..recipe.steps.len()).map(wrong).collect::<Vec<bool>>()
            });
            results.drawn.with(|drawn| {
                let steps = recipe.steps.iter().enumerate();
                steps
                    .map(|(k, step)| Sentence {
                        mark: (k + 1).to_string(),
                        name: step.name.clone(),
                        text: (words().recipe().step)(recipe, step),
                        mm: drawn
                            .circles
                            .iter()
                            .find(|circle| circle.step == k)
                            .map(|circle| figure(circle.radius, 1))
                            .unwrap_or_default(),
                        faulty: faulty.get(k).copied().unwrap_or_default(),
                        waiting: drawn.not_reached.contains(&k),
                        departs: step.sizes().any(|size| matches!(size, Size::Mm(_))),
                    })
                    .collect::<Vec<_>>()
            })
        })
    });
    let numbers = Memo::new(move |_| (0..sentences.with(Vec::len)).collect::<Vec<_>>());
    let make =
        Arc::new(move |k| view! { <Item open=Open::Step(k) sentences at=k editor=step_editor /> }.into_any());
    let add = move |circle: bool| composing.add_step(numbers.with_untracked(Vec::len), circle);
    view! {
        <section class="recipe-part">
            <h2>{words().recipe().steps}</h2>
            <ol class="items" data-test="steps">
                <Rows numbers make />
            </ol>
            <div class="actions">
                {press("add-point", words().recipe().add_point, move || add(false)).view()}
                {press("add-circle", words().recipe().add_circle, move || add(true)).view()}
            </div>
        </section>
    }
}

fn step_editor(k: usize) -> AnyView {
    let composing = use_composing();
    let recipe = use_results().recipe;
    let part = Part::Step(k);
    let of_step = move |what: fn(&Step) -> String| {
        recipe.with(|recipe| recipe.steps.get(k).map(what).unwrap_or_default())
    };
    // A step stays a point or a circle as long as it is open; another can come into its place by undoing.
    let is_circle = use_results().told(move |recipe| placing_of(recipe, k).is_some());
    let sizes = move || {
        if is_circle.get() {
            view! {
                <SizeField of=SizeOf::Radius(k) label=words().recipe().radius />
                <OfferThis of=SizeOf::Radius(k) />
                <PlacingFields k />
            }
            .into_any()
        } else {
            view! {
                <SizeField of=SizeOf::Up(k) label=words().recipe().up />
                <SizeField of=SizeOf::Out(k) label=words().recipe().out />
            }
            .into_any()
        }
    };
    let words = words().recipe();
    view! {
        <PartTroubles part />
        {move || sizes()}
        <div class="pair">
            <TextField
                label=words.name
                test="part-name"
                longest=40
                value=Signal::derive(move || of_step(|step| step.name.clone()))
                on_change=move |name: String| {
                    composing.edit(Edit::Rename(part, name.trim().to_string()));
                }
            />
            <Looseness part />
        </div>
        <PartFoot part />
        <div class="actions">
            <span class="lead-in">{words.insert_after}</span>
            {press("insert-point", words.add_point, move || composing.add_step(k + 1, false)).view()}
            {press("insert-circle", words.add_circle, move || composing.add_step(k + 1, true)).view()}
        </div>
    }
    .into_any()
}
