use crate::outline::Bout;
use crate::recipe::RecipeError;

/// Why there is no mould; worded for a person.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MouldError {
    #[error("The {what} must be from {low} to {high}; it is {given}.")]
    Setting { what: &'static str, low: f64, high: f64, given: f64 },
    #[error("The mould's own arcs cannot be struck at this length and these widths. {0}")]
    OwnArcs(RecipeError),
    #[error(
        "In the {} an arc of {radius:.1} mm has no parallel {distance:.1} mm inside it, and its neighbours do not meet without it. Choose a thinner rib, a smaller overhang or a larger radius.",
        in_words(*.bout)
    )]
    Collapsed { bout: Bout, radius: f64, distance: f64 },
    #[error(
        "At the {} corners the two lines of the ribs do not meet. Choose a thinner rib or a smaller overhang.",
        end(*.bout)
    )]
    DoNotMeet { bout: Bout },
    #[error(
        "The {} corner blocks do not fit: {across} mm across and {along} mm along, measured from the mould's corner, leave the mould. Make them smaller.",
        end(*.bout)
    )]
    CornerBlock { bout: Bout, across: f64, along: f64 },
    #[error(
        "The {} block does not fit: {width} mm wide and {depth} mm deep, it leaves the mould or runs into a corner block. Make it smaller.",
        end(*.bout)
    )]
    EndBlock { bout: Bout, width: f64, depth: f64 },
    #[error(
        "The ribs' lines cross one another near {x:.0} mm across and {y:.0} mm up, so no mould fits between them."
    )]
    Crosses { x: f64, y: f64 },
}

fn in_words(bout: Bout) -> &'static str {
    match bout {
        Bout::Lower => "lower bout",
        Bout::Waist => "waist",
        Bout::Upper => "upper bout",
    }
}

fn end(bout: Bout) -> &'static str {
    if bout == Bout::Upper { "upper" } else { "lower" }
}
