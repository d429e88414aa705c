use super::view::use_view;
use crate::store::use_store;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::Side;

/// Which side is the bass side and which way the neck lies: always in view, however the board is moved.
/// A maker who cuts the mirror image has lost a plate.
#[component]
pub fn SideNames() -> impl IntoView {
    let view = use_view();
    let face = use_store().part(|project| project.face);
    let name = move |side: Side| (words().drawing.side)(face.get().string_side(side));
    let middle = move || view.size.get().height / 2.0;
    let right = move || view.size.get().width - 16.0;
    let left_turned = move || format!("translate(42 {:.1}) rotate(-90)", middle());
    let right_turned = move || format!("translate({:.1} {:.1}) rotate(90)", right(), middle());
    view! {
        <g class="side-names">
            <text data-test="side-left" transform=left_turned>{move || name(Side::Left)}</text>
            <text data-test="side-right" transform=right_turned>{move || name(Side::Right)}</text>
        </g>
    }
}
