//! Headings, paragraphs and tables that run on from page to page. A row of a table is never split, a heading never left alone
//! at the foot of a page, and a table that goes on has its head again.

use crate::bench::print::canvas::{Canvas, Page, Pen, Stands, Type};
use crate::bench::print::letters::lines;
use kurbo::{Point, Rect};

/// White around a page, mm; the foot has the line with the page's number besides.
const MARGIN: f64 = 18.0;
const FOOT: f64 = 8.0;

pub const HEAD: Type = Type::bold(4.6);
pub const BODY: Type = Type::plain(3.4);
pub const SMALL: Type = Type::plain(2.8);
const CELL: Type = Type::plain(3.0);
const CELL_HEAD: Type = Type::bold(2.8);

/// Most lines of a single cell: a row higher than a page could not be kept whole.
const MOST_LINES: usize = 24;
const RULE: Pen = Pen { breadth: 0.12, dashes: &[], grey: 0.55 };
const STRONG_RULE: Pen = Pen::fine(0.25);

/// A column of a table: its head, its share of the width, and whether figures stand in it, set flush right.
#[derive(Clone, Copy)]
pub struct Column {
    pub head: &'static str,
    pub share: f64,
    pub figures: bool,
}

pub const fn text(head: &'static str, share: f64) -> Column {
    Column { head, share, figures: false }
}

pub const fn figures(head: &'static str, share: f64) -> Column {
    Column { head, share, figures: true }
}

/// The pages so far, and where on the last of them goes what comes next.
pub struct Flow {
    size: (f64, f64),
    pages: Vec<Canvas>,
    down: f64,
}

impl Flow {
    /// For pages of so many mm.
    pub fn new(size: (f64, f64)) -> Self {
        let mut flow = Flow { size, pages: Vec::new(), down: 0.0 };
        flow.turn();
        flow
    }

    fn turn(&mut self) {
        self.pages.push(Canvas::new(self.size, [1.0, 1.0]));
        self.down = self.size.1 - MARGIN;
    }

    /// What is free below on this page.
    pub fn room(&self) -> Rect {
        Rect::new(MARGIN, MARGIN + FOOT, self.size.0 - MARGIN, self.down)
    }

    pub fn measure(&self) -> f64 {
        self.size.0 - 2.0 * MARGIN
    }

    /// Goes on to the next page where less than this is left.
    pub fn need(&mut self, mm: f64) {
        // A page that is still empty has no more to give.
        let fresh = self.down > self.size.1 - MARGIN - 1e-9;
        if self.room().height() < mm && !fresh {
            self.turn();
        }
    }

    pub fn gap(&mut self, mm: f64) {
        self.down -= mm;
    }

    /// The page in hand; `None` never.
    pub fn canvas(&mut self) -> Option<&mut Canvas> {
        self.pages.last_mut()
    }

    /// A heading, with room for something below it.
    pub fn heading(&mut self, title: &str) {
        self.need(28.0);
        self.gap(5.0);
        self.paragraph(HEAD, title);
        self.gap(1.2);
    }

    /// Text over as many pages as it takes; its own line breaks are kept.
    pub fn paragraph(&mut self, kind: Type, text: &str) {
        self.indented(0.0, kind, text);
    }

    fn indented(&mut self, by: f64, kind: Type, text: &str) {
        for part in text.split('\n') {
            for line in lines(part, kind.face, kind.size, self.measure() - by, usize::MAX) {
                self.need(kind.leading());
                let at = Point::new(MARGIN + by, self.down - 0.76 * kind.size);
                if let Some(canvas) = self.canvas() {
                    canvas.encoded_text(at, Stands::After, kind, &line);
                }
                self.down -= kind.leading();
            }
        }
    }

    /// One of a list, behind its mark.
    pub fn item(&mut self, mark: &str, text: &str) {
        const INDENT: f64 = 7.5;
        self.need(2.0 * BODY.leading());
        let at = Point::new(MARGIN + INDENT - 2.0, self.down - 0.76 * BODY.size);
        if let Some(canvas) = self.canvas() {
            canvas.text(at, Stands::Before, BODY, mark);
        }
        self.indented(INDENT, BODY, text);
        self.gap(0.8);
    }

    pub fn table(&mut self, columns: &[Column], rows: &[Vec<String>]) {
        let widths = self.widths(columns);
        let heads: Vec<String> = columns.iter().map(|column| column.head.to_owned()).collect();
        let head = Row::of(&heads, columns, &widths, CELL_HEAD);
        let made: Vec<Row> = rows.iter().map(|row| Row::of(row, columns, &widths, CELL)).collect();
        // The head is not left alone.
        self.need(head.height + made.first().map_or(0.0, |row| row.height));
        self.row(&head, columns, &widths, CELL_HEAD, STRONG_RULE);
        for row in &made {
            if self.room().height() < row.height {
                self.turn();
                self.row(&head, columns, &widths, CELL_HEAD, STRONG_RULE);
            }
            self.row(row, columns, &widths, CELL, RULE);
        }
        self.gap(2.5);
    }

    fn widths(&self, columns: &[Column]) -> Vec<f64> {
        let shares: f64 = columns.iter().map(|column| column.share).sum();
        columns.iter().map(|column| column.share / shares * self.measure()).collect()
    }

    fn row(&mut self, row: &Row, columns: &[Column], widths: &[f64], kind: Type, rule: Pen) {
        let (top, right) = (self.down, self.size.0 - MARGIN);
        let Some(canvas) = self.pages.last_mut() else { return };
        let mut left = MARGIN;
        for ((cell, column), width) in row.cells.iter().zip(columns).zip(widths) {
            for (k, line) in cell.iter().enumerate() {
                let down = top - PAD - 0.76 * kind.size - k as f64 * kind.leading();
                if column.figures {
                    let at = Point::new(left + width - GUTTER, down);
                    canvas.encoded_text(at, Stands::Before, kind, line);
                } else {
                    canvas.encoded_text(Point::new(left, down), Stands::After, kind, line);
                }
            }
            left += width;
        }
        self.down -= row.height;
        let line = self.down;
        canvas.pen(rule);
        canvas.line(Point::new(MARGIN, line), Point::new(right, line));
    }

    /// The pages complete, each with its foot.
    pub fn finish(mut self, foot: impl Fn(usize, usize) -> [String; 2]) -> Vec<Page> {
        let of = self.pages.len();
        for (k, canvas) in self.pages.iter_mut().enumerate() {
            let [left, right] = foot(k + 1, of);
            canvas.pen(RULE);
            let line = MARGIN + 0.5 * FOOT;
            canvas.line(Point::new(MARGIN, line), Point::new(self.size.0 - MARGIN, line));
            let down = Point::new(MARGIN, line - 4.0);
            let measure = self.size.0 - 2.0 * MARGIN;
            let first = lines(&left, SMALL.face, SMALL.size, 0.8 * measure, 1);
            first.iter().for_each(|line| canvas.encoded_text(down, Stands::After, SMALL, line));
            canvas.text(Point::new(down.x + measure, down.y), Stands::Before, SMALL, &right);
        }
        self.pages.into_iter().map(Canvas::finish).collect()
    }
}

/// White above the letters of a row, and right of a column, mm.
const PAD: f64 = 0.9;
const GUTTER: f64 = 2.5;

struct Row {
    cells: Vec<Vec<Vec<u8>>>,
    height: f64,
}

impl Row {
    fn of(cells: &[String], columns: &[Column], widths: &[f64], kind: Type) -> Row {
        let wrapped = |((cell, _), width): ((&String, &Column), &f64)| {
            lines(cell, kind.face, kind.size, width - GUTTER, MOST_LINES)
        };
        let cells: Vec<Vec<Vec<u8>>> = cells.iter().zip(columns).zip(widths).map(wrapped).collect();
        let most = cells.iter().map(Vec::len).max().unwrap_or(1).max(1);
        Row { cells, height: most as f64 * kind.leading() + 1.6 * PAD }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COLUMNS: [Column; 2] = [text("Name", 3.0), figures("mm", 1.0)];

    #[test]
    fn a_long_table_goes_over_pages_and_never_splits_a_row() {
        let mut flow = Flow::new((210.0, 297.0));
        let long = "words that wrap over several lines of a narrow column ".repeat(6);
        let rows: Vec<Vec<String>> = (0..60).map(|k| vec![long.clone(), format!("{k}")]).collect();
        flow.heading("A heading");
        flow.table(&COLUMNS, &rows);
        assert!(flow.pages.len() > 3);
        assert!(flow.down >= MARGIN);
        let height = Row::of(&rows[0], &COLUMNS, &flow.widths(&COLUMNS), CELL).height;
        assert!(height > 3.0 * CELL.leading());
    }

    #[test]
    fn a_heading_is_not_left_alone_at_the_foot() {
        let mut flow = Flow::new((210.0, 297.0));
        flow.gap(flow.room().height() - 15.0);
        flow.heading("Over the page");
        assert_eq!(flow.pages.len(), 2);
    }

    #[test]
    fn a_page_too_low_for_anything_still_comes_to_an_end() {
        let mut flow = Flow::new((100.0, 50.0));
        flow.table(&COLUMNS, &[vec!["many words ".repeat(400), "1".to_owned()]]);
        flow.paragraph(BODY, &"word\n".repeat(50));
        assert!(flow.pages.len() < 60);
    }
}
