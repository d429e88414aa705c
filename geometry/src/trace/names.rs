//! Whether the names of the runs agree with where the points lie: neck end up, left on the left.

use crate::outline::{Bout, Run, Side};
use kurbo::Point;

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
        let mut all: Vec<f64> = points
            .clone()
            .filter(|(_, run, _)| run.is_some_and(|r| r.bout == bout))
            .map(|(p, ..)| p.y)
            .collect();
        let middle = all.len() / 2;
        (!all.is_empty()).then(|| *all.select_nth_unstable_by(middle, f64::total_cmp).1)
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
