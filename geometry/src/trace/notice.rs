//! What a maker should know about a trace, worded once.

use super::AsideReason;
use crate::outline::Run;
use std::fmt;

/// Something the maker should know about the trace; worded by `Display`.
#[derive(Debug, Clone, PartialEq)]
pub enum Notice {
    CentrelineEstimated,
    RunWithoutPoints(Run),
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Notice::CentrelineEstimated => f.write_str(
                "Two pins were not given: the centreline was estimated from the symmetry of the points. Check it against the ribs.",
            ),
            Notice::RunWithoutPoints(run) => {
                write!(f, "There are no points on the run {run}: its edge follows the recipe alone there.")
            }
        }
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
