//! The recipe's outline as strips that can be laid over traced points: three on each half, which give way separately.

use crate::arc::direction;
use crate::outline::{Bout, Outline, Run, Side};
use kurbo::{Point, Rect, Vec2};
use std::ops::Range;

/// Samples along an outline per body length. At a violin's size they are some 3 mm apart, and the chord over
/// the tightest hook stays within 0.1 mm of the arc.
const SAMPLES: f64 = 110.0;
/// When the nearest sample is sought, every so manyeth is looked at first.
const COARSE: usize = 4;
/// How far each run is carried straight on past its corner, per body length: ribs may have their corner further out
/// than the recipe, and lines that pass each other show where they cross.
const CARRIED_ON: f64 = 0.04;
/// How far the lower and upper run are carried on across the centreline as the other half has them, per body length:
/// a strip that ended there would follow a mis-taken last point.
pub(super) const ACROSS: f64 = 0.08;
/// Where a strip may bend: distances from its corner per body length, and beyond the last of them evenly.
/// The hooks differ most from instrument to instrument, so they have most freedom.
const BENDS: [f64; 5] = [0.0, 0.022, 0.05, 0.09, 0.15];
const BENDS_BEYOND: f64 = 0.07;

/// One half of an outline, x counted outward: its lower, waist and upper run as strips, each bottom to top.
#[derive(Debug, Clone)]
pub(super) struct Half {
    /// As the recipe has it, scaled.
    pub base: Vec<Point>,
    /// As it lies now.
    pub laid: Vec<Point>,
    /// The node before each sample, and how far the sample is on to the next one.
    pub node: Vec<(usize, f64)>,
    /// From each node to the next.
    pub steps: Vec<Step>,
    /// First sample of each strip, and one past the last.
    first: [usize; 4],
    /// Samples at the recipe's own corners: end of lower, start of waist, end of waist, start of upper.
    pub corner: [usize; 4],
    /// Samples at the centreline, bottom and top.
    pub centreline: [usize; 2],
    /// Around each strip as it lies.
    boxes: [Rect; 3],
}

#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    /// Distance in mm.
    pub length: f64,
    /// Whether it leads from the end of one strip to the start of the next.
    pub between_strips: bool,
}

/// Where a point lies on a half.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    /// 0 lower, 1 waist, 2 upper.
    pub strip: usize,
    /// The sample before the foot.
    pub sample: usize,
    /// How far on to the next sample.
    pub t: f64,
    /// Unit, out of the plate.
    pub normal: Vec2,
    /// Distance out of the plate, mm.
    pub off: f64,
    /// Distance from the strip, mm; more than `off` for a point past its end.
    pub distance: f64,
}

/// Where two strips cross at a corner.
#[derive(Debug, Clone, Copy)]
pub(super) struct Crossing {
    pub at: Point,
    /// The sample of the strip that ends here, and of the one that starts, before the crossing.
    pub before: usize,
    pub after: usize,
}

impl Place {
    /// Distance from the strip, negative within the plate.
    pub fn signed_distance(&self) -> f64 {
        self.distance.copysign(self.off)
    }

    /// How far along its strip, by the lengths up to the strip's samples.
    pub fn along(&self, lengths: &[f64]) -> f64 {
        let (from, to) = (lengths[self.sample], lengths[self.sample + 1]);
        from + self.t * (to - from)
    }
}

impl Half {
    /// The half of an outline, scaled and shifted so that its bottom is at 0 and its top at 1.
    /// `None` for an outline that is no outline: empty runs, or numbers that are none.
    pub fn of(outline: &Outline, side: Side, bottom: f64, height: f64) -> Option<Half> {
        let mut half = Half {
            base: Vec::new(),
            laid: Vec::new(),
            node: Vec::new(),
            steps: Vec::new(),
            first: [0; 4],
            corner: [0; 4],
            centreline: [0; 2],
            boxes: [Rect::ZERO; 3],
        };
        for (strip, bout) in Bout::ALL.into_iter().enumerate() {
            let run = sampled(outline, Run { bout, side }, bottom, height)?;
            let mut across = Vec::new();
            if bout != Bout::Waist {
                across = sampled(outline, Run { bout, side: side.opposite() }, bottom, height)?;
                across.retain(|p| p.x > 1e-6 && p.x < ACROSS);
                across.iter_mut().for_each(|p| p.x = -p.x);
                // Seen from this half the other one's line runs the other way.
                across.reverse();
            }
            half.add_strip(strip, &run, &across);
        }
        half.laid.clone_from(&half.base);
        half.settle_boxes();
        Some(half)
    }

    fn add_strip(&mut self, strip: usize, run: &[Point], across: &[Point]) {
        let (corner_before, corner_after) = (strip > 0, strip < 2);
        let (start, end) = (self.base.len(), run.len() - 1);
        let mut line = if corner_before { carried_on(run[1], run[0]) } else { across.to_vec() };
        if corner_before {
            line.reverse();
            self.corner[2 * strip - 1] = start + line.len();
        } else {
            self.centreline[0] = start + line.len();
        }
        line.extend(run);
        if corner_after {
            self.corner[2 * strip] = start + line.len() - 1;
            line.extend(carried_on(run[end - 1], run[end]));
        } else {
            self.centreline[1] = start + line.len() - 1;
            line.extend(across);
        }
        let mut along = vec![0.0];
        for pair in line.windows(2) {
            along.push(along[along.len() - 1] + pair[0].distance(pair[1]));
        }
        let stops = stops(along[along.len() - 1], corner_before, corner_after);
        let first_node = self.steps.len();
        let mut at = 0;
        for s in along {
            while at + 2 < stops.len() && s >= stops[at + 1] {
                at += 1;
            }
            let on = (s - stops[at]) / (stops[at + 1] - stops[at]);
            self.node.push((first_node + at, on.clamp(0.0, 1.0)));
        }
        self.steps
            .extend(stops.windows(2).map(|pair| Step { length: pair[1] - pair[0], between_strips: false }));
        if corner_after {
            self.steps.push(Step { length: CARRIED_ON, between_strips: true });
        }
        self.base.extend(line);
        self.first[strip + 1] = self.base.len();
    }

    /// The half in mm: scaled across and up, with its bottom at this height.
    pub fn scaled(&self, across: f64, up: f64, bottom: f64) -> Half {
        let mut half = self.clone();
        for p in &mut half.base {
            *p = Point::new(p.x * across, p.y * up + bottom);
        }
        // Steps are along the line; across and up differ little enough for their mean to do.
        for step in &mut half.steps {
            step.length *= 0.5 * (across + up);
        }
        half.laid.clone_from(&half.base);
        half.settle_boxes();
        half
    }

    /// The samples of a strip.
    pub fn strip(&self, strip: usize) -> Range<usize> {
        self.first[strip]..self.first[strip + 1]
    }

    /// The nearest place on the half, or on one of its strips.
    pub fn nearest(&self, at: Point, strip: Option<usize>) -> Place {
        if let Some(strip) = strip {
            return self.on_strip(at, strip);
        }
        // Most points are far from the box of all strips but their own.
        let away = self.boxes.map(|b| {
            let nearest = Point::new(at.x.clamp(b.x0, b.x1), at.y.clamp(b.y0, b.y1));
            at.distance(nearest)
        });
        let first = if away[0] <= away[1] && away[0] <= away[2] {
            0
        } else if away[1] <= away[2] {
            1
        } else {
            2
        };
        let mut best = self.on_strip(at, first);
        for strip in (0..3).filter(|s| *s != first) {
            if away[strip] < best.distance
                && let Some(place) = self.on_strip_within(at, strip, best.distance)
            {
                best = place;
            }
        }
        best
    }

    /// To be called whenever the strips have been laid anew.
    pub fn settle_boxes(&mut self) {
        for strip in 0..3 {
            let around = Rect::new(f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
            self.boxes[strip] = self.laid[self.strip(strip)].iter().fold(around, |b, p| Rect {
                x0: b.x0.min(p.x),
                y0: b.y0.min(p.y),
                x1: b.x1.max(p.x),
                y1: b.y1.max(p.y),
            });
        }
    }

    pub fn on_strip(&self, at: Point, strip: usize) -> Place {
        let nowhere = Place {
            strip,
            sample: self.first[strip],
            t: 0.0,
            normal: Vec2::new(1.0, 0.0),
            off: f64::INFINITY,
            distance: f64::INFINITY,
        };
        self.on_strip_within(at, strip, f64::INFINITY).unwrap_or(nowhere)
    }

    /// The nearest place on a strip if it is nearer than `within`.
    fn on_strip_within(&self, at: Point, strip: usize, within: f64) -> Option<Place> {
        let samples = self.strip(strip);
        let (rough, near) = self.nearest_sample(at, samples.clone(), COARSE)?;
        let beside = if near + 1 < samples.end { near + 1 } else { near - 1 };
        // No sample between two coarse ones is nearer by more than the way to it.
        let way = COARSE as f64 * self.laid[near].distance(self.laid[beside]);
        if rough.sqrt() > within + 2.0 * way {
            return None;
        }
        let around = near.saturating_sub(COARSE).max(samples.start)..(near + COARSE + 1).min(samples.end);
        let (_, near) = self.nearest_sample(at, around, 1)?;
        let mut best: Option<(f64, usize, f64)> = None;
        for sample in [near.saturating_sub(1).max(samples.start), near.min(samples.end - 2)] {
            let (from, along) = (self.laid[sample], self.laid[sample + 1] - self.laid[sample]);
            let t = ((at - from).dot(along) / along.hypot2().max(1e-24)).clamp(0.0, 1.0);
            let distance = at.distance(from + t * along);
            if distance < best.map_or(within, |(least, ..)| least) {
                best = Some((distance, sample, t));
            }
        }
        let (distance, sample, t) = best?;
        // The normal turns steadily from sample to sample: a point beside a sample, to which the chords before and
        // after it are equally near, must not have its normal jump from the one's to the other's.
        let normal = self.normal(sample).lerp(self.normal(sample + 1), t);
        let normal = normal / normal.hypot().max(1e-12);
        let off = (at - self.laid[sample].lerp(self.laid[sample + 1], t)).dot(normal);
        Some(Place { strip, sample, t, normal, off, distance })
    }

    fn nearest_sample(&self, at: Point, samples: Range<usize>, every: usize) -> Option<(f64, usize)> {
        let mut best = None;
        let mut least = f64::INFINITY;
        for (k, p) in self.laid.get(samples.clone())?.iter().enumerate().step_by(every) {
            let d = p.distance_squared(at);
            if d < least {
                least = d;
                best = Some((d, samples.start + k));
            }
        }
        best
    }

    pub fn foot(&self, place: &Place) -> Point {
        self.laid[place.sample].lerp(self.laid[place.sample + 1], place.t)
    }

    /// Out of the plate at a sample.
    pub fn normal(&self, sample: usize) -> Vec2 {
        let starts_strip = self.first.contains(&sample);
        let ends_strip = self.first.contains(&(sample + 1));
        let before = if starts_strip { sample } else { sample - 1 };
        let after = if ends_strip { sample } else { sample + 1 };
        outward(self.laid[after] - self.laid[before])
    }

    /// Length along the laid strips up to each sample, each strip counted from its own start.
    pub fn lengths(&self) -> Vec<f64> {
        let mut lengths = Vec::with_capacity(self.laid.len());
        for strip in 0..3 {
            let mut length = 0.0;
            for k in self.strip(strip) {
                if k > self.first[strip] {
                    length += self.laid[k - 1].distance(self.laid[k]);
                }
                lengths.push(length);
            }
        }
        lengths
    }

    /// Where the strips cross at a corner, 0 lower or 1 upper. They are carried on past the corner, so they cross unless the points force them apart.
    pub fn crossing(&self, corner: usize) -> Option<Crossing> {
        /// Samples looked at on either side of the recipe's corner.
        const AROUND: usize = 24;
        let near = |at: usize, strip: usize| {
            let samples = self.strip(strip);
            at.saturating_sub(AROUND).max(samples.start)..(at + AROUND).min(samples.end - 1)
        };
        let one = near(self.corner[2 * corner], corner);
        let two = near(self.corner[2 * corner + 1], corner + 1);
        for i in one {
            let (a, r) = (self.laid[i], self.laid[i + 1] - self.laid[i]);
            for j in two.clone() {
                let (c, s) = (self.laid[j], self.laid[j + 1] - self.laid[j]);
                let across = r.cross(s);
                if across == 0.0 {
                    continue;
                }
                let (t, u) = ((c - a).cross(s) / across, (c - a).cross(r) / across);
                if (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u) {
                    return Some(Crossing { at: a + t * r, before: i, after: j });
                }
            }
        }
        None
    }
}

/// Bottom to top with x outward, the plate is on the left.
fn outward(along: Vec2) -> Vec2 {
    Vec2::new(along.y, -along.x) / along.hypot().max(1e-12)
}

/// A run, bottom to top with x outward, at a height of 1.
fn sampled(outline: &Outline, run: Run, bottom: f64, height: f64) -> Option<Vec<Point>> {
    let chain = outline.run(run);
    let length = chain.length();
    if !length.is_finite() || length > 20.0 * height || chain.pieces.len() > 200 {
        return None;
    }
    let sign = run.side.sign();
    let mut points: Vec<Point> = chain
        .sampled(height / SAMPLES)
        .into_iter()
        .map(|(p, _)| Point::new(sign * p.x / height, (p.y - bottom) / height))
        .collect();
    // The same point twice would be a step without a direction.
    points.dedup_by(|b, a| a.distance(*b) < 1e-6);
    if points.len() < 4 || !points.iter().all(|p| p.is_finite()) {
        return None;
    }
    if run.side == Side::Left {
        points.reverse();
    }
    Some(points)
}

fn carried_on(from: Point, end: Point) -> Vec<Point> {
    let heading = direction((end - from).atan2());
    let steps = (CARRIED_ON * SAMPLES).ceil();
    (1..=steps as usize).map(|k| end + heading * (CARRIED_ON * k as f64 / steps)).collect()
}

/// Distances along a strip at which it may bend, both ends included.
fn stops(length: f64, corner_before: bool, corner_after: bool) -> Vec<f64> {
    let near = |corner: bool| -> Vec<f64> {
        let bends = BENDS.map(|s| s + CARRIED_ON).into_iter().filter(|s| corner && *s < 0.45 * length);
        std::iter::once(0.0).chain(bends).collect()
    };
    let mut stops = near(corner_before);
    let tail: Vec<f64> = near(corner_after).into_iter().rev().map(|s| length - s).collect();
    let (from, to) = (stops[stops.len() - 1], tail[0]);
    let between = ((to - from) / BENDS_BEYOND).round().clamp(1.0, 500.0) as usize;
    stops.extend((1..between).map(|i| from + (to - from) * i as f64 / between as f64));
    stops.extend(tail);
    stops
}
