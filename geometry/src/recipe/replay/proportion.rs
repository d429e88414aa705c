//! The measures: each a part of an earlier one, cut off as Euclid does it (Elements VI.9).

use super::{Mark, Role, Stroke, Taken, Work};
use crate::arc::Arc;
use crate::ratio::Ratio;
use crate::recipe::Size;
use kurbo::{Line, Point, Vec2};

/// Where the slanting line ends when as many steps are made along it as the whole has parts; in parts of the whole,
/// out and up. Any slant would do; this one keeps its crossings with the parallels open.
const SLANT: Vec2 = Vec2::new(0.42, 0.72);
/// With more parts than these only the parallel that is needed is drawn: all of them would be a grey field.
const MOST_PARALLELS: u16 = 12;
/// With more steps than these they can't be told apart.
const MOST_STEPS: u16 = 60;
/// Lengths that agree to this part of themselves are the same.
const SAME: f64 = 1e-9;
/// How far the centreline is drawn beyond the body at either end, in parts of the body length.
const BEYOND: f64 = 0.04;

impl Work<'_> {
    /// A measure is laid off from the foot of the centreline.
    pub(super) fn measure(&self, place: usize, now: usize) -> Vec<Stroke> {
        let (Some(measure), Some(Some(mm))) = (self.recipe.measures.get(place), self.lengths.get(place))
        else {
            return Vec::new();
        };
        let helper = |mark, role, taken| Stroke { mark, role, taken, until: Some(now) };
        let up_to = |mm: f64| Mark::Line(Line::new(Point::ZERO, Point::new(0.0, mm)));
        let mut strokes = Vec::new();
        if place == 0 {
            let beyond = BEYOND * mm;
            let line = Line::new(Point::new(0.0, -beyond), Point::new(0.0, mm + beyond));
            strokes.push(Stroke { mark: Mark::Line(line), role: Role::Centreline, taken: None, until: None });
        }
        if let Size::Ratio { ratio, of } = &measure.size
            && let Some(whole) = self.length_of(of)
        {
            // Worked at lengths found on ribs, a measure is what it is there, not what its ratio would make it.
            if (ratio.of(whole) - mm).abs() > SAME * mm {
                strokes.push(helper(up_to(*mm), Role::Part, Taken::size(*mm, &Size::Mm(*mm))));
                return strokes;
            }
            strokes.push(helper(up_to(whole), Role::Whole, Taken::all_of(whole, of)));
            if *ratio != Ratio::ONE {
                strokes
                    .extend(divided(whole, *ratio).into_iter().map(|(mark, role)| helper(mark, role, None)));
            }
        }
        strokes.push(helper(up_to(*mm), Role::Part, Taken::size(*mm, &measure.size)));
        strokes
    }

    fn length_of(&self, name: &str) -> Option<f64> {
        let place = self.recipe.measures.iter().position(|measure| measure.name == name)?;
        self.lengths.get(place).copied().flatten()
    }
}

/// The strokes that cut `ratio` of a length standing on the origin.
pub(super) fn divided(whole: f64, ratio: Ratio) -> Vec<(Mark, Role)> {
    let (over, under) = (ratio.over(), ratio.under());
    let most = over.max(under);
    let step = whole / f64::from(under) * SLANT;
    let slanting = |k: u16| (f64::from(k) * step).to_point();
    let upright = |k: u16| Point::new(0.0, whole * f64::from(k) / f64::from(under));
    let mut strokes = vec![(Mark::Line(Line::new(Point::ZERO, slanting(most) + 0.4 * step)), Role::Slant)];
    if most <= MOST_STEPS {
        strokes.extend((1..=most).map(|k| (Mark::Arc(stepped(slanting(k - 1), step)), Role::Step)));
    }
    let parallel = |k: u16| (Mark::Line(Line::new(slanting(k), upright(k))), Role::Parallel);
    strokes.push(parallel(under));
    if most <= MOST_PARALLELS {
        strokes.extend((1..under.max(over)).rev().filter(|k| ![over, under].contains(k)).map(parallel));
    }
    if over != under {
        strokes.push(parallel(over));
    }
    strokes
}

/// The short arc with which dividers mark one step.
fn stepped(from: Point, step: Vec2) -> Arc {
    let half = 0.22;
    Arc { centre: from, radius: step.hypot(), start: step.atan2() - half, sweep: 2.0 * half }
}
