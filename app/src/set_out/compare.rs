use crate::controls::{Column, FigureTable, Row, Select, When};
use crate::number::{difference, figure};
use crate::recipe::use_composing;
use crate::results::use_results;
use crate::storage::shelf::Kept;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::built_in::built_in;
use ribline_geometry::recipe::{Beside, Comparison, Recipe, Size, compare};

/// The recipe at hand beside another: both outlines in the drawing, and what differs as tables.
#[component]
pub fn Compare(kept: Memo<Vec<Kept>>) -> impl IntoView {
    let composing = use_composing();
    let now = use_results().recipe;
    let others = Memo::new(move |_| {
        let on_shelf = kept.get().into_iter().filter_map(|kept| kept.recipe.ok());
        on_shelf.chain(built_in()).collect::<Vec<Recipe>>()
    });
    let chosen = RwSignal::new(None::<usize>);
    let at_one_length = RwSignal::new(false);
    let other = Memo::new(move |_| {
        let other = others.with(|all| all.get(chosen.get()?).cloned())?;
        let length = now.with(|now| match now.measures.first().map(|measure| &measure.size) {
            Some(Size::Mm(mm)) => Some(*mm),
            _ => None,
        });
        Some(match length.filter(|_| at_one_length.get()) {
            Some(mm) => other.at_body_length(mm),
            None => other,
        })
    });
    Effect::new(move |_| composing.beside.set(other.get()));
    on_cleanup(move || composing.beside.set(None));
    let found = Memo::new(move |_| {
        other.with(|other| other.as_ref().map(|other| now.with(|now| compare(now, other))))
    });
    let options = move || {
        let none = std::iter::once(words().shelf().compare_none.to_string());
        none.chain(others.with(|all| all.iter().map(|recipe| recipe.title.clone()).collect::<Vec<_>>()))
            .collect()
    };
    let figures = move || found.with(|found| found.as_ref().map(figures).unwrap_or_default());
    let parts = move || {
        let both = |found: &Comparison| {
            other.with(|other| other.as_ref().map(|other| now.with(|now| differing(found, now, other))))
        };
        found.with(|found| found.as_ref().and_then(both).unwrap_or_default())
    };
    let title =
        move || other.with(|other| other.as_ref().map(|other| (words().shelf().legend)(&other.title)));
    let alike = move || found.with(|found| found.as_ref().is_some_and(Comparison::is_alike));
    let words = words().shelf();
    view! {
        <div class="compare" data-test="compare">
            <h2>{words.compare}</h2>
            <Select
                label=words.compare_with
                test="compare-with"
                options=Signal::derive(options)
                chosen=Signal::derive(move || Some(chosen.get().map_or(0, |place| place + 1)))
                on_change=move |place: usize| chosen.set(place.checked_sub(1))
            />
            <When holds=move || found.with(Option::is_some)>
                <label class="toggle">
                    <input
                        type="checkbox"
                        data-test="at-one-length"
                        prop:checked=at_one_length
                        on:change=move |event| at_one_length.set(event_target_checked(&event))
                    />
                    <span>{words.at_one_length}</span>
                </label>
                <p class="note dashed">{move || title()}</p>
                <FigureTable
                    test="compare-figures"
                    name_title=words.outline
                    columns=vec![Column::figures(words.present), Column::figures(words.other), Column::figures(words.difference)]
                    rows=Signal::derive(figures)
                />
                <When holds=alike>
                    <p class="note">{words.alike}</p>
                </When>
                <When holds=move || !alike()>
                    <FigureTable
                        test="compare-parts"
                        name_title=words.differing
                        columns=vec![Column::words(words.present), Column::words(words.other)]
                        rows=Signal::derive(parts)
                    />
                </When>
            </When>
        </div>
    }
}

fn figures(found: &Comparison) -> Vec<Row> {
    let only = words().shelf().only;
    let mm = |mm: Option<f64>| mm.map_or(only.to_string(), |mm| figure(mm, 1));
    let dimensions = found.dimensions.iter().map(|(dimension, Beside { one, other })| Row {
        name: (words().recipe().dimension_name)(Some(*dimension)).to_string(),
        cells: vec![
            mm(*one),
            mm(*other),
            one.zip(*other).map_or(only.to_string(), |(one, other)| difference(other - one, 1)),
        ],
        ..Row::default()
    });
    let count = |n: Option<usize>| n.map_or(only.to_string(), |n| n.to_string());
    let arcs = found.arcs.iter().map(|(bout, Beside { one, other })| Row {
        name: (words().shelf().arcs_of)(*bout),
        cells: vec![count(*one), count(*other), String::new()],
        ..Row::default()
    });
    dimensions.chain(arcs).collect()
}

/// Measures and steps that differ, each as its recipe says it.
fn differing(found: &Comparison, now: &Recipe, other: &Recipe) -> Vec<Row> {
    let only = || words().shelf().only.to_string();
    let row = |name: String, one: Option<String>, other: Option<String>| Row {
        name,
        cells: vec![one.unwrap_or_else(only), other.unwrap_or_else(only)],
        ..Row::default()
    };
    let measures = found.measures.iter().map(|Beside { one, other: counterpart }| {
        let said = |recipe: &Recipe, of: &Option<(ribline_geometry::recipe::Measure, Option<f64>)>| {
            of.as_ref().map(|(measure, mm)| (words().recipe().measure)(recipe, measure, *mm))
        };
        let name = one.as_ref().or(counterpart.as_ref()).map(|(measure, _)| measure.name.clone());
        row(name.unwrap_or_default(), said(now, one), said(other, counterpart))
    });
    let steps = found.steps.iter().map(|Beside { one, other: counterpart }| {
        let said = |recipe: &Recipe, of: &Option<(ribline_geometry::recipe::Step, Option<f64>)>| {
            of.as_ref().map(|(step, mm)| {
                let mm =
                    mm.map(|mm| format!(" ({})", (words().readout.mm)(&figure(mm, 1)))).unwrap_or_default();
                format!("{}{mm}", (words().recipe().step)(recipe, step))
            })
        };
        let name = one.as_ref().or(counterpart.as_ref()).map(|(step, _)| step.name.clone());
        row(name.unwrap_or_default(), said(now, one), said(other, counterpart))
    });
    measures.chain(steps).collect()
}
