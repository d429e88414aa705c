//! Points taken twice at the same place.

use super::TracedPoint;
use crate::arc::direction;
use crate::order::sort_by_value;

/// Two points nearer than this, in mm, are one point written twice: rounding of what was written, never of what was measured.
const SAME_PLACE: f64 = 1e-6;

/// For each point whether it repeats an earlier one. The corner point of two named runs is not a repeat: each
/// run has it as its end. Of a named and an unnamed point the named one is kept.
pub(super) fn repeated(points: &[TracedPoint]) -> Vec<bool> {
    // Sorted along an odd direction, so that points on a vertical or horizontal line do not all share a key.
    let along = direction(0.7312);
    let mut order: Vec<(f64, usize)> =
        points.iter().enumerate().map(|(i, p)| (p.at.to_vec2().dot(along), i)).collect();
    sort_by_value(&mut order, |(key, _)| *key);
    let mut again = vec![false; points.len()];
    for (k, &(key, i)) in order.iter().enumerate() {
        for &(other, j) in order[k + 1..].iter().take_while(|(other, _)| other - key <= SAME_PLACE) {
            let _ = other;
            if again[i] {
                break;
            }
            if again[j] || points[i].at.distance(points[j].at) > SAME_PLACE {
                continue;
            }
            match (points[i].run, points[j].run) {
                (Some(a), Some(b)) if a != b => {}
                (Some(_), None) => again[j] = true,
                (None, Some(_)) => again[i] = true,
                _ => again[i.max(j)] = true,
            }
        }
    }
    again
}
