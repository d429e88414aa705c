//! Half an outline in the terms of the model: what a recipe's construction makes of the parameters.

use crate::outline::{Bout, Outline};

/// An arc of the recipe's half outline in the frame of its run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct HalfArc {
    pub log_radius: f64,
    pub bend: f64,
    pub log_sweep: f64,
}

/// The right half of an outline in the terms of the model.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Half {
    pub bottom: f64,
    pub top: f64,
    pub arcs: [Vec<HalfArc>; 3],
    /// x, y, heading.
    pub waist: [f64; 3],
}

impl Half {
    pub fn of(outline: &Outline) -> Option<Half> {
        let [lower, waist, upper, ..] = &outline.runs;
        let arc = |p: &crate::arc::Piece| HalfArc {
            log_radius: p.radius.abs().ln(),
            bend: p.radius.signum(),
            log_sweep: p.sweep.max(1e-4).ln(),
        };
        let waist_arcs = waist.arcs();
        let first = waist_arcs.first()?;
        let at = if waist_arcs.len() > 1 { 1.0 } else { 0.5 };
        let joint = first.at(at);
        let heading = first.heading(at);
        Some(Half {
            bottom: lower.start.y,
            top: upper.end().y,
            arcs: [
                lower.pieces.iter().map(arc).collect(),
                waist.pieces.iter().map(arc).collect(),
                upper.pieces.iter().rev().map(arc).collect(),
            ],
            waist: [joint.x, joint.y, heading],
        })
    }

    /// Whether another half has the same arcs bending the same ways, so that their values can be compared.
    pub fn is_like(&self, other: &Half) -> bool {
        self.arcs
            .iter()
            .zip(&other.arcs)
            .all(|(a, b)| a.len() == b.len() && a.iter().zip(b).all(|(x, y)| x.bend == y.bend))
    }

    /// All values in a fixed order: bottom, top, radii, sweeps between joints, place of the waist.
    pub fn values(&self) -> Vec<f64> {
        let mut values = vec![self.bottom, self.top];
        values.extend(self.arcs.iter().flatten().map(|a| a.log_radius));
        for (bout, arcs) in Bout::ALL.into_iter().zip(&self.arcs) {
            values.extend(joined(bout, arcs.len()).map(|k| arcs[k].log_sweep));
        }
        values.extend(self.waist);
        values
    }
}

/// Indices of the arcs of a run that lie between two joints.
pub(super) fn joined(bout: Bout, count: usize) -> std::ops::Range<usize> {
    match bout {
        Bout::Waist => 1..count.saturating_sub(1).max(1),
        Bout::Lower | Bout::Upper => 0..count.saturating_sub(1),
    }
}
