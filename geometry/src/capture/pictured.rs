//! Photos made up for the tests, with the truth beside them: a line on wood with grain and flecks, shaded, noisy, and seen
//! from anywhere.

use super::homography::Homography;
use super::photo::Photo;
use kurbo::{Circle, Point, Size, Vec2};

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Line {
    Dark,
    Light,
    Edge,
}

/// How a board is seen by a camera that stands `tilt` off square about a slanting axis (radians), over `over` on the board,
/// at so many pixels to the mm there: a map from mm to the pixels of a photo of that size.
pub fn view(photo: Size, over: Point, px_per_mm: f64, tilt: f64, focal: f64) -> Homography {
    let distance = focal / px_per_mm;
    let (sin, cos) = tilt.sin_cos();
    // The axis about which it is tilted, and square to it on the board.
    let (axis, square) = (Vec2::from_angle(0.4), Vec2::from_angle(0.4 + std::f64::consts::FRAC_PI_2));
    let row = |v: Vec2, offset: f64| [v.x, v.y, offset - v.dot(over.to_vec2())];
    let (u, v) = (row(axis, 0.0), row(square * cos, 0.0));
    let w = row(square * sin, distance);
    let (cx, cy) = (photo.width / 2.0, photo.height / 2.0);
    // Back from the tilted axes to the picture's own, y down.
    let mut rows = [0.0; 9];
    for k in 0..3 {
        rows[k] = focal * (axis.x * u[k] + square.x * v[k]) + cx * w[k];
        rows[3 + k] = -focal * (axis.y * u[k] + square.y * v[k]) + cy * w[k];
        rows[6 + k] = w[k];
    }
    Homography::from_rows(rows).unwrap()
}

/// A board and how it is taken.
pub struct Pictured {
    /// Size of the photo.
    pub width: usize,
    pub height: usize,
    pub line: Line,
    /// Width of the line, mm.
    pub broad: f64,
    /// How much the line differs from the wood, of 255.
    pub contrast: f64,
    /// Amplitude of the grain, and standard deviation of the noise, of 255.
    pub grain: f64,
    pub noise: f64,
    /// From pixels to mm of the board.
    pub to_board: Homography,
    pub px_per_mm: f64,
    pub seed: u64,
    drawn: Drawn,
    rubbed: Vec<(Point, f64)>,
}

enum Drawn {
    Circle(Circle),
    /// Distances from the line, at so many places to the mm, from the lower left on.
    Map {
        from: Point,
        per_mm: f64,
        columns: usize,
        distance: Vec<f32>,
    },
}

/// As far as distances from the line are kept, mm.
const REACH: f64 = 1.6;

impl Pictured {
    /// A circle given in pixels.
    pub fn circle(circle: Circle, width: usize, height: usize, line: Line, px_per_mm: f64) -> Self {
        let to_board =
            Homography::from_rows([1.0 / px_per_mm, 0.0, 0.0, 0.0, 1.0 / px_per_mm, 0.0, 0.0, 0.0, 1.0])
                .unwrap();
        let scaled = Circle::new((circle.center.to_vec2() / px_per_mm).to_point(), circle.radius / px_per_mm);
        Self::of(Drawn::Circle(scaled), to_board, px_per_mm, width, height, line)
    }

    fn of(
        drawn: Drawn,
        to_board: Homography,
        px_per_mm: f64,
        width: usize,
        height: usize,
        line: Line,
    ) -> Self {
        Pictured {
            width,
            height,
            line,
            broad: 0.5,
            contrast: 60.0,
            grain: 8.0,
            noise: 4.0,
            to_board,
            px_per_mm,
            seed: 1,
            drawn,
            rubbed: Vec::new(),
        }
    }

    /// Lines given as places on the board, closer together than the line is wide.
    pub fn lines(
        lines: &[Vec<Point>],
        to_board: Homography,
        px_per_mm: f64,
        width: usize,
        height: usize,
    ) -> Self {
        const PER_MM: f64 = 12.0;
        let all = || lines.iter().flatten();
        let low =
            all().fold(Vec2::new(f64::INFINITY, f64::INFINITY), |m, p| Vec2::new(m.x.min(p.x), m.y.min(p.y)));
        let high = all()
            .fold(-Vec2::new(f64::INFINITY, f64::INFINITY), |m, p| Vec2::new(m.x.max(p.x), m.y.max(p.y)));
        let from = low.to_point() - Vec2::new(REACH + 1.0, REACH + 1.0);
        let cells = |length: f64| ((length + 2.0 * REACH + 2.0) * PER_MM).ceil() as usize;
        let (columns, rows) = (cells(high.x - low.x), cells(high.y - low.y));
        let mut distance = vec![REACH as f32; columns * rows];
        let reach = (REACH * PER_MM) as isize;
        for line in lines {
            for pair in line.windows(2) {
                let parts = (pair[0].distance(pair[1]) / 0.06).ceil().max(1.0);
                for part in 0..parts as usize {
                    let p = pair[0].lerp(pair[1], part as f64 / parts);
                    let (x, y) = ((p.x - from.x) * PER_MM, (p.y - from.y) * PER_MM);
                    for j in -reach..=reach {
                        for i in -reach..=reach {
                            let (cx, cy) = (x.round() + i as f64, y.round() + j as f64);
                            let k = cy as usize * columns + cx as usize;
                            let d = ((cx - x).hypot(cy - y) / PER_MM) as f32;
                            if d < distance[k] {
                                distance[k] = d;
                            }
                        }
                    }
                }
            }
        }
        Self::of(
            Drawn::Map { from, per_mm: PER_MM, columns, distance },
            to_board,
            px_per_mm,
            width,
            height,
            Line::Dark,
        )
    }

    /// Takes the line away about a place of the photo.
    pub fn rub_out(&mut self, at: Point, within_px: f64) {
        self.rubbed.push((self.to_board.at(at), within_px / self.px_per_mm));
    }

    /// Signed where the line is a circle: negative within.
    fn off_line(&self, p: Point) -> f64 {
        if self.rubbed.iter().any(|(at, within)| at.distance(p) < *within) {
            return REACH;
        }
        match &self.drawn {
            Drawn::Circle(circle) => p.distance(circle.center) - circle.radius,
            Drawn::Map { from, per_mm, columns, distance } => {
                let (x, y) = ((p.x - from.x) * per_mm, (p.y - from.y) * per_mm);
                if x < 0.0 || y < 0.0 || x + 1.0 >= *columns as f64 {
                    return REACH;
                }
                let (i, j) = (x.floor(), y.floor());
                let k = j as usize * columns + i as usize;
                let get = |k: usize| f64::from(distance.get(k).copied().unwrap_or(REACH as f32));
                let (fx, fy) = (x - i, y - j);
                let upper = get(k) * (1.0 - fx) + get(k + 1) * fx;
                let lower = get(k + columns) * (1.0 - fx) + get(k + columns + 1) * fx;
                upper * (1.0 - fy) + lower * fy
            }
        }
    }

    /// The photo.
    pub fn taken(&self) -> Photo {
        let mut seed = self.seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1;
        let mut even = move || {
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            (seed >> 40) as f64 / (1u64 << 24) as f64
        };
        // Grain: rings of uneven width, wandering a little, as fine dark late wood; and flecks across.
        let phases: Vec<f64> = (0..12).map(|_| std::f64::consts::TAU * even()).collect();
        let grain = |p: Point| {
            let wander = 0.8 * (p.y / 61.0 + phases[0]).sin() + 0.3 * (p.y / 23.0 + phases[1]).sin();
            let x = p.x + wander;
            let ring = x / 1.3 + 0.7 * (x / 9.0 + phases[2]).sin() + 0.4 * (x / 4.1 + phases[3]).sin();
            let late = (0.5 + 0.5 * (std::f64::consts::TAU * ring).sin()).powi(4);
            let fleck =
                (p.x * 1.1 + phases[4] + 0.5 * (p.y / 3.0).sin()).sin() * (p.y * 2.3 + phases[5]).sin();
            late + 0.35 * fleck
        };
        let mut grey = Vec::with_capacity(self.width * self.height);
        let blur = 0.6 / self.px_per_mm;
        for j in 0..self.height {
            for i in 0..self.width {
                let p = self.to_board.at(Point::new(i as f64 + 0.5, j as f64 + 0.5));
                let off = self.off_line(p);
                let step = |d: f64| 0.5 + 0.5 * (d / blur).tanh();
                let share = match self.line {
                    Line::Dark => -step(self.broad / 2.0 - off.abs()),
                    Line::Light => step(self.broad / 2.0 - off.abs()),
                    Line::Edge => step(off),
                };
                let shading =
                    1.0 - 0.25 * (i as f64 / self.width as f64) - 0.15 * (j as f64 / self.height as f64);
                let gauss = (0..4).map(|_| even() - 0.5).sum::<f64>() * 1.732;
                let value =
                    shading * (185.0 - self.grain * grain(p) + self.contrast * share) + self.noise * gauss;
                grey.push(value.round().clamp(0.0, 255.0) as u8);
            }
        }
        Photo::new(self.width, self.height, grey).unwrap()
    }
}
