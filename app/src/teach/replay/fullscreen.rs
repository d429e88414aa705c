//! The replay over the whole screen: the browser's own way where there is one, or else over all of the page.

use super::player::Player;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

pub fn enter(player: Player, element: Option<web_sys::Element>) {
    player.projecting.set(true);
    if let Some(element) = element {
        // Some browsers, and pages within pages, refuse: then it lies over the page.
        let _ = element.request_fullscreen();
    }
}

pub fn leave(player: Player) {
    player.projecting.set(false);
    if document().fullscreen_element().is_some() {
        document().exit_fullscreen();
    }
}

/// The browser may leave it by itself.
pub fn follow_browser(player: Player) {
    let left = window_event_listener_untyped("fullscreenchange", move |_| {
        if document().fullscreen_element().is_none() {
            player.projecting.set(false);
        }
    });
    on_cleanup(move || left.remove());
}

/// What the system asks for: a dark board or a light one.
pub fn is_dark() -> bool {
    let query = window().match_media("(prefers-color-scheme: dark)");
    query.ok().flatten().is_some_and(|query| query.matches())
}

pub fn as_element(node: impl JsCast) -> web_sys::Element {
    node.unchecked_into()
}
