//! Squaring a photo up: from its pixels to millimetres on the board, and how far that can be trusted.

use super::homography::{Homography, HomographyError};
use crate::order::sort_by_value;
use kurbo::{Point, Rect, Size, Vec2};
use nalgebra::Matrix2;
use std::fmt;

/// A mark on the board: where it was tapped on the photo, and where it is on the board, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    pub photo: Point,
    pub board: Point,
}

/// A photo squared up.
#[derive(Debug, Clone, PartialEq)]
pub struct Squared {
    /// From pixels (y down) to millimetres on the board (y up).
    pub to_board: Homography,
    /// How far each mark lies from where all of them together put it, mm; nothing where there is none left over to tell.
    pub off: Vec<Vec2>,
    /// Pixels to the millimetre where the photo is coarsest.
    pub px_per_mm: f64,
    /// How far from square on the photo was taken, radians.
    pub tilt: f64,
    /// Standard deviation of a place on the board for want of better marks, in any one direction, mm.
    pub sd: f64,
    pub remarks: Vec<Remark>,
}

/// What is to be said about a photo; worded for a person.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Remark {
    TooOblique {
        degrees: f64,
    },
    TooSmall {
        px_per_mm: f64,
    },
    BentByTheLens {
        mm: f64,
    },
    /// The marks go far better with width and height the other way round.
    ChangedOver,
    /// The board is drawn this part narrower one way, yet not as a tilted camera draws it.
    SidesUnlike {
        part: f64,
    },
    /// Counted from 1.
    MarkOff {
        mark: usize,
        mm: f64,
    },
    NotARectangle {
        mm: f64,
    },
    /// Of the printed frame's marks so many were found, at the corners and between.
    MarksNotFound {
        found: usize,
    },
    /// Marks were placed less closely than under the loupe: one standard deviation.
    RoughlyTapped {
        mm: f64,
    },
    PinsOnly,
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Remark::TooOblique { degrees } => write!(
                f,
                "The picture was taken {degrees:.0}° off square, which draws the far side too finely. Take another from over the middle of the board: further off, with a longer lens."
            ),
            Remark::ChangedOver => f.write_str(
                "The marks go far better with width and height changed over. Turn the picture until the neck end is up, or change the two.",
            ),
            Remark::SidesUnlike { part } => write!(
                f,
                "The board is drawn {:.0} % narrower one way than its width and height have it, and no end of it smaller, as a camera would draw it from the side. Measure width and height again, from mark to mark.",
                100.0 * part
            ),
            Remark::TooSmall { px_per_mm } => write!(
                f,
                "There are only {px_per_mm:.1} pixels to the millimetre; below 4 the line cannot be placed well. Fill the picture with the board, or choose the camera's largest size."
            ),
            Remark::BentByTheLens { mm } => write!(
                f,
                "The lens has bent the board by some {mm:.1} mm: the marks bow between the corners. Take another from further off, with a longer lens, the board in the middle of the picture."
            ),
            Remark::MarkOff { mark, mm } => write!(
                f,
                "Mark {mark} lies {mm:.1} mm from where the others put it. Look at it under the loupe, and check that all marks lie in the plane of the board."
            ),
            Remark::NotARectangle { mm } => write!(
                f,
                "The diagonals do not close: with these sides a rectangle's would be {mm:.1} mm different. Measure sides and diagonals again."
            ),
            Remark::MarksNotFound { found } => write!(
                f,
                "Of the frame's eight marks {found} were found, too few to tell whether the lens has bent the board. See that all eight are in the picture, lie flat and are not covered, and take another."
            ),
            Remark::RoughlyTapped { mm } => write!(
                f,
                "The marks were tapped while the picture was small on this screen: each may be {mm:.1} mm off. Press on each and slide it onto its mark under the loupe, or enlarge the picture first."
            ),
            Remark::PinsOnly => f.write_str(
                "Two pins cannot tell whether the camera stood square to the board. If in doubt, use four marks.",
            ),
        }
    }
}

/// Why a photo cannot be squared up; worded for a person.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SquareError {
    #[error(transparent)]
    Marks(#[from] HomographyError),
    #[error("The two pins are at one place on the photo. Tap each of them.")]
    PinsTogether,
    #[error("The {0} must be from {1} to {2} {3}.")]
    Size(&'static str, f64, f64, &'static str),
}

/// Standard deviation of a mark that was tapped under the loupe, mm on the board and pixels: neither the eye nor the picture
/// does better. Common practice.
const TAPPED: (f64, f64) = (0.1, 0.7);
/// Likewise of a mark of the printed frame whose middle was found.
const FOUND: (f64, f64) = (0.01, 0.1);
/// No place on paper or wood is known better, mm.
const PRINTED: f64 = 0.01;
/// How many residuals' worth that assumption counts for beside what the marks themselves say: who taps better or worse than is
/// assumed is told by what is left over.
const ASSUMED: f64 = 2.0;
/// Of a distance measured with a steel rule, mm.
const RULE: f64 = 0.2;
/// What the tilt of a camera held square by eye does to a body's width, mm.
const BY_EYE: f64 = 0.3;
/// A flatbed scanner keeps its scale to this part. Common practice.
const SCANNER: f64 = 5e-4;
const OBLIQUE: f64 = 30.0;
/// So many degrees are more than a steady hand's; below it there is nothing to be told of width and height.
const ASKEW: f64 = 8.0;
/// A lens that is five times as long as the picture, which is as far off as anyone goes, still draws the near marks of a tilted board
/// larger than the far ones: by this part of the sine of the tilt, and half as much again is left for the marks' own slips.
const LARGER: f64 = 0.03;
/// Least pixels to the millimetre.
const COARSE: f64 = 4.0;
/// A mark further off than this many mm is remarked on.
const MARK_OFF: f64 = 0.6;
/// Taps that may be further off than this many mm are remarked on.
const ROUGH: f64 = 0.3;
/// A bow of less, mm, does no harm.
const BOW: f64 = 0.15;
/// How much better (F with 1 and about 7 degrees of freedom, at about 1 %) a bent board must explain the marks than a flat one.
const BENT: f64 = 12.0;
/// Sides and resolutions that are taken for meant.
const SIDE: (f64, f64) = (20.0, 3000.0);
const DOTS: (f64, f64) = (20.0, 5000.0);

/// The places of a rectangle's corners on the board, from its sides: lower left, lower right, upper right, upper left.
///
/// # Errors
/// A side that no board has.
pub fn rectangle(width: f64, height: f64) -> Result<[Point; 4], SquareError> {
    for (what, side) in [("width", width), ("height", height)] {
        if !(SIDE.0..=SIDE.1).contains(&side) {
            return Err(SquareError::Size(what, SIDE.0, SIDE.1, "mm"));
        }
    }
    Ok([(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(Point::from))
}

/// Four taps, in whatever order, put in that of [`rectangle`] as it is seen: lower left, lower right, upper right, upper left.
pub fn around(taps: [Point; 4]) -> [Point; 4] {
    let middle = (taps.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / 4.0).to_point();
    let mut taps = taps.to_vec();
    // Counter-clockwise as seen, from straight left on: pixels are counted downwards.
    sort_by_value(&mut taps, |p| (middle.y - p.y).atan2(p.x - middle.x));
    // The first of them is the lower left one where the board stands about upright.
    let [a, b, c, d] = taps[..] else { return [middle; 4] };
    [a, b, c, d]
}

impl Squared {
    /// From four marks or more. `diagonals` are those of the rectangle that the first four make, where they were measured.
    ///
    /// # Errors
    /// Marks that make no view of a board.
    pub fn by_marks(marks: &[Mark], photo: Size, diagonals: &[f64]) -> Result<Squared, SquareError> {
        Squared::by_marks_known_to(TAPPED, marks, photo, diagonals)
    }

    /// From marks whose middles were found in the picture.
    ///
    /// # Errors
    /// Marks that make no view of a board.
    pub(super) fn by_found_marks(marks: &[Mark], photo: Size) -> Result<Squared, SquareError> {
        let mut squared = Squared::by_marks_known_to(FOUND, marks, photo, &[])?;
        squared.sd = squared.sd.hypot(PRINTED);
        Ok(squared)
    }

    fn by_marks_known_to(
        (mm, px): (f64, f64),
        marks: &[Mark],
        photo: Size,
        diagonals: &[f64],
    ) -> Result<Squared, SquareError> {
        let (board, seen): (Vec<Point>, Vec<Point>) = marks.iter().map(|m| (m.board, m.photo)).unzip();
        let seeing = Homography::through(&board, &seen)?;
        let to_board = seeing.inverse().ok_or(HomographyError::OnALine)?;
        let left_over = 2.0 * marks.len() as f64 - 8.0;
        let middle = photo.to_rect().center();
        let Resolution { least: px_per_mm, typical, widest } = Resolution::at(&to_board, &seen);
        let (least, largest) = to_board.stretch(middle);
        // On the axis of the lens a tilted square is seen shortened by the cosine of the tilt, whatever the focal length.
        let tilt = (least / largest).clamp(0.0, 1.0).acos();

        let assumed = px.max(mm * typical);
        let squares = |map: &Homography| -> f64 {
            board.iter().zip(&seen).map(|(p, q)| (map.at(*p) - *q).hypot2()).sum()
        };
        let found = squares(&seeing);
        let mark_sd = ((found + ASSUMED * assumed * assumed) / (left_over + ASSUMED)).sqrt();
        let mut remarks = Vec::new();
        let closing = diagonals_off(&board, diagonals);
        let off: Vec<Vec2> = if left_over > 0.0 {
            marks.iter().map(|m| to_board.at(m.photo) - m.board).collect()
        } else {
            Vec::new()
        };
        if changed_over(&to_board, &board, middle) < 0.5 * tilt && tilt.to_degrees() > ASKEW {
            remarks.push(Remark::ChangedOver);
        } else if tilt.to_degrees() > ASKEW && widest.ln() < LARGER * tilt.sin() {
            remarks.push(Remark::SidesUnlike { part: 1.0 - least / largest });
        } else if tilt.to_degrees() > OBLIQUE {
            remarks.push(Remark::TooOblique { degrees: tilt.to_degrees() });
        }
        if px_per_mm < COARSE {
            remarks.push(Remark::TooSmall { px_per_mm });
        }
        let bow = bow(&board, &seen, photo, found, left_over).map(|px| px / typical);
        if let Some(mm) = bow.filter(|mm| *mm > BOW) {
            remarks.push(Remark::BentByTheLens { mm });
        } else if let Some((mark, mm)) = worst(&off).filter(|(_, mm)| *mm > MARK_OFF) {
            remarks.push(Remark::MarkOff { mark: mark + 1, mm });
        }
        if let Some(mm) = closing.filter(|mm| *mm > MARK_OFF) {
            remarks.push(Remark::NotARectangle { mm });
        }
        // Between the marks a bent board is off by about as much as it bows at them.
        let sd = spread(&board, &seen, mark_sd).hypot(closing.unwrap_or(0.0) / 2.0).hypot(bow.unwrap_or(0.0));
        Ok(Squared { to_board, off, px_per_mm, tilt, sd, remarks })
    }

    /// From the two pins and their distance in mm, for a photo taken square on. The lower pin comes to the origin.
    ///
    /// # Errors
    /// Pins at one place, a distance that no body has.
    pub fn by_pins(lower: Point, upper: Point, distance: f64) -> Result<Squared, SquareError> {
        if !(SIDE.0..=SIDE.1).contains(&distance) {
            return Err(SquareError::Size("distance of the pins", SIDE.0, SIDE.1, "mm"));
        }
        let to = [Point::ORIGIN, Point::new(0.0, distance)];
        let to_board = Homography::similarity([lower, upper], to).ok_or(SquareError::PinsTogether)?;
        let px_per_mm = lower.distance(upper) / distance;
        let tapped = TAPPED.0.max(TAPPED.1 / px_per_mm);
        let mut remarks = vec![Remark::PinsOnly];
        if px_per_mm < COARSE {
            remarks.push(Remark::TooSmall { px_per_mm });
        }
        let sd = tapped.hypot(RULE / 2.0).hypot(BY_EYE);
        Ok(Squared { to_board, off: Vec::new(), px_per_mm, tilt: 0.0, sd, remarks })
    }

    /// From the resolution of a scan, in dots to the inch of 25.4 mm.
    ///
    /// # Errors
    /// A resolution that no scanner has.
    pub fn by_resolution(dots: f64, photo: Size) -> Result<Squared, SquareError> {
        if !(DOTS.0..=DOTS.1).contains(&dots) {
            return Err(SquareError::Size("resolution", DOTS.0, DOTS.1, "dots to the inch"));
        }
        let px_per_mm = dots / 25.4;
        let from = [Point::new(0.0, photo.height), Point::new(0.0, photo.height - 100.0 * px_per_mm)];
        let to_board = Homography::similarity(from, [Point::ORIGIN, Point::new(0.0, 100.0)])
            .ok_or(SquareError::Size("resolution", DOTS.0, DOTS.1, "dots to the inch"))?;
        let reach = photo.to_vec2().hypot() / px_per_mm / 2.0;
        let remarks = if px_per_mm < COARSE { vec![Remark::TooSmall { px_per_mm }] } else { Vec::new() };
        Ok(Squared { to_board, off: Vec::new(), px_per_mm, tilt: 0.0, sd: SCANNER * reach, remarks })
    }

    /// The same, the marks having been tapped at these places less closely than under the loupe: `sd` pixels off.
    pub fn roughly_tapped(mut self, marks: &[Point], sd: f64) -> Squared {
        let there = match marks.len() {
            0 => return self,
            1..4 => sd / self.px_per_mm,
            _ => {
                let board: Vec<Point> = marks.iter().map(|mark| self.to_board.at(*mark)).collect();
                spread(&board, marks, sd)
            }
        };
        self.sd = self.sd.hypot(there);
        let mm = sd / self.px_per_mm;
        if mm > ROUGH {
            self.remarks.push(Remark::RoughlyTapped { mm });
        }
        self
    }

    /// Root of the mean square of what is left over at the marks, mm. `None` where nothing is left over to tell.
    pub fn residual(&self) -> Option<f64> {
        let n = self.off.len();
        (n > 0).then(|| (self.off.iter().map(|v| v.hypot2()).sum::<f64>() / n as f64).sqrt())
    }

    /// Standard deviation of a point of the line in mm, that of its place across the line on the photo being `across` pixels.
    pub fn point_sd(&self, across: f64) -> f64 {
        // A pixel says where something is to the root of a twelfth of it.
        let pixel = (1.0_f64 / 12.0).sqrt() / 4.0;
        self.sd.hypot(across.hypot(pixel) / self.px_per_mm)
    }

    /// Standard deviation of a place that was tapped, mm.
    pub fn tapped_sd(&self) -> f64 {
        self.sd.hypot(TAPPED.0.max(TAPPED.1 / self.px_per_mm))
    }

    /// Pixels to the millimetre about a place of the photo.
    pub fn scale_at(&self, place: Point) -> f64 {
        let (least, largest) = self.to_board.stretch(place);
        let mean = (least * largest).sqrt();
        if mean.is_finite() && mean > 0.0 { 1.0 / mean } else { self.px_per_mm }
    }
}

/// Pixels to the millimetre at the marks.
struct Resolution {
    least: f64,
    typical: f64,
    /// By how many times the board is drawn larger at one mark than at another.
    widest: f64,
}

impl Resolution {
    fn at(to_board: &Homography, seen: &[Point]) -> Self {
        let (mut least, mut product) = (f64::INFINITY, 0.0);
        let (mut nearest, mut furthest) = (0.0_f64, f64::INFINITY);
        for at in seen {
            let (small, large) = to_board.stretch(*at);
            let here = 1.0 / (small * large).sqrt();
            least = least.min(1.0 / large);
            product += here.ln();
            (nearest, furthest) = (nearest.max(here), furthest.min(here));
        }
        let typical = (product / seen.len().max(1) as f64).exp();
        Resolution { least, typical, widest: nearest / furthest }
    }
}

/// The tilt that the same marks show with the board's width and height the other way round, radians.
fn changed_over(to_board: &Homography, board: &[Point], middle: Point) -> f64 {
    let extent = board.iter().skip(1).fold(Rect::from_points(board[0], board[0]), |r, p| r.union_pt(*p));
    let by = extent.height() / extent.width();
    let seen = to_board.jacobian(middle);
    let other = Matrix2::new(by, 0.0, 0.0, 1.0 / by) * seen;
    let values = other.singular_values();
    (values.min() / values.max()).clamp(0.0, 1.0).acos()
}

/// How far the measured diagonals are from those of the rectangle, mm.
fn diagonals_off(board: &[Point], measured: &[f64]) -> Option<f64> {
    let [a, _, c, _] = board.get(..4)? else { return None };
    let whole = a.distance(*c);
    measured.iter().filter(|mm| mm.is_finite()).map(|mm| (mm - whole).abs()).reduce(f64::max)
}

fn worst(off: &[Vec2]) -> Option<(usize, f64)> {
    off.iter().map(|v| v.hypot()).enumerate().max_by(|a, b| a.1.total_cmp(&b.1))
}

/// Standard deviation in one direction of a place among the marks, mm, that of each mark being `sd` pixels: the map is found
/// again with every mark moved a little.
fn spread(board: &[Point], seen: &[Point], sd: f64) -> f64 {
    const MOVED: f64 = 0.25;
    let Some(now) = Homography::through(board, seen).ok().and_then(|map| map.inverse()) else { return 0.0 };
    let extent = board.iter().skip(1).fold(Rect::from_points(board[0], board[0]), |r, p| r.union_pt(*p));
    // A body among the marks reaches into no corner.
    let places: Vec<Point> = (0..25)
        .filter(|k| ![0, 4, 20, 24].contains(k))
        .map(|k| {
            let at = |k: i32| 0.1 + 0.2 * f64::from(k);
            extent.origin() + Vec2::new(extent.width() * at(k % 5), extent.height() * at(k / 5))
        })
        .collect();
    let Some(seeing) = now.inverse() else { return 0.0 };
    let pixels: Vec<Point> = places.iter().map(|p| seeing.at(*p)).collect();
    let mut sum = 0.0;
    let mut moved = seen.to_vec();
    for k in 0..moved.len() {
        for by in [Vec2::new(MOVED, 0.0), Vec2::new(0.0, MOVED)] {
            moved[k] = seen[k] + by;
            if let Some(map) = Homography::through(board, &moved).ok().and_then(|map| map.inverse()) {
                let squares: f64 =
                    pixels.iter().zip(&places).map(|(px, mm)| (map.at(*px) - *mm).hypot2()).sum();
                sum += squares / (2.0 * places.len() as f64);
            }
            moved[k] = seen[k];
        }
    }
    sum.sqrt() * sd / MOVED
}

/// By how many pixels, root of the mean square, the marks bow as a lens of one coefficient bends them (r + k r³), where that
/// explains them plainly better than a flat board does.
fn bow(board: &[Point], seen: &[Point], photo: Size, flat: f64, left_over: f64) -> Option<f64> {
    if left_over < 4.0 {
        return None;
    }
    let middle = photo.to_rect().center();
    let reach = photo.to_vec2().hypot() / 2.0;
    let squares = |k: f64| {
        let straight: Vec<Point> = seen
            .iter()
            .map(|p| {
                let v = *p - middle;
                middle + v * (1.0 + k * v.hypot2() / (reach * reach))
            })
            .collect();
        Homography::through(board, &straight).map_or(f64::INFINITY, |map| {
            board.iter().zip(&straight).map(|(p, q)| (map.at(*p) - *q).hypot2()).sum()
        })
    };
    // Three values make a parabola, its foot is the best coefficient; once more about it.
    let (mut best, mut step) = (0.0, 0.02);
    for _ in 0..3 {
        let (a, b, c) = (squares(best - step), squares(best), squares(best + step));
        let bend = a - 2.0 * b + c;
        if bend.is_nan() || bend <= 0.0 {
            return None;
        }
        best += (step * (a - c) / (2.0 * bend)).clamp(-0.1, 0.1);
        step /= 4.0;
    }
    let bent = squares(best);
    let gain = flat - bent;
    let f = gain / (bent / (left_over - 1.0)).max(1e-12);
    (f > BENT).then(|| (gain / seen.len() as f64).sqrt())
}

#[cfg(test)]
#[path = "square_tests.rs"]
mod tests;
