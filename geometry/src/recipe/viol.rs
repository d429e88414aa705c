//! Viols: shoulders that slope into the neck by a curve turning back, a waist that flows, corners that are blunt and
//! have no hooks. By steps of their own; bass and treble are the same steps worked from other measures.
//!
//! The top of the outline is the neck's root, nearly straight across it and rounded at either side, where the shoulders
//! begin. All proportions are common practice, from memory: the lower width is a little over half of the body
//! length, the upper width four fifths of the lower, the waist some three quarters of the upper; the upper bout is widest low,
//! a third of the length from its end, so that the shoulders slope over most of it.

use super::built_in::{
    MouldModel, Terms, between, body_length, circle, fixed_point, half_of, inside, measure, on_centreline,
    on_cross_line, outside, part, plan, point, through,
};
use super::{Action, Customary, Dimension, Instrument, Purpose, Recipe, Step, Toward};
use crate::json::Map;

/// What sets one size of viol apart from another.
pub(super) struct Viol {
    name: &'static str,
    body_length: f64,
    /// Of the body length; the first is used, the others are offered. Likewise below.
    lower_width: &'static [Terms],
    /// Of the lower width.
    upper_width: &'static [Terms],
    /// Of the upper width.
    waist_width: &'static [Terms],
    mould: MouldModel,
    pub(super) rib_thickness: f64,
    customary: Customary,
    /// Standard deviations in mm: of the body length and widths, of points, of compass settings.
    looseness: [f64; 3],
}

/// All from memory: body 690, upper 307, waist 223, lower 383 mm; ribs 1.8 mm.
pub(super) const BASS: Viol = Viol {
    name: "Bass viol",
    body_length: 690.0,
    lower_width: &[(5, 9), (4, 7), (6, 11), (9, 16)],
    upper_width: &[(4, 5), (9, 11), (11, 14)],
    waist_width: &[(8, 11), (3, 4), (5, 7)],
    mould: MouldModel {
        body_length: 681.4,
        lower_width: &[(11, 20), (5, 9), (6, 11)],
        upper_width: &[(7, 16), (4, 9)],
        waist_width: &[(18, 25), (5, 7), (8, 11)],
    },
    rib_thickness: 1.8,
    customary: Customary {
        // Common practice, from memory: 2 to 3 mm, less than a cello's; corners cut little or not at all, since they are
        // blunt already; purfling nearer to the edge than a cello's and of a violin's width, often in two lines, of which
        // this is the outer.
        overhang: 2.5,
        overhang_tolerance: 0.5,
        corner_width: 4.0,
        purfling_distance: 4.5,
        purfling_width: 1.3,
    },
    looseness: [1.5, 2.5, 3.0],
};

/// All from memory: body 370, upper 173, waist 130, lower 216 mm; ribs 1.3 mm.
pub(super) const TREBLE: Viol = Viol {
    name: "Treble viol",
    body_length: 370.0,
    lower_width: &[(7, 12), (4, 7), (3, 5)],
    upper_width: &[(4, 5), (9, 11), (11, 14)],
    waist_width: &[(3, 4), (8, 11), (7, 9)],
    mould: MouldModel {
        body_length: 363.4,
        lower_width: &[(4, 7), (19, 33)],
        upper_width: &[(5, 11), (16, 35)],
        waist_width: &[(3, 4), (14, 19)],
    },
    rib_thickness: 1.3,
    customary: Customary {
        // As the bass viol's, from memory: 1.5 to 2.5 mm.
        overhang: 2.0,
        overhang_tolerance: 0.4,
        corner_width: 3.0,
        purfling_distance: 3.8,
        purfling_width: 1.1,
    },
    looseness: [1.0, 1.5, 1.5],
};

/// Whether a viol of this body length is nearer to the treble than to the bass: in proportion, not in mm, so that halfway
/// between the two is the mean of their logarithms.
pub(super) fn is_treble(body_length: f64) -> bool {
    body_length * body_length < TREBLE.body_length * BASS.body_length
}

/// The viol whose body length is nearest.
pub(super) fn nearest(body_length: f64) -> &'static Viol {
    if is_treble(body_length) { &TREBLE } else { &BASS }
}

/// The plate edge of a viol.
pub(super) fn plate(viol: &Viol) -> Recipe {
    let [width, place, setting] = viol.looseness;
    let point = |name: &str, up, out| point(name, up, out, place);
    let circle = |name: &str, sizes: &[Terms], of: &str, placed| circle(name, sizes, of, placed, setting);
    let steps = vec![
        fixed_point("bottom", None),
        fixed_point("top", Some(part((1, 1), "L"))),
        point("widest lower", (5, 24), half_of("W")),
        circle("lower 1", &[(3, 4), (5, 7), (4, 5)], "W", on_centreline("bottom", Toward::Neck)),
        circle("lower 3", &[(3, 10), (2, 7), (5, 16)], "W", on_cross_line("widest lower", Toward::In)),
        circle(
            "lower 2",
            &[(2, 5), (3, 8), (3, 7)],
            "W",
            between(inside("lower 1"), inside("lower 3"), Toward::Bottom),
        ),
        point("lower corner", (3, 8), part((11, 24), "W")),
        circle(
            "lower 4",
            &[(6, 5), (5, 4), (9, 8)],
            "W",
            through(inside("lower 3"), "lower corner", Toward::In),
        ),
        point("widest upper", (2, 3), half_of("U")),
        circle("upper 5", &[(1, 3), (3, 10), (4, 11)], "U", on_cross_line("widest upper", Toward::In)),
        point("shoulder", (5, 6), part((3, 8), "U")),
        circle("upper 4", &[(5, 6), (3, 4), (7, 8)], "U", through(inside("upper 5"), "shoulder", Toward::In)),
        circle("upper 1", &[(1, 2), (2, 3), (3, 4)], "U", on_centreline("top", Toward::Bottom)),
        point("neck root", (99, 100), part((1, 12), "U")),
        circle("upper 2", &[(1, 24), (1, 20)], "U", through(inside("upper 1"), "neck root", Toward::In)),
        circle(
            "upper 3",
            &[(3, 5), (1, 2), (2, 3)],
            "U",
            between(outside("upper 2"), outside("upper 4"), Toward::Out),
        ),
        point("upper corner", (3, 5), part((12, 25), "U")),
        circle(
            "upper 6",
            &[(5, 6), (3, 4), (7, 8)],
            "U",
            through(inside("upper 5"), "upper corner", Toward::In),
        ),
        point("waist", (1, 2), half_of("C")),
        circle("waist 2", &[(4, 9), (3, 7), (1, 2)], "W", on_cross_line("waist", Toward::Out)),
        circle(
            "waist 1",
            &[(1, 6), (1, 7), (2, 13)],
            "W",
            through(inside("waist 2"), "lower corner", Toward::Neck),
        ),
        circle(
            "waist 3",
            &[(1, 11), (1, 10), (1, 12)],
            "W",
            through(inside("waist 2"), "upper corner", Toward::Bottom),
        ),
    ];
    Recipe {
        title: format!("{}, sloping shoulders", viol.name),
        author: "Ribline".into(),
        note: "The top is the root of the neck, where the shoulders begin by a curve that turns back. The corners are \
               where the two edges meet; they are blunt, and little is cut off them."
            .into(),
        instrument: Instrument::Viol,
        purpose: Purpose::PlateEdge,
        measures: vec![
            body_length(viol.body_length, width),
            measure("W", "lower width", viol.lower_width, "L", Dimension::LowerWidth, width),
            measure("U", "upper width", viol.upper_width, "W", Dimension::UpperWidth, width),
            measure("C", "waist width", viol.waist_width, "U", Dimension::WaistWidth, width),
        ],
        steps,
        plan: plan(4, 3, 6),
        customary: viol.customary,
        unknown: Map::new(),
    }
}

/// The mould for the ribs of a viol, with one arc where the plate has two in the lower bout.
pub(super) fn mould(viol: &Viol) -> Recipe {
    let [width, place, setting] = viol.looseness;
    let point = |name: &str, up, out| point(name, up, out, place);
    let circle = |name: &str, sizes: &[Terms], of: &str, placed| circle(name, sizes, of, placed, setting);
    // So high, as a part of the width, that a circle through it which touches the first is widest there, on any length.
    let widest_lower = Step {
        name: "widest lower".into(),
        action: Action::Point { up: Some(part((4, 11), "W")), out: Some(half_of("W")) },
        choices: Vec::new(),
        looseness: place,
        unknown: Map::new(),
    };
    let steps = vec![
        fixed_point("bottom", None),
        fixed_point("top", Some(part((1, 1), "L"))),
        widest_lower,
        circle("lower 1", &[(5, 7)], "W", on_centreline("bottom", Toward::Neck)),
        circle("lower 2", &[(8, 25)], "W", through(inside("lower 1"), "widest lower", Toward::In)),
        point("lower corner", (11, 30), part((6, 13), "W")),
        circle(
            "lower 3",
            &[(4, 3), (5, 4), (3, 2)],
            "W",
            through(inside("lower 2"), "lower corner", Toward::In),
        ),
        point("widest upper", (2, 3), half_of("U")),
        circle("upper 5", &[(1, 3), (3, 10)], "U", on_cross_line("widest upper", Toward::In)),
        point("shoulder", (5, 6), part((3, 8), "U")),
        circle("upper 4", &[(5, 6), (3, 4)], "U", through(inside("upper 5"), "shoulder", Toward::In)),
        circle("upper 1", &[(1, 2), (2, 3)], "U", on_centreline("top", Toward::Bottom)),
        point("neck root", (99, 100), part((1, 14), "U")),
        circle("upper 2", &[(1, 32), (1, 36)], "U", through(inside("upper 1"), "neck root", Toward::In)),
        circle(
            "upper 3",
            &[(5, 8), (1, 2), (2, 3)],
            "U",
            between(outside("upper 2"), outside("upper 4"), Toward::Out),
        ),
        point("upper corner", (14, 23), part((12, 25), "U")),
        circle("upper 6", &[(5, 6), (3, 4)], "U", through(inside("upper 5"), "upper corner", Toward::In)),
        point("waist", (1, 2), half_of("C")),
        circle("waist 2", &[(7, 15), (4, 9), (1, 2)], "W", on_cross_line("waist", Toward::Out)),
        circle("waist 1", &[(2, 11), (1, 6)], "W", through(inside("waist 2"), "lower corner", Toward::Neck)),
        circle(
            "waist 3",
            &[(1, 10), (1, 9)],
            "W",
            through(inside("waist 2"), "upper corner", Toward::Bottom),
        ),
    ];
    let inset = viol.customary.overhang + viol.rib_thickness;
    Recipe {
        title: format!("{} mould, twelve arcs a side", viol.name),
        author: "Ribline".into(),
        note: format!(
            "Inside the plate's edge by {} mm of overhang and {} mm of rib, {inset} mm in all.",
            viol.customary.overhang, viol.rib_thickness
        ),
        instrument: Instrument::Viol,
        purpose: Purpose::Mould,
        measures: viol.mould.measures(width),
        steps,
        plan: plan(3, 3, 6),
        customary: viol.customary,
        unknown: Map::new(),
    }
}
