use crate::controls::{NumberField, Select, When};
use crate::number::{Within, figure};
use crate::results::use_results;
use crate::showing::{Thing, use_showing};
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::edge::CornerCut;
use ribline_geometry::outline::Corner;
use ribline_geometry::reconcile::report::Reconciled;

/// From a blunt point to broader than any corner, in mm.
const WIDTH: Within = Within::new(1.0, 40.0);
const BEYOND: Within = Within::new(-10.0, 30.0);
/// More lean than this and the cut runs along the corner rather than across it, in degrees.
const LEAN: Within = Within::new(-45.0, 45.0);

/// From the top down and left to right, as they lie in the drawing.
const ORDER: [Corner; 4] = [Corner::UpperLeft, Corner::UpperRight, Corner::LowerLeft, Corner::LowerRight];

/// Each corner on its own: how it is cut, and how it came out.
#[component]
pub fn CornerTable() -> impl IntoView {
    let words = &words().edge;
    view! {
        <section>
            <h2>{words.corners}</h2>
            <div class="wide-table">
                <table class="figures" data-test="corner-table">
                    <thead>
                        <tr>
                            <td class="over" colspan="5"></td>
                            <th class="over" scope="colgroup" colspan="2">{words.overhang}</th>
                            <td class="over"></td>
                        </tr>
                        <tr>
                            <th scope="col">{words.corner}</th>
                            <th scope="col" class="number">{words.up}</th>
                            <th scope="col" class="number">{words.across}</th>
                            <th scope="col" class="number">{words.width}</th>
                            <th scope="col" class="number">{words.beyond}</th>
                            <th scope="col" class="number">{words.outer_flank}</th>
                            <th scope="col" class="number">{words.waist_flank}</th>
                            <th scope="col" class="number">{words.direction}</th>
                        </tr>
                    </thead>
                    <tbody>{ORDER.map(|corner| view! { <CornerRow corner /> }).collect_view()}</tbody>
                </table>
            </div>
            <p class="note">{words.corners_note}</p>
            <details>
                <summary>{words.cuts}</summary>
                {ORDER.map(|corner| view! { <CutFields corner /> }).collect_view()}
            </details>
        </section>
    }
}

#[component]
fn CornerRow(corner: Corner) -> impl IntoView {
    let results = use_results();
    let showing = use_showing();
    let thing = Thing::Corner(corner);
    let pointed = showing.is_pointed(thing);
    let of = move |what: fn(&ribline_geometry::edge::CornerEnd) -> f64| {
        results.with_shown(|shown: &Reconciled| figure(what(&shown.edge.corners[corner.index()]), 1))
    };
    view! {
        <tr
            class:pointed=move || pointed.get()
            data-test=format!("corner-row-{corner}")
            on:pointerenter=move |_| showing.hover(thing)
            on:pointerleave=move |_| showing.leave(thing)
        >
            <th scope="row">
                <button
                    type="button"
                    class="row-name"
                    on:click=move |_| showing.pick(Some(thing))
                    on:focus=move |_| showing.pick(Some(thing))
                >
                    {(words().corner_short)(corner)}
                </button>
            </th>
            <td class="number">{move || of(|end| end.outer.midpoint(end.waist).y)}</td>
            <td class="number">{move || of(|end| end.outer.midpoint(end.waist).x)}</td>
            <td class="number">{move || of(|end| end.width)}</td>
            <td class="number">{move || of(|end| end.beyond_ribs)}</td>
            <td class="number">{move || of(|end| end.overhang_outer)}</td>
            <td class="number">{move || of(|end| end.overhang_waist)}</td>
            <td class="number">{move || of(|end| end.heading.to_degrees())}</td>
        </tr>
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
    let words = &words().edge;
    let kinds = vec![words.cut_width.to_string(), words.cut_beyond.to_string()];
    // The other way of saying where the cut is, for the cut as it is.
    let say_otherwise = move |kind: usize| {
        let end = results.with_shown_untracked(|shown| shown.edge.corners[corner.index()]);
        let tenth = |mm: f64| (mm * 10.0).round() / 10.0;
        if let Some(end) = end {
            store.change(Change::Cut(
                corner,
                if kind == 0 {
                    CornerCut::Width(tenth(end.width))
                } else {
                    CornerCut::Beyond(tenth(end.beyond_ribs))
                },
            ));
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
