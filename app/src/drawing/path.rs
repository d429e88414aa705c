//! Arcs and lines as SVG path data, in board millimetres.

use kurbo::Point;
use ribline_geometry::arc::Arc;
use ribline_geometry::bench::shapes::{Path, Segment};
use ribline_geometry::outline::{Outline, Run};
use std::f64::consts::PI;
use std::fmt::Write;

/// Written to a thousandth of a millimetre, a twentieth of a pixel at the closest view.
pub fn move_to(d: &mut String, p: Point) {
    let _ = write!(d, "M{:.3} {:.3}", p.x, p.y);
}

pub fn line_to(d: &mut String, p: Point) {
    let _ = write!(d, "L{:.3} {:.3}", p.x, p.y);
}

pub fn curve_to(d: &mut String, control: Point, p: Point) {
    let _ = write!(d, "Q{:.3} {:.3} {:.3} {:.3}", control.x, control.y, p.x, p.y);
}

fn arc_to(d: &mut String, arc: &Arc) {
    let end = arc.at(1.0);
    let large = u8::from(arc.sweep.abs() > PI);
    let turn = u8::from(arc.sweep > 0.0);
    let r = arc.radius;
    let _ = write!(d, "A{r:.4} {r:.4} 0 {large} {turn} {:.3} {:.3}", end.x, end.y);
}

pub fn arc_path(arc: &Arc) -> String {
    let mut d = String::new();
    move_to(&mut d, arc.at(0.0));
    arc_to(&mut d, arc);
    d
}

pub fn outline_path(outline: &Outline) -> String {
    let mut d = String::new();
    for run in Run::ALL {
        let chain = outline.run(run);
        // The first run opens the line; each later one is joined to the last, straight across a corner's cut.
        if d.is_empty() {
            move_to(&mut d, chain.start)
        } else {
            line_to(&mut d, chain.start)
        }
        for arc in chain.arcs() {
            arc_to(&mut d, &arc);
        }
    }
    d.push('Z');
    d
}

pub fn shape_path(d: &mut String, path: &Path) {
    if let Some(first) = path.segments.first() {
        move_to(d, first.start());
    }
    for segment in &path.segments {
        match segment {
            Segment::Line { to, .. } => line_to(d, *to),
            Segment::Arc(arc) => arc_to(d, arc),
        }
    }
    if path.closed {
        d.push('Z');
    }
}

pub fn circle_path(centre: Point, radius: f64) -> String {
    let (right, left) = (centre.x + radius, centre.x - radius);
    let (y, r) = (centre.y, radius);
    format!("M{right:.3} {y:.3}A{r:.3} {r:.3} 0 1 1 {left:.3} {y:.3}A{r:.3} {r:.3} 0 1 1 {right:.3} {y:.3}Z")
}

pub fn polyline(points: &[Point]) -> String {
    let mut d = String::new();
    for (k, p) in points.iter().enumerate() {
        if k == 0 { move_to(&mut d, *p) } else { line_to(&mut d, *p) }
    }
    d
}

/// A line without length: with a round cap and a stroke that keeps its width it is a dot of that many pixels,
/// however far the board is enlarged.
pub fn dot(at: Point) -> String {
    format!("M{:.3} {:.3}h0", at.x, at.y)
}

/// An upright cross with arms of `arm` mm.
pub fn cross(d: &mut String, at: Point, arm: f64) {
    let _ = write!(
        d,
        "M{:.3} {:.3}H{:.3}M{:.3} {:.3}V{:.3}",
        at.x - arm,
        at.y,
        at.x + arm,
        at.x,
        at.y - arm,
        at.y + arm
    );
}

/// A cross of two slanting strokes: the sign of a point that was left out.
pub fn slanting_cross(at: Point, arm: f64) -> String {
    let (x, y) = (at.x, at.y);
    format!(
        "M{:.3} {:.3}L{:.3} {:.3}M{:.3} {:.3}L{:.3} {:.3}",
        x - arm,
        y - arm,
        x + arm,
        y + arm,
        x - arm,
        y + arm,
        x + arm,
        y - arm
    )
}
