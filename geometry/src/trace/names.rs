//! Whether the names of the runs agree with where the points lie: neck end up, left on the left, each run in its place.

use super::pose::Pose;
use super::strips::Half;
use super::{TraceError, TracedPoint};
use crate::order::median;
use crate::outline::{Bout, Run, Side};
use kurbo::Point;

/// A named point lies on another run if it is this near to that one and so far from its own, mm at a violin's size.
const NEAR_OTHER: f64 = 10.0;
const FAR_FROM_OWN: f64 = 20.0;

/// What the names say of a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Agreement {
    /// Whether upper runs lie above waist runs above lower runs; none if names of a single bout are all there is.
    pub neck_up: Option<bool>,
    /// Whether left runs lie left; none without names.
    pub left_left: Option<bool>,
}

/// Compares names with places in a frame. A point nearer to the centreline than `margin` says nothing about sides.
pub(super) fn agreement(
    points: impl Iterator<Item = (Point, Option<Run>, Option<Side>)> + Clone,
    margin: f64,
) -> Agreement {
    let height = |bout: Bout| {
        let all: Vec<f64> = points
            .clone()
            .filter(|(_, run, _)| run.is_some_and(|r| r.bout == bout))
            .map(|(p, ..)| p.y)
            .collect();
        median(&all)
    };
    let heights: Vec<f64> = Bout::ALL.into_iter().filter_map(height).collect();
    let neck_up =
        heights.first().zip(heights.last()).filter(|_| heights.len() > 1).map(|(low, high)| low < high);
    let votes: i64 = points
        .filter_map(|(p, run, side)| run.map(|r| r.side).or(side).map(|side| (p, side)))
        .filter(|(p, _)| p.x.abs() > margin)
        .map(|(p, side)| if p.x * side.sign() > 0.0 { 1 } else { -1 })
        .sum();
    Agreement { neck_up, left_left: (votes != 0).then_some(votes > 0) }
}

/// Refuses names of runs that lie where another run does: every line through their points would be wrong.
pub(super) fn check_runs(points: &[TracedPoint], halves: &[Half; 2], pose: &Pose) -> Result<(), TraceError> {
    let (near, far) = (NEAR_OTHER * pose.unit(), FAR_FROM_OWN * pose.unit());
    let mut named = [0; 6];
    // For each run how many of its points lie on each other one.
    let mut elsewhere = [[0; 6]; 6];
    for point in points {
        let Some(run) = point.run else { continue };
        named[run.index()] += 1;
        let at = pose.frame.to_result(point.at);
        let side = if at.x < 0.0 { Side::Left } else { Side::Right };
        let place = halves[side as usize].nearest(Point::new(at.x.abs(), at.y), None);
        let lies = Run { bout: Bout::ALL[place.strip], side };
        if lies != run && place.distance < near {
            let own = Point::new(run.side.sign() * at.x, at.y);
            if halves[run.side as usize].on_strip(own, run.bout as usize).distance > far {
                elsewhere[run.index()][lies.index()] += 1;
            }
        }
    }
    for (run, (count, elsewhere)) in Run::ALL.into_iter().zip(named.into_iter().zip(elsewhere)) {
        for (lies, at) in Run::ALL.into_iter().zip(elsewhere) {
            if at >= 3 && 2 * at > count {
                return Err(TraceError::RunElsewhere { run, lies });
            }
        }
    }
    Ok(())
}
