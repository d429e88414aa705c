//! The words of the replay.

use super::Text;
use ribline_geometry::recipe::Recipe;
use ribline_geometry::recipe::replay::{Act, Frame};

pub struct ReplayWords {
    pub heading: Text,
    pub drawing: Text,
    pub controls: Text,
    pub first: Text,
    pub back: Text,
    pub play: Text,
    pub pause: Text,
    pub on: Text,
    pub last: Text,
    pub pace: Text,
    /// From the slowest up.
    pub pace_name: fn(usize) -> Text,
    pub follow: Text,
    pub full: Text,
    pub leave_full: Text,
    pub light_board: Text,
    pub dark_board: Text,
    pub nothing: Text,

    pub lengths: Text,
    pub own_lengths: Text,
    pub rib_lengths: Text,
    pub steps: Text,
    pub step_of: fn(number: usize, of: usize) -> String,
    pub stage: fn(Act) -> Text,
    /// What is made in a frame.
    pub name: fn(&Recipe, Act) -> String,
    /// What is done in it.
    pub sentence: fn(&Recipe, &Frame) -> String,
    /// How it is done; empty where the sentence says it.
    pub how: fn(&Recipe, &Frame) -> String,

    pub print: Text,
    pub print_note: Text,
    pub printed_on: fn(&str) -> String,
    pub millimetres: Text,
    pub caution: Text,
}
