//! What is left to say when the page has broken down, or has not come whole.

use crate::storage::kept;
use crate::words::words;
use gloo::events::EventListener;
use leptos::prelude::document;
use std::panic::PanicHookInfo;
use wasm_bindgen::JsValue;
use web_sys::Element;
use web_sys::js_sys::Error;

/// Says so on the page, and leaves the stored work as it last was.
pub fn say_when_stopped() {
    std::panic::set_hook(Box::new(report));
}

fn report(info: &PanicHookInfo) {
    kept::stop();
    web_sys::console::error_2(&JsValue::from_str(&info.to_string()), &Error::new("").into());
    if let (Some(body), Some(said)) = (document().body(), element("p", "stopped", words().stopped)) {
        let _ = said.set_attribute("role", "alert");
        let _ = body.append_child(&said);
    }
}

/// Says that a part is missing without which the page cannot be opened, and tries again when asked to.
pub fn offer_again(again: impl FnOnce() + 'static) {
    let notice = element("div", "unopened", "");
    let said = element("p", "error-part", words().part_missing);
    let button = element("button", "fetch-again", words().fetch_again);
    let (Some(body), Some(notice), Some(said), Some(button)) = (document().body(), notice, said, button)
    else {
        return;
    };
    let _ = said.set_attribute("role", "alert");
    for (outer, inner) in [(&notice, &said), (&notice, &button), (body.as_ref(), &notice)] {
        let _ = outer.append_child(inner);
    }
    EventListener::once(&button, "click", move |_| {
        notice.remove();
        again();
    })
    .forget();
}

/// `test` is its class, too.
fn element(name: &str, test: &str, text: &str) -> Option<Element> {
    let element = document().create_element(name).ok()?;
    element.set_class_name(test);
    element.set_attribute("data-test", test).ok()?;
    element.set_text_content(Some(text));
    Some(element)
}
