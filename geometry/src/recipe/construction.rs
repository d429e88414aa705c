//! A worked recipe: everything that was drawn on the way, for replaying it, and the outline it ends in.

use super::Size;
use super::error::RecipeError;
use crate::outline::{Bout, Outline};
use kurbo::Point;

/// A recipe worked at given lengths. The right half is constructed, the left half mirrored.
#[derive(Debug, Clone, PartialEq)]
pub struct Construction {
    /// The length of every measure, in mm.
    pub lengths: Vec<f64>,
    pub points: Vec<PlacedPoint>,
    pub circles: Vec<PlacedCircle>,
    pub outline: Outline,
    /// For each run of the outline, in the order of [`crate::outline::Run::ALL`], the place in `circles` of
    /// each of its arcs, counter-clockwise. The left side's arcs are mirror images of these circles.
    pub runs: [Vec<usize>; 6],
    /// Where an arc hands over to the next on the right side, counter-clockwise.
    pub joints: Vec<Joint>,
    /// In the order of [`crate::outline::Corner::ALL`].
    pub corners: [Point; 4],
}

/// A point that a step marked.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedPoint {
    pub name: String,
    pub at: Point,
    /// The place of its step in the recipe.
    pub step: usize,
}

/// A circle that a step struck, and what its centre was found by.
#[derive(Debug, Clone, PartialEq)]
pub struct PlacedCircle {
    pub name: String,
    pub centre: Point,
    /// The compass setting in mm.
    pub radius: f64,
    /// The place of its step in the recipe.
    pub step: usize,
    /// The setting as the recipe gives it.
    pub size: Size,
    /// The circles that it was made to touch. Both centres and the contact lie in one line.
    pub contacts: Vec<Contact>,
    /// The point it was made to pass through, or that its centre stands on.
    pub point: Option<Point>,
    /// The line its centre was looked for on.
    pub centre_on: Option<CentreLine>,
    /// The places in the recipe of the steps it rests on.
    pub rests_on: Vec<usize>,
}

/// A circle touched by a later one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// The place in the recipe of the touched circle's step.
    pub step: usize,
    /// The touched circle's centre.
    pub centre: Point,
    pub at: Point,
}

/// A line on which a centre lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CentreLine {
    Centreline,
    /// Square to the centreline at this height.
    Cross {
        up: f64,
    },
}

/// Where one arc of the right side hands over to the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    pub bout: Bout,
    /// Places in `circles`, counter-clockwise.
    pub from: usize,
    pub to: usize,
    pub at: Point,
    /// Whether the line turns the other way from here on: the circles lie side by side.
    pub turns_back: bool,
}

/// What could be drawn of a recipe that has a fault in it.
#[derive(Debug, Clone, PartialEq)]
pub struct PartialConstruction {
    /// The length of every measure, in mm; `None` for one that has none.
    pub lengths: Vec<Option<f64>>,
    pub points: Vec<PlacedPoint>,
    pub circles: Vec<PlacedCircle>,
    /// Every fault found, in the order of the recipe.
    pub errors: Vec<RecipeError>,
    /// The places in the recipe of steps that were not worked because they rest on a failed one.
    pub not_reached: Vec<usize>,
    /// There when everything that the outline needs could be worked, whatever else is wrong.
    pub whole: Option<Construction>,
}

impl Construction {
    pub fn point(&self, name: &str) -> Option<&PlacedPoint> {
        self.points.iter().find(|point| point.name == name)
    }

    pub fn circle(&self, name: &str) -> Option<&PlacedCircle> {
        self.circles.iter().find(|circle| circle.name == name)
    }
}
