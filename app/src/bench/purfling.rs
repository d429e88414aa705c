use super::field::{field, labelled};
use crate::controls::{NumberField, When};
use crate::number::Within;
use crate::store::{BenchChange, Change, use_store};
use crate::words::{sentence_of, words};
use leptos::prelude::*;
use ribline_geometry::bench::setting::BenchSetting;
use ribline_geometry::edge::purfling::{PurflingWish, purfling};
use ribline_geometry::outline::Corner;
use ribline_geometry::reconcile::report::Reconciled;
use std::sync::Arc;

/// Where the purfling lies, how it goes into the corners, and what came of it.
#[component]
pub fn PurflingPanel(present: Memo<Option<Arc<Reconciled>>>) -> impl IntoView {
    let store = use_store();
    let distance = store.part(|project| project.wish.purfling_distance);
    let asked = store.part(|project| project.bench_wish().purfling(&project.wish));
    let notices = Memo::new(move |_| {
        present.with(|present| {
            let result = present.as_ref()?;
            let drawn = purfling(&result.edge, &asked.get());
            Some(drawn.notices.iter().map(sentence_of).collect::<Vec<String>>())
        })
    });
    let told = move || {
        let notices = notices.get().unwrap_or_default();
        notices.into_iter().map(|text| view! { <li>{text}</li> }).collect_view()
    };
    let all_well = move || notices.with(|notices| notices.as_ref().is_some_and(Vec::is_empty));
    let [(least, most), ..] = PurflingWish::LIMITS;
    let words = &words().bench().purfling;
    view! {
        <section class="purfling" data-test="purfling-panel">
            <h2>{words.heading}</h2>
            <p class="note">{words.lead}</p>
            <div class="row">
                <NumberField
                    label=words.distance
                    unit="mm"
                    test="bench-purfling-distance"
                    value=distance
                    within=Within::new(least, most)
                    on_change=move |mm| store.change(Change::PurflingDistance(mm))
                />
                {field(BenchSetting::PurflingWidth, 2)}
            </div>
            <details class="settings" data-test="purfling-corners">
                <summary>{words.corners}</summary>
                <p class="note">{words.corners_note}</p>
                <div class="corner-fields">{Corner::ALL.map(corner_fields).into_iter().collect_view()}</div>
            </details>
            <ul class="remarks" aria-live="polite" data-test="purfling-notices">{told}</ul>
            <When holds=all_well>
                <p class="meaning" data-test="purfling-well">{words.all_well}</p>
            </When>
            <p class="note">{words.caution}</p>
        </section>
    }
}

fn corner_fields(corner: Corner) -> AnyView {
    let store = use_store();
    let value = store.part(move |project| {
        let own = project.bench_wish().purfling_corners[corner.index()].distance;
        own.unwrap_or(project.wish.purfling_distance)
    });
    let [(least, most), ..] = PurflingWish::LIMITS;
    let words = &words().bench().purfling;
    let lean = BenchSetting::PurflingLean(corner);
    view! {
        <fieldset class="settings">
            <legend>{(crate::words::words().corner_short)(corner)}</legend>
            <div class="row">
                <NumberField
                    label=words.corner_distance
                    unit="mm"
                    unit_hidden=true
                    test=format!("bench-purfling-at-{corner}")
                    value
                    within=Within::new(least, most)
                    on_change=move |mm| store.change(Change::Bench(BenchChange::PurflingAt(corner, mm)))
                />
                {labelled(words.corner_lean.to_owned(), lean, 2, true)}
            </div>
        </fieldset>
    }
    .into_any()
}
