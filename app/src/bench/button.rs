use super::field::field;
use crate::controls::{Choice, When, place_of};
use crate::store::{BenchChange, Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::bench::setting::{BenchSetting, ButtonKind};
use ribline_geometry::edge::button::button;
use ribline_geometry::outline::Plate;
use ribline_geometry::reconcile::report::Reconciled;
use std::sync::Arc;

/// The back's button: its form, its size, and the neck's line it stands on.
#[component]
pub fn ButtonPanel(present: Memo<Option<Arc<Reconciled>>>) -> impl IntoView {
    let store = use_store();
    let kind = store.part(|project| project.bench_wish().button_kind());
    let front = store.part(|project| project.face.plate == Plate::Front);
    let asked = store.part(|project| project.bench_wish().button_on(project.face.plate));
    let there = Memo::new(move |_| kind.get() != ButtonKind::None);
    let straight = Memo::new(move |_| kind.get() == ButtonKind::StraightFlanks);
    let trouble = move || {
        let wish = asked.get()?;
        present
            .with(|present| button(&present.as_ref()?.edge.outline, &wish).err().map(|why| why.to_string()))
    };
    let words = &words().bench().button;
    let [none, half_round, flanks] = words.kinds;
    view! {
        <section class="button-panel" data-test="button-panel">
            <h2>{words.heading}</h2>
            <When holds=front>
                <p class="note" data-test="button-front">{words.front}</p>
            </When>
            <Choice
                legend=words.kind
                test="button-kind"
                options=vec![("none", none), ("half-round", half_round), ("straight", flanks)]
                chosen=Signal::derive(move || place_of(&ButtonKind::ALL, kind.get()))
                on_change=Callback::new(move |place: usize| {
                    store.change(Change::Bench(BenchChange::Button(ButtonKind::ALL[place])));
                })
            />
            <When holds=there>
                <div class="row">
                    {field(BenchSetting::ButtonWidth, 1)}
                    {field(BenchSetting::ButtonHeight, 1)}
                    <When holds=straight>{field(BenchSetting::ButtonFlank, 1)}</When>
                    {field(BenchSetting::ButtonRoot, 1)}
                </div>
                {field(BenchSetting::NeckOff, 2)}
                <p class="note">{words.neck_note}</p>
            </When>
            <p class="trouble" role="alert" data-test="error-button">{trouble}</p>
        </section>
    }
}
