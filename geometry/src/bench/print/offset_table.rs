//! A blank table for offsets from the centreline, to be filled in at the bench.

use super::canvas::{Canvas, Page, Pen, Stands, Type};
use super::file::{About, file};
use super::letters::width;
use super::wish::{Pages, Paper, PrintWish};
use super::words::words;
use super::{Day, PrintError};
use kurbo::Point;

/// One row: what is measured there, and how high above the lower pin; empty where it is written in at the bench.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OffsetRow {
    pub what: String,
    pub height: String,
}

/// What stands on the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OffsetTable<'a> {
    pub title: &'a str,
    pub note: &'a str,
    /// What the maker fills in of the plate itself.
    pub of_plate: &'a str,
    /// Over what is measured, the height, left and right.
    pub columns: [&'a str; 4],
    pub rows: &'a [OffsetRow],
}

const MARGIN: f64 = 13.0;
/// A pencilled figure needs this, mm.
const ROW: f64 = 6.4;
const HEAD: f64 = 24.0;
const GAP: f64 = 7.0;
/// Shares of a block's width.
const COLUMNS: [f64; 5] = [0.0, 0.30, 0.50, 0.75, 1.0];
const TITLE: Type = Type::bold(4.6);
const TEXT: Type = Type::plain(3.0);
const FINE: Pen = Pen::fine(0.18);

/// The table as a PDF on the paper on which the project is printed, two blocks of rows to a page.
///
/// # Errors
/// As a print.
pub fn offset_table(table: &OffsetTable, wish: &PrintWish, day: Day) -> Result<Vec<u8>, PrintError> {
    let paper = match wish.pages {
        Pages::Sheets(Paper::Letter | Paper::Tabloid) => Paper::Letter,
        Pages::Sheets(Paper::A4 | Paper::A3) | Pages::One => Paper::A4,
    };
    let (_, high) = paper.size();
    let rows_high = (((high - 2.0 * MARGIN - HEAD) / ROW) as usize).saturating_sub(1).max(1);
    // Of a short table both blocks are as long.
    let rows_high = rows_high.min(table.rows.len().div_ceil(2)).max(1);
    let blocks: Vec<&[OffsetRow]> = table.rows.chunks(rows_high).collect();
    let count = blocks.len().div_ceil(2).max(1);
    let page = |k: usize| page(table, blocks.get(2 * k..).unwrap_or_default(), paper, (k + 1, count), day);
    let pages: Vec<Page> = (0..count).map(page).collect();
    let words = words();
    file(&pages, &About { title: table.title, subject: table.title, language: words.language, day })
}

fn page(
    table: &OffsetTable,
    blocks: &[&[OffsetRow]],
    paper: Paper,
    (number, of): (usize, usize),
    day: Day,
) -> Page {
    let words = words();
    let (wide, high) = paper.size();
    let mut canvas = Canvas::new((wide, high), [1.0, 1.0]);
    let top = high - MARGIN;
    canvas.text(Point::new(MARGIN, top - 3.4), Stands::After, TITLE, table.title);
    let told = format!("{} \u{b7} {}", (words.page)(number, of), (words.day)(day));
    canvas.text(Point::new(wide - MARGIN, top - 3.4), Stands::Before, TEXT, &told);
    canvas.paragraph(Point::new(MARGIN, top - 7.5), wide - 2.0 * MARGIN, TEXT, table.note, 2);
    canvas.paragraph(Point::new(MARGIN, top - 16.5), wide - 2.0 * MARGIN, TEXT, table.of_plate, 1);
    let block_wide = (wide - 2.0 * MARGIN - GAP) / 2.0;
    for (k, rows) in blocks.iter().take(2).enumerate() {
        let left = MARGIN + k as f64 * (block_wide + GAP);
        let x = |column: usize| left + COLUMNS[column] * block_wide;
        let y = |row: usize| top - HEAD - row as f64 * ROW;
        for (column, word) in table.columns.iter().enumerate() {
            canvas.text(Point::new(x(column) + 1.2, y(0) + 1.8), Stands::After, TEXT, word);
        }
        canvas.pen(FINE);
        for row in 0..=rows.len() {
            canvas.line(Point::new(x(0), y(row)), Point::new(x(4), y(row)));
        }
        for column in 0..=4 {
            canvas.line(Point::new(x(column), y(0)), Point::new(x(column), y(rows.len())));
        }
        for (row, of) in rows.iter().enumerate() {
            let line = y(row) - 0.68 * ROW;
            let room = COLUMNS[1] * block_wide - 2.0;
            let size = TEXT.size * (room / width(&of.what, TEXT.face, TEXT.size).max(0.1)).min(1.0);
            canvas.text(Point::new(x(0) + 1.2, line), Stands::After, Type { size, ..TEXT }, &of.what);
            canvas.text(Point::new(x(2) - 1.5, line), Stands::Before, TEXT, &of.height);
        }
    }
    canvas.finish()
}
