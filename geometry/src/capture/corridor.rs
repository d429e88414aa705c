//! The part of a photo in which a line between two taps is sought, coarser than the photo where that is finer than needed,
//! and how much of a line there is at each of its cells.

use super::follow::Tone;
use super::photo::Photo;
use kurbo::{Point, Rect};

/// Cells to the millimetre: a line of 0.3 mm is still one and a half of them wide.
const CELLS_PER_MM: f64 = 5.0;
/// Most cells: what is searched within the time in which an answer seems immediate.
const MOST_CELLS: f64 = 260_000.0;
/// A line may go round between two taps by so many times their distance, and so many mm more.
const DETOUR: (f64, f64) = (1.42, 8.0);

/// The cells about two taps, and the strength of the line at each.
pub(super) struct Corridor {
    /// Upper left, in pixels of the photo.
    left: isize,
    top: isize,
    /// Pixels along a cell's side.
    pub cell: usize,
    pub width: usize,
    pub height: usize,
    /// Strength of the line; negative outside of the ellipse about the taps.
    pub strength: Vec<f32>,
}

impl Corridor {
    /// `None` where the taps lie beyond the photo.
    pub fn about(photo: &Photo, from: Point, to: Point, px_per_mm: f64, tone: Tone) -> Option<Corridor> {
        let whole = photo.size().to_rect();
        if !(whole.contains(from) && whole.contains(to) && px_per_mm.is_finite() && px_per_mm > 0.0) {
            return None;
        }
        let apart = from.distance(to);
        let round = DETOUR.0 * apart + DETOUR.1 * px_per_mm;
        let extent = ellipse_extent(from, to, round).intersect(whole);
        let needed = (px_per_mm / CELLS_PER_MM).round().max(1.0);
        let affordable = (extent.area() / MOST_CELLS).sqrt().ceil().max(1.0);
        let cell = needed.max(affordable) as usize;
        let (left, top) = (extent.x0.floor() as isize, extent.y0.floor() as isize);
        let cells = |length: f64| ((length / cell as f64).ceil() as usize).max(3);
        let (width, height) = (cells(extent.width()), cells(extent.height()));
        let mut grey = Vec::with_capacity(width * height);
        for j in 0..height {
            for i in 0..width {
                grey.push(photo.mean(left + (i * cell) as isize, top + (j * cell) as isize, cell));
            }
        }
        let mut corridor = Corridor { left, top, cell, width, height, strength: Vec::new() };
        corridor.strength = match tone {
            Tone::Dark => ridges(&grey, width, height, 1.0),
            Tone::Light => ridges(&grey, width, height, -1.0),
            Tone::Edge => slopes(&grey, width, height),
        };
        for k in 0..corridor.strength.len() {
            let at = corridor.place(k);
            if at.distance(from) + at.distance(to) > round {
                corridor.strength[k] = -1.0;
            }
        }
        Some(corridor)
    }

    /// The middle of a cell on the photo.
    pub fn place(&self, k: usize) -> Point {
        let middle = |i: usize, from: isize| from as f64 + (i as f64 + 0.5) * self.cell as f64;
        Point::new(middle(k % self.width, self.left), middle(k / self.width, self.top))
    }

    /// The cell at a place, or the nearest.
    pub fn at(&self, p: Point) -> usize {
        let cell = |v: f64, from: isize, count: usize| {
            (((v - from as f64) / self.cell as f64).floor().max(0.0) as usize).min(count - 1)
        };
        cell(p.y, self.top, self.height) * self.width + cell(p.x, self.left, self.width)
    }

    /// The greatest strength within so many pixels of a place.
    pub fn strongest(&self, about: Point, within: f64) -> f32 {
        let reach = (within / self.cell as f64).ceil() as usize;
        let (x, y) = (self.at(about) % self.width, self.at(about) / self.width);
        let rows = y.saturating_sub(reach)..(y + reach + 1).min(self.height);
        rows.flat_map(|j| {
            let columns = x.saturating_sub(reach)..(x + reach + 1).min(self.width);
            &self.strength[j * self.width + columns.start..j * self.width + columns.end]
        })
        .copied()
        .fold(0.0, f32::max)
    }
}

/// About the ellipse of the places from which the way to both taps together is `round`.
fn ellipse_extent(from: Point, to: Point, round: f64) -> Rect {
    let (middle, axis) = (from.midpoint(to), to - from);
    let half = round / 2.0;
    let across = (half * half - axis.hypot2() / 4.0).max(1.0);
    let unit = if axis.hypot() > 0.0 { axis / axis.hypot() } else { axis };
    let reach = |c: f64| (half * half * c * c + across * (1.0 - c * c)).sqrt();
    Rect::from_center_size(middle, (2.0 * reach(unit.x), 2.0 * reach(unit.y)))
}

/// How much of a dark line (of a light one where `sign` is -1) goes through each cell: the greater second derivative of the
/// smoothed brightness less the other, so that a blot or a corner is none; at two widths the stronger.
/// Source: Lindeberg, "Edge detection and ridge detection with automatic scale selection", IJCV 30 (1998).
fn ridges(grey: &[f32], width: usize, height: usize, sign: f32) -> Vec<f32> {
    let mut strength = vec![0.0f32; grey.len()];
    let fine = smoothed(grey, width, height, 1);
    let wide = smoothed(&fine, width, height, 2);
    // Normalised by the square of the width over which each is smoothed.
    for (level, weight) in [(&fine, 1.0f32), (&wide, 2.2)] {
        for j in 2..height - 2 {
            for i in 2..width - 2 {
                let at = |dx: isize, dy: isize| {
                    level[(j as isize + dy) as usize * width + (i as isize + dx) as usize] * sign
                };
                let twice = 2.0 * at(0, 0);
                let (xx, yy) = (at(1, 0) + at(-1, 0) - twice, at(0, 1) + at(0, -1) - twice);
                let xy = (at(1, 1) + at(-1, -1) - at(1, -1) - at(-1, 1)) / 4.0;
                let (mean, half) = ((xx + yy) / 2.0, ((xx - yy) / 2.0).hypot(xy));
                let (across, along) = (mean + half, mean - half);
                let ridge = weight * (across - along.abs());
                let best = &mut strength[j * width + i];
                if ridge > *best {
                    *best = ridge;
                }
            }
        }
    }
    strength
}

/// How steeply the smoothed brightness changes.
fn slopes(grey: &[f32], width: usize, height: usize) -> Vec<f32> {
    let level = smoothed(grey, width, height, 2);
    let mut strength = vec![0.0f32; grey.len()];
    for j in 1..height - 1 {
        for i in 1..width - 1 {
            let k = j * width + i;
            strength[k] = (level[k + 1] - level[k - 1]).hypot(level[k + width] - level[k - width]);
        }
    }
    strength
}

/// So many times with the weights 1 2 1 along the rows and the columns.
fn smoothed(grey: &[f32], width: usize, height: usize, times: usize) -> Vec<f32> {
    let mut level = grey.to_vec();
    let mut row = vec![0.0f32; width];
    for _ in 0..times {
        for line in level.chunks_exact_mut(width) {
            row.copy_from_slice(line);
            for i in 1..width - 1 {
                line[i] = (row[i - 1] + 2.0 * row[i] + row[i + 1]) / 4.0;
            }
        }
        let mut above = level[..width].to_vec();
        for j in 1..height - 1 {
            let (_, rest) = level.split_at_mut(j * width);
            let (line, below) = rest.split_at_mut(width);
            for i in 0..width {
                let now = line[i];
                line[i] = (above[i] + 2.0 * now + below[i]) / 4.0;
                above[i] = now;
            }
        }
    }
    level
}
