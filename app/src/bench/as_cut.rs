use crate::controls::{Typing, When};
use crate::number::{Within, difference, figure};
use crate::store::{Change, use_store};
use crate::words::{sentence_of, words};
use leptos::prelude::*;
use ribline_geometry::bench::as_cut::{AsCut, AtStation, Station, as_cut, summary};
use ribline_geometry::reconcile::Traced;
use ribline_geometry::reconcile::report::Reconciled;
use std::sync::Arc;

/// The overhang as it came out, typed beside the plan.
#[component]
pub fn AsCutPanel(present: Memo<Option<Arc<Reconciled>>>) -> impl IntoView {
    let store = use_store();
    let measured = store.part(|project| project.as_cut.measured);
    let tolerance = store.part(|project| project.wish.tolerance);
    let not_ribs = store.part(|project| project.wish.traced != Traced::Ribs);
    let at = Memo::new(move |_| {
        // So that what is typed is seen at once, though no edge follows from it.
        measured.track();
        present.with(|present| {
            let result = present.as_ref()?;
            Some(store.project().with_untracked(|project| as_cut(project, result)))
        })
    });
    let told = move || {
        let at = at.get()?;
        summary(&at, tolerance.get()).map(|summary| sentence_of(&summary))
    };
    let words = &words().bench().as_cut;
    let rows = Station::ALL
        .map(|station| {
            let here = Memo::new(move |_| at.with(|at| at.as_ref().map(|at| at[station.index()])));
            view! { <Row station here tolerance /> }
        })
        .into_iter()
        .collect_view();
    view! {
        <section class="as-cut" data-test="as-cut-panel">
            <h2>{words.heading}</h2>
            <p class="note">{words.lead}</p>
            <When holds=not_ribs>
                <p class="note">{words.not_ribs}</p>
            </When>
            <table class="figures as-cut-table">
                <thead>
                    <tr>
                        <th scope="col" class="number">{words.number}</th>
                        <th scope="col">{words.place}</th>
                        <th scope="col" class="number">{words.planned}</th>
                        <th scope="col" class="number">{words.measured}</th>
                        <th scope="col" class="number">{words.difference}</th>
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
            <p class="meaning" role="status" data-test="as-cut-told">{told}</p>
            <p class="note">{words.caution}</p>
        </section>
    }
}

#[component]
fn Row(station: Station, here: Memo<Option<AtStation>>, tolerance: Memo<f64>) -> impl IntoView {
    let words = &words().bench().as_cut;
    let place = station.to_string();
    let by = move || here.get().and_then(|here| here.difference());
    let off = move || by().is_some_and(|by| by.abs() > tolerance.get());
    let key = station.name();
    let spoken = (words.measured_at)(&place);
    view! {
        <tr class:off=off>
            <td class="number">{station.number()}</td>
            <th scope="row">{place}</th>
            <td class="number">{move || here.get().map(|here| figure(here.planned, 1))}</td>
            <td class="number">
                <Measured station spoken />
            </td>
            <td class="number" data-test=format!("as-cut-off-{key}")>{move || by().map(|by| difference(by, 1))}</td>
        </tr>
    }
}

/// A figure that may also be left out.
#[component]
fn Measured(station: Station, spoken: String) -> impl IntoView {
    let store = use_store();
    let value = store.part(move |project| project.as_cut.measured[station.index()]);
    let within = Within::new(AsCut::WITHIN.0, AsCut::WITHIN.1);
    let typing = Typing::new(value.into(), within, true, move |mm| store.change(Change::AsCut(station, mm)));
    let key = station.name();
    let error_id = format!("error-as-cut-{key}");
    view! {
        <input
            type="text"
            inputmode="decimal"
            autocomplete="off"
            aria-label=spoken
            data-test=format!("field-as-cut-{key}")
            prop:value=move || typing.shown(2)
            aria-invalid=move || typing.is_wrong().to_string()
            aria-describedby=error_id.clone()
            on:input=move |event| typing.take(event_target_value(&event))
            on:blur=move |_| typing.finish()
        />
        <p class="trouble" id=error_id.clone() role="alert" data-test=error_id>{move || typing.trouble("mm")}</p>
    }
}
