//! How much of a circle is swept: what becomes outline, what other circles touch, and a little over.

use crate::arc::{Arc, wrap_angle};
use crate::order::sort_values;
use crate::recipe::PlacedCircle;
use kurbo::Point;
use std::f64::consts::TAU;

/// How far an arc is swept beyond what is needed of it, in parts of the body length: some 8 mm on a violin.
const OVERRUN: f64 = 0.022;
/// And at most so far, in radians, lest a small circle close.
const MOST_OVERRUN: f64 = 0.3;
/// Gaps smaller than this are not worth lifting the pencil for.
const SMALLEST_GAP: f64 = 0.35;
/// Needed arcs are told by places no further apart than this, in radians.
const SPACING: f64 = 0.05;

fn angle(circle: &PlacedCircle, at: Point) -> f64 {
    (at - circle.centre).atan2()
}

/// The arc beyond both its ends by what a pencil runs over.
pub(super) fn overrun(arc: &Arc, body_length: f64) -> Arc {
    let over = (OVERRUN * body_length / arc.radius).min(MOST_OVERRUN).copysign(arc.sweep);
    Arc { start: wrap_angle(arc.start - over), sweep: arc.sweep + 2.0 * over, ..*arc }
}

/// The shortest arc of the circle that has all of these places and arcs on it, and a little over; the whole circle where
/// nothing is asked of it in particular. It is swept so that it begins at the end nearer to `first`.
pub(super) fn swept(
    circle: &PlacedCircle,
    places: &[Point],
    arcs: &[Arc],
    first: Option<Point>,
    body_length: f64,
) -> Arc {
    let mut angles: Vec<f64> = places.iter().map(|at| angle(circle, *at)).collect();
    for arc in arcs {
        let count = (arc.sweep.abs() / SPACING).ceil().clamp(1.0, 200.0);
        angles.extend((0..=count as usize).map(|k| arc.start + arc.sweep * k as f64 / count));
    }
    let mut angles: Vec<f64> =
        angles.into_iter().map(|a| a.rem_euclid(TAU)).filter(|a| a.is_finite()).collect();
    sort_values(&mut angles);
    let first = first.map(|at| angle(circle, at));
    let whole =
        Arc { centre: circle.centre, radius: circle.radius, start: first.unwrap_or(-TAU / 4.0), sweep: TAU };
    // The widest gap is what need not be swept; it may be the one from the last angle round to the first.
    let next = |k: usize| angles.get(k + 1).copied().or_else(|| angles.first().map(|a| a + TAU));
    let gaps = angles.iter().enumerate().filter_map(|(k, a)| Some((next(k)? - a, next(k)?)));
    let Some((gap, start)) = gaps.max_by(|one, other| one.0.total_cmp(&other.0)) else { return whole };
    let bare = Arc { start: wrap_angle(start), sweep: TAU - gap, ..whole };
    let arc = overrun(&bare, body_length);
    if TAU - arc.sweep < SMALLEST_GAP {
        return whole;
    }
    let from_end = first.is_some_and(|first| {
        let off = |end: f64| wrap_angle(first - end).abs();
        off(arc.start + arc.sweep) < off(arc.start)
    });
    if from_end { reversed(&arc) } else { arc }
}

pub(super) fn reversed(arc: &Arc) -> Arc {
    Arc { start: wrap_angle(arc.start + arc.sweep), sweep: -arc.sweep, ..*arc }
}

/// A short arc about a centre, across a place that is looked for with it.
pub(super) fn across(centre: Point, at: Point, body_length: f64) -> Option<Arc> {
    let reach = at - centre;
    let radius = reach.hypot();
    if !(radius > 1e-9 && radius.is_finite()) {
        return None;
    }
    let half = (0.06 * body_length / radius).min(0.7);
    Some(Arc { centre, radius, start: wrap_angle(reach.atan2() - half), sweep: 2.0 * half })
}
