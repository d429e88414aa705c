use super::path::shape_path;
use crate::results::use_results;
use leptos::prelude::*;
use ribline_geometry::bench::mould::mould_shapes;
use ribline_geometry::bench::shapes::{Layer, Shapes};

/// The mould on the board: as it is sawn, with its blocks, holes and pins, and the outer face of the ribs.
#[component]
pub fn MouldDrawing() -> impl IntoView {
    let results = use_results();
    let shapes = Memo::new(move |_| {
        results.mould.with(|mould| mould.as_ref().map(|mould| mould_shapes(mould)).unwrap_or_default())
    });
    let on = move |layer: Layer| Memo::new(move |_| shapes.with(|shapes| path_of(shapes, layer)));
    // The holes are part of the outline's path, so that the wood is not drawn across them.
    let sawn = Memo::new(move |_| {
        shapes.with(|shapes| path_of(shapes, Layer::Mould) + &path_of(shapes, Layer::Holes))
    });
    let (blocks, ribs, pins) = (on(Layer::Recesses), on(Layer::Ribs), on(Layer::Pins));
    view! {
        <path class="mould-blocks" data-test="mould-blocks" d=blocks />
        <path class="mould-sawn" data-test="mould-outline" d=sawn />
        <path class="mould-ribs" data-test="mould-ribs" d=ribs />
        <path class="mould-pins" d=pins />
    }
}

fn path_of(shapes: &Shapes, layer: Layer) -> String {
    let mut d = String::new();
    shapes.on(layer).for_each(|path| shape_path(&mut d, path));
    d
}
