//! The words for sharing, and for what arrives from others.

use super::Text;
use ribline_geometry::outline::Face;
use ribline_geometry::share::Contents;

pub struct TeachWords {
    pub lead: Text,
    pub share: Text,
    pub share_note: Text,
    pub title: Text,
    pub author: Text,
    pub with_trace: Text,
    pub as_result: Text,
    pub no_trace: Text,
    pub rounded: Text,
    pub link: Text,
    pub copy: Text,
    pub copied: Text,
    pub selected: Text,
    pub making: Text,
    pub length: fn(characters: usize, version: u8) -> String,
    pub faulty: fn(why: &str) -> String,
    pub symbol: Text,
    pub symbol_of: fn(title: &str) -> String,
    pub read_from: fn(widths: f64) -> String,
    pub show_large: Text,
    pub print: Text,
    pub close: Text,
    pub named_by: fn(title: &str, author: &str) -> String,
}

pub struct ArrivalWords {
    pub opening: Text,
    pub not_opened: fn(why: &str) -> String,
    pub from_link: Text,
    pub from_file: fn(name: &str) -> String,
    pub untitled: Text,
    pub by: fn(author: &str) -> String,
    pub by_nobody: Text,
    pub instrument: Text,
    pub draws: Text,
    pub body_length: Text,
    pub steps: Text,
    pub carries: Text,
    pub carried: fn(Contents, points: usize, title: &str, Face) -> String,
    pub link: Text,
    pub version: fn(u8) -> String,
    pub note: Text,
    pub outline: Text,
    pub faulty: fn(why: &str) -> String,
    pub nothing_yet: Text,
    pub work: Text,
    pub open: Text,
    pub keep: Text,
    pub leave: Text,
    pub kept: fn(title: &str) -> String,
}
