//! The worker's side of what is asked about a photo or a drawing file.

use super::photo::{Drawing, FindMarks, Follow, Lines, Numbers, Picture};
use crate::words::capture::words;
use ribline_geometry::capture::{FrameSheet, Photo, Squared, Stretch, follow, read_vector};
use std::cell::RefCell;

thread_local! {
    static PHOTO: RefCell<Option<Photo>> = const { RefCell::new(None) };
}

pub fn taken(asked: Picture) -> Result<(), String> {
    let photo = Photo::new(asked.width, asked.height, asked.grey);
    let kept = photo.is_some();
    PHOTO.set(photo);
    if kept { Ok(()) } else { Err(words().no_picture.to_owned()) }
}

fn with_photo<T>(of: impl FnOnce(&Photo) -> Result<T, String>) -> Result<T, String> {
    PHOTO.with_borrow(|photo| photo.as_ref().ok_or_else(|| words().no_picture.to_owned()).and_then(of))
}

pub fn marks(asked: &FindMarks) -> Result<Numbers, String> {
    let taps = asked.taps.points().try_into().map_err(|_| words().no_picture.to_owned())?;
    let sheet = FrameSheet::new(asked.width, asked.height).map_err(|error| error.to_string())?;
    with_photo(|photo| {
        let (_, marks) = Squared::by_frame(photo, taps, &sheet).map_err(|error| error.to_string())?;
        let places: Vec<_> = marks.iter().flat_map(|mark| [mark.photo, mark.board]).collect();
        Ok(Numbers::from(&places[..]))
    })
}

pub fn followed(asked: &Follow) -> Result<Stretch, String> {
    with_photo(|photo| {
        follow(photo, asked.from, asked.to, asked.px_per_mm, asked.tone).map_err(|error| error.to_string())
    })
}

pub fn lines(asked: &Drawing) -> Result<Lines, String> {
    read_vector(&asked.file, asked.spacing).map(Lines).map_err(|error| error.to_string())
}
