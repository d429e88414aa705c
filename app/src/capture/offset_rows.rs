//! What stands in the table of offsets, and what it says of the line.

use super::length::{NoLength, Unit, read_length, written_inches};
use crate::number::{Within, entered};
use crate::words::capture::words;
use kurbo::Point;
use ribline_geometry::capture::CALLIPERS;
use ribline_geometry::order::sort_by_value;
use ribline_geometry::outline::{Bout, Run, Side};
use ribline_geometry::trace::{HowTaken, Pins, Trace, TracedPoint};
use std::ops::RangeInclusive;

pub const UP_TO: Within = Within::new(50.0, 1200.0);
/// So far from its centreline a plate reaches, mm.
const OUT: RangeInclusive<f64> = 0.0..=400.0;
/// From the lower pin no line is higher or lower, as parts of the body length; nor further from the centreline.
const HEIGHTS: (f64, f64) = (-0.12, 1.08);
const WIDE: f64 = 0.42;
/// The lowest row that is laid out: about where a violin's line is, under the lower pin.
const LOWEST: f64 = 10.0;
const LOWEST_INCHES: f64 = 0.5;
/// Heights that are closer, mm, are one: those of inches are not exact in mm.
const ONE_HEIGHT: f64 = 0.01;
/// A place that stands out from both its neighbours by more is mis-measured, mm, beyond what the roundest part of a body does: it
/// bends by this radius on a violin of this length, mm.
const SPIKE: f64 = 6.0;
const ROUNDEST: (f64, f64) = (40.0, VIOLIN);
/// Between these shares of the body's length a place may lie on a corner, which stands out by so much on a violin, mm.
const CORNERS: [(f64, f64); 2] = [(0.26, 0.46), (0.58, 0.78)];
const CORNER: f64 = 12.0;
const VIOLIN: f64 = 355.0;
/// Sides that differ by more are remarked on, mm: ribs come off the mould uneven, but not by that.
const UNEVEN: f64 = 4.0;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    Height,
    Left,
    Right,
}

impl Column {
    pub const ALL: [Column; 3] = [Column::Height, Column::Left, Column::Right];

    pub fn key(self) -> &'static str {
        match self {
            Column::Height => "height",
            Column::Left => "left",
            Column::Right => "right",
        }
    }

    /// Its name on the screen.
    pub fn word(self) -> &'static str {
        let words = &words().offsets;
        match self {
            Column::Height => words.height,
            Column::Left => words.left,
            Column::Right => words.right,
        }
    }
}

/// What is measured in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum What {
    #[default]
    Place,
    LowerCorner,
    UpperCorner,
    /// A place where the line doubles back beside a corner, so that a height has more than one.
    Hook,
}

impl What {
    pub const ALL: [What; 4] = [What::Place, What::LowerCorner, What::UpperCorner, What::Hook];

    /// The runs to which a place on this side is known to belong.
    fn runs(self, side: Side) -> [Option<Run>; 2] {
        let corner = |outer| [Some(Run { bout: outer, side }), Some(Run { bout: Bout::Waist, side })];
        match self {
            What::Place | What::Hook => [None, None],
            What::LowerCorner => corner(Bout::Lower),
            What::UpperCorner => corner(Bout::Upper),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row {
    pub what: What,
    /// As typed: height, left, right.
    pub cells: [String; 3],
    /// The height is not the one that was laid out.
    pub own_height: bool,
}

impl Row {
    pub fn of(what: What) -> Row {
        Row { what, ..Row::default() }
    }

    pub fn has_figures(&self) -> bool {
        self.cells[1..].iter().any(|cell| !cell.trim().is_empty())
    }

    /// Something stands here that was not laid out. The heights of corners and hooks never are.
    pub fn is_typed(&self) -> bool {
        let has_own = self.own_height || self.what != What::Place;
        self.has_figures() || has_own && !self.cells[0].trim().is_empty()
    }
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    pub rows: Vec<Row>,
}

impl Table {
    /// Two rows below the lower pin, for the line goes round under it, and one at every so much of the unit from there on; then the
    /// corners (those of the two sides are seldom at one height) and a hook.
    pub fn laid_out(every: f64, up_to: f64, unit: Unit) -> Table {
        let steps = (up_to / every + 1e-9).floor().clamp(0.0, 600.0) as usize;
        let written = |height: f64| match unit {
            Unit::Millimetres => entered(height, 1),
            Unit::Inches => written_inches(height),
        };
        let row = |height: f64| Row {
            what: What::Place,
            cells: [written(height), String::new(), String::new()],
            own_height: false,
        };
        let low = every.min(match unit {
            Unit::Millimetres => LOWEST,
            Unit::Inches => LOWEST_INCHES,
        });
        let heights = [-low, -low / 2.0].into_iter().chain((0..=steps).map(|k| k as f64 * every));
        let corners = [
            What::LowerCorner,
            What::LowerCorner,
            What::UpperCorner,
            What::UpperCorner,
            What::Hook,
            What::Hook,
        ];
        Table { rows: heights.map(row).chain(corners.map(Row::of)).collect() }
    }

    /// Rows at other heights. What was typed stays: a place where its height puts it among the new rows, and a corner or a hook
    /// below them in place of an empty one.
    pub fn laid_out_anew(&self, every: f64, up_to: f64, unit: Unit) -> Table {
        let height = |row: &Row| read_length(&row.cells[Column::Height as usize], unit).ok();
        let typed = || self.rows.iter().filter(|row| row.is_typed());
        let (laid_places, laid_named): (Vec<Row>, Vec<Row>) =
            Table::laid_out(every, up_to, unit).rows.into_iter().partition(|row| row.what == What::Place);

        // A place whose height cannot be read stays behind the one it was typed behind.
        let mut last = f64::MIN;
        let mut places: Vec<(f64, Row)> = Vec::new();
        for row in typed().filter(|row| row.what == What::Place) {
            last = height(row).unwrap_or(last);
            places.push((last, row.clone()));
        }
        for row in laid_places {
            let Some(at) = height(&row) else { continue };
            let is_there =
                |(_, old): &(f64, Row)| height(old).is_some_and(|old| (old - at).abs() < ONE_HEIGHT);
            if !places.iter().any(is_there) {
                places.push((at, row));
            }
        }
        sort_by_value(&mut places, |(height, _)| *height);

        let named = [What::LowerCorner, What::UpperCorner, What::Hook].into_iter().flat_map(|what| {
            let kept: Vec<Row> = typed().filter(|row| row.what == what).cloned().collect();
            let empty = laid_named.iter().filter(move |row| row.what == what).skip(kept.len()).cloned();
            kept.into_iter().chain(empty).collect::<Vec<_>>()
        });
        Table { rows: places.into_iter().map(|(_, row)| row).chain(named).collect() }
    }

    /// For figures in another unit: those that are there keep theirs, written out.
    pub fn with_units(&mut self, from: Unit) {
        for cell in self.rows.iter_mut().flat_map(|row| &mut row.cells) {
            let has_none = cell.trim().ends_with(|c: char| c.is_ascii_digit());
            if has_none && read_length(cell, from).is_ok() {
                *cell = format!("{}{}", cell.trim(), if from == Unit::Inches { "\"" } else { " mm" });
            }
        }
    }

    pub fn mm(&self, row: usize, column: Column, unit: Unit) -> Option<f64> {
        read_length(&self.rows.get(row)?.cells[column as usize], unit).ok()
    }

    /// What is wrong with a cell, and what is to be remarked, on an instrument whose body is this long, mm.
    pub fn trouble(&self, row: usize, column: Column, unit: Unit, body: f64) -> Option<String> {
        let words = &words().offsets;
        let this = self.rows.get(row)?;
        if this.cells[column as usize].trim().is_empty() {
            let lacks_height = column == Column::Height && this.has_figures();
            return lacks_height.then(|| words.no_height.to_owned());
        }
        let mm = match read_length(&this.cells[column as usize], unit) {
            Ok(mm) => mm,
            Err(why) => return Some(said_of(why)),
        };
        if column == Column::Height {
            if mm.abs() > UP_TO.most {
                return Some(words.too_far.to_owned());
            }
            // Of a row that was only laid out nothing is to be said.
            if this.is_typed() && !(HEIGHTS.0 * body..=HEIGHTS.1 * body).contains(&mm) {
                return Some((words.off_the_body)(&entered(body, 0)));
            }
            let twice = |before: &usize| {
                let side =
                    |column: Column| [row, *before].iter().all(|row| self.mm(*row, column, unit).is_some());
                let places = [row, *before].iter().all(|row| self.rows[*row].what == What::Place);
                places
                    && self.mm(*before, column, unit) == Some(mm)
                    && (side(Column::Left) || side(Column::Right))
            };
            return (0..row).find(twice).map(|_| words.twice.to_owned());
        }
        if mm < 0.0 {
            return Some(words.negative.to_owned());
        }
        if mm > *OUT.end() {
            return Some(words.too_far.to_owned());
        }
        if mm > WIDE * body {
            return Some((words.off_the_body)(&entered(body, 0)));
        }
        // Corners and hooks stand out by their nature.
        let in_line = |row: usize| self.rows.get(row).is_some_and(|row| row.what == What::Place);
        let beside = |row: Option<usize>| row.filter(|r| in_line(*r)).and_then(|r| self.mm(r, column, unit));
        if let (true, Some(before), Some(after)) =
            (in_line(row), beside(row.checked_sub(1)), beside(Some(row + 1)))
        {
            let (a, b) = (mm - before, mm - after);
            let height = |row| self.mm(row, Column::Height, unit);
            let apart = height(row + 1).zip(height(row.wrapping_sub(1))).map_or(0.0, |(a, b)| (a - b).abs());
            // An arc rises by the square of half its chord over twice its radius.
            let round = (apart / 2.0).powi(2) / (2.0 * ROUNDEST.0 * body / ROUNDEST.1);
            let share = height(row).unwrap_or_default() / body;
            let corner = CORNERS.iter().any(|(from, to)| (*from..=*to).contains(&share));
            let alone = if corner { CORNER * body / VIOLIN } else { SPIKE };
            if a * b > 0.0 && a.abs().min(b.abs()) > alone + round {
                return Some(words.jumps.to_owned());
            }
        }
        None
    }

    /// By how many mm the sides differ where they hardly can.
    pub fn uneven(&self, row: usize, unit: Unit) -> Option<f64> {
        let out = |column| self.mm(row, column, unit).filter(|mm| OUT.contains(mm));
        let off = out(Column::Left)? - out(Column::Right)?;
        (off.abs() > UNEVEN).then_some(off.abs())
    }

    /// The distances that were typed and are no places, row by row: for themselves, or for their height.
    pub fn refused(&self, unit: Unit) -> Vec<(usize, Column)> {
        let typed = |(row, column): &(usize, Column)| {
            !self.rows[*row].cells[*column as usize].trim().is_empty()
                && self.place(*row, *column, unit).is_none()
        };
        let cells = (0..self.rows.len()).flat_map(|row| [(row, Column::Left), (row, Column::Right)]);
        cells.filter(typed).collect()
    }

    /// How far out and how high, mm, is what was measured there, where that can be.
    fn place(&self, row: usize, column: Column, unit: Unit) -> Option<(f64, f64)> {
        let y = self.mm(row, Column::Height, unit).filter(|y| y.abs() <= UP_TO.most)?;
        let out = self.mm(row, column, unit).filter(|mm| OUT.contains(mm))?;
        Some((out, y))
    }

    /// The places that can be laid down. A corner belongs to both runs that meet there.
    pub fn trace(&self, unit: Unit) -> Trace {
        let mut points = Vec::new();
        for (row, of) in self.rows.iter().enumerate() {
            for (column, side) in [(Column::Left, Side::Left), (Column::Right, Side::Right)] {
                let Some((mm, y)) = self.place(row, column, unit) else { continue };
                let [run, other] = of.what.runs(side);
                let point = |run| TracedPoint {
                    at: Point::new(side.sign() * mm, y),
                    run,
                    side: Some(side),
                    line: row + 1,
                    taken: HowTaken::Offset,
                    sd: Some(CALLIPERS),
                };
                points.push(point(run));
                points.extend(other.map(|run| point(Some(run))));
            }
        }
        Trace { points, pins: Pins { lower: Some(Point::ORIGIN), upper: None } }
    }
}

/// What is said of something typed that is no length.
pub fn said_of(why: NoLength) -> String {
    let words = &words().offsets;
    match why {
        NoLength::NoNumber => words.not_a_number.to_owned(),
        NoLength::NoFraction => words.no_fraction.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    fn with(rows: &[(What, [&str; 3])]) -> Table {
        let row = |(what, cells): &(What, [&str; 3])| Row {
            what: *what,
            cells: cells.map(str::to_owned),
            own_height: false,
        };
        Table { rows: rows.iter().map(row).collect() }
    }

    #[test]
    fn rows_are_laid_out_in_the_unit_and_end_with_corners_and_hooks() {
        let inches = Table::laid_out(0.5, 14.0, Unit::Inches);
        let heights: Vec<&str> = inches.rows[..6].iter().map(|row| row.cells[0].as_str()).collect();
        assert_eq!(heights, ["−1/2", "−1/4", "0", "1/2", "1", "1 1/2"]);
        assert_eq!(inches.rows[30].cells[0], "14");
        assert_eq!(inches.rows[31].what, What::LowerCorner);
        assert_eq!(Table::laid_out(10.0, 355.0, Unit::Millimetres).rows[37].cells[0], "350");
        // What is laid out can be read.
        let read = |row: usize| inches.mm(row, Column::Height, Unit::Inches);
        for (row, mm) in [(0, -12.7), (1, -6.35), (2, 0.0), (5, 38.1)] {
            assert!(read(row).is_some_and(|read| (read - mm).abs() < 1e-9), "{row}");
        }
    }

    #[test]
    fn a_corner_is_of_both_runs_and_a_hook_of_neither() {
        let table = with(&[(What::LowerCorner, ["131.5", "90", ""]), (What::Hook, ["129", "", "86.5"])]);
        let trace = table.trace(Unit::Millimetres);
        let runs: Vec<_> = trace.points.iter().map(|p| p.run.map(|run| run.to_string())).collect();
        assert_eq!(runs, [Some("lower-left".to_owned()), Some("waist-left".to_owned()), None]);
        assert_eq!(trace.points[2].at, Point::new(86.5, 129.0));
    }

    #[test]
    fn figures_keep_their_length_when_the_unit_changes() {
        let mut table = with(&[(What::Place, ["30", "62,5", "2.5 in"])]);
        table.with_units(Unit::Millimetres);
        for (column, mm) in Column::ALL.into_iter().zip([30.0, 62.5, 63.5]) {
            let read = table.mm(0, column, Unit::Inches).unwrap();
            assert!((read - mm).abs() < 1e-9, "{column:?}: {read}");
        }
    }

    fn heights(table: &Table) -> Vec<&str> {
        table.rows.iter().map(|row| row.cells[0].as_str()).collect()
    }

    #[test]
    fn what_was_filled_in_stays_in_its_place_when_the_same_rows_are_laid_out() {
        let mut table = Table::laid_out(10.0, 50.0, Unit::Millimetres);
        for (row, figure) in [(0, "50"), (3, "61"), (7, "72")] {
            table.rows[row].cells[1] = figure.to_owned();
        }
        assert_eq!(table.laid_out_anew(10.0, 50.0, Unit::Millimetres), table);
    }

    #[test]
    fn rows_with_figures_stand_at_their_heights_among_those_of_another_layout() {
        let mut table = Table::laid_out(10.0, 50.0, Unit::Millimetres);
        for (row, figure) in [(1, "55"), (3, "61"), (5, "64")] {
            table.rows[row].cells[1] = figure.to_owned();
        }
        let laid = table.laid_out_anew(20.0, 70.0, Unit::Millimetres);
        assert_eq!(heights(&laid)[..8], ["\u{2212}10", "\u{2212}5", "0", "10", "20", "30", "40", "60"]);
        assert_eq!([1, 3, 5].map(|row| laid.rows[row].cells[1].as_str()), ["55", "61", "64"]);
        // They are no less there after the next, in whatever unit it is.
        let mut again = laid.clone();
        again.with_units(Unit::Millimetres);
        let again = again.laid_out_anew(0.5, 2.5, Unit::Inches);
        let first =
            ["\u{2212}1/2", "\u{2212}1/4", "\u{2212}5 mm", "0", "10 mm", "1/2", "1", "30 mm", "1 1/2"];
        assert_eq!(heights(&again)[..9], first);
    }

    #[test]
    fn heights_that_were_typed_outlive_another_layout_without_a_distance() {
        let mut table = Table::laid_out(10.0, 50.0, Unit::Millimetres);
        table.rows[1].cells[0] = "23.5".to_owned();
        table.rows[1].own_height = true;
        table.rows[9].cells[0] = "131".to_owned();
        assert_eq!(table.rows[9].what, What::LowerCorner);
        let laid = table.laid_out_anew(20.0, 50.0, Unit::Millimetres);
        assert_eq!(heights(&laid)[..8], ["\u{2212}10", "\u{2212}5", "0", "20", "23.5", "40", "131", ""]);
        // A corner that is there takes the place of one that is asked for.
        let kinds: Vec<What> = laid.rows[6..].iter().map(|row| row.what).collect();
        assert_eq!(kinds, table.rows[8..].iter().map(|row| row.what).collect::<Vec<_>>());
        assert_eq!(laid.laid_out_anew(20.0, 50.0, Unit::Millimetres), laid);
    }

    #[test]
    fn a_row_whose_height_cannot_be_read_stays_behind_the_one_it_was_typed_behind() {
        let line = [(What::Place, ["20", "60", ""]), (What::Place, ["2o", "61", ""])];
        let laid = with(&line).laid_out_anew(10.0, 40.0, Unit::Millimetres);
        assert_eq!(heights(&laid)[4..7], ["20", "2o", "30"]);
    }

    #[test]
    fn every_figure_that_is_no_place_is_named() {
        let table = with(&[
            (What::Place, ["20", "60", "6o"]),
            (What::Place, ["2o", "61", ""]),
            (What::Place, ["30", "-4", "500"]),
            (What::LowerCorner, ["", "", "95"]),
            (What::Place, ["40", "", " "]),
        ]);
        let refused = table.refused(Unit::Millimetres);
        let (left, right) = (Column::Left, Column::Right);
        assert_eq!(refused, [(0, right), (1, left), (2, left), (2, right), (3, right)]);
        assert_eq!(table.trace(Unit::Millimetres).points.len(), 1);
        // Nor is such a figure set against that of the other side.
        assert_eq!(table.uneven(2, Unit::Millimetres), None);
        assert_eq!(with(&[(What::Place, ["30", "64", "70"])]).uneven(0, Unit::Millimetres), Some(6.0));
    }

    #[test]
    fn a_height_that_stands_twice_is_told_of_where_both_have_a_figure_on_one_side() {
        let line = [
            (What::Place, ["40", "60", ""]),
            (What::Place, ["40", "", "61"]),
            (What::Place, ["40,0", "95", ""]),
            (What::Hook, ["40", "70", ""]),
        ];
        let told = |row| with(&line).trouble(row, Column::Height, Unit::Millimetres, 355.0).is_some();
        assert_eq!([0, 1, 2, 3].map(told), [false, false, true, false]);
    }

    #[test]
    fn what_lies_off_the_body_of_the_instrument_is_told_of() {
        let line = [
            (What::Place, ["0", "200", "70"]),
            (What::Place, ["394", "20", ""]),
            (What::Place, ["-14", "5", "102"]),
        ];
        let table = with(&line);
        let told = |row, column, body| table.trouble(row, column, Unit::Millimetres, body).is_some();
        assert!(told(0, Column::Left, 355.0) && !told(0, Column::Left, 755.0));
        assert!(told(1, Column::Height, 355.0) && !told(1, Column::Height, 755.0));
        for column in Column::ALL {
            assert!(!told(2, column, 355.0), "{column:?}");
        }
        // Whatever is laid out, nothing is wrong with it before a figure is.
        for (every, up_to, unit) in [(100.0, 1000.0, Unit::Millimetres), (4.0, 40.0, Unit::Inches)] {
            let laid = Table::laid_out(every, up_to, unit);
            let rows = 0..laid.rows.len();
            assert!(rows.clone().all(|row| laid.trouble(row, Column::Height, unit, 355.0).is_none()));
        }
    }

    #[test]
    fn a_figure_misread_by_a_centimetre_is_told_of() {
        let line = |middle: &'static str| {
            with(&[
                (What::Place, ["60", "101.5", ""]),
                (What::Place, ["70", middle, ""]),
                (What::Place, ["80", "101", ""]),
            ])
        };
        let told = |middle| line(middle).trouble(1, Column::Left, Unit::Millimetres, 355.0).is_some();
        assert!(!told("102") && told("112") && told("92"));
    }

    /// Each built-in plate measured every so many mm, but for the rows at its corners, where the outline doubles back.
    #[test]
    fn on_no_plate_is_a_right_figure_told_of() {
        for recipe in ribline_geometry::recipe::built_in::plates() {
            let outline = recipe.evaluate().unwrap().outline;
            let body = outline.bounds().height();
            for every in [5.0, 10.0, 20.0, 50.0] {
                let mut table = Table::default();
                for k in 0..=(body / every) as usize {
                    let y = k as f64 * every + 0.5;
                    let runs = outline.runs[..3].iter();
                    let at = runs
                        .flat_map(|run| run.sampled(0.2))
                        .map(|(p, _)| p)
                        .filter(|p| (p.y - y).abs() < 0.15);
                    let places: Vec<f64> = at.map(|p| p.x).collect();
                    let (least, most) =
                        places.iter().fold((f64::MAX, 0.0_f64), |(l, m), x| (l.min(*x), m.max(*x)));
                    if most - least < 2.0 {
                        let cells = [format!("{y}"), String::new(), format!("{most:.1}")];
                        table.rows.push(Row { what: What::Place, cells, ..Row::default() });
                    }
                }
                for row in 0..table.rows.len() {
                    let told = table.trouble(row, Column::Right, Unit::Millimetres, body);
                    assert_eq!(told, None, "{}, every {every} mm: {:?}", recipe.title, table.rows[row].cells);
                }
            }
        }
    }

    #[test]
    fn corners_are_no_spikes() {
        let line = [
            (What::Place, ["110", "70", ""]),
            (What::LowerCorner, ["120", "95", ""]),
            (What::Place, ["130", "70", ""]),
        ];
        assert_eq!(with(&line).trouble(1, Column::Left, Unit::Millimetres, 355.0), None);
        let spike = line.map(|(_, cells)| (What::Place, cells));
        assert!(with(&spike).trouble(1, Column::Left, Unit::Millimetres, 355.0).is_some());
        assert!(
            with(&[(What::Hook, ["", "70", ""])]).trouble(0, Column::Height, Unit::Inches, 355.0).is_some()
        );
    }
}
