//! Where the work is kept: in this browser, and in files. Nothing leaves the device.

pub mod class;
pub mod files;
pub mod kept;
pub mod shelf;

use leptos::prelude::*;

/// What this browser keeps for the page, as texts by their names. `None` where it keeps nothing, as in a private window.
pub fn local() -> Option<web_sys::Storage> {
    web_sys::window()?.local_storage().ok().flatten()
}

/// A text on its way in: there again when its field is, and after the page was left and come back to.
pub fn half_typed(name: &'static str) -> RwSignal<String> {
    let storage = || web_sys::window()?.session_storage().ok().flatten();
    let text = RwSignal::new(storage().and_then(|s| s.get_item(name).ok().flatten()).unwrap_or_default());
    Effect::new(move |_| {
        if let Some(storage) = storage() {
            // Without room it is only there as long as its field is.
            let _ = text.with(|text| storage.set_item(name, text));
        }
    });
    text
}
