//! Recesses for the blocks, on the right half of the mould: where their sides leave the mould's line.
//!
//! All sides run along the centreline or square to it, as they are marked out and sawn.

use super::MouldError;
use super::parallel::HalfLine;
use super::wish::{CornerBlock, EndBlock};
use crate::arc::Arc;
use crate::bench::shapes::Segment;
use crate::outline::Bout;
use kurbo::{Point, Vec2};

/// A place on a run: which arc, and where on it, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct OnRun {
    pub arc: usize,
    pub t: f64,
}

impl OnRun {
    pub const START: OnRun = OnRun { arc: 0, t: 0.0 };

    pub fn end(run: &[Arc]) -> OnRun {
        OnRun { arc: run.len().saturating_sub(1), t: 1.0 }
    }

    fn before(self, other: OnRun) -> bool {
        (self.arc, self.t) < (other.arc, other.t)
    }
}

/// One block's recess.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cut {
    /// The recess's sides within the mould, counter-clockwise along the mould's cut line: from where it leaves one run to
    /// where it takes up the next. Of an end block, the right half: from or to the centreline.
    pub sides: Vec<Segment>,
    /// Where the run before the recess is left, if there is one.
    pub leaves: OnRun,
    /// Where the run after it is taken up.
    pub takes_up: OnRun,
    /// The corner, or the middle, of the recess furthest inside.
    pub inner: Point,
}

/// How deep towards the centreline a corner block's recess can go, mm. Its inner side has to meet the waist where that
/// still slants enough for a saw to come out of it, not where it runs along with it.
pub(super) fn most_across(line: &HalfLine, bout: Bout) -> f64 {
    /// Of the waist's depth at this corner.
    const PART: f64 = 0.65;
    let narrowest = line.runs[1].iter().flat_map(|arc| {
        let inward = Point::new(arc.centre.x - arc.radius, arc.centre.y);
        let upright = (0.0..=1.0).contains(&arc.parameter_of(inward)).then_some(inward.x);
        [arc.at(0.0).x, arc.at(1.0).x].into_iter().chain(upright)
    });
    PART * (line.corner(bout).x - narrowest.fold(f64::INFINITY, f64::min)).max(0.0)
}

/// The recess of a corner block; none for a block of no size.
pub(super) fn corner(line: &HalfLine, bout: Bout, size: CornerBlock) -> Result<Option<Cut>, MouldError> {
    let CornerBlock { across, along } = size;
    if across <= 0.0 || along <= 0.0 {
        return Ok(None);
    }
    let misfit = || MouldError::CornerBlock { bout, across, along };
    let [lower, waist, upper] = &line.runs;
    let (outer, towards_waist) = if bout == Bout::Upper { (upper, -1.0) } else { (lower, 1.0) };
    let inner = line.corner(bout) - Vec2::new(across, towards_waist * along);
    if inner.x <= 0.0 {
        return Err(misfit());
    }
    let (out, at_outer) = first_met(outer, inner, Vec2::new(1.0, 0.0)).ok_or_else(misfit)?;
    let (up, at_waist) = first_met(waist, inner, Vec2::new(0.0, towards_waist)).ok_or_else(misfit)?;
    let side = |from, to| Segment::Line { from, to };
    Ok(Some(if bout == Bout::Upper {
        Cut { sides: vec![side(up, inner), side(inner, out)], leaves: at_waist, takes_up: at_outer, inner }
    } else {
        Cut { sides: vec![side(out, inner), side(inner, up)], leaves: at_outer, takes_up: at_waist, inner }
    }))
}

/// The right half of the recess of the block at the bottom or the top.
pub(super) fn end(line: &HalfLine, bout: Bout, size: EndBlock) -> Result<Option<Cut>, MouldError> {
    let EndBlock { width, depth } = size;
    if width <= 0.0 || depth <= 0.0 {
        return Ok(None);
    }
    let misfit = || MouldError::EndBlock { bout, width, depth };
    let [lower, _, upper] = &line.runs;
    let (run, outwards, tip) =
        if bout == Bout::Upper { (upper, 1.0, line.top()) } else { (lower, -1.0, line.bottom()) };
    let inner = Point::new(0.0, tip.y - outwards * depth);
    let turn = Point::new(0.5 * width, inner.y);
    // Where the instrument is narrower than its block, as at a viol's neck, the block reaches from side to side.
    let sideways = first_met(run, inner, Vec2::new(1.0, 0.0)).filter(|(at, _)| at.x <= turn.x);
    let side = |from, to| Segment::Line { from, to };
    let (mut sides, at) = match sideways {
        Some((met, at)) => (vec![side(inner, met)], at),
        None => {
            let (met, at) = first_met(run, turn, Vec2::new(0.0, outwards)).ok_or_else(misfit)?;
            (vec![side(inner, turn), side(turn, met)], at)
        }
    };
    if bout == Bout::Upper {
        sides.reverse();
        sides = sides.into_iter().map(|s| side(s.end(), s.start())).collect();
    }
    Ok(Some(Cut { sides, leaves: at, takes_up: at, inner }))
}

/// Whether the recesses at the two ends of a run leave some of it between them.
pub(super) fn in_order(from: OnRun, to: OnRun) -> bool {
    from.before(to)
}

/// The part of a run between two places.
pub(super) fn between(run: &[Arc], from: OnRun, to: OnRun) -> Vec<Arc> {
    let mut kept = Vec::new();
    for (k, arc) in run.iter().enumerate().take(to.arc + 1).skip(from.arc) {
        let low = if k == from.arc { from.t } else { 0.0 };
        let high = if k == to.arc { to.t } else { 1.0 };
        if high > low {
            kept.push(Arc { start: arc.start + low * arc.sweep, sweep: (high - low) * arc.sweep, ..*arc });
        }
    }
    kept
}

/// The first place of a run that is met going straight from a point.
fn first_met(run: &[Arc], from: Point, towards: Vec2) -> Option<(Point, OnRun)> {
    let mut nearest: Option<(f64, Point, OnRun)> = None;
    for (k, arc) in run.iter().enumerate() {
        let to_centre = arc.centre - from;
        let along = to_centre.dot(towards);
        let half = arc.radius * arc.radius - to_centre.cross(towards).powi(2);
        if half < 0.0 {
            continue;
        }
        for far in [along - half.sqrt(), along + half.sqrt()] {
            let at = from + far * towards;
            let t = arc.parameter_of(at);
            if far > 1e-6
                && (-1e-9..=1.0 + 1e-9).contains(&t)
                && nearest.is_none_or(|(least, ..)| far < least)
            {
                nearest = Some((far, at, OnRun { arc: k, t: t.clamp(0.0, 1.0) }));
            }
        }
    }
    nearest.map(|(_, at, on)| (at, on))
}
