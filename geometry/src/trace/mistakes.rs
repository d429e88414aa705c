//! Points that a slip of the pen or of the pencil has put off the line.

use crate::order::{median, sort_by_value};

/// A point on a line: how far along it, and how far off it, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct OnLine {
    pub along: f64,
    /// Off a line too stiff to follow any single point.
    pub off: f64,
    /// Off a line that follows the points wherever several agree.
    pub off_settled: f64,
    /// How close it is to a corner, where lines are least known: 1 at the corner, 0 well away from it.
    pub near_corner: f64,
    /// Which point this is.
    pub point: usize,
}

/// What a maker would call a mistake at all, mm. The fit has a robust loss of its own for lesser ones.
const GROSS: f64 = 3.0;
/// And so many times the uncertainty of where the neighbours would have the point.
const TIMES: f64 = 5.0;
/// A line that follows the points passes a good one by less, mm at a violin's size.
const FOLLOWED: f64 = 1.0;
/// At a corner it may miss a good one by so much more, mm at a violin's size.
const FOLLOWED_AT_CORNER: f64 = 2.0;
/// Neighbours asked on either side.
const NEIGHBOURS: usize = 3;
/// No trace scatters less than this, mm.
const LEAST_SCATTER: f64 = 0.25;

/// The points that lie too far from the line their neighbours make. Each neighbour on one side and each on the other
/// together say where the point should be; the median of what they say is believed, so that two
/// mis-taken points side by side do not vouch for each other. `unit` is the body's size in violins.
pub(super) fn off_the_line(mut points: Vec<OnLine>, unit: f64) -> Vec<usize> {
    sort_by_value(&mut points, |point| point.along);
    let mut off = Vec::new();
    let mut expected = Vec::new();
    for (k, point) in points.iter().enumerate() {
        let missed = unit * (FOLLOWED + point.near_corner * FOLLOWED_AT_CORNER);
        if point.off.abs() < GROSS || point.off_settled.abs() < missed {
            continue;
        }
        let before = &points[k.saturating_sub(NEIGHBOURS)..k];
        let after = &points[k + 1..(k + 1 + NEIGHBOURS).min(points.len())];
        expected.clear();
        if before.len() >= 2 && after.len() >= 2 {
            expected.extend(before.iter().flat_map(|a| after.iter().map(|b| between(a, b, point.along))));
        } else {
            // At the end of a line there is nothing on the other side: nearer neighbours' offsets, as they are.
            expected.extend(before.iter().chain(after).map(|other| other.off));
        }
        if expected.len() < 3 {
            continue;
        }
        let middle = median(&expected).unwrap_or_default();
        let scatter: Vec<f64> = expected.iter().map(|e| (e - middle).abs()).collect();
        // 1.4826 makes the median of absolute deviations a standard deviation where errors are normal.
        let scatter = (1.4826 * median(&scatter).unwrap_or_default()).max(LEAST_SCATTER);
        if (point.off - middle).abs() > GROSS.max(TIMES * scatter) {
            off.push(point.point);
        }
    }
    off
}

fn between(a: &OnLine, b: &OnLine, along: f64) -> f64 {
    let way = b.along - a.along;
    if way < 1e-9 {
        return 0.5 * (a.off + b.off);
    }
    a.off + (b.off - a.off) * (along - a.along) / way
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(offs: &[f64]) -> Vec<OnLine> {
        let along = |k: usize| 7.0 * k as f64;
        offs.iter()
            .enumerate()
            .map(|(point, &off)| OnLine {
                along: along(point),
                off,
                off_settled: 0.8 * off,
                near_corner: 0.0,
                point,
            })
            .collect()
    }

    fn off_the_line_of(points: Vec<OnLine>) -> Vec<usize> {
        off_the_line(points, 1.0)
    }

    #[test]
    fn a_point_off_a_line_is_found_on_a_straight_and_on_a_slanting_one() {
        assert_eq!(off_the_line_of(line(&[0.1, 0.0, -0.1, 5.0, 0.1, 0.0, 0.1])), [3]);
        assert_eq!(off_the_line_of(line(&[4.0, 5.0, 6.0, 12.0, 8.0, 9.0, 10.0])), [3]);
        assert_eq!(off_the_line_of(line(&[4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0])), Vec::<usize>::new());
    }

    #[test]
    fn two_side_by_side_do_not_vouch_for_each_other() {
        assert_eq!(off_the_line_of(line(&[0.1, 0.0, -0.1, 5.0, 5.1, 0.0, 0.1, -0.2])), [3, 4]);
        assert_eq!(off_the_line_of(line(&[0.1, 0.0, -0.1, 5.0, -5.0, 0.0, 0.1, -0.2])), [3, 4]);
    }

    #[test]
    fn a_line_that_scatters_widely_has_no_mistakes() {
        assert_eq!(off_the_line_of(line(&[3.0, -2.5, 1.0, 4.5, -3.0, 2.0, -4.0, 3.0])), Vec::<usize>::new());
    }

    #[test]
    fn a_point_that_the_line_can_follow_is_no_mistake() {
        let mut points = line(&[0.0, 0.1, 0.0, 4.0, 0.1, 0.0, 0.1]);
        points[3].off_settled = 0.3;
        assert_eq!(off_the_line_of(points), Vec::<usize>::new());
    }
}
