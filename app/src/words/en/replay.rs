//! English: the replay.

use super::recipe::{RECIPE, the, title_of};
use super::{capital, count, side};
use crate::number::figure;
use crate::words::replay::ReplayWords;
use ribline_geometry::outline::{Bout, Side};
use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::replay::{Act, Frame, Opening, Role, Taken};
use ribline_geometry::recipe::{
    Action, Line, Placing, Purpose, Recipe, Size, Step, Touch, TouchFrom, Toward,
};

pub static REPLAY: ReplayWords = ReplayWords {
    heading: "The construction, step by step",
    drawing: "The board as it stands in this step",
    controls: "Forwards and back",
    first: "First step",
    back: "Back",
    play: "Play",
    pause: "Pause",
    on: "On",
    last: "Last step",
    pace: "Pace",
    pace_name: |pace| match pace {
        0 => "very slow",
        1 => "slow",
        2 => "even",
        3 => "brisk",
        _ => "fast",
    },
    follow: "Follow the compass",
    full: "Full screen",
    leave_full: "Leave full screen",
    light_board: "Light board",
    dark_board: "Dark board",
    nothing: "There is nothing to draw yet: the recipe has no measure that can be worked. Put it right under Set out.",

    lengths: "Worked at",
    own_lengths: "the recipe\u{2019}s lengths",
    rib_lengths: "lengths of these ribs",
    steps: "All steps by name",
    step_of: |number, of| format!("Step {number} of {of}"),
    stage: |act| match act {
        Act::Measure(_) => "Measures",
        Act::Point(_) | Act::Circle(_) => "Right half",
        Act::LeftSide(_) => "Left half",
        Act::Ink(_) | Act::Finished => "Ink",
    },
    name,
    sentence,
    how,

    print: "Print all steps",
    print_note: "Every step numbered, with its drawing and its sentence, to hand out. Not to scale.",
    printed_on: |date| format!("printed {date}"),
    millimetres: "mm",
    caution: "The drawings are not to scale. A compass point is sharp: carry it closed. What is cut from such a drawing is cut with \
              edge tools and saws; local rules, the tool\u{2019}s manual and your instruction come first.",
};

fn name(recipe: &Recipe, act: Act) -> String {
    match act {
        Act::Measure(measure) => {
            recipe.measures.get(measure).map_or_else(String::new, |measure| capital(title_of(measure)))
        }
        Act::Point(step) | Act::Circle(step) => {
            recipe.steps.get(step).map_or_else(String::new, |step| capital(&step.name))
        }
        Act::LeftSide(bout) => format!("Left {}", bout_name(bout)),
        Act::Ink(run) => format!("Ink the {} {}", side(run.side), bout_name(run.bout)),
        Act::Finished => match recipe.purpose {
            Purpose::PlateEdge => "The edge of the plate".to_string(),
            Purpose::Mould => "The mould".to_string(),
        },
    }
}

fn sentence(recipe: &Recipe, frame: &Frame) -> String {
    match frame.act {
        Act::Measure(0) => {
            let mm = laid_off(frame).map_or_else(String::new, |taken| figure(taken.mm, 1));
            format!("Draw the centreline and lay off the body length on it: {mm} mm.")
        }
        Act::Measure(place) => {
            let (Some(measure), Some(taken)) = (recipe.measures.get(place), laid_off(frame)) else {
                return String::new();
            };
            match &taken.opening {
                Opening::Size(Size::Mm(mm)) => {
                    format!("The {} is as found on these ribs: {} mm.", title_of(measure), figure(*mm, 1))
                }
                _ => (RECIPE.measure)(recipe, measure, Some(taken.mm)),
            }
        }
        Act::Point(step) | Act::Circle(step) => {
            recipe.steps.get(step).map_or_else(String::new, |step| (RECIPE.step)(recipe, step))
        }
        Act::LeftSide(_) => format!(
            "Carry the centres square across the centreline, as far to the left as they lie to the right, and strike {} with the same settings.",
            arcs(frame, Role::Struck)
        ),
        Act::Ink(run) => {
            let (from, to) = match (run.bout, run.side) {
                (Bout::Lower, Side::Right) => ("bottom", "lower corner"),
                (Bout::Waist, Side::Right) => ("lower corner", "upper corner"),
                (Bout::Upper, Side::Right) => ("upper corner", "top"),
                (Bout::Upper, Side::Left) => ("top", "upper corner"),
                (Bout::Waist, Side::Left) => ("upper corner", "lower corner"),
                (Bout::Lower, Side::Left) => ("lower corner", "bottom"),
            };
            let joints = frame.strokes.iter().filter(|stroke| stroke.role == Role::Joint).count();
            let change = match joints {
                0 => String::new(),
                1 => " Change the setting at the joint.".to_string(),
                _ => " Change the setting at each joint.".to_string(),
            };
            format!("Ink {} from the {from} to the {to}.{change}", arcs(frame, Role::Ink))
        }
        Act::Finished => match recipe.purpose {
            Purpose::PlateEdge => {
                "The six runs are inked and meet at four corners; the corners\u{2019} ends are cut later."
                    .to_string()
            }
            Purpose::Mould => "The six runs are inked and meet where the ribs will.".to_string(),
        },
    }
}

fn how(recipe: &Recipe, frame: &Frame) -> String {
    match frame.act {
        Act::Measure(place) => {
            let Some(Size::Ratio { ratio, of }) = recipe.measures.get(place).map(|measure| &measure.size)
            else {
                return String::new();
            };
            let cut_off = frame.strokes.iter().any(|stroke| stroke.role == Role::Parallel);
            let whole = recipe.measures.iter().find(|measure| measure.name == *of);
            match whole {
                Some(whole) if cut_off && *ratio != Ratio::ONE => format!(
                    "Step off {} equal parts on a slanting line. Join the {} to the end of the {}: the parallel through the {} cuts it off.",
                    ratio.over().max(ratio.under()),
                    ordinal(ratio.under()),
                    title_of(whole),
                    ordinal(ratio.over())
                ),
                _ => String::new(),
            }
        }
        Act::Circle(step) => recipe.steps.get(step).map_or_else(String::new, |step| centre(step, frame)),
        Act::Point(_) | Act::LeftSide(_) | Act::Ink(_) | Act::Finished => String::new(),
    }
}

/// How the centre of a circle is found.
fn centre(step: &Step, frame: &Frame) -> String {
    let Action::Circle { placed, .. } = &step.action else { return String::new() };
    let found = match placed {
        Placing::CentredOn { .. } => return String::new(),
        Placing::Through { point, centre_on, .. } => {
            let line = match centre_on {
                Line::Centreline => "the centreline".to_string(),
                Line::CrossAt { point: at } if at == point => "the cross line".to_string(),
                Line::CrossAt { point: at } => format!("the cross line at {}", the(at)),
            };
            format!("From {} cut {line} with the same setting: there is the centre.", the(point))
        }
        Placing::TouchingTwo { one, other, lies } => format!(
            "About the centre of {} strike an arc with {}, about that of {} with {}; the centre is where they cross, {}.",
            the(&one.circle),
            reckoned(one),
            the(&other.circle),
            reckoned(other),
            which(*lies)
        ),
        Placing::TouchingThrough { one, point, lies } => format!(
            "About the centre of {} strike an arc with {}, about {} with the setting itself; the centre is where they cross, {}.",
            the(&one.circle),
            reckoned(one),
            the(point),
            which(*lies)
        ),
    };
    let contacts = frame.strokes.iter().filter(|stroke| stroke.role == Role::Contact).count();
    match contacts {
        0 => found,
        1 => format!("{found} The circles touch in line with both centres."),
        _ => format!("{found} Each contact lies in line with two centres."),
    }
}

fn reckoned(touch: &Touch) -> &'static str {
    match touch.from {
        TouchFrom::Outside => "the sum of both settings",
        TouchFrom::Inside => "the difference of both settings",
    }
}

fn which(lies: Toward) -> &'static str {
    match lies {
        Toward::Neck => "further up",
        Toward::Bottom => "further down",
        Toward::Out => "further out",
        Toward::In => "further in",
    }
}

fn laid_off(frame: &Frame) -> Option<&Taken> {
    frame.strokes.iter().find(|stroke| stroke.role == Role::Part)?.taken.as_ref()
}

fn arcs(frame: &Frame, role: Role) -> String {
    match frame.strokes.iter().filter(|stroke| stroke.role == role).count() {
        1 => "the one arc".to_string(),
        n => format!("the {}", count(n, "arc")),
    }
}

fn bout_name(bout: Bout) -> &'static str {
    match bout {
        Bout::Lower => "lower bout",
        Bout::Waist => "waist",
        Bout::Upper => "upper bout",
    }
}

fn ordinal(n: u16) -> String {
    let ending = match (n % 10, n % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}
