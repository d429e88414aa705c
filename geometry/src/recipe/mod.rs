//! A recipe: how one lays out the edge of a plate with straightedge and compass, by sizes that are
//! simple ratios of one another.
//!
//! The recipe draws the right half, bottom of the plate at the origin, centreline along +y; the left
//! half is its mirror image. What comes off a mould is never that symmetrical: see [`crate::reconcile`].

mod begin;
pub mod built_in;
mod by_quarters;
mod centres;
mod check;
mod compare;
pub mod construction;
mod edit;
pub mod error;
mod evaluate;
pub mod family;
pub mod json;
mod kinds;
mod nearest;
mod prepare;
pub mod replay;
mod rests;
mod runs;
pub mod tangency;
mod viol;

pub use begin::BareWords;
pub use built_in::{built_in, violin};
pub use compare::{Beside, Comparison, compare};
pub use construction::{
    CentreLine, Construction, Contact, Joint, PartialConstruction, PlacedCircle, PlacedPoint,
};
pub use edit::{Edit, EditError, Part, SizeOf};
pub use error::RecipeError;
pub use evaluate::Ease;
pub use json::RecipeFileError;
pub use kinds::{PlacingKind, Slot};
pub use nearest::Wanted;
pub use prepare::Plan;

use crate::json::Map;
use crate::ratio::Ratio;

/// A whole recipe. [`Recipe::evaluate`] works it, [`Recipe::check`] tells what is wrong with it, and its form is
/// the file described in [`json`].
#[derive(Debug, Clone, PartialEq)]
pub struct Recipe {
    pub title: String,
    /// Who made the recipe.
    pub author: String,
    /// Anything worth telling whoever works it.
    pub note: String,
    pub instrument: Instrument,
    pub purpose: Purpose,
    /// The first measure is the body length and the only one given in mm; each later one is a ratio of an earlier one.
    pub measures: Vec<Measure>,
    /// In the order of the work: each step rests on measures and earlier steps only.
    pub steps: Vec<Step>,
    pub plan: OutlinePlan,
    pub customary: Customary,
    /// Fields of a file that this version does not know; written back unchanged.
    pub unknown: Map,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Instrument {
    Violin,
    Viola,
    Cello,
    Viol,
}

/// What the recipe's outline is the outline of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Purpose {
    PlateEdge,
    Mould,
}

/// What does not scale with the body, in mm, as customary for the instrument.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Customary {
    pub overhang: f64,
    /// Most that the overhang may leave `overhang` by before it is remarked on.
    pub overhang_tolerance: f64,
    pub corner_width: f64,
    /// Edge to the middle of the purfling.
    pub purfling_distance: f64,
    pub purfling_width: f64,
}

/// A length with a name. `name` is the short letter used in ratios ("W"), `title` what it is ("lower width").
#[derive(Debug, Clone, PartialEq)]
pub struct Measure {
    pub name: String,
    pub title: String,
    pub size: Size,
    /// The other ratios that the author allows here.
    pub choices: Vec<Ratio>,
    /// How loosely it is worked: the standard deviation, in mm, with which ribs are expected to keep it.
    pub looseness: f64,
    /// Which dimension of the finished outline this is, where it is one.
    pub dimension: Option<Dimension>,
    /// Fields of a file that this version does not know; written back unchanged.
    pub unknown: Map,
}

/// A dimension that can be measured on any outline.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    BodyLength,
    LowerWidth,
    WaistWidth,
    UpperWidth,
}

/// A length: a ratio of a measure, or (a departure from simple ratios) so many mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Size {
    Ratio { ratio: Ratio, of: String },
    Mm(f64),
}

impl Size {
    /// In mm, with the recipe's measures at these lengths.
    pub fn mm(&self, recipe: &Recipe, lengths: &[Option<f64>]) -> Option<f64> {
        match self {
            Size::Mm(mm) => Some(*mm),
            Size::Ratio { ratio, of } => {
                let place = recipe.measures.iter().position(|measure| measure.name == *of)?;
                lengths.get(place).copied().flatten().map(|whole| ratio.of(whole))
            }
        }
    }
}

/// One step of the construction. Its name is unique in the recipe; later steps refer to it by name.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    pub name: String,
    pub action: Action,
    /// The other ratios that the author allows for a circle's radius.
    pub choices: Vec<Ratio>,
    /// Standard deviation in mm with which the step is worked: of a compass setting or a point.
    pub looseness: f64,
    /// Fields of a file that this version does not know; written back unchanged.
    pub unknown: Map,
}

/// What a step does.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Mark a point so far up the centreline and so far out from it. `None` is no distance at all.
    Point { up: Option<Size>, out: Option<Size> },
    /// Strike a circle.
    Circle { radius: Size, placed: Placing },
}

/// How a circle of given radius finds its centre.
#[derive(Debug, Clone, PartialEq)]
pub enum Placing {
    /// Compass point on a marked point.
    CentredOn { point: String },
    /// Through a point, with the centre on a line.
    Through { point: String, centre_on: Line, lies: Toward },
    /// Touching two circles.
    TouchingTwo { one: Touch, other: Touch, lies: Toward },
    /// Touching a circle, and through a point.
    TouchingThrough { one: Touch, point: String, lies: Toward },
}

/// The line on which a centre lies.
#[derive(Debug, Clone, PartialEq)]
pub enum Line {
    Centreline,
    /// Square to the centreline at the height of a marked point.
    CrossAt {
        point: String,
    },
}

/// A circle that is touched, and from where.
#[derive(Debug, Clone, PartialEq)]
pub struct Touch {
    pub circle: String,
    pub from: TouchFrom,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TouchFrom {
    /// The smaller of the two lies within the larger.
    Inside,
    /// They lie side by side.
    Outside,
}

/// Which of two possible centres is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Toward {
    /// The one further up the centreline.
    Neck,
    /// The one further down.
    Bottom,
    /// The one further out from the centreline (larger x on the right half).
    Out,
    /// The one nearer to the centreline, or beyond it.
    In,
}

/// Which circles make each run of the right half, and where the corners are.
#[derive(Debug, Clone, PartialEq)]
pub struct OutlinePlan {
    /// From the bottom of the centreline to the lower corner.
    pub lower: Vec<String>,
    /// From the lower corner to the upper corner.
    pub waist: Vec<String>,
    /// From the top of the centreline to the upper corner.
    pub upper: Vec<String>,
    pub lower_corner: String,
    pub upper_corner: String,
}
