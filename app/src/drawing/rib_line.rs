use super::path::{curve_to, line_to, move_to};
use crate::results::use_results;
use kurbo::Point;
use leptos::prelude::*;
use ribline_geometry::reconcile::report::OverhangSample;

/// A break in the line where neighbouring samples lie further apart than this, in mm: at the corners.
const LARGEST_GAP: f64 = 20.0;

/// The traced line evened out, as a fine scratch.
#[component]
pub fn RibLine() -> impl IntoView {
    let results = use_results();
    let d =
        Memo::new(move |_| results.with_shown(|shown| rib_line(&shown.overhang.samples)).unwrap_or_default());
    view! { <path class="rib-line" data-test="rib-line" d=d /> }
}

/// Parabolas from middle to middle of neighbouring samples: a line without bends at the samples themselves.
fn rib_line(samples: &[OverhangSample]) -> String {
    let mut d = String::new();
    let together =
        |a: &OverhangSample, b: &OverhangSample| a.run == b.run && a.at.distance(b.at) < LARGEST_GAP;
    for stretch in samples.chunk_by(together) {
        let ribs: Vec<Point> = stretch.iter().map(|s| s.at + s.overhang * s.inward).collect();
        let [first, between @ .., last] = ribs.as_slice() else { continue };
        move_to(&mut d, *first);
        for (rib, next) in between.iter().zip(ribs.iter().skip(2)) {
            curve_to(&mut d, *rib, rib.midpoint(*next));
        }
        line_to(&mut d, *last);
    }
    d
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
