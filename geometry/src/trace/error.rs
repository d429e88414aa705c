//! Why a trace cannot be read or made ready, in sentences a maker can act on.

use crate::outline::{Run, UnknownRun};
use std::fmt;

/// One of the two pins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pin {
    Lower,
    Upper,
}

impl fmt::Display for Pin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Pin::Lower => "pin-lower",
            Pin::Upper => "pin-upper",
        })
    }
}

/// A number as it would be written, unless it had very many digits.
fn plain(value: f64) -> String {
    if value.abs() < 1e9 { value.to_string() } else { "more than ten digits".into() }
}

/// What is wrong with a trace, where, and what to do about it. Lines are counted from 1; lengths in mm.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TraceError {
    #[error(
        "The text is longer than 2 MiB; a traced line is a few hundred lines of numbers. Check that the right file was opened."
    )]
    TooLong,
    #[error(
        "Line {line}: more than 5000 points. Thin them out: a point every 2 mm says all there is to say about a rib line."
    )]
    TooManyPoints { line: usize },
    #[error("There are no points in this text. Give one point a line, as run, x and y in mm.")]
    NoPoints,
    #[error(
        "Line {line}: \"{text}\" is no header. Begin with a line naming the columns: run,x_mm,y_mm or x_mm,y_mm, or y_mm,left_mm,right_mm for offsets from the centreline."
    )]
    NoHeader { line: usize, text: String },
    #[error(
        "Line {line}: there is no column called \"{column}\". The columns are run, x_mm and y_mm, or y_mm, left_mm and right_mm; take the others out, or call a column of remarks \"note\"."
    )]
    UnknownColumn { line: usize, column: String },
    #[error("Line {line}: two columns are called \"{column}\". Keep one of them.")]
    ColumnTwice { line: usize, column: String },
    #[error(
        "Line {line}: the columns do not make a trace. They should be x_mm and y_mm (and run, if you like), or y_mm with left_mm or right_mm or both."
    )]
    ColumnsMissing { line: usize },
    #[error("Line {line}: column \"{column}\" is in {unit}. Give all lengths in millimetres.")]
    OtherUnit { line: usize, column: String, unit: &'static str },
    #[error("Line {line}: \"{text}\" has {} where the header has {}{remedy}", fields(*.found), count(*.wanted))]
    Fields { line: usize, text: String, found: usize, wanted: usize, remedy: FieldsRemedy },
    #[error("Line {line}: the {column} is missing. Fill it in, or take the line out.")]
    ValueMissing { line: usize, column: &'static str },
    #[error(
        "Line {line}: \"{text}\" is not a number. Write the {column} in plain millimetres, such as 103.4."
    )]
    NotANumber { line: usize, column: &'static str, text: String },
    #[error(
        "Line {line}: \"{text}\" has both a point and a comma. Leave the thousands unmarked: write 1034.5 or 1034,5."
    )]
    ThousandsMark { line: usize, text: String },
    #[error(
        "Line {line}: the {column} of {} is out of reach: no point of a plate lies 5000 mm away. Check the decimal point, and that lengths are in millimetres.",
        plain(*value)
    )]
    OutOfReach { line: usize, column: &'static str, value: f64 },
    #[error(
        "Line {line}: the {column} of {value} is negative. Distances from the centreline are given as positive numbers on either side."
    )]
    NegativeDistance { line: usize, column: &'static str, value: f64 },
    #[error("Line {line}: {unknown}. The pins are pin-lower and pin-upper.")]
    UnknownRun { line: usize, unknown: UnknownRun },
    #[error("Line {line}: {pin} was given before, on line {first}. Keep the right one.")]
    PinTwice { line: usize, first: usize, pin: Pin },
    #[error(
        "The points span only {span:.1} mm, which is smaller than any plate. Give them in millimetres: multiply centimetres by 10, inches by 25.4, metres by 1000."
    )]
    SpanTooSmall { span: f64 },
    #[error(
        "The points span {span:.0} mm, which is larger than any plate. Give them in millimetres, and points from a photo only once its scale is set."
    )]
    SpanTooLarge { span: f64 },
    #[error(
        "The number of different points is only {found}; a plate edge needs at least {least}, better 10 or more on each of the six runs. Take more points."
    )]
    TooFewPoints { found: usize, least: usize },
    #[error(
        "The two pins are at the same place. Give pin-lower at the bottom and pin-upper at the neck end of the centreline."
    )]
    PinsTogether,
    #[error(
        "The points marked {name} lie on the other side: the trace is the mirror image of its names, and a plate cut to it is lost. Left and right are meant as drawn, neck end up, with y growing towards the neck; on a photo y often grows downwards and has to change sign, and in a table x and y may stand in each other's column."
    )]
    MirrorImage { name: String },
    #[error(
        "The points marked {run} lie where the run {lies} is. Check the names of these runs: left and right are meant as drawn, neck end up."
    )]
    RunElsewhere { run: Run, lies: Run },
    #[error(
        "The wide end of the offsets table is at large y: y is measured from the neck end. Measure it from the bottom upwards, that is, take each y from the body length."
    )]
    TableUpsideDown,
    #[error(
        "{pin} lies {by:.0} mm beside the middle of the points. Check its x and y; both pins belong on the centreline."
    )]
    PinOffCentreline { pin: Pin, by: f64 },
    #[error(
        "{pin} lies {by:.0} mm from where the points have that end of the centreline. Check its x and y, and that the points are those of a whole plate."
    )]
    PinFarFromEnd { pin: Pin, by: f64 },
    #[error("All points lie on one line. Check that the columns are x and y of points around the plate.")]
    OnALine,
    #[error("The recipe has no outline to lay the points against. Mend the recipe first.")]
    NoOutline,
}

/// What to do about a line with the wrong number of fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FieldsRemedy {
    /// The line looks as if it had decimal commas between commas.
    DecimalComma,
    /// The line is separated otherwise than the header.
    OtherSeparator,
    /// Nothing known beyond the count.
    Count,
}

impl fmt::Display for FieldsRemedy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            FieldsRemedy::DecimalComma => "; with decimal commas, separate the fields by semicolons.",
            FieldsRemedy::OtherSeparator => "; separate the fields in the same way as those of the header.",
            FieldsRemedy::Count => ". Give every column its value, or leave it empty between two separators.",
        })
    }
}

fn count(n: usize) -> String {
    const WORDS: [&str; 10] =
        ["none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(n).map_or_else(|| n.to_string(), |word| (*word).to_owned())
}

fn fields(n: usize) -> String {
    format!("{} {}", count(n), if n == 1 { "field" } else { "fields" })
}
