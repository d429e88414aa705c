//! Teach: what is handed on to others. The construction step by step, as one would draw it before a class; the recipe as
//! a link and a symbol.

pub mod replay;
mod share;
mod symbol;

use crate::words::words;
use leptos::prelude::*;
use replay::steps::ReplayPanel;
use share::Share;

/// The controls of the step.
#[component]
pub fn Teach() -> impl IntoView {
    view! {
        <p class="lead">{words().teach().lead}</p>
        <ReplayPanel />
        <Share />
    }
    .into_any()
}
