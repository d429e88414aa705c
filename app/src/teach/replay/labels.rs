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
    // Figures of the widest serif in use are 0.64 of the type's size, its letters little less; taken for narrower, a text
    // would reach back over the line that it stands beside.
    Vec2::new(0.3 * type_size * text.chars().count() as f64, 0.6 * type_size)
}

/// How much better the centreline is left clear than another line: a text lies on few places of what stands upright, and yet
/// loses a letter to it.
const CENTRELINE: f64 = 10.0;

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
            let weight = match stroke.role {
                Role::Centreline => CENTRELINE,
                _ if drawn_in == at => 1.0,
                _ => 0.35,
            };
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
        // A line that only grazes a letter takes as much from it as one that runs through.
        let clear = rect.inflate(0.2 * self.type_size, 0.0);
        let crossed: f64 =
            self.lines.iter().filter(|(place, _)| clear.contains(*place)).map(|(_, weight)| weight).sum();
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Placement;
    use ribline_geometry::recipe::built_in::built_in;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    /// How wide a text is in a wide serif, in pixels.
    fn set_wide(text: &str, type_size: f64) -> f64 {
        let in_ems = |c: char| match c {
            ' ' | '\u{A0}' | '.' | ',' | 'i' | 'l' | 'j' => 0.32,
            'm' | 'w' | 'M' | 'W' => 0.95,
            '=' | '+' | '\u{2212}' => 0.84,
            _ => 0.64,
        };
        type_size * text.chars().map(in_ems).sum::<f64>()
    }

    #[test]
    fn a_label_that_has_room_keeps_off_the_centreline() {
        let (desk, phone, type_size) = (Size::new(560.0, 690.0), Size::new(390.0, 480.0), 13.0);
        for (recipe, size) in
            built_in().into_iter().flat_map(|recipe| [(recipe.clone(), desk), (recipe, phone)])
        {
            let Ok(drawn) = recipe.evaluate() else { panic!("{} is not worked", recipe.title) };
            let scene = Scene::of(recipe, &drawn);
            let canvas = Canvas { place: Placement::fitting(scene.extent, size), size, type_size };
            let centreline = canvas.at(Point::ORIGIN).x;
            for at in 0..scene.len() {
                for label in labels(&scene, at, &canvas) {
                    let wide = set_wide(&label.text, type_size);
                    // A long sum has the choice of lying along an arc or across the centreline.
                    if wide < 0.24 * size.width {
                        let off = (label.middle.x - centreline).abs();
                        assert!(off > 0.5 * wide, "{}, frame {at}: {label:?}", scene.recipe.title);
                    }
                }
            }
        }
    }
}
