//! Set out: the instrument, the recipe to read and to change, and the shelf of recipes.

mod compare;
mod instrument;
mod shelf;

use crate::recipe::RecipeEditor;
use crate::words::words;
use instrument::InstrumentAndRecipe;
use leptos::prelude::*;
use shelf::Shelf;

#[component]
pub fn SetOut() -> impl IntoView {
    view! {
        <p class="lead">{words().set_out.lead}</p>
        <InstrumentAndRecipe />
        <RecipeEditor />
        <Shelf />
    }
}
