//! The bars by which a print is checked, and where on a sheet there is room for them.

use super::canvas::{Canvas, Stands, Type};
use super::ink::RULE;
use super::wish::BAR;
use super::words::Words;
use kurbo::{Point, Rect, Vec2};

/// Half of an end stroke, mm.
const STROKE: f64 = 2.5;
const LABEL: Type = Type::plain(2.6);

/// Which way a bar lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bar {
    Across,
    Up,
    /// Three across for four up, either way.
    Rising,
    Falling,
}

impl Bar {
    pub fn direction(self) -> Vec2 {
        match self {
            Bar::Across => Vec2::new(1.0, 0.0),
            Bar::Up => Vec2::new(0.0, 1.0),
            Bar::Rising => Vec2::new(0.6, 0.8),
            Bar::Falling => Vec2::new(0.6, -0.8),
        }
    }

    fn label(self, words: &Words) -> &'static str {
        match self {
            Bar::Across => words.bar_across,
            Bar::Up => words.bar_up,
            Bar::Rising | Bar::Falling => words.bar_slanting,
        }
    }

    /// Draws it from `from` on.
    pub fn draw(self, canvas: &mut Canvas, from: Point, words: &Words) {
        let along = self.direction();
        let aside = Vec2::new(-along.y, along.x);
        let to = from + BAR * along;
        canvas.pen(RULE);
        canvas.line(from, to);
        for end in [from, to] {
            canvas.line(end - STROKE * aside, end + STROKE * aside);
        }
        // Off the middle: that is where a bar across may cross the centreline.
        let label = from.lerp(to, 0.24) + 1.2 * aside;
        canvas.text_along(label, along, Stands::About, LABEL, self.label(words));
    }
}

/// Which places of a sheet are taken.
pub struct Room {
    within: Rect,
    columns: usize,
    rows: usize,
    taken: Vec<u8>,
}

/// Side of the squares in which the room is reckoned, mm.
const CELL: f64 = 3.0;
/// Taken by what a bar must not touch, and by the centreline, which a bar may cross but not follow.
const LINE: u8 = 1;
const CENTRELINE: u8 = 2;

impl Room {
    pub fn within(within: Rect) -> Self {
        let count = |mm: f64| ((mm / CELL).floor().max(0.0) as usize).min(2000);
        let (columns, rows) = (count(within.width()), count(within.height()));
        Room { within, columns, rows, taken: vec![0; columns * rows] }
    }

    /// The square of a place; `None` outside.
    fn square(&self, at: Point) -> Option<(usize, usize)> {
        let (x, y) = ((at.x - self.within.x0) / CELL, (at.y - self.within.y0) / CELL);
        if !(x >= 0.0 && y >= 0.0) {
            return None;
        }
        let (x, y) = (x as usize, y as usize);
        (x < self.columns && y < self.rows).then_some((x, y))
    }

    pub fn take(&mut self, at: Point) {
        self.mark(at, LINE);
    }

    pub fn take_centreline(&mut self, at: Point) {
        self.mark(at, CENTRELINE);
    }

    /// The square of the place and those around it.
    fn mark(&mut self, at: Point, by: u8) {
        let Some((x, y)) = self.square(at) else { return };
        for y in y.saturating_sub(1)..(y + 2).min(self.rows) {
            for x in x.saturating_sub(1)..(x + 2).min(self.columns) {
                self.taken[y * self.columns + x] |= by;
            }
        }
    }

    pub fn take_rect(&mut self, rect: Rect) {
        let steps = |mm: f64| (mm / CELL).ceil().clamp(1.0, 500.0) as usize;
        let (nx, ny) = (steps(rect.width()), steps(rect.height()));
        for i in 0..=nx {
            for j in 0..=ny {
                let (t, u) = (i as f64 / nx as f64, j as f64 / ny as f64);
                self.take(Point::new(rect.x0 + t * rect.width(), rect.y0 + u * rect.height()));
            }
        }
    }

    fn is_free(&self, at: Point, of: u8) -> bool {
        self.square(at).is_some_and(|(x, y)| self.taken[y * self.columns + x] & of == 0)
    }

    /// A place from which a bar has room, as low as there is one; it is taken then.
    pub fn place(&mut self, bar: Bar) -> Option<Point> {
        let along = bar.direction();
        let aside = Vec2::new(-along.y, along.x);
        let avoided = if bar == Bar::Up { LINE | CENTRELINE } else { LINE };
        let steps = (BAR / CELL).ceil() as usize;
        let places = |from: Point| {
            (0..=steps).flat_map(move |k| {
                let at = from + k as f64 / steps as f64 * BAR * along;
                // The words stand on the left of the bar.
                [at, at + 3.0 * aside]
            })
        };
        let fits = |from: Point| places(from).all(|at| self.is_free(at, avoided));
        let middle = self.within.center().x;
        let mut best: Option<(f64, Point)> = None;
        for y in 0..self.rows {
            for x in 0..self.columns {
                let from = self.within.origin() + CELL * Vec2::new(x as f64 + 0.5, y as f64 + 0.5);
                let half = from + 0.5 * BAR * along;
                let worth = (half.y - self.within.y0) + 0.7 * (half.x - middle).abs();
                if best.is_none_or(|(w, _)| worth < w) && fits(from) {
                    best = Some((worth, from));
                }
            }
        }
        let (_, from) = best?;
        let all: Vec<Point> = places(from).collect();
        all.into_iter().for_each(|at| self.take(at));
        Some(from)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_has_room_only_where_nothing_is() {
        let mut room = Room::within(Rect::new(0.0, 0.0, 200.0, 120.0));
        let first = room.place(Bar::Across).unwrap();
        let second = room.place(Bar::Across).unwrap();
        assert!((first.y - second.y).abs() >= CELL);
        assert!(room.place(Bar::Up).is_some());
        room.take_rect(Rect::new(0.0, 0.0, 200.0, 120.0));
        assert_eq!(room.place(Bar::Rising), None);
        assert_eq!(Room::within(Rect::new(0.0, 0.0, 90.0, 90.0)).place(Bar::Up), None);
    }

    #[test]
    fn every_bar_is_as_long_as_its_label_says() {
        for bar in [Bar::Across, Bar::Up, Bar::Rising, Bar::Falling] {
            assert!((bar.direction().hypot() - 1.0).abs() < 1e-15);
        }
    }
}
