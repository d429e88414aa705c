//! Photos of boards that never were: ribs of a known line, scribed on wood within the printed frame, as a file that a browser opens.

use kurbo::{Point, Rect, Size, Vec2};
use ribline_geometry::capture::{FrameSheet, Homography};

/// A photo, and where on it everything is.
pub struct Photographed {
    /// A grey bitmap file.
    pub file: Vec<u8>,
    pub size: Size,
    /// From mm, in the frame of the ribs, to pixels.
    pub seen: Homography,
    /// Where the frame's lower left mark lies in the frame of the ribs, mm.
    pub frame_at: Point,
    pub sheet: FrameSheet,
}

/// Width of the line, mm.
const BROAD: f64 = 0.5;
/// Cells of the map of distances from the line, to the mm; and how far it reaches, mm.
const CELLS: f64 = 8.0;
const REACH: f64 = 1.2;

/// A photo of this size, a little oblique, of lines given as places closely along them.
pub fn photographed(lines: &[Vec<Point>], size: Size) -> Photographed {
    let body =
        lines.iter().flatten().map(|p| Rect::from_points(*p, *p)).reduce(|a, b| a.union(b)).expect("a line");
    let sheet = FrameSheet::around_body(355.0, 208.0).expect("a frame");
    let frame_at = body.center() - Vec2::new(sheet.width(), sheet.height()) / 2.0;
    let marks = sheet.marks().map(|m| frame_at + m.to_vec2());
    // The corner marks as a camera a little off square sees them.
    let scale = (size.width / (sheet.width() + 60.0)).min(size.height / (sheet.height() + 60.0));
    let middle = (size.to_vec2() / 2.0).to_point();
    let seen = [(-1.0, 1.0, 1.0), (1.0, 1.0, 1.015), (1.0, -1.0, 0.97), (-1.0, -1.0, 0.96)].map(
        |(x, y, by): (f64, f64, f64)| {
            middle + Vec2::new(x * sheet.width(), y * sheet.height()) * (0.5 * scale * by)
        },
    );
    let seeing = Homography::through(&marks[..4], &seen).expect("a view");
    let back = seeing.inverse().expect("a way back");
    let map = Map::of(lines, body);
    let (width, height) = (size.width as usize, size.height as usize);
    let mut grey = Vec::with_capacity(width * height);
    let mut noise = 0x2545_f491_4f6c_dd1d_u64;
    for j in 0..height {
        for i in 0..width {
            let p = back.at(Point::new(i as f64 + 0.5, j as f64 + 0.5));
            let cover = |edge: f64| (edge * scale + 0.5).clamp(0.0, 1.0);
            let mark = marks.iter().find(|m| {
                let v = p - **m;
                v.x.abs() < FrameSheet::HALF_MARK && v.y.abs() < FrameSheet::HALF_MARK
            });
            let paper = !body.inflate(18.0, 18.0).contains(p);
            let bright = match mark {
                Some(m) => {
                    let (x, y) = (cover(p.x - m.x), cover(p.y - m.y));
                    225.0 - 190.0 * (x * y + (1.0 - x) * (1.0 - y))
                }
                None if paper => 225.0,
                None => {
                    let ring = (p.x + 0.8 * (p.y / 60.0).sin()) / 1.4 + 0.6 * (p.x / 8.0).sin();
                    let late = (0.5 + 0.5 * (std::f64::consts::TAU * ring).sin()).powi(3);
                    184.0 - 9.0 * late - 62.0 * cover(BROAD / 2.0 - map.at(p))
                }
            };
            let shading = 1.0 - 0.18 * i as f64 / size.width;
            noise ^= noise << 13;
            noise ^= noise >> 7;
            noise ^= noise << 17;
            let speck = (noise >> 40) as f64 / (1u64 << 24) as f64 * 10.0 - 5.0;
            grey.push((bright * shading + speck).clamp(0.0, 255.0) as u8);
        }
    }
    Photographed { file: bitmap(width, height, &grey), size, seen: seeing, frame_at, sheet }
}

struct Map {
    from: Point,
    columns: usize,
    distance: Vec<f32>,
}

impl Map {
    fn of(lines: &[Vec<Point>], body: Rect) -> Map {
        let whole = body.inflate(REACH + 1.0, REACH + 1.0);
        let columns = (whole.width() * CELLS).ceil() as usize;
        let rows = (whole.height() * CELLS).ceil() as usize;
        let mut map = Map { from: whole.origin(), columns, distance: vec![REACH as f32; columns * rows] };
        let reach = (REACH * CELLS) as i32;
        for pair in lines.iter().flat_map(|line| line.windows(2)) {
            let parts = (pair[0].distance(pair[1]) / 0.08).ceil().max(1.0);
            for part in 0..parts as usize {
                let p = (pair[0].lerp(pair[1], part as f64 / parts) - map.from) * CELLS;
                for (i, j) in (-reach..=reach).flat_map(|j| (-reach..=reach).map(move |i| (i, j))) {
                    let (x, y) = (p.x.round() + f64::from(i), p.y.round() + f64::from(j));
                    let off = ((x - p.x).hypot(y - p.y) / CELLS) as f32;
                    if let Some(cell) = map.distance.get_mut(y as usize * columns + x as usize) {
                        *cell = cell.min(off);
                    }
                }
            }
        }
        map
    }

    fn at(&self, p: Point) -> f64 {
        let v = (p - self.from) * CELLS;
        let (i, j) = (v.x.floor(), v.y.floor());
        let get = |i: f64, j: f64| {
            let inside = i >= 0.0 && j >= 0.0 && (i as usize) < self.columns;
            let cell = self.distance.get(j as usize * self.columns + i as usize).filter(|_| inside);
            cell.map_or(REACH, |d| f64::from(*d))
        };
        let (fx, fy) = (v.x - i, v.y - j);
        let row = |j: f64| get(i, j) * (1.0 - fx) + get(i + 1.0, j) * fx;
        row(j) * (1.0 - fy) + row(j + 1.0) * fy
    }
}

/// A bitmap file of 256 greys.
fn bitmap(width: usize, height: usize, grey: &[u8]) -> Vec<u8> {
    let row = width.next_multiple_of(4);
    let start = 14 + 40 + 1024;
    let mut file = Vec::with_capacity(start + row * height);
    let mut put = |value: usize, bytes: usize| file.extend_from_slice(&(value as u32).to_le_bytes()[..bytes]);
    put(0x4D42, 2);
    put(start + row * height, 4);
    put(0, 4);
    put(start, 4);
    put(40, 4);
    put(width, 4);
    put(height, 4);
    put(1, 2);
    put(8, 2);
    (0..6).for_each(|_| put(0, 4));
    (0..256).for_each(|v| put(v * 0x0001_0101, 4));
    for line in grey.chunks_exact(width).rev() {
        file.extend_from_slice(line);
        file.resize(file.len() + row - width, 0);
    }
    file
}
