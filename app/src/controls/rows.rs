use leptos::prelude::*;
use std::sync::Arc;

/// What a row, or any other of a list of like things, is made by.
pub type MakeRow = Arc<dyn Fn(usize) -> AnyView + Send + Sync>;

/// Like things of which each has a number of its own: one that stays is kept as it is, with whatever has the focus in it.
/// One compiled form serves all lists of the page.
#[component]
pub fn Rows(#[prop(into)] numbers: Signal<Vec<usize>>, make: MakeRow) -> impl IntoView {
    view! { <For each=move || numbers.get() key=|number| *number children=move |number| make(number) /> }
}
