//! Text made into what the page works with: the work that this browser keeps, files, what a link brings. The first drawing of a
//! first visit needs none of it, so it is a part of its own (see `parts`).

use crate::arrival::{Arrival, opened};
use crate::showing::Showing;
use crate::store::{Change, Store};
use crate::words::words;
use leptos::prelude::*;
use leptos::task::tick;
use ribline_geometry::capture::is_drawing;
use ribline_geometry::json::{Form, parse};
use ribline_geometry::project::{BoardPhoto, FILE_LIMIT, Project};
use ribline_geometry::recipe::{Recipe, RecipeFileError};
use ribline_geometry::trace::{read, text_of};
use std::future::Future;
use std::pin::Pin;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::File;
use web_sys::js_sys::Uint8Array;

/// The ways of reading. What goes wrong is a sentence.
#[derive(Clone, Copy)]
pub struct Reading {
    pub project: fn(&str) -> Result<Project, String>,
    pub photo: fn(&str) -> Result<BoardPhoto, String>,
    /// Takes a file into the project, or says why not.
    pub file: fn(File, Store, Showing),
    /// Opens a link.
    pub link: fn(String) -> Opening,
}

pub type Opening = Pin<Box<dyn Future<Output = Result<Arrival, String>>>>;

pub fn reading() -> Reading {
    Reading { project, photo, file, link }
}

/// What came in a file.
enum Taken {
    /// Another project, or another trace in this one; and what could not be taken.
    Change(Box<Change>, Option<String>),
    Recipe(Box<Recipe>),
}

fn project(text: &str) -> Result<Project, String> {
    Project::from_json(text).map_err(|error| error.to_string())
}

fn photo(text: &str) -> Result<BoardPhoto, String> {
    let read = parse(text).ok().and_then(|value| BoardPhoto::read(&value).ok());
    read.ok_or_else(|| words().files().photo_damaged.to_string())
}

fn link(text: String) -> Opening {
    Box::pin(opened(text))
}

fn file(file: File, store: Store, showing: Showing) {
    spawn_local(async move {
        let name = file.name();
        let taken = match text_in(&file).await {
            Ok(text) => taken_from(&text).map_err(|why| (words().storage.not_taken)(&name, &why)),
            Err(trouble) => Err(trouble),
        };
        match taken {
            Ok(Taken::Change(change, left_out)) => {
                showing.file_trouble.set(None);
                showing.pick(None);
                store.change(*change);
                // The change takes away what was said before it; this is said of it.
                tick().await;
                showing.file_trouble.set(left_out);
            }
            // A recipe replaces nothing before it has been looked at.
            Ok(Taken::Recipe(recipe)) => {
                showing.file_trouble.set(None);
                showing.arrival.set(Some(Arrival::in_file(*recipe, name)));
            }
            Err(trouble) => showing.file_trouble.set(Some(trouble)),
        }
    });
}

async fn text_in(file: &File) -> Result<String, String> {
    let (name, words) = (file.name(), words().files());
    if file.size() > FILE_LIMIT as f64 {
        return Err((words.too_large)(&name));
    }
    let bytes = JsFuture::from(file.array_buffer()).await.map_err(|_| (words.unreadable)(&name))?;
    text_among(&Uint8Array::new(&bytes).to_vec()).ok_or_else(|| (words.no_text)(&name))
}

/// The text of a file that has one: pictures and the like have bytes that no text has.
fn text_among(bytes: &[u8]) -> Option<String> {
    let marked = bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]);
    let plain = |byte: &u8| *byte >= 0x20 || matches!(byte, b'\n' | b'\r' | b'\t');
    (marked || bytes.iter().all(plain)).then(|| text_of(bytes))
}

fn taken_from(text: &str) -> Result<Taken, String> {
    let mut left_out = None;
    let change = if text.trim_start_matches('\u{FEFF}').trim_start().starts_with('{') {
        match Recipe::from_json(text) {
            Ok(recipe) => return Ok(Taken::Recipe(Box::new(recipe))),
            // Something else, or damaged before it says what it is: told as a project would be.
            Err(RecipeFileError::AnotherFormat { .. } | RecipeFileError::NotARecipe) => {}
            Err(
                RecipeFileError::NotJson { .. }
                | RecipeFileError::BreaksOff { .. }
                | RecipeFileError::TooLarge { .. },
            ) => {}
            Err(error) => return Err(error.to_string()),
        }
        let (project, damaged) = Project::open(text).map_err(|error| error.to_string())?;
        left_out = damaged.map(|damaged| damaged.to_string());
        Change::Open(Box::new(project))
    } else if is_drawing(text) {
        return Err(words().files().drawing.to_owned());
    } else {
        Change::Trace(read(text).map_err(|error| error.to_string())?)
    };
    Ok(Taken::Change(Box::new(change), left_out))
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn a_picture_has_no_text() {
        assert_eq!(text_among(&[0x89, b'P', b'N', b'G', 0x0D, 0x0A, 0x1A, 0x0A, 0]), None);
        assert_eq!(text_among(b"x_mm,y_mm\n").as_deref(), Some("x_mm,y_mm\n"));
    }

    #[test]
    fn a_drawing_is_sent_where_drawings_are_read_and_a_line_is_taken() {
        let drawing = Some(words().files().drawing.to_owned());
        for text in [
            "<?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0h9\"/></svg>",
            "\u{FEFF}  <svg",
            "  0\r\nSECTION\r\n  2\r\nENTITIES\r\n",
            "999\nmade elsewhere\n0\nSECTION\n",
        ] {
            assert_eq!(taken_from(text).err(), drawing, "{text}");
        }
        let line =
            "x_mm,y_mm\n".to_owned() + &(0..20).map(|k| format!("{k},{}\n", k * k)).collect::<String>();
        assert!(
            matches!(taken_from(&line), Ok(Taken::Change(change, None)) if matches!(*change, Change::Trace(_)))
        );
    }
}
