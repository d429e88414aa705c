//! Recipes that come with the workbench, all of our own devising.

use super::{
    Action, Customary, Dimension, Instrument, Line, Measure, OutlinePlan, Placing, Purpose, Recipe, Size,
    Step, Touch, TouchFrom, Toward,
};
use crate::ratio::Ratio;
use serde_json::Map;

/// Every built-in recipe, plates before moulds.
pub fn built_in() -> Vec<Recipe> {
    vec![violin()]
}

/// The plate edge of a violin, thirteen arcs a side.
pub fn violin() -> Recipe {
    Recipe {
        title: "Violin, thirteen arcs a side".into(),
        author: "Ribline".into(),
        note: String::new(),
        instrument: Instrument::Violin,
        purpose: Purpose::PlateEdge,
        measures: vec![
            measure("L", "body length", Size::Mm(355.0), 1.0, Some(Dimension::BodyLength)),
            measure("W", "lower width", part(4, 7, "L"), 1.0, Some(Dimension::LowerWidth)),
            measure("U", "upper width", part(5, 6, "W"), 1.0, Some(Dimension::UpperWidth)),
            measure("C", "waist width", part(6, 11, "W"), 1.0, Some(Dimension::WaistWidth)),
        ],
        steps: vec![
            point("bottom", None, None),
            point("top", Some(part(1, 1, "L")), None),
            point("widest lower", Some(part(1, 5, "L")), Some(part(1, 2, "W"))),
            point("widest upper", Some(part(4, 5, "L")), Some(part(1, 2, "U"))),
            point("waist", Some(part(8, 15, "L")), Some(part(1, 2, "C"))),
            point("lower corner", Some(part(3, 8, "L")), Some(part(4, 9, "W"))),
            point("upper corner", Some(part(2, 3, "L")), Some(part(5, 11, "U"))),
            circle("l1", part(3, 4, "W"), on_centreline("bottom", Toward::Neck)),
            circle("l3", part(1, 4, "W"), on_cross_line("widest lower", Toward::In)),
            circle("l2", part(2, 5, "W"), between(inside("l1"), inside("l3"), Toward::Bottom)),
            circle("l4", part(2, 5, "W"), on_cross_line("widest lower", Toward::In)),
            circle("l5", part(1, 12, "W"), through(outside("l4"), "lower corner", Toward::Bottom)),
            circle("w2", part(1, 2, "W"), on_cross_line("waist", Toward::Out)),
            circle("w1", part(1, 7, "W"), through(inside("w2"), "lower corner", Toward::Neck)),
            circle("w3", part(1, 12, "W"), through(inside("w2"), "upper corner", Toward::Bottom)),
            circle("u1", part(5, 9, "U"), on_centreline("top", Toward::Bottom)),
            circle("u3", part(1, 4, "U"), on_cross_line("widest upper", Toward::In)),
            circle("u2", part(2, 5, "U"), between(inside("u1"), inside("u3"), Toward::Neck)),
            circle("u4", part(2, 5, "U"), on_cross_line("widest upper", Toward::In)),
            circle("u5", part(1, 12, "U"), through(outside("u4"), "upper corner", Toward::Neck)),
        ],
        plan: OutlinePlan {
            lower: names(["l1", "l2", "l3", "l4", "l5"]),
            waist: names(["w1", "w2", "w3"]),
            upper: names(["u1", "u2", "u3", "u4", "u5"]),
            lower_corner: "lower corner".into(),
            upper_corner: "upper corner".into(),
        },
        customary: Customary {
            overhang: 2.5,
            overhang_tolerance: 0.3,
            corner_width: 7.25,
            purfling_distance: 4.25,
            purfling_width: 1.2,
        },
        unknown: Map::new(),
    }
}

fn names<const N: usize>(names: [&str; N]) -> Vec<String> {
    names.map(str::to_owned).to_vec()
}

/// Terms are written out in this file and within the bounds of a ratio.
fn part(over: u16, under: u16, of: &str) -> Size {
    Size::Ratio { ratio: Ratio::new(over, under).unwrap_or(Ratio::ONE), of: of.to_owned() }
}

fn measure(name: &str, title: &str, size: Size, looseness: f64, dimension: Option<Dimension>) -> Measure {
    Measure {
        name: name.into(),
        title: title.into(),
        size,
        choices: Vec::new(),
        looseness,
        dimension,
        unknown: Map::new(),
    }
}

fn point(name: &str, up: Option<Size>, out: Option<Size>) -> Step {
    Step {
        name: name.into(),
        action: Action::Point { up, out },
        choices: Vec::new(),
        looseness: 2.0,
        unknown: Map::new(),
    }
}

fn circle(name: &str, radius: Size, placed: Placing) -> Step {
    Step {
        name: name.into(),
        action: Action::Circle { radius, placed },
        choices: Vec::new(),
        looseness: 2.0,
        unknown: Map::new(),
    }
}

fn on_centreline(point: &str, lies: Toward) -> Placing {
    Placing::Through { point: point.into(), centre_on: Line::Centreline, lies }
}

fn on_cross_line(point: &str, lies: Toward) -> Placing {
    Placing::Through { point: point.into(), centre_on: Line::CrossAt { point: point.into() }, lies }
}

fn between(one: Touch, other: Touch, lies: Toward) -> Placing {
    Placing::TouchingTwo { one, other, lies }
}

fn through(one: Touch, point: &str, lies: Toward) -> Placing {
    Placing::TouchingThrough { one, point: point.into(), lies }
}

fn inside(circle: &str) -> Touch {
    Touch { circle: circle.into(), from: TouchFrom::Inside }
}

fn outside(circle: &str) -> Touch {
    Touch { circle: circle.into(), from: TouchFrom::Outside }
}
