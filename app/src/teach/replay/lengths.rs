//! The lengths that a step takes between the points of the compass, each a line of its own: the whole, its parts
//! ticked, the part taken drawn heavy; all to one scale, the body length as wide as there is room.

use super::pen::escaped;
use super::scene::Scene;
use crate::number::{entered, figure};
use crate::words::words;
use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::Size;
use ribline_geometry::recipe::replay::{Frame, Opening, Role, Taken};
use std::fmt::Write;

/// More parts than these are not ticked: they would run together.
const MOST_TICKS: u16 = 40;

pub fn size(size: &Size) -> String {
    match size {
        Size::Ratio { ratio, of } if *ratio == Ratio::ONE => of.clone(),
        Size::Ratio { ratio, of } => format!("{ratio} {of}").replace(' ', "\u{00A0}"),
        Size::Mm(mm) => format!("{}\u{00A0}mm", entered(*mm, 1)),
    }
}

/// An opening as it is reckoned: `5/6 W − 4/9 W`.
pub fn opening(opening: &Opening) -> String {
    match opening {
        Opening::Size(one) => size(one),
        Opening::Sum(one, other) => format!("{} + {}", size(one), size(other)),
        Opening::Difference(one, other) => format!("{} \u{2212} {}", size(one), size(other)),
    }
}

/// An opening and what it comes to.
pub fn in_full(taken: &Taken) -> String {
    match &taken.opening {
        Opening::Size(Size::Mm(mm)) => format!("{}\u{00A0}mm", figure(*mm, 1)),
        other => format!("{} = {}\u{00A0}mm", opening(other), figure(taken.mm, 1)),
    }
}

/// The different lengths taken in a frame, in the order in which they are needed.
pub fn taken(frame: &Frame) -> Vec<&Taken> {
    let mut found: Vec<&Taken> = Vec::new();
    for stroke in frame.strokes.iter().filter(|stroke| stroke.role != Role::Whole) {
        if let Some(taken) = &stroke.taken
            && !found.iter().any(|earlier| earlier.opening == taken.opening)
        {
            found.push(taken);
        }
    }
    found
}

/// Their lines, as a list.
pub fn lines(scene: &Scene, frame: &Frame) -> String {
    let taken = taken(frame);
    let body = scene.lengths.first().copied().flatten().unwrap_or(1.0);
    let widest = taken.iter().map(|taken| whole_of(scene, taken)).fold(body, f64::max);
    let mut out = String::new();
    for taken in taken {
        let _ = write!(
            out,
            "<li><p><span class=\"opening\">{}</span> <span class=\"mm\">{}</span></p><svg aria-hidden=\"true\">",
            escaped(&opening(&taken.opening)),
            escaped(&(words().readout.mm)(&figure(taken.mm, 1)))
        );
        line(&mut out, scene, taken, 100.0 / widest);
        out.push_str("</svg></li>");
    }
    out
}

fn mm(scene: &Scene, size: &Size) -> f64 {
    match size {
        Size::Mm(mm) => *mm,
        Size::Ratio { ratio, of } => ratio.of(measure(scene, of)),
    }
}

fn measure(scene: &Scene, name: &str) -> f64 {
    let place = scene.recipe.measures.iter().position(|measure| measure.name == name);
    place.and_then(|place| scene.lengths.get(place).copied().flatten()).unwrap_or(0.0)
}

/// How far its line reaches.
fn whole_of(scene: &Scene, taken: &Taken) -> f64 {
    let all = |size: &Size| match size {
        Size::Ratio { ratio, of } => measure(scene, of).max(ratio.of(measure(scene, of))),
        Size::Mm(mm) => *mm,
    };
    match &taken.opening {
        Opening::Size(size) => all(size),
        Opening::Sum(..) => taken.mm,
        Opening::Difference(one, _) => mm(scene, one),
    }
}

/// `scale` is in hundredths of the line's room to the mm.
fn line(out: &mut String, scene: &Scene, taken: &Taken, scale: f64) {
    let stretch = |out: &mut String, class: &str, from: f64, to: f64, y: f64| {
        let (from, to) = (from * scale, to * scale);
        let _ = write!(
            out,
            "<line class=\"{class}\" x1=\"{from:.2}%\" x2=\"{to:.2}%\" y1=\"{y:.0}%\" y2=\"{y:.0}%\"/>"
        );
    };
    let tick = |out: &mut String, at: f64, low: f64, high: f64| {
        let at = at * scale;
        let _ = write!(
            out,
            "<line class=\"tick\" x1=\"{at:.2}%\" x2=\"{at:.2}%\" y1=\"{low:.0}%\" y2=\"{high:.0}%\"/>"
        );
    };
    match &taken.opening {
        Opening::Size(Size::Ratio { ratio, of }) => {
            let whole = measure(scene, of);
            stretch(out, "whole", 0.0, whole.max(taken.mm), 50.0);
            stretch(out, "part", 0.0, taken.mm, 50.0);
            let most = ratio.over().max(ratio.under());
            if most <= MOST_TICKS {
                let part = whole / f64::from(ratio.under());
                (0..=most).for_each(|k| {
                    let end = k == 0 || k == ratio.under() || k == ratio.over();
                    let (low, high) = if end { (8.0, 92.0) } else { (28.0, 72.0) };
                    tick(out, f64::from(k) * part, low, high);
                });
            }
        }
        Opening::Size(Size::Mm(mm)) => {
            stretch(out, "part", 0.0, *mm, 50.0);
            [0.0, *mm].into_iter().for_each(|at| tick(out, at, 8.0, 92.0));
        }
        Opening::Sum(one, _) => {
            let one = mm(scene, one);
            stretch(out, "part", 0.0, taken.mm, 50.0);
            [0.0, one, taken.mm].into_iter().for_each(|at| tick(out, at, 8.0, 92.0));
        }
        Opening::Difference(one, _) => {
            let one = mm(scene, one);
            stretch(out, "part", 0.0, taken.mm, 50.0);
            stretch(out, "less", taken.mm, one, 50.0);
            [0.0, taken.mm, one].into_iter().for_each(|at| tick(out, at, 8.0, 92.0));
        }
    }
}
