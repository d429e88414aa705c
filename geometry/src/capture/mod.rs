//! Getting the line in at the bench: from a photo or a scan, a drawing file, or a few measurements.
//!
//! A photo is squared up ([`Squared`]): a projective map takes its pixels to millimetres on the board. A line on it is
//! followed ([`follow`]) from tap to tap. Outlines of open vector files are sampled ([`read_vector`]). Before anything is
//! scribed, a few measurements say how the ribs stand to the recipe ([`before_scribing`]).

pub mod before_scribing;
mod corridor;
mod follow;
mod frame_sheet;
mod header;
mod homography;
mod mark;
mod path;
mod photo;
#[cfg(test)]
mod pictured;
#[cfg(test)]
mod recovery_tests;
mod retrace;
mod square;
mod taking;
mod vector;
mod warp;

/// Standard deviation of a distance taken with callipers and square from a pencilled centreline, mm. Common practice.
pub const CALLIPERS: f64 = 0.2;

pub use follow::{FollowError, OnLine, Stretch, Tone, follow};
pub use frame_sheet::FrameSheet;
pub use header::picture_size;
pub use homography::{Homography, HomographyError};
pub use mark::middle_of_mark;
pub use photo::{MOST_PIXELS, Photo};
pub use retrace::{CornerMoved, Retraced, RunDiffers, retraced, traced_line};
pub use square::{Mark, Remark, SquareError, Squared, around, rectangle};
pub use taking::{Along, Doubt, Misplaced, Piece, Taking, how_good};
pub use vector::{FILE_LIMIT, UnitTaken, VectorDrawing, VectorError, VectorLine, is_drawing, read_vector};
pub use warp::Warp;
