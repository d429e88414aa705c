//! Ribs: the traced line, how it was taken, and which face of which plate it is for.

mod bring_in;
mod kind;
mod paste;
mod split;
mod table;
mod ways;

use crate::words::words;
use bring_in::BringIn;
use kind::{FaceAndPlate, WhatWasTraced};
use leptos::prelude::*;
use split::StraightenAndSplit;
use table::TraceTable;
use ways::Ways;

#[component]
pub fn Ribs() -> impl IntoView {
    view! {
        <p class="lead">{words().ribs().lead}</p>
        <FaceAndPlate />
        <WhatWasTraced />
        <Ways />
        <BringIn />
        <StraightenAndSplit />
        <TraceTable />
    }
}
