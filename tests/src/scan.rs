//! A printed page as a scanner would see it, and what a careful eye reads off it: where a line's middle is, how long a bar is
//! between the middles of its end strokes, where a filled mark has its centre.
//!
//! Places are in mm to the right of and above the upper left corner of the page: y is negative.

use kurbo::{Point, Vec2};

pub struct Scan {
    width: usize,
    height: usize,
    /// 0 black, 255 white, in rows from the top.
    grey: Vec<u8>,
    per_mm: f64,
}

/// Darker than this a dot belongs to a line; frames and other hairlines are grey and stay below.
const DARK: f64 = 0.7;

impl Scan {
    /// Of a binary PGM file (`P5`) with one byte to the dot.
    pub fn from_pgm(pgm: &[u8], per_mm: f64) -> Self {
        let mut start = 0;
        let mut word = || {
            let end = start + pgm[start..].iter().position(u8::is_ascii_whitespace).expect("a header");
            let word = std::str::from_utf8(&pgm[start..end]).expect("ASCII").to_owned();
            start = end + 1;
            word
        };
        assert_eq!(word(), "P5");
        let [width, height, most] = [(); 3].map(|()| word().parse::<usize>().expect("a number"));
        assert_eq!(most, 255);
        let grey = pgm[start..].to_vec();
        assert_eq!(grey.len(), width * height);
        Scan { width, height, grey, per_mm }
    }

    /// Width and height, mm.
    pub fn size(&self) -> (f64, f64) {
        (self.width as f64 / self.per_mm, self.height as f64 / self.per_mm)
    }

    /// 0 white, 1 black, between the middles of dots; white beyond the page.
    pub fn darkness(&self, at: Point) -> f64 {
        let (x, y) = (at.x * self.per_mm - 0.5, -at.y * self.per_mm - 0.5);
        let dot = |i: f64, j: f64| {
            if i < 0.0 || j < 0.0 || i >= self.width as f64 || j >= self.height as f64 {
                return 0.0;
            }
            1.0 - f64::from(self.grey[j as usize * self.width + i as usize]) / 255.0
        };
        let (i, j) = (x.floor(), y.floor());
        let (u, v) = (x - i, y - j);
        (1.0 - v) * ((1.0 - u) * dot(i, j) + u * dot(i + 1.0, j))
            + v * ((1.0 - u) * dot(i, j + 1.0) + u * dot(i + 1.0, j + 1.0))
    }

    /// How far the middle of the one line near `at` is from there along the unit vector `across`, mm; `None` where none is
    /// within `reach`.
    pub fn middle_of_line(&self, at: Point, across: Vec2, reach: f64) -> Option<f64> {
        let step = 0.25 / self.per_mm;
        let count = (reach / step).ceil() as i32;
        let (mut sum, mut moment) = (0.0, 0.0);
        for k in -count..=count {
            let t = f64::from(k) * step;
            let dark = self.darkness(at + t * across);
            sum += dark;
            moment += dark * t;
        }
        // Less than a hair's breadth of ink is no line.
        (sum * step > 0.05).then(|| moment / sum)
    }

    /// The centre of a filled mark near `at`, of which nothing but itself lies within `half` mm.
    pub fn centre_of_mark(&self, at: Point, half: f64) -> Point {
        let mut centre = at;
        // The window follows what it has found, until the mark is in its middle.
        for _ in 0..4 {
            let count = (half * self.per_mm).ceil() as i32;
            let (mut sum, mut moment) = (0.0, Vec2::ZERO);
            for i in -count..=count {
                for j in -count..=count {
                    let away = Vec2::new(f64::from(i), f64::from(j)) / self.per_mm;
                    if away.x.abs() + away.y.abs() <= half {
                        let dark = self.darkness(centre + away);
                        sum += dark;
                        moment += dark * away;
                    }
                }
            }
            assert!(sum > 0.0, "no mark near {at}");
            centre += moment / sum;
        }
        centre
    }

    /// The length of the bar that lies in this direction, between the middles of its end strokes, mm; `None` where no
    /// unbroken straight line of 90 mm does.
    pub fn bar(&self, direction: Vec2) -> Option<f64> {
        const LEAST: f64 = 90.0;
        let along = direction.normalize();
        // The bars' words stand on the other side.
        let aside = Vec2::new(along.y, -along.x);
        let on_it = self.start_of_line(along, LEAST)?;
        let run_to = |way: Vec2| {
            let mut t = 0.0;
            while self.darkness(on_it + t * way) > 0.4 && t < 2.0 * LEAST {
                t += 0.5 / self.per_mm;
            }
            on_it + t * way
        };
        let stroke = |end: Point| {
            let beside = end + 1.5 * aside;
            let off = self.middle_of_line(beside, along, 1.0).expect("an end stroke");
            (beside + off * along - on_it).dot(along)
        };
        Some(stroke(run_to(along)) - stroke(run_to(-along)))
    }

    fn start_of_line(&self, along: Vec2, least: f64) -> Option<Point> {
        let steps = (least * 2.0) as usize;
        let dark = |at: Point| self.darkness(at) > DARK;
        for (place, grey) in self.grey.iter().enumerate() {
            if *grey > 60 {
                continue;
            }
            let (i, j) = ((place % self.width) as f64, (place / self.width) as f64);
            let at = Point::new((i + 0.5) / self.per_mm, -(j + 0.5) / self.per_mm);
            if (1..=steps).all(|k| dark(at + 0.5 * k as f64 * along)) {
                // From the middle of the stroke, not from a rim of it.
                let middle = at + 20.0 * along;
                let aside = Vec2::new(-along.y, along.x);
                let off = self.middle_of_line(middle, aside, 0.3)?;
                return Some(middle + off * aside);
            }
        }
        None
    }
}
