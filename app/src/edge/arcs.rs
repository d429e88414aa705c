use crate::controls::{Column, FigureTable, Over, Row};
use crate::number::figure;
use crate::results::use_results;
use crate::showing::{ArcName, Thing};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::reconcile::report::EdgeArc;

/// Every arc of the edge: the compass setting, the ratio it is read as, where the compass point stands.
#[component]
pub fn ArcTable() -> impl IntoView {
    let results = use_results();
    let rows = Memo::new(move |_| {
        results.with_shown(|shown| shown.arcs.iter().map(row).collect::<Vec<_>>()).unwrap_or_default()
    });
    let words = words().edge();
    let origin = move || match results.with_shown(|shown| shown.pins.lower.is_some()) {
        Some(false) => words.from_bottom,
        _ => words.from_pin,
    };
    let columns = vec![
        Column::figures(words.radius),
        Column::figures(words.sd),
        Column::words(words.ratio),
        Column::figures(words.chance),
        Column::figures(words.up),
        Column::figures(words.across),
        Column::figures(words.sweep),
    ];
    view! {
        <section>
            <h2>{words.arcs}</h2>
            <p class="note">{move || origin()} " " {words.chance_note}</p>
            <FigureTable
                test="arc-table"
                name_title=words.arc
                columns
                over=Over { title: words.centre, before: 5, columns: 2, after: 1 }
                rows
            />
        </section>
    }
}

fn row(arc: &EdgeArc) -> Row {
    let words = words();
    let name = ArcName { run: arc.run, piece: arc.piece };
    let reading = arc.reading.as_ref();
    let ratio = reading.map(|r| if r.held { r.to_string() } else { (words.edge().near)(&r.to_string()) });
    let chance = reading.map(|r| (words.edge().chance_figure)(r.chance));
    Row {
        test: "arc-row".into(),
        name: (words.readout.arc_name)(&arc.name(), arc.run.side),
        thing: Some(Thing::Arc(name)),
        second_ink: name.in_second_ink(),
        cells: vec![
            figure(arc.arc.radius, 1),
            figure(arc.radius_sd, 1),
            ratio.unwrap_or_default(),
            chance.unwrap_or_default(),
            figure(arc.arc.centre.y, 1),
            figure(arc.arc.centre.x, 1),
            figure(arc.arc.sweep.abs().to_degrees(), 1),
        ],
    }
}
