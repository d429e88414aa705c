//! How far the points reach: enough to tell millimetres from other units.

use super::{Trace, TraceError};
use crate::arc::direction;
use kurbo::Point;
use std::f64::consts::PI;

/// No plate is shorter than this: the smallest fractional violin has some 180 mm of body. A body in centimetres
/// (19 to 115) or inches (7 to 45) stays below it, or nearly all do.
const SHORTEST: f64 = 60.0;
/// No plate is longer: a large double bass has some 1200 mm of body.
const LONGEST: f64 = 1500.0;
/// With fewer points than this a file may be a beginning, and its span says nothing about its units.
const ENOUGH: usize = 12;

/// Refuses points that cannot be in millimetres.
pub(super) fn check_span(points: &[Point]) -> Result<(), TraceError> {
    if points.len() < ENOUGH {
        return Ok(());
    }
    let span = span(points);
    if span < SHORTEST {
        Err(TraceError::SpanTooSmall { span })
    } else if span > LONGEST {
        Err(TraceError::SpanTooLarge { span })
    } else {
        Ok(())
    }
}

impl Trace {
    /// How far the points reach from end to end, in mm, whichever way they lie: about the body length.
    pub fn span(&self) -> f64 {
        let points: Vec<Point> = self.points.iter().map(|p| p.at).collect();
        if points.is_empty() { 0.0 } else { span(&points) }
    }
}

/// Largest extent over sixteen directions: within half a per cent of the distance of the two points furthest apart.
fn span(points: &[Point]) -> f64 {
    (0..16)
        .map(|k| {
            let along = direction(PI * f64::from(k) / 16.0);
            let reach = points.iter().map(|p| p.to_vec2().dot(along));
            let (low, high) = reach.fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(v), h.max(v)));
            high - low
        })
        .fold(0.0, f64::max)
}
