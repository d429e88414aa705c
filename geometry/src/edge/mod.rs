//! The edge of the plate: the fitted runs carried to the four corner ends.

pub mod button;
pub(crate) mod corner;
pub(crate) mod parallel;
pub mod purfling;
pub mod sides;

use crate::outline::{Corner, Outline};
use kurbo::Point;

/// How the end of a corner is cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerWish {
    pub cut: CornerCut,
    /// Radians by which the cut leans off square to the bisector; positive counter-clockwise.
    pub lean: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CornerCut {
    /// Where the corner is so many mm wide.
    Width(f64),
    /// So many mm beyond the ribs' own corner.
    Beyond(f64),
}

impl CornerCut {
    /// Widths that can be cut, from a blunt point to broader than any corner, mm.
    pub const WIDTH: (f64, f64) = (0.5, 25.0);
    /// So far back from the ribs' own corner, or beyond it, a cut can be, mm.
    pub const BEYOND: (f64, f64) = (-10.0, 25.0);

    /// The same to a hundredth of a mm, or the nearest that can be cut.
    pub fn nearest(self) -> Self {
        let within = |mm: f64, (least, most): (f64, f64)| ((mm * 100.0).round() / 100.0).clamp(least, most);
        match self {
            CornerCut::Width(mm) => CornerCut::Width(within(mm, CornerCut::WIDTH)),
            CornerCut::Beyond(mm) => CornerCut::Beyond(within(mm, CornerCut::BEYOND)),
        }
    }
}

impl CornerWish {
    /// Leaning further the cut runs along the corner rather than across it, radians.
    pub const LEAN: f64 = std::f64::consts::FRAC_PI_4;

    pub fn width(mm: f64) -> Self {
        CornerWish { cut: CornerCut::Width(mm), lean: 0.0 }
    }
}

/// The closed edge and its corners.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Heading is continuous everywhere but at the two ends of each corner's cut.
    pub outline: Outline,
    /// In the order of [`Corner::ALL`].
    pub corners: [CornerEnd; 4],
}

/// One corner as it came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerEnd {
    pub at: Corner,
    /// End of the cut on the lower or upper run.
    pub outer: Point,
    /// End of the cut on the waist run.
    pub waist: Point,
    /// Length of the cut, mm.
    pub width: f64,
    /// Where the two edges would meet if carried on, when they do.
    pub meeting: Option<Point>,
    /// Direction in which the corner points: the bisector of the two edges at the cut, outwards, radians.
    pub heading: f64,
    /// Where the traced rib lines meet.
    pub rib_corner: Point,
    /// From the ribs' corner to the middle of the cut along `heading`, mm.
    pub beyond_ribs: f64,
    /// Distance from the ribs' corner to the edge on either flank, mm.
    pub overhang_outer: f64,
    pub overhang_waist: f64,
}
