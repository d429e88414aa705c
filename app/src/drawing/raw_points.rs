use super::path::dot;
use crate::store::use_store;
use leptos::prelude::*;

/// Points that have no edge yet, as when a trace is being typed in: where they were given, over the recipe, so that
/// the maker sees them come in. They are placed by their own origin and not reconciled with anything.
#[component]
pub fn RawPoints() -> impl IntoView {
    let d = use_store()
        .part(|project| project.trace.points.iter().map(|point| dot(point.at)).collect::<String>());
    view! { <path class="raw-points" data-test="raw-points" d=d /> }
}
