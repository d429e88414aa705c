//! What several people made of one recipe, laid beside one another: each result by itself ([`member`]), all of them over
//! one another ([`overlay`]), and by how much they differ ([`table`]).
//!
//! Plates are traced with either face up. Here every result is turned so that its bass side is on the left, whatever
//! face its maker had up: left of one is then left of all.

mod brought;
mod figures;
mod form;
mod invented;
mod overlay;
mod table;
#[cfg(test)]
mod tests;

pub use brought::{Brought, NotBrought, Which, brought};
pub use figures::{CornerOf, Figure, Key, OverhangOf, SidesOf, Unit};
pub use invented::{INVENTED, invented};
pub use overlay::{Alignment, MOST_TIMES, Overlay, laid_over};
pub use table::{Line, table};

use crate::outline::{Outline, Run, Side, StringSide};
use crate::project::Project;
use crate::recipe::Recipe;
use crate::reconcile::report::Reconciled;
use crate::reconcile::{ReconcileError, reconcile};
use kurbo::Point;

/// Places along each run at which the lines of several results are set beside one another: some 3 mm apart, which leaves
/// a corner's arc of 17 mm radius by less than 0.1 mm.
pub const PLACES: usize = 64;

/// One result of a class. Lengths in mm, in a frame with the centreline along +y and the bass side at negative x.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// What its maker calls it.
    pub name: String,
    pub recipe: String,
    /// The measures and steps of the recipe by name: two recipes with the same are the same construction, whatever
    /// their ratios.
    pub construction: String,
    /// Whether it was traced with the bass side on the right and is turned over here.
    pub turned: bool,
    /// The edge: for each run, in the order of [`Run::ALL`], [`PLACES`] places spaced evenly along it.
    pub edge: [Vec<Point>; 6],
    /// Where the edge meets the centreline.
    pub bottom: Point,
    pub top: Point,
    pub lower_pin: Option<Point>,
    pub figures: Vec<Figure>,
    /// How many of its points were judged mis-taken.
    pub left_out: usize,
}

/// Why something cannot stand in a class; worded for a person.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoMember {
    #[error(
        "It has a recipe but no traced line, so there is no result to compare. Ask for the link \"as a result\", or for the project's file"
    )]
    NothingTraced,
    #[error("No edge can be developed from it: {0}")]
    NoEdge(#[from] ReconcileError),
}

/// Develops the edge of a project and measures it.
///
/// # Errors
/// A sentence where the project has no line to develop one from, or none follows.
pub fn member(project: &Project) -> Result<Member, NoMember> {
    if project.trace.points.is_empty() {
        return Err(NoMember::NothingTraced);
    }
    let result = reconcile(&project.trace, &project.recipe, &project.wish)?;
    let turned = project.face.string_side(Side::Left) == StringSide::Treble;
    let view = View { turned };
    let edge = view.outline(&result.edge.outline);
    let bottom = edge.run(Run::ALL[0]).start;
    let top = edge.run(Run::ALL[2]).end();
    Ok(Member {
        name: project.title.clone(),
        recipe: project.recipe.title.clone(),
        construction: construction(&project.recipe),
        turned,
        edge: edge.runs.each_ref().map(overlay::spaced),
        bottom,
        top,
        lower_pin: result.pins.lower.map(|pin| view.point(pin)),
        left_out: left_out(&result),
        figures: figures::figures(project, &result, &edge, view),
    })
}

fn construction(recipe: &Recipe) -> String {
    let measures = recipe.measures.iter().map(|measure| &measure.name);
    let steps = recipe.steps.iter().map(|step| &step.name);
    measures.chain(steps).cloned().collect::<Vec<_>>().join("\n")
}

fn left_out(result: &Reconciled) -> usize {
    use crate::reconcile::report::Judged;
    result.points.iter().filter(|point| point.judged == Judged::LeftOut).count()
}

/// How a result is looked at: as it was traced, or turned over.
#[derive(Debug, Clone, Copy)]
struct View {
    turned: bool,
}

impl View {
    fn point(self, at: Point) -> Point {
        if self.turned { Point::new(-at.x, at.y) } else { at }
    }

    fn side(self, side: Side) -> Side {
        match (self.turned, side) {
            (false, side) => side,
            (true, Side::Left) => Side::Right,
            (true, Side::Right) => Side::Left,
        }
    }

    fn outline(self, outline: &Outline) -> Outline {
        if self.turned { outline.mirrored() } else { outline.clone() }
    }
}
