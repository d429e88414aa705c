//! A project: one plate's trace, the recipe it is worked by, and what the maker wishes; everything that is saved.

mod form;
mod photo;

pub use photo::{BoardPhoto, FILE_LIMIT, PHOTO_LIMIT, PhotoDamaged};

use crate::bench::as_cut::{AsCut, AsCutError};
use crate::bench::notes::RecordNotes;
use crate::bench::wish::{BenchError, BenchWish};
use crate::json::{Form, Layout, Map, Value, parse, place};
use crate::mould::{MouldError, MouldWish};
use crate::outline::Face;
use crate::recipe::Recipe;
use crate::reconcile::Wish;
use crate::trace::{self, Trace};

/// What a project file says it is.
pub const FORMAT: &str = "ribline-project";
pub const VERSION: u32 = 1;

/// One plate in the making.
#[derive(Debug, Clone, PartialEq)]
pub struct Project {
    pub title: String,
    pub notes: String,
    pub face: Face,
    pub trace: Trace,
    pub recipe: Recipe,
    pub wish: Wish,
    /// `None` while the maker has left the mould to custom.
    pub mould: Option<MouldWish>,
    /// `None` while the maker has left the bench's sheets and files to custom.
    pub bench: Option<BenchWish>,
    /// The board with the line on it, where the line was taken from a photo.
    pub photo: Option<BoardPhoto>,
    /// The overhang measured once the plate was cut.
    pub as_cut: AsCut,
    /// The maker's words for the record.
    pub record: RecordNotes,
    /// Fields of a file that this version does not know; written back unchanged.
    pub unknown: Map,
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
    #[error("The project's settings for the mould cannot be used. {0}")]
    Mould(#[from] MouldError),
    #[error("The project's settings for the bench cannot be used. {0}.")]
    Bench(#[from] BenchError),
    #[error("What was measured on the cut plate cannot be used. {0}.")]
    AsCut(#[from] AsCutError),
    #[error(
        "Point {index} of the project's trace lies {mm} mm away, which no instrument does; the file is damaged."
    )]
    FarPoint { index: usize, mm: f64 },
}

impl Project {
    /// A line traced and a recipe to work it by, without a title or notes; everything else left to custom.
    pub fn new(recipe: Recipe, trace: Trace, wish: Wish) -> Self {
        Project {
            title: String::new(),
            notes: String::new(),
            face: Face::default(),
            trace,
            recipe,
            wish,
            mould: None,
            bench: None,
            photo: None,
            as_cut: AsCut::default(),
            record: RecordNotes::default(),
            unknown: Map::default(),
        }
    }

    /// What is asked of the mould, by the maker or by custom.
    pub fn mould_wish(&self) -> MouldWish {
        self.mould.unwrap_or_else(|| MouldWish::customary(&self.recipe))
    }

    /// What is asked of the bench's sheets and files, by the maker or by custom.
    pub fn bench_wish(&self) -> BenchWish {
        self.bench.unwrap_or_else(|| BenchWish::customary(&self.recipe))
    }

    /// Without its photo, which is a hundred times as long as all the rest.
    #[must_use]
    pub fn without_photo(&self) -> Self {
        Project { photo: None, ..self.clone() }
    }

    /// As a file: JSON with `format` and `version`.
    pub fn to_json(&self) -> String {
        Layout::OPEN.text_of(&self.written())
    }

    /// A damaged photo is left out: the line that was taken from it is not.
    ///
    /// # Errors
    /// A sentence where the text is no project, is damaged, or comes from a newer version.
    pub fn from_json(text: &str) -> Result<Self, ProjectError> {
        Project::open(text).map(|(project, _)| project)
    }

    /// As [`Project::from_json`], and what of the file is too damaged to be read.
    ///
    /// # Errors
    /// As there.
    pub fn open(text: &str) -> Result<(Self, Option<PhotoDamaged>), ProjectError> {
        if text.len() > TEXT_LIMIT {
            return Err(ProjectError::TooLarge(text.len() >> 20));
        }
        let unreadable = |(line, column): (usize, usize), problem: &str| {
            ProjectError::Unreadable(format!("line {line}, column {column}: {problem}"))
        };
        let value = parse(text).map_err(|e| unreadable((e.line, e.column), e.problem))?;
        if value.get("format").and_then(Value::as_str) != Some(FORMAT) {
            return Err(ProjectError::Unreadable(format!("it does not say \"format\": \"{FORMAT}\"")));
        }
        let version = match value.get("version") {
            Some(Value::Number(number)) => number.as_u64(),
            _ => None,
        };
        match version {
            None | Some(0) => return Err(ProjectError::Unreadable("it has no \"version\"".into())),
            Some(version) if version <= u64::from(VERSION) => {}
            Some(version) => return Err(ProjectError::NewerVersion(version)),
        }
        let project =
            Project::read(&value).map_err(|fault| unreadable(place(text, fault.way()), &fault.problem))?;
        project.check()?;
        let has_photo = value.get("photo").is_some_and(|photo| *photo != Value::Null);
        let damaged = (has_photo && project.photo.is_none()).then_some(PhotoDamaged);
        Ok((project, damaged))
    }

    /// # Errors
    /// As [`Project::from_json`], for a project that was put together otherwise.
    ///
    /// A recipe that cannot be worked, as one that is still being made, is no fault of the project:
    /// [`Recipe::faults`] tells what it lacks. Nor is a wish that cannot be had: reconciling tells of it.
    pub fn check(&self) -> Result<(), ProjectError> {
        if let Some(mould) = &self.mould {
            mould.check()?;
        }
        if let Some(bench) = &self.bench {
            bench.check()?;
        }
        self.as_cut.check()?;
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
