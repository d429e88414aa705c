//! What the worker answers for the bench.

use super::super::parcel::Parcel;
use super::super::requests::bench::{Bench, Drawing, LaidOut, Lines, Pdf, Print, Record};
use crate::drawing::path::shape_path;
use ribline_geometry::bench::file::{mould_file, plate_file};
use ribline_geometry::bench::print::record::record;
use ribline_geometry::bench::print::{Laid, lay_mould, lay_plate};
use ribline_geometry::mould::{Mould, mould};
use ribline_geometry::project::Project;
use ribline_geometry::reconcile::reconcile;
use ribline_geometry::reconcile::report::Reconciled;

pub fn answered(number: u32, asked: Bench) -> Parcel {
    match asked {
        Bench::LayOut(asked) => {
            let laid = project(&asked.project).and_then(|project| laid(&project, asked.of));
            Parcel::of(number, laid.map(|laid| laid_out(&laid)))
        }
        Bench::Print(asked) => Parcel::of(number, pdf(&asked)),
        Bench::Record(asked) => Parcel::of(number, recorded(&asked)),
        Bench::Write(asked) => {
            let text = project(&asked.project).and_then(|project| match asked.of {
                Lines::Plate(content) => {
                    plate_file(&project, &solved(&project)?, content, asked.form).map_err(said)
                }
                Lines::Mould => Ok(mould_file(&project, &made(&project)?, asked.form)),
            });
            Parcel::of(number, text)
        }
    }
}

fn said(error: impl std::fmt::Display) -> String {
    error.to_string()
}

fn project(text: &str) -> Result<Project, String> {
    Project::from_json(text).map_err(said)
}

fn solved(project: &Project) -> Result<Reconciled, String> {
    reconcile(&project.trace, &project.recipe, &project.wish).map_err(said)
}

fn made(project: &Project) -> Result<Mould, String> {
    let drawn = project.recipe.evaluate().map_err(said)?;
    mould(&project.recipe, &drawn, project.wish.overhang, &project.mould_wish()).map_err(said)
}

fn laid(project: &Project, of: Drawing) -> Result<Laid, String> {
    match of {
        Drawing::Plate => lay_plate(project, &solved(project)?),
        Drawing::Mould => lay_mould(project, &made(project)?),
    }
    .map_err(said)
}

fn laid_out(laid: &Laid) -> LaidOut {
    let mut line = String::new();
    laid.line().iter().for_each(|path| shape_path(&mut line, path));
    LaidOut {
        bounds: laid.bounds(),
        line,
        sheets: (0..laid.tiling.tiles.len()).map(|tile| laid.tiling.kept(tile)).collect(),
        first_page: laid.first_tile(),
        statements: laid.statements().to_vec(),
    }
}

fn pdf(asked: &Print) -> Result<Pdf, String> {
    let laid = project(&asked.project).and_then(|project| laid(&project, asked.of))?;
    let (bytes, pages) = if asked.only_check_page {
        (laid.check_page_pdf(asked.day), 1)
    } else {
        (laid.pdf(asked.day), laid.pages())
    };
    Ok(Pdf { bytes: bytes.map_err(said)?, pages })
}

fn recorded(asked: &Record) -> Result<Pdf, String> {
    let project = project(&asked.project)?;
    let (bytes, pages) = record(&project, &solved(&project)?, &asked.steps, asked.day).map_err(said)?;
    Ok(Pdf { bytes, pages })
}
