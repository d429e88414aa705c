//! How far the two sides of an edge differ.

use crate::arc::{Chain, Nearest};
use crate::outline::{Bout, Outline, Run, Side};

/// Every so many mm along a run.
const SPACING: f64 = 0.5;

/// The one side of an edge laid over the other about the centreline.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Apart {
    /// Furthest that the two are apart, mm, whichever way.
    pub most: f64,
    /// Root of the mean square of how far they are apart, mm.
    pub rms: f64,
}

/// The sides of each bout, in the order of [`Bout::ALL`].
pub fn of_bouts(edge: &Outline) -> [Apart; 3] {
    Bout::ALL.map(|bout| apart(&offsets(edge, bout)))
}

/// The sides of the whole edge.
pub fn of_edge(edge: &Outline) -> Apart {
    apart(&Bout::ALL.map(|bout| offsets(edge, bout)).concat())
}

fn apart(offsets: &[f64]) -> Apart {
    let squares: f64 = offsets.iter().map(|mm| mm * mm).sum();
    Apart {
        most: offsets.iter().fold(0.0, |most, mm| mm.abs().max(most)),
        rms: (squares / offsets.len().max(1) as f64).sqrt(),
    }
}

/// From the one side to the other and back. Where one run goes on beyond the end of the other nothing is compared: that is
/// told by the corners.
fn offsets(edge: &Outline, bout: Bout) -> Vec<f64> {
    let left = edge.run(Run { bout, side: Side::Left }).mirrored();
    let right = edge.run(Run { bout, side: Side::Right });
    let from = |one: &Chain, to: &Chain| -> Vec<f64> {
        let nearest = one.sampled(SPACING).into_iter().filter_map(|(at, _)| to.nearest(at));
        nearest.filter(|nearest| within(to, nearest)).map(|nearest| nearest.offset).collect()
    };
    [from(&left, right), from(right, &left)].concat()
}

fn within(chain: &Chain, nearest: &Nearest) -> bool {
    let last = chain.pieces.len().saturating_sub(1);
    !(nearest.piece == 0 && nearest.t <= 0.0 || nearest.piece == last && nearest.t >= 1.0)
}

/// From the centreline to where the bout is widest, or the waist narrowest, mm.
pub fn half_width(edge: &Outline, bout: Bout, side: Side) -> f64 {
    let arcs = edge.run(Run { bout, side }).arcs();
    let out = arcs.iter().map(|arc| arc.bounds()).map(|bounds| match side {
        Side::Right => [bounds.x0, bounds.x1],
        Side::Left => [-bounds.x1, -bounds.x0],
    });
    match bout {
        Bout::Waist => out.map(|[least, _]| least).fold(f64::INFINITY, f64::min),
        Bout::Lower | Bout::Upper => out.map(|[_, most]| most).fold(f64::NEG_INFINITY, f64::max),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::violin;
    use kurbo::Vec2;

    #[test]
    fn sides_alike_are_not_apart_and_as_wide() {
        let edge = violin().evaluate().unwrap().outline;
        let all = of_edge(&edge);
        assert!(all.most < 1e-9 && all.rms < 1e-9, "{all:?}");
        assert!(of_bouts(&edge).into_iter().all(|apart| apart.most < 1e-9));
        for bout in Bout::ALL {
            let [left, right] = [Side::Left, Side::Right].map(|side| half_width(&edge, bout, side));
            assert!((left - right).abs() < 1e-9);
        }
    }

    #[test]
    fn an_edge_off_the_centreline_has_one_side_wider_and_twice_as_far_apart() {
        let edge = violin().evaluate().unwrap().outline.moved(0.0, Vec2::new(0.4, 0.0));
        for bout in Bout::ALL {
            let wider = half_width(&edge, bout, Side::Right) - half_width(&edge, bout, Side::Left);
            assert!((wider - 0.8).abs() < 1e-9, "{wider}");
        }
        for apart in of_bouts(&edge) {
            assert!((0.7..=0.8 + 1e-9).contains(&apart.most) && apart.rms < apart.most, "{apart:?}");
        }
    }
}
