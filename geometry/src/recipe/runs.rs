//! From circles that touch to a run of arcs: each circle is left at the point where it touches the next.

use super::error::LARGEST_SWEEP_DEG;
use super::tangency::Circle;
use crate::arc::Piece;
use kurbo::Point;
use std::f64::consts::TAU;

/// How far two circles may miss one another, or a corner, and still count as touching it: far below any
/// drawing's accuracy and far above the rounding of a construction's sums. In mm.
pub const CONTACT_TOLERANCE: f64 = 1e-6;

/// Which way a run turns along its first arc.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    Left,
    Right,
}

impl Turn {
    fn sign(self) -> f64 {
        match self {
            Turn::Left => 1.0,
            Turn::Right => -1.0,
        }
    }
}

/// Why circles do not make a run; `at` is the place of the circle in the run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fault {
    /// This circle and the next.
    NotTouching {
        at: usize,
        gap: f64,
    },
    SameCircle {
        at: usize,
    },
    LongWayRound {
        at: usize,
        sweep: f64,
    },
}

/// Contact points of each circle with the next, and whether the run turns the other way there: it does
/// where the circles lie side by side.
pub fn joints(circles: &[Circle]) -> Result<Vec<(Point, bool)>, Fault> {
    let mut found = Vec::with_capacity(circles.len());
    for (at, pair) in circles.windows(2).enumerate() {
        let &[one, two] = pair else { continue };
        let apart = one.centre.distance(two.centre);
        let inside = (apart - (one.radius - two.radius).abs()).abs();
        let outside = (apart - (one.radius + two.radius)).abs();
        let gap = inside.min(outside);
        if gap > CONTACT_TOLERANCE || gap.is_nan() {
            return Err(Fault::NotTouching { at, gap });
        }
        if apart <= CONTACT_TOLERANCE {
            return Err(Fault::SameCircle { at });
        }
        let contact = one.contact(two).ok_or(Fault::SameCircle { at })?;
        found.push((contact, outside < inside));
    }
    Ok(found)
}

/// The arcs from `start` to `end` along the circles, turning as told along the first.
pub fn pieces(
    circles: &[Circle],
    joints: &[(Point, bool)],
    start: Point,
    end: Point,
    first: Turn,
) -> Result<Vec<Piece>, Fault> {
    let mut turn = first.sign();
    let mut from = start;
    let ends = joints.iter().copied().chain(std::iter::once((end, false)));
    let mut made = Vec::with_capacity(circles.len());
    for (at, (circle, (to, turns_back))) in circles.iter().zip(ends).enumerate() {
        let (a, b) = (from - circle.centre, to - circle.centre);
        let sweep = (turn * a.cross(b).atan2(a.dot(b))).rem_euclid(TAU);
        if !(sweep > 1e-12 && sweep <= LARGEST_SWEEP_DEG.to_radians()) {
            return Err(Fault::LongWayRound { at, sweep });
        }
        made.push(Piece { radius: turn * circle.radius, sweep });
        from = to;
        if turns_back {
            turn = -turn;
        }
    }
    Ok(made)
}

/// As [`pieces`], for a run whose first turn is not known: the turn that passes every circle the short way.
/// Tried in the order `likely`, then the other; where neither does, the fault of the likely one stands.
pub fn pieces_either_way(
    circles: &[Circle],
    joints: &[(Point, bool)],
    start: Point,
    end: Point,
    likely: Turn,
) -> Result<Vec<Piece>, Fault> {
    let unlikely = match likely {
        Turn::Left => Turn::Right,
        Turn::Right => Turn::Left,
    };
    pieces(circles, joints, start, end, likely)
        .or_else(|fault| pieces(circles, joints, start, end, unlikely).map_err(|_| fault))
}
