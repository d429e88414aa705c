//! English: straightening and splitting.

use super::{end, run_name};
use crate::words::split::SplitWords;
use ribline_geometry::outline::Bout;

pub static SPLIT: SplitWords = SplitWords {
    title: "Straighten and split",
    note: "What was found from the shape, and what you can put right. Pins and points can also be dragged in the drawing, or moved with the arrow keys; every step can be taken back.",
    centreline: |pins, of_offsets| match pins {
        0 | 1 if of_offsets => "The centreline is the one from which the offsets were measured.",
        0 => "The centreline was found by the likeness of the two sides.",
        1 => {
            "The centreline goes through the one pin, and is otherwise found by the likeness of the two sides."
        }
        _ => "The centreline goes through the two pins.",
    },
    set_pins: "Set pins on it, to be moved",
    show_pin: "Show the lower pin",
    no_pins: "Do without pins",
    parting: |corner, outer, waist| {
        let end = end(corner);
        let corner = super::capital(&(super::ENGLISH.corner)(corner));
        format!(
            "{corner}: the {end} bout ends with the point of line {outer}, the waist with that of line {waist}."
        )
    },
    more_outer: |corner| match corner.bout() {
        Bout::Upper => "One more to the upper bout",
        _ => "One more to the lower bout",
    },
    more_waist: "One more to the waist",
    at_corner: |corner, text| format!("{text}, {}", (super::ENGLISH.corner)(corner)),
    named: |named, of| {
        if named == 0 {
            "Each point is put on the run that its place suggests.".to_owned()
        } else if named == of {
            "Every point is kept on the run that is named for it below.".to_owned()
        } else {
            format!(
                "{named} of {of} points are kept on the run that is named for them; the others go by their place."
            )
        }
    },
    keep: "Keep each point on its run",
    leave: "Let the shape decide",
    found_on: |run| format!("by shape: {}", run_name(run)),
};
