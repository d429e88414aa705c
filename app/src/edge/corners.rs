use crate::controls::{Column, FigureTable, NumberField, Over, Row, Select, When};
use crate::number::{Within, figure};
use crate::results::use_results;
use crate::showing::Thing;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::edge::{CornerCut, CornerEnd, CornerWish};
use ribline_geometry::outline::Corner;
use ribline_geometry::reconcile::Traced;

const WIDTH: Within = Within::new(CornerCut::WIDTH.0, CornerCut::WIDTH.1);
const BEYOND: Within = Within::new(CornerCut::BEYOND.0, CornerCut::BEYOND.1);
/// In degrees.
const LEAN: Within = Within::new(-CornerWish::LEAN.to_degrees(), CornerWish::LEAN.to_degrees());

/// From the top down and left to right, as they lie in the drawing.
const ORDER: [Corner; 4] = [Corner::UpperLeft, Corner::UpperRight, Corner::LowerLeft, Corner::LowerRight];

/// Each corner on its own: how it is cut, and how it came out.
#[component]
pub fn CornerTable() -> impl IntoView {
    let results = use_results();
    let of_ribs = use_store().part(|project| project.wish.traced == Traced::Ribs);
    let rows = Memo::new(move |_| {
        let row = |end: &CornerEnd| row(end, of_ribs.get());
        results
            .with_shown(|shown| ORDER.map(|corner| row(&shown.edge.corners[corner.index()])).to_vec())
            .unwrap_or_default()
    });
    let words = words().edge();
    let columns = vec![
        Column::figures(words.up),
        Column::figures(words.across),
        Column::figures(words.width),
        Column::figures(words.beyond),
        Column::figures(words.outer_flank),
        Column::figures(words.waist_flank),
        Column::figures(words.direction),
    ];
    view! {
        <section>
            <h2>{words.corners}</h2>
            <FigureTable
                test="corner-table"
                name_title=words.corner
                columns
                over=Over { title: words.overhang, before: 5, columns: 2, after: 1 }
                rows
            />
            <p class="note">{words.corners_note}</p>
            <details>
                <summary>{words.cuts}</summary>
                {ORDER.map(|corner| view! { <CutFields corner /> }).collect_view()}
            </details>
        </section>
    }
}

/// Where no ribs were traced nothing is known of them.
fn row(end: &CornerEnd, of_ribs: bool) -> Row {
    let middle = end.outer.midpoint(end.waist);
    let of_the_ribs = |mm: f64| if of_ribs { figure(mm, 1) } else { "\u{2013}".to_owned() };
    Row {
        test: format!("corner-row-{}", end.at),
        name: (words().corner_short)(end.at),
        thing: Some(Thing::Corner(end.at)),
        second_ink: false,
        cells: vec![
            figure(middle.y, 1),
            figure(middle.x, 1),
            figure(end.width, 1),
            of_the_ribs(end.beyond_ribs),
            of_the_ribs(end.overhang_outer),
            of_the_ribs(end.overhang_waist),
            figure(end.heading.to_degrees(), 1),
        ],
    }
}

/// How one corner is cut: where it is so wide, or so far beyond the ribs; and how the cut leans.
#[component]
fn CutFields(corner: Corner) -> impl IntoView {
    let store = use_store();
    let results = use_results();
    let wish = store.part(move |project| project.wish.corners[corner.index()]);
    let by_width = Memo::new(move |_| matches!(wish.get().cut, CornerCut::Width(_)));
    let value = Signal::derive(move || match wish.get().cut {
        CornerCut::Width(mm) | CornerCut::Beyond(mm) => mm,
    });
    let lean = Signal::derive(move || (wish.get().lean.to_degrees() * 100.0).round() / 100.0);
    let words = words().edge();
    let kinds = vec![words.cut_width.to_string(), words.cut_beyond.to_string()];
    // The other way of saying where the cut is, for the cut as it is.
    let say_otherwise = move |kind: usize| {
        let end = results.with_shown_untracked(|shown| shown.edge.corners[corner.index()]);
        if let Some(end) = end {
            let cut =
                if kind == 0 { CornerCut::Width(end.width) } else { CornerCut::Beyond(end.beyond_ribs) };
            store.change(Change::Cut(corner, cut.nearest()));
            store.settle();
        }
    };
    view! {
        <fieldset class="cut">
            <legend>{(crate::words::words().corner)(corner)}</legend>
            <div class="row">
                <Select
                    label=words.cut_where
                    test=format!("cut-{corner}")
                    options=Signal::stored(kinds)
                    chosen=Signal::derive(move || Some(usize::from(!by_width.get())))
                    on_change=say_otherwise
                />
                <When holds=by_width>
                    <NumberField
                        label=words.cut_width_field
                        unit="mm"
                        test=format!("width-{corner}")
                        value=value
                        within=WIDTH
                        on_change=move |mm| store.change(Change::Cut(corner, CornerCut::Width(mm)))
                    />
                </When>
                <When holds=Signal::derive(move || !by_width.get())>
                    <NumberField
                        label=words.cut_beyond_field
                        unit="mm"
                        test=format!("beyond-{corner}")
                        value=value
                        within=BEYOND
                        on_change=move |mm| store.change(Change::Cut(corner, CornerCut::Beyond(mm)))
                    />
                </When>
                <NumberField
                    label=words.lean
                    unit="°"
                    test=format!("lean-{corner}")
                    value=lean
                    within=LEAN
                    decimals=1
                    on_change=move |degrees: f64| store.change(Change::Lean(corner, degrees.to_radians()))
                />
            </div>
        </fieldset>
    }
}
