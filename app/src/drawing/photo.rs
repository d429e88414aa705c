use super::view::{frame_affine, matrix};
use crate::results::use_results;
use crate::showing::{Layer, use_showing};
use crate::store::use_store;
use kurbo::Affine;
use leptos::prelude::*;
use ribline_geometry::trace::{HowTaken, TracedPoint};

/// The photo from which the line was taken, squared up, under the edge: so the maker sees the line on this very piece of wood.
#[component]
pub fn Photo() -> impl IntoView {
    let (store, results, showing) = (use_store(), use_results(), use_showing());
    // Another trace, as after a step back, is not of this photo.
    let of_photo = store.part(|project| {
        let on_photo = |point: &TracedPoint| matches!(point.taken, HowTaken::Followed | HowTaken::Tapped);
        project.trace.points.iter().any(on_photo)
    });
    let shown = showing.layer(Layer::Photo);
    let image = move || {
        let photo = showing.photo.get().filter(|_| shown.get() && of_photo.get())?;
        let frame = results.with_shown(|shown| shown.frame)?;
        let place = photo.extent;
        // Pictures have their rows from the top down.
        let turned = Affine::translate((place.x0, place.y1)) * Affine::FLIP_Y;
        Some(view! {
            <image
                class="under"
                data-test="photo-under"
                href=photo.address
                width=place.width().to_string()
                height=place.height().to_string()
                preserveAspectRatio="none"
                transform=matrix(frame_affine(frame).inverse() * turned)
            />
        })
    };
    view! { {image} }
}
