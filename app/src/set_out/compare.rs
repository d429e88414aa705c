use crate::controls::{Column, FigureTable, Row, Select, When};
use crate::drawing::path::outline_path;
use crate::number::{difference_shown, figure};
use crate::recipe::use_composing;
use crate::results::use_results;
use crate::storage::shelf::Kept;
use crate::words::words;
use kurbo::Vec2;
use leptos::prelude::*;
use ribline_geometry::outline::Outline;
use ribline_geometry::recipe::built_in::built_in;
use ribline_geometry::recipe::{Beside, Comparison, Recipe, Size, compare};
use std::f64::consts::PI;

/// Left free around the outlines, mm.
const ROOM: f64 = 4.0;

/// Where a recipe to compare is found; it stays chosen whatever comes to the shelf or leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Found {
    Kept(u32),
    BuiltIn(usize),
}

/// Two recipes beside one another, the one at hand or any of the others: both outlines, and what differs as tables.
#[component]
pub fn Compare(kept: Memo<Vec<Kept>>) -> impl IntoView {
    let composing = use_composing();
    let now = use_results().recipe;
    let all = Memo::new(move |_| {
        let on_shelf =
            kept.get().into_iter().filter_map(|kept| Some((Found::Kept(kept.number), kept.recipe.ok()?)));
        let built_in = built_in().into_iter().enumerate().map(|(k, recipe)| (Found::BuiltIn(k), recipe));
        on_shelf.chain(built_in).collect::<Vec<(Found, Recipe)>>()
    });
    let (first, second) = (RwSignal::new(None::<Found>), RwSignal::new(None::<Found>));
    let at_one_length = RwSignal::new(false);
    let recipe_of = move |found: Found| {
        all.with(|all| all.iter().find(|(other, _)| *other == found).map(|(_, recipe)| recipe.clone()))
    };
    let one = Memo::new(move |_| first.get().and_then(recipe_of).unwrap_or_else(|| now.get()));
    let other = Memo::new(move |_| {
        let other = recipe_of(second.get()?)?;
        let length = one.with(|one| match one.measures.first().map(|measure| &measure.size) {
            Some(Size::Mm(mm)) => Some(*mm),
            _ => None,
        });
        Some(match length.filter(|_| at_one_length.get()) {
            Some(mm) => other.at_body_length(mm),
            None => other,
        })
    });
    // The board shows the recipe at hand, and beside it what that is compared with.
    let on_board = move || other.get().filter(|_| first.get().and_then(recipe_of).is_none());
    Effect::new(move |_| composing.beside.set(on_board()));
    on_cleanup(move || composing.beside.set(None));
    let found = Memo::new(move |_| {
        other.with(|other| other.as_ref().map(|other| one.with(|one| compare(one, other))))
    });
    let options = move |before: String| {
        let titles = all.with(|all| all.iter().map(|(_, recipe)| recipe.title.clone()).collect::<Vec<_>>());
        std::iter::once(before).chain(titles).collect::<Vec<_>>()
    };
    let firsts = move || options(now.with(|now| (words().shelf().at_hand)(&now.title)));
    let seconds = move || options(words().shelf().compare_none.to_string());
    let place = move |chosen: RwSignal<Option<Found>>| {
        let place = all.with(|all| all.iter().position(|(found, _)| Some(*found) == chosen.get()));
        Some(place.map_or(0, |place| place + 1))
    };
    let choose = move |chosen: RwSignal<Option<Found>>, place: usize| {
        let found = place.checked_sub(1).and_then(|place| all.with_untracked(|all| Some(all.get(place)?.0)));
        chosen.set(found);
    };
    let figures = move || found.with(|found| found.as_ref().map(figures).unwrap_or_default());
    let parts = move || {
        let both = |found: &Comparison| {
            other.with(|other| other.as_ref().map(|other| one.with(|one| differing(found, one, other))))
        };
        found.with(|found| found.as_ref().and_then(both).unwrap_or_default())
    };
    let picture = move || other.with(|other| one.with(|one| overlaid(one, other.as_ref()?)));
    let solid = move || one.with(|one| (words().shelf().solid)(&one.title));
    let dashed =
        move || other.with(|other| other.as_ref().map(|other| (words().shelf().legend)(&other.title)));
    let alike = move || found.with(|found| found.as_ref().is_some_and(Comparison::is_alike));
    let words = words().shelf();
    view! {
        <div class="compare" data-test="compare">
            <h2>{words.compare}</h2>
            <Select
                label=words.compare_one
                test="compare-one"
                options=Signal::derive(firsts)
                chosen=Signal::derive(move || place(first))
                on_change=move |place: usize| choose(first, place)
            />
            <Select
                label=words.compare_with
                test="compare-with"
                options=Signal::derive(seconds)
                chosen=Signal::derive(move || place(second))
                on_change=move |place: usize| choose(second, place)
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
                {move || picture()}
                <p class="note solid">{move || solid()}</p>
                <p class="note dashed">{move || dashed()}</p>
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

/// Both outlines over one another to one scale, neck end up, the bottom in one place.
fn overlaid(one: &Recipe, other: &Recipe) -> Option<AnyView> {
    let drawn = [one, other].map(|recipe| recipe.evaluate_partial().whole);
    let [first, second] = drawn.each_ref().map(|whole| whole.as_ref().map(|whole| &whole.outline));
    let bounds =
        [first, second].into_iter().flatten().map(|outline| outline.bounds()).reduce(|a, b| a.union(b))?;
    let bounds = bounds.inflate(ROOM, ROOM);
    // y runs up in the outline and down on the screen; turned about the middle both are the same.
    let path = |outline: Option<&Outline>| {
        let turned = outline.map(|outline| outline.moved(PI, Vec2::new(0.0, bounds.y0 + bounds.y1)));
        turned.map(|outline| outline_path(&outline)).unwrap_or_default()
    };
    let view_box = format!("{:.1} {:.1} {:.1} {:.1}", bounds.x0, bounds.y0, bounds.width(), bounds.height());
    let picture = view! {
        <svg class="compared" viewBox=view_box role="img" aria-label=words().shelf().overlaid data-test="compare-outlines">
            <path d=path(first) />
            <path class="second" d=path(second) />
        </svg>
    };
    Some(picture.into_any())
}

fn figures(found: &Comparison) -> Vec<Row> {
    let only = words().shelf().only;
    let mm = |mm: Option<f64>| mm.map_or(only.to_string(), |mm| figure(mm, 1));
    let dimensions = found.dimensions.iter().map(|(dimension, Beside { one, other })| Row {
        name: (words().recipe().dimension_name)(Some(*dimension)).to_string(),
        cells: vec![
            mm(*one),
            mm(*other),
            one.zip(*other).map_or(only.to_string(), |(one, other)| difference_shown(other, one, 1)),
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
fn differing(found: &Comparison, first: &Recipe, other: &Recipe) -> Vec<Row> {
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
        row(name.unwrap_or_default(), said(first, one), said(other, counterpart))
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
        row(name.unwrap_or_default(), said(first, one), said(other, counterpart))
    });
    measures.chain(steps).collect()
}
