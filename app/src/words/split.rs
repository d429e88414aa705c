//! Words of straightening and splitting a traced line.

use super::Text;
use ribline_geometry::outline::{Corner, Run};

pub struct SplitWords {
    pub title: Text,
    pub note: Text,
    pub centreline: fn(pins: usize, of_offsets: bool) -> Text,
    pub set_pins: Text,
    pub show_pin: Text,
    pub no_pins: Text,
    pub parting: fn(Corner, outer: usize, waist: usize) -> String,
    pub more_outer: fn(Corner) -> Text,
    pub more_waist: Text,
    pub at_corner: fn(Corner, Text) -> String,
    pub named: fn(named: usize, of: usize) -> String,
    pub keep: Text,
    pub leave: Text,
    /// A point of which no run is named, and the one on which it was found.
    pub found_on: fn(Run) -> String,
}
