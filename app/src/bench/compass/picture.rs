//! The edge with its numbered centres, small, for paper.

use super::set_apart;
use crate::drawing::path::{cross, line_to, move_to, outline_path};
use kurbo::{Point, Rect};
use ribline_geometry::bench::compass_sheet::CompassSheet;
use ribline_geometry::reconcile::report::Reconciled;
use std::fmt::Write;

/// Arms of a centre's cross, and half the length of a tick where two arcs meet, mm.
const ARM: f64 = 2.2;
const TICK: f64 = 2.5;
/// Height of a number, mm of the plate.
const NUMBER: f64 = 8.0;
/// From a centre to its number, across and up, mm.
const BESIDE: f64 = 1.2;

/// The drawing as SVG text; its numbers are the sheet's.
pub fn picture(sheet: &CompassSheet, result: &Reconciled) -> String {
    let outline = &result.edge.outline;
    let centres = sheet.numbered_centres();
    let whole = centres.iter().fold(sheet.board, |whole, (at, _)| whole.union_pt(*at)).inflate(8.0, 8.0);
    let (mut crosses, mut ticks) = (String::new(), String::new());
    centres.iter().for_each(|(at, _)| cross(&mut crosses, *at, ARM));
    for strike in &sheet.strikes {
        // Across the edge where the arc begins.
        let along = strike.begins - strike.centre;
        let out = along / along.hypot().max(1e-9);
        move_to(&mut ticks, strike.begins - TICK * out);
        line_to(&mut ticks, strike.begins + TICK * out);
    }
    let Rect { x0, y0, x1, y1 } = sheet.board;
    let mut out = format!(
        "<svg viewBox=\"{:.1} {:.1} {:.1} {:.1}\" role=\"img\"><g transform=\"scale(1 -1)\"><path class=\"of-board\" d=\"M{x0:.1} {y0:.1}H{x1:.1}V{y1:.1}H{x0:.1}Z\"/><path class=\"of-centreline\" d=\"M0 {y0:.1}V{y1:.1}\"/><path class=\"of-edge\" d=\"{}\"/><path class=\"of-ticks\" d=\"{ticks}\"/><path class=\"of-centres\" d=\"{crosses}\"/></g>",
        whole.x0,
        -whole.y1,
        whole.width(),
        whole.height(),
        outline_path(outline),
    );
    let labels = centres.into_iter().map(|(at, numbers)| {
        let text = numbers.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
        (Point::new(at.x + BESIDE, -at.y - BESIDE), text)
    });
    for (Point { x, y }, text) in set_apart(labels.collect(), NUMBER) {
        let _ = write!(out, "<text x=\"{x:.1}\" y=\"{y:.1}\" font-size=\"{NUMBER}\">{text}</text>");
    }
    out.push_str("</svg>");
    out
}
