//! The words for what is taken to the bench: prints, the compass sheet, purfling and button, files.

use super::Text;
use ribline_geometry::bench::compass_sheet::{Mark, OffBoard};
use ribline_geometry::bench::print::Day;
use ribline_geometry::bench::print::wish::Drawn;
use ribline_geometry::bench::setting::BenchSetting;
use ribline_geometry::outline::{Face, Run};

pub struct BenchWords {
    pub lead: Text,
    pub nothing: Text,
    pub setting: fn(BenchSetting) -> Text,
    pub print: PrintWords,
    pub compass: CompassWords,
    pub purfling: PurflingWords,
    pub button: ButtonWords,
    pub files: FileWords,
    pub as_cut: AsCutWords,
    pub record: RecordWords,
    pub project: ProjectWords,
    pub caution: Text,
    pub caution_text: Text,
}

pub struct PrintWords {
    pub heading: Text,
    pub lead: Text,
    pub of: Text,
    pub of_plate: Text,
    pub of_mould: Text,
    pub plate: Text,
    pub back: Text,
    pub front: Text,
    pub face: fn(Face) -> String,
    pub pages: Text,
    /// In the order of `Pages::ALL`.
    pub papers: [Text; 5],
    pub part: Text,
    /// In the order of `Part::ALL`.
    pub parts: [Text; 3],
    pub drawn: Text,
    pub drawn_name: fn(Drawn, mould: bool) -> Text,
    pub overlap_and_margin: Text,
    pub margin_note: Text,
    pub laying_out: Text,
    pub sheets: fn(sheets: usize, paper: Option<&str>) -> String,
    pub map: Text,
    pub check_first: Text,
    pub check_page: Text,
    pub measure_itself: Text,
    pub type_bars: Text,
    pub no_correction: Text,
    pub correction: fn(across: &str, up: &str) -> String,
    pub as_printed: Text,
    pub then_print: Text,
    pub then_print_one: Text,
    pub make: Text,
    pub making: Text,
    pub made: fn(name: &str, pages: usize, kilobytes: usize) -> String,
    pub open: Text,
    pub save: Text,
    pub plate_file: Text,
    pub mould_file: Text,
    pub check_file: Text,
    pub caution: Text,
}

pub struct CompassWords {
    pub heading: Text,
    pub lead: Text,
    pub from_pin: Text,
    pub from_bottom: Text,
    pub step: Text,
    pub inches: Text,
    pub effect: fn(step: &str, most: &str, run: Run, rms: &str) -> String,
    pub number: Text,
    pub setting: Text,
    pub setting_inches: Text,
    pub ratio: Text,
    pub near: fn(&str) -> String,
    pub centre: Text,
    pub up: Text,
    pub across: Text,
    pub check: Text,
    pub begins: Text,
    pub ends: Text,
    pub arc: Text,
    pub set_as: fn(number: usize) -> String,
    /// Up and across of the begin and the end.
    pub struck: fn(begins: [&str; 2], ends: [&str; 2]) -> String,
    pub checks: fn(&[String]) -> String,
    pub check_from: fn(Mark, mm: &str) -> String,
    pub off_board: fn(OffBoard) -> String,
    pub off_board_short: fn(OffBoard) -> String,
    pub scrap: Text,
    pub cuts: Text,
    pub corner: Text,
    pub outer: Text,
    pub waist: Text,
    pub wide: Text,
    pub print: Text,
    pub print_note: Text,
    pub csv: Text,
    pub csv_file: Text,
    pub order: Text,
    pub recipe: fn(title: &str) -> String,
    pub day: fn(Day) -> String,
    pub not_to_scale: Text,
    pub caution: Text,
}

pub struct PurflingWords {
    pub heading: Text,
    pub lead: Text,
    pub distance: Text,
    pub corners: Text,
    pub corners_note: Text,
    pub corner_distance: Text,
    pub corner_lean: Text,
    pub all_well: Text,
    pub caution: Text,
}

pub struct ButtonWords {
    pub heading: Text,
    pub front: Text,
    pub kind: Text,
    /// In the order of `ButtonKind::ALL`.
    pub kinds: [Text; 3],
    pub neck_note: Text,
}

pub struct FileWords {
    pub heading: Text,
    pub lead: Text,
    pub content: Text,
    /// In the order of `Content::ALL`, then the mould.
    pub contents: [Text; 5],
    /// In the order of `FileForm::ALL`.
    pub forms: [Text; 3],
    pub save_as: fn(content: &str, form: &str) -> String,
    pub forms_note: Text,
    /// Parts of a file's name, as `contents`.
    pub names: [Text; 5],
    pub trace: Text,
    pub trace_note: Text,
    pub trace_file: Text,
    pub caution: Text,
}

pub struct AsCutWords {
    pub heading: Text,
    pub lead: Text,
    pub number: Text,
    pub place: Text,
    pub planned: Text,
    pub measured: Text,
    pub difference: Text,
    pub measured_at: fn(place: &str) -> String,
    pub not_ribs: Text,
    pub caution: Text,
}

pub struct RecordWords {
    pub heading: Text,
    pub lead: Text,
    pub why: Text,
    pub traced_on: Text,
    pub cut_on: Text,
    pub make: Text,
    pub file: Text,
}

pub struct ProjectWords {
    pub heading: Text,
    pub title: Text,
    pub notes: Text,
    pub save: Text,
    pub open: Text,
    pub kept: Text,
}
