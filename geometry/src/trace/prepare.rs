//! A trace brought into the frame of the result, every point on its run.

use super::frame::{Centreline, framed};
use super::laid::Laid;
use super::names::check_runs;
use super::pose::Posing;
use super::remarks::remarks;
use super::repeats::repeated;
use super::span::check_span;
use super::strips::Half;
use super::{AsideReason, Pins, PlacedPoint, PreparedTrace, SetAside, Trace, TraceError, TracedPoint};
use crate::order::sort_by_value;
use crate::outline::{Corner, Outline, Run, Side};
use kurbo::Point;

/// Fewer different points than this say nothing about six runs.
const FEWEST: usize = 12;
/// Coordinates beyond this are no traced line in any frame, mm.
const FURTHEST: f64 = 1e6;

/// Makes a trace ready to be reconciled: repeated points set aside, the frame of the pins or of the points' own
/// symmetry, every point on its run, gross mis-takes set aside, and the four places where the runs meet.
///
/// `template` is the outline of the recipe's edge; only its shape matters, not its size.
///
/// # Errors
/// Too few points, points or pins that make no plate, names that contradict where the points lie.
pub fn prepare(trace: &Trace, template: &Outline) -> Result<PreparedTrace, TraceError> {
    let (kept, mut set_aside) = without_repeats(trace)?;
    let points: Vec<TracedPoint> = kept.iter().map(|&i| trace.points[i]).collect();
    let places: Vec<Point> = points.iter().map(|p| p.at).collect();
    check_span(&places)?;
    let halves = halves_of(template).ok_or(TraceError::NoOutline)?;
    let posing = Posing::new(&halves, &places);
    let framed = framed(&points, trace.pins, &posing)?;

    let halves = halves.map(|half| half.scaled(framed.pose.across, framed.pose.up, framed.pose.bottom));
    check_runs(&points, &halves, &framed.pose)?;

    let mut laid = Laid::over(&points, halves, &framed.pose);
    let off = laid.off_the_line();
    laid.without(&off);
    let frame = framed.result_frame(&laid);

    let into = |p: Point| frame.to_result(framed.pose.frame.to_given(p));
    let placed: Vec<PlacedPoint> = (0..points.len())
        .filter(|k| !off[*k])
        .map(|k| {
            let at = frame.to_result(points[k].at);
            let side = points[k].side.unwrap_or(if at.x < 0.0 { Side::Left } else { Side::Right });
            let run = points[k].run.unwrap_or(Run { bout: laid.bout(k), side });
            PlacedPoint { at, run, named: points[k].run.is_some(), sd: points[k].sd, index: kept[k] }
        })
        .collect();
    for k in (0..points.len()).filter(|k| off[*k]) {
        set_aside.push(SetAside { index: kept[k], line: points[k].line, why: AsideReason::OffTheLine });
    }
    sort_by_value(&mut set_aside, |aside| aside.index as f64);

    let mut notices = framed.pins_beside_centreline(&laid);
    notices.splice(0..0, framed.notices);
    notices.extend(remarks(&laid, &placed, framed.centreline, into));
    let pins = Pins {
        lower: framed.pins.lower.map(|at| frame.to_result(at)),
        upper: framed.pins.upper.map(|at| frame.to_result(at)),
    };
    Ok(PreparedTrace {
        frame,
        centreline_estimated: framed.centreline != Centreline::Given,
        corners: Corner::ALL.map(|corner| laid.meeting(corner).map(into)),
        points: placed,
        set_aside,
        pins,
        notices,
    })
}

fn without_repeats(trace: &Trace) -> Result<(Vec<usize>, Vec<SetAside>), TraceError> {
    let pins = [trace.pins.lower, trace.pins.upper].into_iter().flatten();
    for (at, line) in trace.points.iter().map(|p| (p.at, p.line)).chain(pins.map(|at| (at, 0))) {
        for (column, value) in [("x", at.x), ("y", at.y)] {
            if !(value.is_finite() && value.abs() < FURTHEST) {
                return Err(TraceError::OutOfReach { line, column, value });
            }
        }
    }
    let again = repeated(&trace.points);
    let kept: Vec<usize> = (0..trace.points.len()).filter(|&i| !again[i]).collect();
    if kept.len() < FEWEST {
        return Err(TraceError::TooFewPoints { found: kept.len(), least: FEWEST });
    }
    let set_aside = (0..trace.points.len())
        .filter(|&i| again[i])
        .map(|index| SetAside { index, line: trace.points[index].line, why: AsideReason::Repeated })
        .collect();
    Ok((kept, set_aside))
}

/// Left and right half of an outline, brought to a height of 1.
fn halves_of(template: &Outline) -> Option<[Half; 2]> {
    let bottom = template.runs[0].start.y;
    let height = template.runs[2].end().y - bottom;
    if !(height.is_finite() && height > 1e-6 && bottom.is_finite()) {
        return None;
    }
    let [left, right] = Side::BOTH.map(|side| Half::of(template, side, bottom, height));
    Some([left?, right?])
}
