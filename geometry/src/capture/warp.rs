//! The photo drawn again as if it had been taken square on: what is laid under the finished edge.

use super::homography::Homography;
use kurbo::{Point, Rect};

/// Most pixels of the squared-up picture; a screen shows no more.
const MOST_PIXELS: f64 = 3_000_000.0;
const MOST_PER_MM: f64 = 6.0;

/// A picture of part of the board, to be filled from a photo that comes in bands: a phone has no room for all of it twice.
pub struct Warp {
    /// The part of the board, mm.
    pub extent: Rect,
    pub width: usize,
    pub height: usize,
    to_photo: Homography,
    /// Red, green, blue and opacity of each pixel, row by row from the top.
    pub pixels: Vec<u8>,
}

impl Warp {
    /// `None` of a part of the board that is none.
    pub fn of(to_board: &Homography, extent: Rect) -> Option<Warp> {
        let area = extent.area();
        if !(area.is_finite() && area > 1.0 && extent.width() > 0.0) {
            return None;
        }
        let per_mm = (MOST_PIXELS / area).sqrt().min(MOST_PER_MM);
        let (width, height) = ((extent.width() * per_mm) as usize, (extent.height() * per_mm) as usize);
        if width == 0 || height == 0 {
            return None;
        }
        Some(Warp {
            extent,
            width,
            height,
            to_photo: to_board.inverse()?,
            pixels: vec![0; width * height * 4],
        })
    }

    /// Fills what lies on these rows of the photo, given as `width` pixels of four bytes a row, from `first` on.
    pub fn fill(&mut self, band: &[u8], first: usize, width: usize) {
        if width == 0 {
            return;
        }
        let rows = band.len() / (4 * width);
        let mm = self.extent.width() / self.width as f64;
        for j in 0..self.height {
            let y = self.extent.y1 - (j as f64 + 0.5) * mm;
            let place = |i: usize| Point::new(self.extent.x0 + (i as f64 + 0.5) * mm, y);
            let ends = [place(0), place(self.width - 1)];
            let heights = ends.map(|end| self.to_photo.at(end).y - first as f64);
            // A row of the picture is a straight line on the photo, unless it goes across the horizon: between two ends above the
            // band, or below it, there is nothing of it.
            let aside = heights.iter().all(|y| *y < 0.0) || heights.iter().all(|y| *y >= rows as f64);
            if aside && self.to_photo.on_one_side(ends[0], ends[1]) {
                continue;
            }
            for i in 0..self.width {
                let at = self.to_photo.at(place(i));
                let (x, row) = (at.x.floor(), at.y.floor() - first as f64);
                if x >= 0.0 && x < width as f64 && row >= 0.0 && row < rows as f64 {
                    let from = 4 * (row as usize * width + x as usize);
                    let to = 4 * (j * self.width + i);
                    self.pixels[to..to + 4].copy_from_slice(&band[from..from + 4]);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_of_the_photo_comes_to_lie_at_its_place_on_the_board_whichever_band_it_came_in() {
        // 5 pixels to the mm, the board's origin at (50, 450) of a photo of 300 by 500.
        let to_board = Homography::from_rows([0.2, 0.0, -10.0, 0.0, -0.2, 90.0, 0.0, 0.0, 1.0]).unwrap();
        let mut warp = Warp::of(&to_board, Rect::new(0.0, 0.0, 40.0, 80.0)).unwrap();
        for first in (0..500).step_by(100) {
            let band: Vec<u8> = (0..100 * 300)
                .flat_map(|k| [(k % 300 / 2) as u8, ((first + k / 300) / 2) as u8, 7, 255])
                .collect();
            warp.fill(&band, first, 300);
        }
        let per_mm = warp.width as f64 / 40.0;
        for (x, y) in [(1.0, 1.0), (39.0, 79.0), (20.0, 40.0)] {
            let (i, j) = ((x * per_mm) as usize, ((80.0 - y) * per_mm) as usize);
            let at = &warp.pixels[4 * (j * warp.width + i)..][..4];
            let expected = [(50.0 + 5.0 * x) / 2.0, (450.0 - 5.0 * y) / 2.0];
            assert!(
                (f64::from(at[0]) - expected[0]).abs() <= 1.0
                    && (f64::from(at[1]) - expected[1]).abs() <= 1.0,
                "{at:?}"
            );
            assert_eq!(at[2..], [7, 255]);
        }
        assert!(Warp::of(&to_board, Rect::new(0.0, 0.0, f64::NAN, 1.0)).is_none());
        assert!(Warp::of(&to_board, Rect::ZERO).is_none());
        warp.fill(&[1, 2, 3], 0, 0);
    }

    #[test]
    fn in_bands_it_comes_out_as_from_the_whole_photo_however_the_photo_is_tilted_or_turned() {
        let (width, height) = (240, 320);
        let photo: Vec<u8> = (0..width * height)
            .flat_map(|k: usize| [(k % width) as u8, (k / width % 256) as u8, (k / width / 256) as u8, 255])
            .collect();
        let board = [(0.0, 0.0), (40.0, 0.0), (40.0, 60.0), (0.0, 60.0)].map(Point::from);
        for seen in [
            [(30.0, 300.0), (200.0, 290.0), (180.0, 20.0), (60.0, 30.0)],
            [(230.0, 310.0), (220.0, 10.0), (40.0, 60.0), (20.0, 280.0)],
            // So steep that the horizon goes through what is asked for.
            [(10.0, 310.0), (230.0, 310.0), (140.0, 120.0), (100.0, 120.0)],
            [(10.0, 310.0), (150.0, 230.0), (150.0, 170.0), (10.0, 90.0)],
        ] {
            let to_board = Homography::through(&seen.map(Point::from), &board).unwrap();
            let extent = Rect::new(-60.0, -20.0, 90.0, 130.0);
            let mut whole = Warp::of(&to_board, extent).unwrap();
            whole.fill(&photo, 0, width);
            let mut banded = Warp::of(&to_board, extent).unwrap();
            for (k, band) in photo.chunks(48 * width * 4).enumerate() {
                banded.fill(band, 48 * k, width);
            }
            assert!(whole.pixels == banded.pixels, "{seen:?}");
            // And the whole as place by place.
            let mm = extent.width() / whole.width as f64;
            let photo_of = to_board.inverse().unwrap();
            for k in (0..whole.width * whole.height).step_by(997) {
                let (i, j) = (k % whole.width, k / whole.width);
                let (x, y) = (extent.x0 + (i as f64 + 0.5) * mm, extent.y1 - (j as f64 + 0.5) * mm);
                let at = photo_of.at(Point::new(x, y)).floor();
                let inside = (0.0..width as f64).contains(&at.x) && (0.0..height as f64).contains(&at.y);
                let expected = if inside {
                    photo[4 * (at.y as usize * width + at.x as usize)..][..4].to_vec()
                } else {
                    vec![0; 4]
                };
                assert_eq!(whole.pixels[4 * k..4 * k + 4], expected, "{seen:?} at {i}, {j}");
            }
        }
    }
}
