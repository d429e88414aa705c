//! The words for the results of a class.

use super::Text;
use ribline_geometry::class::{Alignment, Key};

pub struct ClassWords {
    pub heading: Text,
    pub lead: Text,
    pub title: fn(results: usize, recipe: &str, alike: bool) -> String,
    pub nothing: Text,

    pub paste: Text,
    pub paste_example: Text,
    pub take: Text,
    pub choose: Text,
    pub present: Text,
    pub invent: Text,
    pub invented_name: fn(place: usize) -> String,
    pub bring_note: Text,
    pub opening: Text,
    pub taken: fn(names: &[String]) -> String,
    pub not_taken: fn(which: &str, why: &str) -> String,
    pub the_file: fn(name: &str) -> String,
    pub the_text: Text,
    pub the_link: fn(number: usize, of: usize, beside: &str, ending: &str, file: &str) -> String,
    pub links_beyond: fn(from: usize, to: usize, file: &str) -> String,
    pub there_already: fn(name: &str) -> String,
    pub full: fn(most: usize) -> String,
    pub not_kept: fn(name: &str) -> String,
    pub nameless: fn(number: usize) -> String,

    pub name: Text,
    pub about:
        fn(recipe: &str, length: &str, least: &str, most: &str, turned: bool, left_out: usize) -> String,
    pub other_recipe: fn(recipe: &str) -> String,
    pub remove: Text,
    pub removed: fn(name: &str) -> String,
    pub put_back: Text,

    pub way: Text,
    pub over: Text,
    pub beside: Text,
    pub table: Text,
    pub brought_together: Text,
    pub alignment: fn(Alignment) -> Text,
    pub times: Text,
    pub times_as_large: fn(f64) -> String,
    pub over_label: Text,
    pub over_note: fn(times: f64) -> String,
    pub beside_note: fn(times: f64) -> String,
    pub beside_figures: fn(length: &str, overhang: &[String; 3], sides: &str) -> String,

    pub most_different: Text,
    pub figure: Text,
    pub unit: Text,
    pub apart: Text,
    pub from: Text,
    pub to: Text,
    pub order_note: Text,
    pub key: fn(&Key) -> String,
    pub degrees: fn(&str) -> String,
    pub save: Text,
    pub file: Text,
}
