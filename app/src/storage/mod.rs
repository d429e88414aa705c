//! Where the work is kept: in this browser, and in files. Nothing leaves the device.

pub mod class;
pub mod files;
pub mod kept;
pub mod shelf;

/// What this browser keeps for the page, as texts by their names. `None` where it keeps nothing, as in a private window.
pub fn local() -> Option<web_sys::Storage> {
    web_sys::window()?.local_storage().ok().flatten()
}
