//! The words for reading, changing and keeping recipes.

use super::Text;
use ribline_geometry::outline::Bout;
use ribline_geometry::recipe::{
    Dimension, Instrument, Measure, Part, PlacingKind, Purpose, Recipe, Size, Slot, Step, TouchFrom, Toward,
};

pub struct RecipeWords {
    // Sentences.
    /// A measure with its length in mm, where it has one.
    pub measure: fn(&Recipe, &Measure, Option<f64>) -> String,
    /// What is done in a step, in the imperative; its name is not in it.
    pub step: fn(&Recipe, &Step) -> String,
    /// Which circles make a run, and where it ends.
    pub run: fn(&Recipe, Bout) -> String,
    /// A size by what it is a part of.
    pub size: fn(&Recipe, &Size) -> String,
    pub edit_refused: fn(why: &str) -> String,

    // Headings.
    pub measures: Text,
    pub steps: Text,
    pub outline: Text,
    pub about: Text,
    pub to_put_right: fn(usize) -> String,

    // A size.
    pub ratio: Text,
    pub over: Text,
    pub under: Text,
    pub more: fn(what: &str) -> String,
    pub less: fn(what: &str) -> String,
    pub part_of: Text,
    pub none_of: Text,
    pub in_mm: Text,
    pub departs: Text,
    pub typed_unlike: Text,
    pub measure_in_mm: fn(mm: &str, of: &str) -> String,
    pub offered: Text,
    pub offer_this: Text,
    pub offer_none: Text,
    pub up: Text,
    pub out: Text,
    pub radius: Text,

    // A measure.
    pub letter: Text,
    pub measure_title: Text,
    pub body_length_first: Text,
    pub dimension: Text,
    pub dimension_name: fn(Option<Dimension>) -> Text,
    pub looseness: Text,
    pub looseness_note: Text,
    pub add_measure: Text,
    pub new_measure: Text,

    // A step.
    pub name: Text,
    pub placed: Text,
    pub kind: fn(PlacingKind) -> Text,
    pub slot: fn(PlacingKind, Slot) -> Text,
    pub from: fn(TouchFrom) -> Text,
    pub which: Text,
    pub toward: fn(Toward) -> Text,
    pub choose_none: Text,
    pub tap: Text,
    pub tapping: fn(point: bool) -> Text,
    pub would_do: fn(&str) -> String,
    pub earlier: Text,
    pub later: Text,
    pub add_point: Text,
    pub add_circle: Text,
    pub point_stem: Text,
    pub circle_stem: Text,
    pub insert_after: Text,
    pub remove: Text,
    pub remove_too: fn(&Recipe, Part) -> String,
    pub remove_all: fn(usize) -> String,
    pub leave: Text,

    // The outline.
    pub run_of: fn(Bout) -> Text,
    pub tap_circles: Text,
    pub tap_circles_note: Text,
    pub done: Text,
    pub remove_one: fn(&str) -> String,
    pub add_circle_to_run: Text,
    pub corner_point: fn(Bout) -> Text,

    // About it.
    pub title: Text,
    pub author: Text,
    pub note: Text,
    pub purpose: Text,
    pub purpose_name: fn(Purpose) -> Text,
    pub customary: Text,
    pub customary_note: Text,
    pub customary_names: [Text; 5],
    pub bare_title: Text,
    pub body_length: Text,
    pub lower_width: Text,
    pub bottom: Text,
    pub top: Text,
    pub instrument_name: fn(Instrument) -> Text,
}

pub struct ShelfWords {
    pub shelf: Text,
    pub lead: Text,
    pub empty: Text,
    pub keep: Text,
    pub kept: fn(&str) -> String,
    pub copy: Text,
    pub bare: Text,
    pub open_file: Text,
    pub save_file: Text,
    pub recipe_file: Text,
    pub take: Text,
    pub duplicate: Text,
    pub rename: Text,
    pub remove: Text,
    pub save: Text,
    pub removed: fn(&str) -> String,
    pub put_back: Text,
    pub damaged: fn(&str) -> String,
    pub not_kept: Text,
    pub here: Text,
    pub by: fn(&str) -> String,

    pub compare: Text,
    pub compare_one: Text,
    pub at_hand: fn(&str) -> String,
    pub compare_with: Text,
    pub compare_none: Text,
    pub at_one_length: Text,
    pub present: Text,
    pub other: Text,
    pub difference: Text,
    pub alike: Text,
    pub differing: Text,
    pub outline: Text,
    pub arcs_of: fn(Bout) -> String,
    pub only: Text,
    pub legend: fn(&str) -> String,
    pub solid: fn(&str) -> String,
    pub overlaid: Text,
}
