//! Ways of making ribs: the truth need not have been made by the recipe it is fitted with.

use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::{
    Action, Customary, Dimension, Instrument, Line, Measure, OutlinePlan, Placing, Purpose, Recipe, Size,
    Step, Touch, TouchFrom, Toward, built_in,
};
use ribline_geometry::reconcile::{Wish, suiting};
use ribline_geometry::trace::Trace;

/// A way of making ribs, whoever reconciles them.
pub struct Construction {
    pub name: &'static str,
    pub made_by: Recipe,
    /// Whether it is one of the built-in ones.
    pub built_in: bool,
}

/// The constructions that the recovery checks go through.
pub fn all() -> Vec<Construction> {
    let ours = |name, made_by| Construction { name, made_by, built_in: true };
    let other = |name, made_by| Construction { name, made_by, built_in: false };
    vec![
        ours("violin", built_in::violin()),
        ours("viola", built_in::viola()),
        ours("cello", built_in::cello()),
        other("violin of plain quarters", plain_quarters(355.0)),
        other("cello of plain quarters", plain_quarters(750.0)),
        other("violin, fuller, longer corners", fuller(355.0)),
        other("viola, fuller, longer corners", fuller(410.0)),
        other("violin of four, three and four arcs", four_arcs(355.0)),
    ]
}

/// The built-in viols: more arcs than a violin has, one of them, at the neck's root, shorter than the points of a trace stand apart.
pub fn viols() -> Vec<Construction> {
    let ours = |name, made_by| Construction { name, made_by, built_in: true };
    vec![ours("bass viol", built_in::bass_viol()), ours("treble viol", built_in::treble_viol())]
}

/// The built-in plate that suits a trace best, as the command chooses it.
pub fn suited(trace: &Trace, wish: &Wish) -> Recipe {
    let plates = built_in::plates();
    let best = suiting(trace, &plates, wish);
    plates[best.first().expect("a plate that can be worked on these ribs").recipe].clone()
}

fn ratio(text: &str) -> Ratio {
    text.parse().expect("a ratio written here")
}

/// "3/4 W" as a size.
fn part(text: &str) -> Size {
    let (r, of) = text.split_once(' ').expect("a ratio and a measure");
    Size::Ratio { ratio: ratio(r), of: of.to_owned() }
}

fn point(name: &str, up: &str, out: &str) -> Step {
    let size = |text: &str| (!text.is_empty()).then(|| part(text));
    Step {
        name: name.into(),
        action: Action::Point { up: size(up), out: size(out) },
        choices: Vec::new(),
        looseness: 1.0,
        unknown: Default::default(),
    }
}

fn circle(name: &str, radius: &str, placed: Placing) -> Step {
    Step {
        name: name.into(),
        action: Action::Circle { radius: part(radius), placed },
        choices: Vec::new(),
        looseness: 2.0,
        unknown: Default::default(),
    }
}

fn through(point: &str, centre_on: Line, lies: Toward) -> Placing {
    Placing::Through { point: point.into(), centre_on, lies }
}

fn cross(point: &str) -> Line {
    Line::CrossAt { point: point.into() }
}

fn touch(circle: &str, from: TouchFrom) -> Touch {
    Touch { circle: circle.into(), from }
}

fn to_corner(circle: &str, from: TouchFrom, point: &str, lies: Toward) -> Placing {
    Placing::TouchingThrough { one: touch(circle, from), point: point.into(), lies }
}

/// What differs from one construction to the next.
struct Ratios {
    widths: [&'static str; 3],
    heights: [&'static str; 3],
    lower_corner: [&'static str; 2],
    upper_corner: [&'static str; 2],
    lower: [&'static str; 5],
    waist: [&'static str; 3],
    upper: [&'static str; 5],
}

fn construction(title: &str, length: f64, ratios: &Ratios, fuller_ends: bool) -> Recipe {
    use {TouchFrom::*, Toward::*};
    let measure = |name: &str, title: &str, size: Size, dimension| Measure {
        name: name.into(),
        title: title.into(),
        size,
        choices: Vec::new(),
        looseness: 1.0,
        dimension: Some(dimension),
        unknown: Default::default(),
    };
    let between = |one: &str, other: &str, lies| Placing::TouchingTwo {
        one: touch(one, Inside),
        other: touch(other, Inside),
        lies,
    };
    let mut steps = vec![
        point("bottom", "", ""),
        point("top", "1/1 L", ""),
        point("lower widest", ratios.heights[0], "1/2 W"),
        point("upper widest", ratios.heights[1], "1/2 U"),
        point("waist", ratios.heights[2], "1/2 C"),
        point("lower corner", ratios.lower_corner[0], ratios.lower_corner[1]),
        point("upper corner", ratios.upper_corner[0], ratios.upper_corner[1]),
        circle("a1", ratios.lower[0], through("bottom", Line::Centreline, Neck)),
        circle("a3", ratios.lower[2], through("lower widest", cross("lower widest"), In)),
    ];
    if fuller_ends {
        steps.push(circle("a2", ratios.lower[1], between("a1", "a3", Bottom)));
    }
    steps.extend([
        circle("a4", ratios.lower[3], through("lower widest", cross("lower widest"), In)),
        circle("a5", ratios.lower[4], to_corner("a4", Outside, "lower corner", Bottom)),
        circle("b2", ratios.waist[1], through("waist", cross("waist"), Out)),
        circle("b1", ratios.waist[0], to_corner("b2", Inside, "lower corner", Neck)),
        circle("b3", ratios.waist[2], to_corner("b2", Inside, "upper corner", Bottom)),
        circle("c1", ratios.upper[0], through("top", Line::Centreline, Bottom)),
        circle("c3", ratios.upper[2], through("upper widest", cross("upper widest"), In)),
    ]);
    if fuller_ends {
        steps.push(circle("c2", ratios.upper[1], between("c1", "c3", Neck)));
    }
    steps.extend([
        circle("c4", ratios.upper[3], through("upper widest", cross("upper widest"), In)),
        circle("c5", ratios.upper[4], to_corner("c4", Outside, "upper corner", Neck)),
    ]);
    let names = |list: &[&str]| -> Vec<String> { list.iter().map(|s| (*s).to_owned()).collect() };
    Recipe {
        title: title.into(),
        author: "an invented class".into(),
        note: String::new(),
        instrument: Instrument::Violin,
        purpose: Purpose::PlateEdge,
        measures: vec![
            measure("L", "body length", Size::Mm(length), Dimension::BodyLength),
            measure("W", "lower width", part(ratios.widths[0]), Dimension::LowerWidth),
            measure("U", "upper width", part(ratios.widths[1]), Dimension::UpperWidth),
            measure("C", "waist width", part(ratios.widths[2]), Dimension::WaistWidth),
        ],
        steps,
        plan: OutlinePlan {
            lower: names(&["a1", "a2", "a3", "a4", "a5"]),
            waist: names(&["b1", "b2", "b3"]),
            upper: names(&["c1", "c2", "c3", "c4", "c5"]),
            lower_corner: "lower corner".into(),
            upper_corner: "upper corner".into(),
        },
        customary: Customary {
            overhang: 2.5,
            overhang_tolerance: 0.4,
            corner_width: 7.25,
            purfling_distance: 4.2,
            purfling_width: 1.2,
        },
        unknown: Default::default(),
    }
}

/// Widths and corners as in the design's first sketch.
pub fn plain_quarters(length: f64) -> Recipe {
    construction(
        "Plain quarters",
        length,
        &Ratios {
            widths: ["4/7 L", "5/6 W", "6/11 W"],
            heights: ["1/5 L", "4/5 L", "8/15 L"],
            lower_corner: ["3/8 L", "4/9 W"],
            upper_corner: ["2/3 L", "5/11 U"],
            lower: ["3/4 W", "2/5 W", "1/4 W", "2/5 W", "1/12 W"],
            waist: ["1/7 W", "1/2 W", "1/12 W"],
            upper: ["5/9 U", "2/5 U", "1/4 U", "2/5 U", "1/12 U"],
        },
        true,
    )
}

/// Broader at the ends, another waist, longer corners.
pub fn fuller(length: f64) -> Recipe {
    construction(
        "Fuller",
        length,
        &Ratios {
            widths: ["7/12 L", "13/16 W", "5/9 W"],
            heights: ["5/24 L", "19/24 L", "6/11 L"],
            lower_corner: ["3/8 L", "9/20 W"],
            upper_corner: ["17/25 L", "15/32 U"],
            lower: ["5/6 W", "3/8 W", "2/7 W", "3/7 W", "1/10 W"],
            waist: ["1/8 W", "4/7 W", "1/11 W"],
            upper: ["5/9 U", "3/7 U", "2/9 U", "3/7 U", "1/10 U"],
        },
        true,
    )
}

/// One arc fewer in each bout: the end arc runs straight into that of the widest place.
pub fn four_arcs(length: f64) -> Recipe {
    let mut recipe = construction(
        "Four, three and four",
        length,
        &Ratios {
            widths: ["4/7 L", "5/6 W", "6/11 W"],
            heights: ["1/5 L", "4/5 L", "8/15 L"],
            lower_corner: ["3/8 L", "4/9 W"],
            upper_corner: ["2/3 L", "5/11 U"],
            lower: ["3/4 W", "2/5 W", "1/3 W", "2/5 W", "1/12 W"],
            waist: ["1/7 W", "1/2 W", "1/12 W"],
            upper: ["5/9 U", "2/5 U", "1/3 U", "2/5 U", "1/12 U"],
        },
        false,
    );
    // The circle of the widest place touches the end arc instead of standing on the cross line.
    for step in &mut recipe.steps {
        let (end, widest, lies) = match step.name.as_str() {
            "a3" => ("a1", "lower widest", Toward::In),
            "c3" => ("c1", "upper widest", Toward::In),
            _ => continue,
        };
        if let Action::Circle { placed, .. } = &mut step.action {
            *placed = to_corner(end, TouchFrom::Inside, widest, lies);
        }
    }
    for step in &mut recipe.steps {
        let (inner, point, lies) = match step.name.as_str() {
            "a4" => ("a3", "lower corner start", Toward::In),
            "c4" => ("c3", "upper corner start", Toward::In),
            _ => continue,
        };
        if let Action::Circle { placed, .. } = &mut step.action {
            *placed = to_corner(inner, TouchFrom::Inside, point, lies);
        }
    }
    let before = |recipe: &mut Recipe, name: &str, step: Step| {
        let at = recipe.steps.iter().position(|s| s.name == name).unwrap_or(0);
        recipe.steps.insert(at, step);
    };
    before(&mut recipe, "a4", point("lower corner start", "3/11 L", "11/23 W"));
    before(&mut recipe, "c4", point("upper corner start", "11/15 L", "9/19 U"));
    recipe.plan.lower = ["a1", "a3", "a4", "a5"].map(String::from).to_vec();
    recipe.plan.upper = ["c1", "c3", "c4", "c5"].map(String::from).to_vec();
    recipe
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulate::{Departures, SeedableRng, StdRng, true_edge};

    /// At its plan's very ratios the one of four arcs just has no solution; ribs, which are never the plan's, do.
    #[test]
    fn ribs_can_be_made_by_every_construction() {
        for construction in all() {
            let mut rng = StdRng::seed_from_u64(1);
            let edge = true_edge(&construction.made_by, &Departures::default(), &mut rng);
            assert_eq!(edge.self_crossing(), None, "{}", construction.name);
        }
    }
}
