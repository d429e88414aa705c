//! The last work, kept in this browser and there again when the page is next opened.

use super::local;
use crate::example::example;
use crate::reading::Reading;
use crate::showing::Showing;
use crate::store::Store;
use crate::words::words;
use gloo::events::EventListener;
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use ribline_geometry::json::{Form, Layout};
use ribline_geometry::project::{BoardPhoto, Project};
use std::sync::atomic::{AtomicBool, Ordering};

const WORK: &str = "ribline.work";
/// The photo has a place of its own: it is long, and changes seldom.
const PHOTO: &str = "ribline.photo";
/// Work that could not be read is set aside here and stays until the maker throws it away.
const DAMAGED: &str = "ribline.work.damaged";
/// The maker's work that was last replaced as a whole: there to be brought back when the steps back are gone.
const FORMER: &str = "ribline.work.former";
/// Long enough that a drag is not written at each frame, short enough that nothing typed is lost.
const DELAY_MS: u32 = 350;

/// Set once the page has broken down: what is kept by then is the last that is known to be good.
static STOPPED: AtomicBool = AtomicBool::new(false);

/// What was found in this browser.
pub enum Found {
    Nothing,
    Work {
        project: Box<Project>,
        /// Why its photo could not be read.
        trouble: Option<String>,
    },
    /// It could not be read: the text, and why.
    Damaged {
        text: String,
        why: String,
    },
}

/// Whether there is any, readable or not.
pub fn is_there() -> bool {
    local().is_some_and(|storage| storage.get_item(WORK).is_ok_and(|text| text.is_some()))
}

pub fn find(reading: Reading) -> Found {
    let Some(text) = local().and_then(|s| s.get_item(WORK).ok().flatten()) else { return Found::Nothing };
    match (reading.project)(&text) {
        Ok(mut project) => {
            let kept = local().and_then(|s| s.get_item(PHOTO).ok().flatten());
            let mut trouble = None;
            match kept.map(|text| (reading.photo)(&text)) {
                Some(Ok(photo)) => project.photo = Some(photo),
                Some(Err(why)) => trouble = Some(why),
                None => {}
            }
            Found::Work { project: Box::new(project), trouble }
        }
        Err(why) => {
            if let Some(storage) = local() {
                // Set aside before anything new is written over it; without room for both it stays where it is.
                if storage.set_item(DAMAGED, &text).is_ok() {
                    let _ = storage.remove_item(WORK);
                }
            }
            Found::Damaged { text, why }
        }
    }
}

/// Work that an earlier visit set aside.
pub fn damaged() -> Option<String> {
    local()?.get_item(DAMAGED).ok().flatten()
}

pub fn forget_damaged() {
    if let Some(storage) = local() {
        let _ = storage.remove_item(DAMAGED);
    }
}

/// Puts by what is about to be replaced as a whole. Where nothing was traced, or it is the example, what was put by before stays.
pub fn put_by(project: &Project) {
    if project.trace.points.is_empty() || *project == example() {
        return;
    }
    if let Some(storage) = local() {
        // Without room for both, the work at hand comes first.
        let _ = storage.set_item(FORMER, &project.without_photo().to_json());
    }
}

/// The text of what was put by.
pub fn former() -> Option<String> {
    local()?.get_item(FORMER).ok().flatten()
}

/// Whether something was put by that is not the work at hand.
pub fn has_another(at_hand: &Project) -> bool {
    former().is_some_and(|text| text != at_hand.without_photo().to_json())
}

/// From here on every change is kept, shortly after it was made and at the latest when the page is left.
pub fn keep(store: Store, showing: Showing) {
    let waiting = StoredValue::new_local(None::<Timeout>);
    let photo = StoredValue::new_local(store.project().with_untracked(|project| project.photo.clone()));
    Effect::new(move |earlier: Option<()>| {
        store.project().track();
        if earlier.is_some() {
            let timeout = Timeout::new(DELAY_MS, move || {
                waiting.set_value(None);
                write(store, showing, photo);
            });
            waiting.set_value(Some(timeout));
        }
    });
    let flush = move || {
        if waiting.try_update_value(Option::take).flatten().is_some() {
            write(store, showing, photo);
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

/// `kept` is the photo that is kept already.
fn write(store: Store, showing: Showing, kept: StoredValue<Option<BoardPhoto>, LocalStorage>) {
    if STOPPED.load(Ordering::Relaxed) {
        return;
    }
    let Some(storage) = local() else {
        return showing.keeping_trouble.set(Some(words().storage.not_kept.to_string()));
    };
    let (text, photo) = store.project().with_untracked(|p| (p.without_photo().to_json(), p.photo.clone()));
    if photo.is_none() || kept.with_value(|kept| *kept != photo) {
        // One that belongs to another line must not be found beside this one.
        let _ = storage.remove_item(PHOTO);
        kept.set_value(None);
    }
    if storage.set_item(WORK, &text).is_err() {
        // What the hand has done counts for more than a picture of it.
        let _ = storage.remove_item(PHOTO);
        kept.set_value(None);
        if storage.set_item(WORK, &text).is_err() {
            return showing.keeping_trouble.set(Some(words().storage.not_kept.to_string()));
        }
    }
    let Some(photo) = photo.filter(|_| kept.with_value(Option::is_none)) else { return };
    if storage.set_item(PHOTO, &Layout::OPEN.text_of(&photo.written())).is_err() {
        showing.keeping_trouble.set(Some(words().storage.photo_not_kept.to_string()));
    }
    // Tried once: the same photo will fit no better at the next change.
    kept.set_value(Some(photo));
}

pub fn stop() {
    STOPPED.store(true, Ordering::Relaxed);
}
