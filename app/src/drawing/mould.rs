use super::path::shape_path;
use crate::set_out::use_moulded;
use leptos::prelude::*;
use ribline_geometry::bench::mould::mould_shapes;
use ribline_geometry::bench::shapes::Layer;

/// The mould on the board: as it is sawn, with its blocks, holes and pins, and the outer face of the ribs. Where none can be made
/// the last one stays.
#[component]
pub fn MouldDrawing() -> impl IntoView {
    let mould = use_moulded();
    let on = move |layers: &'static [Layer]| {
        Memo::new(move |before: Option<&String>| {
            mould.with(|mould| {
                let Ok(mould) = mould else { return before.cloned().unwrap_or_default() };
                let mut d = String::new();
                let shapes = mould_shapes(mould);
                layers.iter().flat_map(|layer| shapes.on(*layer)).for_each(|path| shape_path(&mut d, path));
                d
            })
        })
    };
    let (blocks, ribs) = (on(&[Layer::Recesses]), on(&[Layer::Ribs]));
    let (pins, centreline) = (on(&[Layer::Pins]), on(&[Layer::Centreline]));
    // The holes are part of the outline's path, so that the wood is not drawn across them.
    let sawn = on(&[Layer::Mould, Layer::Holes]);
    view! {
        <path class="mould-blocks" data-test="mould-blocks" d=blocks />
        <path class="mould-sawn" data-test="mould-outline" d=sawn />
        <path class="mould-ribs" data-test="mould-ribs" d=ribs />
        <path class="centreline" d=centreline />
        <path class="mould-pins" d=pins />
    }
}
