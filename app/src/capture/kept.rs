//! What was under way when the bench was closed: it goes on from there as long as the page is open.

use super::opening::Turned;
use super::session::Said;
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
#[derive(Clone, PartialEq)]
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

pub fn keep_photo(photo: KeptPhoto) {
    PHOTO.set(Some(photo));
}

/// Of this recipe: those of another instrument say nothing of it.
pub fn measures(recipe: &Recipe) -> Option<KeptMeasures> {
    MEASURES.with_borrow(|kept| kept.clone().filter(|kept| kept.recipe == *recipe))
}

pub fn keep_measures(measures: KeptMeasures) {
    MEASURES.set(Some(measures));
}
