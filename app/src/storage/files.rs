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

/// Letters of a file name, all told.
const LONGEST_NAME: usize = 80;

/// A file name out of a title, what is in the file and the like: letters, figures and hyphens, so that every system takes it. Where
/// that is too long it is the first, the title, that is cut short: what the file is and which face is up tell files apart.
pub fn file_name(parts: &[&str], ending: &str) -> String {
    let (title, rest) =
        parts.split_first().map_or(("", String::new()), |(title, rest)| (*title, sifted(&rest.join(" "))));
    let room = LONGEST_NAME.saturating_sub(rest.chars().count() + 1);
    let title: String = sifted(title).chars().take(room).collect();
    let name = sifted(&format!("{title}-{rest}"));
    let name = if name.is_empty() { "ribline" } else { &name };
    format!("{name}.{ending}")
}

/// Only ASCII is put in lower case and sifted: the tables for all the world's letters would be a noticeable part of the page.
fn sifted(text: &str) -> String {
    let mut name = String::new();
    for c in text.chars() {
        if c.is_ascii_alphanumeric() || !c.is_ascii() {
            name.push(c.to_ascii_lowercase());
        } else if !name.ends_with('-') && !name.is_empty() {
            name.push('-');
        }
    }
    name.trim_matches('-').to_owned()
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

    #[test]
    fn a_long_title_never_costs_a_file_its_kind_or_its_face() {
        let title = "An evening class by the weir, the ribs of the third violin, that came off the mould with a proud waist";
        for (kind, face) in [("compass sheet", "Back, inside face up"), ("1 to 1", "Front, outside face up")]
        {
            let name = file_name(&[title, kind, face], "pdf");
            let end = format!(
                "-{}-{}.pdf",
                kind.replace(' ', "-"),
                face.to_lowercase().replace(", ", "-").replace(' ', "-")
            );
            assert!(name.starts_with("an-evening-class") && name.ends_with(&end), "{name}");
            assert!(name.chars().count() <= 84, "{name}");
        }
        assert_eq!(file_name(&[title], "json").chars().count(), LONGEST_NAME - 1 + ".json".len());
    }
}
