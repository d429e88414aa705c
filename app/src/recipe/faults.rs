use super::composing::{Open, use_composing};
use crate::results::use_results;
use crate::store::use_store;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::Bout;
use ribline_geometry::recipe::error::Place;
use ribline_geometry::recipe::{Recipe, RecipeError};

/// Everything that is wrong with the recipe, each leading to its place.
#[component]
pub fn Faults() -> impl IntoView {
    let (composing, results) = (use_composing(), use_results());
    let recipe = use_store().part(|project| project.recipe.clone());
    let told = Memo::new(move |_| {
        results.faults.with(|faults| {
            let lines = |recipe: &Recipe| {
                faults.iter().map(|fault| (format!("{fault}."), opened_by(fault, recipe))).collect::<Vec<_>>()
            };
            recipe.with(lines)
        })
    });
    let list = move || {
        let told = told.get();
        (!told.is_empty()).then(|| {
            let heading = (words().recipe.to_put_right)(told.len());
            let items = told
                .into_iter()
                .map(|(sentence, open)| match open {
                    None => view! { <li>{sentence}</li> }.into_any(),
                    open => view! {
                        <li>
                            <button type="button" on:click=move |_| composing.show(open)>{sentence}</button>
                        </li>
                    }
                    .into_any(),
                })
                .collect_view();
            view! {
                <div class="faults" data-test="error-recipe">
                    <p>{heading}</p>
                    <ul>{items}</ul>
                </div>
            }
            .into_any()
        })
    };
    view! { <div role="status">{move || list()}</div> }
}

/// What is to be opened to put a fault right.
fn opened_by(fault: &RecipeError, recipe: &Recipe) -> Option<Open> {
    match fault.place() {
        Place::Measure(name) => recipe.measures.iter().position(|m| m.name == name).map(Open::Measure),
        Place::Step(step) => step.number.checked_sub(1).map(Open::Step),
        Place::Outline => Some(Open::Run(fault.bout().unwrap_or(Bout::Lower))),
        Place::Whole => None,
    }
}
