//! The line of ribs that never were, found again on photos made of it.

use super::pictured::{Pictured, view};
use super::*;
use crate::trace::simulated::{Dice, RibLines, template};
use kurbo::{Line, ParamCurveNearest, Point, Size, Vec2};

struct Taken {
    tilt: f64,
    px_per_mm: f64,
    broad: f64,
    /// Of 255: by how much the line is darker than the wood, and the late wood than the early.
    contrast: f64,
    grain: f64,
    seed: u64,
}

/// How often the marks of each photo are tapped. What slips of the hand make of a single squaring up is common to the whole line:
/// only many of them tell what they do on the whole, which is what a standard deviation states.
const TAPPED: usize = 24;

/// What came of one photo: mm.
struct Came {
    /// Root of the mean square over all taps of the marks, and by those that did worst.
    rms: f64,
    worst_rms: f64,
    /// By what is stated of the points.
    stated: f64,
    points: usize,
}

/// How far a place is from the nearest of these lines, mm.
fn off_line(lines: &[Vec<Point>], at: Point) -> f64 {
    let pieces = lines.iter().flat_map(|line| line.windows(2));
    let squares = pieces.map(|ends| Line::new(ends[0], ends[1]).nearest(at, 1e-6).distance_sq);
    squares.fold(f64::INFINITY, f64::min).sqrt()
}

/// By marks that were tapped, and by those of a printed frame that were found.
fn recovered(taken: &Taken) -> [Came; 2] {
    let lines = RibLines::inside(&template(), 2.5);
    let photo = Size::new((440.0 * taken.px_per_mm).round(), (300.0 * taken.px_per_mm).round());
    // The body lies across the picture: the board's y runs to the right.
    let turned = |p: Point| Point::new(p.y, -p.x);
    let all: Vec<Vec<Point>> = lines.0.iter().map(|line| line.iter().map(|p| turned(*p)).collect()).collect();
    let seeing =
        view(photo, Point::new(178.0, 0.0), taken.px_per_mm, taken.tilt.to_radians(), 1.1 * photo.width);
    let (width, height) = (photo.width as usize, photo.height as usize);
    let mut pictured = Pictured::lines(&all, seeing.inverse().unwrap(), taken.px_per_mm, width, height);
    (pictured.broad, pictured.seed) = (taken.broad, taken.seed);
    (pictured.contrast, pictured.grain) = (taken.contrast, taken.grain);
    let picture = pictured.taken();

    let mut dice = Dice(taken.seed);
    let board = [
        (-20., -125.),
        (375., -125.),
        (375., 125.),
        (-20., 125.),
        (177., -125.),
        (375., 0.),
        (177., 125.),
        (-20., 0.),
    ];
    let mut marks = |slip: f64| {
        board.map(|at| {
            let slip = Vec2::new(dice.normal(), dice.normal()) * slip;
            Mark { photo: seeing.at(at.into()) + slip, board: at.into() }
        })
    };
    let mut tapped = || Squared::by_marks(&marks(0.08 * taken.px_per_mm), photo, &[]).unwrap();
    let tapped: Vec<Squared> = (0..TAPPED).map(|_| tapped()).collect();
    // A middle is found to about a tenth of a pixel, and printed to some hundredths of a millimetre.
    let mut found =
        || Squared::by_frame_marks(&marks(0.1_f64.hypot(0.03 * taken.px_per_mm)), &[], photo).unwrap();
    let found: Vec<Squared> = (0..TAPPED).map(|_| found()).collect();

    let corners = lines.corners().map(turned);
    let end = |line: usize, last: bool| {
        let line = &all[line];
        if last { line[line.len() - 1] } else { line[0] }
    };
    let (bottom, top) = (end(0, false), end(2, true));
    let taps = [bottom, corners[0], corners[1], top, corners[2], corners[3], bottom];
    let mut tap = |at: Point| seeing.at(at + Vec2::new(dice.normal(), dice.normal()) * 0.2);
    let taps: Vec<Point> = taps.into_iter().map(&mut tap).collect();
    let mut points = Vec::new();
    for pair in taps.windows(2) {
        let scale = tapped[0].scale_at(pair[0].midpoint(pair[1]));
        let stretch = follow(&picture, pair[0], pair[1], scale, None).unwrap();
        assert_eq!(stretch.tone, Tone::Dark);
        points.extend(stretch.points);
    }
    [tapped, found].map(|squared| came(&all, &points, &squared))
}

fn came(all: &[Vec<Point>], points: &[OnLine], squared: &[Squared]) -> Came {
    let n = points.len() as f64;
    let (mut squares, mut worst, mut stated) = (0.0, 0.0f64, 0.0);
    for squared in squared {
        let off = |point: &OnLine| off_line(all, squared.to_board.at(point.at)).powi(2);
        let mean = points.iter().map(off).sum::<f64>() / n;
        squares += mean;
        worst = worst.max(mean.sqrt());
        stated += points.iter().map(|point| squared.point_sd(point.sd).powi(2)).sum::<f64>() / n;
    }
    let times = TAPPED as f64;
    Came {
        rms: (squares / times).sqrt(),
        worst_rms: worst,
        stated: (stated / times).sqrt(),
        points: points.len(),
    }
}

#[test]
fn on_each_photo_the_line_is_found_again_as_well_as_asked_and_as_well_as_is_stated() {
    for (k, (tilt, px_per_mm, broad, contrast, grain)) in [
        (0., 5., 0.3, 60., 8.),
        (0., 8., 0.5, 60., 8.),
        (0., 8., 0.4, 40., 18.),
        (0., 10., 0.8, 60., 8.),
        (12., 6., 0.4, 60., 8.),
        (25., 5., 0.5, 60., 8.),
        (25., 6., 0.5, 40., 18.),
        (25., 9., 0.3, 60., 8.),
    ]
    .into_iter()
    .enumerate()
    {
        let taken = Taken { tilt, px_per_mm, broad, contrast, grain, seed: 11 + k as u64 };
        for (came, marks) in recovered(&taken).into_iter().zip(["tapped", "found"]) {
            let photo = format!("{tilt}° {px_per_mm} px/mm, {broad} mm, marks {marks}");
            println!(
                "{photo}: {} points, rms {:.3}, at worst {:.3}, stated {:.3}",
                came.points, came.rms, came.worst_rms, came.stated
            );
            assert!(came.points > 200, "{} points", came.points);
            let most = if tilt < 1.0 { 0.15 } else { 0.25 };
            assert!(came.worst_rms < most, "{photo}: {}", came.worst_rms);
            let factor = came.stated / came.rms;
            assert!((1.0 / 1.5..1.5).contains(&factor), "{photo}: stated {factor} of what was found");
        }
    }
}
