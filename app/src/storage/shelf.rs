//! The shelf: recipes kept in this browser, each under a key of its own as the recipe file that it would be saved as. What
//! cannot be read stays where it is until its owner removes it.

use super::local;
use leptos::prelude::*;
use ribline_geometry::order::sort_by_value;
use ribline_geometry::recipe::Recipe;
use std::sync::LazyLock;

/// Followed by a number that is never used twice while the shelf has recipes.
const KEY: &str = "ribline.shelf.";
/// What was taken off the shelf last.
const REMOVED: &str = "ribline.shelf-removed";

/// Whatever shows the shelf follows this.
static CHANGED: LazyLock<ArcTrigger> = LazyLock::new(ArcTrigger::new);

/// Something on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    pub number: u32,
    /// As it is kept.
    pub text: String,
    /// The recipe, or why it cannot be read.
    pub recipe: Result<Recipe, String>,
}

/// Why the shelf takes nothing: the browser gives the page no room of its own, or no more of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoRoom;

/// The recipes on the shelf, in the order in which they came. Tracked: whoever reads this is told of changes.
pub fn all() -> Vec<Kept> {
    CHANGED.track();
    let Some(storage) = local() else { return Vec::new() };
    let keys = (0..storage.length().unwrap_or(0)).filter_map(|k| storage.key(k).ok().flatten());
    let mut found: Vec<Kept> = keys
        .filter_map(|key| {
            let number = key.strip_prefix(KEY)?.parse().ok()?;
            let text = storage.get_item(&key).ok().flatten()?;
            let recipe = Recipe::from_json(&text).map_err(|error| error.to_string());
            Some(Kept { number, text, recipe })
        })
        .collect();
    sort_by_value(&mut found, |kept| f64::from(kept.number));
    found
}

/// Puts a recipe on the shelf beside what is there, under a title of its own; one that is there already stays the one it
/// is. Answers its title there.
///
/// # Errors
/// [`NoRoom`] where the browser keeps nothing.
pub fn put(recipe: Recipe) -> Result<String, NoRoom> {
    let there = untrack(all);
    if there.iter().any(|kept| kept.recipe.as_ref() == Ok(&recipe)) {
        return Ok(recipe.title);
    }
    let titles =
        there.iter().filter_map(|kept| kept.recipe.as_ref().ok()).map(|recipe| recipe.title.as_str());
    let title = recipe.title_besides(titles);
    let recipe = Recipe { title: title.clone(), ..recipe };
    write(next_number(&there), &recipe.to_json())?;
    Ok(title)
}

/// Keeps a recipe under its title. An earlier one of that title is taken off the shelf and can be put back.
///
/// # Errors
/// As [`put`].
pub fn keep(recipe: &Recipe) -> Result<(), NoRoom> {
    let there = untrack(all);
    let of_title =
        there.iter().find(|kept| kept.recipe.as_ref().is_ok_and(|other| other.title == recipe.title));
    match of_title {
        Some(kept) if kept.recipe.as_ref() == Ok(recipe) => Ok(()),
        Some(kept) => {
            write(kept.number, &recipe.to_json())?;
            set_aside(&kept.text);
            Ok(())
        }
        None => write(next_number(&there), &recipe.to_json()),
    }
}

/// Writes another recipe in the place of one on the shelf, as with another title.
///
/// # Errors
/// As [`put`].
pub fn replace(number: u32, recipe: &Recipe) -> Result<(), NoRoom> {
    write(number, &recipe.to_json())
}

/// Takes one off the shelf; [`put_back`] puts it there again.
pub fn remove(number: u32) {
    let Some(storage) = local() else { return };
    let key = format!("{KEY}{number}");
    if let Some(text) = storage.get_item(&key).ok().flatten() {
        set_aside(&text);
        let _ = storage.remove_item(&key);
        CHANGED.notify();
    }
}

/// What was taken off the shelf last, by its title.
pub fn removed() -> Option<String> {
    CHANGED.track();
    let text = local()?.get_item(REMOVED).ok().flatten()?;
    Some(Recipe::from_json(&text).map_or_else(|_| "\u{2026}".to_string(), |recipe| recipe.title))
}

/// Puts back what was taken off last.
///
/// # Errors
/// As [`put`].
pub fn put_back() -> Result<(), NoRoom> {
    let Some(storage) = local() else { return Err(NoRoom) };
    let Some(text) = storage.get_item(REMOVED).ok().flatten() else { return Ok(()) };
    match Recipe::from_json(&text) {
        Ok(recipe) => {
            put(recipe)?;
        }
        Err(_) => write(next_number(&untrack(all)), &text)?,
    }
    let _ = storage.remove_item(REMOVED);
    CHANGED.notify();
    Ok(())
}

/// Another page of this browser changed the shelf.
pub fn follow_other_pages() {
    let _ = window_event_listener(leptos::ev::storage, move |event| {
        if event.key().is_none_or(|key| key.starts_with(KEY)) {
            CHANGED.notify();
        }
    });
}

fn set_aside(text: &str) {
    if let Some(storage) = local() {
        let _ = storage.set_item(REMOVED, text);
    }
    CHANGED.notify();
}

fn next_number(there: &[Kept]) -> u32 {
    there.last().map_or(1, |kept| kept.number.saturating_add(1))
}

fn write(number: u32, text: &str) -> Result<(), NoRoom> {
    let written = local().is_some_and(|storage| storage.set_item(&format!("{KEY}{number}"), text).is_ok());
    CHANGED.notify();
    if written { Ok(()) } else { Err(NoRoom) }
}
