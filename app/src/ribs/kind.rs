use crate::controls::{Choice, NumberField, When, place_of};
use crate::number::Within;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::{FaceUp, Plate, Side};
use ribline_geometry::reconcile::Traced;

const PLATES: [Plate; 2] = [Plate::Back, Plate::Front];
const FACES: [FaceUp; 2] = [FaceUp::Inside, FaceUp::Outside];
const TRACED: [Traced; 3] = [Traced::Ribs, Traced::Purfling, Traced::Edge];

/// Edge to the middle of the purfling: from a line on the edge to further in than anyone lays it, in mm.
const PURFLING: Within = Within::new(0.0, 15.0);

/// Which plate, and which of its faces looks at the maker.
#[component]
pub fn FaceAndPlate() -> impl IntoView {
    let store = use_store();
    let face = store.part(|project| project.face);
    let words = words().ribs();
    let sides = move || {
        let name = |side| (crate::words::words().drawing.side)(face.get().string_side(side));
        (words.sides)(name(Side::Left), name(Side::Right))
    };
    view! {
        <div class="pair">
            <Choice
                legend=words.plate
                test="plate"
                options=vec![("back", words.back), ("front", words.front)]
                chosen=Signal::derive(move || place_of(&PLATES, face.get().plate))
                on_change=Callback::new(move |place: usize| store.change(Change::Plate(PLATES[place])))
            />
            <Choice
                legend=words.face_up
                test="face"
                options=vec![("inside", words.inside), ("outside", words.outside)]
                chosen=Signal::derive(move || place_of(&FACES, face.get().up))
                on_change=Callback::new(move |place: usize| store.change(Change::FaceUp(FACES[place])))
            />
        </div>
        <p class="note" data-test="sides">{move || sides()}</p>
    }
}

#[component]
pub fn WhatWasTraced() -> impl IntoView {
    let store = use_store();
    let traced = store.part(|project| project.wish.traced);
    let purfling = store.part(|project| project.wish.purfling_distance);
    let words = words().ribs();
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
                ("ribs", words.traced_ribs),
                ("purfling", words.traced_purfling),
                ("edge", words.traced_edge),
            ]
            chosen=Signal::derive(move || place_of(&TRACED, traced.get()))
            on_change=Callback::new(move |place: usize| store.change(Change::Traced(TRACED[place])))
            meaning=Signal::derive(meaning)
        />
        <When holds=move || traced.get() == Traced::Purfling>
            <NumberField
                label=words.purfling_distance
                unit="mm"
                test="purfling-distance"
                value=purfling
                within=PURFLING
                on_change=move |mm| store.change(Change::PurflingDistance(mm))
            />
        </When>
    }
}
