//! Keys: those of the arrows and of a presenter's hand-held clicker go forwards and back, the space bar plays.

use super::fullscreen;
use super::player::Player;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

pub fn listen(player: Player) {
    let keys = window_event_listener(leptos::ev::keydown, move |event| {
        let for_another =
            event.ctrl_key() || event.meta_key() || event.alt_key() || event.default_prevented();
        if for_another || is_dialog_open() {
            return;
        }
        let target = event.target().and_then(|target| target.dyn_into::<web_sys::Element>().ok());
        let among = |css: &str| target.as_ref().is_some_and(|element| element.matches(css).unwrap_or(false));
        // A field, and a slider, have uses of their own for these keys; a button has one for the space bar.
        if among("input:not([type=checkbox]), select, textarea") {
            return;
        }
        match event.key().as_str() {
            "ArrowRight" | "ArrowDown" | "PageDown" => player.on(),
            "ArrowLeft" | "ArrowUp" | "PageUp" => player.back(),
            "Home" => player.first(),
            "End" => player.last(),
            " " if !among("button, summary, a, input") => player.play_or_pause(),
            // A browser that shows the page over the whole screen takes this key itself.
            "Escape" if player.projecting.get_untracked() => fullscreen::leave(player),
            _ => return,
        }
        event.prevent_default();
    });
    on_cleanup(move || keys.remove());
}

/// While something lies over the page, the page itself holds still.
pub fn is_dialog_open() -> bool {
    document().query_selector("dialog[open]").is_ok_and(|found| found.is_some())
}
