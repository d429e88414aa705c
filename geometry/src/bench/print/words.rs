//! The catalogue of all printed words. Another language is another [`Words`] beside [`ENGLISH`] and nothing else: whatever has a
//! figure or a name within it is a function to the finished text.

use super::Day;
use super::wish::Drawn;
use crate::outline::{Bout, Face, FaceUp, Plate, Side, StringSide};

pub struct Words {
    /// As RFC 5646 names it.
    pub language: &'static str,
    pub untitled: &'static str,
    pub decimal_point: char,
    pub face: fn(Face) -> &'static str,
    pub sides: fn(Face) -> &'static str,
    pub side: fn(StringSide) -> &'static str,
    pub mould: &'static str,
    pub mould_sides: &'static str,
    pub mould_subject: &'static str,
    pub plate_subject: fn(Face) -> String,
    pub frame: &'static str,
    pub frame_sides: &'static str,
    pub frame_subject: &'static str,
    pub frame_size: fn(across: &str, up: &str) -> String,
    pub frame_key: &'static str,
    pub frame_cautions: &'static str,
    pub mark_is: &'static str,
    pub neck_end: &'static str,
    pub recipe: fn(&str) -> String,
    pub day: fn(Day) -> String,
    pub true_scale: &'static str,
    pub corrected: fn(across: &str, up: &str) -> String,
    pub page: fn(page: usize, of: usize) -> String,
    pub key: fn(Drawn) -> &'static str,
    pub mould_key: &'static str,
    pub recesses_key: &'static str,
    pub holes_key: &'static str,
    pub edge_is: &'static str,
    pub mould_is: &'static str,
    pub centres_off: fn(usize) -> String,
    pub half: fn(Side) -> &'static str,
    pub half_differs: fn(Side, &[(Bout, String)]) -> String,
    pub half_same: &'static str,
    pub fold: &'static str,
    /// The width of the cut, and how far it lies beyond the ribs' corner, or short of it.
    pub corner: fn(width: &str, reach: &str, short: bool) -> [String; 2],
    pub button_refused: fn(&str) -> String,
    pub bar_across: &'static str,
    pub bar_up: &'static str,
    pub bar_slanting: &'static str,
    pub map: &'static str,
    pub cautions: &'static str,
    pub mould_cautions: &'static str,
    pub check: CheckWords,
    pub enlarged: EnlargedWords,
}

/// The page that is measured before the others are printed.
pub struct CheckWords {
    pub title: &'static str,
    pub measure: &'static str,
    pub good: fn(length: &str, off: &str) -> String,
    pub why: &'static str,
    pub correct: &'static str,
    pub slanting: &'static str,
    pub join: &'static str,
}

/// The page of the corners enlarged.
pub struct EnlargedWords {
    pub title: fn(times: &str) -> String,
    pub corner: fn(Bout, StringSide) -> &'static str,
    /// How far the cut lies beyond the ribs' corner, and the overhang on either flank.
    pub flanks: fn(reach: &str, outer: &str, waist: &str) -> String,
    /// Where the cut begins and ends: out and up of each.
    pub cut: fn(outer: &[String; 2], waist: &[String; 2]) -> String,
    pub bar: fn(times: &str, long: &str) -> String,
    pub not_to_cut: &'static str,
    pub from_pin: &'static str,
    pub from_bottom: &'static str,
    pub ring: &'static str,
}

/// The words of the language that is printed in. English is the only one as yet.
pub fn words() -> &'static Words {
    &ENGLISH
}

pub static ENGLISH: Words = Words {
    language: "en",
    untitled: "Untitled plate",
    decimal_point: '.',
    face: |face| match (face.plate, face.up) {
        (Plate::Back, FaceUp::Inside) => "Back, inside face up",
        (Plate::Back, FaceUp::Outside) => "Back, outside face up",
        (Plate::Front, FaceUp::Inside) => "Front, inside face up",
        (Plate::Front, FaceUp::Outside) => "Front, outside face up",
    },
    sides: |face| match face.string_side(Side::Left) {
        StringSide::Bass => "bass side left, treble side right",
        StringSide::Treble => "treble side left, bass side right",
    },
    side: |side| match side {
        StringSide::Bass => "bass side",
        StringSide::Treble => "treble side",
    },
    mould: "Inside mould",
    mould_sides: "both sides alike, neck end up",
    mould_subject: "Inside mould, 1 : 1",
    plate_subject: |face| format!("{}, 1 : 1", (ENGLISH.face)(face)),
    frame: "Frame for photos",
    frame_sides: "printed side up, at the height of the line",
    frame_subject: "Frame for photos, 1 : 1",
    frame_size: |across, up| {
        format!(
            "From corner mark to corner mark it is {across} mm across and {up} mm up. Measure it once it is joined, and where it is off type in what you measured."
        )
    },
    frame_key: "cut out along this line",
    frame_cautions: "Measure the bars before use: 100.0 mm each. Cut on a mat, with the free hand out of the knife\u{2019}s way. Lay the frame flat around the ribs, with all marks in the picture, and photograph it from over the middle of the board, far off.",
    mark_is: "A mark is where its two black squares touch.",
    neck_end: "neck end",
    recipe: |title| format!("Recipe: {title}"),
    day: |day| format!("{} {} {}", day.day, MONTHS[usize::from(day.month.clamp(1, 12)) - 1], day.year),
    true_scale: "Scale 1 : 1",
    corrected: |across, up| {
        format!("Scale 1 : 1, for a printer corrected \u{d7} {across} across, \u{d7} {up} up")
    },
    page: |page, of| format!("Page {page} of {of}"),
    key: |drawn| match drawn {
        Drawn::Edge => "edge",
        Drawn::LeftForTheFile => "left for the file",
        Drawn::Ribs => "rib line",
        Drawn::Purfling => "purfling channel",
        Drawn::Corners => "corner cut",
        Drawn::Centres => "centre, numbered as on the compass sheet",
        Drawn::Centreline => "centreline, pins",
        Drawn::Traced => "traced point",
        Drawn::CornersEnlarged => "corners enlarged",
    },
    mould_key: "mould",
    recesses_key: "block",
    holes_key: "hole for clamps",
    edge_is: "The edge is the middle of the thick line.",
    mould_is: "The mould ends at the middle of the thick line.",
    centres_off: |count| match count {
        1 => "1 centre lies off this drawing: see the compass sheet.".to_owned(),
        _ => format!("{count} centres lie off this drawing: see the compass sheet."),
    },
    half: |side| match side {
        Side::Left => "Left half",
        Side::Right => "Right half",
    },
    half_differs: |side, by| {
        let (this, other) = match side {
            Side::Left => ("left", "right"),
            Side::Right => ("right", "left"),
        };
        let by: Vec<String> = by
            .iter()
            .map(|(bout, mm)| {
                let bout = match bout {
                    Bout::Lower => "lower bout",
                    Bout::Waist => "waist",
                    Bout::Upper => "upper bout",
                };
                format!("{mm} mm in the {bout}")
            })
            .collect();
        format!(
            "Turned over on the centreline, this {this} half makes both sides alike. These ribs are not quite: the {other} half leaves it by up to {}.",
            by.join(", ")
        )
    },
    half_same: "Turned over on the centreline, this half makes both sides alike, as this drawing has them.",
    fold: "fold, or turn over, on this line",
    corner: |width, reach, short| {
        let which = if short { "short of" } else { "beyond" };
        [format!("{width} wide"), format!("{reach} {which} ribs")]
    },
    button_refused: |why| format!("The button is not drawn. {why}."),
    bar_across: "100 mm across",
    bar_up: "100 mm up",
    bar_slanting: "100 mm slanting",
    map: "Sheets by their pages",
    cautions: "Measure the bars before use: 100.0 mm each. Check which face is up: the mirror image is a lost plate. Hold the work, leave the line when sawing; mind edge tools, saws and dust. Local rules, the tool\u{2019}s manual and qualified instruction come first.",
    mould_cautions: "Measure the bars before use: 100.0 mm each. Hold the work, leave the line when sawing; mind saws, drills, dust and the heat of the bending iron. Local rules, the tool\u{2019}s manual and qualified instruction come first.",
    check: CheckWords {
        title: "Print and measure this page first",
        measure: "With a steel rule, measure the three bars between the middles of their end strokes. On a true print each is 100.0 mm long.",
        good: |length, off| {
            format!(
                "All three within 0.2 mm? Then print the other pages the same way. (0.2 mm here is {off} mm along the {length} mm of this drawing.)"
            )
        },
        why: "One of them off? A print made to fit the paper comes out at some 97 %, the commonest failure of paper templates. In the print dialogue choose 100 % or \u{201C}actual size\u{201D}, nothing like \u{201C}fit\u{201D}, and print this page again.",
        correct: "Still off? Type the lengths of the bar across and of the bar up under Printer correction, where this file came from: the next print is corrected each way.",
        slanting: "The slanting bar tells whether the sheet was fed askew: where the other two are true, it must be too.",
        join: "To join two sheets: cut one of them along its dashed line, lay it on the other so that line meets line and each lettered diamond its fellow, hold to the light, tape.",
    },
    enlarged: EnlargedWords {
        title: |times| format!("Corners, enlarged {times} : 1"),
        corner: |bout, side| match (bout, side) {
            (Bout::Upper, StringSide::Bass) => "Upper corner, bass side",
            (Bout::Upper, StringSide::Treble) => "Upper corner, treble side",
            (_, StringSide::Bass) => "Lower corner, bass side",
            (_, StringSide::Treble) => "Lower corner, treble side",
        },
        flanks: |reach, outer, waist| {
            format!("{reach}; overhang there {outer} to the bout, {waist} to the waist")
        },
        cut: |[outer_x, outer_y], [waist_x, waist_y]| {
            format!("cut from {outer_x} out, {outer_y} up, to {waist_x} out, {waist_y} up")
        },
        bar: |times, long| format!("10 mm at {times} : 1, {long} mm here"),
        not_to_cut: "To look at and to set out by; not to cut to.",
        from_pin: "Figures are mm of the plate itself: out from the centreline, up from the lower pin.",
        from_bottom: "Figures are mm of the plate itself: out from the centreline, up from where the traced line crosses it at the bottom.",
        ring: "The ring is the ribs\u{2019} corner.",
    },
};

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl Words {
    /// A figure with so many decimals.
    pub fn figure(&self, value: f64, decimals: usize) -> String {
        let text = format!("{value:.decimals$}");
        let text = if text.trim_start_matches(['-', '0', '.']).is_empty() {
            text.trim_start_matches('-').to_owned()
        } else {
            text.replace('-', "\u{2212}")
        };
        if self.decimal_point == '.' { text } else { text.replace('.', &self.decimal_point.to_string()) }
    }
}
