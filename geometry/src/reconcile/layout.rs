//! Where every parameter stands.

use super::Radii;
use super::ReconcileError;
use super::half::{Half, joined};
use super::model::{Anchor, ArcSlot, FrameSlots, Model, RunModel, Slot};
use crate::order::sort_by_value;
use crate::outline::{Bout, Run, Side};
use crate::recipe::Recipe;

/// Lays out the parameters, and returns for each side the slots of [`Half::values`].
pub(super) fn lay_out(
    half: &Half,
    circles: &[Vec<usize>; 3],
    radii: Radii,
    free_centreline: bool,
) -> (Model, [Vec<Slot>; 2]) {
    let mut size = 0;
    let mut next = || {
        size += 1;
        size - 1
    };
    let (bottom, top) = (next(), next());
    let shared: Vec<Vec<Slot>> = half.arcs.iter().map(|arcs| arcs.iter().map(|_| next()).collect()).collect();
    let mut slots_of = [Vec::new(), Vec::new()];
    let mut runs: Vec<RunModel> = Vec::new();
    for side in [Side::Right, Side::Left] {
        let radius_slots: Vec<Vec<Slot>> = match (radii, side) {
            (Radii::EachSide, Side::Left) => {
                half.arcs.iter().map(|arcs| arcs.iter().map(|_| next()).collect()).collect()
            }
            _ => shared.clone(),
        };
        let sweeps: Vec<Vec<Slot>> = Bout::ALL
            .into_iter()
            .zip(&half.arcs)
            .map(|(bout, arcs)| joined(bout, arcs.len()).map(|_| next()).collect())
            .collect();
        let waist = [next(), next(), next()];
        let mut slots = vec![bottom, top];
        slots.extend(radius_slots.iter().flatten());
        slots.extend(sweeps.iter().flatten());
        slots.extend(waist);
        slots_of[usize::from(side == Side::Left)] = slots;
        for (i, bout) in Bout::ALL.into_iter().enumerate() {
            let between = joined(bout, half.arcs[i].len());
            let arcs = half.arcs[i]
                .iter()
                .enumerate()
                .map(|(k, arc)| ArcSlot {
                    radius: radius_slots[i][k],
                    bend: arc.bend,
                    circle: circles[i][k],
                    sweep: between.contains(&k).then(|| sweeps[i][k - between.start]),
                })
                .collect();
            let anchor = match bout {
                Bout::Lower => Anchor::End { height: bottom },
                Bout::Upper => Anchor::End { height: top },
                Bout::Waist => Anchor::Joint { x: waist[0], y: waist[1], heading: waist[2] },
            };
            runs.push(RunModel { run: Run { bout, side }, anchor, arcs });
        }
    }
    let frame = free_centreline.then(|| FrameSlots { tilt: next(), shift: next() });
    sort_by_value(&mut runs, |run| run.run.index() as f64);
    let runs = runs.try_into().unwrap_or_else(|_| unreachable!("two sides of three bouts are six runs"));
    (Model { size, bottom, top, frame, runs }, slots_of)
}

/// The steps that strike the circles of each bout's run.
pub(super) fn circles_of(recipe: &Recipe) -> Result<[Vec<usize>; 3], ReconcileError> {
    let find = |names: &[String]| -> Result<Vec<usize>, ReconcileError> {
        names
            .iter()
            .map(|name| {
                recipe
                    .steps
                    .iter()
                    .position(|s| s.name == *name)
                    .ok_or_else(|| ReconcileError::CircleMissing(name.clone()))
            })
            .collect()
    };
    Ok([find(&recipe.plan.lower)?, find(&recipe.plan.waist)?, find(&recipe.plan.upper)?])
}
