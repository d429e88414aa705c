//! How a drawing is laid over sheets of paper: as few as will do, each repeating a little of its neighbours, with a line and
//! lettered marks by which they are joined.

use super::wish::{BAR, Pages, Paper, PrintError, PrintWish};
use kurbo::{Point, Rect, Vec2};

/// Depth of the strip with the words, mm: below the drawing, or beside it.
const STRIP_BELOW: f64 = 31.0;
const STRIP_BESIDE: f64 = 46.0;
/// A drawing narrower than this has the strip beside it on a page of its own size, mm.
const WIDE_ENOUGH: f64 = 180.0;
/// Least height of a strip beside the drawing, mm.
const STRIP_HEIGHT: f64 = 180.0;
/// Width and height that a bar lying across takes with its words and some white, mm.
const BAR_ROOM: (f64, f64) = (114.0, 14.0);
/// So many sheets nobody tapes together.
const MOST_SHEETS: usize = 60;
/// A join keeps this far from the centreline where it can, mm.
const OFF_THE_CENTRELINE: f64 = 7.0;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StripStands {
    Below,
    Beside,
}

/// How every sheet is divided. In true mm from the sheet's lower left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SheetForm {
    pub size: (f64, f64),
    /// Where the drawing is.
    pub window: Rect,
    /// Where the words are.
    pub strip: Rect,
    pub stands: StripStands,
    /// `None` for a page of the drawing's own size.
    pub paper: Option<Paper>,
}

/// The part of the drawing that is on one sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tile {
    pub row: usize,
    pub column: usize,
    /// In the frame of the drawing.
    pub window: Rect,
}

/// Where two sheets are joined.
#[derive(Debug, Clone, PartialEq)]
pub struct Join {
    /// Places in [`Tiling::tiles`]: the left or upper one first.
    pub between: [usize; 2],
    /// Ends of the line, in the frame of the drawing.
    pub line: [Point; 2],
    pub marks: [JoinMark; 2],
}

/// A mark on the line, with its letter; the same on both sheets.
#[derive(Debug, Clone, PartialEq)]
pub struct JoinMark {
    pub at: Point,
    pub letter: String,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Tiling {
    pub form: SheetForm,
    /// From the top, left to right. Sheets on which nothing would be drawn are left out.
    pub tiles: Vec<Tile>,
    pub joins: Vec<Join>,
    /// mm.
    pub overlap: f64,
}

impl Tiling {
    /// What is left of a tile's window once the sheets are cut along their joins.
    pub fn kept(&self, tile: usize) -> Rect {
        let mut kept = self.tiles[tile].window;
        for join in self.joins.iter().filter(|join| join.between.contains(&tile)) {
            let at = join.line[0];
            let inwards = join.inwards(tile);
            match (inwards.x, inwards.y) {
                (x, _) if x > 0.5 => kept.x0 = at.x,
                (x, _) if x < -0.5 => kept.x1 = at.x,
                (_, y) if y > 0.5 => kept.y0 = at.y,
                _ => kept.y1 = at.y,
            }
        }
        kept
    }

    /// Half of a join mark's diagonal, mm: it has to lie within the overlap.
    pub fn mark_size(&self) -> f64 {
        (self.overlap / 2.0 - 0.2).min(2.5)
    }
}

/// Lays a drawing of these bounds over the pages asked for. `anything_in` tells whether something is drawn in a part of it.
///
/// # Errors
/// [`PrintError`] where the settings leave no room, or it takes too many sheets.
pub fn tiling(
    bounds: Rect,
    wish: &PrintWish,
    anything_in: impl Fn(Rect) -> bool,
) -> Result<Tiling, PrintError> {
    wish.check()?;
    let paper = match wish.pages {
        Pages::One => return Ok(one_page(bounds, wish)),
        Pages::Sheets(paper) => paper,
    };
    let mut best: Option<Tiling> = None;
    let mut refused = PrintError::NoRoom;
    for turned in [false, true] {
        for stands in [StripStands::Below, StripStands::Beside] {
            let Some(form) = sheet_form(paper, turned, stands, wish) else { continue };
            match over_sheets(bounds, form, wish, &anything_in) {
                Ok(tiling) => {
                    let cost = |t: &Tiling| (t.tiles.len(), t.joins.len());
                    if best.as_ref().is_none_or(|b| cost(&tiling) < cost(b)) {
                        best = Some(tiling);
                    }
                }
                Err(error) => refused = error,
            }
        }
    }
    best.ok_or(refused)
}

/// A sheet's two lengths in true mm: what the printer makes of them.
fn true_size((width, height): (f64, f64), wish: &PrintWish) -> (f64, f64) {
    let [x, y] = wish.measured.map(|mm| mm / BAR);
    (width * x, height * y)
}

fn sheet_form(paper: Paper, turned: bool, stands: StripStands, wish: &PrintWish) -> Option<SheetForm> {
    let (width, height) = paper.size();
    let upright = if turned { (height, width) } else { (width, height) };
    let size = true_size(upright, wish);
    // A printer that enlarges loses the rim, on either side.
    let lost = |true_mm: f64, paper_mm: f64| wish.margin + (true_mm - paper_mm).max(0.0);
    let (dx, dy) = (lost(size.0, upright.0), lost(size.1, upright.1));
    let room = Rect::new(dx, dy, size.0 - dx, size.1 - dy);
    let (window, strip) = divided(room, stands);
    let least = wish.overlap + 20.0;
    (window.width() > least && window.height() > least).then_some(SheetForm {
        size,
        window,
        strip,
        stands,
        paper: Some(paper),
    })
}

fn divided(room: Rect, stands: StripStands) -> (Rect, Rect) {
    match stands {
        StripStands::Below => {
            let at = room.y0 + STRIP_BELOW;
            (Rect { y0: at, ..room }, Rect { y1: at, ..room })
        }
        StripStands::Beside => {
            let at = room.x1 - STRIP_BESIDE;
            (Rect { x1: at, ..room }, Rect { x0: at, ..room })
        }
    }
}

fn one_page(bounds: Rect, wish: &PrintWish) -> Tiling {
    let stands = if bounds.width() < WIDE_ENOUGH { StripStands::Beside } else { StripStands::Below };
    let (strip_x, strip_y) = match stands {
        StripStands::Below => (0.0, STRIP_BELOW),
        StripStands::Beside => (STRIP_BESIDE, 0.0),
    };
    // No page before it is there to be measured, so that it must have room for a bar itself.
    let (width, height) = match stands {
        StripStands::Beside => {
            (bounds.width().max(BAR_ROOM.0), (bounds.height() + BAR_ROOM.1).max(STRIP_HEIGHT))
        }
        StripStands::Below => (bounds.width(), bounds.height()),
    };
    let size = (width + strip_x + 2.0 * wish.margin, height + strip_y + 2.0 * wish.margin);
    let room = Rect::new(wish.margin, wish.margin, size.0 - wish.margin, size.1 - wish.margin);
    let (window, strip) = divided(room, stands);
    let form = SheetForm { size, window, strip, stands, paper: None };
    let middle = bounds.center().x;
    let shown = Rect::new(middle - width / 2.0, bounds.y1 - window.height(), middle + width / 2.0, bounds.y1);
    Tiling {
        form,
        tiles: vec![Tile { row: 0, column: 0, window: shown }],
        joins: Vec::new(),
        overlap: wish.overlap,
    }
}

/// How many windows it takes along one axis, and where the first begins.
fn along(low: f64, high: f64, window: f64, overlap: f64) -> (usize, f64) {
    let step = window - overlap;
    let count = ((high - low - overlap) / step).ceil().clamp(1.0, 1e4);
    let slack = count * step + overlap - (high - low);
    (count as usize, low - slack / 2.0)
}

fn over_sheets(
    bounds: Rect,
    form: SheetForm,
    wish: &PrintWish,
    anything_in: impl Fn(Rect) -> bool,
) -> Result<Tiling, PrintError> {
    let (width, height) = (form.window.width(), form.window.height());
    let (columns, left) = along(bounds.x0, bounds.x1, width, wish.overlap);
    let (rows, bottom) = along(bounds.y0, bounds.y1, height, wish.overlap);
    let sheets = columns.saturating_mul(rows);
    if sheets > MOST_SHEETS {
        return Err(PrintError::TooManySheets { sheets });
    }
    let (step_x, step_y) = (width - wish.overlap, height - wish.overlap);
    let left = off_the_centreline(left, bounds.x0, columns, step_x, wish.overlap);
    let mut tiles = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let at = Point::new(left + column as f64 * step_x, bottom + (rows - 1 - row) as f64 * step_y);
            let window = Rect::from_origin_size(at, (width, height));
            if anything_in(window) {
                tiles.push(Tile { row, column, window });
            }
        }
    }
    if tiles.is_empty() {
        return Err(PrintError::Nothing);
    }
    let joins = joins(&tiles, wish.overlap);
    Ok(Tiling { form, tiles, joins, overlap: wish.overlap })
}

/// Shifted, within the slack there is, so that no join runs along the centreline.
fn off_the_centreline(left: f64, low: f64, columns: usize, step: f64, overlap: f64) -> f64 {
    let slack = 2.0 * (low - left);
    let nearest = |left: f64| {
        (1..columns).map(|k| (left + k as f64 * step + overlap / 2.0).abs()).fold(f64::INFINITY, f64::min)
    };
    if nearest(left) >= OFF_THE_CENTRELINE {
        return left;
    }
    let tries = (-20..=20).map(|k| left + f64::from(k) / 40.0 * slack);
    tries
        .filter(|l| nearest(*l) >= OFF_THE_CENTRELINE)
        .min_by(|a, b| (a - left).abs().total_cmp(&(b - left).abs()))
        .unwrap_or(left)
}

fn joins(tiles: &[Tile], overlap: f64) -> Vec<Join> {
    let mut joins = Vec::new();
    let mut letters = 0;
    let half = overlap / 2.0;
    for (one, tile) in tiles.iter().enumerate() {
        let at = |row: usize, column: usize| tiles.iter().position(|t| t.row == row && t.column == column);
        let (w, right, below) = (tile.window, at(tile.row, tile.column + 1), at(tile.row + 1, tile.column));
        let lines = [
            (right, [Point::new(w.x1 - half, w.y0), Point::new(w.x1 - half, w.y1)]),
            (below, [Point::new(w.x0, w.y0 + half), Point::new(w.x1, w.y0 + half)]),
        ];
        for (other, line) in lines {
            let Some(other) = other else { continue };
            let marks = [0.22, 0.78].map(|t| {
                letters += 1;
                JoinMark { at: line[0].lerp(line[1], t), letter: letter(letters - 1) }
            });
            joins.push(Join { between: [one, other], line, marks });
        }
    }
    joins
}

/// A to Z, then AA and so on.
fn letter(number: usize) -> String {
    let one = |k: usize| char::from(b'A' + (k % 26) as u8);
    if number < 26 { one(number).to_string() } else { format!("{}{}", one(number / 26 - 1), one(number)) }
}

impl Join {
    /// From the line into the sheet that is kept there.
    pub fn inwards(&self, tile: usize) -> Vec2 {
        let along = (self.line[1] - self.line[0]).normalize();
        let to_first = Vec2::new(-along.y, along.x);
        if tile == self.between[0] { to_first } else { -to_first }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn of(width: f64, height: f64, wish: &PrintWish) -> Tiling {
        let bounds = Rect::new(-width / 2.0, -4.0, width / 2.0, height - 4.0);
        tiling(bounds, wish, |_| true).unwrap()
    }

    #[test]
    fn a_violin_takes_two_sheets_of_a4_and_one_of_a3() {
        let mut wish = PrintWish::default();
        for (pages, sheets) in [(Paper::A4, 2), (Paper::A3, 1), (Paper::Letter, 2), (Paper::Tabloid, 1)] {
            wish.pages = Pages::Sheets(pages);
            assert_eq!(of(214.0, 377.0, &wish).tiles.len(), sheets, "{pages:?}");
        }
        wish.pages = Pages::One;
        let one = of(214.0, 377.0, &wish);
        assert_eq!((one.tiles.len(), one.joins.len()), (1, 0));
    }

    #[test]
    fn letters_stand_on_the_side_of_the_sheet_they_are_for() {
        let tiling = of(450.0, 770.0, &PrintWish::default());
        assert!(tiling.joins.len() > 3);
        for join in &tiling.joins {
            for tile in join.between {
                let middle = tiling.tiles[tile].window.center();
                assert!((middle - join.marks[0].at).dot(join.inwards(tile)) > 0.0);
            }
        }
    }

    proptest! {
        #[test]
        fn every_place_of_a_drawing_is_on_a_sheet_within_its_join_lines(
            width in 50.0..700.0f64, height in 50.0..1200.0f64, overlap in 4.0..40.0f64, margin in 0.0..30.0f64,
            across in 90.0..110.0f64, up in 90.0..110.0f64, paper in 0..4usize, x in 0.0..1.0f64, y in 0.0..1.0f64,
        ) {
            let wish = PrintWish {
                pages: Pages::ALL[paper], overlap, margin, measured: [across, up], ..PrintWish::default()
            };
            let bounds = Rect::new(-width / 2.0, 0.0, width / 2.0, height);
            let Ok(tiling) = tiling(bounds, &wish, |_| true) else { return Ok(()) };
            let at = Point::new(bounds.x0 + x * width, y * height);
            let kept = tiling.tiles.iter().enumerate().filter(|(k, tile)| {
                let own = tiling.joins.iter().filter(|j| j.between.contains(k));
                tile.window.inflate(1e-6, 1e-6).contains(at)
                    && own.into_iter().all(|j| (at - j.line[0]).dot(j.inwards(*k)) > -1e-6)
            });
            prop_assert!(kept.count() >= 1);
        }
    }
}
