//! The drawing at a moment of the work.

use super::compass::Compass;
use super::labels::{Label, beside, labels};
use super::lengths::in_full;
use super::pen::{Canvas, Pen};
use super::scene::Scene;
use super::timing::{FADE, Timing};
use kurbo::Point;
use ribline_geometry::recipe::replay::{Act, Mark, Role};

/// What was drawn before this frame and is still needed. What the frame makes use of stands out.
pub fn standing(scene: &Scene, at: usize, canvas: &Canvas) -> String {
    let mut pen = Pen::new(canvas);
    let Some(frame) = scene.frame(at) else { return pen.out };
    if frame.act == Act::Finished {
        plate(scene, &mut pen);
    }
    for used in [false, true] {
        pen.open(if used { "used" } else { "before" }, 1.0);
        for (drawn_in, stroke) in scene.replay.standing(at) {
            if drawn_in < at && frame.rests_on.contains(&drawn_in) == used {
                pen.mark(&stroke.mark, stroke.role, 1.0);
            }
        }
        pen.close();
    }
    pen.out
}

/// What is being drawn in this frame at so many seconds from its beginning, and what fades meanwhile.
pub fn at_work(
    scene: &Scene,
    at: usize,
    timing: &Timing,
    clock: f64,
    labels: &[Label],
    canvas: &Canvas,
) -> String {
    let mut pen = Pen::new(canvas);
    let Some(frame) = scene.frame(at) else { return pen.out };
    if clock < FADE && at > 0 {
        pen.open("before", 1.0 - clock / FADE);
        for (_, stroke) in scene.replay.standing(at - 1).filter(|(_, stroke)| stroke.until == Some(at - 1)) {
            pen.mark(&stroke.mark, stroke.role, 1.0);
        }
        pen.close();
    }
    pen.open("now", 1.0);
    for (k, stroke) in frame.strokes.iter().enumerate() {
        let progress = timing.progress(k, clock);
        if progress <= 0.0 {
            continue;
        }
        if let (Role::SetOff | Role::Touching, Mark::Arc(arc)) = (stroke.role, stroke.mark) {
            let mut reach = String::new();
            pen.line(&mut reach, arc.centre, arc.at(0.5));
            pen.path("reach", &reach);
        }
        pen.mark(&stroke.mark, stroke.role, progress);
    }
    pen.close();

    let compass = Compass::during(frame, timing, clock);
    if let Some(compass) = &compass {
        compass.draw(&mut pen);
    }
    let complete = clock >= timing.whole;
    for label in labels {
        let begun = label.stroke.is_none_or(|stroke| {
            // What the compass bears while it sweeps is left behind when it goes on.
            let swept = matches!(frame.strokes.get(stroke), Some(s) if matches!(s.role, Role::SetOff | Role::Touching));
            timing.progress(stroke, clock) > if swept { 0.999 } else { 0.0 }
        });
        if if label.on_compass { complete } else { begun } {
            pen.text(label.class, label.middle, &label.text);
        }
    }
    if let Some(compass) = compass.filter(|compass| compass.busy && !complete)
        && let Some(taken) = compass.taken
    {
        let (hinge, text) = (compass.hinge(canvas), in_full(taken));
        pen.text("setting", beside(hinge, compass.way_clear(canvas), &text, canvas.type_size), &text);
    }
    pen.out
}

/// A frame complete in itself.
pub fn complete(scene: &Scene, at: usize, canvas: &Canvas) -> String {
    let Some(frame) = scene.frame(at) else { return String::new() };
    let labels = labels(scene, at, canvas);
    standing(scene, at, canvas) + &at_work(scene, at, &Timing::of(frame), f64::INFINITY, &labels, canvas)
}

/// The plate itself, within the ink.
fn plate(scene: &Scene, pen: &mut Pen) {
    let strokes = scene.replay.frames.iter().flat_map(|frame| &frame.strokes);
    let mut d = String::new();
    for stroke in strokes.filter(|stroke| stroke.role == Role::Ink) {
        let Mark::Arc(arc) = stroke.mark else { continue };
        if d.is_empty() {
            let Point { x, y } = pen.canvas.at(arc.at(0.0));
            d = format!("M{x:.2} {y:.2}");
        }
        pen.arc_on(&mut d, &arc);
    }
    d.push('Z');
    pen.path("plate", &d);
}
