//! The mould's line and the ribs' outer face, on the right half.

use super::parallel::HalfLine;
use super::{MouldError, MouldWay, MouldWish};
use crate::outline::{Bout, Run, Side};
use crate::recipe::{Construction, Dimension, Purpose, Recipe, built_in};
use crate::reconcile::Overhang;

pub(super) struct Lines {
    /// The mould's line: the inner face of the ribs.
    pub inner: HalfLine,
    /// The outer face of the ribs.
    pub outer: HalfLine,
    /// By how much a mould of its own arcs leaves the edge's parallel, where it does so most, mm.
    pub leaves_parallel: Option<f64>,
}

impl Lines {
    pub fn of(
        recipe: &Recipe,
        drawn: &Construction,
        overhang: Overhang,
        wish: &MouldWish,
    ) -> Result<Self, MouldError> {
        let rib = wish.rib_thickness;
        let edge = HalfLine::of(&drawn.outline);
        if recipe.purpose == Purpose::Mould {
            let outer = edge.parallel([-rib; 3])?;
            return Ok(Lines { inner: edge, outer, leaves_parallel: None });
        }
        let outside = Bout::ALL.map(|bout| overhang.at(bout));
        let inside = outside.map(|mm| mm + rib);
        match wish.way {
            MouldWay::Parallel => Ok(Lines {
                inner: edge.parallel(inside)?,
                outer: edge.parallel(outside)?,
                leaves_parallel: None,
            }),
            MouldWay::OwnArcs => {
                let inner = own_arcs(recipe, drawn, inside)?;
                let outer = inner.parallel([-rib; 3])?;
                let leaves_parallel = Some(leaves(&inner, drawn, inside));
                Ok(Lines { inner, outer, leaves_parallel })
            }
        }
    }
}

/// The built-in mould recipe at the plate's dimensions less what lies between edge and mould, laid where it belongs in the plate.
fn own_arcs(recipe: &Recipe, drawn: &Construction, inside: [f64; 3]) -> Result<HalfLine, MouldError> {
    let length = drawn.dimension(Dimension::BodyLength);
    let own = built_in::mould_for(recipe.instrument, length);
    let [lower, waist, upper] = inside;
    let plan = own.prepared().map_err(MouldError::OwnArcs)?;
    let mut lengths = own.lengths().map_err(MouldError::OwnArcs)?;
    for (mm, measure) in lengths.iter_mut().zip(&own.measures) {
        if let Some(dimension) = measure.dimension {
            let less = match dimension {
                Dimension::BodyLength => lower + upper,
                Dimension::LowerWidth => 2.0 * lower,
                Dimension::WaistWidth => 2.0 * waist,
                Dimension::UpperWidth => 2.0 * upper,
            };
            *mm = drawn.dimension(dimension) - less;
        }
    }
    let worked = plan.evaluate_at(&lengths).map_err(MouldError::OwnArcs)?;
    let bottom = drawn.outline.runs[0].start.y + lower;
    Ok(HalfLine::of(&worked.outline.moved(0.0, kurbo::Vec2::new(0.0, bottom))))
}

/// By how much a line leaves the parallel of the edge, where it does so most.
fn leaves(line: &HalfLine, drawn: &Construction, inside: [f64; 3]) -> f64 {
    /// Places looked at on each arc.
    const PLACES: u32 = 8;
    let mut most = 0.0_f64;
    for (bout, arcs) in Bout::ALL.into_iter().zip(&line.runs) {
        let edge = drawn.outline.run(Run { bout, side: Side::Right });
        for arc in arcs {
            for k in 0..=PLACES {
                let at = arc.at(f64::from(k) / f64::from(PLACES));
                if let Some(nearest) = edge.nearest(at) {
                    let by = inside[bout as usize] - nearest.offset;
                    if by.abs() > most.abs() {
                        most = by;
                    }
                }
            }
        }
    }
    most
}
