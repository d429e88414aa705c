//! Teach: what is handed on to others.

mod share;
mod symbol;

use crate::words::words;
use leptos::prelude::*;
use share::Share;

/// The controls of the step.
#[component]
pub fn Teach() -> impl IntoView {
    view! {
        <p class="lead">{words().teach.lead}</p>
        <Share />
    }
    .into_any()
}
