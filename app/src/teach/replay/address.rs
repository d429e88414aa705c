//! The frame in the page's address, `#teach/12`, so that a teacher can link to it.

use super::player::Player;
use crate::showing::{Showing, Step};
use leptos::prelude::*;
use ribline_geometry::share::address::{link_in, step_in};

fn in_address() -> Option<usize> {
    let hash = window().location().hash().ok()?;
    let number: usize = step_in(&hash)?.strip_prefix(Step::Teach.key())?.strip_prefix('/')?.parse().ok()?;
    number.checked_sub(1)
}

/// Shows the frame of the address, and keeps the address to the frame shown. It takes no place in the browser's way
/// back: that goes from one step of the job to another.
pub fn keep_frame_in_address(player: Player, showing: Showing) {
    if let Some(frame) = in_address() {
        player.show(frame);
    }
    let keep = move |at: usize| {
        // A link that has just arrived stays in the address until it has been looked at.
        let holds_link = window().location().hash().is_ok_and(|hash| link_in(&hash).is_some());
        if showing.step.get_untracked() == Step::Teach
            && !holds_link
            && let Ok(history) = window().history()
        {
            let address = format!("#{}/{}", Step::Teach.key(), at + 1);
            // Refused only for a page without an address of its own.
            let _ = history.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&address));
        }
    };
    Effect::new(move |_| {
        let at = player.at.get();
        // After the step itself has been put in the address.
        request_animation_frame(move || keep(at));
    });
    let followed = window_event_listener(leptos::ev::hashchange, move |_| match in_address() {
        Some(frame) if frame != player.at.get_untracked() => player.show(frame),
        Some(_) => {}
        None => keep(player.at.get_untracked()),
    });
    on_cleanup(move || followed.remove());
}
