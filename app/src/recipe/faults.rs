use super::composing::{Open, use_composing};
use super::worked::use_faults;
use crate::controls::press;
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::Bout;
use ribline_geometry::recipe::error::Place;
use ribline_geometry::recipe::{Recipe, RecipeError};

/// Everything that is wrong with the recipe, each leading to its place.
#[component]
pub fn Faults() -> impl IntoView {
    let composing = use_composing();
    let everything_wrong = use_faults();
    let recipe = use_results().recipe;
    let told = Memo::new(move |_| {
        everything_wrong.with(|faults| {
            let lines = |recipe: &Recipe| {
                faults.iter().map(|fault| (format!("{fault}."), opened_by(fault, recipe))).collect::<Vec<_>>()
            };
            recipe.with(lines)
        })
    });
    let list = move || {
        let told = told.get();
        (!told.is_empty()).then(|| {
            let heading = (words().recipe().to_put_right)(told.len());
            let items = told
                .into_iter()
                .map(|(sentence, open)| {
                    let said = match open {
                        None => sentence.into_any(),
                        open => press("go-to-fault", sentence, move || composing.show(open)).view(),
                    };
                    view! { <li>{said}</li> }
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
