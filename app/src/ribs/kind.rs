use crate::controls::{Choice, NumberField};
use crate::number::Within;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::{FaceUp, Plate, Side};
use ribline_geometry::reconcile::Traced;

/// Edge to the middle of the purfling: from a line on the edge to further in than anyone lays it, in mm.
const PURFLING: Within = Within::new(0.0, 15.0);

/// Which plate, and which of its faces looks at the maker.
#[component]
pub fn FaceAndPlate() -> impl IntoView {
    let store = use_store();
    let face = store.part(|project| project.face);
    let words = &words().ribs;
    let sides = move || {
        let name = |side| (crate::words::words().drawing.side)(face.get().string_side(side));
        (words.sides)(name(Side::Left), name(Side::Right))
    };
    view! {
        <div class="pair">
            <Choice
                legend=words.plate
                test="plate"
                options=vec![(Plate::Back, "back", words.back), (Plate::Front, "front", words.front)]
                value=Signal::derive(move || face.get().plate)
                on_change=move |plate| store.change(Change::Plate(plate))
            />
            <Choice
                legend=words.face_up
                test="face"
                options=vec![
                    (FaceUp::Inside, "inside", words.inside),
                    (FaceUp::Outside, "outside", words.outside),
                ]
                value=Signal::derive(move || face.get().up)
                on_change=move |up| store.change(Change::FaceUp(up))
            />
        </div>
        <p class="note" data-test="sides">{sides}</p>
    }
}

#[component]
pub fn WhatWasTraced() -> impl IntoView {
    let store = use_store();
    let traced = store.part(|project| project.wish.traced);
    let purfling = store.part(|project| project.wish.purfling_distance);
    let words = &words().ribs;
    let meaning = move || match traced.get() {
        Traced::Ribs => words.ribs_meaning,
        Traced::Purfling => words.purfling_meaning,
        Traced::Edge => words.edge_meaning,
    };
    view! {
        <Choice
            legend=words.traced
            test="traced"
            options=vec![
                (Traced::Ribs, "ribs", words.traced_ribs),
                (Traced::Purfling, "purfling", words.traced_purfling),
                (Traced::Edge, "edge", words.traced_edge),
            ]
            value=traced
            on_change=move |traced| store.change(Change::Traced(traced))
            meaning=Signal::derive(meaning)
        />
        <Show when=move || traced.get() == Traced::Purfling>
            <NumberField
                label=words.purfling_distance
                unit="mm"
                test="purfling-distance"
                value=purfling
                within=PURFLING
                on_change=move |mm| store.change(Change::PurflingDistance(mm))
            />
        </Show>
    }
}
