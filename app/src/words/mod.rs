//! The catalogue of all words on screen. Views hold none of their own, so that another language is another file beside
//! `en.rs` and nothing else. A language may decline and order as it likes: whatever has a figure or a name within it is a
//! function to the finished text.

pub mod bench;
pub mod capture;
pub mod class;
mod en;
pub mod mould;
pub mod recipe;
pub mod replay;
pub mod split;
pub mod teach;

use crate::drawing::Grade;
use crate::showing::{Layer, Step};
use crate::store::{ChangeKind, PinName};
use ribline_geometry::outline::{Bout, Corner, Face, Run, Side, StringSide};
use ribline_geometry::recipe::Instrument;
use ribline_geometry::reconcile::Traced;
use ribline_geometry::reconcile::report::Stretch;

/// The words of the language that the page is in. English is the only one as yet.
pub fn words() -> &'static Words {
    &en::ENGLISH
}

/// What geometry says, with the full stop that it leaves to whoever shows it.
pub fn sentence_of(said: &impl ToString) -> String {
    let text = said.to_string();
    if text.ends_with('.') { text } else { format!("{text}.") }
}

pub fn capital(text: &str) -> String {
    let mut capital = text.to_owned();
    if let Some(first) = capital.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    capital
}

type Text = &'static str;

pub struct Words {
    pub decimal_point: Text,
    pub stopped: Text,
    pub part_missing: Text,
    pub fetch_again: Text,
    pub corner: fn(Corner) -> String,
    pub corner_short: fn(Corner) -> String,
    pub refused: fn(why: &str) -> String,
    pub refused_kept: fn(why: &str) -> String,
    pub number: NumberWords,
    pub strip: StripWords,
    pub drawing: DrawingWords,
    pub readout: ReadoutWords,
    pub storage: StorageWords,
    pub worker: WorkerWords,
}

/// The words of parts of the page that are fetched when they are first shown (see `parts`). Each stand by themselves: a table of
/// all the words would bring every word of the page into the first file.
impl Words {
    pub fn set_out(&self) -> &'static SetOutWords {
        &en::SET_OUT
    }

    pub fn recipe(&self) -> &'static recipe::RecipeWords {
        &en::recipe::RECIPE
    }

    pub fn split(&self) -> &'static split::SplitWords {
        &en::split::SPLIT
    }

    pub fn shelf(&self) -> &'static recipe::ShelfWords {
        &en::recipe::SHELF
    }

    pub fn family(&self) -> &'static mould::FamilyWords {
        &en::mould::FAMILY
    }

    pub fn mould(&self) -> &'static mould::MouldWords {
        &en::mould::MOULD
    }

    pub fn replay(&self) -> &'static replay::ReplayWords {
        &en::replay::REPLAY
    }

    pub fn edge(&self) -> &'static EdgeWords {
        &en::EDGE
    }

    pub fn files(&self) -> &'static FileWords {
        &en::FILES
    }

    pub fn ribs(&self) -> &'static RibsWords {
        &en::RIBS
    }

    pub fn bench(&self) -> &'static bench::BenchWords {
        &en::bench::BENCH
    }

    pub fn teach(&self) -> &'static teach::TeachWords {
        &en::teach::TEACH
    }

    pub fn class(&self) -> &'static class::ClassWords {
        &en::class::CLASS
    }

    pub fn arrival(&self) -> &'static teach::ArrivalWords {
        &en::teach::ARRIVAL
    }

    pub fn example(&self) -> &'static ExampleWords {
        &en::EXAMPLE
    }
}

pub struct NumberWords {
    pub empty: Text,
    pub not_a_number: Text,
    pub outside: fn(least: &str, most: &str, unit: &str) -> String,
}

pub struct StripWords {
    pub steps: Text,
    pub step: fn(Step) -> Text,
    pub way_back: Text,
    pub nothing_to_undo: Text,
    pub nothing_to_redo: Text,
    pub undo_of: fn(ChangeKind) -> String,
    pub redo_of: fn(ChangeKind) -> String,
}

pub struct DrawingWords {
    pub title: Text,
    pub keys: Text,
    pub untitled: Text,
    pub recipe_itself: Text,
    pub face: fn(Face) -> Text,
    pub side: fn(StringSide) -> Text,
    pub body_length: Text,
    pub arcs: Text,
    pub points: Text,
    pub arc_label: fn(name: &str, Side, radius: f64) -> String,
    pub point_label: fn(line: usize, overhang: f64) -> String,
    pub pin: fn(PinName) -> Text,
    pub corner_label: fn(Corner, width: f64, beyond: f64) -> String,
    pub zoom: Text,
    pub larger: Text,
    pub smaller: Text,
    pub all: Text,
    pub layers: Text,
    pub layer: fn(Layer) -> Text,
    pub exaggerated: fn(of_ribs: bool, times: f64) -> String,
    pub grade: fn(Grade) -> Text,
    pub overhang_figure: fn(mm: &str, Grade) -> String,
}

pub struct ReadoutWords {
    pub hint: Text,
    pub recipe_hint: Text,
    pub mould_hint: Text,
    /// An arc by the name of its circle, and its side as drawn.
    pub arc_name: fn(&str, Side) -> String,
    pub radius: Text,
    pub mm: fn(&str) -> String,
    pub mm_sd: fn(mm: &str, sd: &str) -> String,
    pub held_at: Text,
    pub near: Text,
    pub chance: Text,
    pub chance_of: fn(f64) -> String,
    pub centre: Text,
    pub up_across: fn(up: f64, across: f64) -> String,
    pub point_name: fn(line: usize, Option<Run>) -> String,
    pub overhang: Text,
    pub place: Text,
    pub judged: Text,
    pub left_out: Text,
    pub width: Text,
    pub beyond: Text,
    pub outer_flank: Text,
    pub waist_flank: Text,
}

pub struct SetOutWords {
    pub lead: Text,
    pub instrument: Text,
    pub instrument_name: fn(Instrument) -> Text,
    pub recipe: Text,
    pub changed: fn(&str) -> String,
    pub body_length: Text,
    pub body_length_note: Text,
    pub measures: Text,
    pub measure: Text,
    pub ratio: Text,
    pub ratio_of: fn(measure: &str) -> String,
}

pub struct RibsWords {
    pub lead: Text,
    pub plate: Text,
    pub back: Text,
    pub front: Text,
    pub face_up: Text,
    pub inside: Text,
    pub outside: Text,
    pub sides: fn(left: Text, right: Text) -> String,
    pub traced: Text,
    pub traced_ribs: Text,
    pub traced_purfling: Text,
    pub traced_edge: Text,
    pub ribs_meaning: Text,
    pub purfling_meaning: Text,
    pub edge_meaning: Text,
    pub purfling_distance: Text,
    pub at_the_bench: Text,
    pub ways: [Text; 5],
    pub bring_in: Text,
    pub drop_note: Text,
    pub open: Text,
    pub start_afresh: Text,
    pub show_example: Text,
    pub bring_back: Text,
    pub paste: Text,
    pub paste_example: Text,
    pub paste_take: Text,
    pub taken: fn(points: usize) -> String,
    pub forms: Text,
    pub forms_list: [Text; 4],
    pub points: fn(usize) -> String,
    pub count_of_run: fn(Run, usize) -> String,
    pub count_unnamed: fn(usize) -> String,
    pub table_note: Text,
    pub line: Text,
    pub run: Text,
    pub run_name: fn(Run) -> Text,
    pub unnamed: Text,
    pub x: Text,
    pub y: Text,
    pub left_out: Text,
    pub remove: Text,
    pub remove_line: fn(line: usize) -> String,
    pub new: Text,
    pub add: Text,
}

pub struct EdgeWords {
    pub nothing: Text,
    pub overhang_range: fn(Traced, min: &str, max: &str) -> String,
    pub and_worst: fn(&Stretch, others: usize) -> String,
    pub all_within: fn(tolerance: &str) -> String,
    pub closer: fn(min: &str, max: &str, mean: &str, rms: &str, trace_sd: &str) -> String,
    pub look_at: Text,
    pub left_out: fn(line: usize, overhang: &str) -> String,
    pub of_line: fn(line: usize) -> String,
    pub show_point: Text,
    pub remove_point: Text,
    pub overhang_wanted: Text,
    pub bout_name: fn(Bout) -> Text,
    pub tolerance: Text,
    pub overhang_not_used: Text,
    pub finish: Text,
    pub by_ratio: Text,
    pub fitted: Text,
    pub as_recipe: Text,
    pub by_ratio_meaning: Text,
    pub fitted_meaning: Text,
    pub as_recipe_meaning: Text,
    pub shared_radii: Text,
    pub extra_arcs: Text,
    pub corners: Text,
    pub corners_note: Text,
    pub corner: Text,
    pub up: Text,
    pub across: Text,
    pub width: Text,
    pub beyond: Text,
    pub overhang: Text,
    pub outer_flank: Text,
    pub waist_flank: Text,
    pub direction: Text,
    pub cuts: Text,
    pub cut_where: Text,
    pub cut_width: Text,
    pub cut_beyond: Text,
    pub cut_width_field: Text,
    pub cut_beyond_field: Text,
    pub lean: Text,
    pub arcs: Text,
    pub from_pin: Text,
    pub from_bottom: Text,
    pub chance_note: Text,
    pub arc: Text,
    pub radius: Text,
    pub sd: Text,
    pub ratio: Text,
    pub near: fn(ratio: &str) -> String,
    pub chance: Text,
    pub chance_figure: fn(f64) -> String,
    pub centre: Text,
    pub sweep: Text,
    pub measures: Text,
    pub measure: Text,
    pub found: Text,
    pub planned: Text,
    pub difference: Text,
}

pub struct StorageWords {
    pub not_kept: Text,
    pub photo_not_kept: Text,
    pub other_tab: Text,
    pub not_taken: fn(name: &str, why: &str) -> String,
    pub let_fall: Text,
    pub understood: Text,
    pub damaged: Text,
    pub save_damaged: Text,
    pub forget_damaged: Text,
}

/// What is wrong with a file before anything in it has been read, or with the photo that the browser keeps.
pub struct FileWords {
    pub photo_damaged: Text,
    pub too_large: fn(name: &str) -> String,
    pub unreadable: fn(name: &str) -> String,
    pub no_text: fn(name: &str) -> String,
    /// As what follows [`StorageWords::not_taken`].
    pub drawing: Text,
}

pub struct WorkerWords {
    pub not_loaded: Text,
    pub stopped: Text,
    pub not_understood: Text,
}

pub struct ExampleWords {
    pub title: Text,
    pub notes: Text,
}
