//! The last work, kept in this browser and there again when the page is next opened.

use crate::showing::Showing;
use crate::store::Store;
use crate::words::words;
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use ribline_geometry::project::Project;
use std::sync::atomic::{AtomicBool, Ordering};

const WORK: &str = "ribline.work";
/// Work that could not be read is set aside here and stays until the maker throws it away.
const DAMAGED: &str = "ribline.work.damaged";
/// Long enough that a drag is not written at each frame, short enough that nothing typed is lost.
const DELAY_MS: u32 = 350;

/// Set once the page has broken down: what is kept by then is the last that is known to be good.
static STOPPED: AtomicBool = AtomicBool::new(false);

/// What was found in this browser.
pub enum Found {
    Nothing,
    Work(Box<Project>),
    /// It could not be read: the text, and why.
    Damaged {
        text: String,
        why: String,
    },
}

fn storage() -> Option<web_sys::Storage> {
    window().local_storage().ok().flatten()
}

pub fn find() -> Found {
    let Some(text) = storage().and_then(|s| s.get_item(WORK).ok().flatten()) else { return Found::Nothing };
    match Project::from_json(&text) {
        Ok(project) => Found::Work(Box::new(project)),
        Err(error) => {
            if let Some(storage) = storage() {
                // Set aside before anything new is written over it; without room for both it stays where it is.
                if storage.set_item(DAMAGED, &text).is_ok() {
                    let _ = storage.remove_item(WORK);
                }
            }
            Found::Damaged { text, why: error.to_string() }
        }
    }
}

/// Work that an earlier visit set aside.
pub fn damaged() -> Option<String> {
    storage()?.get_item(DAMAGED).ok().flatten()
}

pub fn forget_damaged() {
    if let Some(storage) = storage() {
        let _ = storage.remove_item(DAMAGED);
    }
}

/// From here on every change is kept, shortly after it was made and at the latest when the page is left.
pub fn keep(store: Store, showing: Showing) {
    let waiting = StoredValue::new_local(None::<Timeout>);
    Effect::new(move |earlier: Option<()>| {
        store.project().track();
        if earlier.is_some() {
            let timeout = Timeout::new(DELAY_MS, move || {
                waiting.set_value(None);
                write(store, showing);
            });
            waiting.set_value(Some(timeout));
        }
    });
    let flush = move || {
        if waiting.try_update_value(Option::take).flatten().is_some() {
            write(store, showing);
        }
    };
    // A phone may end a page that is hidden without another word.
    EventListener::new(&document(), "visibilitychange", move |_| {
        if document().hidden() {
            flush();
        }
    })
    .forget();
    EventListener::new(&window(), "pagehide", move |_| flush()).forget();
    // Heard only from other tabs and windows of this browser.
    let _ = window_event_listener(leptos::ev::storage, move |event| {
        if event.key().as_deref() == Some(WORK) {
            showing.keeping_trouble.set(Some(words().storage.other_tab.to_string()));
        }
    });
}

fn write(store: Store, showing: Showing) {
    if STOPPED.load(Ordering::Relaxed) {
        return;
    }
    let text = store.project().with_untracked(Project::to_json);
    let kept = storage().is_some_and(|storage| storage.set_item(WORK, &text).is_ok());
    if !kept {
        showing.keeping_trouble.set(Some(words().storage.not_kept.to_string()));
    }
}

pub fn stop() {
    STOPPED.store(true, Ordering::Relaxed);
}
