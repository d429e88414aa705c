use crate::controls::{Column, FigureTable, Row};
use crate::number::{difference_shown, figure};
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::reconcile::report::FoundMeasure;

/// The length and widths as these ribs have them, against the recipe.
#[component]
pub fn MeasureTable() -> impl IntoView {
    let results = use_results();
    let rows = Memo::new(move |_| {
        results.with_shown(|shown| shown.measures.iter().map(row).collect::<Vec<_>>()).unwrap_or_default()
    });
    let words = words().edge();
    let columns = vec![
        Column::figures(words.found),
        Column::figures(words.sd),
        Column::figures(words.planned),
        Column::figures(words.difference),
        Column::words(words.ratio),
        Column::figures(words.chance),
    ];
    view! {
        <section>
            <h2>{words.measures}</h2>
            <FigureTable test="measure-table" name_title=words.measure columns rows />
        </section>
    }
}

fn row(measure: &FoundMeasure) -> Row {
    let reading = measure.reading.as_ref();
    Row {
        test: format!("measure-row-{}", measure.name),
        name: format!("{}\u{00A0}{}", measure.title, measure.name),
        cells: vec![
            figure(measure.found, 1),
            figure(measure.sd, 2),
            figure(measure.planned, 1),
            difference_shown(measure.found, measure.planned, 1),
            reading.map(ToString::to_string).unwrap_or_default(),
            reading.map(|r| (words().edge().chance_figure)(r.chance)).unwrap_or_default(),
        ],
        ..Row::default()
    }
}
