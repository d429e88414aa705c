//! Where the points of one run end and those of the next begin.

use super::report::{PointReport, Reconciled};
use crate::outline::{Corner, Run};
use kurbo::Point;

/// The points on either side of a corner: the outer run's that lies furthest towards the waist, and the waist's that lies
/// furthest towards the outer run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parting {
    pub outer: PointReport,
    pub waist: PointReport,
}

impl Reconciled {
    /// The points between which the runs part at a corner; `None` where one of them has no points.
    pub fn parting(&self, corner: Corner) -> Option<Parting> {
        let (outer, waist) = (corner.outer_run(), corner.waist_run());
        let last = |run: Run, way: f64| {
            let of_run = self.points.iter().filter(|point| point.run == Some(run));
            let past = of_run.filter_map(|point| Some((way * self.past(corner, point.at)?, point)));
            past.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, point)| *point)
        };
        Some(Parting { outer: last(outer, 1.0)?, waist: last(waist, -1.0)? })
    }

    /// How far along the edge a place lies beyond a corner, mm: positive on the waist, negative on the outer run, whichever of them
    /// the place was given to. `None` where it lies by neither.
    fn past(&self, corner: Corner, at: Point) -> Option<f64> {
        let outline = &self.edge.outline;
        let (run, nearest) = outline.nearest(at)?;
        let side = match run {
            run if run == corner.outer_run() => -1.0,
            run if run == corner.waist_run() => 1.0,
            _ => return None,
        };
        let chain = outline.run(run);
        let lengths = chain.pieces.iter().map(|piece| piece.radius.abs() * piece.sweep);
        let from_start = lengths.clone().take(nearest.piece).sum::<f64>()
            + lengths.clone().nth(nearest.piece)? * nearest.t;
        let starts_here = (side > 0.0) == corner.outer_ends_here();
        Some(side * if starts_here { from_start } else { chain.length() - from_start })
    }
}

#[cfg(test)]
mod tests {
    use crate::outline::{Bout, Corner};
    use crate::recipe::violin;
    use crate::reconcile::report::Judged;
    use crate::reconcile::{Wish, reconcile};
    use crate::trace::simulated::{RibLines, Taking, take, template};

    #[test]
    fn the_runs_part_between_neighbours_at_the_corner() {
        let recipe = violin();
        let ribs = RibLines::inside(&template(), 2.5);
        let taken = take(&ribs, &Taking { named: true, ..Taking::plain(25, 3) });
        let mut trace = taken.trace;
        let found = reconcile(&trace, &recipe, &Wish::customary(&recipe)).unwrap();
        let mut given_over = 0;
        for corner in Corner::ALL {
            let parting = found.parting(corner).unwrap();
            assert_eq!(parting.outer.run.unwrap().bout, corner.bout());
            assert_eq!(parting.waist.run.unwrap().bout, Bout::Waist);
            assert!(parting.outer.at.distance(parting.waist.at) < 25.0);
            // Given to the other run, it is that one's last point.
            let index = parting.outer.index;
            let before = trace.points[index].run;
            trace.points[index].run = parting.waist.run;
            let again = reconcile(&trace, &recipe, &Wish::customary(&recipe)).unwrap();
            let given = again.points.iter().find(|point| point.index == index).unwrap();
            match given.run {
                Some(_) => {
                    assert_eq!(again.parting(corner).unwrap().waist.index, index);
                    given_over += 1;
                }
                // So far from the other run that it is taken for a slip.
                None => assert_eq!(given.judged, Judged::LeftOut),
            }
            trace.points[index].run = before;
        }
        assert!(given_over >= 3);
    }
}
