//! Reconciling: a recipe of arcs fitted to ribs as they came out, each side and each corner in its own right.

pub mod report;

use crate::edge::CornerWish;
use crate::outline::Bout;
use serde::{Deserialize, Serialize};

/// What the traced line is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Radii {
    /// One compass setting, struck on both sides.
    #[default]
    Shared,
    EachSide,
}

/// Overhang wanted in each bout, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
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
    /// What is customary for the recipe's instrument.
    pub fn customary(recipe: &crate::recipe::Recipe) -> Self {
        let customary = recipe.customary;
        Wish {
            traced: Traced::Ribs,
            overhang: Overhang::even(customary.overhang),
            tolerance: customary.overhang_tolerance,
            purfling_distance: customary.purfling_distance,
            finish: Finish::Ratio,
            radii: Radii::Shared,
            extra_arcs: true,
            corners: [CornerWish::width(customary.corner_width); 4],
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
