//! The drawing: the board at any size, what lies on it, and the hand that moves it.

mod arcs;
mod bench;
mod board;
mod edge_line;
mod grid;
mod grips;
mod hand;
mod labels;
mod legend;
mod lit;
mod mould;
mod overhang_ribbon;
pub mod path;
mod photo;
mod placement;
mod raw_points;
mod readout;
mod recipe_drawing;
mod rib_line;
mod ribbon;
mod sides;
mod size;
mod tools;
mod view;

pub use bench::{BenchLines, CentreNumbers};
pub use mould::MouldDrawing;
pub use placement::Placement;
pub use recipe_drawing::RecipeDrawing;
pub use ribbon::Grade;
pub use size::follow_size;

use crate::recipe::use_composing;
use crate::results::use_results;
use crate::showing::use_showing;
use crate::store::use_store;
use board::Board;
use hand::Hand;
use legend::Legend;
use leptos::prelude::*;
use readout::Readout;
use tools::{LayerToggles, SheetTitle, ZoomButtons};
use view::View;

/// The drawing with what belongs beside it: its title, what is pointed at, the layers, the legend.
#[component]
pub fn Drawing() -> impl IntoView {
    let (store, results, showing) = (use_store(), use_results(), use_showing());
    let composing = use_composing();
    let view = View::new(results, showing, composing);
    let hand = Hand::new(store, results, showing, view, composing);
    provide_context(view);
    provide_context(hand);
    view! {
        <section class="sheet" aria-label=crate::words::words().drawing.title>
            <aside class="margin">
                <SheetTitle />
                <Readout />
                <ZoomButtons />
                <LayerToggles />
                <Legend />
            </aside>
            <Board view hand />
        </section>
    }
}
