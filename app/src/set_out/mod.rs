//! Set out: the instrument, the recipe to read and to change, and the shelf of recipes.

mod compare;
mod family;
mod instrument;
mod mould;
mod moulded;
mod shelf;

use crate::recipe::RecipeEditor;
use crate::words::words;
use family::Family;
use instrument::InstrumentAndRecipe;
use leptos::prelude::*;
use mould::MouldPanel;
pub use moulded::use_moulded;
use shelf::Shelf;

/// They come with the step: the first screen does without them.
const STYLES: &str = include_str!("../../set-out.css");

#[component]
pub fn SetOut() -> impl IntoView {
    view! {
        <style>{STYLES}</style>
        <p class="lead">{words().set_out().lead}</p>
        <Family />
        <InstrumentAndRecipe />
        <RecipeEditor />
        <MouldPanel />
        <Shelf />
    }
}
