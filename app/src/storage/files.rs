//! Files in and out.

use crate::arrival::Arrival;
use crate::parts::{Parts, use_parts};
use crate::reading::Taken;
use crate::showing::{Showing, use_showing};
use crate::store::{Store, use_store};
use crate::words::words;
use gloo::file::callbacks::{FileReader, read_as_bytes};
use gloo::file::{Blob, File, ObjectUrl};
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::project::PHOTO_LIMIT;
use wasm_bindgen::JsCast;

/// A trace or project is some 20 kB, and its photo not longer than [`PHOTO_LIMIT`]; a file larger than that is something else.
const LARGEST_FILE: u64 = PHOTO_LIMIT as u64 + (2 << 20);
/// How long the browser is given to fetch a download before its text is let go.
const FETCH_MS: u32 = 60_000;

/// A button that opens a project or a traced line from a file.
#[component]
pub fn OpenFile(label: &'static str) -> impl IntoView {
    let (store, showing, parts) = (use_store(), use_showing(), use_parts());
    let reading = StoredValue::new_local(None::<FileReader>);
    let input = NodeRef::<leptos::html::Input>::new();
    let chosen = move |_| {
        let Some(input) = input.get_untracked() else { return };
        if let Some(file) = input.files().and_then(|files| files.get(0)) {
            reading.set_value(take(file, store, showing, parts));
        }
        // So that the same file can be chosen again after it was put right.
        input.set_value("");
    };
    view! {
        <label class="button">
            {label}
            <input
                node_ref=input
                class="unseen"
                type="file"
                accept=".csv,.txt,.tsv,.json"
                data-test="open-file"
                on:change=chosen
            />
        </label>
    }
}

/// Anywhere on the page a file can be let fall.
pub fn accept_drops(store: Store, showing: Showing, parts: Parts, over: RwSignal<bool>) {
    let reading = StoredValue::new_local(None::<FileReader>);
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
            reading.set_value(take(file, store, showing, parts));
        }
    });
}

/// Reads a file and takes it into the project, or says why not. The reader has to be kept until it is done.
fn take(file: web_sys::File, store: Store, showing: Showing, parts: Parts) -> Option<FileReader> {
    let file = File::from(file);
    let name = file.name();
    if file.size() > LARGEST_FILE {
        showing.file_trouble.set(Some((words().storage.too_large)(&name)));
        return None;
    }
    Some(read_as_bytes(&file, move |bytes| {
        let text = bytes
            .map_err(|_| (words().storage.unreadable)(&name))
            .and_then(|bytes| text_of(bytes).ok_or_else(|| (words().storage.no_text)(&name)));
        match text {
            Ok(text) => spawn_local(take_text(name.clone(), text, store, showing, parts)),
            Err(trouble) => showing.file_trouble.set(Some(trouble)),
        }
    }))
}

async fn take_text(name: String, text: String, store: Store, showing: Showing, parts: Parts) {
    let taken = match parts.reading().await {
        Some(reading) => (reading.file)(&text),
        None => Err(words().part_missing.to_string()),
    };
    match taken {
        Ok(Taken::Change(change)) => {
            showing.file_trouble.set(None);
            showing.pick(None);
            store.change(*change);
        }
        // A recipe replaces nothing before it has been looked at.
        Ok(Taken::Recipe(recipe)) => {
            showing.file_trouble.set(None);
            showing.arrival.set(Some(Arrival::in_file(*recipe, name)));
        }
        Err(why) => showing.file_trouble.set(Some((words().storage.not_taken)(&name, &why))),
    }
}

/// The text of a file that has one: pictures and the like have bytes that no text has.
fn text_of(bytes: Vec<u8>) -> Option<String> {
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Some(ribline_geometry::trace::text_of(&bytes));
    }
    let plain = |byte: &u8| *byte >= 0x20 || matches!(byte, b'\n' | b'\r' | b'\t');
    bytes.iter().all(plain).then(|| ribline_geometry::trace::text_of(&bytes))
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

    #[test]
    fn a_picture_has_no_text() {
        assert_eq!(text_of(vec![0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A, 0]), None);
        assert_eq!(text_of(b"x_mm,y_mm\n".to_vec()).as_deref(), Some("x_mm,y_mm\n"));
    }
}
