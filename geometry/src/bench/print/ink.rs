//! How each layer is drawn on paper: breadths and dashes that tell lines apart without colour.

use super::canvas::Pen;
use super::wish::Drawn;
use crate::bench::shapes::Layer;

const fn dashed(breadth: f64, dashes: &'static [f64]) -> Pen {
    Pen { breadth, dashes, grey: 0.0 }
}

/// Frames, ticks and the like.
pub const HAIR: Pen = Pen { breadth: 0.1, dashes: &[], grey: 0.45 };
/// Bars to be measured, and their end strokes.
pub const RULE: Pen = Pen::fine(0.13);
/// Where two sheets are joined.
pub const JOIN: Pen = dashed(0.13, &[3.0, 1.5]);

/// `None` for what is not printed as a line of its own.
pub fn pen(layer: Layer) -> Option<Pen> {
    Some(match layer {
        Layer::Edge | Layer::Mould => Pen::fine(0.35),
        Layer::LeftForTheFile => dashed(0.13, &[5.0, 1.0]),
        Layer::Ribs => dashed(0.18, &[2.6, 1.0]),
        Layer::PurflingChannel => Pen::fine(0.12),
        Layer::Corners => Pen::fine(0.25),
        Layer::Centres => Pen::fine(0.15),
        Layer::Pins => Pen::fine(0.25),
        Layer::Centreline => dashed(0.18, &[8.0, 1.4, 0.8, 1.4]),
        Layer::Traced => Pen::fine(0.12),
        Layer::Recesses => dashed(0.18, &[1.2, 0.8]),
        Layer::Holes => Pen::fine(0.2),
        // The button's line is part of the edge; between the channel's sides there is no room for a third line.
        Layer::Button | Layer::Purfling | Layer::Check => return None,
    })
}

/// To which choice of the maker a layer belongs.
pub fn drawn(layer: Layer) -> Option<Drawn> {
    Some(match layer {
        Layer::Edge | Layer::Mould | Layer::Recesses | Layer::Holes => Drawn::Edge,
        Layer::LeftForTheFile => Drawn::LeftForTheFile,
        Layer::Ribs => Drawn::Ribs,
        Layer::PurflingChannel => Drawn::Purfling,
        Layer::Corners => Drawn::Corners,
        Layer::Centres => Drawn::Centres,
        Layer::Centreline | Layer::Pins => Drawn::Centreline,
        Layer::Traced => Drawn::Traced,
        Layer::Button | Layer::Purfling | Layer::Check => return None,
    })
}

/// The line that stands for a choice in the key.
pub fn key(drawn: Drawn) -> Layer {
    match drawn {
        Drawn::Edge => Layer::Edge,
        Drawn::LeftForTheFile => Layer::LeftForTheFile,
        Drawn::Ribs => Layer::Ribs,
        Drawn::Purfling => Layer::PurflingChannel,
        Drawn::Corners => Layer::Corners,
        Drawn::Centres => Layer::Centres,
        Drawn::Centreline => Layer::Centreline,
        Drawn::Traced => Layer::Traced,
        Drawn::CornersEnlarged => Layer::Corners,
    }
}
