//! A class that never was, to see what such a comparison looks like.

use crate::outline::{FaceUp, Run, Side};
use crate::project::Project;
use crate::reconcile::{Finish, Overhang};
use kurbo::Point;

/// How one of the invented plates departs from the one that all are made of.
struct Departure {
    /// Of lengths along the centreline.
    longer: f64,
    /// Of widths: at the bottom, half-way up and at the top, on either side, in mm outwards.
    left: [f64; 3],
    right: [f64; 3],
    overhang: f64,
    outside_up: bool,
    finish: Finish,
    /// Whether the first choice that the recipe's author allows is taken.
    other_ratio: bool,
}

const DEPARTURES: [Departure; 5] = [
    Departure {
        longer: 1.0,
        left: [0.0; 3],
        right: [0.0; 3],
        overhang: 2.5,
        outside_up: false,
        finish: Finish::Ratio,
        other_ratio: false,
    },
    Departure {
        longer: 1.004,
        left: [0.9, -0.3, 0.2],
        right: [-0.4, 0.2, 0.1],
        overhang: 2.5,
        outside_up: false,
        finish: Finish::Ratio,
        other_ratio: false,
    },
    Departure {
        longer: 0.997,
        left: [-0.6, 0.4, -0.5],
        right: [-0.9, 0.5, -0.2],
        overhang: 2.8,
        outside_up: true,
        finish: Finish::Ratio,
        other_ratio: false,
    },
    Departure {
        longer: 1.002,
        left: [0.3, 0.8, 0.7],
        right: [0.5, 0.6, -0.6],
        overhang: 2.2,
        outside_up: false,
        finish: Finish::Fitted,
        other_ratio: false,
    },
    Departure {
        longer: 0.999,
        left: [0.2, -0.6, 0.4],
        right: [0.4, -0.5, 0.9],
        overhang: 2.5,
        outside_up: false,
        finish: Finish::Ratio,
        other_ratio: true,
    },
];

/// How many [`invented`] makes.
pub const INVENTED: usize = DEPARTURES.len();

/// Plates of a class made from one plate's line, each with these names; as many as there are names, and at most
/// [`INVENTED`].
pub fn invented(of: &Project, names: &[String]) -> Vec<Project> {
    names.iter().zip(&DEPARTURES).map(|(name, departure)| departed(of, name, departure)).collect()
}

fn departed(of: &Project, name: &str, departure: &Departure) -> Project {
    let mut project = Project { title: name.to_owned(), notes: String::new(), ..of.clone() };
    let length = length_of(of);
    let moved = |at: Point| {
        // From the bottom over the middle to the top without a bend.
        let t = (at.y / length).clamp(0.0, 1.0);
        let [low, middle, high] = if at.x < 0.0 { departure.left } else { departure.right };
        let out = low * (1.0 - t) * (1.0 - t) + 2.0 * middle * t * (1.0 - t) + high * t * t;
        // Nothing leaves the centreline.
        let share = (at.x.abs() / 40.0).min(1.0);
        let x = at.x + share * out.copysign(at.x) * out.signum();
        let x = if departure.outside_up { -x } else { x };
        Point::new(x, at.y * departure.longer)
    };
    for point in &mut project.trace.points {
        point.at = moved(point.at);
        if departure.outside_up {
            point.run = point.run.map(|run| Run { side: other(run.side), ..run });
            point.side = point.side.map(other);
        }
    }
    let pins = &mut project.trace.pins;
    pins.lower = pins.lower.map(moved);
    pins.upper = pins.upper.map(moved);
    if departure.outside_up {
        project.face.up = match project.face.up {
            FaceUp::Inside => FaceUp::Outside,
            FaceUp::Outside => FaceUp::Inside,
        };
    }
    project.wish.overhang = Overhang::even(departure.overhang);
    project.wish.finish = departure.finish;
    if departure.other_ratio
        && let Some(step) = project.recipe.steps.iter().find(|step| !step.choices.is_empty())
        && let Ok(chosen) = project.recipe.chosen(&step.name, step.choices[0])
    {
        project.recipe = chosen;
    }
    project
}

fn other(side: Side) -> Side {
    match side {
        Side::Left => Side::Right,
        Side::Right => Side::Left,
    }
}

fn length_of(project: &Project) -> f64 {
    project.trace.points.iter().map(|point| point.at.y).fold(1.0, f64::max)
}
