//! What is left to say when the page has broken down.

use crate::storage::kept;
use crate::words::words;
use leptos::prelude::document;
use std::panic::PanicHookInfo;
use wasm_bindgen::JsValue;
use web_sys::js_sys::Error;

/// Says so on the page, and leaves the stored work as it last was.
pub fn say_when_stopped() {
    std::panic::set_hook(Box::new(report));
}

fn report(info: &PanicHookInfo) {
    kept::stop();
    web_sys::console::error_2(&JsValue::from_str(&info.to_string()), &Error::new("").into());
    let said = document().create_element("p").ok().and_then(|said| {
        said.set_class_name("stopped");
        said.set_attribute("role", "alert").ok()?;
        said.set_attribute("data-test", "stopped").ok()?;
        said.set_text_content(Some(words().stopped));
        Some(said)
    });
    if let (Some(body), Some(said)) = (document().body(), said) {
        let _ = body.append_child(&said);
    }
}
