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
use crate::results::use_results;
use crate::words::words;
use as_cut::AsCutPanel;
use button::ButtonPanel;
use compass::CompassPanel;
pub use compass::{breadth, set_apart, sheet_of};
use files::Files;
use leptos::prelude::*;
use print::PrintPanel;
use project_file::ProjectFile;
use purfling::PurflingPanel;
use record::RecordPanel;

/// They come with the step: the first screen does without them.
const STYLES: &str = include_str!("../../bench.css");

#[component]
pub fn Bench() -> impl IntoView {
    let present = use_results().present();
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
