//! Reading a trace from text: points with or without run names, or a table of offsets from the centreline.

use super::error::FieldsRemedy;
use super::span::check_span;
use super::{HowTaken, Pin, Trace, TraceError, TracedPoint};
use crate::decimal;
use crate::outline::{Run, Side};
use kurbo::Point;

/// Longest text that is read, in bytes.
pub const TEXT_LIMIT: usize = 2 << 20;
/// Most points that are read: on a cello one every half mm. More say nothing more, and would keep a maker waiting for
/// seconds at every change.
pub const POINT_LIMIT: usize = 5_000;
/// No coordinate may reach this, in mm.
pub const REACH_LIMIT: f64 = 5000.0;

/// Reads a trace in any of the forms a maker is likely to have:
///
/// - `run,x_mm,y_mm` with the six runs, `pin-lower` and `pin-upper`; the run may be left empty,
/// - `x_mm,y_mm`,
/// - `y_mm,left_mm,right_mm`, distances from the centreline to either side; one of them may be empty, and several
///   rows may have the same y. The centreline is then x = 0.
///
/// Columns are known by name, in any order, with or without `_mm`. Without a header, lines of exactly two numbers
/// are x and y, and lines of a run and two numbers are run, x and y: nothing else they could be.
/// Fields are separated by tabs, else semicolons, else commas, else spaces, whichever the first line has;
/// with any but commas between the fields a number may have a decimal comma. Lines starting with # are comments.
///
/// ```
/// let trace = ribline_geometry::trace::read("run;x_mm;y_mm\nlower-left;-12,5;3,25\npin-lower;0;0\n")?;
/// assert_eq!(trace.points[0].at, (-12.5, 3.25).into());
/// assert_eq!(trace.points[0].line, 2);
/// # Ok::<(), ribline_geometry::trace::TraceError>(())
/// ```
pub fn read(text: &str) -> Result<Trace, TraceError> {
    if text.len() > TEXT_LIMIT {
        return Err(TraceError::TooLong);
    }
    let lines = meaningful_lines(text);
    let Some(first) = lines.first() else { return Err(TraceError::NoPoints) };
    let separator = separator_of(first.text);
    let mut rows = split(&lines, separator);
    let Some(head) = rows.next() else { return Err(TraceError::NoPoints) };
    let mut found = Found { trace: Trace::default(), pin_lines: [0; 2] };
    let columns = match header(&head)? {
        Some(columns) => Columns::of(&columns),
        None => {
            let columns = Columns::of(&headerless(&head)?);
            found.take(&head, &columns, separator)?;
            columns
        }
    };
    for row in rows {
        found.take(&row, &columns, separator)?;
    }
    let trace = found.trace;
    if trace.points.is_empty() {
        return Err(TraceError::NoPoints);
    }
    check_span(&trace.points.iter().map(|p| p.at).collect::<Vec<_>>())?;
    Ok(trace)
}

/// The text of a file's bytes: UTF-8, UTF-16 with its mark (a spreadsheet's "Unicode text"), else Windows-1252.
pub fn text_of(bytes: &[u8]) -> String {
    let wide = |from: fn([u8; 2]) -> u16| {
        let units = bytes[2..].chunks_exact(2).map(|pair| from([pair[0], pair[1]]));
        char::decode_utf16(units).map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER)).collect()
    };
    match bytes {
        [0xff, 0xfe, ..] => wide(u16::from_le_bytes),
        [0xfe, 0xff, ..] => wide(u16::from_be_bytes),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => text.to_owned(),
            // Of the characters that Windows-1252 has and Latin-1 has not, only the dashes can matter to a number.
            Err(_) => bytes
                .iter()
                .map(|&b| match b {
                    0x96 => '\u{2013}',
                    0x97 => '\u{2014}',
                    other => char::from(other),
                })
                .collect(),
        },
    }
}

/// A line that is neither blank nor a comment, without its end.
struct Line<'a> {
    number: usize,
    text: &'a str,
}

fn meaningful_lines(text: &str) -> Vec<Line<'_>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut lines = Vec::new();
    let mut number = 0;
    for piece in text.split('\n') {
        // A lone carriage return ends a line too, one before a line feed does not end a second.
        for line in piece.strip_suffix('\r').unwrap_or(piece).split('\r') {
            number += 1;
            let empty = line.chars().all(|c| c.is_whitespace() || matches!(c, ',' | ';' | '"'));
            if !empty && !line.trim_start().starts_with('#') {
                lines.push(Line { number, text: line });
            }
        }
    }
    lines
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Separator {
    Tab,
    Semicolon,
    Comma,
    Spaces,
}

fn separator_of(line: &str) -> Separator {
    if line.contains('\t') {
        Separator::Tab
    } else if line.contains(';') {
        Separator::Semicolon
    } else if line.contains(',') {
        Separator::Comma
    } else {
        Separator::Spaces
    }
}

/// A line's fields.
struct Row<'a> {
    line: usize,
    text: &'a str,
    fields: Vec<String>,
}

/// Line by line: a text that is refused at its first line must not have been taken apart to its last.
fn split<'a>(lines: &'a [Line<'a>], separator: Separator) -> impl Iterator<Item = Row<'a>> {
    let spaces_to_tab = |text: &str| text.split_whitespace().collect::<Vec<_>>().join("\t");
    let joined = lines.iter().fold(String::new(), |mut all, line| {
        match separator {
            Separator::Spaces => all.push_str(&spaces_to_tab(line.text)),
            _ => all.push_str(line.text),
        }
        all.push('\n');
        all
    });
    let delimiter = match separator {
        Separator::Tab | Separator::Spaces => b'\t',
        Separator::Semicolon => b';',
        Separator::Comma => b',',
    };
    let reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .trim(csv::Trim::All)
        .from_reader(std::io::Cursor::new(joined));
    // Blank lines and comments are gone, so the reader's line count is the place in `lines`, whatever it skips.
    reader.into_records().filter_map(|record| {
        let record = record.ok()?;
        let at = record.position()?.line();
        let line = lines.get(usize::try_from(at).ok()?.checked_sub(1)?)?;
        let mut fields: Vec<String> = record.iter().map(|f| f.trim().to_owned()).collect();
        while fields.len() > 1 && fields.last().is_some_and(String::is_empty) {
            fields.pop();
        }
        Some(Row { line: line.number, text: line.text, fields })
    })
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    Run,
    X,
    Y,
    Left,
    Right,
    /// The maker's own remarks or numbering; not read.
    Note,
}

/// Which column holds what. Looked up once, since a header may be as long as the file.
struct Columns {
    count: usize,
    run: Option<usize>,
    x: Option<usize>,
    y: Option<usize>,
    left: Option<usize>,
    right: Option<usize>,
}

impl Columns {
    fn of(columns: &[Column]) -> Self {
        let at = |column| columns.iter().position(|c| *c == column);
        Columns {
            count: columns.len(),
            run: at(Column::Run),
            x: at(Column::X),
            y: at(Column::Y),
            left: at(Column::Left),
            right: at(Column::Right),
        }
    }
}

const LEFT: &str = "distance to the left";
const RIGHT: &str = "distance to the right";

/// The columns of a header; `None` where the line is one of points.
fn header(row: &Row<'_>) -> Result<Option<Vec<Column>>, TraceError> {
    let numbers = row.fields.iter().filter(|f| plain_number(f).is_some()).count();
    let named_point = row.fields.first().is_some_and(|f| Name::of(f).is_ok_and(|n| n.is_some()));
    if numbers == row.fields.len() || (named_point && numbers > 0) {
        return Ok(None);
    }
    if numbers > 0 {
        return Err(TraceError::NoHeader { line: row.line, text: excerpt(row.text) });
    }
    let mut columns = Vec::new();
    for name in &row.fields {
        let column = column_named(name, row.line)?;
        if column != Column::Note && columns.contains(&column) {
            return Err(TraceError::ColumnTwice { line: row.line, column: excerpt(name) });
        }
        columns.push(column);
    }
    let has = |column| columns.contains(&column);
    let points = has(Column::X) && has(Column::Y) && !has(Column::Left) && !has(Column::Right);
    let offsets =
        has(Column::Y) && (has(Column::Left) || has(Column::Right)) && !has(Column::X) && !has(Column::Run);
    if points || offsets { Ok(Some(columns)) } else { Err(TraceError::ColumnsMissing { line: row.line }) }
}

fn column_named(name: &str, line: usize) -> Result<Column, TraceError> {
    let plain: String = name
        .to_ascii_lowercase()
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || !c.is_ascii() { c } else { ' ' })
        .collect::<String>();
    let mut words: Vec<&str> = plain.split_whitespace().collect();
    if words.len() > 1 {
        let unit = match words.last() {
            Some(&"cm") => Some("centimetres"),
            Some(&("in" | "inch" | "inches")) => Some("inches"),
            Some(&"m") => Some("metres"),
            Some(&("px" | "pixel" | "pixels")) => Some("pixels"),
            _ => None,
        };
        if let Some(unit) = unit {
            return Err(TraceError::OtherUnit { line, column: excerpt(name), unit });
        }
        if words.last() == Some(&"mm") {
            words.pop();
        }
    }
    Ok(match words[..] {
        ["run"] => Column::Run,
        ["x"] => Column::X,
        ["y"] => Column::Y,
        ["left"] => Column::Left,
        ["right"] => Column::Right,
        [] | ["note" | "notes" | "remark" | "remarks" | "comment" | "no" | "nr" | "number" | "point"] => {
            Column::Note
        }
        _ => return Err(TraceError::UnknownColumn { line, column: excerpt(name) }),
    })
}

/// The columns of a text that begins with a point: only two forms can be told from their fields alone.
fn headerless(row: &Row<'_>) -> Result<Vec<Column>, TraceError> {
    let numeric = |f: &String| plain_number(f).is_some();
    match &row.fields[..] {
        [x, y] if numeric(x) && numeric(y) => Ok(vec![Column::X, Column::Y]),
        [run, x, y] if !numeric(run) && numeric(x) && numeric(y) => {
            Ok(vec![Column::Run, Column::X, Column::Y])
        }
        _ => Err(TraceError::NoHeader { line: row.line, text: excerpt(row.text) }),
    }
}

/// What the first column of a point says.
enum Name {
    Run(Run),
    Side(Side),
    Pin(Pin),
}

impl Name {
    fn of(text: &str) -> Result<Option<Name>, crate::outline::UnknownRun> {
        let plain = as_minus(text).trim().to_ascii_lowercase().replace(['_', ' '], "-");
        Ok(Some(match plain.as_str() {
            "" => return Ok(None),
            "pin-lower" | "lower-pin" => Name::Pin(Pin::Lower),
            "pin-upper" | "upper-pin" => Name::Pin(Pin::Upper),
            "left" => Name::Side(Side::Left),
            "right" => Name::Side(Side::Right),
            _ => Name::Run(plain.parse()?),
        }))
    }
}

/// What has been read so far.
struct Found {
    trace: Trace,
    pin_lines: [usize; 2],
}

impl Found {
    fn take(&mut self, row: &Row<'_>, columns: &Columns, separator: Separator) -> Result<(), TraceError> {
        if row.fields.iter().all(String::is_empty) {
            return Ok(());
        }
        if row.fields.len() > columns.count || separated_otherwise(row, separator) {
            return Err(wrong_fields(row, columns.count, separator));
        }
        let field =
            |column: Option<usize>| row.fields.get(column?).map(String::as_str).filter(|f| !f.is_empty());
        if columns.x.is_some() {
            let name = field(columns.run).map_or(Ok(None), Name::of);
            let name = name.map_err(|unknown| TraceError::UnknownRun { line: row.line, unknown })?;
            let at = Point::new(
                number(field(columns.x), row.line, "x")?,
                number(field(columns.y), row.line, "y")?,
            );
            match name {
                Some(Name::Pin(pin)) => return self.pin(pin, at, row.line),
                Some(Name::Run(run)) => self.point(at, Some(run), None, row.line)?,
                Some(Name::Side(side)) => self.point(at, None, Some(side), row.line)?,
                None => self.point(at, None, None, row.line)?,
            }
        } else {
            let offsets = [(Side::Left, columns.left, LEFT), (Side::Right, columns.right, RIGHT)];
            let given: Vec<_> =
                offsets.into_iter().filter_map(|(side, c, name)| Some((side, field(c)?, name))).collect();
            // A row of a table drawn up beforehand and not filled in.
            if given.is_empty() {
                return Ok(());
            }
            let y = number(field(columns.y), row.line, "y")?;
            for (side, text, name) in given {
                let out = number(Some(text), row.line, name)?;
                if out < 0.0 {
                    return Err(TraceError::NegativeDistance { line: row.line, column: name, value: out });
                }
                self.point(Point::new(side.sign() * out, y), None, Some(side), row.line)?;
            }
        }
        Ok(())
    }

    fn point(
        &mut self,
        at: Point,
        run: Option<Run>,
        side: Option<Side>,
        line: usize,
    ) -> Result<(), TraceError> {
        if self.trace.points.len() >= POINT_LIMIT {
            return Err(TraceError::TooManyPoints { line });
        }
        self.trace.points.push(TracedPoint { at, run, side, line, taken: HowTaken::Given, sd: None });
        Ok(())
    }

    fn pin(&mut self, pin: Pin, at: Point, line: usize) -> Result<(), TraceError> {
        let place = match pin {
            Pin::Lower => &mut self.trace.pins.lower,
            Pin::Upper => &mut self.trace.pins.upper,
        };
        let first = &mut self.pin_lines[pin as usize];
        if place.is_some_and(|before| before != at) {
            return Err(TraceError::PinTwice { line, first: *first, pin });
        }
        (*place, *first) = (Some(at), line);
        Ok(())
    }
}

/// Whether a line comes as one field because it is separated otherwise than the first line was.
fn separated_otherwise(row: &Row<'_>, separator: Separator) -> bool {
    let other = |c| match c {
        '\t' => !matches!(separator, Separator::Tab | Separator::Spaces),
        ';' => separator != Separator::Semicolon,
        _ => false,
    };
    row.fields.len() == 1 && row.text.trim().contains(other)
}

fn wrong_fields(row: &Row<'_>, wanted: usize, separator: Separator) -> TraceError {
    let remedy = if separated_otherwise(row, separator) {
        FieldsRemedy::OtherSeparator
    } else if separator == Separator::Comma {
        FieldsRemedy::DecimalComma
    } else {
        FieldsRemedy::Count
    };
    TraceError::Fields { line: row.line, text: excerpt(row.text), found: row.fields.len(), wanted, remedy }
}

fn number(text: Option<&str>, line: usize, column: &'static str) -> Result<f64, TraceError> {
    let Some(text) = text else { return Err(TraceError::ValueMissing { line, column }) };
    if text.contains('.') && text.contains(',') {
        return Err(TraceError::ThousandsMark { line, text: excerpt(text) });
    }
    let value =
        plain_number(text).ok_or_else(|| TraceError::NotANumber { line, column, text: excerpt(text) })?;
    if value.abs() < REACH_LIMIT { Ok(value) } else { Err(TraceError::OutOfReach { line, column, value }) }
}

/// A number as makers and spreadsheets write it: either decimal mark, any kind of minus sign, "mm" after it or not.
fn plain_number(text: &str) -> Option<f64> {
    let mut text = as_minus(text).trim().to_ascii_lowercase();
    if let Some(bare) = text.strip_suffix("mm") {
        text.truncate(bare.trim_end().len());
    }
    // Rust would also read "inf" and "nan".
    if !text.chars().all(|c| c.is_ascii_digit() || matches!(c, '+' | '-' | '.' | ',' | 'e')) {
        return None;
    }
    decimal::read(&text.replacen(',', ".", 1))
}

/// Dashes that stand for a minus sign or hyphen made one: U+2212 is the minus sign proper, the others come from
/// spreadsheets and word processors, U+0096 from Windows-1252 taken for Latin-1.
fn as_minus(text: &str) -> String {
    text.replace(
        [
            '\u{2212}', '\u{2010}', '\u{2011}', '\u{2012}', '\u{2013}', '\u{2014}', '\u{96}', '\u{fe63}',
            '\u{ff0d}',
        ],
        "-",
    )
}

/// Enough of what was written to find it again.
fn excerpt(text: &str) -> String {
    let text = text.trim();
    if text.chars().count() > 40 { text.chars().take(39).chain(['…']).collect() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::json::Form;
    use crate::outline::Bout;
    use proptest::prelude::*;

    fn places(text: &str) -> Vec<(f64, f64)> {
        read(text).unwrap().points.iter().map(|p| (p.at.x, p.at.y)).collect()
    }

    fn refusal(text: &str) -> String {
        read(text).unwrap_err().to_string()
    }

    #[test]
    fn points_with_runs_and_pins() {
        let trace = read(
            "# taken on the board\nrun,x_mm,y_mm\npin-lower,0,4\npin-upper,0,340.5\n\nlower-left,-12.5,0.25\nWaist Right,55,190\n,3,0\n",
        )
        .unwrap();
        assert_eq!(trace.pins.lower, Some(Point::new(0.0, 4.0)));
        assert_eq!(trace.pins.upper, Some(Point::new(0.0, 340.5)));
        let of = |bout, side| Some(Run { bout, side });
        let runs: Vec<_> = trace.points.iter().map(|p| (p.line, p.run)).collect();
        assert_eq!(runs, [(6, of(Bout::Lower, Side::Left)), (7, of(Bout::Waist, Side::Right)), (8, None)]);
    }

    #[test]
    fn the_same_points_in_every_form_a_spreadsheet_may_write() {
        let expected = [(-12.5, 3.25), (40.0, 0.5)];
        for text in [
            "x_mm,y_mm\n-12.5,3.25\n40,0.5\n",
            "\u{feff}x_mm,y_mm\r\n-12.5,3.25\r\n\r\n40,0.5\r\n",
            "x,y\r-12.5,3.25\r40,0.5",
            "Y (mm), X (mm)\n3.25, -12.5\n 0.5 , 40 \n",
            "x_mm;y_mm\n-12,5;3,25\n40;0,5\n",
            "x_mm;y_mm;\n\u{2212}12,5;3,25;\n40;0,5;\n;;\n",
            "X\tY\n\u{2013}12,5\t3,25\n40\t0,5\n",
            "y\tnote\tx\n3.25\t\t-12.5\n0.5\tdoubtful\t40\n",
            "x y\n-12.5 3.25\n   40   0.5\n",
            "-12.5,3.25\n40,0.5\n",
            "-12,5;3,25\n40;0,5\n",
            "\"x_mm\",\"y_mm\"\n\"-12,5\",\"3,25\"\n\"40\",\"0,5\"\n",
            "x_mm,y_mm\n-12.5 mm,3.25 mm\n4e1,.5\n",
        ] {
            assert_eq!(places(text), expected, "{text:?}");
        }
    }

    #[test]
    fn a_run_and_two_numbers_need_no_header() {
        let trace = read("upper-left\t-30\t350\npin-lower\t0\t0\n").unwrap();
        assert_eq!(trace.points[0].run, Some(Run { bout: Bout::Upper, side: Side::Left }));
        assert_eq!(trace.pins.lower, Some(Point::ORIGIN));
    }

    #[test]
    fn offsets_lie_to_either_side_of_the_centreline_and_may_double_back() {
        let trace = read("y_mm;left_mm;right_mm\n10;80,5;81\n128;92;\n126;;90\n128;;88,5\n140;;\n").unwrap();
        let points: Vec<_> = trace.points.iter().map(|p| (p.at.x, p.at.y, p.side, p.line)).collect();
        let (left, right) = (Some(Side::Left), Some(Side::Right));
        assert_eq!(
            points,
            [
                (-80.5, 10.0, left, 2),
                (81.0, 10.0, right, 2),
                (-92.0, 128.0, left, 3),
                (90.0, 126.0, right, 4),
                (88.5, 128.0, right, 5),
            ]
        );
        assert!(trace.points.iter().all(|p| p.run.is_none()));
    }

    #[test]
    fn a_refusal_names_the_line_what_is_wrong_and_the_remedy() {
        for (text, said) in [
            (
                "x_mm,y_mm\n1,2\n12,5,3\n",
                "Line 3: \"12,5,3\" has three fields where the header has two; with decimal commas, separate the fields by semicolons.",
            ),
            (
                "x_mm,y_mm\n1;2\n",
                "Line 2: \"1;2\" has one field where the header has two; separate the fields in the same way as those of the header.",
            ),
            (
                "x_mm\ty_mm\n1\t2\t3\t4\n",
                "Line 2: \"1\t2\t3\t4\" has four fields where the header has two. Give every column its value, or leave it empty between two separators.",
            ),
            (
                "x_mm,y_mm\n\n#\n1,two\n",
                "Line 4: \"two\" is not a number. Write the y in plain millimetres, such as 103.4.",
            ),
            (
                "x_mm,y_mm\n1,inf\n",
                "Line 2: \"inf\" is not a number. Write the y in plain millimetres, such as 103.4.",
            ),
            ("x_mm,y_mm\n1,\n", "Line 2: the y is missing. Fill it in, or take the line out."),
            (
                "x;y\n1.034,5;2\n",
                "Line 2: \"1.034,5\" has both a point and a comma. Leave the thousands unmarked: write 1034.5 or 1034,5.",
            ),
            (
                "x,y\n1,5000\n",
                "Line 2: the y of 5000 is out of reach: no point of a plate lies 5000 mm away. Check the decimal point, and that lengths are in millimetres.",
            ),
            (
                "y,left,right\n10,-4,4\n",
                "Line 2: the distance to the left of -4 is negative. Distances from the centreline are given as positive numbers on either side.",
            ),
            (
                "run,x,y\nmiddle-left,1,2\n",
                "Line 2: \"middle-left\" is not a run; the six are lower-left, waist-left, upper-left, upper-right, waist-right and lower-right. The pins are pin-lower and pin-upper.",
            ),
            (
                "run,x,y\npin-lower,1,2\npin-lower,1,3\nlower-left,0,0\n",
                "Line 3: pin-lower was given before, on line 2. Keep the right one.",
            ),
            (
                "rum,x,y\n",
                "Line 1: there is no column called \"rum\". The columns are run, x_mm and y_mm, or y_mm, left_mm and right_mm; take the others out, or call a column of remarks \"note\".",
            ),
            ("x,y,X_mm\n", "Line 1: two columns are called \"X_mm\". Keep one of them."),
            (
                "x_cm,y_cm\n1,2\n",
                "Line 1: column \"x_cm\" is in centimetres. Give all lengths in millimetres.",
            ),
            (
                "x,left\n",
                "Line 1: the columns do not make a trace. They should be x_mm and y_mm (and run, if you like), or y_mm with left_mm or right_mm or both.",
            ),
            (
                "1,2,3\n",
                "Line 1: \"1,2,3\" is no header. Begin with a line naming the columns: run,x_mm,y_mm or x_mm,y_mm, or y_mm,left_mm,right_mm for offsets from the centreline.",
            ),
            (
                "x,y\n# nothing yet\n",
                "There are no points in this text. Give one point a line, as run, x and y in mm.",
            ),
            ("", "There are no points in this text. Give one point a line, as run, x and y in mm."),
        ] {
            assert_eq!(refusal(text), said, "{text:?}");
        }
    }

    #[test]
    fn a_body_in_centimetres_inches_or_pixels_is_remarked_on() {
        let ellipse = |long: f64| {
            (0..40).fold(String::from("x,y\n"), |text, i| {
                let (sin, cos) = (f64::from(i) * 0.157).sin_cos();
                format!("{text}{},{}\n", 0.3 * long * cos, 0.5 * long * sin)
            })
        };
        assert!(refusal(&ellipse(35.5)).contains("centimetres by 10"));
        assert!(refusal(&ellipse(14.0)).contains("inches by 25.4"));
        assert!(refusal(&ellipse(0.355)).contains("metres by 1000"));
        assert!(refusal(&ellipse(2400.0)).contains("larger than any plate"));
        assert_eq!(places(&ellipse(190.0)).len(), 40);
        assert_eq!(places(&ellipse(1200.0)).len(), 40);
    }

    #[test]
    fn the_limits_on_length_and_number_hold() {
        assert_eq!(read(&" ".repeat(TEXT_LIMIT + 1)), Err(TraceError::TooLong));
        let line = |i: usize| format!("{},{}\n", i % 1000, i / 1000);
        let most: String = (0..POINT_LIMIT).map(line).collect();
        assert_eq!(read(&most).unwrap().points.len(), POINT_LIMIT);
        let over = format!("{most}1,1\n");
        assert_eq!(read(&over), Err(TraceError::TooManyPoints { line: POINT_LIMIT + 1 }));
    }

    #[test]
    fn bytes_in_the_encodings_spreadsheets_write_come_out_as_text() {
        let text = "x;y\n\u{2013}1;2\n";
        let wide: Vec<u16> = text.encode_utf16().collect();
        let little: Vec<u8> =
            [0xff, 0xfe].into_iter().chain(wide.iter().flat_map(|u| u.to_le_bytes())).collect();
        let big: Vec<u8> =
            [0xfe, 0xff].into_iter().chain(wide.iter().flat_map(|u| u.to_be_bytes())).collect();
        for bytes in [text.as_bytes(), &little, &big, b"x;y\n\x961;2\n"] {
            assert_eq!(places(&text_of(bytes)), [(-1.0, 2.0)]);
        }
    }

    fn any_trace() -> impl Strategy<Value = Trace> {
        let place = || (-4999.0..4999.0f64, -4999.0..4999.0f64).prop_map(Point::from);
        let said = prop_oneof![
            Just((None, None)),
            (0..6usize).prop_map(|k| (Some(Run::ALL[k]), None)),
            prop_oneof![Just(Side::Left), Just(Side::Right)].prop_map(|s| (None, Some(s))),
        ];
        let points = prop::collection::vec((place(), said), 1..11);
        (points, prop::option::of(place()), prop::option::of(place())).prop_map(|(points, lower, upper)| {
            Trace {
                points: points
                    .into_iter()
                    .map(|(at, (run, side))| TracedPoint {
                        at,
                        run,
                        side,
                        line: 0,
                        taken: HowTaken::Given,
                        sd: None,
                    })
                    .collect(),
                pins: crate::trace::Pins { lower, upper },
            }
        })
    }

    fn without_lines(mut trace: Trace) -> Trace {
        trace.points.iter_mut().for_each(|p| p.line = 0);
        trace
    }

    proptest! {
        #[test]
        fn what_is_written_reads_back_exactly(trace in any_trace()) {
            prop_assert_eq!(without_lines(read(&trace.to_csv()).unwrap()), trace);
        }

        /// JSON readers may be a unit in the last place off.
        #[test]
        fn a_saved_trace_comes_back(trace in any_trace()) {
            let json = crate::json::Layout::OPEN.text_of(&trace.written());
            let again = Trace::read(&crate::json::parse(&json).unwrap()).unwrap();
            prop_assert_eq!(again.points.len(), trace.points.len());
            for (a, b) in again.points.iter().zip(&trace.points) {
                prop_assert!(a.at.distance(b.at) < 1e-11);
                prop_assert_eq!((a.run, a.side, a.line), (b.run, b.side, b.line));
            }
            prop_assert_eq!(again.pins.lower.is_some(), trace.pins.lower.is_some());
        }

        #[test]
        fn no_text_at_all_upsets_the_reader(text in any::<String>()) {
            if let Err(error) = read(&text) { prop_assert!(error.to_string().ends_with('.')); }
        }

        #[test]
        fn no_bytes_at_all_upset_the_reader(bytes in any::<Vec<u8>>()) {
            let _ = read(&text_of(&bytes));
        }

        #[test]
        fn no_jumble_of_what_traces_are_made_of_upsets_the_reader(
            pieces in prop::collection::vec(prop_oneof![
                Just("x"), Just("y_mm"), Just("left"), Just("right_mm"), Just("run"), Just("note"), Just("\n"), Just("\r"),
                Just(","), Just(";"), Just("\t"), Just(" "), Just("\""), Just("#"), Just("-"), Just("\u{2212}"), Just("12"),
                Just("3.5"), Just("7,25"), Just("e9"), Just("mm"), Just("lower-left"), Just("pin-upper"), Just("\u{feff}"),
            ], 0..80)
        ) {
            if let Err(error) = read(&pieces.concat()) { prop_assert!(error.to_string().ends_with('.')); }
        }
    }
}
