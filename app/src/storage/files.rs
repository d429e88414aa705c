//! Files in and out.

use crate::controls::FilePicker;
use crate::parts::{Parts, use_parts};
use crate::showing::{Showing, use_showing};
use crate::store::{Store, use_store};
use crate::words::words;
use gloo::file::{Blob, ObjectUrl};
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use leptos::task::spawn_local;
use wasm_bindgen::JsCast;

/// How long the browser is given to fetch a download before its text is let go.
const FETCH_MS: u32 = 60_000;

/// A button that opens a project or a traced line from a file.
#[component]
pub fn OpenFile(label: &'static str) -> impl IntoView {
    let (store, showing, parts) = (use_store(), use_showing(), use_parts());
    let chosen = move |files: Vec<web_sys::File>| {
        for file in files {
            take(file, store, showing, parts);
        }
    };
    view! { <FilePicker label test="open-file" accept=".csv,.txt,.tsv,.json" on_chosen=chosen /> }
}

/// Anywhere on the page a file can be let fall.
pub fn accept_drops(store: Store, showing: Showing, parts: Parts, over: RwSignal<bool>) {
    let carries_files = |event: &web_sys::DragEvent| {
        event.data_transfer().is_some_and(|data| data.types().includes(&"Files".into(), 0))
    };
    let _ = window_event_listener(leptos::ev::dragover, move |event| {
        if carries_files(&event) {
            event.prevent_default();
            over.set(true);
        }
    });
    let _ = window_event_listener(leptos::ev::dragleave, move |event| {
        if event.related_target().is_none() {
            over.set(false);
        }
    });
    let _ = window_event_listener(leptos::ev::drop, move |event| {
        over.set(false);
        if !carries_files(&event) {
            return;
        }
        event.prevent_default();
        // A class takes them itself, and replaces nothing.
        if showing.class_is_open() {
            return;
        }
        let file = event.data_transfer().and_then(|data| data.files()).and_then(|files| files.get(0));
        if let Some(file) = file {
            take(file, store, showing, parts);
        }
    });
}

/// Takes a file into the project, or says why not.
fn take(file: web_sys::File, store: Store, showing: Showing, parts: Parts) {
    spawn_local(async move {
        match parts.reading().await {
            Some(reading) => (reading.file)(file, store, showing),
            None => {
                let trouble = (words().storage.not_taken)(&file.name(), words().part_missing);
                showing.file_trouble.set(Some(trouble));
            }
        }
    });
}

/// Hands a text to the browser to be saved as a file.
pub fn save(name: &str, kind: &str, text: &str) {
    save_bytes(name, kind, text.as_bytes());
}

/// Hands bytes to the browser to be saved as a file.
pub fn save_bytes(name: &str, kind: &str, bytes: &[u8]) {
    let url = ObjectUrl::from(Blob::new_with_options(bytes, Some(kind)));
    let anchor =
        document().create_element("a").ok().and_then(|a| a.dyn_into::<web_sys::HtmlAnchorElement>().ok());
    if let Some(anchor) = anchor {
        anchor.set_href(&url);
        anchor.set_download(name);
        anchor.click();
    }
    Timeout::new(FETCH_MS, move || drop(url)).forget();
}

/// A file name out of a title: letters, figures and hyphens, so that every system takes it. Only ASCII is put in lower
/// case and sifted: the tables for all the world's letters would be a noticeable part of the page.
pub fn file_name(parts: &[&str], ending: &str) -> String {
    let mut name = String::new();
    for c in parts.join(" ").chars() {
        if c.is_ascii_alphanumeric() || !c.is_ascii() {
            name.push(c.to_ascii_lowercase());
        } else if !name.ends_with('-') && !name.is_empty() {
            name.push('-');
        }
    }
    let name: String = name.trim_matches('-').chars().take(80).collect();
    let name = if name.is_empty() { "ribline" } else { &name };
    format!("{name}.{ending}")
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn a_title_becomes_a_file_name_that_every_system_takes() {
        assert_eq!(
            file_name(&["Class 3: \"Nº 7\"", "Back, inside face up"], "svg"),
            "class-3-nº-7-back-inside-face-up.svg"
        );
        assert_eq!(file_name(&["../"], "json"), "ribline.json");
    }
}
