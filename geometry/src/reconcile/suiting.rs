//! Which recipes suit a trace.

use super::fit::{Fit, fit};
use super::{Ready, Traced, Wish};
use crate::edge::corner::rib_corner;
use crate::order::sort_by_value;
use crate::outline::Corner;
use crate::recipe::Recipe;
use crate::trace::Trace;
use std::f64::consts::TAU;

/// How well a recipe suits a trace.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Suits {
    /// Index into the recipes asked about.
    pub recipe: usize,
    /// Twice the logarithm by which the best recipe of all explains the ribs better: 0 for the best. Above 6 or so
    /// there is a plain difference, above 10 a very plain one.
    /// Source of the scale: Kass, Raftery, "Bayes factors", JASA 90 (1995).
    pub behind: f64,
}

/// The recipes in the order in which they suit these ribs, best first; those that cannot be worked on them are left out.
pub fn suiting(trace: &Trace, recipes: &[Recipe], wish: &Wish) -> Vec<Suits> {
    /// Standard deviation of the logarithm of a body length about the recipe's: instruments of one kind differ by a few
    /// per cent, one kind from the next by more.
    const BODY_LENGTH: f64 = 0.04;
    let fits: Vec<(usize, Ready, Fit)> = recipes
        .iter()
        .enumerate()
        .filter_map(|(i, recipe)| {
            let ready = Ready::new(trace, recipe, wish).ok()?;
            let fit = fit(&ready.expectation, &ready.prepared, wish);
            Some((i, ready, fit))
        })
        .collect();
    let sd = fits.iter().map(|(_, _, fit)| fit.sd).fold(f64::INFINITY, f64::min);
    let mut suits: Vec<Suits> = fits
        .iter()
        .map(|(recipe, ready, fit)| {
            let size = match (ready.lengths.first(), ready.planned.first()) {
                (Some(found), Some(planned)) => ((found / planned).ln() / BODY_LENGTH).powi(2),
                _ => f64::INFINITY,
            };
            let corners = corners_astray(fit, ready, wish);
            let slips = fit.left_out.len() as f64 * of_a_slip(sd);
            Suits { recipe: *recipe, behind: fit.surprise(sd) + size + corners + slips }
        })
        .filter(|s| s.behind.is_finite())
        .collect();
    sort_by_value(&mut suits, |suit| suit.behind);
    let best = suits.first().map_or(0.0, |s| s.behind);
    for s in &mut suits {
        s.behind -= best;
    }
    suits
}

/// Twice the negative logarithm of the chance of a point that is left out, as against one that lies just where it is expected: of
/// so many points one is mis-taken, and then lies anywhere. A recipe that suits ribs badly finds them full of slips.
fn of_a_slip(sd: f64) -> f64 {
    /// Slips among points.
    const SHARE: f64 = 0.02;
    /// They lie within so many mm, all told, about where they should.
    const RANGE: f64 = 20.0;
    -2.0 * (SHARE * sd * TAU.sqrt() / RANGE).ln()
}

/// By how much the corners in which the fitted rib lines meet are not where the traced ones do: squares in standard
/// deviations, summed over the corners. With few points a run the hooks are hardly traced, and a recipe whose hooks
/// turn elsewhere can fit what was.
fn corners_astray(fit: &Fit, ready: &Ready, wish: &Wish) -> f64 {
    /// Standard deviation of a corner as first seen on the trace, mm on a violin.
    const SEEN: f64 = 5.0;
    /// Standard deviations off that count for a corner that is nowhere near.
    const NOWHERE: f64 = 4.0;
    if wish.traced != Traced::Ribs {
        return 0.0;
    }
    let length = ready.lengths.first().copied().unwrap_or_default();
    let runs = fit.runs(length);
    Corner::ALL
        .into_iter()
        .filter_map(|at| {
            let seen = ready.prepared.corners[at.index()]?;
            let (outer, waist) = (at.outer_run(), at.waist_run());
            let distances = (wish.distance(outer.bout), wish.distance(waist.bout));
            let found = rib_corner(at, &runs[outer.index()], &runs[waist.index()], distances);
            let off = found.map_or(NOWHERE, |found| found.distance(seen) / (SEEN * length / 355.0));
            Some(off.min(NOWHERE).powi(2))
        })
        .sum()
}
