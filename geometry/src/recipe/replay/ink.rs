//! The left side, struck with the settings of the right, and the ink.

use super::order::Order;
use super::sweep::{overrun, reversed};
use super::{Act, Mark, Role, Stroke, Taken, Work};
use crate::arc::{Arc, direction};
use crate::outline::{Bout, Run, Side};
use crate::recipe::PlacedCircle;
use kurbo::{Line, Point};

/// Half of the tick across a joint, in parts of the body length.
const TICK: f64 = 0.009;

impl Work<'_> {
    /// Every arc of the outline with the frame that inks it and the circle that it is of.
    pub(super) fn outline_arcs(&self) -> impl Iterator<Item = (Act, &PlacedCircle, Arc)> {
        self.whole.into_iter().flat_map(move |whole| {
            Run::ALL.into_iter().zip(&whole.runs).flat_map(move |(run, circles)| {
                let arcs = whole.outline.run(run).arcs();
                circles
                    .iter()
                    .zip(arcs)
                    .filter_map(move |(k, arc)| Some((Act::Ink(run), self.circles.get(*k)?, arc)))
            })
        })
    }

    /// The centres of a bout, carried square across the centreline, and its arcs.
    pub(super) fn left_side(&self, bout: Bout, now: usize, order: &Order) -> Vec<Stroke> {
        let ink = Act::Ink(Run { bout, side: Side::Left });
        let mut arcs: Vec<(&PlacedCircle, Arc)> = self
            .outline_arcs()
            .filter(|(act, ..)| *act == ink)
            .map(|(_, circle, arc)| (circle, arc))
            .collect();
        // In the order of the right side: the lower run from the bottom, the waist from the lower corner, each the other
        // way than the outline goes on the left.
        if bout != Bout::Upper {
            arcs.reverse();
            arcs.iter_mut().for_each(|(_, arc)| *arc = reversed(arc));
        }
        let off_centreline: Vec<(&PlacedCircle, Point)> = arcs
            .iter()
            .filter(|(circle, _)| circle.centre.x.abs() > 1e-9 * circle.radius)
            .map(|(circle, _)| (*circle, Point::new(-circle.centre.x, circle.centre.y)))
            .collect();
        let mut strokes = Vec::new();
        for (circle, left) in &off_centreline {
            let mark = Mark::Line(Line::new(circle.centre, *left));
            strokes.push(Stroke { mark, role: Role::Carried, taken: None, until: Some(now) });
        }
        for (circle, left) in &off_centreline {
            let until = Some(order.left_until(self, circle.step, now));
            strokes.push(Stroke { mark: Mark::Point(*left), role: Role::Centre, taken: None, until });
        }
        for (circle, arc) in &arcs {
            let until = Some(order.left_until(self, circle.step, now));
            let mark = Mark::Arc(overrun(arc, self.body_length()));
            let taken = Taken::size(circle.radius, &circle.size);
            strokes.push(Stroke { mark, role: Role::Struck, taken, until });
        }
        strokes
    }

    /// The arcs of a run in ink, with a tick across each joint.
    pub(super) fn ink(&self, run: Run) -> Vec<Stroke> {
        let stays = |mark, role, taken| Stroke { mark, role, taken, until: None };
        let tick = TICK * self.body_length();
        let mut strokes = Vec::new();
        for (_, circle, arc) in self.outline_arcs().filter(|(act, ..)| *act == Act::Ink(run)) {
            if !strokes.is_empty() {
                let across = tick * direction(arc.start);
                let (from, to) = (arc.at(0.0) - across, arc.at(0.0) + across);
                strokes.push(stays(Mark::Line(Line::new(from, to)), Role::Joint, None));
            }
            strokes.push(stays(Mark::Arc(arc), Role::Ink, Taken::size(circle.radius, &circle.size)));
        }
        strokes
    }

    pub(super) fn corners(&self) -> Vec<Stroke> {
        let corners = self.whole.into_iter().flat_map(|whole| whole.corners);
        corners
            .map(|at| Stroke { mark: Mark::Point(at), role: Role::Corner, taken: None, until: None })
            .collect()
    }
}
