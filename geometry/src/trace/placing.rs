//! Finding the pose: from the pins, from the centreline of an offsets table, or from the points alone.

use super::Frame;
use super::pose::{Open, Pose, Posing};
use crate::order::median;
use kurbo::{Point, Vec2};
use std::f64::consts::FRAC_PI_2;

/// Far points first, then near ones; mm at a violin's size.
const ON_CENTRELINE: [f64; 5] = [30.0, 18.0, 10.0, 6.0, 6.0];
/// Where the centreline is sought too, more slowly.
const FROM_AFAR: [f64; 6] = [30.0, 20.0, 12.0, 8.0, 6.0, 6.0];
const CLOSER: [f64; 4] = [6.0, 4.0, 4.0, 4.0];

/// The pose along a given centreline.
pub(super) fn pose_on(
    frame: Frame,
    posing: &Posing,
    points: &[Point],
    pins: [Option<Point>; 2],
) -> (Pose, f64) {
    let heights = within_reach(points).into_iter().chain(pins.into_iter().flatten());
    let (low, high) = extent(heights.map(|p| frame.to_result(p).y));
    let up = (high - low).max(1.0);
    let start = Pose { frame, bottom: low, across: up, up };
    posing.improved(start, Open::AlongCentreline, &ON_CENTRELINE)
}

/// The pose that the points alone suggest, neck end as it fits better. `None` for points on a line.
pub(super) fn pose_of(posing: &Posing, points: &[Point]) -> Option<(Pose, f64)> {
    let near = within_reach(points);
    let (centre, along) = axis(&near)?;
    let frame = Frame { origin: centre, angle: along.atan2() - FRAC_PI_2 };
    let local: Vec<Point> = near.iter().map(|p| frame.to_result(*p)).collect();
    let (low, high) = extent(local.iter().map(|p| p.y));
    let (left, right) = extent(local.iter().map(|p| p.x));
    let up = high - low;
    let at = |x: f64| {
        let frame = Frame { origin: frame.to_given(Point::new(x, low)), ..frame };
        Pose { frame, bottom: 0.0, across: up, up }
    };
    let tried = |starts: &[Pose]| {
        let both = starts.iter().flat_map(|pose| [*pose, pose.upside_down()]);
        both.map(|pose| posing.improved(pose, Open::Everything, &FROM_AFAR)).reduce(clearly_better)
    };
    let whole = tried(&[at(0.5 * (left + right))])?;
    // A trace of one side has its centreline at its edge, and its longest direction is not quite that of the centreline.
    let narrow = right - left < 0.42 * up;
    let best = if whole.1 > 0.5 || narrow {
        let turned = |pose: Pose, by: f64| Pose {
            frame: Frame { angle: pose.frame.angle + by, ..pose.frame },
            ..pose
        };
        let edges = [at(left), at(right)];
        let mut starts = edges.to_vec();
        for by in [-0.35, 0.35] {
            starts.push(turned(at(0.5 * (left + right)), by));
        }
        tried(&starts).map_or(whole, |other| clearly_better(whole, other))
    } else {
        whole
    };
    Some(posing.improved(best.0, Open::Everything, &CLOSER))
}

/// The first unless the other fits clearly better. Starts that lead to the same pose must not take turns
/// by the rounding of numbers, or a trace shifted on the board would have another centreline.
fn clearly_better(first: (Pose, f64), other: (Pose, f64)) -> (Pose, f64) {
    if other.1 < 0.95 * first.1 { other } else { first }
}

/// The points without any that a slip of the pen has put far away.
pub(super) fn within_reach(points: &[Point]) -> Vec<Point> {
    let centre = mean(points);
    let distances: Vec<f64> = points.iter().map(|p| p.distance(centre)).collect();
    let Some(median) = median(&distances) else { return Vec::new() };
    // On a body the furthest point is less than twice as far from the middle as half the others are.
    let reach = 3.0 * median;
    points.iter().filter(|p| p.distance(centre) <= reach).copied().collect()
}

fn mean(points: &[Point]) -> Point {
    let sum = points.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    (sum / points.len().max(1) as f64).to_point()
}

/// The middle of the points and the direction in which they spread most.
fn axis(points: &[Point]) -> Option<(Point, Vec2)> {
    let centre = mean(points);
    let (mut xx, mut xy, mut yy) = (0.0, 0.0, 0.0);
    for p in points {
        let v = *p - centre;
        xx += v.x * v.x;
        xy += v.x * v.y;
        yy += v.y * v.y;
    }
    let turn = 0.5 * (2.0 * xy).atan2(xx - yy);
    let spread = xx + yy;
    let least = 0.5 * (spread - (2.0 * xy).hypot(xx - yy));
    (least > 1e-9 * spread).then(|| (centre, crate::arc::direction(turn)))
}

fn extent(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)))
}
