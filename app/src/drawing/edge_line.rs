use super::path::{line_to, move_to, outline_path};
use super::view::use_view;
use crate::results::use_results;
use crate::showing::{Layer, use_showing};
use leptos::prelude::*;
use ribline_geometry::arc::{direction, left_of};
use ribline_geometry::outline::Run;

/// Half the length of the tick across the edge where two arcs meet, in pixels.
const TICK: f64 = 4.5;

/// The plate, its edge as one line, and a tick where one arc passes into the next.
#[component]
pub fn EdgeLine() -> impl IntoView {
    let results = use_results();
    let view = use_view();
    let inks = use_showing().layer(Layer::Inks);
    let edge =
        Memo::new(move |_| results.with_shown(|shown| outline_path(&shown.edge.outline)).unwrap_or_default());
    let scale = view.scale();
    let ticks = Memo::new(move |_| {
        let half = TICK / scale.get();
        results
            .with_shown(|shown| {
                let mut d = String::new();
                for run in Run::ALL {
                    let arcs = shown.edge.outline.run(run).arcs();
                    for arc in arcs.iter().take(arcs.len().saturating_sub(1)) {
                        let across = half * left_of(arc.heading(1.0));
                        move_to(&mut d, arc.at(1.0) - across);
                        line_to(&mut d, arc.at(1.0) + across);
                    }
                }
                d
            })
            .unwrap_or_default()
    });
    view! {
        <path class="plate" d=edge />
        <path class="edge" data-test="edge-path" d=edge />
        <path class="joints" class:hidden=move || !inks.get() d=ticks />
    }
}

/// The direction in which corners are drawn to point, a short line beyond each cut.
#[component]
pub fn CornerDirections() -> impl IntoView {
    let results = use_results();
    let scale = use_view().scale();
    let d = Memo::new(move |_| {
        let length = 14.0 / scale.get();
        results
            .with_shown(|shown| {
                let mut d = String::new();
                for corner in &shown.edge.corners {
                    let middle = corner.outer.midpoint(corner.waist);
                    move_to(&mut d, middle);
                    line_to(&mut d, middle + length * direction(corner.heading));
                }
                d
            })
            .unwrap_or_default()
    });
    view! { <path class="corner-direction" d=d aria-hidden="true" /> }
}
