//! The results of a class, kept in this browser until their teacher removes them: each under a key of its own as the
//! project's file that it would be saved as.

use super::local;
use super::shelf::NoRoom;
use ribline_geometry::order::sort_by_value;

/// Followed by a number that is never used twice while results are kept.
const KEY: &str = "ribline.class.";

/// What is kept, in the order in which it came, each with its number.
pub fn all() -> Vec<(u32, String)> {
    let Some(storage) = local() else { return Vec::new() };
    let kept = |number| Some((number, storage.get_item(&format!("{KEY}{number}")).ok().flatten()?));
    let mut found: Vec<(u32, String)> = numbers().into_iter().filter_map(kept).collect();
    sort_by_value(&mut found, |(number, _)| f64::from(*number));
    found
}

/// A number that nothing kept has, here or in another page of this browser, and none of those in use.
pub fn next(in_use: impl Iterator<Item = u32>) -> u32 {
    numbers().into_iter().chain(in_use).max().unwrap_or(0) + 1
}

fn numbers() -> Vec<u32> {
    let Some(storage) = local() else { return Vec::new() };
    let keys = (0..storage.length().unwrap_or(0)).filter_map(|k| storage.key(k).ok().flatten());
    keys.filter_map(|key| key.strip_prefix(KEY)?.parse().ok()).collect()
}

/// Keeps a project's file under this number.
///
/// # Errors
/// [`NoRoom`] where the browser keeps nothing, or no more.
pub fn keep(number: u32, text: &str) -> Result<(), NoRoom> {
    let kept = local().is_some_and(|storage| storage.set_item(&format!("{KEY}{number}"), text).is_ok());
    if kept { Ok(()) } else { Err(NoRoom) }
}

pub fn remove(number: u32) {
    if let Some(storage) = local() {
        let _ = storage.remove_item(&format!("{KEY}{number}"));
    }
}
