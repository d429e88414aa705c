use super::path::{line_to, move_to};
use crate::results::use_results;
use leptos::prelude::*;

/// A break in the line where neighbouring samples lie further apart than this, in mm: at the corners.
const LARGEST_GAP: f64 = 20.0;

/// The traced line evened out, as a fine scratch; and the centreline.
#[component]
pub fn RibLine() -> impl IntoView {
    let results = use_results();
    let d = Memo::new(move |_| {
        results
            .with_shown(|shown| {
                let mut d = String::new();
                let mut last = None;
                for sample in &shown.overhang.samples {
                    let rib = sample.at + sample.overhang * sample.inward;
                    let goes_on =
                        last.is_some_and(|(run, at)| run == sample.run && rib.distance(at) < LARGEST_GAP);
                    if goes_on {
                        line_to(&mut d, rib)
                    } else {
                        move_to(&mut d, rib)
                    }
                    last = Some((sample.run, rib));
                }
                d
            })
            .unwrap_or_default()
    });
    view! { <path class="rib-line" data-test="rib-line" d=d /> }
}

#[component]
pub fn Centreline() -> impl IntoView {
    let results = use_results();
    let d = Memo::new(move |_| {
        let bounds = results.with_shown(|shown| shown.edge.outline.bounds()).unwrap_or_default();
        format!("M0 {:.2}V{:.2}", bounds.y0 - 12.0, bounds.y1 + 12.0)
    });
    view! { <path class="centreline" d=d /> }
}
