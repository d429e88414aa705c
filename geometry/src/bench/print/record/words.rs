//! The catalogue of the record's words, beside that of the print's.

use super::flow::{Column, figures, text};
use crate::outline::Bout;
use crate::reconcile::report::Standing;
use crate::reconcile::{Finish, Traced};
use crate::trace::HowTaken;

pub struct RecordWords {
    pub title: &'static str,
    pub facts: Facts,
    pub measures: &'static str,
    pub measure_columns: [Column; 6],
    pub ratios: &'static str,
    pub ratio_columns: [Column; 6],
    pub finish: fn(Finish) -> &'static str,
    pub held: fn(&str, Standing) -> String,
    pub near: fn(&str) -> String,
    pub chance_note: &'static str,
    pub why: &'static str,
    pub no_why: &'static str,
    pub recipe: fn(&str) -> String,
    pub recipe_by: fn(&str) -> String,
    pub trace: &'static str,
    pub traced: fn(Traced, points: usize, left_out: usize, sd: &str) -> String,
    pub taken: fn(HowTaken, usize) -> String,
    pub overhang: &'static str,
    /// From what was traced, if that was not the ribs.
    pub distance: &'static str,
    pub overhang_line: fn(Traced, least: &str, most: &str, mean: &str, rms: &str) -> String,
    pub within: fn(tolerance: &str) -> String,
    pub asymmetry: &'static str,
    pub asymmetry_columns: [Column; 5],
    pub asymmetry_note: &'static str,
    pub bout: fn(Bout) -> &'static str,
    pub corner_height: fn(Bout) -> String,
    pub corners: &'static str,
    pub corner_columns: [Column; 6],
    pub corner_details: fn(times: f64) -> String,
    pub ribs_corner: &'static str,
    pub as_cut: &'static str,
    pub as_cut_columns: [Column; 5],
    pub not_cut: &'static str,
    pub not_ribs: &'static str,
    pub notes: &'static str,
    pub no_notes: &'static str,
    pub cautions: &'static str,
    pub caution_text: &'static str,
}

/// Names of the facts on the first page.
pub struct Facts {
    pub face: &'static str,
    pub sides: &'static str,
    pub body_length: &'static str,
    pub bouts: &'static str,
    pub overhang: &'static str,
    pub recipe: &'static str,
    pub traced_on: &'static str,
    pub cut_on: &'static str,
    pub record_of: &'static str,
    pub stations: &'static str,
    pub ribs: &'static str,
}

pub fn words() -> &'static RecordWords {
    &ENGLISH
}

static ENGLISH: RecordWords = RecordWords {
    title: "Record of the plate",
    facts: Facts {
        face: "Face",
        sides: "As drawn",
        body_length: "Body length",
        bouts: "Lower bout, waist, upper bout",
        overhang: "Overhang wanted: lower bout, waist, upper bout",
        recipe: "Recipe",
        traced_on: "Traced on",
        cut_on: "Cut on",
        record_of: "This record",
        stations: "Numbers on the drawing: the places where the overhang is measured, each with the overhang planned there, in mm.",
        ribs: "The dashed line is the ribs.",
    },
    measures: "Measures",
    measure_columns: [
        text("Measure", 3.4),
        figures("On these ribs, mm", 1.5),
        figures("\u{b1}", 0.8),
        figures("By the recipe", 1.4),
        figures("Difference", 1.3),
        text("Reads as", 1.8),
    ],
    ratios: "Ratios chosen",
    ratio_columns: [
        text("Run", 2.0),
        text("Arc", 3.2),
        figures("Radius, mm", 1.3),
        figures("\u{b1}", 0.9),
        text("Ratio", 2.3),
        figures("Chance", 1.0),
    ],
    finish: |finish| match finish {
        Finish::Ratio => {
            "Finished by ratio: each radius is held at a simple ratio of the lengths and widths found on these ribs."
        }
        Finish::Fitted => {
            "Finished as fitted: each radius is what follows these ribs best; the ratio it comes near is given beside it."
        }
        Finish::Recipe => "Finished as the recipe says, at the lengths found on these ribs.",
    },
    held: |ratio, standing| match standing {
        Standing::Planned => format!("{ratio}, as planned"),
        Standing::Allowed => format!("{ratio}, offered"),
        Standing::Other => format!("{ratio}, its own"),
    },
    near: |ratio| format!("near {ratio}"),
    chance_note: "Chance: how often a random length, known no better than this one, would come as near to a ratio as simple. Where it is high, the ratio says little.",
    why: "Why these ratios",
    no_why: "Nothing was written down.",
    recipe: |title| format!("The recipe: {title}"),
    recipe_by: |author| format!("Recipe by {author}."),
    trace: "The line traced, and its error",
    traced: |traced, points, left_out, sd| {
        let line = match traced {
            Traced::Ribs => "outside of the ribs",
            Traced::Purfling => "purfling",
            Traced::Edge => "edge itself",
        };
        let left_out = match left_out {
            0 => "none was left out".to_owned(),
            1 => "one was judged mis-taken and left out".to_owned(),
            n => format!("{n} were judged mis-taken and left out"),
        };
        format!(
            "{points} points along the {line}; {left_out}. They scatter by {sd} mm (standard deviation) about a parallel of the edge: so much are the tracing and the waviness of what was traced."
        )
    },
    taken: |how, count| {
        let how = match how {
            HowTaken::Given => "read from a file or typed",
            HowTaken::Tapped => "tapped on a photo",
            HowTaken::Followed => "followed on a photo",
            HowTaken::Drawn => "taken from a drawing",
            HowTaken::Offset => "measured from the centreline",
            HowTaken::Moved => "moved by hand",
        };
        format!("{count} {how}")
    },
    overhang: "Overhang",
    distance: "From what was traced to the edge",
    overhang_line: |traced, least, most, mean, rms| {
        let is = if traced == Traced::Ribs {
            "the overhang is"
        } else {
            "the edge lies outside of what was traced by"
        };
        format!(
            "At the traced points {is} {least} to {most} mm, {mean} mm on average; it departs from what was wanted by {rms} mm (root of the mean square)."
        )
    },
    within: |tolerance| {
        format!("Nowhere does it leave what was wanted by more than {tolerance} mm over a stretch.")
    },
    asymmetry: "Left and right",
    asymmetry_columns: [
        text("", 2.8),
        figures("Left, mm", 1.2),
        figures("Right, mm", 1.2),
        figures("Left less right", 1.4),
        figures("Lines differ by up to", 1.8),
    ],
    asymmetry_note: "Widths from the centreline; heights from the bottom of the edge to the middle of the corner\u{2019}s cut. The last column compares the line of each bout with the other side\u{2019}s turned over.",
    bout: |bout| match bout {
        Bout::Lower => "Lower bout",
        Bout::Waist => "Waist",
        Bout::Upper => "Upper bout",
    },
    corner_height: |bout| match bout {
        Bout::Upper => "Height of the upper corner".to_owned(),
        _ => "Height of the lower corner".to_owned(),
    },
    corners: "Corners",
    corner_columns: [
        text("Corner", 2.4),
        figures("Width, mm", 1.2),
        figures("Past their sharp corner", 1.5),
        figures("Overhang, outer flank", 1.8),
        figures("Overhang, waist flank", 1.8),
        figures("Points, degrees", 1.5),
    ],
    corner_details: |times| {
        if (times - 1.0).abs() < 1e-9 {
            "At their true size.".to_owned()
        } else {
            format!("Drawn {times} times their size.")
        }
    },
    ribs_corner: "The cross is the ribs\u{2019} own corner.",
    as_cut: "As cut",
    as_cut_columns: [
        figures("No.", 0.5),
        text("Place", 4.0),
        figures("Planned, mm", 1.3),
        figures("Measured, mm", 1.3),
        figures("Difference", 1.3),
    ],
    not_cut: "Not measured yet. The column is there to be filled in at the bench.",
    not_ribs: "It was not the ribs that were traced, so what is planned is the overhang that was wanted.",
    notes: "Notes",
    no_notes: "None.",
    cautions: "Before cutting",
    caution_text: "The drawings in this record are not to be cut to: cut to the 1 : 1 print, its bars measured. Check which face is up. Hold the work, leave the line when sawing; mind edge tools, saws and dust. Local rules, the tool\u{2019}s manual and qualified instruction come first.",
};
