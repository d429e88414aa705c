//! The instrument's record: all that is known of a plate in one PDF, to be kept with the instrument or handed over with it.

mod drawing;
mod flow;
mod sections;
mod words;

use super::file::{About, file};
use super::wish::{Pages, Paper};
use super::{Day, PrintError};
use crate::project::Project;
use crate::reconcile::report::Reconciled;
use flow::Flow;

/// A step of the recipe in words, as the language of the page has them.
#[derive(Debug, Clone, PartialEq)]
pub struct StepInWords {
    pub name: String,
    pub sentence: String,
}

/// The record of a plate, and of how many pages it is. `steps` tell the recipe in sentences.
///
/// # Errors
/// None that is known of: its pages are of common paper.
pub fn record(
    project: &Project,
    result: &Reconciled,
    steps: &[StepInWords],
    day: Day,
) -> Result<(Vec<u8>, usize), PrintError> {
    let words = words::words();
    let of_print = super::words::words();
    let paper = match project.bench_wish().print.pages {
        // Where it is printed on American paper, this is too.
        Pages::Sheets(Paper::Letter | Paper::Tabloid) => Paper::Letter,
        _ => Paper::A4,
    };
    let title =
        if project.title.trim().is_empty() { of_print.untitled.to_owned() } else { project.title.clone() };
    let mut flow = Flow::new(paper.size());
    sections::Sections { project, result, steps, day, words, of_print, title: &title }.write(&mut flow);
    let face = (of_print.face)(project.face);
    let pages = flow.finish(|page, of| {
        [format!("{title} \u{b7} {face} \u{b7} {}", (of_print.day)(day)), (of_print.page)(page, of)]
    });
    let about = About { title: &title, subject: words.title, language: of_print.language, day };
    Ok((file(&pages, &about)?, pages.len()))
}
