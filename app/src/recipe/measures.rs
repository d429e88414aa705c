use super::composing::{Open, use_composing};
use super::item::{Item, Sentence};
use super::part::{Looseness, PartFoot, PartTroubles, place_is};
use super::size_field::{OfferThis, Offered, SizeField};
use super::worked::use_faults;
use crate::controls::{NumberField, Rows, Select, TextField, When, press};
use crate::number::Within;
use crate::results::use_results;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::{Dimension, Edit, Part, Size, SizeOf};
use std::sync::Arc;

/// From a small child's violin to a large viol or cello, in mm.
const BODY_LENGTH: Within = Within::new(180.0, 900.0);

/// The body length, and what is a part of it.
#[component]
pub fn Measures() -> impl IntoView {
    let store = use_store();
    let (composing, results) = (use_composing(), use_results());
    let everything_wrong = use_faults();
    let recipe = use_results().recipe;
    let sentences = Memo::new(move |_| {
        let lengths = results.drawn.with(|drawn| drawn.lengths.clone());
        recipe.with(|recipe| {
            let all = recipe.measures.iter().enumerate();
            all.map(|(k, measure)| Sentence {
                mark: measure.name.clone(),
                text: (words().recipe().measure)(recipe, measure, lengths.get(k).copied().flatten()),
                faulty: everything_wrong
                    .with(|faults| faults.iter().any(|fault| place_is(fault, recipe, Part::Measure(k)))),
                ..Sentence::default()
            })
            .collect::<Vec<_>>()
        })
    });
    let numbers = Memo::new(move |_| (0..sentences.with(Vec::len)).collect::<Vec<_>>());
    let length = Signal::derive(move || {
        recipe.with(|recipe| match recipe.measures.first().map(|m| &m.size) {
            Some(Size::Mm(mm)) => *mm,
            _ => 0.0,
        })
    });
    let make = Arc::new(move |k| {
        view! { <Item open=Open::Measure(k) sentences at=k editor=measure_editor foot=offered /> }.into_any()
    });
    view! {
        <section class="recipe-part">
            <NumberField
                label=words().set_out().body_length
                unit="mm"
                test="body-length"
                value=length
                within=BODY_LENGTH
                decimals=1
                on_change=move |mm| store.change(Change::BodyLength(mm))
            />
            <p class="note">{words().set_out().body_length_note}</p>
            <h2>{words().recipe().measures}</h2>
            <ul class="items measures" data-test="measures">
                <Rows numbers make />
            </ul>
            {press("add-measure", words().recipe().add_measure, move || composing.add_measure()).class("add").view()}
        </section>
    }
}

fn offered(k: usize) -> AnyView {
    view! { <Offered of=SizeOf::Measure(k) /> }.into_any()
}

fn measure_editor(k: usize) -> AnyView {
    let composing = use_composing();
    let recipe = use_results().recipe;
    let part = Part::Measure(k);
    let title = move || recipe.with(|r| r.measures.get(k).map(|m| m.title.clone()).unwrap_or_default());
    let letter = move || recipe.with(|r| r.measures.get(k).map(|m| m.name.clone()).unwrap_or_default());
    let dimensions = || std::iter::once(None).chain(Dimension::ALL.map(Some));
    let dimension = move || {
        let now = recipe.with(|r| r.measures.get(k).and_then(|m| m.dimension));
        dimensions().position(|dimension| dimension == now)
    };
    let names = move || {
        dimensions().map(|d| (words().recipe().dimension_name)(d).to_string()).collect::<Vec<String>>()
    };
    let words = words().recipe();
    view! {
        <PartTroubles part />
        <When holds=move || k == 0>
            <p class="note">{words.body_length_first}</p>
        </When>
        <When holds=move || k != 0>
            <SizeField of=SizeOf::Measure(k) label=words.ratio />
            <OfferThis of=SizeOf::Measure(k) />
        </When>
        <div class="pair">
            <TextField
                label=words.measure_title
                test="measure-title"
                value=Signal::derive(title)
                on_change=move |text| {
                    composing.edit(Edit::MeasureTitle(k, text));
                }
            />
            <TextField
                label=words.letter
                test="part-name"
                longest=40
                value=Signal::derive(letter)
                on_change=move |name: String| {
                    composing.edit(Edit::Rename(part, name.trim().to_string()));
                }
            />
            <Select
                label=words.dimension
                test="dimension"
                options=Signal::derive(names)
                chosen=Signal::derive(dimension)
                on_change=move |place: usize| {
                    composing.edit(Edit::Dimension(k, dimensions().nth(place).flatten()));
                }
            />
            <Looseness part />
        </div>
        <PartFoot part />
    }
    .into_any()
}
