//! The model: six tangent chains as one vector of parameters, and how far a point lies inside them.
//!
//! Each run is seen in a frame of its own in which all are alike: the right half is kept as it is, the
//! left half mirrored in the centreline, the upper runs mirrored in a cross line. There every lower or
//! upper run starts on the centreline, heading out square to it, with the inside on the left; and so
//! does every waist run, from the lower corner to the upper. The signed distance of a point from the
//! arc with centre c and signed radius ρ is then ρ - sign(ρ) |p - c|, positive inside, whichever way
//! the arc bends. Going from one arc to the next at heading h moves the centre by (ρ' - ρ) n(h), n the
//! unit vector to the left of h; all derivatives follow from that line.
//!
//! The first and last arcs of a run are open: they are carried as far as the corner needs, so
//! their outer ends are no parameters.

use crate::arc::{Chain, Piece, left_of, wrap_angle};
use crate::outline::{Bout, Run, Side};
use kurbo::{Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// How far, in radians, an open arc is followed beyond its last joint.
const OPEN_REACH: f64 = 2.2;

/// Sweeps are held as logarithms; below the least (0.35 mm on a 60 mm arc) an arc has vanished for any
/// purpose, above the most it has gone round.
const LOG_SWEEP: std::ops::RangeInclusive<f64> = -5.2..=1.1;

/// Radii are held as logarithms too: from 0.5 mm, which no compass strikes, to 50 m, which over the length of a flank leaves
/// a straight line by a hundredth of a mm. Beyond that a flank without points to hold it runs away, until the centre is so
/// far off that the arc's own ends are lost in rounding.
const LOG_RADIUS: std::ops::RangeInclusive<f64> = -0.693..=10.82;

/// Place of a parameter in the vector.
pub(super) type Slot = usize;

/// An arc of a run: where its radius stands in the parameters, and which way it bends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ArcSlot {
    /// Logarithm of the radius in mm.
    pub radius: Slot,
    /// +1 where the arc turns left in the run's own frame.
    pub bend: f64,
    /// Index of the recipe's circle.
    pub circle: usize,
    /// Logarithm of the sweep in radians; none for an arc open at either end.
    pub sweep: Option<Slot>,
}

/// Where a run is tied down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Anchor {
    /// On the centreline, at this height, heading square to it.
    End { height: Slot },
    /// At the joint between its first two arcs (of a single arc: at its middle, with a fixed heading).
    Joint { x: Slot, y: Slot, heading: Slot },
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct RunModel {
    pub run: Run,
    pub anchor: Anchor,
    pub arcs: Vec<ArcSlot>,
}

/// The freedom left to the centreline where it was only estimated.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct FrameSlots {
    pub tilt: Slot,
    pub shift: Slot,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Model {
    pub size: usize,
    /// Height of the bottom of the edge.
    pub bottom: Slot,
    /// Height of the top of the edge.
    pub top: Slot,
    pub frame: Option<FrameSlots>,
    /// In the order of [`Run::ALL`].
    pub runs: [RunModel; 6],
}

/// Signs by which x and y are multiplied to go to or from a run's own frame.
pub(super) fn own_frame(run: Run) -> Vec2 {
    Vec2::new(run.side.sign(), if run.bout == Bout::Upper { -1.0 } else { 1.0 })
}

fn flipped(point: Point, by: Vec2) -> Point {
    Point::new(point.x * by.x, point.y * by.y)
}

/// A run with its arcs placed, in its own frame, and the derivatives of the centres.
#[derive(Debug, Clone)]
pub(super) struct PlacedRun {
    pub run: Run,
    /// The parameters that matter here.
    pub slots: Vec<Slot>,
    pub arcs: Vec<PlacedArc>,
    /// d centre / d parameter, arc by arc, in the order of `slots`.
    centre_by: Vec<Vec2>,
}

#[derive(Debug, Clone, Copy)]
pub(super) struct PlacedArc {
    pub centre: Point,
    /// Signed radius.
    pub radius: f64,
    /// Headings at its two ends; open ends are carried [`OPEN_REACH`] further.
    pub from: f64,
    pub to: f64,
    /// Which of `slots` is its radius.
    pub radius_at: usize,
    /// Unit vector from the centre to the middle of the arc, and the cosine of half its sweep: the arc
    /// covers just those directions whose product with the first is no less than the second.
    middle: Vec2,
    least: f64,
}

impl PlacedArc {
    fn new(centre: Point, radius: f64, from: f64, to: f64, radius_at: usize) -> Self {
        let half = (0.5 * (to - from).abs()).min(PI);
        let middle = -radius.signum() * left_of(0.5 * (from + to));
        PlacedArc { centre, radius, from, to, radius_at, middle, least: half.cos() - 1e-12 }
    }
}

/// The distance of a point inside a run, and how it changes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Inside {
    pub arc: usize,
    /// mm, positive inside.
    pub distance: f64,
    /// Unit vector from the arc's centre to the point, in the run's own frame.
    pub outward: Vec2,
}

impl RunModel {
    /// Index of the arc that starts at the anchor.
    fn pivot(&self) -> usize {
        match self.anchor {
            Anchor::End { .. } => 0,
            Anchor::Joint { .. } => usize::from(self.arcs.len() > 1),
        }
    }

    /// Places the arcs for a vector of parameters.
    pub fn placed(&self, values: &[f64]) -> PlacedRun {
        let mut slots: Vec<Slot> = Vec::with_capacity(3 + 2 * self.arcs.len());
        let flip = own_frame(self.run);
        let (anchor, heading) = match self.anchor {
            Anchor::End { height } => {
                slots.push(height);
                (Point::new(0.0, values[height] * flip.y), 0.0)
            }
            Anchor::Joint { x, y, heading } => {
                slots.extend([x, y, heading]);
                (Point::new(values[x], values[y]), values[heading])
            }
        };
        for slot in self.arcs.iter().map(|arc| arc.radius).chain(self.arcs.iter().filter_map(|arc| arc.sweep))
        {
            if !slots.contains(&slot) {
                slots.push(slot);
            }
        }
        let at = |slot: Slot| slots.iter().position(|s| *s == slot).unwrap_or_default();
        let count = slots.len();
        let pivot = self.pivot();
        let mut arcs: Vec<PlacedArc> = Vec::with_capacity(self.arcs.len());
        let mut centre_by = vec![Vec2::ZERO; count * self.arcs.len()];
        // d joint / d parameter, where its heading turns with any.
        let mut turned_by = vec![0.0; count];
        let anchor_moves = |row: &mut [Vec2]| match self.anchor {
            Anchor::End { .. } => row[0].y = flip.y,
            Anchor::Joint { .. } => {
                row[0].x = 1.0;
                row[1].y = 1.0;
            }
        };
        if let Anchor::Joint { .. } = self.anchor {
            turned_by[2] = 1.0;
        }
        let normal = left_of(heading);
        if pivot == 1 {
            // The arc before the anchor shares its joint and goes the other way.
            let (first, now) = (self.arcs[0], &mut centre_by[..count]);
            let (radius, radius_at) = (first.bend * values[first.radius].exp(), at(first.radius));
            anchor_moves(now);
            now[2] -= radius * along(normal);
            now[radius_at] += radius * normal;
            let open = heading - first.bend * OPEN_REACH;
            arcs.push(PlacedArc::new(anchor + radius * normal, radius, open, heading, radius_at));
        }
        let (mut joint, mut normal) = (heading, normal);
        for k in pivot..self.arcs.len() {
            let arc = self.arcs[k];
            let (radius, radius_at) = (arc.bend * values[arc.radius].exp(), at(arc.radius));
            let before = if k > pivot { Some(arcs[k - 1]) } else { None };
            let (from, step) =
                before.map_or((anchor, radius), |before| (before.centre, radius - before.radius));
            let (done, now) = centre_by.split_at_mut(k * count);
            let now = &mut now[..count];
            match before {
                None => anchor_moves(now),
                Some(_) => now.copy_from_slice(&done[(k - 1) * count..]),
            }
            let turning = step * along(normal);
            for (by, turned) in now.iter_mut().zip(&turned_by) {
                *by -= *turned * turning;
            }
            // d radius / d log radius is the radius itself.
            now[radius_at] += radius * normal;
            if let Some(before) = before {
                now[before.radius_at] -= before.radius * normal;
            }
            let centre = from + step * normal;
            let end = match arc.sweep {
                Some(slot) => {
                    let sweep = arc.bend * values[slot].clamp(*LOG_SWEEP.start(), *LOG_SWEEP.end()).exp();
                    turned_by[at(slot)] += sweep;
                    joint + sweep
                }
                None => joint + arc.bend * OPEN_REACH,
            };
            let start = if k == 0 { joint - arc.bend * OPEN_REACH } else { joint };
            arcs.push(PlacedArc::new(centre, radius, start, end, radius_at));
            joint = end;
            if k + 1 < self.arcs.len() {
                normal = left_of(joint);
            }
        }
        PlacedRun { run: self.run, slots, arcs, centre_by }
    }
}

/// The direction to whose left this unit vector points.
pub(super) fn along(normal: Vec2) -> Vec2 {
    Vec2::new(normal.y, -normal.x)
}

/// How strongly an arc is pulled: d cost / d its radius, and by its centre.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Pulled {
    pub radius: f64,
    pub centre: Vec2,
}

impl RunModel {
    /// What the second derivatives of radii and centres add to those of the cost, two parameters in the order of the placed run's
    /// `slots` at a time.
    ///
    /// A centre comes from the one before by Δ n(h), Δ the difference of the radii and h the heading of the joint. With t the
    /// direction of that heading, n' = -t and t' = n.
    pub fn bend(
        &self,
        values: &[f64],
        placed: &PlacedRun,
        pulled: &[Pulled],
        mut put: impl FnMut(usize, usize, f64),
    ) {
        let at = |slot: Slot| placed.slots.iter().position(|s| *s == slot).unwrap_or_default();
        let (heading, turned) = match self.anchor {
            Anchor::End { .. } => (0.0, None),
            Anchor::Joint { heading, .. } => (values[heading], Some((at(heading), 1.0, 0.0))),
        };
        let pivot = self.pivot();
        // What turns the joint: the parameter, and the joint's first and second derivatives by it.
        let mut turns: Vec<(usize, f64, f64)> = turned.into_iter().collect();
        let mut step =
            |k: usize, before: Option<usize>, joint: f64, turns: &[(usize, f64, f64)], pull: Vec2| {
                let normal = left_of(joint);
                let (out, on) = (pull.dot(normal), pull.dot(along(normal)));
                let mut radii = vec![(placed.arcs[k].radius_at, placed.arcs[k].radius)];
                radii.extend(before.map(|k| (placed.arcs[k].radius_at, -placed.arcs[k].radius)));
                let step: f64 = radii.iter().map(|(_, radius)| radius).sum();
                for (radius_at, radius) in &radii {
                    put(*radius_at, *radius_at, out * radius);
                    turns.iter().for_each(|(turn, by, _)| put(*radius_at, *turn, -on * radius * by));
                }
                for (i, (one, by_one, twice)) in turns.iter().enumerate() {
                    put(*one, *one, -on * step * twice);
                    turns[..=i]
                        .iter()
                        .for_each(|(other, by, _)| put(*one, *other, -out * step * by_one * by));
                }
            };
        if pivot == 1 {
            step(0, None, heading, &turns, pulled[0].centre);
        }
        let mut joint = heading;
        for k in pivot..self.arcs.len() {
            let pull = pulled[k..].iter().fold(Vec2::ZERO, |sum, pulled| sum + pulled.centre);
            step(k, (k > pivot).then(|| k - 1), joint, &turns, pull);
            let end = placed.arcs[k].to;
            turns.extend(self.arcs[k].sweep.map(|slot| (at(slot), end - joint, end - joint)));
            joint = end;
        }
        for (arc, pulled) in placed.arcs.iter().zip(pulled) {
            put(arc.radius_at, arc.radius_at, pulled.radius * arc.radius);
        }
    }
}

impl PlacedRun {
    /// How far inside the run a point lies; the point in the frame of the result.
    pub fn inside(&self, point: Point) -> Inside {
        let own = flipped(point, own_frame(self.run));
        // A run has at least one arc, so this is never what is found.
        let mut best = Inside { arc: 0, distance: f64::INFINITY, outward: Vec2::new(1.0, 0.0) };
        let mut best_within = false;
        for (k, arc) in self.arcs.iter().enumerate() {
            let seen = own - arc.centre;
            let far = seen.hypot2().sqrt();
            let outward = if far > 1e-12 { seen / far } else { arc.middle };
            let distance = arc.radius - arc.radius.signum() * far;
            let within = outward.dot(arc.middle) >= arc.least;
            let nearer = distance.abs() < best.distance.abs();
            if (within && !best_within) || (within == best_within && nearer) {
                best = Inside { arc: k, distance, outward };
                best_within = within;
            }
        }
        best
    }

    /// How far the arc has turned where it is nearest to the point, radians from its start.
    pub fn turned(&self, inside: &Inside) -> f64 {
        let arc = self.arcs[inside.arc];
        let bend = arc.radius.signum();
        let heading = inside.outward.y.atan2(inside.outward.x) + bend * FRAC_PI_2;
        let middle = 0.5 * (arc.from + arc.to);
        bend * (middle + wrap_angle(heading - middle) - arc.from)
    }

    /// d centre of this arc / d parameter, in the order of `slots`.
    pub fn centre_by(&self, arc: usize) -> &[Vec2] {
        let count = self.slots.len();
        &self.centre_by[arc * count..(arc + 1) * count]
    }

    /// How far from its arc's centre a point lies, mm.
    pub fn centre_distance(&self, inside: &Inside) -> f64 {
        let radius = self.arcs[inside.arc].radius;
        (radius.signum() * (radius - inside.distance)).max(1e-6)
    }

    /// The distance from the centreline where the run heads straight up it: half the width of the bout,
    /// with its derivatives in the order of `slots`. `None` where it nowhere does.
    pub fn half_width(&self) -> Option<(f64, Vec<f64>)> {
        let (k, arc) = self.arcs.iter().enumerate().find(|(_, arc)| {
            let (low, high) = (arc.from.min(arc.to), arc.from.max(arc.to));
            (low..=high).contains(&FRAC_PI_2)
        })?;
        let by = self
            .centre_by(k)
            .iter()
            .enumerate()
            .map(|(i, by)| by.x + if i == arc.radius_at { arc.radius } else { 0.0 })
            .collect();
        Some((arc.centre.x + arc.radius, by))
    }

    /// The run as a chain in the frame of the result, travelled counter-clockwise, its open ends carried on by
    /// up to `reach` mm.
    pub fn chain(&self, reach: f64) -> Chain {
        let last = self.arcs.len() - 1;
        let tied = self.run.bout != Bout::Waist;
        let pieces: Vec<(f64, f64, f64)> = self
            .arcs
            .iter()
            .enumerate()
            .map(|(k, arc)| {
                let open = (reach / arc.radius.abs()).min(OPEN_REACH) * arc.radius.signum();
                let from = match k {
                    0 if tied => 0.0,
                    0 if last == 0 => 0.5 * (arc.from + arc.to) - open,
                    0 => arc.to - open,
                    _ => arc.from,
                };
                let to = match k {
                    k if k == last && k == 0 && !tied => 0.5 * (arc.from + arc.to) + open,
                    k if k == last && k == 0 => open,
                    k if k == last => arc.from + open,
                    _ => arc.to,
                };
                (arc.radius, from, to)
            })
            .collect();
        let own = Chain::new(
            self.arcs[0].centre - self.arcs[0].radius * left_of(pieces[0].1),
            pieces[0].1,
            pieces
                .iter()
                .map(|(radius, from, to)| Piece { radius: *radius, sweep: (to - from).abs() })
                .collect(),
        );
        let upper = self.run.bout == Bout::Upper;
        let upright = if upper { upside_down(&own) } else { own };
        let sided = if self.run.side == Side::Left { upright.mirrored() } else { upright };
        // Counter-clockwise: lower right goes up from the bottom, upper right down to its corner and so is turned
        // round, and the left half the other way again.
        if upper == (self.run.side == Side::Right) { sided.reversed() } else { sided }
    }
}

/// The image in the line y = 0.
fn upside_down(chain: &Chain) -> Chain {
    Chain::new(
        Point::new(chain.start.x, -chain.start.y),
        -chain.heading,
        chain.pieces.iter().map(|p| Piece { radius: -p.radius, sweep: p.sweep }).collect(),
    )
}

impl Model {
    /// The parameters of the arcs themselves: radii, sweeps, places of the waist.
    pub fn arc_slots(&self) -> impl Iterator<Item = Slot> {
        let (ends, frame) = ([self.bottom, self.top], self.frame);
        (0..self.size).filter(move |slot| {
            !ends.contains(slot) && frame.is_none_or(|f| f.tilt != *slot && f.shift != *slot)
        })
    }

    /// Parameters with every radius brought back to what can be struck.
    pub fn within_bounds(&self, values: impl Iterator<Item = f64>) -> Vec<f64> {
        let mut values: Vec<f64> = values.collect();
        for arc in self.runs.iter().flat_map(|run| &run.arcs) {
            values[arc.radius] = values[arc.radius].clamp(*LOG_RADIUS.start(), *LOG_RADIUS.end());
        }
        values
    }

    pub fn placed(&self, values: &[f64]) -> [PlacedRun; 6] {
        self.runs.each_ref().map(|run| run.placed(values))
    }

    /// A prepared point in the frame that the tilt and shift of the centreline make.
    pub fn seen(&self, values: &[f64], point: Point) -> Point {
        match self.frame {
            None => point,
            Some(slots) => {
                let (sin, cos) = values[slots.tilt].sin_cos();
                let (x, y) = (point.x - values[slots.shift], point.y);
                Point::new(cos * x + sin * y, -sin * x + cos * y)
            }
        }
    }
}
