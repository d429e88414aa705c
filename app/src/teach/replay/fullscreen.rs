//! The replay over the whole screen: the browser's own way where there is one, or else over all of the page.

use super::player::Player;
use leptos::prelude::*;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::js_sys::{Function, Promise, Reflect};

pub fn enter(player: Player, element: Option<web_sys::Element>) {
    player.projecting.set(true);
    if let Some(element) = element {
        ask_for_full_screen(&element);
    }
}

/// Some browsers have no such thing, and some, or pages within pages, refuse: then it lies over the page, and there is
/// nothing to say about it.
fn ask_for_full_screen(element: &web_sys::Element) {
    let asked = Reflect::get(element, &JsValue::from_str("requestFullscreen"));
    let asked =
        asked.ok().and_then(|ask| ask.dyn_into::<Function>().ok()).and_then(|ask| ask.call0(element).ok());
    if let Some(answer) = asked.and_then(|answer| answer.dyn_into::<Promise>().ok()) {
        let unheard: Function = Closure::once_into_js(|_: JsValue| ()).unchecked_into();
        if let Ok(catch) = Reflect::get(&answer, &JsValue::from_str("catch"))
            && let Ok(catch) = catch.dyn_into::<Function>()
        {
            let _ = catch.call1(&answer, &unheard);
        }
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
