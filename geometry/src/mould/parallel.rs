//! Parallels of the right half of an outline: each run at its own distance, carried on or cut back to where neighbouring
//! runs meet.
//!
//! The parallel of an arc is an arc about the same centre. Where an arc that bends around the inside is tighter than the distance
//! its parallel vanishes, and its two neighbours go on to where they meet.

use super::MouldError;
use crate::arc::{Arc, wrap_angle};
use crate::outline::{Bout, Outline};
use kurbo::Point;
use std::f64::consts::{FRAC_PI_2, PI, TAU};

/// The right half of a line, counter-clockwise: from the bottom of the centreline to its top.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct HalfLine {
    /// Lower, waist, upper; each of arcs end to end, though not always without a kink.
    pub runs: [Vec<Arc>; 3],
    /// Arcs whose parallel has vanished: the bout and the radius they had, mm.
    pub vanished: Vec<(Bout, f64)>,
}

impl HalfLine {
    pub fn of(outline: &Outline) -> Self {
        let [lower, waist, upper, ..] = &outline.runs;
        HalfLine { runs: [lower.arcs(), waist.arcs(), upper.arcs()], vanished: Vec::new() }
    }

    pub fn bottom(&self) -> Point {
        self.runs[0].first().map_or(Point::ZERO, |arc| arc.at(0.0))
    }

    pub fn top(&self) -> Point {
        self.runs[2].last().map_or(Point::ZERO, |arc| arc.at(1.0))
    }

    pub fn corner(&self, bout: Bout) -> Point {
        let [_, waist, upper] = &self.runs;
        match bout {
            Bout::Upper => upper.first().map_or(Point::ZERO, |arc| arc.at(0.0)),
            _ => waist.first().map_or(Point::ZERO, |arc| arc.at(0.0)),
        }
    }

    /// The parallel so far inside (negative: outside), lower, waist and upper each at its own distance.
    pub fn parallel(&self, distances: [f64; 3]) -> Result<HalfLine, MouldError> {
        let mut vanished = Vec::new();
        let mut runs: [Vec<Arc>; 3] = Default::default();
        for (bout, (distance, made)) in Bout::ALL.into_iter().zip(distances.into_iter().zip(&mut runs)) {
            *made = parallel_run(&self.runs[bout as usize], bout, distance, &mut vanished)?;
        }
        let [lower, waist, upper] = &mut runs;
        let [low, middle, high] = distances;
        // Going outside, the hooks of a sharp corner may bend away from one another and never meet: the ribs' ends then
        // stand apart by about their own thickness, and the corner is closed straight across.
        if meet(lower, waist).is_none() && (low > 0.0 || middle > 0.0) {
            return Err(MouldError::DoNotMeet { bout: Bout::Lower });
        }
        if meet(waist, upper).is_none() && (middle > 0.0 || high > 0.0) {
            return Err(MouldError::DoNotMeet { bout: Bout::Upper });
        }
        Ok(HalfLine { runs, vanished })
    }
}

/// The image in the centreline, travelled so that its inside stays on the same hand.
pub(super) fn mirrored(arc: &Arc) -> Arc {
    Arc {
        centre: Point::new(-arc.centre.x, arc.centre.y),
        start: wrap_angle(PI - arc.start - arc.sweep),
        ..*arc
    }
}

fn parallel_run(
    arcs: &[Arc],
    bout: Bout,
    distance: f64,
    vanished: &mut Vec<(Bout, f64)>,
) -> Result<Vec<Arc>, MouldError> {
    let (kept, mut made): (Vec<usize>, Vec<Arc>) =
        arcs.iter().enumerate().filter_map(|(k, arc)| Some((k, arc.parallel(distance)?))).unzip();
    let gone = |k: usize| MouldError::Collapsed { bout, radius: arcs[k].radius, distance };
    for k in (0..arcs.len()).filter(|k| !kept.contains(k)) {
        vanished.push((bout, arcs[k].radius));
        let at = arcs[k].at(0.5);
        let after = kept.partition_point(|other| *other < k);
        match (after.checked_sub(1), after < made.len()) {
            // Another of the same gap may have joined them already.
            (Some(before), true) => {
                let (one, two) = made.split_at_mut(after);
                join(&mut one[before], &mut two[0], at).ok_or_else(|| gone(k))?;
            }
            // At the end of a run its neighbour goes on alone: to the centreline, or to the corner, which `meet` sees to.
            (None, true) if bout == Bout::Lower => {
                let meets = upright_meeting(&made[0], at).ok_or_else(|| gone(k))?;
                begin_at(&mut made[0], meets).ok_or_else(|| gone(k))?;
            }
            (Some(before), false) if bout == Bout::Upper => {
                let meets = upright_meeting(&made[before], at).ok_or_else(|| gone(k))?;
                end_at(&mut made[before], meets).ok_or_else(|| gone(k))?;
            }
            (None, false) => return Err(gone(k)),
            _ => {}
        }
    }
    Ok(made)
}

/// Where the circle of an arc crosses the centreline, of two places the one nearer to `at`.
fn upright_meeting(arc: &Arc, at: Point) -> Option<Point> {
    let square = arc.radius * arc.radius - arc.centre.x * arc.centre.x;
    let up = (square >= 0.0).then(|| square.sqrt())?;
    [up, -up]
        .map(|up| Point::new(0.0, arc.centre.y + up))
        .into_iter()
        .min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))
}

/// Lets one arc end and the next begin where their circles cross, near `at`.
fn join(one: &mut Arc, two: &mut Arc, at: Point) -> Option<()> {
    let near = one.circles_meet(two).into_iter().min_by(|a, b| a.distance(at).total_cmp(&b.distance(at)))?;
    end_at(one, near)?;
    begin_at(two, near)
}

/// More than this an arc does not turn: one that would has been passed from its wrong end.
const MOST_SWEEP: f64 = 1.5 * PI;

fn end_at(arc: &mut Arc, at: Point) -> Option<()> {
    let from = arc.at(0.0) - arc.centre;
    let to = at - arc.centre;
    let sweep = (arc.sweep.signum() * from.cross(to).atan2(from.dot(to))).rem_euclid(TAU);
    arc.sweep = (sweep < MOST_SWEEP).then(|| sweep.copysign(arc.sweep))?;
    Some(())
}

fn begin_at(arc: &mut Arc, at: Point) -> Option<()> {
    let (from, to) = (at - arc.centre, arc.at(1.0) - arc.centre);
    let sweep = (arc.sweep.signum() * from.cross(to).atan2(from.dot(to))).rem_euclid(TAU);
    if sweep >= MOST_SWEEP {
        return None;
    }
    arc.start = from.y.atan2(from.x);
    arc.sweep = sweep.copysign(arc.sweep);
    Some(())
}

/// A place where two runs meet at a corner, told from the corner.
struct Meeting {
    one: usize,
    two: usize,
    at: Point,
    /// How far the runs have to be carried on beyond their ends to get there, mm; nothing where they cross before.
    beyond: f64,
    /// How much of the two is cut off, mm.
    off: f64,
}

/// Cuts both runs back, or carries their last arcs on, to where they meet: of several crossings the innermost, since
/// the circles of hooks cross a second time further out. `None` where they meet nowhere.
fn meet(one: &mut Vec<Arc>, two: &mut Vec<Arc>) -> Option<()> {
    let mut found: Vec<Meeting> = Vec::new();
    let mut off_one = 0.0;
    for (i, a) in one.iter().enumerate().rev() {
        let mut off_two = 0.0;
        for (j, b) in two.iter().enumerate() {
            // The last arcs may be carried on, but by no more than a quarter of a turn.
            let carried_one = if i + 1 == one.len() { FRAC_PI_2 / a.sweep.abs() } else { 0.0 };
            let carried_two = if j == 0 { FRAC_PI_2 / b.sweep.abs() } else { 0.0 };
            for at in a.circles_meet(b) {
                let (t, u) = (a.parameter_of(at), b.parameter_of(at));
                if (-1e-12..=1.0 + carried_one).contains(&t) && (-carried_two..=1.0 + 1e-12).contains(&u) {
                    let beyond = (t - 1.0).max(0.0) * a.length() + (-u).max(0.0) * b.length();
                    let off = off_one + (1.0 - t).max(0.0) * a.length() + off_two + u.max(0.0) * b.length();
                    found.push(Meeting { one: i, two: j, at, beyond, off });
                }
            }
            off_two += b.length();
        }
        off_one += a.length();
    }
    // Rounding may put a corner that is met exactly a hair beyond an end.
    let near = |m: &Meeting| if m.beyond < 1e-6 { 0.0 } else { m.beyond };
    let best = found.into_iter().min_by(|a, b| near(a).total_cmp(&near(b)).then(b.off.total_cmp(&a.off)))?;
    one.truncate(best.one + 1);
    two.drain(..best.two);
    end_at(one.last_mut()?, best.at)?;
    begin_at(two.first_mut()?, best.at)
}
