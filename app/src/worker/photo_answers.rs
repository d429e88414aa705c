//! The worker's side of what is asked about a photo or a drawing file.

use super::photo::{Drawing, FindMarks, Follow, Lines, Numbers, Rows};
use crate::words::capture::words;
use ribline_geometry::capture::{FrameSheet, MOST_PIXELS, Photo, Squared, Stretch, follow, read_vector};
use std::cell::RefCell;

thread_local! {
    static PHOTO: RefCell<Option<Photo>> = const { RefCell::new(None) };
    /// Of the photo that is coming, row by row.
    static COMING: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

pub fn taken(asked: &Rows) -> Result<(), String> {
    let Rows { width, height, first, grey } = asked;
    let pixels = width.checked_mul(*height).filter(|pixels| *pixels <= MOST_PIXELS);
    let pixels = pixels.ok_or_else(|| words().no_picture.to_owned())?;
    let photo = COMING.with_borrow_mut(|coming| {
        if *first == 0 {
            // Memory that a program of this kind has once had it never gives back: the photo before makes room first, and the
            // coming one has room for all of itself at once.
            PHOTO.set(None);
            *coming = Vec::new();
            coming.try_reserve_exact(pixels).map_err(|_| words().photo.no_memory.to_owned())?;
        }
        if Some(coming.len()) != first.checked_mul(*width) || coming.len() + grey.len() > pixels {
            return Err(words().no_picture.to_owned());
        }
        coming.extend_from_slice(grey);
        Ok((coming.len() == pixels).then(|| std::mem::take(coming)))
    })?;
    if let Some(grey) = photo {
        PHOTO.set(Photo::new(*width, *height, grey));
    }
    Ok(())
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

#[cfg(all(test, target_arch = "wasm32"))]
mod tests {
    use super::*;
    use wasm_bindgen_test::wasm_bindgen_test;

    fn rows(first: usize, count: usize) -> Result<(), String> {
        taken(&Rows { width: 20, height: 30, first, grey: vec![first as u8; 20 * count] })
    }

    #[wasm_bindgen_test]
    fn a_photo_is_there_once_all_its_rows_have_come_and_gone_when_another_begins() {
        let there = || with_photo(|photo| Ok((photo.height(), photo.pixel(0, 0), photo.pixel(19, 29))));
        assert_eq!(rows(0, 16), Ok(()));
        assert!(there().is_err());
        assert_eq!(rows(16, 14), Ok(()));
        assert_eq!(there(), Ok((30, 0, 16)));
        // Rows that are not the next ones are refused.
        assert_eq!(rows(0, 16), Ok(()));
        assert!(there().is_err());
        assert!(rows(17, 13).is_err());
        assert!(rows(16, 15).is_err());
        assert_eq!(rows(16, 14), Ok(()));
        assert!(there().is_ok());
        assert!(taken(&Rows { width: usize::MAX, height: 2, first: 0, grey: vec![] }).is_err());
        assert!(taken(&Rows { width: MOST_PIXELS, height: 2, first: 0, grey: vec![] }).is_err());
    }
}
