//! The strip of words on every sheet: what it is, which way up, when and at what scale it was printed, and what to mind.

use super::canvas::{Canvas, Stands, Type};
use super::drawing::Drawing;
use super::ink::{self, HAIR};
use super::tiling::{StripStands, Tiling};
use super::words::Words;
use crate::bench::shapes::Layer;
use kurbo::{Affine, Point, Rect, Vec2};

pub const TITLE: Type = Type::bold(4.2);
pub const FACE: Type = Type::bold(3.7);
pub const STRONG: Type = Type::bold(3.1);
pub const TEXT: Type = Type::plain(2.9);
pub const SMALL: Type = Type::plain(2.5);

/// What all pages of a print have in common.
#[derive(Clone)]
pub struct Heading {
    pub title: String,
    pub face: String,
    pub sides: String,
    pub recipe: String,
    pub scale: String,
    pub day: String,
    pub statements: Vec<String>,
    pub cautions: &'static str,
    pub edge_is: &'static str,
    pub key: Vec<(Layer, &'static str)>,
}

/// Where a sheet stands among the others.
#[derive(Clone, Copy)]
pub struct Place<'a> {
    pub page: usize,
    pub of: usize,
    /// The tile that is on it.
    pub tile: usize,
    pub tiling: &'a Tiling,
    pub drawing: &'a Drawing,
    /// The page of the first tile.
    pub first: usize,
}

pub fn strip(canvas: &mut Canvas, heading: &Heading, place: Place, words: &Words) {
    let strip = place.tiling.form.strip;
    match place.tiling.form.stands {
        StripStands::Below => below(canvas, heading, place, words, strip),
        StripStands::Beside => beside(canvas, heading, place, words, strip),
    }
}

fn below(canvas: &mut Canvas, heading: &Heading, place: Place, words: &Words, strip: Rect) {
    const GAP: f64 = 4.0;
    let top = strip.y1 - 1.8;
    let last = (strip.width() * 0.19).clamp(34.0, 60.0);
    let first = (strip.width() - last - 2.0 * GAP) * 0.4;
    let middle = strip.width() - last - first - 2.0 * GAP;
    let mut flow = Flow { canvas, at: Point::new(strip.x0, top), measure: first, floor: strip.y0 };
    flow.write(TITLE, &heading.title, 2);
    flow.write(FACE, &heading.face, 1);
    flow.write(TEXT, &heading.sides, 1);
    flow.write(STRONG, &(words.page)(place.page, place.of), 1);
    flow.write(SMALL, heading.edge_is, 1);
    let mut flow = Flow { at: Point::new(strip.x0 + first + GAP, top), measure: middle, ..flow };
    flow.write(SMALL, &format!("{} \u{b7} {}", heading.scale, heading.day), 1);
    flow.write(SMALL, &heading.recipe, 1);
    flow.write(SMALL, heading.cautions, 5);
    heading.statements.iter().for_each(|statement| flow.write(SMALL, statement, 4));
    let area = Rect { x0: strip.x1 - last, y1: top, ..strip };
    if place.tiling.tiles.len() > 1 {
        map(canvas, place, words, area);
    } else {
        key(canvas, heading, Point::new(area.x0, area.y1), last, strip.y0);
    }
}

fn beside(canvas: &mut Canvas, heading: &Heading, place: Place, words: &Words, strip: Rect) {
    let tiled = place.tiling.tiles.len() > 1;
    let map_height = if tiled { 46.0 } else { 0.0 };
    let left = strip.x0 + 3.0;
    let measure = strip.x1 - left;
    let mut flow = Flow { canvas, at: Point::new(left, strip.y1), measure, floor: strip.y0 + map_height };
    flow.write(TITLE, &heading.title, 3);
    flow.gap(1.0);
    flow.write(FACE, &heading.face, 3);
    flow.write(TEXT, &heading.sides, 2);
    flow.gap(1.0);
    flow.write(STRONG, &(words.page)(place.page, place.of), 1);
    flow.gap(1.5);
    flow.write(SMALL, &heading.scale, 3);
    flow.write(SMALL, &heading.day, 1);
    flow.write(SMALL, &heading.recipe, 3);
    flow.gap(1.5);
    flow.write(SMALL, heading.cautions, 12);
    for statement in &heading.statements {
        flow.gap(1.0);
        flow.write(SMALL, statement, 8);
    }
    flow.gap(1.5);
    let (at, floor) = (flow.at, flow.floor);
    let down = key(canvas, heading, at, measure, floor);
    let mut flow = Flow { canvas, at: at - Vec2::new(0.0, down), measure, floor };
    flow.gap(1.2);
    flow.write(SMALL, heading.edge_is, 2);
    if tiled {
        map(canvas, place, words, Rect::new(left, strip.y0, strip.x1, strip.y0 + map_height - 2.0));
    }
}

/// Text that goes down a column and stops above its floor.
pub struct Flow<'a> {
    pub canvas: &'a mut Canvas,
    pub at: Point,
    pub measure: f64,
    pub floor: f64,
}

impl Flow<'_> {
    pub fn write(&mut self, kind: Type, text: &str, most: usize) {
        let room = ((self.at.y - self.floor) / kind.leading()).floor().max(0.0) as usize;
        let height = self.canvas.paragraph(self.at, self.measure, kind, text, most.min(room));
        self.at.y -= height;
    }

    pub fn gap(&mut self, mm: f64) {
        self.at.y -= mm;
    }
}

/// The lines and what they are; gives back its height.
pub fn key(canvas: &mut Canvas, heading: &Heading, at: Point, measure: f64, floor: f64) -> f64 {
    const SAMPLE: f64 = 11.0;
    let mut down = 0.0;
    for (layer, name) in &heading.key {
        let room = ((at.y - down - floor) / SMALL.leading()).floor().max(0.0) as usize;
        if room == 0 {
            break;
        }
        let line = at.y - down - 0.5 * SMALL.size;
        if let Some(pen) = ink::pen(*layer) {
            canvas.pen(pen);
        }
        let (from, to) = (Point::new(at.x, line), Point::new(at.x + SAMPLE, line));
        let middle = from.midpoint(to);
        let (right, up) = (Vec2::new(1.2, 0.0), Vec2::new(0.0, 1.2));
        match layer {
            Layer::Centres | Layer::Traced => {
                let arm = if *layer == Layer::Traced { 0.45 } else { 1.0 };
                canvas.line(middle - arm * right, middle + arm * right);
                canvas.line(middle - arm * up, middle + arm * up);
            }
            Layer::PurflingChannel => {
                canvas.line(from + 0.5 * up, to + 0.5 * up);
                canvas.line(from - 0.5 * up, to - 0.5 * up);
            }
            _ => canvas.line(from, to),
        }
        let text = Point::new(to.x + 2.0, at.y - down);
        down += canvas.paragraph(text, measure - SAMPLE - 2.0, SMALL, name, room.min(2));
    }
    down
}

/// Which sheet is where, this one in grey.
pub fn map(canvas: &mut Canvas, place: Place, words: &Words, area: Rect) {
    canvas.text(Point::new(area.x0, area.y1 - 0.76 * SMALL.size), Stands::After, SMALL, words.map);
    let area = Rect { y1: area.y1 - SMALL.leading() - 0.6, ..area };
    tiles(canvas, place, area, Some(place.tile), 3.0);
}

pub fn tiles(canvas: &mut Canvas, place: Place, area: Rect, current: Option<usize>, size: f64) {
    let Place { tiling, drawing, .. } = place;
    let Some(whole) = (0..tiling.tiles.len()).map(|k| tiling.kept(k)).reduce(|a, b| a.union(b)) else {
        return;
    };
    let scale = (area.width() / whole.width()).min(area.height() / whole.height());
    let shown = Rect::from_origin_size(
        Point::new(area.x0, area.y1 - scale * whole.height()),
        (scale * whole.width(), scale * whole.height()),
    );
    let placed = Affine::translate(shown.origin().to_vec2())
        * Affine::scale(scale)
        * Affine::translate(-whole.origin().to_vec2());
    let on_map = |rect: Rect| placed.transform_rect_bbox(rect);
    if let Some(current) = current {
        canvas.filled_rect(on_map(tiling.kept(current)), 0.86);
    }
    canvas.clipped(shown);
    canvas.pen(super::canvas::Pen::fine(0.18));
    drawing.line.iter().for_each(|path| canvas.path(path, placed));
    canvas.unclipped();
    for k in 0..tiling.tiles.len() {
        let kept = on_map(tiling.kept(k));
        canvas.pen(HAIR);
        canvas.rect(kept);
        let kind = if current == Some(k) { Type::bold(size) } else { Type::plain(size) };
        // Off the middle, where a map may have the centreline or a join of the plate's own.
        let at = kept.center() - Vec2::new(0.0, 0.36 * size);
        canvas.text(at, Stands::About, kind, &(place.first + k).to_string());
    }
}
