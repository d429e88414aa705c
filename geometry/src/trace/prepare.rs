//! A trace brought into the frame of the result, every point on its run.

use super::frame::{Centreline, framed};
use super::gaps::gaps;
use super::give::Followed;
use super::mistakes::{OnLine, off_the_line};
use super::pose::{Pose, Posing};
use super::repeats::repeated;
use super::span::check_span;
use super::strips::{ACROSS, Half, Place};
use super::symmetry::{Through, centreline};
use super::{
    AsideReason, Frame, Notice, Pin, Pins, PlacedPoint, PreparedTrace, SetAside, Trace, TraceError,
    TracedPoint,
};
use crate::outline::{Bout, Corner, Outline, Run, Side};
use kurbo::Point;

/// Fewer different points than this say nothing about six runs.
const FEWEST: usize = 12;
/// A run with fewer points than this is remarked on.
const FEW: usize = 5;
/// A stretch without points that is longer than this is remarked on, mm at a violin's size.
const LONG_GAP: f64 = 50.0;
/// Coordinates beyond this are no traced line in any frame, mm.
const FURTHEST: f64 = 1e6;
/// A corner needs points within the first of these of it, and points of both its runs within the second; mm at a violin's size.
const CORNER_NEAR: f64 = 25.0;
const CORNER_FAR: f64 = 45.0;
/// The crossing of the runs may be further from the nearest point than points are from one another by this, mm at a
/// violin's size.
const CORNER_BEYOND: f64 = 2.0;
/// Within this of a corner, lines are less known than elsewhere; mm at a violin's size.
const AT_CORNER: f64 = 15.0;
/// A named point lies on another run if it is this near to that one and so far from its own, mm at a violin's size.
const NEAR_OTHER: f64 = 10.0;
const FAR_FROM_OWN: f64 = 20.0;
/// A pin further than this from the middle of the points is remarked on, mm at a violin's size.
const PIN_REMARKED: f64 = 3.0;
/// A point further off its run than this is unlike the recipe, mm at a violin's size; so is the trace if one in five is.
const UNLIKE: f64 = 4.0;

/// Makes a trace ready to be reconciled: repeated points set aside, the frame of the pins or of the points' own
/// symmetry, every point on its run, gross mis-takes set aside, and the four places where the runs meet.
///
/// `template` is the outline of the recipe's edge; only its shape matters, not its size.
///
/// # Errors
/// Too few points, points or pins that make no plate, names that contradict where the points lie.
pub fn prepare(trace: &Trace, template: &Outline) -> Result<PreparedTrace, TraceError> {
    let (kept, mut set_aside) = without_repeats(trace)?;
    let points: Vec<TracedPoint> = kept.iter().map(|&i| trace.points[i]).collect();
    let places: Vec<Point> = points.iter().map(|p| p.at).collect();
    check_span(&places)?;
    let halves = halves_of(template).ok_or(TraceError::NoOutline)?;
    let posing = Posing::new(&halves, &places);
    let framed = framed(&points, trace.pins, &posing)?;

    let halves = halves.map(|half| half.scaled(framed.pose.across, framed.pose.up, framed.pose.bottom));
    check_runs(&points, &halves, &framed.pose)?;

    let mut laid = Laid::over(&points, halves, &framed.pose);
    let off = laid.off_the_line();
    laid.without(&off);
    let frame = result_frame(&laid, &framed.pose, framed.pins, framed.centreline);

    let into = |p: Point| frame.to_result(framed.pose.frame.to_given(p));
    let placed: Vec<PlacedPoint> = (0..points.len())
        .filter(|k| !off[*k])
        .map(|k| {
            let at = frame.to_result(points[k].at);
            let side = points[k].side.unwrap_or(if at.x < 0.0 { Side::Left } else { Side::Right });
            let run = points[k].run.unwrap_or(Run { bout: laid.bout(k), side });
            PlacedPoint { at, run, named: points[k].run.is_some(), index: kept[k] }
        })
        .collect();
    for k in (0..points.len()).filter(|k| off[*k]) {
        set_aside.push(SetAside { index: kept[k], line: points[k].line, why: AsideReason::OffTheLine });
    }
    set_aside.sort_by_key(|aside| aside.index);

    let mut notices = framed.notices;
    if framed.pins_doubted {
        notices.extend(pins_beside_centreline(&laid, &framed.pose, framed.pins));
    }
    notices.extend(laid.notices(&placed, framed.centreline, into));
    let pins = Pins {
        lower: framed.pins.lower.map(|at| frame.to_result(at)),
        upper: framed.pins.upper.map(|at| frame.to_result(at)),
    };
    Ok(PreparedTrace {
        frame,
        centreline_estimated: framed.centreline == Centreline::Estimated,
        corners: Corner::ALL.map(|corner| laid.corner(corner).map(into)),
        points: placed,
        set_aside,
        pins,
        notices,
    })
}

fn without_repeats(trace: &Trace) -> Result<(Vec<usize>, Vec<SetAside>), TraceError> {
    let pins = [trace.pins.lower, trace.pins.upper].into_iter().flatten();
    for (at, line) in trace.points.iter().map(|p| (p.at, p.line)).chain(pins.map(|at| (at, 0))) {
        for (column, value) in [("x", at.x), ("y", at.y)] {
            if !(value.is_finite() && value.abs() < FURTHEST) {
                return Err(TraceError::OutOfReach { line, column, value });
            }
        }
    }
    let again = repeated(&trace.points);
    let kept: Vec<usize> = (0..trace.points.len()).filter(|&i| !again[i]).collect();
    if kept.len() < FEWEST {
        return Err(TraceError::TooFewPoints { found: kept.len(), least: FEWEST });
    }
    let set_aside = (0..trace.points.len())
        .filter(|&i| again[i])
        .map(|index| SetAside { index, line: trace.points[index].line, why: AsideReason::Repeated })
        .collect();
    Ok((kept, set_aside))
}

/// Left and right half of an outline, brought to a height of 1.
fn halves_of(template: &Outline) -> Option<[Half; 2]> {
    let bottom = template.runs[0].start.y;
    let height = template.runs[2].end().y - bottom;
    if !(height.is_finite() && height > 1e-6 && bottom.is_finite()) {
        return None;
    }
    let [left, right] = Side::BOTH.map(|side| Half::of(template, side, bottom, height));
    Some([left?, right?])
}

/// Refuses names of runs that lie where another run does: every line through their points would be wrong.
fn check_runs(points: &[TracedPoint], halves: &[Half; 2], pose: &Pose) -> Result<(), TraceError> {
    let (near, far) = (NEAR_OTHER * pose.unit(), FAR_FROM_OWN * pose.unit());
    let mut named = [0; 6];
    // For each run how many of its points lie on each other one.
    let mut elsewhere = [[0; 6]; 6];
    for point in points {
        let Some(run) = point.run else { continue };
        named[run.index()] += 1;
        let at = pose.frame.to_result(point.at);
        let side = if at.x < 0.0 { Side::Left } else { Side::Right };
        let place = halves[side as usize].nearest(Point::new(at.x.abs(), at.y), None);
        let lies = Run { bout: Bout::ALL[place.strip], side };
        if lies != run && place.distance < near {
            let own = Point::new(run.side.sign() * at.x, at.y);
            if halves[run.side as usize].on_strip(own, strip_of(run.bout)).distance > far {
                elsewhere[run.index()][lies.index()] += 1;
            }
        }
    }
    for (run, (count, elsewhere)) in Run::ALL.into_iter().zip(named.into_iter().zip(elsewhere)) {
        for (lies, at) in Run::ALL.into_iter().zip(elsewhere) {
            if at >= 3 && 2 * at > count {
                return Err(TraceError::RunElsewhere { run, lies });
            }
        }
    }
    Ok(())
}

/// The outline laid over the points of both halves.
struct Laid {
    unit: f64,
    /// Left and right.
    halves: [Half; 2],
    followed: [Vec<Followed>; 2],
    /// Which point each of `followed` is.
    whose: [Vec<usize>; 2],
    /// For each point its half and its place there.
    places: Vec<(usize, Place)>,
}

impl Laid {
    fn over(points: &[TracedPoint], mut halves: [Half; 2], pose: &Pose) -> Laid {
        let mut followed = [Vec::new(), Vec::new()];
        let mut whose = [Vec::new(), Vec::new()];
        let mut homes = Vec::with_capacity(points.len());
        for (k, point) in points.iter().enumerate() {
            let at = pose.frame.to_result(point.at);
            let said = point.run.map(|run| run.side).or(point.side);
            let home = said.unwrap_or(if at.x < 0.0 { Side::Left } else { Side::Right });
            homes.push(home as usize);
            let strip = point.run.map(|run| strip_of(run.bout));
            for (half, side) in Side::BOTH.into_iter().enumerate() {
                // The strips go on across the centreline, so points near it are followed by both halves.
                if side == home || side.sign() * at.x > -0.9 * ACROSS * pose.up {
                    followed[half].push(Followed { at: Point::new(side.sign() * at.x, at.y), strip });
                    whose[half].push(k);
                }
            }
        }
        let unit = pose.unit();
        for (half, followed) in halves.iter_mut().zip(&followed) {
            half.follow(followed, unit);
        }
        let nowhere = halves[0].on_strip(Point::ORIGIN, 0);
        let mut laid =
            Laid { unit, halves, followed, whose, places: homes.into_iter().map(|h| (h, nowhere)).collect() };
        laid.place();
        laid
    }

    fn place(&mut self) {
        for half in 0..2 {
            for (point, &k) in self.followed[half].iter().zip(&self.whose[half]) {
                if self.places[k].0 == half {
                    self.places[k].1 = self.halves[half].nearest(point.at, point.strip);
                }
            }
        }
    }

    fn bout(&self, point: usize) -> Bout {
        Bout::ALL[self.places[point].1.strip]
    }

    /// For each point whether it is off the line that its neighbours make. If many seem to be, it is the recipe
    /// that is off, and none is.
    fn off_the_line(&self) -> Vec<bool> {
        let mut lines: [Vec<OnLine>; 4] = Default::default();
        for half in 0..2 {
            let mut stiff = self.halves[half].clone();
            let mut settled = self.followed[half].clone();
            for (point, &k) in settled.iter_mut().zip(&self.whose[half]) {
                // A point of the other half, near the centreline, lies on the same strip.
                point.strip = Some(self.places[k].1.strip);
            }
            stiff.stiffen(&settled, self.unit);
            let lengths = stiff.lengths();
            let corners = [0, 1].map(|c| self.halves[half].corner_at(c));
            for (point, &k) in settled.iter().zip(&self.whose[half]) {
                let (home, place) = self.places[k];
                if home != half {
                    continue;
                }
                let on_stiff = stiff.nearest(point.at, point.strip);
                let along = on_stiff.along(&lengths);
                // Lower and upper runs go on across the centreline, so they make one line each with the other half's.
                let sign = Side::BOTH[half].sign();
                let (line, along) = match place.strip {
                    0 => (0, sign * (along - lengths[stiff.centreline[0]])),
                    1 => (1 + half, along),
                    _ => (3, sign * (lengths[stiff.centreline[1]] - along)),
                };
                let from_corner = corners[0].distance(point.at).min(corners[1].distance(point.at));
                lines[line].push(OnLine {
                    along,
                    off: on_stiff.signed_distance(),
                    off_settled: place.signed_distance(),
                    near_corner: (1.0 - from_corner / (AT_CORNER * self.unit)).max(0.0),
                    point: k,
                });
            }
        }
        let found: Vec<usize> = lines.into_iter().flat_map(|line| off_the_line(line, self.unit)).collect();
        let mut off = vec![false; self.places.len()];
        if found.len() <= (off.len() / 8).max(2) {
            for point in found {
                off[point] = true;
            }
        }
        off
    }

    /// Lets go of points.
    fn without(&mut self, off: &[bool]) {
        if !off.contains(&true) {
            return;
        }
        for half in 0..2 {
            let keep: Vec<bool> = self.whose[half].iter().map(|k| !off[*k]).collect();
            let mut kept = keep.iter();
            self.followed[half].retain(|_| *kept.next().unwrap_or(&true));
            let mut kept = keep.iter();
            self.whose[half].retain(|_| *kept.next().unwrap_or(&true));
            self.halves[half].settle(&self.followed[half], self.unit);
        }
        self.place();
    }

    /// Where the traced runs meet, in the frame of the pose: where the strips cross, unless that is further from the points
    /// than they are from one another, as it is if a mis-taken point lies by the corner; then half-way between the
    /// last point of either run.
    fn corner(&self, corner: Corner) -> Option<Point> {
        let half = corner.side() as usize;
        let which = if corner.bout() == Bout::Lower { 0 } else { 1 };
        let laid = &self.halves[half];
        let lengths = laid.lengths();
        let last = |strip: usize, from: usize| {
            let mut near: Vec<(f64, Point)> = Vec::new();
            for (point, &k) in self.followed[half].iter().zip(&self.whose[half]) {
                let (home, place) = self.places[k];
                if home == half && place.strip == strip {
                    near.push(((place.along(&lengths) - lengths[from]).abs(), point.at));
                }
            }
            near.sort_by(|a, b| a.0.total_cmp(&b.0));
            let (first, next) = (near.first()?, near.get(3).or(near.last())?);
            Some((first.1, (next.0 - first.0) / 3.0))
        };
        let crossing = laid.crossing(which);
        let (i, j) =
            crossing.map_or((laid.corner[2 * which], laid.corner[2 * which + 1]), |(_, i, j)| (i, j));
        let at = laid.corner_at(which);
        let ((one, usual), (two, usual_two)) = (last(which, i)?, last(which + 1, j)?);
        let (near, far) = (one.distance(at).min(two.distance(at)), one.distance(at).max(two.distance(at)));
        if near > CORNER_NEAR * self.unit || far > CORNER_FAR * self.unit {
            return None;
        }
        let believed = crossing.is_some() && near < usual.max(usual_two) + CORNER_BEYOND * self.unit;
        let at = if believed { at } else { one.midpoint(two) };
        Some(Point::new(corner.side().sign() * at.x, at.y))
    }

    fn notices(
        &self,
        placed: &[PlacedPoint],
        centreline: Centreline,
        into: impl Fn(Point) -> Point,
    ) -> Vec<Notice> {
        let mut notices = Vec::new();
        let traced = |side: Side| placed.iter().filter(|p| p.run.side == side).count();
        for (side, other) in [(Side::Left, Side::Right), (Side::Right, Side::Left)] {
            if centreline == Centreline::Estimated && 20 * traced(other) < traced(side) {
                notices.push(Notice::OneSideOnly(side));
            }
        }
        for run in Run::ALL {
            match placed.iter().filter(|p| p.run == run).count() {
                0 => notices.push(Notice::RunWithoutPoints(run)),
                count if count < FEW => notices.push(Notice::FewPoints { run, count }),
                _ => {}
            }
        }
        for (half, side) in Side::BOTH.into_iter().enumerate() {
            let laid = &self.halves[half];
            let lengths = laid.lengths();
            for strip in 0..3 {
                let homes = self
                    .places
                    .iter()
                    .zip(0..)
                    .filter(|((home, place), _)| *home == half && place.strip == strip);
                let (from, to) = self.ends(laid, strip);
                let along: Vec<f64> =
                    homes.map(|((_, place), _)| place.along(&lengths) - lengths[from]).collect();
                if along.len() < FEW {
                    continue;
                }
                for (start, end) in gaps(along, lengths[to] - lengths[from], LONG_GAP * self.unit) {
                    let middle = lengths[from] + 0.5 * (start + end);
                    let at = laid.strip(strip).find(|k| lengths[*k] >= middle).unwrap_or(to);
                    let around = into(Point::new(side.sign() * laid.laid[at].x, laid.laid[at].y));
                    let run = Run { bout: Bout::ALL[strip], side };
                    notices.push(Notice::Gap { run, length: end - start, around });
                }
            }
        }
        let far = |(_, place): &&(usize, Place)| place.distance > UNLIKE * self.unit;
        let off = self.places.iter().filter(far).count();
        if 5 * off > placed.len() {
            notices.push(Notice::UnlikeTheRecipe { off, of: placed.len() });
        }
        notices
    }

    /// The samples between which a strip is part of the line: its corners, the rest being carried on past them.
    fn ends(&self, half: &Half, strip: usize) -> (usize, usize) {
        let before = strip.checked_sub(1).map(|corner| {
            half.crossing(corner).map_or(half.corner[2 * corner + 1], |(_, _, on_next)| on_next)
        });
        let after = (strip < 2)
            .then(|| half.crossing(strip).map_or(half.corner[2 * strip], |(_, on_this, _)| on_this));
        (before.unwrap_or(half.centreline[0]), after.unwrap_or(half.centreline[1]))
    }
}

fn strip_of(bout: Bout) -> usize {
    match bout {
        Bout::Lower => 0,
        Bout::Waist => 1,
        Bout::Upper => 2,
    }
}

/// The frame of the result: origin at the lower pin, else where the line meets the centreline at the bottom.
fn result_frame(laid: &Laid, pose: &Pose, pins: Pins, given: Centreline) -> Frame {
    let mut frame = pose.frame;
    if given == Centreline::Estimated {
        let pin = pins.lower.or(pins.upper).map(|at| frame.to_result(at));
        let through = pin.map_or(Through::Anywhere, Through::Pin);
        if let Some(found) = centreline(frame, &laid.halves, &laid.followed, through, laid.unit) {
            frame = found;
        }
    }
    let origin = match pins.lower {
        Some(at) => at,
        None => frame.to_given(Point::new(0.0, bottom(laid, pose, frame))),
    };
    Frame { origin, ..frame }
}

/// The pins that do not lie in the middle of the points, judged by the halves' symmetry.
fn pins_beside_centreline(laid: &Laid, pose: &Pose, pins: Pins) -> Vec<Notice> {
    let Some(frame) = centreline(pose.frame, &laid.halves, &laid.followed, Through::Anywhere, laid.unit)
    else {
        return Vec::new();
    };
    [(Pin::Lower, pins.lower), (Pin::Upper, pins.upper)]
        .into_iter()
        .filter_map(|(pin, at)| Some((pin, -frame.to_result(at?).x)))
        .filter(|(_, middle)| middle.abs() > PIN_REMARKED * laid.unit)
        .map(|(pin, middle)| Notice::PinBesideCentreline { pin, middle })
        .collect()
}

/// The height in `frame` at which the line crosses the centreline at the bottom, mean of what the two halves say.
fn bottom(laid: &Laid, pose: &Pose, frame: Frame) -> f64 {
    let mut heights = Vec::new();
    for (half, side) in laid.halves.iter().zip(Side::BOTH) {
        let sample = |k: usize| {
            let p = half.laid[half.centreline[0] + k];
            frame.to_result(pose.frame.to_given(Point::new(side.sign() * p.x, p.y)))
        };
        let (a, b) = (sample(0), sample(2));
        if (b.x - a.x).abs() > 1e-9 {
            heights.push(a.y - a.x * (b.y - a.y) / (b.x - a.x));
        }
    }
    match heights[..] {
        [] => 0.0,
        _ => heights.iter().sum::<f64>() / heights.len() as f64,
    }
}
