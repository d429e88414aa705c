//! Edge: the overhang and how it came out, the corners, the arcs.

mod arcs;
mod corners;
mod finish;
mod measures;
mod overhang;
mod report;

use crate::results::use_results;
use crate::words::words;
use arcs::ArcTable;
use corners::CornerTable;
use finish::FinishChoice;
use leptos::prelude::*;
use measures::MeasureTable;
use overhang::OverhangFields;
use report::Report;

#[component]
pub fn EdgeStep() -> impl IntoView {
    let results = use_results();
    let any = Memo::new(move |_| results.shown.with(Option::is_some));
    view! {
        <Show when=move || any.get() fallback=|| view! { <p class="lead">{words().edge.nothing}</p> }>
            <Report />
        </Show>
        <OverhangFields />
        <FinishChoice />
        <Show when=move || any.get()>
            <CornerTable />
            <ArcTable />
            <MeasureTable />
        </Show>
    }
}
