use crate::controls::When;
use crate::results::{Outcome, use_results};
use crate::storage::files::{file_name, save};
use crate::store::use_store;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::bench::svg::edge_svg;

/// Files for the bench: the edge, and the traced points.
#[component]
pub fn Exports() -> impl IntoView {
    let store = use_store();
    let results = use_results();
    // Only what belongs to the present input leaves as a file, never the last good drawing of an earlier one.
    let ready = Memo::new(move |_| results.outcome.with(|outcome| matches!(outcome, Outcome::Good(_))));
    let any_points = store.part(|project| !project.trace.points.is_empty());
    let export_edge = move |_| {
        results.outcome.with_untracked(|outcome| {
            if let Outcome::Good(result) = outcome {
                store.project().with_untracked(|project| {
                    let face = (words().drawing.face)(project.face);
                    let name = file_name(&[&project.title, words().bench().edge_file, face], "svg");
                    save(&name, "image/svg+xml", &edge_svg(project, result));
                });
            }
        });
    };
    let export_trace = move |_| {
        store.project().with_untracked(|project| {
            let name = file_name(&[&project.title, words().bench().trace_file], "csv");
            save(&name, "text/csv", &project.trace.to_csv());
        });
    };
    let print = move |_| {
        let _ = window().print();
    };
    let words = words().bench();
    view! {
        <section>
            <h2>{words.take_away}</h2>
            <ul class="exports">
                <li>
                    <button
                        type="button"
                        class="chief"
                        data-test="export-svg"
                        disabled=move || !ready.get()
                        on:click=export_edge
                    >
                        {words.export_edge}
                    </button>
                    <span class="note">{words.export_edge_note}</span>
                </li>
                <li>
                    <button
                        type="button"
                        data-test="export-csv"
                        disabled=move || !any_points.get()
                        on:click=export_trace
                    >
                        {words.export_trace}
                    </button>
                    <span class="note">{words.export_trace_note}</span>
                </li>
                <li>
                    <button type="button" data-test="print" on:click=print>{words.print}</button>
                    <span class="note">{words.print_note}</span>
                </li>
            </ul>
            <When holds=move || !ready.get()>
                <p class="note">{words.nothing_to_export}</p>
            </When>
        </section>
    }
}
