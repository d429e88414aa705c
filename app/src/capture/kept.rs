//! What was under way when the bench was closed: it goes on from there.

use super::measures_kept;
use super::opening::Turned;
use super::photo_kept;
use super::said::Said;
use leptos::task::spawn_local;
use ribline_geometry::capture::before_scribing::Measured;
use ribline_geometry::recipe::Recipe;
use std::cell::RefCell;
use web_sys::File;

/// A photo, and what has been said of it.
#[derive(Clone)]
pub struct KeptPhoto {
    pub file: File,
    pub turned: Turned,
    pub said: Said,
}

/// What was measured before scribing, by which recipe, and what the ribs give.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptMeasures {
    pub recipe: Recipe,
    pub measured: Measured,
    pub gives: f64,
}

thread_local! {
    static PHOTO: RefCell<Option<KeptPhoto>> = const { RefCell::new(None) };
    static MEASURES: RefCell<Option<KeptMeasures>> = const { RefCell::new(None) };
}

pub fn photo() -> Option<KeptPhoto> {
    PHOTO.with_borrow(Clone::clone)
}

/// The photo that was last open, now or before the page was loaded. `said` of one of which nothing is known but the picture.
pub async fn find_photo(said: Said) -> Option<KeptPhoto> {
    if photo().is_none()
        && let Some((file, known)) = photo_kept::find().await
        && photo().is_none()
    {
        let (turned, said) = known.unwrap_or((Turned::default(), said));
        PHOTO.set(Some(KeptPhoto { file, turned, said }));
    }
    photo()
}

/// `told` is told whether the browser had room for it.
pub fn keep_photo(open: KeptPhoto, told: impl Fn(bool) + 'static) {
    let file = open.file.clone();
    let is_other = PHOTO.with_borrow(|kept| kept.as_ref().is_none_or(|kept| kept.file != file));
    let has_room = photo_kept::keep_said(&open);
    PHOTO.set(Some(open));
    if !has_room {
        told(false);
    }
    if is_other {
        spawn_local(async move {
            let kept = photo_kept::keep_file(&file).await.is_ok();
            // Another may have been opened meanwhile.
            if kept && photo().is_some_and(|photo| photo.file == file) {
                photo_kept::forget_others(&file);
            }
            told(kept && has_room);
        });
    }
}

/// Of this recipe: those of another instrument say nothing of it.
pub fn measures(recipe: &Recipe) -> Option<KeptMeasures> {
    let kept = MEASURES.with_borrow(Clone::clone).or_else(measures_kept::find);
    kept.filter(|kept| kept.recipe == *recipe)
}

/// Whether the browser had room for them; without it they are there as long as the page is open.
pub fn keep_measures(measures: KeptMeasures) -> bool {
    let has_room = measures_kept::keep(&measures);
    MEASURES.set(Some(measures));
    has_room
}
