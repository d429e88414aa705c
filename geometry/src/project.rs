//! A project: one plate's trace, the recipe it is worked by, and what the maker wishes; everything that is saved.

use crate::outline::Face;
use crate::recipe::Recipe;
use crate::reconcile::{ReconcileError, Wish};
use crate::trace::{self, Trace};
use serde::{Deserialize, Serialize};

/// What a project file says it is.
pub const FORMAT: &str = "ribline-project";
pub const VERSION: u32 = 1;

/// One plate in the making.
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

/// Largest project text that is read, bytes: ten times what the largest trace needs.
const TEXT_LIMIT: usize = 8 << 20;

/// Why a text is not a project; worded for a person.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ProjectError {
    #[error("This is not a Ribline project: {0}. Open a file that was saved here as a project.")]
    Unreadable(String),
    #[error("This file is too large for a project ({0} MB). Open a file that was saved here as a project.")]
    TooLarge(usize),
    #[error(
        "This project was saved by a newer Ribline (version {0}; this page reads up to {VERSION}). Reload the page to get the newer one; the file is unharmed."
    )]
    NewerVersion(u64),
    #[error("The project's settings cannot be used: {0}.")]
    Settings(#[from] ReconcileError),
    #[error(
        "Point {index} of the project's trace lies {mm} mm away, which no instrument does; the file is damaged."
    )]
    FarPoint { index: usize, mm: f64 },
}

#[derive(Serialize)]
struct Outgoing<'a> {
    format: &'static str,
    version: u32,
    #[serde(flatten)]
    project: &'a Project,
}

impl Project {
    /// As a file: JSON with `format` and `version`.
    pub fn to_json(&self) -> String {
        let file = Outgoing { format: FORMAT, version: VERSION, project: self };
        // Only a map with keys that are no strings could fail, and there is none.
        serde_json::to_string_pretty(&file).unwrap_or_default()
    }

    /// # Errors
    /// A sentence where the text is no project, is damaged, or comes from a newer version.
    pub fn from_json(text: &str) -> Result<Self, ProjectError> {
        if text.len() > TEXT_LIMIT {
            return Err(ProjectError::TooLarge(text.len() >> 20));
        }
        let unreadable = |e: serde_json::Error| {
            ProjectError::Unreadable(format!("line {}, column {}: {}", e.line(), e.column(), cause(&e)))
        };
        let value: serde_json::Value = serde_json::from_str(text).map_err(unreadable)?;
        if value.get("format").and_then(|f| f.as_str()) != Some(FORMAT) {
            return Err(ProjectError::Unreadable(format!("it does not say \"format\": \"{FORMAT}\"")));
        }
        match value.get("version").and_then(serde_json::Value::as_u64) {
            Some(version) if version <= u64::from(VERSION) && version > 0 => {}
            Some(version) => return Err(ProjectError::NewerVersion(version)),
            None => return Err(ProjectError::Unreadable("it has no \"version\"".into())),
        }
        // From the text again rather than from the value, so that a fault is told with its line.
        let mut project: Project = serde_json::from_str(text).map_err(unreadable)?;
        project.unknown.remove("format");
        project.unknown.remove("version");
        project.check()?;
        Ok(project)
    }

    /// # Errors
    /// As [`Project::from_json`], for a project that was put together otherwise.
    ///
    /// A recipe that cannot be worked, as one that is still being made, is no fault of the project:
    /// [`Recipe::faults`] tells what it lacks.
    pub fn check(&self) -> Result<(), ProjectError> {
        self.wish.check()?;
        let pins = [self.trace.pins.lower, self.trace.pins.upper];
        let all = self.trace.points.iter().map(|p| p.at).chain(pins.into_iter().flatten());
        for (index, at) in all.enumerate() {
            let far = at.x.abs().max(at.y.abs());
            if !far.is_finite() || far > trace::REACH_LIMIT {
                return Err(ProjectError::FarPoint { index: index + 1, mm: far });
            }
        }
        if self.trace.points.len() > trace::POINT_LIMIT {
            return Err(ProjectError::Unreadable("it has more points than a trace can have".into()));
        }
        Ok(())
    }
}

/// The parser's message without the place, which is told before it.
fn cause(error: &serde_json::Error) -> String {
    let text = error.to_string();
    text.split(" at line ").next().unwrap_or_default().to_owned()
}
