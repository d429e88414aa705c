use crate::results::{Outcome, use_results};
use crate::words::words;
use leptos::prelude::*;

/// Why the drawing is not of the present input. What geometry has to say of everything that can be wrong is long, and seldom wanted.
#[component]
pub fn Refusal() -> impl IntoView {
    let results = use_results();
    let refused = move || {
        let why = results.outcome.with(|outcome| match outcome {
            Outcome::Refused(error) => Some(error.to_string()),
            Outcome::NothingTraced | Outcome::Good(_) => None,
        })?;
        let kept = results.shown.with(Option::is_some);
        let sentence = if kept { words().refused_kept } else { words().refused };
        Some(sentence(&why))
    };
    view! { <p>{refused}</p> }
}
