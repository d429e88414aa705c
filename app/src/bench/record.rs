use super::print::{MakePdf, Printed};
use crate::controls::{LongText, TextField};
use crate::store::{Change, RecordText, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::reconcile::report::Reconciled;
use std::sync::Arc;

/// What only the maker can tell for the record, and the record.
#[component]
pub fn RecordPanel(present: Memo<Option<Arc<Reconciled>>>) -> impl IntoView {
    let store = use_store();
    let why = store.part(|project| project.record.why.clone());
    let words = &words().bench().record;
    let dates = [
        (
            "record-traced-on",
            words.traced_on,
            RecordText::TracedOn,
            store.part(|p| p.record.traced_on.clone()),
        ),
        ("record-cut-on", words.cut_on, RecordText::CutOn, store.part(|p| p.record.cut_on.clone())),
    ];
    let dates = dates.map(|(test, label, text, value)| {
        view! {
            <TextField
                label
                test
                value
                longest=60
                as_typed=true
                on_change=move |said| store.change(Change::Record(text, said))
            />
        }
    });
    let nothing = Signal::derive(move || present.with(Option::is_none));
    view! {
        <section class="record" data-test="record-panel">
            <h2>{words.heading}</h2>
            <p class="note">{words.lead}</p>
            <div class="row">{dates.into_iter().collect_view()}</div>
            <LongText
                label=words.why
                test="record-why"
                rows=3
                value=why
                on_change=move |said| store.change(Change::Record(RecordText::Why, said))
            />
            <MakePdf of=Signal::stored(Printed::Record) disabled=nothing />
        </section>
    }
}
