//! Ribs that never were: a plate edge known exactly, and the trace of ribs an overhang inside it.
//!
//! The truth is made from a recipe whose dimensions and radii are off, each side for itself; ribs, pins and the
//! unsteady hand are added. Nothing of the reconciling is used in making them.

use kurbo::{Affine, Point, Vec2};
use rand_distr::num_traits::Zero;
use rand_distr::{Distribution, Normal};
use ribline_geometry::arc::{Chain, Piece, left_of};
use ribline_geometry::outline::{Bout, Corner, Outline, Run, Side};
use ribline_geometry::recipe::{Action, Recipe, Size};
use ribline_geometry::reconcile::report::Reconciled;
use ribline_geometry::trace::{HowTaken, Pins, Trace, TracedPoint};

pub use rand::{RngExt, SeedableRng, rngs::StdRng};

/// How ribs and tracing depart from the plan; standard deviations in mm.
#[derive(Debug, Clone, Copy)]
pub struct Departures {
    /// Of every measure, half of it on each side by itself.
    pub dimensions: f64,
    /// Of every radius, alike on both sides.
    pub radii: f64,
    /// Of every radius, on each side by itself.
    pub radii_each_side: f64,
    /// Of a traced point, in each direction.
    pub noise: f64,
    /// Points in each run.
    pub points: usize,
    pub overhang: f64,
    /// Amplitude of a smooth waviness of the ribs that no arcs contain.
    pub wobble: f64,
    /// Share of points that are 5 mm off.
    pub mistaken: f64,
}

impl Default for Departures {
    fn default() -> Self {
        Departures {
            dimensions: 1.0,
            radii: 2.0,
            radii_each_side: 0.0,
            noise: 0.15,
            points: 30,
            overhang: 2.5,
            wobble: 0.0,
            mistaken: 0.0,
        }
    }
}

/// The edge as it truly is, and what a maker traced.
pub struct Simulated {
    pub edge: Outline,
    pub trace: Trace,
    /// The true line of the ribs, in the order of [`Run::ALL`], without the hand's unsteadiness.
    pub ribs: [Vec<Point>; 6],
    /// Indices of the points that were moved off.
    pub mistaken: Vec<usize>,
}

/// A slip of this standard deviation.
pub fn normal(rng: &mut StdRng, sd: f64) -> f64 {
    if sd.is_zero() { 0.0 } else { Normal::new(0.0, sd).expect("a positive standard deviation").sample(rng) }
}

/// A true edge: the recipe with its dimensions and radii off. Tries until the construction can be worked on both sides.
pub fn true_edge(recipe: &Recipe, departures: &Departures, rng: &mut StdRng) -> Outline {
    let plan = recipe.prepared().expect("a sound recipe");
    let planned = recipe.lengths().expect("a sound recipe");
    for _ in 0..500 {
        let shared = 0.5_f64.sqrt() * departures.dimensions;
        let alike: Vec<f64> = planned.iter().map(|_| normal(rng, shared)).collect();
        let radii: Vec<f64> = recipe.steps.iter().map(|_| normal(rng, departures.radii)).collect();
        let mut halves = Vec::new();
        for _ in Side::BOTH {
            let lengths: Vec<f64> = planned
                .iter()
                .zip(&alike)
                .enumerate()
                .map(|(j, (l, d))| l + d + if j == 0 { 0.0 } else { normal(rng, shared) })
                .collect();
            let eased: Vec<[f64; 2]> = recipe
                .steps
                .iter()
                .zip(&radii)
                .map(|(step, radius)| match &step.action {
                    Action::Circle { radius: Size::Ratio { ratio, of }, .. } => {
                        let j = recipe.measures.iter().position(|m| m.name == *of).expect("a known measure");
                        // The same compass setting on both sides, whatever their widths.
                        let own = normal(rng, departures.radii_each_side);
                        [ratio.of(planned[j] - lengths[j]) + radius + own, 0.0]
                    }
                    Action::Circle { .. } => [*radius, 0.0],
                    Action::Point { .. } => [normal(rng, shared), normal(rng, shared)],
                })
                .collect();
            // The two ends of the centreline are points of the plan that all steps share.
            let eased = eased
                .into_iter()
                .zip(&recipe.steps)
                .map(|(e, step)| match &step.action {
                    Action::Point { out: None, .. } => [0.0, 0.0],
                    _ => e,
                })
                .collect::<Vec<_>>();
            match plan.outline_eased(&lengths, &eased) {
                Ok(outline) => halves.push(outline),
                Err(_) => break,
            }
        }
        if let [right, left] = &halves[..] {
            let [a, b, c, ..] = right.runs.clone();
            let [.., d, e, f] = left.runs.clone();
            let outline = Outline { runs: [a, b, c, d, e, f] };
            if outline.self_crossing().is_none() && sound(&outline) {
                return outline;
            }
        }
    }
    panic!("500 tries made no edge");
}

/// Every arc long enough to be struck, and every hook wider than its parallel.
fn sound(outline: &Outline) -> bool {
    outline
        .runs
        .iter()
        .all(|run| run.pieces.iter().all(|p| p.sweep > 0.02 && p.radius.abs() > 6.0 && p.sweep < 2.6))
}

/// Distance between the points of a rib line, mm.
const DENSE: f64 = 0.05;

/// The line of the ribs within each run, densely: the edge's parallel, from where the parallels of neighbouring
/// runs meet.
pub fn rib_lines(edge: &Outline, overhang: f64) -> [Vec<Point>; 6] {
    let dense = Run::ALL.map(|run| {
        let chain = carried_on(edge.run(run), run, 12.0);
        let offset = chain.offset(overhang).expect("no arc is tighter than the overhang");
        offset.sampled(DENSE).into_iter().map(|(p, _)| p).collect::<Vec<_>>()
    });
    let mut kept = dense.each_ref().map(|line| 0..line.len());
    for corner in Corner::ALL {
        let (outer, waist) = (corner.outer_run().index(), corner.waist_run().index());
        let outer_ends_here = matches!(corner, Corner::LowerRight | Corner::UpperLeft);
        let (before, after) = if outer_ends_here { (outer, waist) } else { (waist, outer) };
        let (i, j) = meeting(&dense[before], &dense[after]);
        kept[before].end = i + 1;
        kept[after].start = j;
    }
    let mut kept = kept.into_iter();
    dense.map(|line| line[kept.next().expect("a part of each line")].to_vec())
}

/// A run with its arcs lengthened by so many mm at its corner ends.
fn carried_on(chain: &Chain, run: Run, by: f64) -> Chain {
    let start = run.bout == Bout::Waist || (run.bout == Bout::Upper) == (run.side == Side::Right);
    let end = run.bout == Bout::Waist || !start;
    let lengthen = |chain: &Chain| {
        let mut longer = chain.clone();
        if let Some(Piece { radius, sweep }) = longer.pieces.last_mut() {
            *sweep += by / radius.abs();
        }
        longer
    };
    let chain = if end { lengthen(chain) } else { chain.clone() };
    if start { lengthen(&chain.reversed()).reversed() } else { chain }
}

/// Where one dense line crosses the next near the end by which they meet, as indices into both: of several crossings the one
/// furthest from their tips, since hooks carried on may cross again further out. Lines that never cross meet where they are closest.
fn meeting(before: &[Point], after: &[Point]) -> (usize, usize) {
    const STEP: usize = 20;
    const REACH: usize = 80;
    let last = before.len() - 1;
    // Both from the tip inwards.
    let ours = |k: usize| last - k.min(last);
    let theirs = |k: usize| k.min(after.len() - 1);
    let crossing = (0..REACH)
        .flat_map(|a| (0..REACH).map(move |b| (a, b)))
        .filter(|(a, b)| {
            let line = |k: usize| [before[ours(k * STEP)], before[ours((k + 1) * STEP)]];
            let other = |k: usize| [after[theirs(k * STEP)], after[theirs((k + 1) * STEP)]];
            cross(line(*a), other(*b))
        })
        .max_by_key(|(a, b)| a + b);
    let (a, b) = crossing.map_or((0..REACH * STEP, 0..REACH * STEP), |(a, b)| {
        (a * STEP..(a + 1) * STEP + 1, b * STEP..(b + 1) * STEP + 1)
    });
    let pairs = a.flat_map(|a| b.clone().map(move |b| (ours(a), theirs(b))));
    let apart = |(i, j): &(usize, usize)| before[*i].distance_squared(after[*j]);
    pairs.min_by(|one, other| apart(one).total_cmp(&apart(other))).expect("two lines have points")
}

/// Whether two straight pieces cross.
fn cross([a, b]: [Point; 2], [c, d]: [Point; 2]) -> bool {
    let side = |from: Point, to: Point, p: Point| (to - from).cross(p - from);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Traces the ribs of an edge.
pub fn traced(edge: &Outline, departures: &Departures, rng: &mut StdRng) -> Simulated {
    let mut ribs = rib_lines(edge, departures.overhang);
    if departures.wobble > 0.0 {
        for line in &mut ribs {
            // Held by the blocks, ribs do not leave their line at the ends of a run.
            let half_waves = f64::from(rng.random_range(2..=5_u8));
            let way = if rng.random_bool(0.5) { 1.0 } else { -1.0 };
            let count = line.len().max(2);
            let moved = (0..line.len())
                .map(|i| {
                    let (a, b) = (line[i.saturating_sub(1)], line[(i + 1).min(count - 1)]);
                    let along = b - a;
                    let across = left_of(along.y.atan2(along.x));
                    let t = i as f64 / count as f64;
                    line[i] + departures.wobble * way * (std::f64::consts::PI * half_waves * t).sin() * across
                })
                .collect();
            *line = moved;
        }
    }
    let mut points = Vec::new();
    let mut mistaken = Vec::new();
    for (run, line) in Run::ALL.into_iter().zip(&ribs) {
        let n = departures.points;
        for i in 0..n {
            let at = (i as f64 + 0.5) / n as f64 * (line.len() - 1) as f64;
            let true_point = line[at.round() as usize];
            let mut at = true_point + Vec2::new(normal(rng, departures.noise), normal(rng, departures.noise));
            if rng.random_bool(departures.mistaken) {
                let way: f64 = rng.random_range(0.0..std::f64::consts::TAU);
                at += 5.0 * Vec2::new(way.cos(), way.sin());
                mistaken.push(points.len());
            }
            points.push(TracedPoint {
                at,
                run: Some(run),
                side: None,
                line: points.len() + 4,
                taken: HowTaken::Given,
                sd: None,
            });
        }
    }
    let pins = Pins {
        lower: Some(Point::new(0.0, edge.runs[0].start.y + 10.0)),
        upper: Some(Point::new(0.0, edge.runs[2].end().y - 12.0)),
    };
    Simulated { edge: edge.clone(), trace: Trace { points, pins }, ribs, mistaken }
}

/// Turns and shifts a trace.
pub fn moved(trace: &Trace, angle: f64, shift: Vec2) -> Trace {
    let motion = Affine::translate(shift) * Affine::rotate(angle);
    let mut trace = trace.clone();
    for p in &mut trace.points {
        p.at = motion * p.at;
    }
    trace.pins.lower = trace.pins.lower.map(|p| motion * p);
    trace.pins.upper = trace.pins.upper.map(|p| motion * p);
    trace
}

/// How far an edge found leaves the true one.
#[derive(Debug, Clone, Copy)]
pub struct Misfit {
    /// Root mean square over the whole edge, mm.
    pub rms: f64,
    /// Largest, away from the corner ends, mm.
    pub worst: f64,
}

/// Compares an edge with the truth at points 1 mm apart, up to the corners' own ends. `found` and `truth` in one frame.
pub fn misfit(truth: &Outline, found: &Outline) -> Misfit {
    // On a violin; as much longer on a larger body.
    let near_corner = 20.0 * truth.bounds().height() / 355.0;
    let (mut squares, mut count, mut worst) = (0.0, 0.0, 0.0_f64);
    let corners: Vec<Point> = Corner::ALL.iter().map(|c| found.cut(*c)).map(|(a, b)| a.midpoint(b)).collect();
    for run in Run::ALL {
        let chain = found.run(run);
        for (point, _) in truth.run(run).sampled(1.0) {
            let Some(nearest) = chain.nearest(point) else { continue };
            // Beyond the cut there is nothing to compare with.
            let last = chain.pieces.len() - 1;
            let corner_start =
                run.bout == Bout::Waist || (run.bout == Bout::Upper) == (run.side == Side::Right);
            let corner_end = run.bout == Bout::Waist || !corner_start;
            let past = (corner_start && nearest.piece == 0 && nearest.t <= 0.0)
                || (corner_end && nearest.piece == last && nearest.t >= 1.0);
            if past {
                continue;
            }
            let off = nearest.offset.abs();
            squares += off * off;
            count += 1.0;
            if corners.iter().all(|c| c.distance(point) > near_corner) {
                worst = worst.max(off);
            }
        }
    }
    Misfit { rms: (squares / f64::max(count, 1.0)).sqrt(), worst }
}

/// Largest departure of the overhang from what was wanted, over the true ribs up to the corner ends, mm.
pub fn furthest_overhang(simulated: &Simulated, found: &Reconciled, wanted: f64) -> f64 {
    let outline = found.edge.outline.moved(found.frame.angle, found.frame.origin.to_vec2());
    let ends = found.edge.corners.map(|c| found.frame.to_given(c.outer.midpoint(c.waist)));
    let mut furthest = 0.0_f64;
    for (run, line) in Run::ALL.into_iter().zip(&simulated.ribs) {
        for point in line.iter().step_by(20) {
            if ends.iter().all(|e| e.distance(*point) > 12.0) {
                let overhang = outline.run(run).nearest(*point).expect("a run has arcs").offset;
                furthest = furthest.max((overhang - wanted).abs());
            }
        }
    }
    furthest
}
