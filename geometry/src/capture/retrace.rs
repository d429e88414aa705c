//! The ribs traced again later, as for the front once the back is on: the two results laid over one another, and where they differ.

use crate::order::sort_by_value;
use crate::outline::{Corner, Outline, Run, Side};
use crate::recipe::Recipe;
use crate::reconcile::report::Reconciled;
use crate::reconcile::{Finish, Radii, ReconcileError, Traced, Wish, reconcile};
use crate::trace::{Frame, Pins, Trace, TracedPoint};
use kurbo::{Affine, Point, Vec2};
use nalgebra::{Matrix3, Vector3};

/// Between the places at which the two are compared, mm.
const EVERY: f64 = 4.0;
/// Steps in which the laying over settles, each with a reach of so many times that before.
const STEPS: usize = 24;
const NARROWER: f64 = 0.85;
/// Places that differ by more have less say in how the two lie over one another, mm, at first and in the end: a bout that moved is
/// to be seen where it did, not to be shared out over the whole.
const REACH: (f64, f64) = (1.0, 0.15);
/// Nearer to a corner the one line ends sooner than the other, mm.
const FROM_CORNER: f64 = 6.0;

impl Trace {
    /// As it is seen from the other face: left and right change places.
    pub fn mirrored(&self) -> Trace {
        let over = |p: Point| Point::new(-p.x, p.y);
        let points = self.points.iter().map(|point| TracedPoint {
            at: over(point.at),
            run: point.run.map(|run| Run { side: run.side.opposite(), ..run }),
            side: point.side.map(Side::opposite),
            ..*point
        });
        let pins = Pins { lower: self.pins.lower.map(over), upper: self.pins.upper.map(over) };
        Trace { points: points.collect(), pins }
    }
}

/// How one run differs, mm; positive where the second lies further out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RunDiffers {
    pub run: Run,
    pub mean: f64,
    /// The greatest difference either way, and where, in the frame of the first.
    pub most: f64,
    pub at: Point,
}

/// How far one corner moved, mm, and where it was, both in the frame of the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerMoved {
    pub corner: Corner,
    pub by: Vec2,
    pub at: Point,
}

/// Two results of the same ribs, laid over one another.
#[derive(Debug, Clone, PartialEq)]
pub struct Retraced {
    /// Takes the second into the frame of the first.
    pub onto: Frame,
    /// The greatest difference first, of these and of the corners.
    pub runs: Vec<RunDiffers>,
    pub corners: Vec<CornerMoved>,
    /// Root mean square over all, mm.
    pub rms: f64,
}

/// The line of a trace itself, for [`retraced`]: each side by itself and as it was fitted, so that nothing of what is found in one place
/// is shared out, and with no overhang, which is a wish and not the ribs'.
///
/// # Errors
/// As [`reconcile`].
pub fn traced_line(trace: &Trace, recipe: &Recipe, wish: &Wish) -> Result<Reconciled, ReconcileError> {
    let wish = Wish { traced: Traced::Edge, finish: Finish::Fitted, radii: Radii::EachSide, ..*wish };
    reconcile(trace, recipe, &wish)
}

/// Lays the second result over the first and tells where they differ. Both are to be seen from the same face: see
/// [`Trace::mirrored`].
pub fn retraced(first: &Reconciled, second: &Reconciled) -> Retraced {
    let (one, other) = (&first.edge.outline, &second.edge.outline);
    let places: Vec<(Run, Point)> = Run::ALL
        .into_iter()
        .flat_map(|run| other.run(run).sampled(EVERY).into_iter().map(move |(at, _)| (run, at)))
        .filter(|(_, at)| {
            second.edge.corners.iter().all(|c| c.outer.midpoint(c.waist).distance(*at) > FROM_CORNER)
        })
        .collect();
    let mut onto = Frame { origin: Point::ORIGIN, angle: 0.0 };
    let mut reach = REACH.0;
    for _ in 0..STEPS {
        match step(one, &places, onto, reach) {
            Some(next) => onto = next,
            None => break,
        }
        reach = (NARROWER * reach).max(REACH.1);
    }
    let mut runs = Vec::new();
    let (mut squares, mut count) = (0.0, 0usize);
    for run in Run::ALL {
        let offs: Vec<(f64, Point)> = places
            .iter()
            .filter(|(of, _)| *of == run)
            .filter_map(|(_, at)| {
                let at = onto.to_given(*at);
                // A chain has the inside of the plate to its left.
                Some((-one.run(run).nearest(at)?.offset, at))
            })
            .collect();
        squares += offs.iter().map(|(off, _)| off * off).sum::<f64>();
        count += offs.len();
        let most = offs.iter().max_by(|a, b| a.0.abs().total_cmp(&b.0.abs()));
        if let Some((most, at)) = most {
            let mean = offs.iter().map(|(off, _)| off).sum::<f64>() / offs.len() as f64;
            runs.push(RunDiffers { run, mean, most: *most, at: *at });
        }
    }
    sort_by_value(&mut runs, |differs| -differs.most.abs());
    let moved = Corner::ALL.map(|corner| {
        let end = |of: &Reconciled| {
            let cut = of.edge.corners[corner.index()];
            cut.outer.midpoint(cut.waist)
        };
        let at = end(first);
        CornerMoved { corner, by: onto.to_given(end(second)) - at, at }
    });
    let mut corners = moved.to_vec();
    sort_by_value(&mut corners, |moved| -moved.by.hypot());
    Retraced { onto, runs, corners, rms: (squares / count.max(1) as f64).sqrt() }
}

/// A better laying over, by least squares of the distances across the line.
fn step(one: &Outline, places: &[(Run, Point)], onto: Frame, reach: f64) -> Option<Frame> {
    let mut normal = Matrix3::<f64>::from_diagonal_element(1e-9);
    let mut right = Vector3::zeros();
    for (run, at) in places {
        let p = onto.to_given(*at);
        let Some(nearest) = one.run(*run).nearest(p) else { continue };
        let away = p - nearest.point;
        let off = away.hypot();
        if off < 1e-12 {
            continue;
        }
        let n = away / off;
        let weight = (1.0 + (off / reach).powi(2)).powi(-2);
        // Turned about the origin of the first.
        let row = Vector3::new(n.x, n.y, n.y * p.x - n.x * p.y);
        normal += row * row.transpose() * weight;
        right -= row * (weight * off);
    }
    let step = normal.cholesky()?.solve(&right);
    let motion = Affine::translate((step.x, step.y)) * Affine::rotate(step.z);
    let next = Frame { origin: motion * onto.origin, angle: onto.angle + step.z };
    (next.origin.x.is_finite() && next.origin.y.is_finite() && next.angle.is_finite()).then_some(next)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::violin;
    use crate::trace::HowTaken;
    use crate::trace::simulated::{Dice, RibLines, template};

    /// Ribs with this much more width of the upper bout on the right, traced with noise, turned and shifted.
    fn traced(wider: f64, seed: u64, turn: f64) -> Trace {
        let lines = RibLines::inside(&template(), 2.5).warped(|p| {
            let upper = ((p.y - 250.0) / 40.0).clamp(0.0, 1.0) * ((345.0 - p.y) / 30.0).clamp(0.0, 1.0);
            Vec2::new(if p.x > 40.0 { wider * upper } else { 0.0 }, 0.0)
        });
        taken(&lines, seed, turn)
    }

    fn taken(lines: &RibLines, seed: u64, turn: f64) -> Trace {
        let mut dice = Dice(seed);
        let motion = Affine::translate((12.0 * turn, -7.0)) * Affine::rotate(turn);
        let mut points = Vec::new();
        for (run, line) in Run::ALL.into_iter().zip(&lines.0) {
            for p in line.iter().step_by(24) {
                let at = motion * (*p + Vec2::new(dice.normal(), dice.normal()) * 0.05);
                let line = points.len() + 1;
                points.push(TracedPoint {
                    at,
                    run: Some(run),
                    side: None,
                    line,
                    taken: HowTaken::Given,
                    sd: None,
                });
            }
        }
        Trace { points, pins: Pins::default() }
    }

    fn worked(trace: &Trace) -> Reconciled {
        let recipe = violin();
        traced_line(trace, &recipe, &Wish::customary(&recipe)).unwrap()
    }

    #[test]
    fn the_same_ribs_traced_again_from_the_other_face_differ_by_noise_only() {
        let found = retraced(&worked(&traced(0.0, 1, 0.0)), &worked(&traced(0.0, 2, 0.4)));
        assert!(found.rms < 0.1, "{}", found.rms);
        let mirrored = traced(0.0, 3, 0.2).mirrored();
        let seen_from_behind = worked(&mirrored);
        let again = retraced(&worked(&traced(0.0, 1, 0.0)), &worked(&mirrored.mirrored()));
        assert!(again.rms < 0.1 && again.corners.iter().all(|moved| moved.by.hypot() < 0.7), "{again:?}");
        assert!(seen_from_behind.edge.outline.bounds().width() > 195.0);
    }

    #[test]
    fn of_any_bout_that_moved_it_is_told_that_it_did_and_of_no_other() {
        for run in Run::ALL {
            let mut lines = RibLines::inside(&template(), 2.5);
            let before = worked(&taken(&lines, 11, 0.1));
            let line = &mut lines.0[run.index()];
            let count = line.len() as f64;
            for (k, p) in line.iter_mut().enumerate() {
                // Less towards its ends, as ribs held by blocks are moved.
                p.x += run.side.sign() * (2.0 * (k as f64 / count * std::f64::consts::PI).sin()).min(1.0);
            }
            let found = retraced(&before, &worked(&taken(&lines, 12, -0.2)));
            for told in &found.runs {
                let fits = if told.run == run { told.most > 0.6 } else { told.mean.abs() < 0.12 };
                assert!(fits, "{run}: {told:?}");
            }
        }
    }

    #[test]
    fn another_overhang_makes_no_other_ribs() {
        let recipe = violin();
        let trace = traced(0.0, 4, 0.1);
        let wide = Wish { overhang: crate::reconcile::Overhang::even(3.5), ..Wish::customary(&recipe) };
        let found = retraced(&worked(&trace), &traced_line(&trace, &recipe, &wide).unwrap());
        assert!(found.rms < 0.02, "{found:?}");
    }

    #[test]
    fn a_bout_that_has_moved_is_told_where_and_by_how_much() {
        let found = retraced(&worked(&traced(0.0, 1, 0.0)), &worked(&traced(1.2, 2, 0.3)));
        let upper_right = Run::ALL[2];
        // The first is the one that matters.
        let most = found.runs[0];
        assert_eq!(most.run, upper_right, "{:?}", found.runs);
        assert!(most.at.x > 60.0 && most.at.y > 240.0, "{:?}", most.at);
        assert!((0.8..1.5).contains(&most.most), "{}", most.most);
        let others = found.runs.iter().filter(|runs| runs.run != upper_right);
        let others = others.map(|runs| runs.mean.abs()).fold(0.0, f64::max);
        assert!(others < 0.15, "{others} mm where nothing moved: {:?}", found.runs);
    }
}
