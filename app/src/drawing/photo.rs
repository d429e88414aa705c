use super::view::{frame_affine, matrix};
use crate::results::use_results;
use crate::showing::{Layer, use_showing};
use crate::store::use_store;
use kurbo::Affine;
use leptos::prelude::*;

/// The photo from which the line was taken, squared up, under the edge: so the maker sees the line on this very piece of wood.
#[component]
pub fn Photo() -> impl IntoView {
    let results = use_results();
    let photo = use_store().part(|project| project.photo.clone());
    let shown = use_showing().layer(Layer::Photo);
    let frame = Memo::new(move |_| results.with_shown(|shown| shown.frame));
    // Under an edge of before it would lie anywhere.
    let refused = Memo::new(move |_| results.refused());
    let image = move || {
        let photo = photo.get().filter(|_| shown.get() && !refused.get())?;
        let place = photo.extent();
        Some(view! {
            <image
                class="under"
                data-test="photo-under"
                href=photo.address()
                width=place.width().to_string()
                height=place.height().to_string()
                preserveAspectRatio="none"
                transform=move || {
                    // Pictures have their rows from the top down.
                    let turned = Affine::translate((place.x0, place.y1)) * Affine::FLIP_Y;
                    frame.get().map(|frame| matrix(frame_affine(frame).inverse() * turned))
                }
            />
        })
    };
    view! { {image} }
}
