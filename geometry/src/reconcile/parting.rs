//! Where the points of one run end and those of the next begin.

use super::report::{PointReport, Reconciled};
use crate::outline::{Bout, Corner, Run};
use kurbo::Point;

/// The points on either side of a corner, the last of the outer run and of the waist.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Parting {
    pub outer: PointReport,
    pub waist: PointReport,
}

impl Reconciled {
    /// The points between which the runs part at a corner; `None` where one of them has no points.
    pub fn parting(&self, corner: Corner) -> Option<Parting> {
        let end = self.edge.corners[corner.index()];
        // The ribs' own corner lies near the edge's, on the line in which it points.
        let at = self.traced_corners[corner.index()].unwrap_or(end.outer.midpoint(end.waist));
        let nearest = |run: Run| {
            let of_run = self.points.iter().filter(|point| point.run == Some(run));
            of_run.min_by(|a, b| distance(a, at).total_cmp(&distance(b, at))).copied()
        };
        let outer = Run { bout: corner.bout(), side: corner.side() };
        let waist = Run { bout: Bout::Waist, side: corner.side() };
        Some(Parting { outer: nearest(outer)?, waist: nearest(waist)? })
    }
}

fn distance(point: &PointReport, at: Point) -> f64 {
    point.at.distance(at)
}

#[cfg(test)]
mod tests {
    use crate::outline::{Bout, Corner};
    use crate::recipe::violin;
    use crate::reconcile::{Wish, reconcile};
    use crate::trace::simulated::{RibLines, Taking, take, template};

    #[test]
    fn the_runs_part_between_neighbours_at_the_corner() {
        let recipe = violin();
        let ribs = RibLines::inside(&template(), 2.5);
        let taken = take(&ribs, &Taking { named: true, ..Taking::plain(25, 3) });
        let mut trace = taken.trace;
        let found = reconcile(&trace, &recipe, &Wish::customary(&recipe)).unwrap();
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
            assert_eq!(again.parting(corner).unwrap().waist.index, index);
            trace.points[index].run = before;
        }
    }
}
