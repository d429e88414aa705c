//! The edge as an SVG drawing in millimetres, with true circular arcs and named layers.
//!
//! The user unit is the millimetre: `width` and `height` are given in mm and the `viewBox` has the same numbers.
//! y runs down in SVG, so the drawing is turned over by the sign of y, never by a transform: a reader that ignores
//! transforms still gets the plate the right way up. Arcs are elliptical arc commands with equal
//! radii. Source: W3C, Scalable Vector Graphics 2, chapters 8 (paths) and 9 (units).

use super::plate::plate_drawing;
use super::shapes::{BUTTON_FEET, Layer, Layered, Path, Segment, Shapes};
use crate::arc::Arc;
use crate::outline::{FaceUp, Plate, Side, StringSide};
use crate::project::Project;
use crate::reconcile::report::Reconciled;
use kurbo::{Point, Rect, Vec2};
use std::fmt::Write;

/// White round the drawing, mm.
const MARGIN: f64 = 15.0;
/// Length of the bars by which a print is checked, mm.
const BAR: f64 = 100.0;
/// Room below for the bar, and for each line of words, mm.
const FOOT: f64 = 18.0;
const LINE: f64 = 5.5;

/// Digits behind the point: a tenth of a nanometre, so that arcs read back to 1e-6 mm even where end points
/// determine the centre badly.
fn number(value: f64) -> String {
    let text = format!("{value:.10}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// From the frame of the result (y up) to that of the drawing (y down).
struct Sheet {
    left: f64,
    top: f64,
}

impl Sheet {
    fn at(&self, p: Point) -> String {
        format!("{} {}", number(p.x - self.left), number(self.top - p.y))
    }
}

/// Escapes text for an element or attribute.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // Not allowed in XML 1.0 at all.
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push(' '),
            c => out.push(c),
        }
    }
    out
}

/// One arc as path commands. An arc of more than half a turn is split, since its end points alone would leave
/// two readings and near a full turn none.
fn arc_commands(sheet: &Sheet, arc: &Arc, out: &mut String) {
    let parts = (arc.sweep.abs() / std::f64::consts::PI).ceil().max(1.0);
    for i in 1..=parts as usize {
        let end = arc.at(i as f64 / parts);
        // Positive sweep runs counter-clockwise with y up: on the sheet that is flag 0.
        let flag = u8::from(arc.sweep < 0.0);
        let r = number(arc.radius);
        let _ = write!(out, " A {r} {r} 0 0 {flag} {}", sheet.at(end));
    }
}

fn path_commands(sheet: &Sheet, path: &Path) -> String {
    let mut d = String::new();
    if let Some(first) = path.segments.first() {
        let _ = write!(d, "M {}", sheet.at(first.start()));
    }
    for segment in &path.segments {
        match segment {
            Segment::Line { to, .. } => {
                let _ = write!(d, " L {}", sheet.at(*to));
            }
            Segment::Arc(arc) => arc_commands(sheet, arc, &mut d),
        }
    }
    if path.closed {
        d.push_str(" Z");
    }
    d
}

/// What a path's element says of it.
fn attributes(sheet: &Sheet, Layered { path, button_feet, .. }: &Layered) -> String {
    let d = path_commands(sheet, path);
    match button_feet {
        Some([one, other]) => format!("d=\"{d}\" {BUTTON_FEET}=\"{} {}\"", sheet.at(*one), sheet.at(*other)),
        None => format!("d=\"{d}\""),
    }
}

/// As a layer is drawn: colour, and breadth of line in mm.
fn pen(layer: Layer) -> (&'static str, f64) {
    match layer {
        Layer::Edge | Layer::Mould => ("#000000", 0.25),
        Layer::Button | Layer::Pins | Layer::Holes | Layer::Check => ("#000000", 0.2),
        Layer::LeftForTheFile => ("#b03a2e", 0.15),
        Layer::Corners => ("#b03a2e", 0.2),
        Layer::Ribs => ("#9a6b3f", 0.15),
        Layer::Traced => ("#9a6b3f", 0.1),
        Layer::Purfling | Layer::PurflingChannel | Layer::Recesses => ("#2d5f8a", 0.15),
        Layer::Centres => ("#2d5f8a", 0.12),
        Layer::Centreline => ("#777777", 0.15),
    }
}

/// What a drawing says of itself.
pub(super) struct About {
    pub title: String,
    pub description: String,
    /// Written below it, line by line.
    pub words: Vec<String>,
}

/// Shapes as an SVG file: each layer a group with its name as `id`, then `check` (a bar of 100 mm each way) and `words`.
pub(super) fn drawing(shapes: &Shapes, about: &About) -> String {
    let bounds: Rect = extent(shapes).inflate(MARGIN, MARGIN);
    let sheet = Sheet { left: bounds.x0, top: bounds.y1 };
    let foot = FOOT + LINE * about.words.len() as f64;
    let (w, h) = (number(bounds.width()), number(bounds.height() + foot));
    let (title, description) = (escaped(&about.title), escaped(&about.description));
    let mut out = String::with_capacity(32 << 10);
    let _ = write!(
        out,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n<title>{title}</title>\n<desc>{description}</desc>\n"
    );
    // What lies beside the sheet, as a centre may, would only be cut off.
    let on_sheet = |path: &&Layered| path.path.bounds().is_some_and(|b| bounds.contains(b.center()));
    for layer in shapes.0.chunk_by(|a, b| a.layer == b.layer) {
        let paths = layer.iter().filter(on_sheet).map(|l| attributes(&sheet, l));
        if let Some(first) = layer.first() {
            group(&mut out, first.layer, paths);
        }
    }
    group(
        &mut out,
        Layer::Check,
        bars(bounds).iter().map(|bar| format!("d=\"{}\"", path_commands(&sheet, bar))),
    );
    out.push_str("<g id=\"words\" font-family=\"serif\" font-size=\"4\" fill=\"#000000\">\n");
    for (line, text) in about.words.iter().enumerate() {
        let at = foot_of(bounds) + Vec2::new(0.0, -8.0 - LINE * line as f64);
        let (x, y) = (number(at.x - sheet.left), number(sheet.top - at.y));
        let _ = writeln!(out, "<text x=\"{x}\" y=\"{y}\">{}</text>", escaped(text));
    }
    out.push_str("</g>\n</svg>\n");
    out
}

/// Of everything but the centres, which may lie far off; they are drawn where they are on the sheet.
fn extent(shapes: &Shapes) -> Rect {
    let lines = shapes.0.iter().filter(|l| l.layer != Layer::Centres);
    lines.filter_map(|l| l.path.bounds()).reduce(|a, b| a.union(b)).unwrap_or_default()
}

fn group(out: &mut String, layer: Layer, paths: impl Iterator<Item = String>) {
    let (colour, broad) = pen(layer);
    let name = layer.name();
    let _ = writeln!(out, "<g id=\"{name}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{broad}\">");
    for said in paths {
        let _ = writeln!(out, "<path {said}/>");
    }
    out.push_str("</g>\n");
}

/// Where the bar below begins.
fn foot_of(bounds: Rect) -> Point {
    Point::new(bounds.x0 + MARGIN, bounds.y0 - 4.0)
}

/// A bar below and one at the side, each with its end strokes.
fn bars(bounds: Rect) -> Vec<Path> {
    let side = Point::new(bounds.x0 + 5.0, bounds.y0 + MARGIN);
    let bar = |from: Point, along: Vec2| {
        let tick = Vec2::new(along.y, along.x) * (2.0 / BAR);
        let ends = [from, from + along].map(|at| Path::line(at - tick, at + tick));
        ends.into_iter().chain([Path::line(from, from + along)])
    };
    bar(foot_of(bounds), Vec2::new(BAR, 0.0)).chain(bar(side, Vec2::new(0.0, BAR))).collect()
}

/// The words that state the plate and its face.
pub fn face_in_words(project: &Project) -> String {
    let plate = match project.face.plate {
        Plate::Back => "Back",
        Plate::Front => "Front",
    };
    let up = match project.face.up {
        FaceUp::Inside => "inside face up",
        FaceUp::Outside => "outside face up",
    };
    let left = match project.face.string_side(Side::Left) {
        StringSide::Bass => "bass side left",
        StringSide::Treble => "treble side left",
    };
    format!("{plate}, {up}, {left}")
}

/// Shapes of a plate as an SVG file, one user unit to the millimetre, with its title, face and cautions.
pub fn plate_svg(project: &Project, shapes: &Shapes) -> String {
    let title = if project.title.is_empty() { "Plate edge" } else { &project.title };
    let face = face_in_words(project);
    drawing(
        shapes,
        &About {
            title: title.to_owned(),
            description: format!(
                "{face}. Recipe: {}. Millimetres; the neck end is up.",
                project.recipe.title
            ),
            words: vec![
                format!("{title}. {face}."),
                "The bars are 100 mm: measure both before use. Leave the line when sawing; mind edge tools and dust;"
                    .to_owned(),
                "local rules, the tool's manual and qualified instruction come first.".to_owned(),
            ],
        },
    )
}

/// All of a plate as an SVG file.
pub fn edge_svg(project: &Project, result: &Reconciled) -> String {
    plate_svg(project, &plate_drawing(project, result).shapes)
}
