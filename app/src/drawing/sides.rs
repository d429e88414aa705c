use super::view::use_view;
use crate::store::use_store;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::Side;

/// Which side is the bass side: always in view in the upper corners, where the plate is narrowest, however the board is
/// moved. A maker who cuts the mirror image has lost a plate.
#[component]
pub fn SideNames() -> impl IntoView {
    let view = use_view();
    let face = use_store().part(|project| project.face);
    let name = move |side: Side| (words().drawing.side)(face.get().string_side(side));
    let right = move || format!("{:.0}", view.size.get().width - 12.0);
    view! {
        <g class="side-names">
            <text class="left" data-test="side-left" x="38" y="24">{move || name(Side::Left)}</text>
            <text class="right" data-test="side-right" x=right y="24">{move || name(Side::Right)}</text>
        </g>
    }
}
