//! The marks of the printed frame: a chequer of two dark and two light quarters, whose middle can be found to a small part of a
//! pixel; and the photo squared up by all eight from four taps.

use super::frame_sheet::FrameSheet;
use super::photo::Photo;
use super::square::{Mark, Remark, SquareError, Squared, around};
use super::{Homography, HomographyError};
use kurbo::{Point, Size, Vec2};

/// How far about a tap the middle is looked for, mm. A quarter of the mark is a little larger.
const ABOUT: f64 = 3.0;
/// A tap further off, mm, was on something else.
const FAR: f64 = 3.5;
/// Where a lens that bends the board may have put a mark between two corners, mm outwards of where they put it; the likeliest first.
const BOWED: [f64; 9] = [0.0, 5.0, -5.0, 10.0, -10.0, 15.0, -15.0, 20.0, -20.0];
/// Where else a mark is looked for whose tap was beside it, mm off the tap.
const BESIDE_TAP: [f64; 2] = [5.0, 9.5];
const MOST_STEPS: usize = 40;
/// As long as the middle is further off than so many pixels, not every pixel about it is looked at but about so many to either side.
const ROUGH: f64 = 0.5;
const ROUGH_REACH: f64 = 15.0;
/// Of fewer marks than this too little is left over to tell whether the lens bends the board.
const ENOUGH: usize = 6;
/// How alike opposite quarters of a mark are, from -1 to 1. Alike they are in a chequer; the outer corner of one of its dark
/// quarters has a third less than nothing.
const ALIKE: f64 = 0.5;
/// A tap further from where the other marks put it, mm, was beside its mark.
const BESIDE: f64 = 0.5;
/// The slope of a brightness smoothed by a Gaussian of 1.2 pixels: from so many pixels to either side, with these weights. Between
/// two pixels alone the middle would be drawn to where the pixels are.
const SLOPE: [(f64, f64); 4] = [(0.5, 0.0773), (1.0, 0.1192), (1.5, 0.1159), (2.0, 0.0841)];
/// Least slope of the brightness (of 255, per pixel, root of the mean square) at which there is something to be found.
const PLAIN: f64 = 2.0;

/// The place nearest to `near` where the brightness changes along every line through it and not across: the middle of a
/// chequer or a cross. `None` where there is none.
///
/// Source: Förstner, Gülch, "A fast operator for detection and precise location of distinct points, corners and centres of
/// circular features", ISPRS intercommission workshop, Interlaken 1987.
pub fn middle_of_mark(photo: &Photo, near: Point, px_per_mm: f64) -> Option<Point> {
    let reach = (ABOUT * px_per_mm).clamp(4.0, 60.0);
    if !(near.x.is_finite() && near.y.is_finite() && px_per_mm.is_finite()) {
        return None;
    }
    let mut at = near;
    let mut stride = (reach / ROUGH_REACH).floor().max(1.0) as usize;
    for step in 0..MOST_STEPS {
        let (mut xx, mut xy, mut yy, mut x, mut y, mut weights) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        let steps = reach.ceil() as i32;
        for j in (-steps..=steps).step_by(stride) {
            for i in (-steps..=steps).step_by(stride) {
                let v = Vec2::new(f64::from(i), f64::from(j));
                let far = v.hypot2() / (reach * reach);
                if far > 1.0 {
                    continue;
                }
                let p = at + v;
                let slope = |by: Vec2| {
                    let part = |(k, weight): (f64, f64)| {
                        weight * f64::from(photo.at(p + k * by) - photo.at(p - k * by))
                    };
                    SLOPE.map(part).iter().sum::<f64>()
                };
                let g = Vec2::new(slope(Vec2::new(1.0, 0.0)), slope(Vec2::new(0.0, 1.0)));
                let weight = (1.0 - far) * (1.0 - far);
                xx += weight * g.x * g.x;
                xy += weight * g.x * g.y;
                yy += weight * g.y * g.y;
                x += weight * (g.x * g.x * v.x + g.x * g.y * v.y);
                y += weight * (g.x * g.y * v.x + g.y * g.y * v.y);
                weights += weight;
            }
        }
        let determinant = xx * yy - xy * xy;
        let round = 4.0 * determinant / ((xx + yy) * (xx + yy)).max(1e-12);
        if (xx + yy) / weights < PLAIN * PLAIN || round < 0.05 {
            return None;
        }
        let by = Vec2::new(yy * x - xy * y, xx * y - xy * x) / determinant;
        at += by * (reach / by.hypot().max(reach));
        if at.distance(near) > FAR * px_per_mm {
            return None;
        }
        if stride > 1 {
            if by.hypot() < ROUGH {
                stride = 1;
            }
        } else if by.hypot() < 0.005 || step + 1 == MOST_STEPS && by.hypot() < 0.1 {
            return Some(at).filter(|at| likeness(photo, *at, reach) > ALIKE);
        }
    }
    None
}

/// The mark that was meant by a tap: the one it is on, else the plainest about it. On a telephone a finger covers many millimetres.
fn mark_about(photo: &Photo, tap: Point, px_per_mm: f64) -> Option<Point> {
    let around = || {
        let places = BESIDE_TAP.into_iter().flat_map(|mm| {
            (0..12).map(move |k| Vec2::from_angle(f64::from(k) * std::f64::consts::TAU / 12.0) * mm)
        });
        let found = places.filter_map(|by| middle_of_mark(photo, tap + by * px_per_mm, px_per_mm));
        let plain = |at: &Point| likeness(photo, *at, ABOUT * px_per_mm);
        found.max_by(|a, b| plain(a).total_cmp(&plain(b)))
    };
    middle_of_mark(photo, tap, px_per_mm).or_else(around)
}

/// How like the brightness about a place is to itself turned half about: the correlation, -1 to 1.
fn likeness(photo: &Photo, at: Point, reach: f64) -> f64 {
    let steps = reach.ceil() as i32;
    let around = || (-steps..=steps).flat_map(|j| (-steps..=steps).map(move |i| (i, j)));
    let within =
        || around().map(|(i, j)| Vec2::new(f64::from(i), f64::from(j))).filter(|v| v.hypot() <= reach);
    let bright = |v: Vec2| f64::from(photo.at(at + v));
    let mean = within().map(bright).sum::<f64>() / within().count() as f64;
    let (mut both, mut own) = (0.0, 0.0);
    for v in within() {
        let off = bright(v) - mean;
        both += off * (bright(-v) - mean);
        own += off * off;
    }
    both / own.max(1e-12)
}

impl Squared {
    /// From the printed frame, its four corner marks having been tapped: every tap is moved to its mark's middle, and the four
    /// marks between are found by themselves. A mark that is not found stays as it was tapped, or is left out.
    ///
    /// # Errors
    /// Taps that make no view of the frame.
    pub fn by_frame(
        photo: &Photo,
        taps: [Point; 4],
        sheet: &FrameSheet,
    ) -> Result<(Squared, Vec<Mark>), SquareError> {
        let mut corners = around(taps);
        let mut found = found_from(photo, corners, sheet)?;
        let beside = [0, 1, 2, 3].map(|k| tapped_beside(photo, &found, k));
        if beside.iter().any(Option::is_some) {
            for (corner, middle) in corners.iter_mut().zip(beside) {
                *corner = middle.unwrap_or(*corner);
            }
            found = found_from(photo, corners, sheet)?;
        }
        Ok((Squared::by_frame_marks(&found, &taps, photo.size())?, found))
    }

    /// From the marks of the printed frame that were found from these taps, as [`Squared::by_frame`] answers them. One that lies where
    /// it was tapped was not found.
    ///
    /// # Errors
    /// Marks that make no view of a board.
    pub fn by_frame_marks(found: &[Mark], taps: &[Point], photo: Size) -> Result<Squared, SquareError> {
        let count = found.iter().filter(|mark| !taps.contains(&mark.photo)).count();
        let mut squared = if count == found.len() {
            Squared::by_found_marks(found, photo)?
        } else {
            Squared::by_marks(found, photo, &[])?
        };
        if count < ENOUGH {
            squared.remarks.push(Remark::MarksNotFound { found: count });
        }
        Ok(squared)
    }
}

/// The frame's marks, its corners having been tapped in this order.
fn found_from(photo: &Photo, taps: [Point; 4], sheet: &FrameSheet) -> Result<Vec<Mark>, SquareError> {
    let marks = sheet.marks();
    let rough = Homography::through(&marks[..4], &taps)?;
    let to_board = rough.inverse().ok_or(HomographyError::OnALine)?;
    let scale = |at: Point| {
        let (least, largest) = to_board.stretch(at);
        1.0 / (least * largest).sqrt()
    };
    let corners = taps.map(|tap| mark_about(photo, tap, scale(tap)).unwrap_or(tap));
    let closer = Homography::through(&marks[..4], &corners)?;
    let between = marks[4..].iter().map(|at| {
        let near = closer.at(*at);
        let (outward, scale) = (near - photo.size().to_rect().center(), scale(near));
        let there = |mm: f64| near + outward * (mm * scale / outward.hypot().max(1.0));
        BOWED.into_iter().find_map(|mm| middle_of_mark(photo, there(mm), scale))
    });
    let corners = corners.into_iter().map(Some);
    let found = corners.chain(between).zip(marks);
    Ok(found.filter_map(|(seen, board)| Some(Mark { photo: seen?, board })).collect())
}

/// The middle of a mark where the other marks put it, if that is not where it was found.
fn tapped_beside(photo: &Photo, found: &[Mark], k: usize) -> Option<Point> {
    let others = || found.iter().enumerate().filter(|(other, _)| *other != k).map(|(_, mark)| mark);
    let (board, seen): (Vec<Point>, Vec<Point>) = others().map(|mark| (mark.board, mark.photo)).unzip();
    // Four others always fit one another.
    if board.len() < 5 {
        return None;
    }
    let view = Homography::through(&board, &seen).ok()?;
    let (least, largest) = view.stretch(found[k].board);
    let (near, px_per_mm) = (view.at(found[k].board), (least * largest).sqrt());
    if near.distance(found[k].photo) < BESIDE * px_per_mm {
        return None;
    }
    middle_of_mark(photo, near, px_per_mm)
}

#[cfg(test)]
mod tests {
    use super::super::pictured::view;
    use super::*;

    /// The frame as it is seen, on paper, with some noise.
    fn pictured(seeing: &Homography, size: Size, scale: f64, sheet: &FrameSheet) -> Photo {
        bent(seeing, size, scale, sheet, 0.0)
    }

    /// Where a lens would draw a place of the picture that did not draw what is on the edge this part further in.
    fn straight(p: Point, size: Size, by: f64) -> Point {
        let middle = size.to_rect().center();
        let off = p - middle;
        middle + off * (1.0 + by * off.hypot2() / (size.height / 2.0).powi(2))
    }

    /// The same through a lens that draws what is on the edge of the picture this part further in.
    fn bent(seeing: &Homography, size: Size, scale: f64, sheet: &FrameSheet, by: f64) -> Photo {
        printed(seeing, size, scale, sheet.marks(), by)
    }

    /// The same with its marks printed here.
    fn printed(seeing: &Homography, size: Size, scale: f64, marks: [Point; 8], by: f64) -> Photo {
        let back = seeing.inverse().unwrap();
        let mut noise = 7u64;
        let mut grey = Vec::new();
        for j in 0..size.height as usize {
            for i in 0..size.width as usize {
                let p = back.at(straight(Point::new(i as f64 + 0.5, j as f64 + 0.5), size, by));
                let near = marks.into_iter().find(|m| {
                    let v = p - *m;
                    v.x.abs() < FrameSheet::HALF_MARK && v.y.abs() < FrameSheet::HALF_MARK
                });
                // How much of the pixel each quarter covers.
                let dark = near.map_or(0.0, |m| {
                    let part = |v: f64| (v * scale + 0.5).clamp(0.0, 1.0);
                    let (x, y) = (part(p.x - m.x), part(p.y - m.y));
                    x * y + (1.0 - x) * (1.0 - y)
                });
                noise = noise.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                let speck = (noise >> 40) as f64 / (1u64 << 24) as f64 * 16.0 - 8.0;
                grey.push((215.0 - 170.0 * dark + speck) as u8);
            }
        }
        Photo::new(size.width as usize, size.height as usize, grey).unwrap()
    }

    #[test]
    fn four_rough_taps_find_all_eight_marks_to_a_small_part_of_a_pixel() {
        let sheet = FrameSheet::new(150.0, 210.0).unwrap();
        for (tilt, scale) in [(0.0, 4.5), (20.0, 6.5)] {
            let size = Size::new(220.0 * scale, 260.0 * scale);
            let seeing = view(size, Point::new(75.0, 105.0), scale, f64::to_radians(tilt), 1.2 * size.width);
            let photo = pictured(&seeing, size, scale, &sheet);
            let slips = [(5.0, -6.0), (-4.0, 3.0), (7.0, 2.0), (-3.0, -5.0)];
            let mut k = 0;
            let taps = [2, 0, 3, 1].map(|m: usize| {
                k += 1;
                seeing.at(sheet.marks()[m]) + Vec2::from(slips[k - 1])
            });
            let (squared, marks) = Squared::by_frame(&photo, taps, &sheet).unwrap();
            assert_eq!(marks.len(), 8);
            for mark in &marks {
                let off = mark.photo.distance(seeing.at(mark.board));
                assert!(off < 0.15, "{tilt}: {off} px");
            }
            assert!(squared.residual().unwrap() < 0.04);
            assert!(squared.remarks.is_empty(), "{:?}", squared.remarks);
        }
    }

    #[test]
    fn taps_of_a_finger_that_covers_a_centimetre_find_the_marks_all_the_same() {
        let sheet = FrameSheet::new(270.0, 420.0).unwrap();
        let (size, scale) = (Size::new(1500.0, 2200.0), 4.6);
        let seeing = view(size, Point::new(135.0, 210.0), scale, f64::to_radians(5.0), 1.2 * size.width);
        let photo = pictured(&seeing, size, scale, &sheet);
        for (turn, mm) in [(0.0, 3.0), (1.0, 5.0), (2.0, 7.0), (3.0, 9.0), (4.0, 10.0), (5.5, 10.0)] {
            let taps = [0, 1, 2, 3].map(|m: usize| {
                let slip = Vec2::from_angle(turn + 1.9 * m as f64) * (mm - 0.5 * m as f64);
                seeing.at(sheet.marks()[m] + slip)
            });
            let (squared, marks) = Squared::by_frame(&photo, taps, &sheet).unwrap();
            assert_eq!(marks.len(), 8, "{mm} mm off");
            for mark in &marks {
                let off = mark.photo.distance(seeing.at(mark.board));
                assert!(off < 0.15, "{mm} mm off, {:?}: {off} px", mark.board);
            }
            assert!(squared.remarks.is_empty(), "{:?}", squared.remarks);
        }
    }

    #[test]
    fn a_tap_on_the_outer_corner_of_a_mark_still_finds_its_middle() {
        let sheet = FrameSheet::new(270.0, 420.0).unwrap();
        let (size, scale) = (Size::new(1500.0, 2200.0), 4.2);
        let seeing = view(size, Point::new(135.0, 210.0), scale, f64::to_radians(9.0), 1.2 * size.width);
        let photo = pictured(&seeing, size, scale, &sheet);
        let mut taps = [0, 1, 2, 3].map(|m: usize| seeing.at(sheet.marks()[m]));
        assert_eq!(middle_of_mark(&photo, seeing.at(sheet.marks()[0] + Vec2::new(5.0, 5.0)), scale), None);
        taps[0] = seeing.at(sheet.marks()[0] + Vec2::new(5.0, 5.0));
        let (squared, marks) = Squared::by_frame(&photo, taps, &sheet).unwrap();
        assert_eq!(marks.len(), 8);
        for mark in &marks {
            let off = mark.photo.distance(seeing.at(mark.board));
            assert!(off < 0.15, "{:?}: {off} px", mark.board);
        }
        // At this tilt the far end has fewer than four pixels to the mm; no mark is said to be off.
        assert!(matches!(squared.remarks[..], [Remark::TooSmall { .. }]), "{:?}", squared.remarks);
    }

    #[test]
    fn a_lens_that_bends_the_board_is_found_out_however_much_it_does() {
        let sheet = FrameSheet::new(270.0, 420.0).unwrap();
        let (size, scale) = (Size::new(1500.0, 2200.0), 4.6);
        let seeing = view(size, Point::new(135.0, 210.0), scale, f64::to_radians(4.0), 1.2 * size.width);
        for by in [0.01, 0.03, 0.06, -0.01, -0.03] {
            let photo = bent(&seeing, size, scale, &sheet, by);
            let taps = [0, 1, 2, 3].map(|m: usize| {
                let at = seeing.at(sheet.marks()[m]);
                (0..40).fold(at, |p, _| p + (at - straight(p, size, by)) * 0.8)
            });
            let (squared, marks) = Squared::by_frame(&photo, taps, &sheet).unwrap();
            assert_eq!(marks.len(), 8, "{by}");
            assert!(
                squared.remarks.iter().any(|r| matches!(r, Remark::BentByTheLens { .. })),
                "{by}: {:?}",
                squared.remarks
            );
            // What is said of a place is true of those where a body lies.
            let places = (1..6)
                .flat_map(|i| (1..8).map(move |j| Point::new(45.0 * f64::from(i), 52.5 * f64::from(j))));
            let seen = |place: Point| {
                let at = seeing.at(place);
                (0..40).fold(at, |p, _| p + (at - straight(p, size, by)) * 0.8)
            };
            let off = places.map(|place| squared.to_board.at(seen(place)).distance(place).powi(2));
            let off: Vec<f64> = off.collect();
            let true_sd = (off.iter().sum::<f64>() / (2 * off.len()) as f64).sqrt();
            assert!((squared.sd / true_sd).ln().abs() < 1.5_f64.ln(), "{by}: {} mm of {true_sd}", squared.sd);
        }
    }

    /// Paper gives and printers slip: the marks lie a tenth of a millimetre beside where they should.
    #[test]
    fn how_well_a_place_is_said_to_be_known_by_the_printed_frame_is_true() {
        let sheet = FrameSheet::new(150.0, 210.0).unwrap();
        let mut dice = crate::trace::simulated::Dice(3);
        for tilt in [0.0, 20.0] {
            let (mut stated, mut found) = (0.0, 0.0);
            for _ in 0..12 {
                let scale = 5.5;
                let size = Size::new(190.0 * scale, 250.0 * scale);
                let seeing =
                    view(size, Point::new(75.0, 105.0), scale, f64::to_radians(tilt), 1.2 * size.width);
                let marks = sheet.marks().map(|m| m + Vec2::new(dice.normal(), dice.normal()) * 0.1);
                let photo = printed(&seeing, size, scale, marks, 0.0);
                let taps = [0, 1, 2, 3].map(|m: usize| seeing.at(marks[m]));
                let (squared, _) = Squared::by_frame(&photo, taps, &sheet).unwrap();
                let places = (1..6)
                    .flat_map(|i| (1..8).map(move |j| Point::new(25.0 * f64::from(i), 26.0 * f64::from(j))));
                let off: Vec<f64> =
                    places.map(|p| squared.to_board.at(seeing.at(p)).distance_squared(p) / 2.0).collect();
                found += off.iter().sum::<f64>() / off.len() as f64;
                stated += squared.sd * squared.sd;
            }
            let ratio = (stated / found).sqrt();
            assert!(ratio.ln().abs() < 1.5_f64.ln(), "{tilt}°: {ratio}");
        }
    }

    #[test]
    fn marks_that_are_covered_are_missed() {
        let sheet = FrameSheet::new(150.0, 210.0).unwrap();
        let (size, scale) = (Size::new(900.0, 1200.0), 4.6);
        let seeing = view(size, Point::new(75.0, 105.0), scale, 0.0, 1.2 * size.width);
        let seen = pictured(&seeing, size, scale, &sheet);
        let covered = sheet.marks()[4..].iter().map(|m| seeing.at(*m)).collect::<Vec<_>>();
        let grey = (0..900 * 1200).map(|k: isize| {
            let at = Point::new((k % 900) as f64, (k / 900) as f64);
            let hidden = covered.iter().any(|m| m.distance(at) < 60.0);
            if hidden { 200 } else { seen.pixel(k % 900, k / 900) }
        });
        let photo = Photo::new(900, 1200, grey.collect()).unwrap();
        let taps = [0, 1, 2, 3].map(|m: usize| seeing.at(sheet.marks()[m]));
        let (squared, marks) = Squared::by_frame(&photo, taps, &sheet).unwrap();
        assert_eq!(marks.len(), 4);
        assert_eq!(squared.remarks, [Remark::MarksNotFound { found: 4 }]);
        // Of a board without a frame nothing was found, wherever it was tapped.
        let bare = Photo::new(900, 1200, vec![200; 900 * 1200]).unwrap();
        let (squared, marks) = Squared::by_frame(&bare, taps, &sheet).unwrap();
        assert_eq!(marks.len(), 4);
        assert_eq!(squared.remarks, [Remark::MarksNotFound { found: 0 }]);
    }

    #[test]
    fn where_there_is_no_mark_none_is_found() {
        let blank = Photo::new(100, 100, vec![200; 10_000]).unwrap();
        assert_eq!(middle_of_mark(&blank, Point::new(50.0, 50.0), 5.0), None);
        assert_eq!(middle_of_mark(&blank, Point::new(f64::NAN, 50.0), 5.0), None);
        // A straight edge has no middle.
        let edge =
            Photo::new(100, 100, (0..10_000).map(|k| if k % 100 < 50 { 40 } else { 200 }).collect()).unwrap();
        assert_eq!(middle_of_mark(&edge, Point::new(50.0, 50.0), 5.0), None);
    }
}
