//! The edge as an SVG drawing in millimetres, with true circular arcs and named layers.
//!
//! The user unit is the millimetre: `width` and `height` are given in mm and the `viewBox` has the same numbers.
//! y runs down in SVG, so the drawing is turned over by the sign of y, never by a transform: a reader that ignores
//! transforms still gets the plate the right way up. Arcs are elliptical arc commands with equal
//! radii. Source: W3C, Scalable Vector Graphics 2, chapters 8 (paths) and 9 (units).

use crate::arc::{Arc, Chain};
use crate::edge::Edge;
use crate::outline::{Corner, FaceUp, Outline, Plate, Run, Side, StringSide};
use crate::project::Project;
use crate::reconcile::report::Reconciled;
use kurbo::{Point, Rect, Vec2};
use std::fmt::Write;

/// White round the plate, mm.
pub(super) const MARGIN: f64 = 15.0;
/// Length of the bar by which the print is checked, mm.
const BAR: f64 = 100.0;
/// Room below the plate for the bar and the words, mm.
const FOOT: f64 = 34.0;

/// Digits behind the point: a tenth of a nanometre, so that arcs read back to 1e-6 mm even where end points
/// determine the centre badly.
pub(super) fn number(value: f64) -> String {
    let text = format!("{value:.10}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// From the frame of the result (y up) to that of the drawing (y down).
pub(super) struct Sheet {
    pub left: f64,
    pub top: f64,
}

impl Sheet {
    pub fn at(&self, p: Point) -> String {
        format!("{} {}", number(p.x - self.left), number(self.top - p.y))
    }
}

/// Escapes text for an element or attribute.
pub(super) fn escaped(text: &str) -> String {
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
pub(super) fn arc_commands(sheet: &Sheet, arc: &Arc, out: &mut String) {
    let parts = (arc.sweep.abs() / std::f64::consts::PI).ceil().max(1.0);
    for i in 1..=parts as usize {
        let end = arc.at(i as f64 / parts);
        // Positive sweep runs counter-clockwise with y up: on the sheet that is flag 0.
        let flag = u8::from(arc.sweep < 0.0);
        let r = number(arc.radius);
        let _ = write!(out, " A {r} {r} 0 0 {flag} {}", sheet.at(end));
    }
}

fn chain_commands(sheet: &Sheet, chain: &Chain, out: &mut String) {
    for arc in chain.arcs() {
        arc_commands(sheet, &arc, out);
    }
}

/// The closed edge: six runs, joined straight across the corner ends.
fn outline_commands(sheet: &Sheet, outline: &Outline) -> String {
    let mut d = String::new();
    for run in Run::ALL {
        let chain = outline.run(run);
        match run.index() {
            0 => {
                let _ = write!(d, "M {}", sheet.at(chain.start));
            }
            _ if outline.runs[run.index() - 1].end().distance(chain.start) > 1e-9 => {
                let _ = write!(d, " L {}", sheet.at(chain.start));
            }
            _ => {}
        }
        chain_commands(sheet, chain, &mut d);
    }
    d.push_str(" Z");
    d
}

/// The parallel of the edge at the wanted overhang: the line of the ribs as it should be. A run too tight for its
/// parallel is left out.
fn rib_commands(sheet: &Sheet, edge: &Edge, result: &Reconciled) -> String {
    let mut d = String::new();
    for run in Run::ALL {
        if let Some(line) = edge.outline.run(run).offset(result.overhang.wanted.at(run.bout)) {
            let _ = write!(d, "M {}", sheet.at(line.start));
            chain_commands(sheet, &line, &mut d);
            d.push(' ');
        }
    }
    d
}

fn cross(sheet: &Sheet, at: Point, arm: f64) -> String {
    let across = Vec2::new(arm, 0.0);
    let up = Vec2::new(0.0, arm);
    format!(
        "M {} L {} M {} L {}",
        sheet.at(at - across),
        sheet.at(at + across),
        sheet.at(at - up),
        sheet.at(at + up)
    )
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

/// The edge as an SVG file, one user unit to the millimetre.
///
/// Layers, as groups with an `id`: `edge`, `ribs`, `traced`, `corners`, `centres`, `pins`, `centreline`, `check`
/// (a bar of 100 mm each way) and `words`.
pub fn edge_svg(project: &Project, result: &Reconciled) -> String {
    let bounds = result.points.iter().fold(result.edge.outline.bounds(), |b: Rect, p| b.union_pt(p.at));
    let sheet = Sheet { left: bounds.x0 - MARGIN, top: bounds.y1 + MARGIN };
    let (width, height) = (bounds.width() + 2.0 * MARGIN, bounds.height() + 2.0 * MARGIN + FOOT);
    let (w, h) = (number(width), number(height));
    let title = escaped(if project.title.is_empty() { "Plate edge" } else { &project.title });
    let face = escaped(&face_in_words(project));
    let mut out = String::with_capacity(32 << 10);
    let _ = write!(
        out,
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n<title>{title}</title>\n<desc>{face}. Recipe: {}. Millimetres; the neck end is up.</desc>\n",
        escaped(&project.recipe.title)
    );
    let layer = |out: &mut String, id: &str, colour: &str, line: f64, paths: &[String]| {
        let _ = writeln!(out, "<g id=\"{id}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{line}\">");
        for d in paths {
            let _ = writeln!(out, "<path d=\"{d}\"/>");
        }
        out.push_str("</g>\n");
    };
    let edge = &result.edge;
    let (low, high) = (bounds.y0 - 5.0, bounds.y1 + 5.0);
    let line = |from: Point, to: Point| format!("M {} L {}", sheet.at(from), sheet.at(to));
    layer(&mut out, "centreline", "#777777", 0.15, &[line(Point::new(0.0, low), Point::new(0.0, high))]);
    layer(&mut out, "ribs", "#9a6b3f", 0.15, &[rib_commands(&sheet, edge, result)]);
    layer(&mut out, "edge", "#000000", 0.25, &[outline_commands(&sheet, &edge.outline)]);
    let corners: Vec<String> =
        Corner::ALL.into_iter().map(|c| &edge.corners[c.index()]).map(|c| line(c.outer, c.waist)).collect();
    layer(&mut out, "corners", "#b03a2e", 0.2, &corners);
    let mut centres: Vec<Point> = Vec::new();
    for arc in &result.arcs {
        if centres.iter().all(|c| c.distance(arc.arc.centre) > 1e-6) {
            centres.push(arc.arc.centre);
        }
    }
    let on_sheet = |p: &Point| bounds.inflate(MARGIN, MARGIN).contains(*p);
    let crosses: Vec<String> =
        centres.iter().filter(|p| on_sheet(p)).map(|c| cross(&sheet, *c, 1.5)).collect();
    layer(&mut out, "centres", "#2d5f8a", 0.12, &crosses);
    let traced: Vec<String> = result.points.iter().map(|p| cross(&sheet, p.at, 0.5)).collect();
    layer(&mut out, "traced", "#9a6b3f", 0.1, &traced);
    let pins: Vec<String> =
        [result.pins.lower, result.pins.upper].into_iter().flatten().map(|p| cross(&sheet, p, 2.0)).collect();
    layer(&mut out, "pins", "#000000", 0.2, &pins);
    let foot = Point::new(bounds.x0, bounds.y0 - MARGIN - 6.0);
    layer(
        &mut out,
        "check",
        "#000000",
        0.2,
        &[
            line(foot, foot + Vec2::new(BAR, 0.0)),
            line(foot + Vec2::new(0.0, -2.0), foot + Vec2::new(0.0, 2.0)),
            line(foot + Vec2::new(BAR, -2.0), foot + Vec2::new(BAR, 2.0)),
            line(Point::new(sheet.left + 5.0, bounds.y0), Point::new(sheet.left + 5.0, bounds.y0 + BAR)),
            line(Point::new(sheet.left + 3.0, bounds.y0), Point::new(sheet.left + 7.0, bounds.y0)),
            line(
                Point::new(sheet.left + 3.0, bounds.y0 + BAR),
                Point::new(sheet.left + 7.0, bounds.y0 + BAR),
            ),
        ],
    );
    let words = [
        format!("{title}. {face}."),
        "The bars are 100 mm: measure both before use. Leave the line when sawing; mind edge tools and dust;"
            .to_owned(),
        "local rules, the tool's manual and qualified instruction come first.".to_owned(),
    ];
    out.push_str("<g id=\"words\" font-family=\"serif\" font-size=\"4\" fill=\"#000000\">\n");
    for (i, text) in words.iter().enumerate() {
        let at = foot + Vec2::new(0.0, -8.0 - 5.5 * i as f64);
        let (x, y) = (number(at.x - sheet.left), number(sheet.top - at.y));
        let _ = writeln!(out, "<text x=\"{x}\" y=\"{y}\">{text}</text>");
    }
    out.push_str("</g>\n</svg>\n");
    out
}
