//! One sheet with its part of the drawing.

use super::bars::{Bar, Room};
use super::canvas::{Canvas, Page, Pen, Stands, Type};
use super::drawing::{Drawing, Note};
use super::ink::{self, HAIR, JOIN};
use super::letters::width;
use super::strip::{Heading, Place, strip};
use super::tiling::Tiling;
use super::words::Words;
use crate::bench::shapes::Layer;
use kurbo::{Affine, Point, Rect, Vec2};

const LETTER: Type = Type::bold(3.4);
/// Side of the square that a mark takes with its letter, mm.
const MARK_ROOM: f64 = 10.0;
const CROP: Pen = Pen::fine(0.2);

pub fn sheet(heading: &Heading, place: Place, scale: [f64; 2], words: &Words) -> Page {
    let Place { tiling, drawing, tile, .. } = place;
    let form = &tiling.form;
    let shown = tiling.tiles[tile].window;
    let shift = form.window.origin() - shown.origin();
    let placed = Affine::translate(shift);
    let mut canvas = Canvas::new(form.size, scale);
    canvas.clipped(form.window);
    for layered in &drawing.shapes.0 {
        if let Some(pen) = ink::pen(layered.layer)
            && layered.path.bounds().is_some_and(|b| meets(b, shown))
        {
            canvas.pen(pen);
            canvas.path(&layered.path, placed);
        }
        if layered.layer == Layer::Check {
            let corners: Vec<Point> = layered.path.segments.iter().map(|s| placed * s.start()).collect();
            canvas.filled_polygon(&corners);
        }
    }
    for note in &drawing.notes {
        canvas.text_along(note.at + shift, note.along, note.stands, note.kind, &note.text);
    }
    joins(&mut canvas, tiling, tile, shift);
    canvas.unclipped();
    crop_marks(&mut canvas, form.window);
    let mut room = room_on(drawing, tiling.kept(tile), tiling.kept(tile) + shift, shift);
    for join in tiling.joins.iter().filter(|join| join.between.contains(&tile)) {
        for mark in &join.marks {
            let lettered = mark.at + shift + 3.0 * join.inwards(tile);
            room.take_rect(Rect::from_center_size(lettered, (MARK_ROOM, MARK_ROOM)));
        }
    }
    for bars in [&[Bar::Across][..], &[Bar::Up], &[Bar::Rising, Bar::Falling]] {
        if let Some((bar, from)) = bars.iter().find_map(|bar| Some((bar, room.place(*bar)?))) {
            bar.draw(&mut canvas, from, words);
        }
    }
    strip(&mut canvas, heading, place, words);
    canvas.finish()
}

/// Unlike an area of overlap, this holds of lines too, which have none.
fn meets(one: Rect, other: Rect) -> bool {
    one.x0 <= other.x1 && other.x0 <= one.x1 && one.y0 <= other.y1 && other.y0 <= one.y1
}

fn joins(canvas: &mut Canvas, tiling: &Tiling, tile: usize, shift: Vec2) {
    for join in tiling.joins.iter().filter(|join| join.between.contains(&tile)) {
        canvas.pen(JOIN);
        canvas.line(join.line[0] + shift, join.line[1] + shift);
        let inwards = join.inwards(tile);
        let along = Vec2::new(-inwards.y, inwards.x);
        let half = tiling.mark_size();
        for mark in &join.marks {
            let at = mark.at + shift;
            canvas.filled_polygon(&[
                at + half * along,
                at + half * inwards,
                at - half * along,
                at - half * inwards,
            ]);
            // A letter is as high as 0.72 of its size, and stands with its middle beside the mark.
            let beside = at + (half + 2.6) * inwards - Vec2::new(0.0, 0.36 * LETTER.size);
            canvas.text(beside, Stands::About, LETTER, &mark.letter);
        }
    }
}

fn crop_marks(canvas: &mut Canvas, window: Rect) {
    canvas.pen(HAIR);
    canvas.rect(window);
    canvas.pen(CROP);
    for (x, right) in [(window.x0, 1.0), (window.x1, -1.0)] {
        for (y, up) in [(window.y0, 1.0), (window.y1, -1.0)] {
            let at = Point::new(x, y);
            canvas.line(at, at + Vec2::new(5.0 * right, 0.0));
            canvas.line(at, at + Vec2::new(0.0, 5.0 * up));
        }
    }
}

/// What is free within `free`, a part of the sheet, with the drawing shifted so on it.
fn room_on(drawing: &Drawing, kept: Rect, free: Rect, shift: Vec2) -> Room {
    /// Finer than the squares of a room, so that no square is stepped over, mm.
    const STEP: f64 = 2.0;
    let mut room = Room::within(free.inset(-1.5));
    for layered in &drawing.shapes.0 {
        for segment in &layered.path.segments {
            if !meets(segment.bounds(), kept) {
                continue;
            }
            let count = (segment.length() / STEP).ceil().clamp(1.0, 5000.0) as usize;
            for k in 0..=count {
                let at = segment.at(k as f64 / count as f64) + shift;
                if layered.layer == Layer::Centreline { room.take_centreline(at) } else { room.take(at) }
            }
        }
    }
    drawing.notes.iter().for_each(|note| room.take_rect(bounds(note) + shift));
    room
}

fn bounds(note: &Note) -> Rect {
    let wide = width(&note.text, note.kind.face, note.kind.size);
    let start = match note.stands {
        Stands::After => 0.0,
        Stands::Before => -wide,
        Stands::About => -wide / 2.0,
    };
    let up = Vec2::new(-note.along.y, note.along.x);
    let from = note.at + start * note.along;
    Rect::from_points(from, from + wide * note.along + note.kind.size * up)
}
