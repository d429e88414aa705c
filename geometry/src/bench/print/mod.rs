//! Sheets on paper at 1 : 1, as a PDF: what is drawn ([`drawing`]), how it is laid over sheets ([`tiling`]), and each sheet with its
//! marks, bars and words.

mod bars;
mod canvas;
mod check_page;
mod drawing;
mod enlarged;
mod file;
mod frame;
mod half;
mod ink;
mod letters;
mod offset_table;
pub mod record;
mod sheet;
mod strip;
pub mod tiling;
pub mod wish;
mod words;

pub use offset_table::{OffsetRow, OffsetTable, offset_table};
pub use wish::PrintError;

use crate::bench::shapes::{Layer, Path};
use crate::capture::FrameSheet;
use crate::mould::Mould;
use crate::outline::Face;
use crate::project::Project;
use crate::reconcile::report::Reconciled;
use check_page::check_page;
use drawing::Drawing;
use enlarged::Corners;
use file::{About, file};
use kurbo::Rect;
use sheet::sheet;
use strip::{Heading, Place};
use tiling::{Tiling, tiling};
use wish::{Drawn, Part, PrintWish};
use words::{Words, words};

/// A day of the calendar, as it is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Day {
    pub year: u16,
    /// From 1.
    pub month: u8,
    /// From 1.
    pub day: u8,
}

/// A drawing laid over its sheets.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    drawing: Drawing,
    pub tiling: Tiling,
    wish: PrintWish,
    title: String,
    recipe: String,
    of: Of,
    /// What comes on a page of its own after the sheets.
    corners: Option<Corners>,
}

/// What is printed. Neither a mould nor a frame has a face of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Plate(Face),
    Mould,
    Frame,
}

impl Of {
    fn subject(self, words: &Words) -> String {
        match self {
            Of::Plate(face) => (words.plate_subject)(face),
            Of::Mould => words.mould_subject.to_owned(),
            Of::Frame => words.frame_subject.to_owned(),
        }
    }

    fn name(self, words: &Words) -> &'static str {
        match self {
            Of::Plate(face) => (words.face)(face),
            Of::Mould => words.mould,
            Of::Frame => words.frame,
        }
    }

    fn sides(self, words: &Words) -> &'static str {
        match self {
            Of::Plate(face) => (words.sides)(face),
            Of::Mould => words.mould_sides,
            Of::Frame => words.frame_sides,
        }
    }

    fn cautions(self, words: &Words) -> &'static str {
        match self {
            Of::Plate(_) => words.cautions,
            Of::Mould => words.mould_cautions,
            Of::Frame => words.frame_cautions,
        }
    }
}

/// Lays a plate over the sheets asked for.
///
/// # Errors
/// A sentence for the maker where the settings of the print leave nothing to be printed on.
pub fn lay_plate(project: &Project, result: &Reconciled) -> Result<Laid, PrintError> {
    let wish = project.bench_wish().print;
    wish.check()?;
    wish.check_drawn()?;
    let drawing = drawing::of_plate(project, result, &wish, words());
    let corners = wish.drawn.has(Drawn::CornersEnlarged).then(|| enlarged::corners(project, result, &wish));
    Ok(Laid { corners, ..laid(project, drawing, wish, Of::Plate(project.face))? })
}

/// Lays a mould over the sheets asked for.
///
/// # Errors
/// As [`lay_plate`].
pub fn lay_mould(project: &Project, mould: &Mould) -> Result<Laid, PrintError> {
    let wish = project.bench_wish().print;
    wish.check()?;
    wish.check_drawn()?;
    let drawing = drawing::of_mould(mould, &wish, words());
    laid(project, drawing, wish, Of::Mould)
}

/// Lays the frame of marks that is photographed with the board over the sheets on which the project is printed.
///
/// # Errors
/// As [`lay_plate`].
pub fn lay_frame(project: &Project, sheet: &FrameSheet) -> Result<Laid, PrintError> {
    // A frame is whole, whatever part of the plate is printed.
    let wish = PrintWish { part: Part::Whole, ..project.bench_wish().print };
    wish.check()?;
    laid(project, frame::of_frame(sheet, words()), wish, Of::Frame)
}

fn laid(project: &Project, drawing: Drawing, wish: PrintWish, of: Of) -> Result<Laid, PrintError> {
    let tiling = tiling(drawing.bounds, &wish, |part| drawing.has_anything_in(part))?;
    let (title, recipe) = (project.title.clone(), project.recipe.title.clone());
    Ok(Laid { drawing, tiling, wish, title, recipe, of, corners: None })
}

impl Laid {
    /// The line that is cut to, for a map.
    pub fn line(&self) -> &[Path] {
        &self.drawing.line
    }

    /// Pages of the print: on sheets, the first is there to be measured; the last may show the corners enlarged.
    pub fn pages(&self) -> usize {
        self.first_tile() - 1 + self.tiling.tiles.len() + usize::from(self.corners.is_some())
    }

    /// The page, counted from 1, on which the first tile is.
    pub fn first_tile(&self) -> usize {
        if self.tiling.form.paper.is_some() { 2 } else { 1 }
    }

    /// All that is drawn, with some white around, in the frame of the result.
    pub fn bounds(&self) -> Rect {
        self.drawing.bounds
    }

    /// What is said of a half, of a button that has no room, and of what is not drawn.
    pub fn statements(&self) -> &[String] {
        &self.drawing.statements
    }

    /// The PDF.
    ///
    /// # Errors
    /// [`PrintError::TooLarge`] where a page would be larger than a PDF can hold.
    pub fn pdf(&self, day: Day) -> Result<Vec<u8>, PrintError> {
        self.pdf_of(day, self.pages())
    }

    /// Only the page that is there to be measured; all there is where the print has none.
    ///
    /// # Errors
    /// As [`Laid::pdf`].
    pub fn check_page_pdf(&self, day: Day) -> Result<Vec<u8>, PrintError> {
        self.pdf_of(day, 1)
    }

    fn pdf_of(&self, day: Day, most: usize) -> Result<Vec<u8>, PrintError> {
        let words = words();
        let heading = self.heading(day, words);
        let correction = self.wish.correction();
        let (of, first) = (self.pages(), self.first_tile());
        let place = |page: usize, tile: usize| Place {
            page,
            of,
            tile,
            tiling: &self.tiling,
            drawing: &self.drawing,
            first,
        };
        let mut pages = Vec::new();
        if first > 1 {
            pages.push(check_page(&heading, place(1, 0), correction, words));
        }
        for tile in 0..self.tiling.tiles.len().min(most - pages.len()) {
            pages.push(sheet(&heading, place(first + tile, tile), correction, words));
        }
        if let Some(corners) = &self.corners
            && most == of
        {
            pages.push(corners.page(&heading, [of, of], correction, words));
        }
        let subject = self.of.subject(words);
        let title = if self.title.trim().is_empty() { words.untitled } else { &self.title };
        file(&pages, &About { title, subject: &subject, language: words.language, day })
    }

    fn heading(&self, day: Day, words: &Words) -> Heading {
        let [across, up] = self.wish.correction();
        let is_corrected = self.wish.measured.iter().any(|mm| (mm - wish::BAR).abs() > 1e-9);
        let mut face = self.of.name(words).to_owned();
        if let Part::Half(side) = self.wish.part {
            face = format!("{face}: {}", (words.half)(side).to_lowercase());
        }
        let named = |drawn: &Drawn| {
            let name = (words.key)(*drawn);
            match drawn {
                Drawn::Edge if self.drawing.is_mould => (Layer::Mould, words.mould_key),
                _ => (ink::key(*drawn), name),
            }
        };
        let mut key: Vec<_> = self.drawing.key.iter().map(named).collect();
        if self.of == Of::Mould {
            let is_there = |layer: Layer| self.drawing.shapes.0.iter().any(|l| l.layer == layer);
            let own = [(Layer::Recesses, words.recesses_key), (Layer::Holes, words.holes_key)];
            key.extend(own.into_iter().filter(|(layer, _)| is_there(*layer)));
        }
        if self.of == Of::Frame {
            key.push((Layer::LeftForTheFile, words.frame_key));
        }
        Heading {
            title: if self.title.trim().is_empty() { words.untitled.to_owned() } else { self.title.clone() },
            face,
            sides: self.of.sides(words).to_owned(),
            recipe: (words.recipe)(&self.recipe),
            scale: if is_corrected {
                (words.corrected)(&words.figure(across, 4), &words.figure(up, 4))
            } else {
                words.true_scale.to_owned()
            },
            day: (words.day)(day),
            statements: self.drawing.statements.clone(),
            cautions: self.of.cautions(words),
            edge_is: match self.of {
                Of::Plate(_) => words.edge_is,
                Of::Mould => words.mould_is,
                Of::Frame => words.mark_is,
            },
            key,
        }
    }
}
