//! Reconciling: a recipe of arcs fitted to ribs as they came out, each side and each corner in its own right.

mod account;
mod easing;
mod extra;
mod finish;
mod fit;
mod folded;
mod found;
mod half;
mod layout;
mod model;
mod parting;
mod prior;
mod reading;
pub mod report;
mod slips;
mod solve;
mod solved;
mod suiting;
mod within;

pub use parting::Parting;

use crate::edge::corner::rib_corner;
use crate::edge::{CornerCut, CornerWish};
use crate::outline::{Bout, Corner, Side};
use crate::recipe::{Dimension, Ease, Plan, Recipe, RecipeError, Size};
use crate::trace::{Notice, PreparedTrace, Trace, TraceError, prepare};
use kurbo::Vec2;
use report::Reconciled;
pub use suiting::{Suits, suiting};

/// What the traced line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Traced {
    /// The outside of the ribs: the edge lies the overhang further out.
    #[default]
    Ribs,
    /// The middle of a purfling line: the edge lies the purfling distance further out.
    Purfling,
    /// The edge itself.
    Edge,
}

/// Three ways to finish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Finish {
    /// Every radius where these ribs put it.
    Fitted,
    /// Every radius a simple ratio of the length and widths found on these ribs.
    #[default]
    Ratio,
    /// The recipe's own ratios throughout, both sides alike; for comparison.
    Recipe,
}

/// Whether the two sides share their radii.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Radii {
    /// One compass setting, struck on both sides.
    #[default]
    Shared,
    EachSide,
}

/// Overhang wanted in each bout, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overhang {
    pub lower: f64,
    pub waist: f64,
    pub upper: f64,
}

impl Overhang {
    pub fn even(mm: f64) -> Self {
        Overhang { lower: mm, waist: mm, upper: mm }
    }

    pub fn at(self, bout: Bout) -> f64 {
        match bout {
            Bout::Lower => self.lower,
            Bout::Waist => self.waist,
            Bout::Upper => self.upper,
        }
    }
}

/// What the maker asks for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wish {
    pub traced: Traced,
    pub overhang: Overhang,
    /// How far the overhang may leave what is wanted, either way, before it is remarked on; mm.
    pub tolerance: f64,
    /// Edge to the middle of the purfling; used when that is what was traced; mm.
    pub purfling_distance: f64,
    pub finish: Finish,
    pub radii: Radii,
    /// Whether an extra arc is taken into a run that cannot stay within the tolerance and earns it.
    pub extra_arcs: bool,
    /// In the order of [`crate::outline::Corner::ALL`].
    pub corners: [CornerWish; 4],
}

impl Wish {
    /// What is customary for the recipe's instrument, as far as it can be wished for at all: a recipe may come from
    /// anywhere.
    pub fn customary(recipe: &Recipe) -> Self {
        let customary = recipe.customary;
        let within = |mm: f64, low: f64, high: f64| if mm.is_finite() { mm.clamp(low, high) } else { low };
        Wish {
            traced: Traced::Ribs,
            overhang: Overhang::even(within(customary.overhang, 0.0, MOST_DISTANCE)),
            tolerance: within(customary.overhang_tolerance, 0.0, MOST_TOLERANCE),
            purfling_distance: within(customary.purfling_distance, 0.0, MOST_DISTANCE),
            finish: Finish::Ratio,
            radii: Radii::Shared,
            extra_arcs: true,
            corners: [CornerWish::width(within(
                customary.corner_width,
                CornerCut::WIDTH.0,
                CornerCut::WIDTH.1,
            )); 4],
        }
    }

    /// Distance from the traced line out to the edge, in mm.
    pub fn distance(&self, bout: Bout) -> f64 {
        match self.traced {
            Traced::Ribs => self.overhang.at(bout),
            Traced::Purfling => self.purfling_distance,
            Traced::Edge => 0.0,
        }
    }
}

/// Why no edge could be developed; worded for a person.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReconcileError {
    #[error(transparent)]
    Trace(#[from] TraceError),
    #[error(transparent)]
    Recipe(#[from] RecipeError),
    #[error(
        "the recipe's outline names a circle \"{0}\" that none of its steps strikes; choose one of its circles"
    )]
    CircleMissing(String),
    #[error(
        "each of the recipe's three runs needs at least one arc; tap the circles of the empty run in their order"
    )]
    EmptyRun,
    #[error("the recipe leaves no freedom to fit these ribs; give its measures some looseness, such as 1 mm")]
    NoExpectation,
    #[error("the {0} must be from {1} to {2} mm; it is {3} mm")]
    Setting(&'static str, f64, f64, f64),
    #[error(
        "the {0} is cut so far back that nothing is left of an arc; choose a narrower corner or one that reaches further"
    )]
    CornerTooWide(String),
    #[error("No edge can be developed around these points. {0}")]
    Unlike(Notice),
}

/// Largest overhang or purfling distance that is taken for meant, mm.
const MOST_DISTANCE: f64 = 15.0;
/// Largest tolerance of the overhang, mm.
const MOST_TOLERANCE: f64 = 5.0;

impl Wish {
    /// # Errors
    /// [`ReconcileError::Setting`] for a distance that nobody can mean.
    pub fn check(&self) -> Result<(), ReconcileError> {
        let within = |what, low: f64, high: f64, mm: f64| {
            if (low..=high).contains(&mm) {
                Ok(())
            } else {
                Err(ReconcileError::Setting(what, low, high, mm))
            }
        };
        within("overhang of the lower bout", 0.0, MOST_DISTANCE, self.overhang.lower)?;
        within("overhang of the waist", 0.0, MOST_DISTANCE, self.overhang.waist)?;
        within("overhang of the upper bout", 0.0, MOST_DISTANCE, self.overhang.upper)?;
        within("tolerance of the overhang", 0.0, MOST_TOLERANCE, self.tolerance)?;
        within("distance of the purfling", 0.0, MOST_DISTANCE, self.purfling_distance)?;
        for corner in self.corners {
            let (what, (low, high), mm) = match corner.cut {
                CornerCut::Width(mm) => ("width of a corner", CornerCut::WIDTH, mm),
                CornerCut::Beyond(mm) => ("reach of a corner beyond the ribs' own", CornerCut::BEYOND, mm),
            };
            within(what, low, high, mm)?;
            within("lean of a corner end in radians", -1.6, 1.6, corner.lean)?;
        }
        Ok(())
    }
}

/// Develops the edge around a traced line by a recipe.
///
/// # Errors
/// A sentence for the maker where the trace, the recipe or a setting makes no edge possible.
pub fn reconcile(trace: &Trace, recipe: &Recipe, wish: &Wish) -> Result<Reconciled, ReconcileError> {
    let ready = Ready::new(trace, recipe, wish)?;
    // Of points that are no plate's, what went wrong with their corners says nothing.
    developed(trace, recipe, wish, &ready).map_err(|error| ready.unlike().unwrap_or(error))
}

fn developed(
    trace: &Trace,
    recipe: &Recipe,
    wish: &Wish,
    ready: &Ready,
) -> Result<Reconciled, ReconcileError> {
    let mut fit = fit::fit(&ready.expectation, &ready.prepared, wish);
    let extra = extra::extra_arcs(recipe, &mut fit, wish);
    fit.settle();
    within::hold_within(&mut fit, wish);
    let finished = finish::finish(recipe, &ready.plan, &ready.planned, fit, extra, wish)?;
    account::account(trace, recipe, &ready.planned, &ready.prepared, wish, finished)
}

/// A trace and a recipe made ready for one another.
struct Ready {
    plan: Plan,
    /// Lengths of the measures as the recipe has them, mm.
    planned: Vec<f64>,
    prepared: PreparedTrace,
    /// Lengths of the measures as first read on the trace, mm.
    lengths: Vec<f64>,
    expectation: prior::Expectation,
}

impl Ready {
    fn new(trace: &Trace, recipe: &Recipe, wish: &Wish) -> Result<Self, ReconcileError> {
        wish.check()?;
        let plan = recipe.prepared()?;
        let planned = recipe.lengths()?;
        let template = plan.evaluate_at(&planned)?.outline;
        let prepared = prepare(trace, &template)?;
        let lengths = lengths_of_these_ribs(recipe, &planned, &prepared, wish);
        let expectation = expect(recipe, &plan, &planned, &lengths, &prepared, wish)?;
        Ok(Ready { plan, planned, prepared, lengths, expectation })
    }

    /// That the points are no line like the recipe's, where so many are not.
    fn unlike(&self) -> Option<ReconcileError> {
        let unlike = |notice: &&Notice| matches!(notice, Notice::UnlikeTheRecipe { .. });
        self.prepared.notices.iter().find(unlike).cloned().map(ReconcileError::Unlike)
    }
}

/// The expectation at the lengths of these ribs; where the construction cannot be worked at their widths, at the plan's
/// proportions and their body length.
fn expect(
    recipe: &Recipe,
    plan: &Plan,
    planned: &[f64],
    lengths: &[f64],
    prepared: &PreparedTrace,
    wish: &Wish,
) -> Result<prior::Expectation, ReconcileError> {
    let scale = lengths.first().zip(planned.first()).map_or(1.0, |(found, plan)| found / plan);
    let in_proportion: Vec<f64> = planned.iter().map(|l| l * scale).collect();
    let free = prepared.centreline_estimated;
    let bottom = prepared
        .points
        .iter()
        .filter(|p| p.run.bout == Bout::Lower)
        .map(|p| p.at.y)
        .fold(f64::INFINITY, f64::min);
    let bottom = if bottom.is_finite() { bottom - wish.distance(Bout::Lower) } else { 0.0 };
    let as_they_are = corners_eased(recipe, plan, lengths, prepared, wish, bottom);
    let as_planned = vec![[0.0; 2]; recipe.steps.len()];
    let mut expectation = prior::expectation(recipe, plan, lengths, &as_they_are, wish.radii, free)
        .or_else(|_| prior::expectation(recipe, plan, lengths, &as_planned, wish.radii, free))
        .or_else(|_| prior::expectation(recipe, plan, &in_proportion, &as_planned, wish.radii, free))?;
    expectation.lift(bottom);
    Ok(expectation)
}

/// How far the recipe's two corner points want to be moved for its corners to come where those of these ribs are: both
/// sides' departures averaged, up and out; the less of them, the further from a corner its nearest points were traced.
fn corners_eased(
    recipe: &Recipe,
    plan: &Plan,
    lengths: &[f64],
    prepared: &PreparedTrace,
    wish: &Wish,
    bottom: f64,
) -> Vec<Ease> {
    /// Further than this a corner has not been eased but taken for another, mm on a violin.
    const FURTHEST: f64 = 14.0;
    /// Standard deviation of a traced corner as a part of how far the nearest point is from it; chosen by trial on simulated ribs.
    const UNSURE: f64 = 0.2;
    let mut eased = vec![[0.0; 2]; recipe.steps.len()];
    let Ok(outline) = plan.outline_eased(lengths, &eased) else { return eased };
    for (name, bout) in [(&recipe.plan.lower_corner, Bout::Lower), (&recipe.plan.upper_corner, Bout::Upper)] {
        let Some(step) = recipe.steps.iter().position(|s| s.name == *name) else { continue };
        let planned = Corner::of(bout, Side::Right).and_then(|at| {
            let runs = (outline.run(at.outer_run()), outline.run(at.waist_run()));
            rib_corner(at, runs.0, runs.1, (wish.distance(bout), wish.distance(Bout::Waist)))
        });
        let Some(planned) = planned else { continue };
        let (mut departure, mut nearest, mut count) = (Vec2::ZERO, 0.0, 0.0);
        for side in Side::BOTH {
            let traced = Corner::of(bout, side).and_then(|corner| prepared.corners[corner.index()]);
            let Some(traced) = traced else { continue };
            let by = Vec2::new(traced.x * side.sign() - planned.x, traced.y - bottom - planned.y);
            if by.hypot() < FURTHEST * lengths[0] / 355.0 {
                departure += by;
                nearest +=
                    prepared.points.iter().map(|p| p.at.distance(traced)).fold(f64::INFINITY, f64::min);
                count += 1.0;
            }
        }
        let (square, unsure) = (departure.hypot2(), UNSURE * nearest);
        if square > 0.0 {
            let mean = departure * square / (square + unsure * unsure) / count;
            eased[step] = [mean.y, mean.x];
        }
    }
    eased
}

/// First reading of the recipe's measures on the trace: the dimensions from its extremes, the others in proportion.
fn lengths_of_these_ribs(
    recipe: &Recipe,
    planned: &[f64],
    prepared: &PreparedTrace,
    wish: &Wish,
) -> Vec<f64> {
    let of = |bout: Bout, side: Side| {
        prepared.points.iter().filter(move |p| p.run.bout == bout && p.run.side == side).map(|p| p.at)
    };
    let width = |bout: Bout| -> Option<f64> {
        let mut halves: Vec<f64> = Vec::new();
        for side in Side::BOTH {
            let out = of(bout, side).map(|p| p.x * side.sign());
            let extreme = if bout == Bout::Waist {
                out.fold(f64::INFINITY, f64::min)
            } else {
                out.fold(f64::NEG_INFINITY, f64::max)
            };
            if extreme.is_finite() {
                halves.push(extreme + wish.distance(bout));
            }
        }
        (!halves.is_empty()).then(|| 2.0 * halves.iter().sum::<f64>() / halves.len() as f64)
    };
    let length = || -> Option<f64> {
        let ys = |bout: Bout| Side::BOTH.into_iter().flat_map(move |s| of(bout, s)).map(|p| p.y);
        let (low, high) = (
            ys(Bout::Lower).fold(f64::INFINITY, f64::min),
            ys(Bout::Upper).fold(f64::NEG_INFINITY, f64::max),
        );
        (low.is_finite() && high.is_finite())
            .then(|| high - low + wish.distance(Bout::Lower) + wish.distance(Bout::Upper))
    };
    let mut lengths: Vec<f64> = Vec::with_capacity(planned.len());
    for (j, measure) in recipe.measures.iter().enumerate() {
        let found = match measure.dimension {
            Some(Dimension::BodyLength) => length(),
            Some(Dimension::LowerWidth) => width(Bout::Lower),
            Some(Dimension::WaistWidth) => width(Bout::Waist),
            Some(Dimension::UpperWidth) => width(Bout::Upper),
            None => None,
        };
        let in_proportion = match &measure.size {
            Size::Ratio { ratio, of } => recipe.measures[..j]
                .iter()
                .position(|m| m.name == *of)
                .map_or(planned[j], |base| ratio.of(lengths[base])),
            Size::Mm(mm) => *mm,
        };
        // A trace with gaps may miss the extremes: what is out by a fifth is not a reading of this measure.
        // The first measure has no other to be in proportion to.
        let believable = |mm: &f64| j == 0 || (0.8..1.25).contains(&(mm / in_proportion));
        lengths.push(found.filter(believable).unwrap_or(in_proportion));
    }
    lengths
}
