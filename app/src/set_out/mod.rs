//! Set out: the instrument, the recipe, its measures.

mod instrument;
mod measures;

use crate::words::words;
use instrument::InstrumentAndRecipe;
use leptos::prelude::*;
use measures::Measures;

#[component]
pub fn SetOut() -> impl IntoView {
    view! {
        <p class="lead">{words().set_out.lead}</p>
        <InstrumentAndRecipe />
        <Measures />
    }
}
