//! What a maker should know about a trace, worded once.

use super::{AsideReason, Pin};
use crate::outline::{Run, Side};
use kurbo::Point;
use std::fmt;

/// Something the maker should know about the trace; worded by `Display`. Places are in the frame of the result, lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Notice {
    /// Two pins were not given; where one was, the centreline goes through it.
    CentrelineEstimated {
        through: Option<Pin>,
    },
    /// No pins, and one side only: the centreline rests on the recipe's shape.
    OneSideOnly(Side),
    /// No pins and no names, and the points fit nearly as well with the neck at either end.
    NeckEndUnclear,
    /// The upper pin was given at the wide end; they were taken the other way round.
    PinsSwapped,
    /// A pin lies this far from the middle of the points: positive to its right.
    PinBesideCentreline {
        pin: Pin,
        middle: f64,
    },
    RunWithoutPoints(Run),
    FewPoints {
        run: Run,
        count: usize,
    },
    Gap {
        run: Run,
        length: f64,
        around: Point,
    },
    /// So many of the points lie well off any line like the recipe's.
    UnlikeTheRecipe {
        off: usize,
        of: usize,
    },
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Notice::CentrelineEstimated { through: None } => f.write_str(
                "Two pins were not given: the centreline was estimated from the symmetry of the points. Check it against the ribs.",
            ),
            Notice::CentrelineEstimated { through: Some(pin) } => write!(
                f,
                "Only {pin} was given: the centreline was taken through it, and its direction estimated from the symmetry of the points. Check it against the ribs."
            ),
            Notice::OneSideOnly(side) => write!(
                f,
                "Only the {} side was traced: the centreline was estimated from the shape of the recipe. Give two pins, or trace the other side too.",
                name(*side)
            ),
            Notice::NeckEndUnclear => f.write_str(
                "The points do not say clearly which end is the neck end. Give two pins or name the runs: the wrong end up, left and right are the wrong way round too.",
            ),
            Notice::PinsSwapped => f.write_str(
                "The pins were given the other way round: pin-upper lies at the lower bout. They were taken as swapped; left and right are meant neck end up, so check the sides.",
            ),
            Notice::PinBesideCentreline { pin, middle } => write!(
                f,
                "The middle of the points lies {:.1} mm to the {} of {pin}. If the ribs are not that uneven, check the pin.",
                middle.abs(),
                name(if *middle < 0.0 { Side::Left } else { Side::Right })
            ),
            Notice::RunWithoutPoints(run) => {
                write!(f, "There are no points on the run {run}: its edge follows the recipe alone there.")
            }
            Notice::FewPoints { run, count } => write!(
                f,
                "There {} on the run {run}: its edge follows the recipe more than the ribs. Take 10 or more.",
                if *count == 1 { "is only one point".to_owned() } else { format!("are only {count} points") }
            ),
            Notice::Gap { run, length, around } => write!(
                f,
                "There are no points along {length:.0} mm of the run {run}, around {:.0} mm {} of the centreline and {:.0} mm {}. Take some there.",
                around.x.abs(),
                name(if around.x < 0.0 { Side::Left } else { Side::Right }),
                around.y.abs(),
                if around.y < 0.0 { "down" } else { "up" }
            ),
            Notice::UnlikeTheRecipe { off, of } => write!(
                f,
                "{off} of the {of} points lie far from any line like the recipe's. Check that the recipe is for this instrument, and that all points belong to one line."
            ),
        }
    }
}

/// As in a run's name.
pub(super) fn name(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

impl fmt::Display for AsideReason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            AsideReason::Repeated => "the same place was taken before",
            AsideReason::OffTheLine => "it lies too far from its neighbours to belong to the line",
        })
    }
}
