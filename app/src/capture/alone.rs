//! What is open at the bench covers the page: until it is closed, nothing of the page can be come upon with the Tab key, pressed or
//! read out.

use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

/// Puts all that stands beside `place` out of reach and the focus on what is open; when that is closed, both are put back.
pub fn alone(place: &Element, open: NodeRef<leptos::html::Section>) {
    // Looked at first: what is out of reach loses the focus.
    let focused = document().active_element().and_then(|element| element.dyn_into::<HtmlElement>().ok());
    let covered: Vec<Element> = beside(place).filter(|element| !element.has_attribute(INERT)).collect();
    covered.iter().for_each(|element| {
        let _ = element.set_attribute(INERT, "");
    });
    let before = StoredValue::new_local((covered, focused));
    on_cleanup(move || {
        before.try_update_value(|(covered, focused)| {
            covered.iter().for_each(|element| {
                let _ = element.remove_attribute(INERT);
            });
            if let Some(focused) = focused {
                let _ = focused.focus();
            }
        });
    });
    Effect::new(move |_| {
        if let Some(open) = open.get() {
            let _ = open.focus();
        }
    });
}

const INERT: &str = "inert";

fn beside(place: &Element) -> impl Iterator<Item = Element> {
    let first = place.parent_element().and_then(|parent| parent.first_element_child());
    let all = std::iter::successors(first, Element::next_element_sibling);
    let place = place.clone();
    all.filter(move |element| *element != place)
}
