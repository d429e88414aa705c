//! How far the two sides of an edge differ.

use crate::arc::{Chain, Nearest};
use crate::outline::{Bout, Outline, Run, Side};
use kurbo::Point;

/// Every so many mm along a run.
const SPACING: f64 = 1.0;

/// The one side laid over the other about the centreline.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Sides {
    /// Furthest that the two are apart, mm, whichever way.
    pub most: f64,
    /// Root of the mean square of how far they are apart, mm.
    pub mean: f64,
}

/// Lays the left side of an edge over its right. Where one run goes on beyond the end of the other nothing is compared.
pub(super) fn sides(edge: &Outline) -> Sides {
    let mut apart: Vec<f64> = Vec::new();
    for bout in Bout::ALL {
        let left = edge.run(Run { bout, side: Side::Left }).mirrored();
        let right = edge.run(Run { bout, side: Side::Right });
        let beside = left.sampled(SPACING).into_iter().filter_map(|(at, _)| {
            right.nearest(at).filter(|nearest| within(right, nearest)).map(|nearest| nearest.offset)
        });
        apart.extend(beside);
    }
    let count = apart.len().max(1) as f64;
    Sides {
        most: apart.iter().fold(0.0, |most, mm| mm.abs().max(most)),
        mean: (apart.iter().map(|mm| mm * mm).sum::<f64>() / count).sqrt(),
    }
}

fn within(chain: &Chain, nearest: &Nearest) -> bool {
    let last = chain.pieces.len().saturating_sub(1);
    !(nearest.piece == 0 && nearest.t <= 0.0 || nearest.piece == last && nearest.t >= 1.0)
}

/// From the centreline to where the bout is widest, or the waist narrowest, mm.
pub(super) fn half_width(edge: &Outline, bout: Bout, side: Side) -> f64 {
    // On a circle of 20 mm radius the place between two of these is passed by less than 0.001 mm.
    const FINE: f64 = 0.25;
    let out = |at: Point| side.sign() * at.x;
    let all = edge.run(Run { bout, side }).sampled(FINE).into_iter().map(|(at, _)| out(at));
    match bout {
        Bout::Waist => all.fold(f64::INFINITY, f64::min),
        Bout::Lower | Bout::Upper => all.fold(f64::NEG_INFINITY, f64::max),
    }
}
