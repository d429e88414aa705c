use super::composing::use_composing;
use crate::controls::{LongText, NumberField, Select, TextField};
use crate::number::Within;
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::{Customary, Edit, Instrument, Purpose, Recipe};

/// Figures that do not grow with the body: which, its name for tests, and from where to where it can be.
type Custom = (fn(&mut Customary) -> &mut f64, &'static str, Within);

const CUSTOMS: [Custom; 5] = [
    (|c| &mut c.overhang, "custom-overhang", Within::new(0.0, 15.0)),
    (|c| &mut c.overhang_tolerance, "custom-tolerance", Within::new(0.0, 5.0)),
    (|c| &mut c.corner_width, "custom-corner", Within::new(0.5, 25.0)),
    (|c| &mut c.purfling_distance, "custom-purfling", Within::new(0.0, 15.0)),
    (|c| &mut c.purfling_width, "custom-purfling-width", Within::new(0.0, 10.0)),
];

/// What the recipe is called, who made it, what it draws, and what is customary.
#[component]
pub fn About() -> impl IntoView {
    let composing = use_composing();
    let recipe = use_results().recipe;
    let text =
        move |of: fn(&Recipe) -> &String| Signal::derive(move || recipe.with(|recipe| of(recipe).clone()));
    let edit = move |edit: Edit| {
        composing.edit(edit);
    };
    let customs = CUSTOMS
        .into_iter()
        .zip(words().recipe().customary_names)
        .map(|((of, test, within), label)| {
            let value = move || {
                let mut customary = recipe.with(|recipe| recipe.customary);
                *of(&mut customary)
            };
            let change = move |mm: f64| {
                let mut customary = recipe.with_untracked(|recipe| recipe.customary);
                *of(&mut customary) = mm;
                edit(Edit::Customary(customary));
            };
            view! { <NumberField label unit="mm" test value=Signal::derive(value) within on_change=change /> }
                .into_any()
        })
        .collect_view();
    const INSTRUMENTS: [Instrument; 4] =
        [Instrument::Violin, Instrument::Viola, Instrument::Cello, Instrument::Viol];
    const PURPOSES: [Purpose; 2] = [Purpose::PlateEdge, Purpose::Mould];
    let instruments = || INSTRUMENTS.map(|i| (words().recipe().instrument_name)(i).to_string()).to_vec();
    let purposes = || PURPOSES.map(|p| (words().recipe().purpose_name)(p).to_string()).to_vec();
    let words = words().recipe();
    view! {
        <details class="about" data-test="about">
            <summary>{words.about}</summary>
            <TextField label=words.title test="recipe-title" as_typed=true value=text(|r| &r.title) on_change=move |text| edit(Edit::Title(text)) />
            <TextField label=words.author test="recipe-author" as_typed=true value=text(|r| &r.author) on_change=move |text| edit(Edit::Author(text)) />
            <LongText
                label=words.note
                test="recipe-note"
                rows=3
                class="prose"
                longest=4000
                value=text(|r| &r.note)
                on_change=move |text| edit(Edit::Note(text))
            />
            <div class="pair">
                <Select
                    label=crate::words::words().set_out().instrument
                    test="recipe-instrument"
                    options=Signal::derive(instruments)
                    chosen=Signal::derive(move || recipe.with(|r| INSTRUMENTS.iter().position(|i| *i == r.instrument)))
                    on_change=move |place: usize| {
                        if let Some(instrument) = INSTRUMENTS.get(place) {
                            edit(Edit::Instrument(*instrument));
                        }
                    }
                />
                <Select
                    label=words.purpose
                    test="recipe-purpose"
                    options=Signal::derive(purposes)
                    chosen=Signal::derive(move || recipe.with(|r| PURPOSES.iter().position(|p| *p == r.purpose)))
                    on_change=move |place: usize| {
                        if let Some(purpose) = PURPOSES.get(place) {
                            edit(Edit::Purpose(*purpose));
                        }
                    }
                />
            </div>
            <fieldset class="customs">
                <legend>{words.customary}</legend>
                <div class="pair">{customs}</div>
                <p class="note">{words.customary_note}</p>
            </fieldset>
        </details>
    }
}
