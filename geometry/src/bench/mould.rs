//! The mould for the bench: as shapes on layers, for any kind of file, and as an SVG drawing in millimetres.

use super::shapes::{Layer, Layered, Path, Segment, Shapes};
use super::svg::{MARGIN, Sheet, arc_commands, escaped, number};
use crate::mould::Mould;
use crate::project::Project;
use kurbo::{Point, Rect, Vec2};
use std::fmt::Write;

/// Arms of a pin's cross, and how far the centreline goes on beyond the mould, mm.
const ARM: f64 = 3.0;
const BEYOND: f64 = 8.0;
/// Room below for the bar and the words, mm, and length of the bar by which a print is checked.
const FOOT: f64 = 40.0;
const BAR: f64 = 100.0;

/// The mould's line with its recesses (`mould`), the blocks (`recesses`), the holes, the outer face of the ribs (`ribs`),
/// the pins and the centreline.
pub fn mould_shapes(mould: &Mould) -> Shapes {
    let mut shapes = Shapes::default();
    let bounds = mould.outer.bounds().unwrap_or_default();
    let line = |from: (f64, f64), to: (f64, f64)| Path::line(from.into(), to.into());
    shapes.add(Layer::Centreline, line((0.0, bounds.y0 - BEYOND), (0.0, bounds.y1 + BEYOND)));
    shapes.add(Layer::Ribs, mould.outer.clone());
    for block in &mould.blocks {
        shapes.add(Layer::Recesses, block.clone());
    }
    shapes.add(Layer::Mould, mould.outline.clone());
    for hole in &mould.holes {
        shapes.add(Layer::Holes, Path::circle(*hole, 0.5 * mould.hole_diameter));
    }
    for pin in mould.pins {
        shapes.add(Layer::Pins, line((pin.x - ARM, pin.y), (pin.x + ARM, pin.y)));
        shapes.add(Layer::Pins, line((pin.x, pin.y - ARM), (pin.x, pin.y + ARM)));
    }
    shapes
}

/// As it is drawn: colour, and breadth of line in mm.
fn pen(layer: Layer) -> (&'static str, f64) {
    match layer {
        Layer::Mould => ("#000000", 0.25),
        Layer::Holes => ("#000000", 0.2),
        Layer::Ribs => ("#9a6b3f", 0.15),
        Layer::Recesses => ("#2d5f8a", 0.15),
        Layer::Centreline => ("#777777", 0.15),
        _ => ("#000000", 0.2),
    }
}

fn commands(sheet: &Sheet, path: &Path) -> String {
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

/// The mould as an SVG file, one user unit to the millimetre. Layers, as groups with an `id`: `centreline`, `ribs`,
/// `recesses`, `mould`, `holes`, `pins`, `check` (bars of 100 mm) and `words`, which has the lengths of the ribs.
pub fn mould_svg(project: &Project, mould: &Mould) -> String {
    let shapes = mould_shapes(mould);
    let bounds: Rect = shapes.bounds().unwrap_or_default().inflate(MARGIN, MARGIN);
    let sheet = Sheet { left: bounds.x0, top: bounds.y1 };
    let (w, h) = (number(bounds.width()), number(bounds.height() + FOOT));
    let title = escaped(if project.title.is_empty() { "Mould" } else { &project.title });
    let recipe = escaped(&project.recipe.title);
    let mut out = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n<title>{title}: mould</title>\n<desc>Inside mould. Recipe: {recipe}. Millimetres; the neck end is up.</desc>\n"
    );
    let group = |out: &mut String, name: &str, (colour, broad): (&str, f64), paths: &[String]| {
        let _ = writeln!(out, "<g id=\"{name}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{broad}\">");
        for d in paths {
            let _ = writeln!(out, "<path d=\"{d}\"/>");
        }
        out.push_str("</g>\n");
    };
    for layer in shapes.0.chunk_by(|a, b| a.layer == b.layer) {
        let paths: Vec<String> = layer.iter().map(|Layered { path, .. }| commands(&sheet, path)).collect();
        if let Some(first) = layer.first() {
            group(&mut out, first.layer.name(), pen(first.layer), &paths);
        }
    }
    let foot = Point::new(bounds.x0 + MARGIN, bounds.y0 - 4.0);
    let side = Point::new(bounds.x0 + 5.0, bounds.y0 + MARGIN);
    let bar = |from: Point, along: Vec2| {
        let tick = Vec2::new(along.y, along.x) * (2.0 / BAR);
        [from, from + along]
            .map(|at| commands(&sheet, &Path::line(at - tick, at + tick)))
            .into_iter()
            .chain([commands(&sheet, &Path::line(from, from + along))])
            .collect::<Vec<_>>()
            .join(" ")
    };
    let bars = [bar(foot, Vec2::new(BAR, 0.0)), bar(side, Vec2::new(0.0, BAR))];
    group(&mut out, Layer::Check.name(), ("#000000", 0.2), &bars);
    out.push_str("<g id=\"words\" font-family=\"serif\" font-size=\"4\" fill=\"#000000\">\n");
    for (line, text) in words(&title, &recipe, mould).into_iter().enumerate() {
        let at = foot + Vec2::new(0.0, -8.0 - 5.5 * line as f64);
        let (x, y) = (number(at.x - sheet.left), number(sheet.top - at.y));
        let _ = writeln!(out, "<text x=\"{x}\" y=\"{y}\">{text}</text>");
    }
    out.push_str("</g>\n</svg>\n");
    out
}

fn words(title: &str, recipe: &str, mould: &Mould) -> [String; 5] {
    // Both sides are alike: the right ones stand for both.
    let [lower, waist, upper, ..] = mould.ribs.map(|rib| format!("{:.0}", rib.cut.ceil()));
    [
        format!("{title}. Inside mould, {recipe}."),
        format!(
            "Ribs to cut, mm, two of each with allowance: lower {lower}, waist {waist}, upper {upper}; total {:.0}.",
            mould.total_cut().ceil()
        ),
        "The bars are 100 mm: measure both before use. Leave the line when sawing.".to_owned(),
        "Mind saws, drills, dust and the heat of the bending iron;".to_owned(),
        "local rules, the tool's manual and qualified instruction come first.".to_owned(),
    ]
}
