//! Where names and figures stand in the drawing: near what they are of, clear of one another and, as far as there is
//! room, of the lines.

use super::compass::Compass;
use super::lengths::{in_full, opening};
use super::pen::Canvas;
use super::scene::Scene;
use kurbo::{Point, Rect, Size, Vec2};
use ribline_geometry::recipe::replay::{Act, Frame, Mark, Role, Stroke};
use std::f64::consts::TAU;

/// A word in the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    pub text: String,
    pub class: &'static str,
    /// Its middle, in pixels.
    pub middle: Point,
    /// The stroke of the frame that it is of; it appears with it. `None` for what was there before.
    pub stroke: Option<usize>,
    /// Whether it is the compass's own, which the compass carries with it while it moves.
    pub on_compass: bool,
}

/// Every label of a frame, where it stands when the frame is complete.
pub fn labels(scene: &Scene, at: usize, canvas: &Canvas) -> Vec<Label> {
    let Some(frame) = scene.frame(at) else { return Vec::new() };
    let mut room = Room::new(scene, at, canvas);
    let mut found = Vec::new();
    let mut put = |wanted: Wanted| found.push(room.place(wanted));

    if let Some(compass) = Compass::at_rest(frame)
        && let Some(taken) = compass.taken
    {
        let stroke = frame.strokes.iter().rposition(|stroke| stroke.role == Role::Struck);
        let text = in_full(taken);
        put(Wanted { text, class: "setting", near: compass.hinge(canvas), stroke, on_compass: true });
    }
    for (k, stroke) in frame.strokes.iter().enumerate() {
        if let Some((text, class, near)) = of_stroke(scene, at, frame, stroke) {
            put(Wanted { text, class, near: canvas.at(near), stroke: Some(k), on_compass: false });
        }
    }
    // What is made use of is named, unless a whole bout is.
    if frame.rests_on.len() <= 2 {
        for earlier in &frame.rests_on {
            let Some(name) = scene.name_of(*earlier) else { continue };
            let drawn = scene.frame(*earlier).and_then(|frame| {
                frame.strokes.iter().find(|stroke| matches!(stroke.role, Role::Struck | Role::Marked))
            });
            let Some(stroke) = drawn else { continue };
            let near = canvas.at(middle(&stroke.mark));
            put(Wanted { text: name.to_owned(), class: "name", near, stroke: None, on_compass: false });
        }
    }
    found
}

/// What is written at a stroke, and where on it.
fn of_stroke(
    scene: &Scene,
    at: usize,
    frame: &Frame,
    stroke: &Stroke,
) -> Option<(String, &'static str, Point)> {
    let middle = middle(&stroke.mark);
    Some(match stroke.role {
        Role::Whole => {
            // Towards its far end, where the part that is cut off does not lie beside it.
            let Mark::Line(line) = stroke.mark else { return None };
            (opening(&stroke.taken.as_ref()?.opening), "name", line.p0.lerp(line.p1, 0.86))
        }
        Role::Part => {
            let full = in_full(stroke.taken.as_ref()?);
            let text = match frame.act {
                Act::Measure(measure) => scene
                    .recipe
                    .measures
                    .get(measure)
                    .map_or(full.clone(), |m| format!("{} = {full}", m.name)),
                _ => full,
            };
            (text, "setting", middle)
        }
        Role::Up | Role::Out => (in_full(stroke.taken.as_ref()?), "setting", middle),
        Role::SetOff | Role::Touching => {
            let Mark::Arc(arc) = stroke.mark else { return None };
            // The compass itself says the setting that it keeps.
            let kept =
                frame.strokes.iter().any(|other| other.role == Role::Struck && other.taken == stroke.taken);
            if kept {
                return None;
            }
            (in_full(stroke.taken.as_ref()?), "setting", arc.centre.midpoint(arc.at(0.5)))
        }
        Role::Marked => (scene.name_of(at)?.to_owned(), "name own", middle),
        Role::Struck if frame.rests_on.len() <= 2 => (scene.name_of(at)?.to_owned(), "name own", middle),
        _ => return None,
    })
}

fn middle(mark: &Mark) -> Point {
    match mark {
        Mark::Point(at) => *at,
        Mark::Line(line) => line.midpoint(),
        Mark::Arc(arc) => arc.at(0.5),
    }
}

/// The middle of a text that stands clear of a place, on that side of it.
pub fn beside(place: Point, way: Vec2, text: &str, type_size: f64) -> Point {
    let half = half_size(text, type_size);
    let reach = |half: f64, way: f64| half * way.clamp(-0.7, 0.7) / 0.7;
    place + 0.9 * type_size * way + Vec2::new(reach(half.x, way.x), reach(half.y, way.y))
}

fn half_size(text: &str, type_size: f64) -> Vec2 {
    // Figures and letters of a serif are somewhat less than half as wide as they are high.
    Vec2::new(0.235 * type_size * text.chars().count() as f64, 0.6 * type_size)
}

struct Wanted {
    text: String,
    class: &'static str,
    near: Point,
    stroke: Option<usize>,
    on_compass: bool,
}

/// The canvas with what lies on it already.
struct Room {
    size: Size,
    type_size: f64,
    labels: Vec<Rect>,
    /// Places on lines that are better left clear, and how much so.
    lines: Vec<(Point, f64)>,
}

impl Room {
    fn new(scene: &Scene, at: usize, canvas: &Canvas) -> Self {
        let spacing = 0.3 * canvas.type_size;
        let mut lines = Vec::new();
        for (drawn_in, stroke) in scene.replay.standing(at) {
            let weight = if drawn_in == at { 1.0 } else { 0.35 };
            along(&stroke.mark, canvas, spacing, |place| lines.push((place, weight)));
            if let (Role::SetOff | Role::Touching, Mark::Arc(arc)) = (stroke.role, stroke.mark) {
                let reach = Mark::Line(kurbo::Line::new(arc.centre, arc.at(0.5)));
                along(&reach, canvas, spacing, |place| lines.push((place, weight)));
            }
        }
        Room { size: canvas.size, type_size: canvas.type_size, labels: Vec::new(), lines }
    }

    fn place(&mut self, wanted: Wanted) -> Label {
        let half = half_size(&wanted.text, self.type_size);
        let places = (0..3)
            .flat_map(|ring| (0..16).map(move |k| (0.55 + 0.9 * f64::from(ring), TAU * f64::from(k) / 16.0)));
        let best = places
            .map(|(off, angle)| {
                let way = Vec2::new(angle.cos(), angle.sin());
                // The nearest place of the label's own box comes to lie `off` lines of type away.
                let middle = wanted.near
                    + off * self.type_size * way
                    + Vec2::new(half.x * way.x.clamp(-0.7, 0.7) / 0.7, half.y * way.y.clamp(-0.7, 0.7) / 0.7);
                let rect = Rect::from_center_size(middle, (2.0 * half.x, 2.0 * half.y));
                (self.cost(rect) + 1.6 * off, middle, rect)
            })
            .min_by(|one, other| one.0.total_cmp(&other.0));
        let (middle, rect) = best.map_or((wanted.near, Rect::ZERO), |(_, middle, rect)| (middle, rect));
        self.labels.push(rect);
        let Wanted { text, class, stroke, on_compass, .. } = wanted;
        Label { text, class, middle, stroke, on_compass }
    }

    fn cost(&self, rect: Rect) -> f64 {
        let spread = rect.inflate(0.25 * self.type_size, 0.1 * self.type_size);
        let overlaps = self.labels.iter().filter(|other| spread.overlaps(**other)).count();
        let page = Rect::from_origin_size(Point::ORIGIN, self.size);
        let outside = page.union(rect).area() - page.area();
        let crossed: f64 =
            self.lines.iter().filter(|(place, _)| rect.contains(*place)).map(|(_, weight)| weight).sum();
        60.0 * overlaps as f64 + outside / self.type_size + 0.7 * crossed
    }
}

/// Places along a mark, in pixels.
fn along(mark: &Mark, canvas: &Canvas, spacing: f64, mut put: impl FnMut(Point)) {
    let count = |length: f64| (length * canvas.place.scale / spacing).ceil().clamp(1.0, 400.0);
    match mark {
        Mark::Point(at) => put(canvas.at(*at)),
        Mark::Line(line) => {
            let n = count((line.p1 - line.p0).hypot());
            (0..=n as usize).for_each(|k| put(canvas.at(line.p0.lerp(line.p1, k as f64 / n))));
        }
        Mark::Arc(arc) => {
            let n = count(arc.length());
            (0..=n as usize).for_each(|k| put(canvas.at(arc.at(k as f64 / n))));
        }
    }
}
