//! A traced line: points on or around the finished ribs, as they were taken.
//!
//! [`read`] makes a [`Trace`] of a file; [`prepare()`] brings it into the frame of the result, puts every
//! point on its run and sets gross mis-takes aside.

mod corner_place;
mod error;
mod frame;
mod gaps;
mod give;
mod laid;
mod meeting;
mod mistakes;
mod names;
mod notice;
mod placing;
mod pose;
mod prepare;
mod read;
mod remarks;
mod repeats;
#[cfg(test)]
pub(crate) mod simulated;
mod span;
mod strips;
mod symmetry;
#[cfg(test)]
mod tests;
mod write;

pub use error::{Pin, TraceError};
pub use notice::Notice;
pub use prepare::prepare;
pub use read::{POINT_LIMIT, REACH_LIMIT, TEXT_LIMIT, read, text_of};

use crate::outline::{Run, Side};
use kurbo::{Affine, Point};

/// One traced point, in mm, in whatever frame it was measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TracedPoint {
    pub at: Point,
    /// The run it lies on, where the maker said so.
    pub run: Option<Run>,
    /// The side on which it was measured from the centreline x = 0: a point of an offsets table.
    /// Its bout is not known from that.
    pub side: Option<Side>,
    /// Line of the file it came from, counted from 1; how the maker finds it again.
    pub line: usize,
    pub taken: HowTaken,
    /// Standard deviation of its place across the line, mm, where the way of taking it tells.
    pub sd: Option<f64>,
}

/// How a point was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum HowTaken {
    /// As figures: typed, pasted or from a file.
    #[default]
    Given,
    /// Tapped on a photo.
    Tapped,
    /// Where the line on a photo was followed.
    Followed,
    /// Sampled from a drawing file.
    Drawn,
    /// Measured from the centreline, in the table for offsets.
    Offset,
    /// Moved by hand afterwards, however it had been taken.
    Moved,
}

impl HowTaken {
    /// After it was moved by hand; figures that are changed stay figures.
    pub fn moved(self) -> HowTaken {
        match self {
            HowTaken::Given => HowTaken::Given,
            _ => HowTaken::Moved,
        }
    }
}

/// The two pins that hold the ribs (and later the plate) on the centreline.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Pins {
    pub lower: Option<Point>,
    pub upper: Option<Point>,
}

/// A traced line as it was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trace {
    pub points: Vec<TracedPoint>,
    pub pins: Pins,
}

/// A rigid motion: given = R(angle) * result + origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Where the origin of the result lies in the frame the points were given in.
    pub origin: Point,
    /// Radians.
    pub angle: f64,
}

impl Frame {
    pub fn to_given(self, result: Point) -> Point {
        Affine::translate(self.origin.to_vec2()) * Affine::rotate(self.angle) * result
    }

    pub fn to_result(self, given: Point) -> Point {
        Affine::rotate(-self.angle) * (given - self.origin.to_vec2())
    }
}

/// A trace made ready: in the frame of the result, every point on its run, gross mis-takes set aside.
#[derive(Debug, Clone, PartialEq)]
pub struct PreparedTrace {
    pub frame: Frame,
    /// True where no two pins gave the centreline and it was estimated by symmetry.
    pub centreline_estimated: bool,
    /// Points kept, in the order in which they were given.
    pub points: Vec<PlacedPoint>,
    /// Where the traced runs meet, in the order of [`crate::outline::Corner::ALL`]; `None` where nothing near was traced.
    pub corners: [Option<Point>; 4],
    /// Points set aside before any fit, with the reason.
    pub set_aside: Vec<SetAside>,
    /// The pins in the frame of the result.
    pub pins: Pins,
    pub notices: Vec<Notice>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedPoint {
    /// In the frame of the result.
    pub at: Point,
    pub run: Run,
    /// Whether the maker named the run (then it is not reassigned).
    pub named: bool,
    /// As [`TracedPoint::sd`].
    pub sd: Option<f64>,
    /// Index into [`Trace::points`].
    pub index: usize,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SetAside {
    /// Index into [`Trace::points`].
    pub index: usize,
    pub line: usize,
    pub why: AsideReason,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AsideReason {
    /// The same place was taken before.
    Repeated,
    /// Too far from its neighbours to belong to the line.
    OffTheLine,
}
