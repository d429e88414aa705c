//! Where holes for cord posts, cords or clamps are bored.

use super::MouldWish;
use super::cuts::Cuts;
use super::parallel::HalfLine;
use super::recess;
use crate::arc::{Arc, left_of};
use crate::bench::shapes::{Path, Segment};
use kurbo::Point;

/// Wood left between a hole and an edge, or another hole, mm. From memory: with less, plywood breaks out.
pub(super) const WOOD: f64 = 4.0;

/// Middles of the holes, both sides, and how many had no room.
pub(super) fn bored(line: &HalfLine, cuts: &Cuts, outline: &Path, wish: &MouldWish) -> (Vec<Point>, usize) {
    let half = 0.5 * wish.holes.diameter + WOOD;
    let shape = chords(outline);
    let room = |at: Point, others: &[Point]| {
        within(&shape, at)
            && outline.segments.iter().all(|segment| distance(segment, at) >= half)
            && others.iter().all(|other| other.distance(at) >= wish.holes.diameter + WOOD)
    };
    let (mut holes, mut left_out) = (Vec::new(), 0);
    for right in behind_blocks(line, cuts, wish).into_iter().chain(along_runs(line, cuts, wish)) {
        let left = Point::new(-right.x, right.y);
        let both = if right.x.abs() < 1e-6 { vec![right] } else { vec![right, left] };
        // Both or neither: a mould is the same on both sides.
        let fits = both.iter().all(|at| room(*at, &holes))
            && (both.len() == 1 || right.distance(left) >= wish.holes.diameter + WOOD);
        if fits {
            holes.extend(both);
        } else {
            left_out += both.len();
        }
    }
    (holes, left_out)
}

fn behind_blocks(line: &HalfLine, cuts: &Cuts, wish: &MouldWish) -> Vec<Point> {
    use crate::outline::Bout::{Lower, Upper};
    let distance = wish.holes.distance;
    let behind = |cut: &Option<recess::Cut>, from: Point| {
        cut.as_ref().map(|cut| cut.inner + distance * (cut.inner - from).normalize())
    };
    [
        behind(&cuts.bottom, line.bottom()),
        behind(&cuts.top, line.top()),
        behind(&cuts.lower, line.corner(Lower)),
        behind(&cuts.upper, line.corner(Upper)),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Evenly along what the recesses leave of each run.
fn along_runs(line: &HalfLine, cuts: &Cuts, wish: &MouldWish) -> Vec<Point> {
    let count = usize::from(wish.holes.along);
    let mut holes = Vec::new();
    for (run, (from, to)) in line.runs.iter().zip(cuts.between(line)) {
        let arcs = recess::between(run, from, to);
        let length: f64 = arcs.iter().map(Arc::length).sum();
        for k in 1..=count {
            if let Some((at, heading)) = at_length(&arcs, length * k as f64 / (count + 1) as f64) {
                holes.push(at + wish.holes.distance * left_of(heading));
            }
        }
    }
    holes
}

fn at_length(arcs: &[Arc], mut s: f64) -> Option<(Point, f64)> {
    for arc in arcs {
        if s <= arc.length() {
            let t = s / arc.length();
            return Some((arc.at(t), arc.heading(t)));
        }
        s -= arc.length();
    }
    None
}

fn distance(segment: &Segment, at: Point) -> f64 {
    match segment {
        Segment::Arc(arc) => arc.distance(at),
        Segment::Line { from, to } => {
            let along = *to - *from;
            let t = ((at - *from).dot(along) / along.hypot2()).clamp(0.0, 1.0);
            at.distance(*from + t * along)
        }
    }
}

/// A closed path's corners, with points along its arcs so close that its chords leave them by less than [`WOOD`].
fn chords(path: &Path) -> Vec<Point> {
    const ALONG: u32 = 12;
    let mut points = Vec::new();
    for segment in &path.segments {
        points.push(segment.start());
        if let Segment::Arc(arc) = segment {
            points.extend((1..ALONG).map(|k| arc.at(f64::from(k) / f64::from(ALONG))));
        }
    }
    points
}

/// Whether a straight line from a point out to the right crosses a closed line an odd number of times.
fn within(line: &[Point], at: Point) -> bool {
    let mut inside = false;
    let Some(mut from) = line.last().copied() else { return false };
    for to in line {
        let level = (from.y > at.y) != (to.y > at.y);
        if level && at.x < from.x + (at.y - from.y) / (to.y - from.y) * (to.x - from.x) {
            inside = !inside;
        }
        from = *to;
    }
    inside
}
