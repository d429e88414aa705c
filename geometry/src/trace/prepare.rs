//! A trace brought into the frame of the result, every point on its run.

use super::repeats::repeated;
use super::span::check_span;
use super::{AsideReason, Frame, Notice, Pins, PlacedPoint, PreparedTrace, SetAside, Trace, TraceError};
use crate::arc::{FittedCircle, nearest_circle};
use crate::outline::{Corner, Outline, Run, Side};
use kurbo::Point;

/// Fewer different points than this say nothing about six runs.
const FEWEST: usize = 12;

/// Makes a trace ready to be reconciled: repeated points set aside, the frame of the pins or of the points' own
/// symmetry, every point on its run, gross mis-takes set aside, and the four places where the runs meet.
///
/// `template` is the outline of the recipe's edge; only its shape matters, not its size.
pub fn prepare(trace: &Trace, template: &Outline) -> Result<PreparedTrace, TraceError> {
    let again = repeated(&trace.points);
    let kept: Vec<usize> = (0..trace.points.len()).filter(|&i| !again[i]).collect();
    if kept.len() < FEWEST {
        return Err(TraceError::TooFewPoints { found: kept.len(), least: FEWEST });
    }
    check_span(&kept.iter().map(|&i| trace.points[i].at).collect::<Vec<_>>())?;
    let set_aside = again
        .iter()
        .enumerate()
        .filter(|(_, again)| **again)
        .map(|(index, _)| SetAside { index, line: trace.points[index].line, why: AsideReason::Repeated })
        .collect();
    let frame = pin_frame(trace.pins)?;
    let to_result = |pin: Option<Point>| pin.map(|at| frame.to_result(at));
    let pins = Pins { lower: to_result(trace.pins.lower), upper: to_result(trace.pins.upper) };
    let places: Vec<Point> = kept.iter().map(|&i| frame.to_result(trace.points[i].at)).collect();
    let points: Vec<PlacedPoint> = kept
        .iter()
        .zip(&places)
        .filter_map(|(&index, &at)| {
            let run = trace.points[index].run;
            Some(PlacedPoint {
                at,
                run: run.or_else(|| nearest_run(at, &places, template))?,
                named: run.is_some(),
                index,
            })
        })
        .collect();
    for run in Run::ALL {
        let named = points.iter().filter(|p| p.run == run && p.named);
        let (wrong, all) = named
            .fold((0, 0), |(wrong, all), p| (wrong + usize::from(p.at.x * run.side.sign() < 0.0), all + 1));
        if 2 * wrong > all {
            return Err(TraceError::MirrorImage { run });
        }
    }
    let corners = Corner::ALL.map(|corner| meeting(corner, &points));
    let notices = Run::ALL
        .into_iter()
        .filter(|run| !points.iter().any(|p| p.run == *run))
        .map(Notice::RunWithoutPoints)
        .collect();
    Ok(PreparedTrace { frame, centreline_estimated: false, points, corners, set_aside, pins, notices })
}

fn pin_frame(pins: Pins) -> Result<Frame, TraceError> {
    let (Some(lower), Some(upper)) = (pins.lower, pins.upper) else {
        return Ok(Frame { origin: Point::ORIGIN, angle: 0.0 });
    };
    let up = upper - lower;
    if up.hypot() < 1.0 {
        return Err(TraceError::PinsTogether);
    }
    Ok(Frame { origin: lower, angle: (-up.x).atan2(up.y) })
}

/// The run of the template, scaled to the points' extent, that a point lies nearest to.
fn nearest_run(at: Point, places: &[Point], template: &Outline) -> Option<Run> {
    let bounds = template.bounds();
    let (low, high) = places.iter().fold((f64::MAX, f64::MIN), |(l, h), p| (l.min(p.y), h.max(p.y)));
    let wide = places.iter().fold(0.0f64, |w, p| w.max(p.x.abs()));
    let on = Point::new(at.x * bounds.x1 / wide, bounds.y0 + (at.y - low) * bounds.height() / (high - low));
    template.nearest(on).map(|(run, _)| run)
}

/// Where the two runs of a corner meet: circles through the points nearest to it, carried on until they cross.
fn meeting(corner: Corner, points: &[PlacedPoint]) -> Option<Point> {
    let on = |run: Run| -> Vec<Point> { points.iter().filter(|p| p.run == run).map(|p| p.at).collect() };
    let (outer, waist) = (on(corner.outer_run()), on(corner.waist_run()));
    let (a, b) = closest_pair(&outer, &waist)?;
    let middle = a.midpoint(b);
    let near = |mut points: Vec<Point>| {
        points.sort_by(|p, q| p.distance(middle).total_cmp(&q.distance(middle)));
        points.truncate(5);
        nearest_circle(&points)
    };
    let crossing = near(outer).zip(near(waist)).and_then(|(one, two)| crossing_near(one, two, middle));
    Some(crossing.filter(|at| at.distance(middle) < 12.0).unwrap_or(middle))
}

fn closest_pair(ones: &[Point], others: &[Point]) -> Option<(Point, Point)> {
    let pairs = ones.iter().flat_map(|&a| others.iter().map(move |&b| (a, b)));
    pairs.min_by(|p, q| p.0.distance_squared(p.1).total_cmp(&q.0.distance_squared(q.1)))
}

fn crossing_near(one: FittedCircle, two: FittedCircle, near: Point) -> Option<Point> {
    let between = two.centre - one.centre;
    let distance = between.hypot();
    let along = (distance * distance + one.radius * one.radius - two.radius * two.radius) / (2.0 * distance);
    let across = one.radius * one.radius - along * along;
    if !(across >= 0.0 && distance > 0.0) {
        return None;
    }
    let unit = between / distance;
    let foot = one.centre + along * unit;
    [Side::Left, Side::Right]
        .map(|side| foot + side.sign() * across.sqrt() * unit.turn_90())
        .into_iter()
        .min_by(|p, q| p.distance(near).total_cmp(&q.distance(near)))
}
