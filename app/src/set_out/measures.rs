use crate::controls::{NumberField, Rows, Select, When};
use crate::number::{Within, figure};
use crate::results::use_results;
use crate::store::{Change, Store, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::{Measure, Size};
use std::sync::Arc;

/// From a small child's violin to a large viol or cello, in mm.
const BODY_LENGTH: Within = Within::new(180.0, 900.0);

/// The measures of the recipe, each with what it is a part of.
#[component]
pub fn Measures() -> impl IntoView {
    let store = use_store();
    let measures = store.part(|project| project.recipe.measures.clone());
    let places = Memo::new(move |_| (1..measures.with(Vec::len).max(1)).collect::<Vec<_>>());
    let length = Signal::derive(move || {
        measures.with(|all| match all.first().map(|m| &m.size) {
            Some(Size::Mm(mm)) => *mm,
            _ => 0.0,
        })
    });
    let words = &words().set_out;
    view! {
        <NumberField
            label=words.body_length
            unit="mm"
            test="body-length"
            value=length
            within=BODY_LENGTH
            decimals=1
            on_change=move |mm| store.change(Change::BodyLength(mm))
        />
        <p class="note">{words.body_length_note}</p>
        <table class="figures" data-test="measures">
            <caption>{words.measures}</caption>
            <thead>
                <tr>
                    <th scope="col">{words.measure}</th>
                    <th scope="col">{words.ratio}</th>
                    <th scope="col" class="number">"mm"</th>
                </tr>
            </thead>
            <tbody>
                <Rows
                    numbers=places
                    make=Arc::new(move |place| view! { <MeasureRow store measures place /> }.into_any())
                />
            </tbody>
        </table>
    }
}

#[component]
fn MeasureRow(store: Store, measures: Memo<Vec<Measure>>, place: usize) -> impl IntoView {
    let results = use_results();
    let of_measure = move |what: fn(&Measure) -> &String| {
        measures.with(|all| all.get(place).map(|m| what(m).clone()).unwrap_or_default())
    };
    let size = Memo::new(move |_| measures.with(|all| all.get(place).map(|m| m.size.clone())));
    let choices = Memo::new(move |_| {
        measures.with(|all| {
            let Some(measure) = all.get(place) else { return Vec::new() };
            let mut choices = measure.choices.clone();
            if let Size::Ratio { ratio, .. } = measure.size
                && !choices.contains(&ratio)
            {
                choices.push(ratio);
            }
            choices.sort_unstable_by(|a, b| a.value().total_cmp(&b.value()));
            choices
        })
    });
    let of = move || match size.get() {
        Some(Size::Ratio { of, .. }) => of,
        _ => String::new(),
    };
    let ratio = move || match size.get() {
        Some(Size::Ratio { ratio, .. }) => Some(ratio),
        _ => None,
    };
    let mm = move || {
        results
            .shown_construction
            .with(|c| c.as_ref().and_then(|c| c.lengths.get(place).copied()))
            .map(|mm| figure(mm, 1))
    };
    let choose = move |chosen: usize| {
        if let Some(ratio) = choices.with_untracked(|all| all.get(chosen).copied()) {
            store.change(Change::MeasureRatio(place, ratio));
        }
    };
    let names = move || choices.with(|all| all.iter().map(Ratio::to_string).collect::<Vec<_>>());
    view! {
        <tr>
            <th scope="row">{move || of_measure(|m| &m.title)}" "<span class="letter">{move || of_measure(|m| &m.name)}</span></th>
            <td class="ratio">
                <When holds=Signal::derive(move || choices.with(|all| all.len() > 1))>
                    <Select
                        label=(words().set_out.ratio_of)(&of_measure(|m| &m.title))
                        label_hidden=true
                        test=format!("ratio-{}", of_measure(|m| &m.name))
                        options=Signal::derive(names)
                        chosen=Signal::derive(move || {
                            ratio().and_then(|r| choices.with(|all| all.iter().position(|c| *c == r)))
                        })
                        on_change=choose
                    />
                </When>
                <When holds=Signal::derive(move || choices.with(|all| all.len() <= 1))>
                    <span>{move || ratio().map(|r| r.to_string())}</span>
                </When>
                " "
                <span class="letter">{move || of()}</span>
            </td>
            <td class="number">{move || mm()}</td>
        </tr>
    }
}
