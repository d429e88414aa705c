//! The account: corners cut, the frame settled, the overhang measured point by point, warnings.

use super::finish::{Finished, circle_name, planned_radius};
use super::folded::Parted;
use super::report::*;
use super::{Finish, ReconcileError, Traced, Wish};
use crate::arc::{Arc, Chain, left_of};
use crate::edge::corner::{Shortfall, cut_corner, rib_corner, trimmed};
use crate::edge::{CornerEnd, Edge};
use crate::order::{median, sort_by_value};
use crate::outline::{Bout, Corner, Outline, Run, Side};
use crate::recipe::Recipe;
use crate::trace::{AsideReason, Frame, Pins, PreparedTrace, Trace};
use kurbo::{Affine, Point, Vec2};

/// A measure or radius that leaves the recipe by more than this part of it is remarked on.
const FAR_FROM_RECIPE: f64 = 0.06;
const RADIUS_FAR_FROM_RECIPE: f64 = 0.25;

/// So many points are left out for no slips alone, if they are more than this part of all: the recipe may be another's.
const MANY: usize = 4;
const MANY_OF: f64 = 0.06;

pub(super) fn account(
    trace: &Trace,
    recipe: &Recipe,
    planned: &[f64],
    prepared: &PreparedTrace,
    wish: &Wish,
    finished: Finished,
) -> Result<Reconciled, ReconcileError> {
    let mut warnings: Vec<Warning> = prepared.notices.iter().cloned().map(Warning::Trace).collect();
    let placing = Placing::of(prepared, wish, &finished);
    let runs = finished.runs.each_ref().map(|run| run.moved(0.0, placing.lift));
    let traced_corners = prepared.corners.map(|c| c.map(|c| placing.place(c)));

    let points = point_reports(trace, prepared, &placing, &runs, &finished);
    let rib_corners = rib_corners(&points, &runs, &traced_corners, wish);
    let edge = cut_edge(&runs, wish, &rib_corners, &mut warnings)?;
    let arcs = edge_arcs(recipe, &edge, &runs, &finished);
    let scale = finished.lengths.first().zip(planned.first()).map_or(1.0, |(found, plan)| found.mm / plan);
    let measures = found_measures(recipe, planned, scale, wish, &finished);
    let overhang = overhang_report(&points, &edge, &runs, &traced_corners, (wish, finished.fit.hand_sd()));

    let line = |source: usize| Some(trace.points.get(prepared.points.get(source)?.index)?.line);
    for (source, by) in &finished.fit.left_out {
        if let Some(line) = line(*source) {
            warnings.push(Warning::LeftOut { line, by: *by });
        }
    }
    warnings.extend(
        overhang.stretches.iter().map(
            |s| {
                if s.worst_by < 0.0 { Warning::Thin(*s) } else { Warning::Full(*s) }
            },
        ),
    );
    let left_out = finished.fit.left_out.len();
    if left_out >= MANY && left_out as f64 > MANY_OF * prepared.points.len() as f64 {
        warnings.push(Warning::ManyLeftOut { left_out, of: prepared.points.len() });
    }
    let gaps = long_gaps(&points, &edge, &runs, &traced_corners);
    if !gaps.is_empty() {
        warnings.push(Warning::NoPoints(gaps));
    }
    let body_length = finished.lengths.first().map_or(edge.outline.bounds().height(), |found| found.mm);
    for parted in finished.fit.parted(body_length) {
        let Parted { bout, corners, last, by } = parted;
        if let (Some(left), Some(right)) = (line(last[0]), line(last[1])) {
            warnings.push(Warning::SidesPart { bout, corners, left, right, by });
        }
    }
    warnings.extend(finished.extra.iter().cloned().map(Warning::ExtraArcs));
    let short = corners_short(&points, &edge, wish);
    if !short.is_empty() {
        warnings.push(Warning::CornersShort(short));
    }
    if let (Some(found), Some(planned)) = (finished.lengths.first(), planned.first())
        && is_other_size(found.mm, *planned)
    {
        warnings.push(Warning::OtherSize { found: found.mm, planned: *planned });
    }
    if wish.finish != Finish::Recipe {
        warnings.extend(far_from_recipe(recipe, planned, scale, &measures, &arcs));
    }
    if let Some(near) = edge.outline.self_crossing() {
        warnings.push(Warning::SelfCrossing { near });
    }
    if !finished.fit.solved.settled() || !finished.solved.settled() {
        warnings.push(Warning::NotSettled);
    }
    Ok(Reconciled {
        frame: placing.frame,
        finish: wish.finish,
        edge,
        arcs,
        measures,
        pins: placing.pins,
        points,
        traced_corners,
        overhang,
        extra_arcs: finished.extra.clone(),
        warnings,
        trace_sd: finished.fit.sd,
    })
}

/// How the prepared frame goes over into that of the result.
struct Placing {
    /// Turn and shift of the centreline that the fit found.
    motion: Affine,
    /// Then up, so that the origin is where it belongs.
    lift: Vec2,
    frame: Frame,
    pins: Pins,
}

impl Placing {
    fn of(prepared: &PreparedTrace, wish: &Wish, finished: &Finished) -> Self {
        let values = &finished.fit.solved.values;
        let (tilt, shift) =
            finished.fit.model.frame.map_or((0.0, 0.0), |slots| (values[slots.tilt], values[slots.shift]));
        let motion = Affine::rotate(-tilt) * Affine::translate((-shift, 0.0));
        // Without a lower pin the origin is where the traced line meets the centreline at the bottom.
        let lift = match prepared.pins.lower {
            Some(_) => 0.0,
            None => -(values[finished.fit.model.bottom] + wish.distance(Bout::Lower)),
        };
        let lift = Vec2::new(0.0, lift);
        let back = |result: Point| prepared.frame.to_given(motion.inverse() * (result - lift));
        let frame = Frame { origin: back(Point::ZERO), angle: prepared.frame.angle + tilt };
        let place = |p: Point| motion * p + lift;
        let pins = Pins { lower: prepared.pins.lower.map(place), upper: prepared.pins.upper.map(place) };
        Placing { motion, lift, frame, pins }
    }

    fn place(&self, prepared: Point) -> Point {
        self.motion * prepared + self.lift
    }
}

/// Where the ribs' lines meet at each corner: the parallels of the two flanks, each at the overhang that was found near the
/// corner. Only ribs show where their corner is: a traced purfling line or edge has corners of another kind.
fn rib_corners(
    points: &[PointReport],
    runs: &[Chain; 6],
    traced_corners: &[Option<Point>; 4],
    wish: &Wish,
) -> [Option<Point>; 4] {
    /// Points of a flank that tell the overhang at its corner, mm from it.
    const NEAR: f64 = 18.0;
    if wish.traced != Traced::Ribs {
        return [None; 4];
    }
    Corner::ALL.map(|at| {
        let traced = traced_corners[at.index()];
        let overhang = |run: Run| {
            let near: Vec<f64> = points
                .iter()
                .filter(|p| p.judged == Judged::Kept && p.run == Some(run))
                .filter(|p| traced.is_some_and(|c| c.distance(p.at) < NEAR))
                .map(|p| p.overhang)
                .collect();
            // The wish counts like one more point: a single reading is not the whole truth.
            (near.iter().sum::<f64>() + wish.overhang.at(run.bout)) / (near.len() + 1) as f64
        };
        let (outer, waist) = (at.outer_run(), at.waist_run());
        rib_corner(at, &runs[outer.index()], &runs[waist.index()], (overhang(outer), overhang(waist)))
            .or(traced)
    })
}

fn cut_edge(
    runs: &[Chain; 6],
    wish: &Wish,
    rib_corners: &[Option<Point>; 4],
    warnings: &mut Vec<Warning>,
) -> Result<Edge, ReconcileError> {
    let mut off = [[0.0; 2]; 6];
    let mut corners: Vec<CornerEnd> = Vec::with_capacity(4);
    for at in Corner::ALL {
        let (outer, waist) = (at.outer_run().index(), at.waist_run().index());
        let overhang = (wish.overhang.at(at.bout()), wish.overhang.at(Bout::Waist));
        let rib_corner = rib_corners[at.index()];
        let too_wide = || ReconcileError::CornerTooWide(corner_in_words(at));
        let (end, [a, b], shortfall) =
            cut_corner(at, &runs[outer], &runs[waist], wish.corners[at.index()], overhang, rib_corner)
                .ok_or_else(too_wide)?;
        let outer_first = at.outer_ends_here();
        off[outer][usize::from(outer_first)] += a;
        off[waist][usize::from(!outer_first)] += b;
        match shortfall {
            Shortfall::None => {}
            Shortfall::NotReached { wanted, got } => {
                warnings.push(Warning::CornerNotReached { at, wanted, got })
            }
            Shortfall::DoNotMeet => warnings.push(Warning::CornersDoNotMeet { at }),
        }
        corners.push(end);
    }
    let mut kept: Vec<Chain> = Vec::with_capacity(6);
    for (run, [first, last]) in Run::ALL.into_iter().zip(off) {
        let chain = trimmed(&runs[run.index()], first, last)
            .ok_or_else(|| ReconcileError::CornerTooWide(run_in_words(run)))?;
        kept.push(chain);
    }
    let (Ok(runs), Ok(corners)) = (kept.try_into(), corners.try_into()) else {
        unreachable!("six runs and four corners were gone through")
    };
    Ok(Edge { outline: Outline { runs }, corners })
}

fn edge_arcs(recipe: &Recipe, edge: &Edge, whole: &[Chain; 6], finished: &Finished) -> Vec<EdgeArc> {
    let mut arcs = Vec::new();
    for run in Run::ALL {
        let i = run.index();
        let first = arcs.len();
        let all = whole[i].arcs();
        for (piece, arc) in edge.outline.run(run).arcs().into_iter().enumerate() {
            // Cutting a corner may have taken a whole arc; the one it came from has the same centre.
            let from = all
                .iter()
                .position(|a| a.centre.distance(arc.centre) < 1e-6 && (a.radius - arc.radius).abs() < 1e-6);
            let Some(k) = from else { continue };
            let (Some(circle), Some(sd)) = (finished.circles[i].get(k), finished.radius_sds[i].get(k)) else {
                continue;
            };
            arcs.push(EdgeArc {
                run,
                piece,
                arc,
                circle: circle_name(recipe, *circle),
                part: None,
                radius_sd: *sd,
                reading: finished.readings[i].get(k).cloned().flatten(),
            });
        }
        tell_parts_apart(&mut arcs[first..]);
    }
    arcs
}

/// Numbers the arcs of a run that are parts of one circle.
fn tell_parts_apart(of_run: &mut [EdgeArc]) {
    for k in 0..of_run.len() {
        let arc = &of_run[k];
        let alike = |others: &[EdgeArc]| others.iter().filter(|other| other.circle == arc.circle).count();
        let (before, after) = (alike(&of_run[..k]), alike(&of_run[k + 1..]));
        let earlier = if arc.run.as_recipes_go() { before } else { after };
        of_run[k].part = (before + after > 0).then_some(earlier);
    }
}

fn found_measures(
    recipe: &Recipe,
    planned: &[f64],
    scale: f64,
    wish: &Wish,
    finished: &Finished,
) -> Vec<FoundMeasure> {
    recipe
        .measures
        .iter()
        .enumerate()
        .filter_map(|(j, measure)| {
            let plan = planned.get(j)? * scale;
            let found = if wish.finish == Finish::Recipe { plan } else { finished.lengths.get(j)?.mm };
            Some(FoundMeasure {
                name: measure.name.clone(),
                title: measure.title.clone(),
                planned: plan,
                found,
                sd: *finished.length_sds.get(j)?,
                reading: finished.measure_reading(recipe, j),
            })
        })
        .collect()
}

fn point_reports(
    trace: &Trace,
    prepared: &PreparedTrace,
    placing: &Placing,
    runs: &[Chain; 6],
    finished: &Finished,
) -> Vec<PointReport> {
    let mut reports: Vec<PointReport> = Vec::with_capacity(trace.points.len());
    let mut run_of: Vec<Option<Run>> = prepared.points.iter().map(|p| Some(p.run)).collect();
    for o in &finished.fit.observations {
        if let Some(run) = run_of.get_mut(o.source) {
            *run = Some(o.run);
        }
    }
    let outline = Outline { runs: runs.clone() };
    for (source, p) in prepared.points.iter().enumerate() {
        let Some(point) = trace.points.get(p.index) else { continue };
        let at = placing.place(p.at);
        let run = run_of.get(source).copied().flatten();
        let Some(nearest) = run.and_then(|run| outline.run(run).nearest(at)) else { continue };
        let left_out = finished.fit.left_out.iter().any(|(s, _)| *s == source);
        reports.push(PointReport {
            index: p.index,
            line: point.line,
            at,
            run,
            judged: if left_out { Judged::LeftOut } else { Judged::Kept },
            foot: nearest.point,
            overhang: nearest.offset,
        });
    }
    for aside in prepared.set_aside.iter().filter(|a| a.why != AsideReason::Repeated) {
        let Some(point) = trace.points.get(aside.index) else { continue };
        let at = placing.place(prepared.frame.to_result(point.at));
        let Some((_, nearest)) = outline.nearest(at) else { continue };
        reports.push(PointReport {
            index: aside.index,
            line: point.line,
            at,
            run: None,
            judged: Judged::LeftOut,
            foot: nearest.point,
            overhang: nearest.offset,
        });
    }
    sort_by_value(&mut reports, |report| report.index as f64);
    reports
}

/// How far along a run a foot lies, in mm.
fn along(chain: &Chain, point: Point) -> Option<f64> {
    let nearest = chain.nearest(point)?;
    let before: f64 = chain.pieces[..nearest.piece].iter().map(|p| p.radius.abs() * p.sweep).sum();
    let piece = chain.pieces.get(nearest.piece)?;
    Some(before + nearest.t * piece.radius.abs() * piece.sweep)
}

fn overhang_report(
    points: &[PointReport],
    edge: &Edge,
    runs: &[Chain; 6],
    traced_corners: &[Option<Point>; 4],
    (wish, hand_sd): (&Wish, f64),
) -> OverhangReport {
    /// An evened reading off by more than so many of its standard deviations is so but for one of a whole trace's in some hundreds.
    const PLAINLY: f64 = 3.0;
    let kept = || points.iter().filter(|p| p.judged == Judged::Kept);
    let count = kept().count().max(1) as f64;
    let min = kept().map(|p| p.overhang).fold(f64::INFINITY, f64::min);
    let max = kept().map(|p| p.overhang).fold(f64::NEG_INFINITY, f64::max);
    let mean = kept().map(|p| p.overhang).sum::<f64>() / count;
    let off = |p: &PointReport| p.run.map_or(0.0, |run| p.overhang - wish.distance(run.bout));
    let rms_deviation = (kept().map(|p| off(p).powi(2)).sum::<f64>() / count).sqrt();

    let mut samples = Vec::new();
    let mut stretches = Vec::new();
    let mut plainly_off = wish.tolerance;
    for run in Run::ALL {
        let chain = &runs[run.index()];
        let mut along_run: Vec<(f64, f64)> = kept()
            .filter(|p| p.run == Some(run))
            .filter_map(|p| along(chain, p.at).map(|s| (s, p.overhang)))
            .collect();
        sort_by_value(&mut along_run, |(along, _)| *along);
        let evened = evened_out(&along_run);
        let scatters = evened.iter().map(|e| e.scatters).fold(0.0, f64::max);
        let out_of_it = wish.tolerance.max(PLAINLY * hand_sd * scatters);
        plainly_off = f64::max(plainly_off, out_of_it);
        let of_run: Vec<OverhangSample> = evened
            .iter()
            .filter_map(|Evened { along, overhang, .. }| {
                let (at, heading) = at_length(chain, *along)?;
                Some(OverhangSample {
                    run,
                    at,
                    inward: left_of(heading),
                    overhang: *overhang,
                    wanted: wish.distance(run.bout),
                })
            })
            .collect();
        stretches.extend(stretches_of(&of_run, (run, wish.traced), edge, traced_corners, out_of_it));
        samples.extend(of_run);
    }
    sort_by_value(&mut stretches, |stretch| -stretch.worst_by.abs());
    OverhangReport {
        traced: wish.traced,
        wanted: wanted(wish),
        tolerance: wish.tolerance,
        told_beyond: plainly_off,
        min,
        mean,
        max,
        rms_deviation,
        samples,
        stretches,
    }
}

fn wanted(wish: &Wish) -> super::Overhang {
    super::Overhang {
        lower: wish.distance(Bout::Lower),
        waist: wish.distance(Bout::Waist),
        upper: wish.distance(Bout::Upper),
    }
}

/// A reading averaged with its neighbours.
struct Evened {
    /// How far along the run, mm.
    along: f64,
    overhang: f64,
    /// Its standard deviation, as a part of a single reading's.
    scatters: f64,
}

/// Each value averaged with its neighbours, nearer ones counting more: one slip of the point is not a thin place. As far as
/// [`EVENED_OVER`] mm, or, where points stand far apart, so far that each is evened with the next on either side, which count a third.
fn evened_out(along_run: &[(f64, f64)]) -> Vec<Evened> {
    const EVENED_OVER: f64 = 12.0;
    let steps: Vec<f64> = along_run.windows(2).map(|pair| pair[1].0 - pair[0].0).collect();
    let reach = EVENED_OVER.max(1.5 * median(&steps).unwrap_or_default());
    let mut first = 0;
    along_run
        .iter()
        .map(|(s, _)| {
            while along_run[first].0 < s - reach {
                first += 1;
            }
            let (mut sum, mut total, mut squares) = (0.0, 0.0, 0.0);
            for (t, overhang) in along_run[first..].iter().take_while(|(t, _)| *t <= s + reach) {
                let weight = 1.0 - (t - s).abs() / (reach + 1.0);
                sum += weight * overhang;
                total += weight;
                squares += weight * weight;
            }
            Evened { along: *s, overhang: sum / total, scatters: squares.sqrt() / total }
        })
        .collect()
}

fn at_length(chain: &Chain, s: f64) -> Option<(Point, f64)> {
    let mut begins = 0.0;
    let arcs: Vec<Arc> = chain.arcs();
    for (k, arc) in arcs.iter().enumerate() {
        if s <= begins + arc.length() || k + 1 == arcs.len() {
            let t = ((s - begins) / arc.length()).clamp(0.0, 1.0);
            return Some((arc.at(t), arc.heading(t)));
        }
        begins += arc.length();
    }
    None
}

fn stretches_of(
    samples: &[OverhangSample],
    (run, traced): (Run, Traced),
    edge: &Edge,
    traced_corners: &[Option<Point>; 4],
    out_of_it: f64,
) -> Vec<Stretch> {
    let beyond = |s: &OverhangSample| {
        let by = s.overhang - s.wanted;
        if by.abs() <= out_of_it { 0.0 } else { by.signum() }
    };
    let mut stretches = Vec::new();
    let mut i = 0;
    while i < samples.len() {
        let sign = beyond(&samples[i]);
        let mut j = i + 1;
        while j < samples.len() && beyond(&samples[j]) == sign {
            j += 1;
        }
        if sign != 0.0 {
            let worst = samples[i..j]
                .iter()
                .max_by(|a, b| (a.overhang - a.wanted).abs().total_cmp(&(b.overhang - b.wanted).abs()));
            if let Some(worst) = worst {
                stretches.push(Stretch {
                    traced,
                    run,
                    from: samples[i].at,
                    to: samples[j - 1].at,
                    worst_at: worst.at,
                    worst_by: worst.overhang - worst.wanted,
                    place: place_of(run, (worst.at, worst.inward), edge, traced_corners),
                });
            }
        }
        i = j;
    }
    stretches
}

/// Where a place on a run is, in a maker's words; `inward` is a unit vector towards the ribs.
fn place_of(
    run: Run,
    (at, inward): (Point, Vec2),
    edge: &Edge,
    traced_corners: &[Option<Point>; 4],
) -> Place {
    /// Within this of a corner a maker says "at the corner", mm.
    const AT_CORNER: f64 = 16.0;
    /// Within this of the centreline he says "at the top" or "at the bottom", mm.
    const AT_END: f64 = 18.0;
    /// Where the edge heads within 20 degrees of straight up, it is at its widest or narrowest.
    const NEARLY_UPRIGHT: f64 = 0.94;
    let corner = Corner::ALL.into_iter().find(|c| {
        let end = &edge.corners[c.index()];
        let near = traced_corners[c.index()].unwrap_or(end.rib_corner);
        (c.outer_run() == run || c.waist_run() == run)
            && (near.distance(at) < AT_CORNER || end.outer.midpoint(end.waist).distance(at) < AT_CORNER)
    });
    if let Some(corner) = corner {
        Place::Corner(corner)
    } else if run.bout != Bout::Waist && at.x.abs() < AT_END {
        Place::End(run.bout)
    } else if inward.x.abs() > NEARLY_UPRIGHT {
        Place::Middle(run)
    } else {
        Place::Along(run)
    }
}

/// Where nothing was traced for longer than a seventh of the body's length, or than half of that as far as a corner, since the arc by
/// which a flank turns into it is short; the longest first. Of a run the longest, and those across the two ends of the centreline.
fn long_gaps(
    points: &[PointReport],
    edge: &Edge,
    runs: &[Chain; 6],
    traced_corners: &[Option<Point>; 4],
) -> Vec<(Place, f64)> {
    const PART_OF_BODY: f64 = 1.0 / 7.0;
    let long = PART_OF_BODY * edge.outline.bounds().height();
    let mut gaps = Vec::new();
    // From the last point of a run that ends on the centreline to its end.
    let mut open = [0.0; 2];
    for run in Run::ALL {
        let chain = &runs[run.index()];
        let is_here = |c: &Corner| c.outer_run() == run || c.waist_run() == run;
        let to_corner = |c: Corner| Some((along(chain, edge.corners[c.index()].rib_corner)?, true));
        let traced = |p: &PointReport| Some((along(chain, p.at)?, false));
        let mut places: Vec<(f64, bool)> = points
            .iter()
            .filter(|p| p.judged == Judged::Kept && p.run == Some(run))
            .filter_map(traced)
            .chain(Corner::ALL.into_iter().filter(is_here).filter_map(to_corner))
            .collect();
        sort_by_value(&mut places, |(at, _)| *at);
        let too_long = |pair: &[(f64, bool)]| {
            let allowed = if pair[0].1 || pair[1].1 { 0.5 * long } else { long };
            let length = pair[1].0 - pair[0].0;
            (length > allowed).then_some((0.5 * (pair[0].0 + pair[1].0), length))
        };
        let longest = places.windows(2).filter_map(too_long).max_by(|a, b| a.1.total_cmp(&b.1));
        gaps.extend(longest.and_then(|(middle, length)| {
            let (at, heading) = at_length(chain, middle)?;
            Some((place_of(run, (at, left_of(heading)), edge, traced_corners), length))
        }));
        if run.bout != Bout::Waist {
            let length: f64 = chain.arcs().iter().map(Arc::length).sum();
            let left = if run.as_recipes_go() {
                places.first().map(|(first, _)| *first)
            } else {
                places.last().map(|(last, _)| length - last)
            };
            open[usize::from(run.bout == Bout::Upper)] += left.unwrap_or_default();
        }
    }
    let ends = [Bout::Lower, Bout::Upper].into_iter().zip(open).filter(|(_, length)| *length > long);
    gaps.extend(ends.map(|(bout, length)| (Place::End(bout), length)));
    sort_by_value(&mut gaps, |(_, length)| -length);
    gaps
}

/// Corners whose end leaves traced ribs with less than half of their overhang. (Where the ribs' two lines would meet in a point says
/// nothing: no ribs are carried on so far.)
fn corners_short(points: &[PointReport], edge: &Edge, wish: &Wish) -> Vec<(Corner, f64)> {
    /// As far as the point of a corner goes, mm.
    const OF_CORNER: f64 = 25.0;
    if wish.traced != Traced::Ribs {
        return Vec::new();
    }
    let short = |end: &CornerEnd| {
        let middle = end.outer.midpoint(end.waist);
        let pointing = crate::arc::direction(end.heading);
        let left = points
            .iter()
            .filter(|p| p.judged == Judged::Kept)
            .filter(|p| p.run == Some(end.at.outer_run()) || p.run == Some(end.at.waist_run()))
            .filter(|p| p.at.distance(middle) < OF_CORNER)
            .map(|p| (middle - p.at).dot(pointing))
            .fold(f64::INFINITY, f64::min);
        let wanted = 0.5 * wish.overhang.at(Bout::Waist).min(wish.overhang.at(end.at.bout()));
        (left < wanted).then_some((end.at, left))
    };
    edge.corners.iter().filter_map(short).collect()
}

fn far_from_recipe(
    recipe: &Recipe,
    planned: &[f64],
    scale: f64,
    measures: &[FoundMeasure],
    arcs: &[EdgeArc],
) -> Vec<Warning> {
    let mut warnings: Vec<Warning> = measures
        .iter()
        .filter(|m| (m.found / m.planned).ln().abs() > FAR_FROM_RECIPE)
        .map(|m| Warning::MeasureFarFromRecipe { title: m.title.clone(), planned: m.planned, found: m.found })
        .collect();
    let mut told: Vec<&str> = Vec::new();
    for arc in arcs.iter().filter(|a| a.run.side == Side::Right) {
        let step = recipe.steps.iter().position(|s| s.name == arc.circle);
        let Some(plan) = step.and_then(|s| planned_radius(recipe, s, planned, scale)) else { continue };
        if (arc.arc.radius / plan).ln().abs() > RADIUS_FAR_FROM_RECIPE && !told.contains(&arc.circle.as_str())
        {
            told.push(&arc.circle);
            warnings.push(Warning::RadiusFarFromRecipe {
                run: arc.run,
                circle: arc.circle.clone(),
                planned: plan,
                found: arc.arc.radius,
            });
        }
    }
    warnings
}

#[cfg(test)]
mod tests {
    use super::evened_out;
    use crate::outline::Bout;
    use crate::recipe::violin;
    use crate::reconcile::report::{Place, Warning};
    use crate::reconcile::{Wish, reconcile};
    use crate::trace::simulated::{RibLines, Taking, take, template};

    fn gaps(taking: &Taking, without: impl Fn(kurbo::Point) -> bool) -> Vec<(Place, f64)> {
        let mut trace = take(&RibLines::inside(&template(), 2.5), taking).trace;
        trace.points.retain(|p| !without(p.at));
        let recipe = violin();
        let found = reconcile(&trace, &recipe, &Wish::customary(&recipe)).unwrap();
        let told = found.warnings.into_iter().find_map(|warning| match warning {
            Warning::NoPoints(gaps) => Some(gaps),
            _ => None,
        });
        told.unwrap_or_default()
    }

    #[test]
    fn a_stretch_without_points_is_told_of_and_an_even_trace_has_none() {
        for points in [8, 10, 30] {
            let taking = Taking { named: true, noise: 0.1, ..Taking::plain(points, 3) };
            assert_eq!(gaps(&taking, |_| false), vec![], "{points} points a run");
            let [(place, length)] = gaps(&taking, |at| at.y < 25.0 && at.x.abs() < 50.0)[..] else {
                panic!("one gap at {points} points a run")
            };
            assert_eq!(place, Place::End(Bout::Lower));
            assert!(length > 95.0 && length < 150.0, "{length} mm");
        }
    }

    #[test]
    fn one_slip_is_evened_out_however_far_apart_the_points_stand() {
        for apart in [3.0, 8.0, 15.0, 40.0] {
            let readings: Vec<(f64, f64)> =
                (0..9).map(|k| (apart * k as f64, if k == 4 { 3.0 } else { 2.5 })).collect();
            let evened = evened_out(&readings);
            let most = evened.iter().map(|e| e.overhang).fold(0.0, f64::max);
            assert!(most < 2.81, "{most} mm with points {apart} mm apart");
        }
    }

    #[test]
    fn two_thin_places_far_apart_stay_what_they_are() {
        let evened = evened_out(&[(0.0, 2.5), (4.0, 2.5), (8.0, 2.5), (120.0, 2.0), (124.0, 2.0)]);
        assert!((evened[3].overhang - 2.0).abs() < 1e-12 && (evened[2].overhang - 2.5).abs() < 1e-12);
    }
}
