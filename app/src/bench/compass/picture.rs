//! The edge with its numbered centres, small, for paper.

use super::numbers::{breadth, set_apart};
use crate::drawing::path::{cross, line_to, move_to, outline_path};
use kurbo::{Point, Rect, Size, Vec2};
use ribline_geometry::bench::compass_sheet::CompassSheet;
use ribline_geometry::reconcile::report::Reconciled;
use std::fmt::Write;

/// The most that the picture takes of the paper, mm: beside the words, and so high that the first strikes stand below it.
const MOST: Size = Size::new(108.0, 132.0);
/// Height of the letters of a number, mm of the paper; its figures are some seven tenths as high, and can be read at the bench.
const NUMBER: f64 = 3.7;
/// Arms of a centre's cross, half the length of a tick where two arcs meet, and from a centre to its number, mm of the paper.
const ARM: f64 = 0.8;
const TICK: f64 = 0.9;
const BESIDE: f64 = 0.5;
/// A number that stands further from its centre is led there by a line, in its own height.
const FAR: f64 = 0.6;
/// Around all of it, mm of the paper.
const RIM: f64 = 1.0;

/// The drawing as SVG text; its numbers are the sheet's.
pub fn picture(sheet: &CompassSheet, result: &Reconciled) -> String {
    let centres: Vec<(Point, String)> = sheet
        .numbered_centres()
        .into_iter()
        .map(|(at, numbers)| (at, numbers.iter().map(usize::to_string).collect::<Vec<_>>().join(", ")))
        .collect();
    let Laid { labels, view, mm } = laid(sheet.board, &centres);
    let mut crosses = String::new();
    centres.iter().for_each(|(at, _)| cross(&mut crosses, *at, ARM * mm));
    let mut ticks = String::new();
    for strike in &sheet.strikes {
        // Across the edge where the arc begins.
        let along = strike.begins - strike.centre;
        let out = along / along.hypot().max(1e-9);
        move_to(&mut ticks, strike.begins - TICK * mm * out);
        line_to(&mut ticks, strike.begins + TICK * mm * out);
    }
    let mut leads = String::new();
    for (number, text) in &labels {
        let centre = centres.iter().find(|(_, of)| of == text).map(|(at, _)| *at);
        // From the number's foot, where it begins or ends, whichever is nearer.
        let ends = [number.x, number.x + breadth(text, NUMBER * mm)].map(|x| Point::new(x, -number.y));
        if let Some(centre) = centre
            && let Some(end) =
                ends.into_iter().min_by(|a, b| a.distance(centre).total_cmp(&b.distance(centre)))
            && end.distance(centre) > FAR * NUMBER * mm
        {
            move_to(&mut leads, centre);
            line_to(&mut leads, end);
        }
    }
    let Rect { x0, y0, x1, y1 } = sheet.board;
    let mut out = format!(
        "<svg viewBox=\"{:.1} {:.1} {:.1} {:.1}\" width=\"{:.1}mm\" height=\"{:.1}mm\" role=\"img\"><g transform=\"scale(1 -1)\"><path class=\"of-board\" d=\"M{x0:.1} {y0:.1}H{x1:.1}V{y1:.1}H{x0:.1}Z\"/><path class=\"of-centreline\" d=\"M0 {y0:.1}V{y1:.1}\"/><path class=\"of-edge\" d=\"{}\"/><path class=\"of-ticks\" d=\"{ticks}\"/><path class=\"of-leads\" d=\"{leads}\"/><path class=\"of-centres\" d=\"{crosses}\"/></g>",
        view.x0,
        view.y0,
        view.width(),
        view.height(),
        view.width() / mm,
        view.height() / mm,
        outline_path(&result.edge.outline),
    );
    for (Point { x, y }, text) in labels {
        let _ = write!(out, "<text x=\"{x:.1}\" y=\"{y:.1}\" font-size=\"{:.1}\">{text}</text>", NUMBER * mm);
    }
    out.push_str("</svg>");
    out
}

struct Laid {
    /// Where each number begins, y down.
    labels: Vec<(Point, String)>,
    /// All of the picture, y down.
    view: Rect,
    /// What is a mm of the paper, in mm of the plate.
    mm: f64,
}

/// The numbers keep their size on the paper, so the further out they stand the smaller the plate: a few rounds settle it.
fn laid(board: Rect, centres: &[(Point, String)]) -> Laid {
    let down = |at: Point| Point::new(at.x, -at.y);
    let bare = Rect::from_points(down(board.origin()), down(Point::new(board.x1, board.y1)));
    let bare = centres.iter().fold(bare, |all, (at, _)| all.union_pt(down(*at)));
    let scale = |view: Rect| (view.width() / MOST.width).max(view.height() / MOST.height);
    let mut laid = Laid { labels: Vec::new(), view: bare, mm: scale(bare) };
    for _ in 0..6 {
        let (mm, height) = (laid.mm, NUMBER * laid.mm);
        let beside = Vec2::new(BESIDE * mm, -BESIDE * mm);
        let begins = centres.iter().map(|(at, text)| (down(*at) + beside, text.clone()));
        let labels = set_apart(begins.collect(), height);
        let view = labels.iter().fold(bare, |all, (at, text)| {
            all.union(Rect::new(at.x, at.y - height, at.x + breadth(text, height), at.y + 0.3 * height))
        });
        let view = view.inflate(RIM * mm, RIM * mm);
        laid = Laid { labels, view, mm: scale(view).max(mm) };
    }
    laid
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn numbers_lie_within_the_picture_and_keep_their_size_however_far_out_their_centres_are() {
        let board = Rect::new(-230.0, -20.0, 230.0, 770.0);
        for far in [0.0, 240.0, 600.0, 3000.0] {
            let centres =
                [(far, 400.0, "21, 22"), (-far, 300.0, "23"), (12.0, -20.0, "5"), (13.0, -19.0, "6")];
            let centres = centres.map(|(x, y, text)| (Point::new(x, y), text.to_owned()));
            let Laid { labels, view, mm } = laid(board, &centres);
            let height = NUMBER * mm;
            for (at, text) in &labels {
                let area = Rect::new(at.x, at.y - 0.75 * height, at.x + breadth(text, height), at.y);
                assert!(view.contains_rect(area), "{far}: {text} at {at:?} in {view:?}");
            }
            let (across, along) = (view.width() / mm, view.height() / mm);
            assert!(across <= MOST.width + 1e-6 && along <= MOST.height + 1e-6, "{across} by {along} mm");
        }
    }
}
