//! The frame of marks that is laid around the ribs and photographed with them.

use super::drawing::Drawing;
use super::words::Words;
use crate::bench::shapes::{Layer, Layered, Shapes};
use crate::capture::FrameSheet;
use kurbo::Rect;

/// White beyond the marks, mm: the line around a sheet stays clear of them.
const AROUND: f64 = 8.0;

/// The frame to be printed: the marks filled, the line within which it is cut out broken.
pub fn of_frame(sheet: &FrameSheet, words: &Words) -> Drawing {
    let laid = sheet.shapes().0.into_iter().filter_map(|layered| match layered.layer {
        Layer::Check => Some(layered),
        Layer::Edge => Some(Layered { layer: Layer::LeftForTheFile, ..layered }),
        // Every sheet has its own bars.
        _ => None,
    });
    let shapes = Shapes(laid.collect());
    let reach = AROUND + FrameSheet::HALF_MARK;
    let bounds = Rect::new(0.0, 0.0, sheet.width(), sheet.height()).inflate(reach, reach);
    let size = [sheet.width(), sheet.height()].map(|mm| words.figure(mm, 0));
    Drawing {
        line: shapes.0.iter().map(|layered| layered.path.clone()).collect(),
        notes: Vec::new(),
        bounds,
        length: sheet.height(),
        statements: vec![(words.frame_size)(&size[0], &size[1])],
        key: Vec::new(),
        is_mould: false,
        shapes,
    }
}
