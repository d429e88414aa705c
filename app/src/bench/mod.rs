//! Bench: what is taken away from here.

mod exports;
mod project_file;

use crate::words::words;
use exports::Exports;
use leptos::prelude::*;
use project_file::ProjectFile;

#[component]
pub fn Bench() -> impl IntoView {
    let words = words().bench();
    view! {
        <p class="lead">{words.lead}</p>
        <ProjectFile />
        <Exports />
        <section class="caution" data-test="caution">
            <h2>{words.caution}</h2>
            <p>{words.caution_text}</p>
        </section>
    }
}
