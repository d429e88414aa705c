//! Files brought to the class, several at a time.

use super::room::Room;
use crate::controls::listed;
use crate::words::words;
use gloo::file::File;
use gloo::file::callbacks::{FileReader, read_as_bytes};
use leptos::prelude::*;
use ribline_geometry::project::FILE_LIMIT;
use std::cell::RefCell;

thread_local! {
    /// Each has to be kept until it is done.
    static READING: RefCell<Vec<FileReader>> = const { RefCell::new(Vec::new()) };
}

/// Takes each of the files, or says why not.
pub fn take_files(files: Vec<web_sys::File>, room: Room) {
    let mut reading: Vec<FileReader> = Vec::new();
    for file in files.into_iter().map(File::from) {
        let name = file.name();
        if file.size() > FILE_LIMIT as u64 {
            room.troubles.update(|all| all.push((words().files().too_large)(&name)));
            continue;
        }
        reading.push(read_as_bytes(&file, move |bytes| match bytes {
            Ok(bytes) => room.take(ribline_geometry::trace::text_of(&bytes), Some(name)),
            Err(_) => room.troubles.update(|all| all.push((words().files().unreadable)(&name))),
        }));
    }
    READING.with_borrow_mut(|all| all.extend(reading));
}

/// While the class is looked at, files let fall on the page belong to it.
pub fn accept_drops(room: Room) {
    let dropped = window_event_listener(leptos::ev::drop, move |event| {
        let files = listed(event.data_transfer().and_then(|data| data.files()));
        if !files.is_empty() {
            event.prevent_default();
            room.begin();
            take_files(files, room);
        }
    });
    on_cleanup(move || dropped.remove());
}
