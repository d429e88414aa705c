//! One page being drawn: in true millimetres, y up, from the lower left of the sheet. What the printer does to lengths is
//! undone by a single scale for the whole page.

use super::letters::{Face, encoded, lines, width_of};
use crate::bench::shapes::{Path, Segment};
use kurbo::{Affine, PathEl, Point, Rect, Vec2};
use pdf_writer::types::{LineCapStyle, LineJoinStyle};
use pdf_writer::{Content, Name, Str};

/// ISO 32000-1, 8.3.2.3: the default user space has 72 units to the inch.
pub const POINTS_PER_MM: f64 = 72.0 / 25.4;
/// How far a Bézier may leave the arc that it stands for, mm.
const BEZIER: f64 = 2e-5;

/// A line as it is drawn: its breadth, and its dashes and gaps (none: unbroken), mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    pub breadth: f64,
    pub dashes: &'static [f64],
    /// 0 black, 1 white.
    pub grey: f64,
}

impl Pen {
    pub const fn fine(breadth: f64) -> Self {
        Pen { breadth, dashes: &[], grey: 0.0 }
    }
}

/// Type: its face and its size in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Type {
    pub face: Face,
    pub size: f64,
}

impl Type {
    pub const fn plain(size: f64) -> Self {
        Type { face: Face::Plain, size }
    }

    pub const fn bold(size: f64) -> Self {
        Type { face: Face::Bold, size }
    }

    /// From one line to the next, mm.
    pub fn leading(self) -> f64 {
        1.28 * self.size
    }
}

/// Where a line of text stands to its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    After,
    Before,
    About,
}

pub struct Canvas {
    content: Content,
    /// Width and height in true mm.
    size: (f64, f64),
    scale: [f64; 2],
}

/// A page complete: its size in points and its content.
pub struct Page {
    pub size: (f64, f64),
    pub content: Vec<u8>,
}

impl Canvas {
    /// A page of so many true mm, to be printed on a printer corrected by `scale`.
    pub fn new(size: (f64, f64), scale: [f64; 2]) -> Self {
        let mut content = Content::with_capacity(16 << 10);
        let [x, y] = scale.map(|s| (s * POINTS_PER_MM) as f32);
        content.transform([x, 0.0, 0.0, y, 0.0, 0.0]);
        content.set_line_cap(LineCapStyle::ButtCap);
        content.set_line_join(LineJoinStyle::RoundJoin);
        Canvas { content, size, scale }
    }

    pub fn finish(self) -> Page {
        let [x, y] = self.scale.map(|s| s * POINTS_PER_MM);
        Page { size: (self.size.0 * x, self.size.1 * y), content: self.content.finish().into_vec() }
    }

    /// Until [`Canvas::unclipped`] nothing is drawn outside of `within`.
    pub fn clipped(&mut self, within: Rect) {
        self.content.save_state();
        self.add_rect(within);
        self.content.clip_nonzero().end_path();
    }

    pub fn unclipped(&mut self) {
        self.content.restore_state();
    }

    pub fn pen(&mut self, pen: Pen) {
        self.content.set_line_width(near(pen.breadth));
        self.content.set_dash_pattern(pen.dashes.iter().map(|mm| near(*mm)), 0.0);
        self.content.set_stroke_gray(near(pen.grey));
    }

    /// A path laid on the page by `placed`, which keeps circles round.
    pub fn path(&mut self, path: &Path, placed: Affine) {
        self.trace(path, placed);
        self.content.stroke();
    }

    fn trace(&mut self, path: &Path, placed: Affine) {
        let scale = placed.determinant().abs().sqrt().max(1e-9);
        if let Some(first) = path.segments.first() {
            self.move_to(placed * first.start());
        }
        for segment in &path.segments {
            match segment {
                Segment::Line { to, .. } => self.line_to(placed * *to),
                Segment::Arc(arc) => {
                    for el in arc.to_kurbo().append_iter(BEZIER / scale) {
                        if let PathEl::CurveTo(a, b, c) = el {
                            let [a, b, c] = [a, b, c].map(|p| placed * p);
                            self.content.cubic_to(
                                near(a.x),
                                near(a.y),
                                near(b.x),
                                near(b.y),
                                near(c.x),
                                near(c.y),
                            );
                        }
                    }
                }
            }
        }
        if path.closed {
            self.content.close_path();
        }
    }

    pub fn line(&mut self, from: Point, to: Point) {
        self.move_to(from);
        self.line_to(to);
        self.content.stroke();
    }

    pub fn rect(&mut self, rect: Rect) {
        self.add_rect(rect);
        self.content.stroke();
    }

    pub fn filled_rect(&mut self, rect: Rect, grey: f64) {
        self.add_rect(rect);
        self.content.set_fill_gray(near(grey)).fill_nonzero().set_fill_gray(0.0);
    }

    /// A shape with straight sides, filled black.
    pub fn filled_polygon(&mut self, corners: &[Point]) {
        let Some((first, rest)) = corners.split_first() else { return };
        self.move_to(*first);
        rest.iter().for_each(|corner| self.line_to(*corner));
        self.content.close_path().fill_nonzero();
    }

    /// One line of text, its base line at `at`.
    pub fn text(&mut self, at: Point, stands: Stands, kind: Type, text: &str) {
        self.show(at, Vec2::new(1.0, 0.0), stands, kind, &encoded(text));
    }

    /// One line of text along a direction.
    pub fn text_along(&mut self, at: Point, along: Vec2, stands: Stands, kind: Type, text: &str) {
        self.show(at, along, stands, kind, &encoded(text));
    }

    /// One line of text that is encoded already.
    pub fn encoded_text(&mut self, at: Point, stands: Stands, kind: Type, line: &[u8]) {
        self.show(at, Vec2::new(1.0, 0.0), stands, kind, line);
    }

    /// Two words on one line, each in its own type, which stand to the place as one.
    pub fn pair(&mut self, at: Point, stands: Stands, first: (Type, &str), second: (Type, &str)) {
        let [one, two] = [first, second].map(|(kind, text)| (kind, encoded(text)));
        let wide = |(kind, bytes): &(Type, Vec<u8>)| width_of(bytes, kind.face, kind.size);
        let gap = 0.35 * first.0.size;
        let whole = wide(&one) + gap + wide(&two);
        let back = match stands {
            Stands::After => 0.0,
            Stands::Before => 1.0,
            Stands::About => 0.5,
        };
        let left = at - Vec2::new(back * whole, 0.0);
        let beside = left + Vec2::new(wide(&one) + gap, 0.0);
        self.encoded_text(left, Stands::After, one.0, &one.1);
        self.encoded_text(beside, Stands::After, two.0, &two.1);
    }

    /// A paragraph from its upper left corner on; gives back its height.
    pub fn paragraph(&mut self, at: Point, measure: f64, kind: Type, text: &str, most: usize) -> f64 {
        let lines = lines(text, kind.face, kind.size, measure, most);
        for (k, line) in lines.iter().enumerate() {
            // Capitals of Helvetica are 0.72 of the size high.
            let down = 0.76 * kind.size + k as f64 * kind.leading();
            self.show(at - Vec2::new(0.0, down), Vec2::new(1.0, 0.0), Stands::After, kind, line);
        }
        lines.len() as f64 * kind.leading()
    }

    fn show(&mut self, at: Point, along: Vec2, stands: Stands, kind: Type, bytes: &[u8]) {
        let back = match stands {
            Stands::After => 0.0,
            Stands::Before => 1.0,
            Stands::About => 0.5,
        };
        let at = at - back * width_of(bytes, kind.face, kind.size) * along;
        let name = match kind.face {
            Face::Plain => Name(b"F1"),
            Face::Bold => Name(b"F2"),
        };
        self.content
            .begin_text()
            .set_font(name, near(kind.size))
            .set_text_matrix([
                near(along.x),
                near(along.y),
                near(-along.y),
                near(along.x),
                near(at.x),
                near(at.y),
            ])
            .show(Str(bytes))
            .end_text();
    }

    fn move_to(&mut self, at: Point) {
        self.content.move_to(near(at.x), near(at.y));
    }

    fn line_to(&mut self, at: Point) {
        self.content.line_to(near(at.x), near(at.y));
    }

    fn add_rect(&mut self, rect: Rect) {
        self.content.rect(near(rect.x0), near(rect.y0), near(rect.width()), near(rect.height()));
    }
}

/// To a hundred-thousandth of a mm: finer than that would only be more to write.
fn near(mm: f64) -> f32 {
    ((mm * 1e5).round() / 1e5) as f32
}
