//! A recipe as it is worked on the board, stroke by stroke: what a teacher draws before a class.
//!
//! A [`Replay`] is a list of frames in the order of the work: the measures, each a part of an earlier one; the recipe's
//! own steps; the left side, struck with the settings of the right; the ink. A frame is a list of strokes, in
//! the order in which they are drawn, and each stroke knows how long it is needed: what no later frame rests on is
//! helper work done with, and can fade.
//!
//! Centres are found as with a compass and nothing else. One that has to lie on a line is cut off on it by the setting,
//! set off from the point that the circle passes through. One that touches other circles lies where two arcs
//! cross: about the centre of a circle touched from outside with the sum of the two settings, of one touched inside with
//! their difference, since both centres and the contact lie in one line (Euclid, Elements III.11 and III.12).

mod ink;
mod order;
mod proportion;
mod strike;
mod sweep;

use super::{Construction, PartialConstruction, PlacedCircle, PlacedPoint, Recipe, Size};
use crate::arc::Arc;
use crate::outline::{Bout, Run};
use crate::ratio::Ratio;
use kurbo::{Line, Point, Rect, Shape};
use order::Order;

/// A recipe's work in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Replay {
    pub frames: Vec<Frame>,
}

/// One thing that is done on the board.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    pub act: Act,
    /// The earlier frames whose points and circles this one makes use of, in their order.
    pub rests_on: Vec<usize>,
    /// In the order in which they are drawn.
    pub strokes: Vec<Stroke>,
}

/// What is done in a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Act {
    /// A measure is laid off, by its place in the recipe. The first is the body length.
    Measure(usize),
    /// A point is marked; the place of its step in the recipe.
    Point(usize),
    /// A circle is struck; the place of its step in the recipe.
    Circle(usize),
    /// The arcs of a bout are struck again on the left side.
    LeftSide(Bout),
    /// A run is drawn over in ink.
    Ink(Run),
    /// All is drawn.
    Finished,
}

/// One stroke of the pencil, the compass or the pen.
#[derive(Debug, Clone, PartialEq)]
pub struct Stroke {
    pub mark: Mark,
    pub role: Role,
    /// The length that is taken for it between the points of the compass, where there is one.
    pub taken: Option<Taken>,
    /// The last frame that rests on it. `None` for what stays to the end.
    pub until: Option<usize>,
}

/// What a stroke leaves on the board, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Mark {
    Point(Point),
    /// Drawn from its first point to its second.
    Line(Line),
    /// Swept with the compass from its start.
    Arc(Arc),
}

/// What a stroke is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Role {
    Centreline,
    /// A known length, from the foot of the centreline up.
    Whole,
    /// A line from the foot at any slant, to be stepped along.
    Slant,
    /// Equal steps along the slanting line, one after the other.
    Step,
    /// From the last step needed to the end of the known length, and its parallels through other steps (Euclid,
    /// Elements VI.9).
    Parallel,
    /// The part that was to be found.
    Part,

    /// So far up the centreline.
    Up,
    /// So far out from it, and square to it.
    Out,
    /// A marked point.
    Marked,
    /// Square to the centreline, for a centre to lie on.
    CrossLine,
    /// The setting, set off from a point.
    SetOff,
    /// Where the centres lie of all circles with the new setting that touch a circle.
    Touching,
    /// A centre, found.
    Centre,
    /// Through two centres and the contact of their circles.
    LineOfCentres,
    /// Where two circles touch.
    Contact,
    /// The arc itself, in pencil.
    Struck,
    /// From a centre square across the centreline to its place on the left.
    Carried,

    /// An arc of the outline, in ink.
    Ink,
    /// Across the outline, where one arc hands over to the next.
    Joint,
    /// A corner of the finished outline.
    Corner,
}

/// A length between the points of the compass.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    pub mm: f64,
    pub opening: Opening,
}

/// How a length is come by, as the recipe names it.
#[derive(Debug, Clone, PartialEq)]
pub enum Opening {
    Size(Size),
    Sum(Size, Size),
    /// The first less the second.
    Difference(Size, Size),
}

impl Replay {
    /// The work of a recipe whose construction is whole. The lengths are those of the construction, so it may have been
    /// worked at others than the recipe's own.
    ///
    /// ```
    /// use ribline_geometry::recipe::{built_in::violin, replay::{Act, Replay}};
    /// let violin = violin();
    /// let replay = Replay::of(&violin, &violin.evaluate().unwrap());
    /// assert_eq!(replay.frames.first().map(|frame| frame.act), Some(Act::Measure(0)));
    /// assert_eq!(replay.frames.last().map(|frame| frame.act), Some(Act::Finished));
    /// ```
    pub fn of(recipe: &Recipe, drawn: &Construction) -> Replay {
        let lengths: Vec<Option<f64>> = drawn.lengths.iter().copied().map(Some).collect();
        Work { recipe, lengths: &lengths, points: &drawn.points, circles: &drawn.circles, whole: Some(drawn) }
            .replayed()
    }

    /// As much of the work as goes, where the recipe has a fault: no left side and no ink, unless the outline can be
    /// made in spite of it.
    pub fn of_partial(recipe: &Recipe, drawn: &PartialConstruction) -> Replay {
        if let Some(whole) = &drawn.whole {
            return Replay::of(recipe, whole);
        }
        let PartialConstruction { lengths, points, circles, .. } = drawn;
        Work { recipe, lengths, points, circles, whole: None }.replayed()
    }

    /// Everything that is ever drawn lies within. `None` where nothing is.
    pub fn extent(&self) -> Option<Rect> {
        self.frames.iter().filter_map(Frame::extent).reduce(|all, one| all.union(one))
    }

    /// Strokes on the board when a frame is complete, each with the frame in which it was drawn: those of earlier frames
    /// that it or a later one still rests on, then its own.
    pub fn standing(&self, frame: usize) -> impl Iterator<Item = (usize, &Stroke)> {
        let upto = self.frames.iter().enumerate().take(frame.saturating_add(1));
        let all = upto.flat_map(|(drawn, f)| f.strokes.iter().map(move |stroke| (drawn, stroke)));
        all.filter(move |(_, stroke)| stroke.until.is_none_or(|until| until >= frame))
    }
}

impl Frame {
    /// What is drawn in this frame lies within, centres included. `None` where nothing is.
    pub fn extent(&self) -> Option<Rect> {
        self.strokes.iter().map(|stroke| stroke.mark.extent()).reduce(|all, one| all.union(one))
    }
}

impl Mark {
    /// Its bounds; an arc's with the centre that the compass stands on.
    pub fn extent(&self) -> Rect {
        match self {
            Mark::Point(at) => Rect::from_points(*at, *at),
            Mark::Line(line) => line.bounding_box(),
            Mark::Arc(arc) => arc.to_kurbo().bounding_box().union_pt(arc.centre),
        }
    }
}

impl Taken {
    fn size(mm: f64, size: &Size) -> Option<Taken> {
        Some(Taken { mm, opening: Opening::Size(size.clone()) })
    }

    /// All of a measure.
    fn all_of(mm: f64, name: &str) -> Option<Taken> {
        Taken::size(mm, &Size::Ratio { ratio: Ratio::ONE, of: name.to_owned() })
    }
}

/// What is replayed.
struct Work<'a> {
    recipe: &'a Recipe,
    lengths: &'a [Option<f64>],
    points: &'a [PlacedPoint],
    circles: &'a [PlacedCircle],
    /// Where the outline could be made.
    whole: Option<&'a Construction>,
}

impl Work<'_> {
    fn replayed(&self) -> Replay {
        let order = Order::of(self);
        let mut frames = Vec::with_capacity(order.acts.len());
        for (now, act) in order.acts.iter().enumerate() {
            let strokes = match *act {
                Act::Measure(measure) => self.measure(measure, now),
                Act::Point(step) => self.point(step, now, &order),
                Act::Circle(step) => self.circle(step, now, &order),
                Act::LeftSide(bout) => self.left_side(bout, now, &order),
                Act::Ink(run) => self.ink(run),
                Act::Finished => self.corners(),
            };
            frames.push(Frame { act: *act, rests_on: order.rests_on(self, *act), strokes });
        }
        Replay { frames }
    }

    fn body_length(&self) -> f64 {
        self.lengths.first().copied().flatten().unwrap_or(0.0)
    }

    fn placed_point(&self, step: usize) -> Option<&PlacedPoint> {
        self.points.iter().find(|point| point.step == step)
    }

    fn placed_circle(&self, step: usize) -> Option<&PlacedCircle> {
        self.circles.iter().find(|circle| circle.step == step)
    }

    fn circle_called(&self, name: &str) -> Option<&PlacedCircle> {
        self.circles.iter().find(|circle| circle.name == name)
    }
}

#[cfg(test)]
mod tests;
