//! Shapes as a DXF drawing: true arcs, named layers, millimetres.
//!
//! Release 12 (`AC1009`), which every program reads: a closed line is a `POLYLINE` whose vertices carry the bulge of the arc
//! that follows, the tangent of a quarter of its included angle; a lone line or arc is a `LINE` or an `ARC`. Source: the
//! published DXF reference, POLYLINE and VERTEX, group code 42. Written here because it is a hundred lines, and a library for
//! all of the format would weigh more than the rest of what makes files.

use super::shapes::{BUTTON_FEET, Layer, Path, Segment, Shapes};
use crate::arc::Arc;
use kurbo::{Point, Rect};
use std::fmt::Write;

/// Layer of the words.
const WORDS: &str = "words";
/// Height of the letters, mm.
const LETTERS: f64 = 5.0;

/// A DXF file of shapes. `words`, in ASCII, say what it is of: below the drawing, and as a comment at its head.
pub fn dxf(shapes: &Shapes, words: &str) -> String {
    let bounds = shapes.bounds().unwrap_or_default();
    let mut out = Groups(String::with_capacity(32 << 10));
    // A comment, group code 999, which whoever opens the file passes over.
    out.text(999, words);
    button_feet(&mut out, shapes);
    header(&mut out, bounds);
    tables(&mut out, shapes);
    out.text(0, "SECTION").text(2, "ENTITIES");
    for layered in &shapes.0 {
        entity(&mut out, layered.layer, &layered.path);
    }
    let below = Point::new(bounds.x0, bounds.y0 - 3.0 * LETTERS);
    out.text(0, "TEXT").text(8, WORDS).point(10, below).number(40, LETTERS).text(1, words);
    out.text(0, "ENDSEC").text(0, "EOF");
    out.0
}

/// Pairs of a group code and a value, each on a line of its own.
struct Groups(String);

impl Groups {
    fn text(&mut self, code: u16, value: &str) -> &mut Self {
        let _ = write!(self.0, "{code}\r\n{value}\r\n");
        self
    }

    fn number(&mut self, code: u16, value: f64) -> &mut Self {
        self.text(code, &number(value))
    }

    fn point(&mut self, code: u16, at: Point) -> &mut Self {
        self.number(code, at.x).number(code + 10, at.y).number(code + 20, 0.0)
    }
}

fn number(value: f64) -> String {
    // Twelve decimals: bulges of flat arcs determine their radius badly, and it is to read back to 1e-6 mm.
    let text = format!("{value:.12}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// As a comment, group code 999, which whoever opens the file passes over.
fn button_feet(out: &mut Groups, shapes: &Shapes) {
    for feet in shapes.0.iter().filter_map(|layered| layered.button_feet) {
        let places = feet.map(|at| format!("{} {}", number(at.x), number(at.y)));
        out.text(999, &format!("{BUTTON_FEET} {}", places.join(" ")));
    }
}

fn header(out: &mut Groups, bounds: Rect) {
    out.text(0, "SECTION").text(2, "HEADER");
    out.text(9, "$ACADVER").text(1, "AC1009");
    // 4: millimetres; 1: metric. Readers of this release that do not know the unit take the numbers as they are.
    out.text(9, "$INSUNITS").text(70, "4");
    out.text(9, "$MEASUREMENT").text(70, "1");
    out.text(9, "$EXTMIN").point(10, bounds.origin());
    out.text(9, "$EXTMAX").point(10, Point::new(bounds.x1, bounds.y1));
    out.text(0, "ENDSEC");
}

/// Colours by number as the format has them, so that layers can be told apart on dark and on light: 1 red, 3 green,
/// 4 cyan, 5 blue, 6 magenta, 7 black or white, 8 grey.
fn colour(layer: Layer) -> &'static str {
    match layer {
        Layer::Edge | Layer::Mould | Layer::Holes | Layer::Button => "7",
        Layer::LeftForTheFile => "1",
        Layer::Purfling | Layer::PurflingChannel => "5",
        Layer::Ribs | Layer::Recesses => "3",
        Layer::Corners => "6",
        Layer::Centres | Layer::Pins => "4",
        Layer::Centreline | Layer::Traced | Layer::Check => "8",
    }
}

fn tables(out: &mut Groups, shapes: &Shapes) {
    let used: Vec<Layer> =
        Layer::ALL.into_iter().filter(|layer| shapes.on(*layer).next().is_some()).collect();
    out.text(0, "SECTION").text(2, "TABLES");
    out.text(0, "TABLE").text(2, "LTYPE").text(70, "1");
    out.text(0, "LTYPE").text(2, "CONTINUOUS").text(70, "0").text(3, "Solid line").text(72, "65");
    out.text(73, "0").number(40, 0.0).text(0, "ENDTAB");
    out.text(0, "TABLE").text(2, "LAYER").text(70, &(used.len() + 2).to_string());
    // Layer 0 has to be there.
    out.text(0, "LAYER").text(2, "0").text(70, "0").text(62, "7").text(6, "CONTINUOUS");
    let used = used.into_iter().map(|layer| (layer.name(), colour(layer)));
    for (name, colour) in used.chain([(WORDS, "8")]) {
        out.text(0, "LAYER").text(2, name).text(70, "0").text(62, colour).text(6, "CONTINUOUS");
    }
    out.text(0, "ENDTAB").text(0, "ENDSEC");
}

fn entity(out: &mut Groups, layer: Layer, path: &Path) {
    match (&path.segments[..], path.closed) {
        ([], _) => {}
        ([Segment::Line { from, to }], false) => {
            out.text(0, "LINE").text(8, layer.name()).point(10, *from).point(11, *to);
        }
        ([Segment::Arc(arc)], false) => arc_entity(out, layer, arc),
        (segments, closed) => polyline(out, layer, segments, closed),
    }
}

/// An `ARC` always runs counter-clockwise, from one angle to the other, in degrees.
fn arc_entity(out: &mut Groups, layer: Layer, arc: &Arc) {
    let (a, b) = (arc.start, arc.start + arc.sweep);
    let (from, to) = if arc.sweep > 0.0 { (a, b) } else { (b, a) };
    out.text(0, "ARC").text(8, layer.name()).point(10, arc.centre).number(40, arc.radius);
    out.number(50, from.to_degrees().rem_euclid(360.0)).number(51, to.to_degrees().rem_euclid(360.0));
}

fn polyline(out: &mut Groups, layer: Layer, segments: &[Segment], closed: bool) {
    let name = layer.name();
    out.text(0, "POLYLINE").text(8, name).text(66, "1").point(10, Point::ZERO);
    out.text(70, if closed { "1" } else { "0" });
    let mut vertex = |at: Point, bulge: f64| {
        out.text(0, "VERTEX").text(8, name).point(10, at);
        if bulge != 0.0 {
            out.number(42, bulge);
        }
    };
    for segment in segments {
        match segment {
            Segment::Line { from, .. } => vertex(*from, 0.0),
            Segment::Arc(arc) => {
                // Beyond half a turn a bulge grows without bound: such an arc is given in parts.
                let parts = (arc.sweep.abs() / std::f64::consts::PI).ceil().max(1.0);
                for k in 0..parts as usize {
                    vertex(arc.at(k as f64 / parts), (arc.sweep / parts / 4.0).tan());
                }
            }
        }
    }
    if let (Some(last), false) = (segments.last(), closed) {
        vertex(last.end(), 0.0);
    }
    out.text(0, "SEQEND").text(8, name);
}
