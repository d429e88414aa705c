//! Plates by quarters: full quarters of the widths in the bouts, and short hooks of a twelfth, for ribs whose
//! corners turn out sharply. Another way than [`super::built_in`]'s own plates, with as many arcs.

use super::built_in::{
    Model, Terms, between, body_length, circle, fixed_point, half_of, inside, measure, on_centreline,
    on_cross_line, outside, part, plan, point, through,
};
use super::{Dimension, Purpose, Recipe, Toward};
use crate::json::Map;

/// Widths as parts of one another, by instrument.
struct Widths {
    /// Of the body length.
    lower: &'static [Terms],
    /// Of the lower width.
    upper: &'static [Terms],
    /// Of the lower width.
    waist: &'static [Terms],
    /// Height of the widest place of the upper bout, of the body length: higher where the bout is narrow, for the arcs
    /// of its end to have the same room.
    widest_upper: Terms,
}

fn widths(model: &Model) -> Widths {
    use super::Instrument::{Cello, Viol, Viola, Violin};
    match model.instrument {
        Violin | Viol => Widths {
            lower: &[(4, 7), (7, 12), (11, 19)],
            upper: &[(5, 6), (9, 11)],
            waist: &[(6, 11), (5, 9), (7, 13)],
            widest_upper: (4, 5),
        },
        Viola => Widths {
            lower: &[(7, 12), (4, 7), (11, 19)],
            upper: &[(9, 11), (5, 6)],
            waist: &[(5, 9), (6, 11), (4, 7)],
            widest_upper: (4, 5),
        },
        Cello => Widths {
            lower: &[(4, 7), (7, 12), (11, 19)],
            upper: &[(11, 14), (7, 9)],
            waist: &[(8, 15), (6, 11), (10, 19)],
            widest_upper: (13, 16),
        },
    }
}

/// The plate edge of a model by quarters.
pub(super) fn plate(model: &Model) -> Recipe {
    let [width, place, setting] = model.looseness;
    let point = |name: &str, up, out| point(name, up, out, place);
    let circle = |name: &str, sizes: &[Terms], of: &str, placed| circle(name, sizes, of, placed, setting);
    let widths = widths(model);
    let steps = vec![
        fixed_point("bottom", None),
        fixed_point("top", Some(part((1, 1), "L"))),
        point("widest lower", (1, 5), half_of("W")),
        circle("lower 1", &[(3, 4), (5, 7), (4, 5)], "W", on_centreline("bottom", Toward::Neck)),
        circle("lower 3", &[(1, 4), (2, 7)], "W", on_cross_line("widest lower", Toward::In)),
        circle(
            "lower 2",
            &[(2, 5), (3, 8), (3, 7)],
            "W",
            between(inside("lower 1"), inside("lower 3"), Toward::Bottom),
        ),
        circle("lower 4", &[(2, 5), (3, 8), (3, 7)], "W", on_cross_line("widest lower", Toward::In)),
        point("lower corner", (3, 8), part((4, 9), "W")),
        circle(
            "lower 5",
            &[(1, 12), (1, 10)],
            "W",
            through(outside("lower 4"), "lower corner", Toward::Bottom),
        ),
        point("widest upper", widths.widest_upper, half_of("U")),
        circle("upper 1", &[(5, 9), (4, 7)], "U", on_centreline("top", Toward::Bottom)),
        circle("upper 3", &[(1, 4), (2, 9)], "U", on_cross_line("widest upper", Toward::In)),
        circle(
            "upper 2",
            &[(2, 5), (3, 8), (3, 7)],
            "U",
            between(inside("upper 1"), inside("upper 3"), Toward::Neck),
        ),
        circle("upper 4", &[(2, 5), (3, 8), (3, 7)], "U", on_cross_line("widest upper", Toward::In)),
        point("upper corner", (2, 3), part((5, 11), "U")),
        circle(
            "upper 5",
            &[(1, 12), (1, 10)],
            "U",
            through(outside("upper 4"), "upper corner", Toward::Neck),
        ),
        point("waist", (8, 15), half_of("C")),
        circle("waist 2", &[(1, 2), (4, 9), (5, 9)], "W", on_cross_line("waist", Toward::Out)),
        circle("waist 1", &[(1, 7), (1, 8)], "W", through(inside("waist 2"), "lower corner", Toward::Neck)),
        circle(
            "waist 3",
            &[(1, 12), (1, 11)],
            "W",
            through(inside("waist 2"), "upper corner", Toward::Bottom),
        ),
    ];
    Recipe {
        title: format!("{} by quarters, short hooks", model.name),
        author: "Ribline".into(),
        note: "The corners are where the two edges would meet; their ends are cut back later. The bouts turn on \
               quarters of their widths, the hooks on twelfths."
            .into(),
        instrument: model.instrument,
        purpose: Purpose::PlateEdge,
        measures: vec![
            body_length(model.body_length, width),
            measure("W", "lower width", widths.lower, "L", Dimension::LowerWidth, width),
            measure("U", "upper width", widths.upper, "W", Dimension::UpperWidth, width),
            measure("C", "waist width", widths.waist, "W", Dimension::WaistWidth, width),
        ],
        steps,
        plan: plan(5, 3, 5),
        customary: model.customary,
        unknown: Map::new(),
    }
}
