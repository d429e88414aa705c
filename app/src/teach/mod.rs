//! Teach: the construction step by step, as one would draw it before a class.

pub mod replay;

use leptos::prelude::*;
use replay::steps::ReplayPanel;

/// The controls of the step.
#[component]
pub fn Teach() -> impl IntoView {
    view! { <ReplayPanel /> }.into_any()
}
