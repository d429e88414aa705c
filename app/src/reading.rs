//! Text made into what the page works with: the work that this browser keeps, files, what a link brings. The first drawing of a
//! first visit needs none of it, so it is a part of its own (see `parts`).

use crate::store::Change;
use ribline_geometry::json::{Form, parse};
use ribline_geometry::project::{BoardPhoto, Project};
use ribline_geometry::recipe::{Recipe, RecipeFileError};
use ribline_geometry::trace::read;

/// The ways of reading. What goes wrong is a sentence.
#[derive(Clone, Copy)]
pub struct Reading {
    pub project: fn(&str) -> Result<Project, String>,
    pub photo: fn(&str) -> Option<BoardPhoto>,
    pub file: fn(&str) -> Result<Taken, String>,
}

pub fn reading() -> Reading {
    Reading { project, photo, file }
}

/// What came in a file.
pub enum Taken {
    /// Another project, or another trace in this one.
    Change(Box<Change>),
    Recipe(Box<Recipe>),
}

fn project(text: &str) -> Result<Project, String> {
    Project::from_json(text).map_err(|error| error.to_string())
}

fn photo(text: &str) -> Option<BoardPhoto> {
    BoardPhoto::read(&parse(text).ok()?).ok()
}

fn file(text: &str) -> Result<Taken, String> {
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
        Change::Open(Box::new(project(text)?))
    } else {
        Change::Trace(read(text).map_err(|error| error.to_string())?)
    };
    Ok(Taken::Change(Box::new(change)))
}
