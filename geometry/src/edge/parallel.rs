//! Parallels of the runs of an edge, inside it, and how two of them meet at a corner.
//!
//! A parallel of a circular arc is an arc about the same centre. Where an arc bends more tightly than the distance, its
//! parallel would turn inside out: it is left out and its neighbours are carried to where they cross.

use crate::arc::{Arc, Chain, direction, wrap_angle};
use kurbo::Point;
use std::f64::consts::{PI, TAU};

/// The parallel of one run.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Parallel {
    /// End to end. Headings agree at every joint but where an arc was left out.
    pub arcs: Vec<Arc>,
    /// Radii of the edge's arcs that were too tight, mm.
    pub left_out: Vec<f64>,
}

/// The parallel at `distance` mm to the left of a run, which is inside an outline.
pub(crate) fn parallel(run: &Chain, distance: f64) -> Parallel {
    let mut arcs: Vec<Arc> = Vec::new();
    let mut left_out = Vec::new();
    let mut gap = false;
    for arc in run.arcs() {
        let Some(mut next) = arc.parallel(distance) else {
            left_out.push(arc.radius);
            gap = true;
            continue;
        };
        if gap {
            gap = false;
            // An arc that lies wholly beyond the crossing goes too.
            while let Some(last) = arcs.last() {
                if let Some((before, after)) = carried_together(last, &next) {
                    let place = arcs.len() - 1;
                    arcs[place] = before;
                    next = after;
                    break;
                }
                if arcs.len() == 1 {
                    break;
                }
                arcs.pop();
            }
        }
        arcs.push(next);
    }
    Parallel { arcs, left_out }
}

/// Two arcs of which the first ends and the second begins where their circles cross, as near as can be to where they
/// ended and began.
fn carried_together(one: &Arc, other: &Arc) -> Option<(Arc, Arc)> {
    let near = one.at(1.0).midpoint(other.at(0.0));
    let mut best: Option<(f64, Arc, Arc)> = None;
    for at in one.circles_meet(other) {
        let (t, u) = (one.parameter_of(at), other.parameter_of(at));
        if t > 0.0 && u < 1.0 && best.as_ref().is_none_or(|(d, ..)| at.distance(near) < *d) {
            best = Some((at.distance(near), up_to(one, t), from(other, u)));
        }
    }
    best.map(|(_, one, other)| (one, other))
}

/// The arc from its start to `t`, which may lie beyond its end.
pub(crate) fn up_to(arc: &Arc, t: f64) -> Arc {
    Arc { sweep: arc.sweep * t, ..*arc }
}

/// The arc from `t`, which may lie before its start, to its end.
pub(crate) fn from(arc: &Arc, t: f64) -> Arc {
    Arc { start: arc.start + t * arc.sweep, sweep: arc.sweep * (1.0 - t), ..*arc }
}

/// How two lines that run towards a corner meet there: `incoming` ends at it, `outgoing` begins there. Each is cut back
/// or carried on along its last arc, by `reach` mm at most. `None` where they do not come together.
pub(crate) fn meeting(incoming: &[Arc], outgoing: &[Arc], reach: f64) -> Option<Met> {
    let longer =
        |arc: &Arc| (reach / arc.length().max(1e-9)).min((0.9 * TAU / arc.sweep.abs() - 1.0).max(0.0));
    let mut found: Option<(f64, Met)> = None;
    let mut way_in = 0.0;
    let whole_out: f64 = outgoing.iter().map(Arc::length).sum();
    for (i, a) in incoming.iter().enumerate() {
        let most = if i + 1 == incoming.len() { 1.0 + longer(a) } else { 1.0 };
        let mut way_out = whole_out;
        for (j, b) in outgoing.iter().enumerate() {
            let least = if j == 0 { -longer(b) } else { 0.0 };
            for at in a.circles_meet(b) {
                let (t, u) = (within(a, at, most), within(b, at, 1.0));
                // Going out along both, the first crossing counts: beyond it they have changed sides.
                let way = way_in + t * a.length() + way_out - u * b.length();
                if (0.0..=most).contains(&t)
                    && (least..=1.0).contains(&u)
                    && found.as_ref().is_none_or(|(w, _)| way < *w)
                {
                    found = Some((way, Met { at, incoming: (i, t), outgoing: (j, u) }));
                }
            }
            way_out -= b.length();
        }
        way_in += a.length();
    }
    // What lies further in than the reach is no corner but two lines that cross elsewhere.
    found.map(|(_, met)| met).filter(|met| {
        let end = incoming.last().map(|a| a.at(1.0));
        end.is_some_and(|end| end.distance(met.at) < 3.0 * reach)
    })
}

/// As [`Arc::parameter_of`]; a place just beyond the far end that would count as before the start is put beyond it.
fn within(arc: &Arc, at: Point, most: f64) -> f64 {
    let t = arc.parameter_of(at);
    let turn = TAU / arc.sweep.abs();
    if t < 0.0 && t + turn <= most { t + turn } else { t }
}

/// Where two lines meet: the arc of each, and how far along it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Met {
    pub at: Point,
    pub incoming: (usize, f64),
    pub outgoing: (usize, f64),
}

/// The arc that leaves `start` in `heading` and passes through `to`. `None` for a place straight ahead or behind.
pub(crate) fn struck_through(start: Point, heading: f64, to: Point) -> Option<Arc> {
    let chord = to - start;
    let off = wrap_angle(chord.y.atan2(chord.x) - heading);
    let half = chord.hypot() / 2.0;
    if half < 1e-9 || off.sin().abs() < 1e-7 {
        return None;
    }
    // The angle between tangent and chord is half the angle at the centre: Euclid, Elements III.32.
    let radius = (half / off.sin()).abs();
    let towards = heading + PI.copysign(off) / 2.0;
    let centre = start + radius * direction(towards);
    Some(Arc { centre, radius, start: wrap_angle(towards + PI), sweep: 2.0 * off })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arc::Piece;

    #[test]
    fn a_parallel_keeps_its_distance() {
        let pieces = vec![Piece { radius: 60.0, sweep: 0.8 }, Piece { radius: -20.0, sweep: 0.7 }];
        let run = Chain::new(Point::ZERO, 0.0, pieces);
        for arc in parallel(&run, 4.0).arcs {
            for t in [0.0, 0.3, 1.0] {
                assert!((run.nearest(arc.at(t)).unwrap().offset - 4.0).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn an_arc_too_tight_for_its_parallel_is_left_out_and_its_neighbours_cross() {
        let pieces = vec![
            Piece { radius: 60.0, sweep: 0.5 },
            Piece { radius: 3.0, sweep: 0.9 },
            Piece { radius: 50.0, sweep: 0.5 },
        ];
        let run = Chain::new(Point::ZERO, 0.0, pieces);
        let inside = parallel(&run, 4.0);
        assert_eq!(inside.left_out, vec![3.0]);
        let [one, two] = inside.arcs[..] else { panic!("{inside:?}") };
        assert!(one.at(1.0).distance(two.at(0.0)) < 1e-9);
        for arc in [one, two] {
            for t in [0.0, 0.5, 1.0] {
                assert!(run.nearest(arc.at(t)).unwrap().offset > 4.0 - 1e-9);
            }
        }
    }

    #[test]
    fn an_arc_struck_through_a_place_takes_over_the_heading() {
        let (start, heading, to) = (Point::new(3.0, -1.0), 0.7, Point::new(9.0, 6.0));
        let arc = struck_through(start, heading, to).unwrap();
        assert!(arc.at(0.0).distance(start) < 1e-9);
        assert!(arc.at(1.0).distance(to) < 1e-9);
        assert!(wrap_angle(arc.heading(0.0) - heading).abs() < 1e-12);
    }
}
