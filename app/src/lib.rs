//! The Ribline page: what a maker sees and does. It computes no geometry; that is `ribline-geometry`'s.
//!
//! One folder for each step of the job (`set_out`, `ribs`, `edge`, `bench`, `teach`), one for reading and changing a `recipe`,
//! one for what has come from others (`arrival`), one for the `drawing`, one for `storage`, one for the [`worker`] beside
//! the page.
//! The [`store`] holds the project and is the only way to change it; [`results`] follow from it; views read both.
//! Every word on the screen comes from [`words`].
//!
//! Tests find things by `data-test`, which stays when words and layout change:
//!
//! | where | names |
//! |---|---|
//! | strip | `step-set-out` `step-ribs` `step-edge` `step-bench` `step-teach`, `undo`, `redo` |
//! | drawing | `drawing` (the SVG), `sheet-title`, `face`, `body-length`, `side-left`, `side-right`, `edge-path`, `rib-line`, `ribbon`, `overhang-figures`, `recipe-outline`, `raw-points`, `arc` (with `data-run`, `data-piece` from 1), `traced-point` (with `data-line`), `pin-lower`, `pin-upper`, `corner` (with the id `corner-lower-right` and so on), `readout`, `zoom-in`, `zoom-out`, `zoom-all`, `layer-grid` `layer-inks` `layer-centres` `layer-ribbon` `layer-points` `layer-photo`, `photo-under` |
//! | fields | `field-NAME` with its trouble in `error-NAME`: `overhang-upper` `overhang-waist` `overhang-lower`, `tolerance`, `purfling-distance`, `body-length`, `instrument`, `recipe`, `recipe-title` `recipe-author` `recipe-note`, `cut-CORNER`, `width-CORNER`, `beyond-CORNER`, `lean-CORNER`, `title`, `notes` |
//! | choices | `plate-back` `plate-front`, `face-inside` `face-outside`, `traced-ribs` `traced-purfling` `traced-edge`, `finish-ratio` `finish-fitted` `finish-recipe`, `shared-radii`, `extra-arcs` |
//! | controls | `step-panel-STEP` |
//! | recipe | `measures`, `steps`, `runs` (lists); `recipe-PART` and its button `sentence-PART` for the parts `measure-1` `step-1` `run-lower` and so on; in an open part `size-typed` `size-over-more` `size-over-less` `size-under-more` `size-under-less` (also `up-…`, `out-…`), `field-size-of`, `choice`, `field-part-name`, `field-placed`, `field-slot-point` `field-slot-cross` `field-slot-one` `field-slot-other` with `tap-slot-…`, `lies-neck` `lies-bottom` `lies-out` `lies-in`, `move-earlier`, `move-later`, `remove-part`, `doomed`, `fault`, `would-do`, `refusal`, `tap-circles`, `run-without`; `add-measure` `add-point` `add-circle`; in the drawing `lit-line`, `lit-mark`, `two-centres`, `recipe-circles`, `beside-outline` |
//! | shelf | `shelf`, `shelf-keep`, `begin-copy`, `begin-bare`, `save-recipe`, `kept`, `take-recipe`, `duplicate-recipe`, `remove-recipe`, `put-back`, `field-compare-with`, `compare-figures`, `compare-parts` |
//! | ribs | `sides`, `take-photo` `take-offsets` `take-drawing` `take-before` (the rest of these in `capture`), `open-file`, `start-afresh`, `show-example`, `paste-area`, `paste-apply`, `paste-taken`, `error-paste`, `run-counts`, `trace-table`, `row-INDEX-run`, `row-INDEX-x`, `row-INDEX-y` (each with its trouble in `error-row-…`), `remove-point`, `entry-run`, `entry-x`, `entry-y`, `entry-add`, `error-entry` |
//! | edge | `report`, `warnings`, `show-point`, `drop-point`, `arc-table`, `arc-row`, `corner-table`, `corner-row-CORNER`, `measure-table` |
//! | teach | `share`, `field-share-title`, `field-share-author`, `share-fault`, `share-trace`, `share-result`, `share-trace-refused`, `share-link`, `share-copy`, `share-length`, `share-told`, `error-share`, `share-symbol`, `share-symbol-note`, `share-large`, `large-symbol`, `symbol-print`, `symbol-close` |
//! | what has arrived | `arrival`, `arrival-title`, `arrival-author`, `arrival-instrument`, `arrival-draws`, `arrival-length`, `arrival-steps`, `arrival-carries`, `arrival-version`, `arrival-note`, `arrival-outline`, `arrival-fault`, `arrival-work`, `arrival-open`, `arrival-class`, `arrival-keep`, `arrival-leave` |
//! | class | `teach-construction` `teach-class`, `class`, `class-title`, `class-paste`, `class-take`, `class-files`, `class-present`, `class-invent`, `class-told`, `class-opening`, `error-class`, `class-list`, `class-result`, `field-class-name-NUMBER`, `class-remove`, `class-put-back`, `class-refused`, `class-stranger`, `class-way-over` `class-way-beside` `class-way-table`, `field-class-alignment`, `field-class-times`, `class-overlaid`, `class-line`, `class-mean`, `class-beside`, `class-picture`, `class-table`, `class-table-row`, `class-most-different`, `class-save`, `class-nothing` |
//! | bench | `print-panel`: `print-of-…`, `bench-plate-back` `bench-plate-front`, `print-edge` and the like, `print-part-…`, `print-on-…`, `overlap-and-margin`, `print-map` (with `data-sheets`), `print-sheets`, `print-statements`, `error-print`, `correction`, `as-printed`, `make-check-page` and `make-pdf` with `…-told`, `…-save`, `…-open`, `error-…`; `compass`: `compass-step-…`, `compass-effect`, `strike-table`, `strike-row`, `strike-setting`, `cut-table`, `print-compass`, `compass-csv`, `compass-inches`, `compass-paper`; `purfling-panel`, `purfling-corners`, `purfling-notices`, `purfling-well`; `button-panel`, `button-kind-…`, `error-button`; `files`: `file-LINES-ENDING` such as `file-edge-dxf`, `error-files`, `export-csv`; `save-project`, `caution`; in the drawing `purfling-line`, `purfling-channel`, `button-line`, `centre-numbers`; its fields `field-bench-…` |
//! | teach | `replay`, `replay-drawing` (with `data-complete`), `replay-number`, `replay-name`, `replay-sentence`, `replay-how`, `replay-taken`, `replay-first` `replay-back` `replay-play` `replay-on` `replay-last`, `replay-pace`, `replay-follow`, `replay-full`, `replay-dark`, `replay-lengths-own` `replay-lengths-ribs`, `replay-step`, `replay-print`, `replay-sequence` |
//! | whole page | `error-file`, `error-link`, `opening-link`, `error-reconcile`, `error-recipe`, `error-keeping`, `error-part`, `fetch-again`, `error-damaged`, `save-damaged`, `forget-damaged`, `stopped` |

mod arrival;
mod bench;
pub mod capture;
mod controls;
mod drawing;
mod edge;
pub mod example;
pub mod number;
mod page;
pub mod parts;
pub mod reading;
mod recipe;
mod refusal;
pub mod results;
mod ribs;
mod set_out;
pub mod showing;
mod stopped;
pub mod storage;
pub mod store;
mod strip;
mod teach;
mod today;
pub mod words;
pub mod worker;

use leptos::prelude::*;
use page::Page;
use parts::{Fetch, Parts};
use recipe::Composing;
use results::Results;
use ribline_geometry::project::Project;
use showing::Showing;
use storage::kept::{self, Found};
use store::Store;
use wasm_bindgen_futures::spawn_local;

/// Opens the page with the last work, or with the example. Parts that the first drawing does not need are had by `fetch`.
pub fn start(fetch: Fetch) {
    stopped::say_when_stopped();
    if kept::is_there() {
        spawn_local(resume(fetch));
    } else {
        open(fetch, example::example(), None);
    }
}

/// Opens the page with the work that this browser keeps; without what reads it, nothing is opened that could be written over it.
async fn resume(fetch: Fetch) {
    match (fetch.reading)().await {
        Some(reading) => match kept::find(reading) {
            Found::Work { project, trouble } => open(fetch, *project, trouble),
            Found::Nothing | Found::Damaged { .. } => open(fetch, example::example(), None),
        },
        None => stopped::offer_again(move || spawn_local(resume(fetch))),
    }
}

fn open(fetch: Fetch, project: Project, trouble: Option<String>) {
    let showing = Showing::new();
    showing.damaged.set(kept::damaged());
    showing.keeping_trouble.set(trouble);
    let store = Store::new(project);
    mount_to_body(move || {
        provide_context(store);
        provide_context(showing);
        showing::provide_page_owner();
        let results = Results::of(store);
        provide_context(results);
        let parts = Parts::new(fetch);
        provide_context(parts);
        provide_context(Composing::new(store, results, showing));
        kept::keep(store, showing);
        storage::shelf::follow_other_pages();
        showing.keep_step_in_address();
        arrival::follow_address(showing, parts);
        view! { <Page /> }
    });
}
