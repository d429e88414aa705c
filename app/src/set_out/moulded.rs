use crate::recipe::use_construction;
use crate::showing::once_for_the_page;
use crate::store::use_store;
use leptos::prelude::*;
use ribline_geometry::mould::{Mould, mould};
use std::sync::Arc;

/// The mould for the recipe, or the sentence that says why there is none.
pub type Moulded = Memo<Result<Arc<Mould>, String>>;

#[derive(Clone, Copy)]
struct Made(Moulded);

/// Worked once for all who look at it, and only while somebody does.
pub fn use_moulded() -> Moulded {
    let Made(moulded) = once_for_the_page(|| {
        let (store, construction) = (use_store(), use_construction());
        // Worked again at any change while the panel is open: that is quick, and a form to tell changes by would be a
        // larger download.
        Made(Memo::new(move |_| {
            let drawn = construction.with(Clone::clone)?;
            store.project().with(|project| {
                mould(&project.recipe, &drawn, project.wish.overhang, &project.mould_wish())
                    .map(Arc::new)
                    .map_err(|error| error.to_string())
            })
        }))
    });
    moulded
}
