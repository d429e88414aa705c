//! Strokes written down as SVG, in pixels. Text is made here once and handed to the browser whole: a picture that
//! changes sixty times a second, and thirty of them on paper, need no elements of their own to be kept.

use crate::drawing::Placement;
use kurbo::{Point, Size};
use ribline_geometry::arc::Arc;
use ribline_geometry::recipe::replay::{Mark, Role};
use std::f64::consts::{PI, TAU};
use std::fmt::Write;

/// What is drawn on: where the board lies in it, how large it is, and how large its type is, all in pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Canvas {
    pub place: Placement,
    pub size: Size,
    pub type_size: f64,
}

impl Canvas {
    pub fn at(&self, board: Point) -> Point {
        self.place.to_screen(board)
    }
}

/// Text that may hold anything, as text of a document.
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            c => safe.push(c),
        }
    }
    safe
}

pub struct Pen<'a> {
    pub canvas: &'a Canvas,
    pub out: String,
}

impl<'a> Pen<'a> {
    pub fn new(canvas: &'a Canvas) -> Self {
        Pen { canvas, out: String::new() }
    }

    pub fn open(&mut self, class: &str, opacity: f64) {
        let _ = write!(self.out, "<g class=\"{class}\"");
        if opacity < 1.0 {
            let _ = write!(self.out, " opacity=\"{opacity:.2}\"");
        }
        self.out.push('>');
    }

    pub fn close(&mut self) {
        self.out.push_str("</g>");
    }

    pub fn path(&mut self, class: &str, d: &str) {
        let _ = write!(self.out, "<path class=\"{class}\" d=\"{d}\"/>");
    }

    /// As much of a mark as is drawn.
    pub fn mark(&mut self, mark: &Mark, role: Role, progress: f64) {
        let d = match mark {
            Mark::Point(at) => self.sign(*at, role, progress),
            Mark::Line(line) => {
                let mut d = String::new();
                self.line(&mut d, line.p0, line.p0.lerp(line.p1, progress));
                d
            }
            Mark::Arc(arc) => self.arc(&Arc { sweep: arc.sweep * progress, ..*arc }),
        };
        self.path(class(role), &d);
    }

    pub fn line(&self, d: &mut String, from: Point, to: Point) {
        let (from, to) = (self.canvas.at(from), self.canvas.at(to));
        let _ = write!(d, "M{:.1} {:.1}L{:.1} {:.1}", from.x, from.y, to.x, to.y);
    }

    pub fn arc(&self, arc: &Arc) -> String {
        let from = self.canvas.at(arc.at(0.0));
        let mut d = format!("M{:.2} {:.2}", from.x, from.y);
        self.arc_on(&mut d, arc);
        d
    }

    /// From where the pen is to the end of the arc. SVG takes no arc of a full turn: it is drawn in two.
    pub fn arc_on(&self, d: &mut String, arc: &Arc) {
        let r = arc.radius * self.canvas.place.scale;
        // The page's y goes down, so that what turns left on the board turns right there.
        let turn = u8::from(arc.sweep < 0.0);
        let parts: &[f64] = if arc.sweep.abs() > 0.9 * TAU { &[0.5, 1.0] } else { &[1.0] };
        let large = u8::from(parts.len() == 1 && arc.sweep.abs() > PI);
        for t in parts {
            let to = self.canvas.at(arc.at(*t));
            let _ = write!(d, "A{r:.2} {r:.2} 0 {large} {turn} {:.2} {:.2}", to.x, to.y);
        }
    }

    /// A cross for a centre, a ring for a marked point or corner, a lozenge for a contact.
    fn sign(&self, at: Point, role: Role, progress: f64) -> String {
        let Point { x, y } = self.canvas.at(at);
        let unit = self.canvas.type_size / 14.0 * progress.max(0.05);
        match role {
            Role::Centre => {
                let a = 5.0 * unit;
                format!("M{:.1} {y:.1}h{:.1}M{x:.1} {:.1}v{:.1}", x - a, 2.0 * a, y - a, 2.0 * a)
            }
            Role::Contact => {
                let a = 4.0 * unit;
                format!("M{:.1} {y:.1}l{a:.1} {a:.1}l{a:.1} -{a:.1}l-{a:.1} -{a:.1}z", x - a)
            }
            _ => {
                let r = if role == Role::Corner { 6.0 } else { 3.4 } * unit;
                let d = 2.0 * r;
                format!("M{:.1} {y:.1}a{r:.1} {r:.1} 0 1 1 {d:.1} 0a{r:.1} {r:.1} 0 1 1 -{d:.1} 0z", x - r)
            }
        }
    }

    /// Text about the middle of a place.
    pub fn text(&mut self, class: &str, middle: Point, text: &str) {
        let Point { x, y } = middle;
        let _ =
            write!(self.out, "<text class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\">{}</text>", escaped(text));
    }
}

pub fn class(role: Role) -> &'static str {
    match role {
        Role::Centreline => "centreline",
        Role::Whole => "whole",
        Role::Slant => "slant",
        Role::Step => "step",
        Role::Parallel => "parallel",
        Role::Part => "part",
        Role::Up | Role::Out => "measured",
        Role::Marked => "marked",
        Role::CrossLine => "cross-line",
        Role::SetOff | Role::Touching => "locus",
        Role::Centre => "centre",
        Role::LineOfCentres => "line-of-centres",
        Role::Contact => "contact",
        Role::Struck => "struck",
        Role::Carried => "carried",
        Role::Ink => "ink",
        Role::Joint => "joint",
        Role::Corner => "corner-end",
    }
}
