//! What a maker should know of how much was traced, and where nothing was.

use super::frame::Centreline;
use super::gaps::gaps;
use super::laid::Laid;
use super::{Notice, PlacedPoint};
use crate::outline::{Bout, Run, Side};
use kurbo::Point;

/// A run with fewer points than this is remarked on.
const FEW: usize = 5;
/// So is a stretch without points that is longer than this, mm at a violin's size.
const LONG_GAP: f64 = 50.0;
/// A point further off its run than this is unlike the recipe, mm at a violin's size; so is the trace if one in five is.
const UNLIKE: f64 = 4.0;

/// Remarks on the points as they were placed; `into` leads from the frame of the pose to that of the result.
pub(super) fn remarks(
    laid: &Laid,
    placed: &[PlacedPoint],
    centreline: Centreline,
    into: impl Fn(Point) -> Point,
) -> Vec<Notice> {
    let mut notices = Vec::new();
    let count = |run: Run| placed.iter().filter(|p| p.run == run).count();
    let traced = |side: Side| Bout::ALL.into_iter().map(|bout| count(Run { bout, side })).sum::<usize>();
    if let Centreline::Estimated { through } = centreline {
        let alone = [(Side::Left, Side::Right), (Side::Right, Side::Left)]
            .into_iter()
            .find(|(side, other)| 20 * traced(*other) < traced(*side));
        notices.push(match alone {
            Some((side, _)) => Notice::OneSideOnly(side),
            None => Notice::CentrelineEstimated { through },
        });
    }
    for run in Run::ALL {
        match count(run) {
            0 => notices.push(Notice::RunWithoutPoints(run)),
            count if count < FEW => notices.push(Notice::FewPoints { run, count }),
            _ => notices.extend(gaps_in(laid, run, &into)),
        }
    }
    let off = laid.places.iter().filter(|(_, place)| place.distance > UNLIKE * laid.unit).count();
    if 5 * off > placed.len() {
        notices.push(Notice::UnlikeTheRecipe { off, of: placed.len() });
    }
    notices
}

fn gaps_in(laid: &Laid, run: Run, into: impl Fn(Point) -> Point) -> Vec<Notice> {
    let (half, strip) = (run.side as usize, run.bout as usize);
    let line = &laid.halves[half];
    let lengths = line.lengths();
    // The strips are carried on past the corners and across the centreline; the run is what lies between.
    let (from, to) = match run.bout {
        Bout::Lower => (line.centreline[0], laid.corner_samples(half, 0).0),
        Bout::Waist => (laid.corner_samples(half, 0).1, laid.corner_samples(half, 1).0),
        Bout::Upper => (laid.corner_samples(half, 1).1, line.centreline[1]),
    };
    let along = laid.on_strip(half, strip).map(|(_, place)| place.along(&lengths) - lengths[from]).collect();
    gaps(along, lengths[to] - lengths[from], LONG_GAP * laid.unit)
        .into_iter()
        .map(|(start, end)| {
            let middle = lengths[from] + 0.5 * (start + end);
            let at = line.strip(strip).find(|k| lengths[*k] >= middle).unwrap_or(to);
            let around = into(Point::new(run.side.sign() * line.laid[at].x, line.laid[at].y));
            Notice::Gap { run, length: end - start, around }
        })
        .collect()
}
