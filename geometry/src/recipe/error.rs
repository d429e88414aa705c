//! What can be wrong with a recipe, said so that its author can put it right.

use super::{Dimension, Size};
use crate::outline::Bout;
use crate::ratio::Ratio;
use kurbo::Point;
use std::fmt;

/// Limits of a recipe. Well beyond any that is drawn by hand, and small enough that a file from
/// anywhere is worked in no time.
pub const MOST_MEASURES: usize = 64;
pub const MOST_STEPS: usize = 200;
/// Circles in one run.
pub const MOST_ARCS: usize = 40;
pub const MOST_CHOICES: usize = 48;
pub const LONGEST_NAME: usize = 40;
pub const LONGEST_TITLE: usize = 120;
pub const LONGEST_NOTE: usize = 4000;
/// Body lengths in mm: below the smallest children's instrument and above the largest bass.
pub const SHORTEST_BODY: f64 = 50.0;
pub const LONGEST_BODY: f64 = 2000.0;
/// The smallest size in mm that a step can have: well below what dividers can be set to. Still smaller circles touch
/// in directions that are nothing but rounding.
pub const SMALLEST_SIZE: f64 = 0.01;
/// The largest compass setting in mm: flatter than this an arc is a straight line at the bench.
pub const LARGEST_RADIUS: f64 = 50_000.0;
/// The furthest an arc may turn, in degrees, before its circle counts as passed the long way round.
pub const LARGEST_SWEEP_DEG: f64 = 200.0;

/// A step by its number, counted from 1, and its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepName {
    pub number: usize,
    pub name: String,
}

impl fmt::Display for StepName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Step {}, \"{}\"", self.number, shortened(&self.name))
    }
}

/// Where in a recipe something stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    Measure(String),
    Step(StepName),
    Outline,
    /// Nowhere in particular.
    Whole,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Measure(name) => write!(f, "Measure \"{}\"", shortened(name)),
            Place::Step(step) => write!(f, "{step}"),
            Place::Outline => write!(f, "The outline"),
            Place::Whole => write!(f, "The recipe"),
        }
    }
}

/// A name as it can stand in a sentence, however long it came.
fn shortened(text: &str) -> String {
    let mut short: String = text.chars().take(LONGEST_NAME).collect();
    if short.len() < text.len() {
        short.push('…');
    }
    short
}

/// A number as it can stand in a sentence, however large or small.
fn figure(mm: f64) -> String {
    if mm == 0.0 || (1e-3..1e6).contains(&mm.abs()) { mm.to_string() } else { format!("{mm:e}") }
}

/// The compass setting that would just make a step possible.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// The limit itself, in mm.
    pub mm: f64,
    /// Whether it is a least setting, or a largest.
    pub least: bool,
    /// A simple ratio beyond the limit, with the name of the measure it is taken of.
    pub ratio: Option<(Ratio, String)>,
}

impl Setting {
    /// In tenths of a mm, rounded to the side that does.
    fn rounded(&self) -> f64 {
        if self.least {
            (self.mm * 10.0 - 1e-6).ceil() / 10.0
        } else {
            (self.mm * 10.0 + 1e-6).floor() / 10.0
        }
    }
}

impl fmt::Display for Setting {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.least {
            write!(f, "at least {:.1} mm is needed", self.rounded())?;
        } else {
            write!(f, "at most {:.1} mm will do", self.rounded())?;
        }
        match &self.ratio {
            Some((ratio, of)) => write!(f, " ({ratio} {of} would do)"),
            None => Ok(()),
        }
    }
}

/// Everything that can be wrong with a recipe. Lengths in mm.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum RecipeError {
    #[error("The recipe has no measures; the first measure is the body length, in mm")]
    NoMeasures,
    #[error("The recipe has {given} {what}; at most {most} can be worked. Leave some out")]
    TooMany { what: &'static str, given: usize, most: usize },
    #[error("The {what} is {given} characters long; shorten it to {most}")]
    TooLong { what: &'static str, given: usize, most: usize },
    #[error(
        "Measure \"{}\" is the first and so the body length; give it in mm, not as a ratio",
        shortened(name)
    )]
    BodyLengthNotInMm { name: String },
    #[error(
        "The body length is {} mm; a recipe can be worked from {SHORTEST_BODY} to {LONGEST_BODY} mm. Check the figure and its unit",
        figure(*mm)
    )]
    BodyLengthOutOfRange { mm: f64 },
    #[error(
        "Measure \"{}\" is given as {} mm; only the body length is, so make it a ratio of an earlier measure",
        shortened(name), figure(*mm)
    )]
    MeasureInMm { name: String, mm: f64 },
    #[error(
        "{place} names the measure \"{}\", which the recipe does not have; it has {known}",
        shortened(wanted)
    )]
    UnknownMeasure { place: Place, wanted: String, known: String },
    #[error(
        "Measure \"{}\" is a ratio of \"{}\", which does not come before it; put \"{}\" first, or take the ratio of another",
        shortened(name),
        shortened(of),
        shortened(of)
    )]
    MeasureTooEarly { name: String, of: String },
    #[error("Two {what} are called \"{}\"; give one of them another name", shortened(name))]
    NameTwice { what: &'static str, name: String },
    #[error(
        "{place} cannot be called that: a name has 1 to {LONGEST_NAME} characters, none of them a quote or a line break, and no space at either end; a measure is also not called mm"
    )]
    BadName { place: Place },
    #[error(
        "{place} has a size of {} mm; a size is at least {SMALLEST_SIZE} mm and at most {LARGEST_RADIUS} mm", figure(*mm)
    )]
    SizeOutOfRange { place: Place, mm: f64 },
    #[error("{place} has a looseness of {} mm; give it from 0 (held exactly) to 100 mm", figure(*mm))]
    LoosenessOutOfRange { place: Place, mm: f64 },
    #[error("{place} offers ratios to choose between, but its size is not a ratio; leave the choices out")]
    ChoiceWithoutRatio { place: Place },
    #[error("{place} does not offer {wanted}; it offers {offered}")]
    RatioNotOffered { place: Place, wanted: Ratio, offered: String },
    #[error("Nothing in the recipe is called \"{}\", so no ratio can be chosen for it", shortened(name))]
    NothingCalled { name: String },
    #[error("{place} needs the {kind} \"{}\", which no step makes; check the name", shortened(wanted))]
    UnknownStep { place: Place, kind: &'static str, wanted: String },
    #[error("{place} needs a {kind}; choose one")]
    NothingChosen { place: Place, kind: &'static str },
    #[error("The {} corner is not chosen yet; choose the point where its two runs meet", bout_name(*bout))]
    CornerNotChosen { bout: Bout },
    #[error("{place} needs a {kind}, and \"{}\" is a {found}", shortened(wanted))]
    WrongKind { place: Place, kind: &'static str, found: &'static str, wanted: String },
    #[error(
        "{step} rests on \"{}\", which does not come before it; a step can use earlier steps only, so move \"{}\" up",
        shortened(wanted),
        shortened(wanted)
    )]
    StepTooEarly { step: StepName, wanted: String },
    #[error("{step} is to touch \"{}\" twice; name two different circles", shortened(circle))]
    SameCircleTwice { step: StepName, circle: String },
    #[error(
        "{step}: both possible centres lie equally far {where_}, so that does not tell which is meant; say {instead} instead"
    )]
    SideUndecided { step: StepName, where_: &'static str, instead: &'static str },
    #[error("{given} lengths were given for {wanted} measures; give one length for each, in mm")]
    WrongNumberOfLengths { given: usize, wanted: usize },
    #[error(
        "Measure \"{}\" was given as {} mm; a length is at least {SMALLEST_SIZE} mm and at most {LARGEST_RADIUS} mm", shortened(name), figure(*mm)
    )]
    LengthOutOfRange { name: String, mm: f64 },
    #[error("{given} adjustments were given for {wanted} steps; give one pair for each step")]
    WrongNumberOfSteps { given: usize, wanted: usize },
    #[error("{step}: a circle of {given:.1} mm cannot {task}: {needed}")]
    SettingWrong { step: StepName, given: f64, task: String, needed: Setting },
    #[error(
        "{step}: no circle can {task}, whatever its setting: \"{}\" lies {by:.2} mm within that circle. Move it out by as much, or touch the circle from inside",
        shortened(point)
    )]
    PointWithin { step: StepName, task: String, point: String, by: f64 },
    #[error(
        "{step}: no circle can be told to {task}, since both lie around the same centre and every direction is as good. Place one of them elsewhere"
    )]
    SameCentre { step: StepName, task: String },
    #[error(
        "{step}: no circle can {task}, whatever its setting, with those two {apart:.2} mm from centre to centre. Place one of them differently, or touch it from the other side"
    )]
    NoSetting { step: StepName, task: String, apart: f64 },
    #[error("The {} run has no circles; name at least one", bout_name(*bout))]
    EmptyRun { bout: Bout },
    #[error(
        "The {} run begins with \"{}\", whose centre is {off:.3} mm off the centreline; it would have a kink in the middle. Begin with a circle centred on the centreline",
        bout_name(*bout), shortened(circle)
    )]
    StartsOffCentreline { bout: Bout, circle: String, off: f64 },
    #[error(
        "In the {} run \"{}\" and \"{}\" follow one another but do not touch: they miss by {gap:.3} mm. Make one of them touch the other",
        bout_name(*bout), shortened(first), shortened(second)
    )]
    NotTouching { bout: Bout, first: String, second: String, gap: f64 },
    #[error(
        "In the {} run \"{}\" and \"{}\" follow one another and are the same circle; leave one of them out",
        bout_name(*bout), shortened(first), shortened(second)
    )]
    SameCircle { bout: Bout, first: String, second: String },
    #[error(
        "The {} run should reach \"{}\" on \"{}\", but that circle passes it at {by:.4} mm. Make the circle pass through the corner",
        bout_name(*bout), shortened(corner), shortened(circle)
    )]
    CornerMissed { bout: Bout, circle: String, corner: String, by: f64 },
    #[error(
        "In the {} run circle \"{}\" is passed the long way round ({degrees:.0} degrees): it is left before it is reached. Its neighbours' joints lie in the wrong order; change its radius, or the side on which a neighbour lies",
        bout_name(*bout), shortened(circle)
    )]
    LongWayRound { bout: Bout, circle: String, degrees: f64 },
    #[error(
        "The {} corner \"{}\" lies {out:.1} mm out from the centreline; it has to lie to the right of it",
        bout_name(*bout), shortened(corner)
    )]
    CornerNotOut { bout: Bout, corner: String, out: f64 },
    #[error(
        "The outline crosses itself near {:.1} mm up and {:.1} mm out; change a radius or move a corner there",
        at.y, at.x
    )]
    CrossesItself { at: Point },
    #[error(
        "Measure \"{}\" says that the {} is {planned:.2} mm, but the outline's is {found:.2} mm. Let the circles reach it, or take the measure's tag off",
        shortened(measure), dimension_name(*dimension)
    )]
    DimensionMissed { measure: String, dimension: Dimension, planned: f64, found: f64 },
    #[error("The customary {what} is {} mm; give it from {least} to {most} mm", figure(*mm))]
    CustomaryOutOfRange { what: &'static str, mm: f64, least: f64, most: f64 },
}

impl RecipeError {
    /// Where in the recipe it has to be put right.
    pub fn place(&self) -> Place {
        match self {
            RecipeError::BodyLengthNotInMm { name }
            | RecipeError::MeasureInMm { name, .. }
            | RecipeError::MeasureTooEarly { name, .. }
            | RecipeError::LengthOutOfRange { name, .. } => Place::Measure(name.clone()),
            RecipeError::DimensionMissed { measure, .. } => Place::Measure(measure.clone()),
            RecipeError::UnknownMeasure { place, .. }
            | RecipeError::BadName { place }
            | RecipeError::SizeOutOfRange { place, .. }
            | RecipeError::LoosenessOutOfRange { place, .. }
            | RecipeError::ChoiceWithoutRatio { place }
            | RecipeError::RatioNotOffered { place, .. }
            | RecipeError::UnknownStep { place, .. }
            | RecipeError::NothingChosen { place, .. }
            | RecipeError::WrongKind { place, .. } => place.clone(),
            RecipeError::StepTooEarly { step, .. }
            | RecipeError::SameCircleTwice { step, .. }
            | RecipeError::SideUndecided { step, .. }
            | RecipeError::SettingWrong { step, .. }
            | RecipeError::PointWithin { step, .. }
            | RecipeError::SameCentre { step, .. }
            | RecipeError::NoSetting { step, .. } => Place::Step(step.clone()),
            RecipeError::EmptyRun { .. }
            | RecipeError::CornerNotChosen { .. }
            | RecipeError::StartsOffCentreline { .. }
            | RecipeError::NotTouching { .. }
            | RecipeError::SameCircle { .. }
            | RecipeError::CornerMissed { .. }
            | RecipeError::LongWayRound { .. }
            | RecipeError::CornerNotOut { .. }
            | RecipeError::CrossesItself { .. } => Place::Outline,
            RecipeError::BodyLengthOutOfRange { .. }
            | RecipeError::NoMeasures
            | RecipeError::TooMany { .. }
            | RecipeError::TooLong { .. }
            | RecipeError::NameTwice { .. }
            | RecipeError::NothingCalled { .. }
            | RecipeError::WrongNumberOfLengths { .. }
            | RecipeError::WrongNumberOfSteps { .. }
            | RecipeError::CustomaryOutOfRange { .. } => Place::Whole,
        }
    }

    /// The run of the outline that it is about.
    pub fn bout(&self) -> Option<Bout> {
        match self {
            RecipeError::EmptyRun { bout }
            | RecipeError::CornerNotChosen { bout }
            | RecipeError::StartsOffCentreline { bout, .. }
            | RecipeError::NotTouching { bout, .. }
            | RecipeError::SameCircle { bout, .. }
            | RecipeError::CornerMissed { bout, .. }
            | RecipeError::LongWayRound { bout, .. }
            | RecipeError::CornerNotOut { bout, .. } => Some(*bout),
            _ => None,
        }
    }

    /// The sizes that would put it right at its place, the simplest first: a ratio, and a length in mm.
    pub fn remedies(&self) -> Vec<Size> {
        let RecipeError::SettingWrong { needed, .. } = self else { return Vec::new() };
        let ratio = needed.ratio.clone().map(|(ratio, of)| Size::Ratio { ratio, of });
        let mm = Some(needed.rounded()).filter(|mm| (SMALLEST_SIZE..=LARGEST_RADIUS).contains(mm));
        ratio.into_iter().chain(mm.map(Size::Mm)).collect()
    }
}

fn bout_name(bout: Bout) -> &'static str {
    match bout {
        Bout::Lower => "lower",
        Bout::Waist => "waist",
        Bout::Upper => "upper",
    }
}

fn dimension_name(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::BodyLength => "body length",
        Dimension::LowerWidth => "lower width",
        Dimension::WaistWidth => "waist width",
        Dimension::UpperWidth => "upper width",
    }
}
