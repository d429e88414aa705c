//! The purfling: a line at a set distance inside the edge, the two sides of its channel, and the mitres in which they meet
//! at the corners.

use super::Edge;
use super::parallel::{Met, Parallel, from, meeting, parallel, struck_through, up_to};
use crate::arc::{Arc, direction};
use crate::bench::shapes::{Path, Segment};
use crate::outline::{Corner, Run};
use crate::reconcile::report::{corner_in_words, run_in_words};
use kurbo::{Point, Vec2};
use std::fmt;

/// How the purfling lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PurflingWish {
    /// Edge to the middle of the purfling, mm.
    pub distance: f64,
    /// Width of the channel, mm.
    pub width: f64,
    /// In the order of [`Corner::ALL`].
    pub corners: [PurflingCorner; 4],
}

/// How the purfling goes into one corner.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PurflingCorner {
    /// Distance from both flanks at the point of the mitre, mm, where it differs from the rest.
    pub distance: Option<f64>,
    /// By how many mm the point of the mitre leans off the middle: positive towards the waist.
    pub lean: f64,
}

impl PurflingWish {
    /// Least and most of each figure that can be meant, mm: distance, width, lean.
    pub const LIMITS: [(f64, f64); 3] = [(0.5, 15.0), (0.3, 5.0), (-6.0, 6.0)];

    pub fn even(distance: f64, width: f64) -> Self {
        PurflingWish { distance, width, corners: [PurflingCorner::default(); 4] }
    }

    fn kept_within_limits(&self) -> Self {
        let held = |mm: f64, (low, high): (f64, f64)| if mm.is_finite() { mm.clamp(low, high) } else { low };
        let [distance, width, lean] = Self::LIMITS;
        PurflingWish {
            distance: held(self.distance, distance),
            width: held(self.width, width),
            corners: self.corners.map(|corner| PurflingCorner {
                distance: corner.distance.map(|mm| held(mm, distance)),
                lean: held(corner.lean, lean),
            }),
        }
    }
}

/// The purfling of a plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Purfling {
    /// The middle of the purfling.
    pub middle: PurflingLine,
    /// The side of the channel towards the edge.
    pub outer: PurflingLine,
    /// The side of the channel towards the plate.
    pub inner: PurflingLine,
    pub notices: Vec<PurflingNotice>,
}

/// One closed line inside the edge.
#[derive(Debug, Clone, PartialEq)]
pub struct PurflingLine {
    /// In the order of [`Run::ALL`].
    pub runs: [Vec<Arc>; 6],
    /// The points of the mitres in the order of [`Corner::ALL`]; `None` where the two flanks' lines do not meet and are
    /// joined straight across.
    pub tips: [Option<Point>; 4],
}

impl PurflingLine {
    pub fn path(&self) -> Path {
        let mut segments: Vec<Segment> = Vec::new();
        for arc in self.runs.iter().flatten() {
            if let Some(last) = segments.last().map(Segment::end) {
                segments.push(Segment::Line { from: last, to: arc.at(0.0) });
            }
            segments.push(Segment::Arc(*arc));
        }
        Path::closed(segments)
    }
}

/// What a maker should know before cutting the channel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PurflingNotice {
    /// An arc of the edge bends more tightly than the purfling is far from it.
    TooTight { run: Run, radius: f64, distance: f64 },
    /// The lines along the two flanks do not meet.
    JoinedAcross { at: Corner },
    /// The point of the channel comes this near to the cut of the corner; negative beyond it.
    NearTheCut { at: Corner, left: f64 },
    /// The point leans further than the lines can be led to it.
    LeanNotReached { at: Corner },
}

impl PurflingNotice {
    /// Whether both are of one kind, and of one run or corner.
    fn same_place(&self, other: &PurflingNotice) -> bool {
        match (self, other) {
            (PurflingNotice::TooTight { run, .. }, PurflingNotice::TooTight { run: other, .. }) => {
                run == other
            }
            (PurflingNotice::JoinedAcross { at }, PurflingNotice::JoinedAcross { at: other })
            | (PurflingNotice::LeanNotReached { at }, PurflingNotice::LeanNotReached { at: other }) => {
                at == other
            }
            _ => false,
        }
    }
}

impl fmt::Display for PurflingNotice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PurflingNotice::TooTight { run, radius, distance } => write!(
                f,
                "In the {} the edge turns on {radius:.1} mm, tighter than the purfling is far from it ({distance:.1} mm): the purfling has a corner there. Bring it nearer to the edge, or make that arc larger",
                run_in_words(*run)
            ),
            PurflingNotice::JoinedAcross { at } => write!(
                f,
                "At the {} the purfling's lines do not meet and are joined straight across; draw the corner of the purfling by hand, or choose another distance",
                corner_in_words(*at)
            ),
            PurflingNotice::NearTheCut { at, left } if *left > 0.0 => write!(
                f,
                "At the {} the point of the purfling leaves only {left:.1} mm of wood to the end of the corner; lead it further in, or leave the corner longer",
                corner_in_words(*at)
            ),
            PurflingNotice::NearTheCut { at, left } => write!(
                f,
                "At the {} the point of the purfling runs {:.1} mm out through the end of the corner; lead it further in, or leave the corner longer",
                corner_in_words(*at),
                -left
            ),
            PurflingNotice::LeanNotReached { at } => {
                write!(f, "At the {} the purfling cannot lean that far; choose less", corner_in_words(*at))
            }
        }
    }
}

/// Wood that should be left between the point of the channel and the end of the corner, mm: common practice, from memory.
const WOOD_AT_THE_TIP: f64 = 0.8;

/// Draws the purfling of an edge. Figures outside of [`PurflingWish::LIMITS`] are taken as the nearest limit.
pub fn purfling(edge: &Edge, wish: &PurflingWish) -> Purfling {
    let wish = wish.kept_within_limits();
    let half = wish.width / 2.0;
    let mut notices = Vec::new();
    let middle = line(edge, &wish, 0.0, &mut notices);
    let mut of_channel = Vec::new();
    let outer = line(edge, &wish, -half, &mut of_channel);
    let inner = line(edge, &wish, half, &mut of_channel);
    for notice in of_channel {
        // Of one run or corner once is enough.
        if !notices.iter().any(|said: &PurflingNotice| said.same_place(&notice)) {
            notices.push(notice);
        }
    }
    for corner in Corner::ALL {
        let tips = [&outer, &middle, &inner].map(|line| line.tips[corner.index()]);
        let left = tips.into_iter().flatten().map(|tip| wood_left(edge, corner, tip));
        let least = left.fold(f64::INFINITY, f64::min);
        if least < WOOD_AT_THE_TIP {
            notices.push(PurflingNotice::NearTheCut { at: corner, left: least });
        }
    }
    Purfling { middle, outer, inner, notices }
}

/// From the point of the channel to the corner's cut, mm along the corner; negative beyond it.
fn wood_left(edge: &Edge, corner: Corner, tip: Point) -> f64 {
    let end = &edge.corners[corner.index()];
    (end.outer.midpoint(end.waist) - tip).dot(direction(end.heading))
}

/// The line `beside` mm further in than the middle of the purfling.
fn line(edge: &Edge, wish: &PurflingWish, beside: f64, notices: &mut Vec<PurflingNotice>) -> PurflingLine {
    let distance = wish.distance + beside;
    let parallels: [Parallel; 6] = edge.outline.runs.each_ref().map(|run| parallel(run, distance));
    for (run, parallel) in Run::ALL.into_iter().zip(&parallels) {
        notices.extend(parallel.left_out.iter().map(|radius| PurflingNotice::TooTight {
            run,
            radius: *radius,
            distance,
        }));
    }
    let mut runs = parallels.map(|parallel| parallel.arcs);
    let mut tips = [None; 4];
    for corner in Corner::ALL {
        let (before, after) = runs_at(corner);
        let (incoming, outgoing) = (runs[before].clone(), runs[after].clone());
        let reach = 2.0 * distance + edge.corners[corner.index()].width;
        let Some(met) = meeting(&incoming, &outgoing, reach) else {
            notices.push(PurflingNotice::JoinedAcross { at: corner });
            continue;
        };
        let ask = wish.corners[corner.index()];
        let tip = tip(edge, corner, ask, beside, reach, met.at);
        match led_to(&incoming, &outgoing, &met, tip) {
            Some((incoming, outgoing)) => {
                tips[corner.index()] = Some(tip);
                (runs[before], runs[after]) = (incoming, outgoing);
            }
            None => {
                notices.push(PurflingNotice::LeanNotReached { at: corner });
                tips[corner.index()] = Some(met.at);
                (runs[before], runs[after]) = cut_to(&incoming, &outgoing, &met);
            }
        }
    }
    PurflingLine { runs, tips }
}

/// The run that ends at a corner and the one that begins there, counter-clockwise.
fn runs_at(corner: Corner) -> (usize, usize) {
    let (outer, waist) = (corner.outer_run().index(), corner.waist_run().index());
    (outer.min(waist), outer.max(waist))
}

/// Where the maker wants the point of a line whose parallels meet at `met`.
fn tip(edge: &Edge, corner: Corner, ask: PurflingCorner, beside: f64, reach: f64, met: Point) -> Point {
    let (before, after) = runs_at(corner);
    let at_distance = |mm: f64| {
        let side = |run: usize| parallel(&edge.outline.runs[run], mm + beside).arcs;
        meeting(&side(before), &side(after), reach).map(|met| met.at)
    };
    let straight = ask.distance.and_then(at_distance).unwrap_or(met);
    straight + ask.lean * towards_waist(edge, corner)
}

/// Unit vector across a corner, from its outer flank to the waist.
fn towards_waist(edge: &Edge, corner: Corner) -> Vec2 {
    let end = &edge.corners[corner.index()];
    let across = end.waist - end.outer;
    if across.hypot() > 1e-9 { across / across.hypot() } else { Vec2::ZERO }
}

fn cut_to(incoming: &[Arc], outgoing: &[Arc], met: &Met) -> (Vec<Arc>, Vec<Arc>) {
    let ((i, t), (j, u)) = (met.incoming, met.outgoing);
    let mut before = incoming[..=i].to_vec();
    let mut after = outgoing[j..].to_vec();
    if let Some(last) = before.last_mut() {
        *last = up_to(last, t);
    }
    if let Some(first) = after.first_mut() {
        *first = from(first, u);
    }
    (before, after)
}

/// Both lines led to a tip: each keeps to its parallel as long as it may, and its last arc is struck anew, from where it
/// begins, through the tip.
fn led_to(incoming: &[Arc], outgoing: &[Arc], met: &Met, tip: Point) -> Option<(Vec<Arc>, Vec<Arc>)> {
    let (before, after) = cut_to(incoming, outgoing, met);
    let shift = tip.distance(met.at);
    if shift < 1e-9 {
        return Some((before, after));
    }
    let before = bent_to(before, tip, shift)?;
    let turned: Vec<Arc> = after.iter().rev().map(reversed).collect();
    let after = bent_to(turned, tip, shift)?.iter().rev().map(reversed).collect();
    Some((before, after))
}

fn reversed(arc: &Arc) -> Arc {
    Arc { start: arc.start + arc.sweep, sweep: -arc.sweep, ..*arc }
}

/// A last arc has to be this many times as long as its end is moved, or the bend would show.
const LENGTH_FOR_SHIFT: f64 = 6.0;
/// Most that the last arc may turn, radians.
const MOST_TURN: f64 = 2.6;

fn bent_to(mut arcs: Vec<Arc>, tip: Point, shift: f64) -> Option<Vec<Arc>> {
    let mut length = 0.0;
    let mut last = arcs.pop()?;
    length += last.length();
    while length < LENGTH_FOR_SHIFT * shift {
        let Some(arc) = arcs.pop() else { break };
        length += arc.length();
        last = arc;
    }
    // A long arc keeps its first part: only as much is bent as the shift needs.
    let own = last.length();
    let wanted = (LENGTH_FOR_SHIFT * shift).max(own.min(12.0));
    if own > 2.0 * wanted {
        let t = 1.0 - wanted / own;
        arcs.push(up_to(&last, t));
        last = from(&last, t);
    }
    let struck = struck_through(last.at(0.0), last.heading(0.0), tip)?;
    (struck.sweep.abs() < MOST_TURN).then(|| {
        arcs.push(struck);
        arcs
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::{cello, viola, violin};
    use crate::recipe::{Recipe, built_in::built_in};
    use crate::reconcile::{Wish, reconcile};
    use crate::trace::{HowTaken, Trace, TracedPoint};

    fn edge_of(recipe: &Recipe) -> Edge {
        let outline = recipe.evaluate().unwrap().outline;
        let overhang = recipe.customary.overhang;
        let mut points = Vec::new();
        for run in Run::ALL {
            let ribs = outline.run(run).offset(overhang).unwrap();
            for (at, _) in ribs.sampled(ribs.length() / 30.0) {
                points.push(TracedPoint {
                    at,
                    run: Some(run),
                    side: None,
                    line: points.len() + 1,
                    taken: HowTaken::Given,
                    sd: None,
                });
            }
        }
        let trace = Trace { points, ..Trace::default() };
        reconcile(&trace, recipe, &Wish::customary(recipe)).unwrap().edge
    }

    fn wish_of(recipe: &Recipe) -> PurflingWish {
        PurflingWish::even(recipe.customary.purfling_distance, recipe.customary.purfling_width)
    }

    #[test]
    fn every_place_of_the_purfling_is_as_far_from_the_edge_as_was_asked() {
        for recipe in [violin(), viola(), cello()] {
            let edge = edge_of(&recipe);
            let wish = wish_of(&recipe);
            let drawn = purfling(&edge, &wish);
            for (line, distance) in [
                (&drawn.outer, wish.distance - wish.width / 2.0),
                (&drawn.middle, wish.distance),
                (&drawn.inner, wish.distance + wish.width / 2.0),
            ] {
                assert!(line.tips.iter().all(Option::is_some));
                for (run, arcs) in Run::ALL.into_iter().zip(&line.runs) {
                    for arc in arcs {
                        for k in 0..=10 {
                            let at = arc.at(f64::from(k) / 10.0);
                            // A point beyond the last traced edge is measured from the edge carried on.
                            if let Some(near) = edge.outline.run(run).nearest(at)
                                && (0.001..0.999).contains(&near.t)
                            {
                                assert!((near.offset - distance).abs() < 1e-9, "{}: {near:?}", recipe.title);
                            }
                        }
                    }
                }
                let path = line.path();
                assert!(path.segments.iter().all(|s| matches!(s, Segment::Arc(_))), "joined without a gap");
            }
        }
    }

    #[test]
    fn a_leaning_point_leaves_the_rest_of_the_line_where_it_was() {
        let recipe = violin();
        let edge = edge_of(&recipe);
        let plain = purfling(&edge, &wish_of(&recipe));
        let mut wish = wish_of(&recipe);
        wish.corners[Corner::LowerLeft.index()] = PurflingCorner { distance: None, lean: 1.0 };
        let leaning = purfling(&edge, &wish);
        for corner in Corner::ALL {
            let (a, b) =
                (plain.middle.tips[corner.index()].unwrap(), leaning.middle.tips[corner.index()].unwrap());
            let moved = (b - a).dot(towards_waist(&edge, corner));
            let expected = if corner == Corner::LowerLeft { 1.0 } else { 0.0 };
            assert!((moved - expected).abs() < 1e-9, "{corner:?}: {moved}");
        }
        let kinks = |line: &PurflingLine| {
            line.runs
                .iter()
                .flat_map(|arcs| arcs.windows(2))
                .filter(|pair| {
                    crate::arc::wrap_angle(pair[0].heading(1.0) - pair[1].heading(0.0)).abs() > 1e-9
                })
                .count()
        };
        assert_eq!(kinks(&leaning.middle), 0);
        assert_eq!(leaning.middle.runs[Run::ALL[0].index()], plain.middle.runs[Run::ALL[0].index()]);
    }

    #[test]
    fn a_distance_of_its_own_at_a_corner_leads_the_point_there() {
        let recipe = violin();
        let edge = edge_of(&recipe);
        let mut wish = wish_of(&recipe);
        wish.corners[0] = PurflingCorner { distance: Some(wish.distance + 0.8), lean: 0.0 };
        let tip = purfling(&edge, &wish).middle.tips[0].unwrap();
        let same_everywhere = PurflingWish { distance: wish.distance + 0.8, ..wish_of(&recipe) };
        assert!(tip.distance(purfling(&edge, &same_everywhere).middle.tips[0].unwrap()) < 1e-9);
    }

    #[test]
    fn a_purfling_that_runs_out_through_the_corners_is_never_called_clear() {
        let recipe = violin();
        let edge = edge_of(&recipe);
        for distance in [0.5, 0.6, 0.8] {
            let drawn = purfling(&edge, &PurflingWish::even(distance, 1.2));
            for at in Corner::ALL {
                let told = drawn.notices.iter().any(|notice| {
                    matches!(notice, PurflingNotice::NearTheCut { at: of, .. }
                        | PurflingNotice::JoinedAcross { at: of } if *of == at)
                });
                assert!(told, "{distance} mm, {at}: {:?}", drawn.notices);
            }
        }
    }

    #[test]
    fn no_wish_breaks_it() {
        let recipes = built_in();
        for recipe in recipes.iter().take(4) {
            let edge = edge_of(recipe);
            for distance in [f64::NAN, -5.0, 0.0, 1.0, 9.0, 15.0, 1e9] {
                for lean in [f64::INFINITY, -6.0, 0.0, 6.0] {
                    let corner = PurflingCorner { distance: Some(distance), lean };
                    let wish = PurflingWish { distance, width: 1.2, corners: [corner; 4] };
                    for arc in purfling(&edge, &wish).middle.runs.iter().flatten() {
                        assert!(arc.at(0.5).x.is_finite() && arc.at(1.0).y.is_finite());
                    }
                }
            }
        }
    }
}
