//! A project: one plate's trace, the recipe it is worked by, and what the maker wishes; everything that is saved.

use crate::outline::Face;
use crate::recipe::Recipe;
use crate::reconcile::Wish;
use crate::trace::Trace;
use serde::{Deserialize, Serialize};

pub const FORMAT: &str = "ribline-project";
pub const VERSION: u32 = 1;

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Project {
    #[serde(default)]
    pub title: String,
    #[serde(default)]
    pub notes: String,
    #[serde(default)]
    pub face: Face,
    pub trace: Trace,
    pub recipe: Recipe,
    pub wish: Wish,
    /// Fields of a file that this version does not know; written back unchanged.
    #[serde(flatten)]
    pub unknown: serde_json::Map<String, serde_json::Value>,
}

/// Why a text is not a project; worded for a person.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProjectError {
    #[error("this is not a Ribline project: {0}. Open a file that was saved here with \"Save project\"")]
    Unreadable(String),
    #[error(
        "this project was saved by a newer Ribline (version {0}; this page reads up to {VERSION}). Reload the page to get the newer one"
    )]
    NewerVersion(u64),
}
