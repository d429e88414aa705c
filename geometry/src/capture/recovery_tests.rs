//! The line of ribs that never were, found again on photos made of it.

use super::pictured::{Pictured, view};
use super::*;
use crate::trace::simulated::{Dice, RibLines, template};
use kurbo::{Point, Size, Vec2};

struct Taken {
    tilt: f64,
    px_per_mm: f64,
    broad: f64,
    /// Of 255: by how much the line is darker than the wood, and the late wood than the early.
    contrast: f64,
    grain: f64,
    seed: u64,
}

/// What came of one photo: mm.
struct Came {
    rms: f64,
    worst: f64,
    stated: f64,
    points: usize,
}

fn recovered(taken: &Taken) -> Came {
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
    let marks = board.map(|at| {
        let slip = Vec2::new(dice.normal(), dice.normal()) * (0.08 * taken.px_per_mm);
        Mark { photo: seeing.at(at.into()) + slip, board: at.into() }
    });
    let squared = Squared::by_marks(&marks, photo, &[]).unwrap();

    let corners = lines.corners().map(turned);
    let end = |line: usize, last: bool| {
        let line = &all[line];
        if last { line[line.len() - 1] } else { line[0] }
    };
    let (bottom, top) = (end(0, false), end(2, true));
    let taps = [bottom, corners[0], corners[1], top, corners[2], corners[3], bottom];
    let mut tap = |at: Point| seeing.at(at + Vec2::new(dice.normal(), dice.normal()) * 0.2);
    let taps: Vec<Point> = taps.into_iter().map(&mut tap).collect();
    let (mut squares, mut worst, mut stated, mut points) = (0.0, 0.0f64, 0.0, 0usize);
    for pair in taps.windows(2) {
        let scale = squared.scale_at(pair[0].midpoint(pair[1]));
        let stretch = follow(&picture, pair[0], pair[1], scale, None).unwrap();
        assert_eq!(stretch.tone, Tone::Dark);
        for point in &stretch.points {
            let at = squared.to_board.at(point.at);
            let off = all.iter().flatten().map(|p| p.distance(at)).fold(f64::INFINITY, f64::min);
            // Places on the true line are 0.25 mm apart.
            let off = (off * off - 0.25 * 0.25 / 12.0).max(0.0);
            squares += off;
            worst = worst.max(off.sqrt());
            stated += squared.point_sd(point.sd).powi(2);
            points += 1;
        }
    }
    let n = points as f64;
    Came { rms: (squares / n).sqrt(), worst, stated: (stated / n).sqrt(), points }
}

#[test]
fn the_line_is_found_again_within_a_tenth_and_a_half_square_on_and_a_quarter_obliquely() {
    let (mut found, mut stated) = (0.0, 0.0);
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
        let came = recovered(&taken);
        println!(
            "{tilt}° {px_per_mm} px/mm, {broad} mm: {} points, rms {:.3}, worst {:.3}, stated {:.3}",
            came.points, came.rms, came.worst, came.stated
        );
        assert!(came.points > 200, "{} points", came.points);
        let most = if tilt < 1.0 { 0.15 } else { 0.25 };
        assert!(came.rms < most, "{tilt}° {px_per_mm} px/mm: {}", came.rms);
        found += came.rms.powi(2);
        stated += came.stated.powi(2);
    }
    let factor = (stated / found).sqrt();
    assert!((1.0 / 1.5..1.5).contains(&factor), "stated {factor} times what was found");
}
