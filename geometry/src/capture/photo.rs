//! A picture's brightness, and places on it.

use kurbo::{Point, Size};

/// Largest picture that is taken, pixels. A larger one says no more about a plate, and would not fit a phone's memory.
pub const MOST_PIXELS: usize = 64_000_000;

/// How bright a picture is, pixel by pixel. x runs to the right and y down; a pixel's middle lies at a whole number and a half.
#[derive(Debug, Clone, PartialEq)]
pub struct Photo {
    width: usize,
    height: usize,
    grey: Vec<u8>,
}

impl Photo {
    /// From its rows, one byte a pixel. `None` where there are not as many as the size says, or too many.
    pub fn new(width: usize, height: usize, grey: Vec<u8>) -> Option<Self> {
        let pixels = width.checked_mul(height)?;
        (pixels > 0 && pixels <= MOST_PIXELS && grey.len() == pixels).then_some(Photo { width, height, grey })
    }

    pub fn width(&self) -> usize {
        self.width
    }

    pub fn height(&self) -> usize {
        self.height
    }

    pub fn size(&self) -> Size {
        Size::new(self.width as f64, self.height as f64)
    }

    /// A pixel; beyond the border the nearest within it.
    pub fn pixel(&self, x: isize, y: isize) -> u8 {
        let x = x.clamp(0, self.width as isize - 1) as usize;
        let y = y.clamp(0, self.height as isize - 1) as usize;
        self.grey[y * self.width + x]
    }

    /// The brightness at a place between pixels, 0 to 255.
    pub fn at(&self, p: Point) -> f32 {
        let (x, y) = (p.x - 0.5, p.y - 0.5);
        let (left, top) = (x.floor(), y.floor());
        let (fx, fy) = ((x - left) as f32, (y - top) as f32);
        // Far beyond the border it is as just beyond it.
        let within = |v: f64| v.clamp(-2.0, MOST_PIXELS as f64) as isize;
        let (i, j) = (within(left), within(top));
        let [a, b, c, d] = if i >= 0 && j >= 0 && i + 1 < self.width as isize && j + 1 < self.height as isize
        {
            let k = j as usize * self.width + i as usize;
            let (upper, lower) = (&self.grey[k..k + 2], &self.grey[k + self.width..k + self.width + 2]);
            [upper[0], upper[1], lower[0], lower[1]]
        } else {
            [self.pixel(i, j), self.pixel(i + 1, j), self.pixel(i, j + 1), self.pixel(i + 1, j + 1)]
        }
        .map(f32::from);
        (a + (b - a) * fx) + ((c + (d - c) * fx) - (a + (b - a) * fx)) * fy
    }

    /// The mean of a square of `side` pixels whose upper left one is at (x, y).
    pub(super) fn mean(&self, x: isize, y: isize, side: usize) -> f32 {
        if side == 1 {
            return f32::from(self.pixel(x, y));
        }
        let side_i = side as isize;
        let inside =
            x >= 0 && y >= 0 && x + side_i <= self.width as isize && y + side_i <= self.height as isize;
        let sum: u32 = if inside {
            let first = y as usize * self.width + x as usize;
            (0..side)
                .flat_map(|j| &self.grey[first + j * self.width..first + j * self.width + side])
                .map(|v| u32::from(*v))
                .sum()
        } else {
            (0..side_i)
                .flat_map(|j| (0..side_i).map(move |i| (i, j)))
                .map(|(i, j)| u32::from(self.pixel(x + i, y + j)))
                .sum()
        };
        sum as f32 / (side * side) as f32
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_pixels_the_brightness_goes_evenly_and_beyond_the_border_it_stays() {
        let photo = Photo::new(2, 2, vec![0, 100, 50, 150]).unwrap();
        assert_eq!(photo.at(Point::new(0.5, 0.5)), 0.0);
        assert_eq!(photo.at(Point::new(1.0, 1.0)), 75.0);
        assert_eq!(photo.at(Point::new(-9.0, -9.0)), 0.0);
        assert_eq!(photo.at(Point::new(90.0, 90.0)), 150.0);
        assert!(photo.at(Point::new(f64::NAN, f64::INFINITY)).is_nan());
        assert_eq!(photo.mean(0, 0, 2), 75.0);
        assert_eq!(Photo::new(2, 2, vec![0; 3]), None);
        assert_eq!(Photo::new(0, 0, vec![]), None);
        assert_eq!(Photo::new(usize::MAX, 2, vec![]), None);
    }
}
