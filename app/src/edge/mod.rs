//! Edge: the overhang and how it came out, the corners, the arcs.

mod arcs;
mod corners;
mod finish;
mod measures;
mod overhang;
mod report;

use crate::controls::When;
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
    let any = Signal::derive(move || results.shown.with(Option::is_some));
    view! {
        <When holds=any>
            <Report />
        </When>
        <When holds=Signal::derive(move || !any.get() && !results.refused())>
            <p class="lead">{words().edge().nothing}</p>
        </When>
        <OverhangFields />
        <FinishChoice />
        <When holds=any>
            <CornerTable />
            <ArcTable />
            <MeasureTable />
        </When>
    }
}
