//! What the page asks for the bench: a drawing laid over sheets of paper, its PDF, files for machines. The worker solves the
//! project anew: that takes less than sending a result would.

use super::super::parcel::{Carried, Parcel};
use super::{Asked, Request};
use kurbo::Rect;
use ribline_geometry::bench::file::{Content, FileForm};
use ribline_geometry::bench::print::Day;
use ribline_geometry::bench::print::record::StepInWords;
use ribline_geometry::decimal;
use ribline_geometry::json::Named;

/// What is printed or written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Drawing {
    Plate,
    Mould,
}

impl Named for Drawing {
    const NAMES: &'static [(&'static str, Self)] = &[("plate", Drawing::Plate), ("mould", Drawing::Mould)];
}

/// What is asked for the bench of a project, given as its file.
#[derive(Debug, Clone, PartialEq)]
pub enum Bench {
    LayOut(LayOut),
    Print(Print),
    Write(Write),
    Record(Record),
}

const LAY_OUT: &str = "lay-out";
const PRINT: &str = "print";
const WRITE: &str = "write";
const RECORD: &str = "record";

impl Carried for Bench {
    fn pack(self, into: &mut Parcel) {
        match self {
            Bench::LayOut(LayOut { project, of }) => {
                into.put(LAY_OUT);
                project.pack(into);
                put_named(into, of);
            }
            Bench::Print(Print { project, of, only_check_page, day }) => {
                into.put(PRINT);
                project.pack(into);
                put_named(into, of);
                into.put(only_check_page);
                put_day(into, day);
            }
            Bench::Write(Write { project, of, form }) => {
                into.put(WRITE);
                project.pack(into);
                match of {
                    Lines::Plate(content) => put_named(into, content),
                    Lines::Mould => into.put(MOULD),
                }
                put_named(into, form);
            }
            Bench::Record(Record { project, steps, day }) => {
                into.put(RECORD);
                project.pack(into);
                into.put(steps.len());
                for StepInWords { name, sentence } in steps {
                    name.pack(into);
                    sentence.pack(into);
                }
                put_day(into, day);
            }
        }
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let what = String::unpack(from)?;
        let project = String::unpack(from)?;
        Some(match &*what {
            LAY_OUT => Bench::LayOut(LayOut { project, of: named(&String::unpack(from)?)? }),
            PRINT => Bench::Print(Print {
                project,
                of: named(&String::unpack(from)?)?,
                only_check_page: from.take()?,
                day: day(from)?,
            }),
            WRITE => {
                let of = String::unpack(from)?;
                let of = if of == MOULD { Lines::Mould } else { Lines::Plate(named(&of)?) };
                Bench::Write(Write { project, of, form: named(&String::unpack(from)?)? })
            }
            RECORD => {
                let count: usize = from.take()?;
                let mut step =
                    || Some(StepInWords { name: String::unpack(from)?, sentence: String::unpack(from)? });
                let steps = (0..count).map(|_| step()).collect::<Option<_>>()?;
                Bench::Record(Record { project, steps, day: day(from)? })
            }
            _ => return None,
        })
    }
}

fn put_day(into: &mut Parcel, day: Day) {
    into.put(day.year);
    into.put(day.month);
    into.put(day.day);
}

fn day(from: &mut Parcel) -> Option<Day> {
    Some(Day { year: from.take()?, month: from.take()?, day: from.take()? })
}

fn put_named<T: Named>(into: &mut Parcel, one: T) {
    into.put(T::NAMES.iter().find(|(_, other)| *other == one).map_or("", |(name, _)| name));
}

fn named<T: Named>(text: &str) -> Option<T> {
    T::NAMES.iter().find(|(name, _)| *name == text).map(|(_, one)| *one)
}

/// Lay a drawing over the sheets that the project asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct LayOut {
    pub project: String,
    pub of: Drawing,
}

impl From<LayOut> for Request {
    fn from(asked: LayOut) -> Request {
        Request::Bench(Bench::LayOut(asked))
    }
}

impl Asked for LayOut {
    /// Or the sentence why it cannot be.
    type Answer = Result<LaidOut, String>;
}

/// A drawing laid over sheets, as its map shows it: mm, y up.
#[derive(Debug, Clone, PartialEq)]
pub struct LaidOut {
    /// All that is drawn.
    pub bounds: Rect,
    /// The line that is cut to, as path data.
    pub line: String,
    /// What is kept of each sheet once it is cut, in the order of the pages.
    pub sheets: Vec<Rect>,
    /// The page, counted from 1, on which the first of them is.
    pub first_page: usize,
    /// What is to be known of the print.
    pub statements: Vec<String>,
}

impl Carried for LaidOut {
    fn pack(self, into: &mut Parcel) {
        put_rect(into, self.bounds);
        self.line.pack(into);
        into.put(self.sheets.len());
        self.sheets.into_iter().for_each(|sheet| put_rect(into, sheet));
        into.put(self.first_page);
        into.put(self.statements.len());
        self.statements.into_iter().for_each(|statement| statement.pack(into));
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let bounds = rect(from)?;
        let line = String::unpack(from)?;
        let count: usize = from.take()?;
        let sheets = (0..count).map(|_| rect(from)).collect::<Option<_>>()?;
        let first_page = from.take()?;
        let count: usize = from.take()?;
        let statements = (0..count).map(|_| String::unpack(from)).collect::<Option<_>>()?;
        Some(LaidOut { bounds, line, sheets, first_page, statements })
    }
}

fn put_rect(into: &mut Parcel, rect: Rect) {
    [rect.x0, rect.y0, rect.x1, rect.y1].into_iter().for_each(|mm| into.put(mm));
}

fn rect(from: &mut Parcel) -> Option<Rect> {
    let mut number = || decimal::read(&String::unpack(from)?);
    Some(Rect::new(number()?, number()?, number()?, number()?))
}

/// Make the PDF.
#[derive(Debug, Clone, PartialEq)]
pub struct Print {
    pub project: String,
    pub of: Drawing,
    /// Only the page that is there to be measured.
    pub only_check_page: bool,
    pub day: Day,
}

impl From<Print> for Request {
    fn from(asked: Print) -> Request {
        Request::Bench(Bench::Print(asked))
    }
}

impl Asked for Print {
    /// Or the sentence why there is none.
    type Answer = Result<Pdf, String>;
}

/// Make the record. The recipe is told in the words of the page's language.
#[derive(Debug, Clone, PartialEq)]
pub struct Record {
    pub project: String,
    pub steps: Vec<StepInWords>,
    pub day: Day,
}

impl From<Record> for Request {
    fn from(asked: Record) -> Request {
        Request::Bench(Bench::Record(asked))
    }
}

impl Asked for Record {
    /// Or the sentence why there is none.
    type Answer = Result<Pdf, String>;
}

#[derive(Debug, Clone, PartialEq)]
pub struct Pdf {
    pub bytes: Vec<u8>,
    pub pages: usize,
}

impl Carried for Pdf {
    fn pack(self, into: &mut Parcel) {
        self.bytes.pack(into);
        into.put(self.pages);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(Pdf { bytes: Vec::unpack(from)?, pages: from.take()? })
    }
}

/// Which lines are in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Lines {
    Plate(Content),
    Mould,
}

const MOULD: &str = "mould";

/// Write a file for a machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Write {
    pub project: String,
    pub of: Lines,
    pub form: FileForm,
}

impl From<Write> for Request {
    fn from(asked: Write) -> Request {
        Request::Bench(Bench::Write(asked))
    }
}

impl Asked for Write {
    /// The text of the file, or the sentence why there is none.
    type Answer = Result<String, String>;
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn what_is_asked_for_the_bench_arrives_as_it_was_sent() {
        let project = "{}".to_owned();
        let day = Day { year: 2026, month: 3, day: 9 };
        let asked = [
            Bench::LayOut(LayOut { project: project.clone(), of: Drawing::Mould }),
            Bench::Print(Print { project: project.clone(), of: Drawing::Plate, only_check_page: true, day }),
            Bench::Write(Write { project: project.clone(), of: Lines::Mould, form: FileForm::Dxf }),
            Bench::Record(Record {
                project: project.clone(),
                steps: vec![
                    StepInWords { name: "lower 1".to_owned(), sentence: "Strike it.".to_owned() },
                    StepInWords { name: String::new(), sentence: String::new() },
                ],
                day,
            }),
            Bench::Write(Write { project, of: Lines::Plate(Content::Button), form: FileForm::Points }),
        ];
        for asked in asked {
            assert_eq!(Parcel::of(1, asked.clone()).unpacked(), Some(asked));
        }
    }

    #[test]
    fn a_drawing_laid_over_sheets_arrives_as_it_was_sent() {
        let laid = LaidOut {
            bounds: Rect::new(-107.25, -4.0, 107.3, 1.0 / 3.0),
            line: "M0 0".to_owned(),
            sheets: vec![Rect::new(-1.0, 0.0, 1e-7, 2.0)],
            first_page: 2,
            statements: vec!["One.".to_owned(), String::new()],
        };
        assert_eq!(Parcel::of(1, laid.clone()).unpacked(), Some(laid));
    }
}
