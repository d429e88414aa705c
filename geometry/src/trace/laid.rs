//! The recipe's outline as it comes to lie over the points of both sides, and where every point lies on it.

use super::give::Followed;
use super::mistakes::{OnLine, off_the_line};
use super::pose::Pose;
use super::strips::{ACROSS, Crossing, Half, Place};
use super::{Frame, TracedPoint};
use crate::outline::{Bout, Side};
use kurbo::Point;

/// Within this of a corner, lines are less known than elsewhere; mm at a violin's size.
const AT_CORNER: f64 = 15.0;

/// The outline laid over the points of both halves. Points are known by their place in the list they came in.
#[derive(Debug)]
pub(super) struct Laid {
    /// The body's size in violins.
    pub unit: f64,
    /// Left and right.
    pub halves: [Half; 2],
    pub followed: [Vec<Followed>; 2],
    /// Which point each of `followed` is.
    whose: [Vec<usize>; 2],
    /// For each point its half and its place there.
    pub places: Vec<(usize, Place)>,
    /// Where the strips of each half cross at its lower and its upper corner.
    pub crossings: [[Option<Crossing>; 2]; 2],
}

impl Laid {
    pub fn over(points: &[TracedPoint], mut halves: [Half; 2], pose: &Pose) -> Laid {
        let mut followed = [Vec::new(), Vec::new()];
        let mut whose = [Vec::new(), Vec::new()];
        let mut homes = Vec::with_capacity(points.len());
        for (k, point) in points.iter().enumerate() {
            let at = pose.frame.to_result(point.at);
            let said = point.run.map(|run| run.side).or(point.side);
            let home = said.unwrap_or(if at.x < 0.0 { Side::Left } else { Side::Right });
            homes.push(home as usize);
            let strip = point.run.map(|run| run.bout as usize);
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
        let places = homes.into_iter().map(|home| (home, nowhere)).collect();
        let mut laid = Laid { unit, halves, followed, whose, places, crossings: [[None; 2]; 2] };
        laid.place();
        laid
    }

    fn place(&mut self) {
        for half in 0..2 {
            self.crossings[half] = [0, 1].map(|corner| self.halves[half].crossing(corner));
            for (point, &k) in self.followed[half].iter().zip(&self.whose[half]) {
                if self.places[k].0 == half {
                    self.places[k].1 = self.halves[half].nearest(point.at, point.strip);
                }
            }
        }
    }

    /// The bout that a point lies on.
    pub fn bout(&self, point: usize) -> Bout {
        Bout::ALL[self.places[point].1.strip]
    }

    /// For each point whether it is off the line that its neighbours make. If many seem to be, it is the recipe
    /// that is off, and none is.
    pub fn off_the_line(&self) -> Vec<bool> {
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
            let corners = [0, 1].map(|corner| self.corner_at(half, corner));
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
    pub fn without(&mut self, off: &[bool]) {
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

    /// The points of a half that lie on one of its strips.
    pub fn on_strip(&self, half: usize, strip: usize) -> impl Iterator<Item = (&Followed, &Place)> {
        self.followed[half].iter().zip(&self.whose[half]).filter_map(move |(point, &k)| {
            let (home, place) = &self.places[k];
            (*home == half && place.strip == strip).then_some((point, place))
        })
    }

    /// The place of a corner, 0 lower or 1 upper, in the half's coordinates: where the strips cross, or the recipe's own
    /// corner as it lies now.
    pub fn corner_at(&self, half: usize, corner: usize) -> Point {
        let laid = &self.halves[half];
        self.crossings[half][corner].map_or(laid.laid[laid.corner[2 * corner]], |crossing| crossing.at)
    }

    /// The samples at a corner, on the strip before it and on the one after it.
    pub fn corner_samples(&self, half: usize, corner: usize) -> (usize, usize) {
        let recipes = &self.halves[half].corner;
        self.crossings[half][corner].map_or((recipes[2 * corner], recipes[2 * corner + 1]), |crossing| {
            (crossing.before, crossing.after)
        })
    }

    /// The height in `frame` at which the line crosses the centreline at the bottom, mean of what the two halves say.
    pub fn bottom(&self, pose: &Pose, frame: Frame) -> f64 {
        let mut heights = Vec::new();
        for (half, side) in self.halves.iter().zip(Side::BOTH) {
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
}
