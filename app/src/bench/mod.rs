//! Bench: what is taken away from here. What to print comes first, then what to set the compass to, files last.

mod as_cut;
mod button;
mod compass;
mod field;
mod files;
mod print;
mod project_file;
mod purfling;
mod record;

use crate::controls::When;
use crate::results::{Outcome, Results, use_results};
use crate::words::words;
use as_cut::AsCutPanel;
use button::ButtonPanel;
use compass::CompassPanel;
pub use compass::{set_apart, sheet_of};
use files::Files;
use leptos::prelude::*;
use print::PrintPanel;
use project_file::ProjectFile;
use purfling::PurflingPanel;
use record::RecordPanel;
use ribline_geometry::bench::print::Day;
use ribline_geometry::reconcile::report::Reconciled;
use std::sync::Arc;

/// They come with the step: the first screen does without them.
const STYLES: &str = include_str!("../../bench.css");

#[component]
pub fn Bench() -> impl IntoView {
    let present = present(use_results());
    let words = words().bench();
    view! {
        <style>{STYLES}</style>
        <p class="lead">{words.lead}</p>
        <When holds=move || present.with(Option::is_none)>
            <p class="note" data-test="nothing-for-the-bench">{words.nothing}</p>
        </When>
        <PrintPanel />
        <CompassPanel present />
        <PurflingPanel present />
        <ButtonPanel present />
        <Files />
        <AsCutPanel present />
        <RecordPanel present />
        <ProjectFile />
        <section class="caution" data-test="caution">
            <h2>{words.caution}</h2>
            <p>{words.caution_text}</p>
        </section>
    }
}

/// The result of the present input: what leaves for the bench is never the last good one of an earlier input.
pub fn present(results: Results) -> Memo<Option<Arc<Reconciled>>> {
    Memo::new(move |_| {
        results.outcome.with(|outcome| match outcome {
            Outcome::Good(result) => Some(Arc::clone(result)),
            Outcome::NothingTraced | Outcome::Refused(_) => None,
        })
    })
}

/// Today, where the maker is.
fn today() -> Day {
    let now = web_sys::js_sys::Date::new_0();
    // Within a month and a year these are small numbers.
    Day { year: now.get_full_year() as u16, month: (now.get_month() + 1) as u8, day: now.get_date() as u8 }
}
