//! Which frame does what, and how long what it draws is needed.

use super::{Act, Work};
use crate::outline::{Bout, Run, Side};
use crate::recipe::{Action, Line, Placing};

pub(super) struct Order {
    pub acts: Vec<Act>,
}

impl Order {
    pub fn of(work: &Work) -> Order {
        let measures =
            work.lengths.iter().enumerate().filter_map(|(k, length)| length.map(|_| Act::Measure(k)));
        let mut acts: Vec<Act> = measures.collect();
        acts.extend((0..work.recipe.steps.len()).filter_map(|step| {
            let point = work.placed_point(step).map(|_| Act::Point(step));
            point.or_else(|| work.placed_circle(step).map(|_| Act::Circle(step)))
        }));
        if work.whole.is_some() {
            acts.extend(Bout::ALL.map(Act::LeftSide));
            acts.extend(Run::ALL.map(Act::Ink));
            acts.push(Act::Finished);
        }
        Order { acts }
    }

    /// The frames whose points and circles this act makes use of.
    pub fn rests_on(&self, work: &Work, act: Act) -> Vec<usize> {
        let steps: Vec<usize> = match act {
            Act::Circle(step) => {
                work.placed_circle(step).map(|circle| circle.rests_on.clone()).unwrap_or_default()
            }
            Act::LeftSide(bout) => circles_of(work, Run { bout, side: Side::Right }),
            Act::Ink(run) => circles_of(work, run),
            Act::Measure(_) | Act::Point(_) | Act::Finished => Vec::new(),
        };
        let made = |k: &usize| matches!(self.acts.get(*k), Some(Act::Point(s) | Act::Circle(s)) if steps.contains(s));
        (0..self.acts.len()).filter(made).collect()
    }

    fn frame_of(&self, wanted: Act) -> Option<usize> {
        self.acts.iter().position(|act| *act == wanted)
    }

    /// The last frame in which a circle is struck that rests on this step.
    fn last_rest(&self, work: &Work, step: usize) -> Option<usize> {
        let resting = work.circles.iter().filter(|circle| circle.rests_on.contains(&step));
        resting.filter_map(|circle| self.frame_of(Act::Circle(circle.step))).max()
    }

    /// The last frame that inks an arc of this circle on that side.
    fn last_ink(&self, work: &Work, step: usize, side: Side) -> Option<usize> {
        let whole = work.whole?;
        let inked = Run::ALL.into_iter().zip(&whole.runs).filter(|(run, circles)| {
            let of_it = |k: &usize| work.circles.get(*k).is_some_and(|circle| circle.step == step);
            run.side == side && circles.iter().any(of_it)
        });
        inked.filter_map(|(run, _)| self.frame_of(Act::Ink(run))).max()
    }

    /// A point is needed while circles rest on it, and a corner until both sides are inked to it.
    pub fn point_until(&self, work: &Work, step: usize, now: usize) -> usize {
        let name = work.recipe.steps.get(step).map(|step| step.name.as_str());
        let plan = &work.recipe.plan;
        let is_corner = name == Some(&plan.lower_corner) || name == Some(&plan.upper_corner);
        let inked = Run::ALL.into_iter().filter_map(|run| self.frame_of(Act::Ink(run))).max();
        self.last_rest(work, step).max(inked.filter(|_| is_corner)).unwrap_or(now).max(now)
    }

    /// An arc is needed while later circles touch it, and until it is inked.
    pub fn arc_until(&self, work: &Work, step: usize, now: usize) -> usize {
        self.last_rest(work, step).max(self.last_ink(work, step, Side::Right)).unwrap_or(now).max(now)
    }

    /// A centre is needed while circles that touch its own are struck, and for the left side and the ink.
    pub fn centre_until(&self, work: &Work, step: usize, now: usize) -> usize {
        let inked = self.last_ink(work, step, Side::Right).max(self.last_ink(work, step, Side::Left));
        self.last_rest(work, step).max(inked).unwrap_or(now).max(now)
    }

    /// An arc or a centre on the left side is needed until it is inked.
    pub fn left_until(&self, work: &Work, step: usize, now: usize) -> usize {
        self.last_ink(work, step, Side::Left).unwrap_or(now).max(now)
    }

    /// A contact is needed until the joint that it becomes is inked.
    pub fn contact_until(&self, work: &Work, one: usize, other: usize, now: usize) -> usize {
        let Some(whole) = work.whole else { return now };
        let is = |k: usize, step: usize| work.circles.get(k).is_some_and(|circle| circle.step == step);
        let joint = whole.joints.iter().find(|joint| {
            (is(joint.from, one) && is(joint.to, other)) || (is(joint.from, other) && is(joint.to, one))
        });
        joint
            .and_then(|joint| self.frame_of(Act::Ink(Run { bout: joint.bout, side: Side::Right })))
            .unwrap_or(now)
            .max(now)
    }

    /// A line square to the centreline is needed while centres are looked for on it.
    pub fn cross_line_until(&self, work: &Work, point: &str, now: usize) -> usize {
        let on_it = work.recipe.steps.iter().enumerate().filter(|(_, step)| {
            matches!(&step.action, Action::Circle { placed: Placing::Through { centre_on: Line::CrossAt { point: at }, .. }, .. } if at == point)
        });
        on_it.filter_map(|(step, _)| self.frame_of(Act::Circle(step))).max().unwrap_or(now).max(now)
    }
}

/// The steps that struck the circles of a run.
fn circles_of(work: &Work, run: Run) -> Vec<usize> {
    let run = work.whole.and_then(|whole| whole.runs.get(run.index()));
    run.into_iter().flatten().filter_map(|k| work.circles.get(*k)).map(|circle| circle.step).collect()
}
