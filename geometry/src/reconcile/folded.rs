//! The two sides of an instrument, folded on its centreline: how they lie on one another just before the corners.

use super::fit::{Fit, along_run};
use super::model::PlacedRun;
use crate::outline::{Bout, Run, Side};
use kurbo::Point;

/// From one point to the next the two sides part or come together by this variance, mm², for every body length that the points are
/// apart: by some 0.8 mm with ten points in a run, by 0.4 mm with thirty. Chosen by trial on simulated ribs.
const PARTING: f64 = 10.0;
/// More than so many standard deviations of that are told of. Of simulated ribs without a mis-taken point at a corner one set in two
/// hundred then is, however many points they have.
const TOLD_BEYOND: f64 = 3.5;
/// Less than this is not worth a maker's walk to the bench, mm.
const LEAST: f64 = 1.0;

/// The two sides of a run, found to part between its last point but one and its last before a corner. A mis-taken last point, which the
/// last arc follows, shows in nothing else where points are few.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Parted {
    pub bout: Bout,
    /// The bout whose corners they are.
    pub corners: Bout,
    /// The last points, prepared ones: left and right.
    pub last: [usize; 2],
    /// mm.
    pub by: f64,
}

/// The last two observations of a run before a corner, the last first.
type RunEnd = [usize; 2];

impl Fit {
    /// Where the two sides part before their corners, on a body of this length, mm.
    pub fn parted(&self, body_length: f64) -> Vec<Parted> {
        let order = along_run(&self.model, &self.observations, &self.solved);
        let placed = self.model.placed(&self.solved.values);
        let hand = self.hand_sd();
        let much = |apart: f64| {
            let usual = (PARTING * apart / body_length + 2.0 * hand * hand).sqrt();
            LEAST.max(TOLD_BEYOND * usual)
        };
        let mut parted = Vec::new();
        for corners in [Bout::Lower, Bout::Upper] {
            for bout in [corners, Bout::Waist] {
                let [left, right] = Side::BOTH.map(|side| Run { bout, side });
                let ends = [self.run_end(&order, left, corners), self.run_end(&order, right, corners)];
                let [Some(at_left), Some(at_right)] = ends else { continue };
                let by = self.parts_from(&placed[right.index()], at_left, at_right[0], &much);
                let by = by.max(self.parts_from(&placed[left.index()], at_right, at_left[0], &much));
                if by > 0.0 {
                    let last = [at_left, at_right].map(|end| self.observations[end[0]].source);
                    parted.push(Parted { bout, corners, last, by });
                }
            }
        }
        parted
    }

    fn run_end(&self, order: &[usize], run: Run, corners: Bout) -> Option<RunEnd> {
        let mut inward = Vec::new();
        for i in order {
            if self.observations[*i].run == run {
                inward.push(*i);
            }
        }
        // Runs are gone along from the centreline, the waist from its lower corner.
        if corners != Bout::Lower || run.bout != Bout::Waist {
            inward.reverse();
        }
        match inward[..] {
            [last, next, _, ..] => Some([last, next]),
            _ => None,
        }
    }

    /// By how much more the last point of a run's end than the one before it leaves the other side's line, if that is much for points
    /// so far apart, else 0; mm.
    fn parts_from(
        &self,
        other: &PlacedRun,
        end: RunEnd,
        other_last: usize,
        much: &dyn Fn(f64) -> f64,
    ) -> f64 {
        let seen = |i: usize| self.model.seen(&self.solved.values, self.observations[i].at);
        let [last, next] = end.map(|i| {
            let seen = seen(i);
            Point::new(-seen.x, seen.y)
        });
        let apart = last.distance(next);
        let by = (other.inside(last).distance - other.inside(next).distance).abs();
        // Where the other side was not traced as far, its line is no witness.
        let witness = last.distance(seen(other_last)) <= apart;
        if witness && by > much(apart) { by } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use crate::arc::left_of;
    use crate::outline::Bout;
    use crate::recipe::violin;
    use crate::reconcile::report::Warning;
    use crate::reconcile::{Finish, Wish, reconcile};
    use crate::trace::Trace;
    use crate::trace::simulated::{RibLines, Taking, outline_of, take};

    const A_RUN: usize = 10;

    fn ten_a_run(seed: u64) -> Trace {
        // Ribs that came out fuller than the recipe has them.
        let ribs = RibLines::inside(&outline_of(356.0, 1.02, 0.98, 1.04), 2.5);
        take(&ribs, &Taking { named: true, shuffled: false, noise: 0.15, ..Taking::plain(A_RUN, seed) }).trace
    }

    fn told(trace: &Trace, finish: Finish) -> Vec<(Bout, Bout, usize, usize)> {
        let recipe = violin();
        let found = reconcile(trace, &recipe, &Wish { finish, ..Wish::customary(&recipe) }).unwrap();
        let told = found.warnings.iter().filter_map(|warning| match warning {
            Warning::SidesPart { bout, corners, left, right, .. } => Some((*bout, *corners, *left, *right)),
            _ => None,
        });
        told.collect()
    }

    #[test]
    fn sound_ribs_are_not_told_to_part() {
        for seed in 0..20 {
            assert_eq!(told(&ten_a_run(seed), Finish::Fitted), vec![], "seed {seed}");
        }
    }

    #[test]
    fn a_mis_taken_last_point_that_the_last_arc_follows_is_told_of_by_its_line_whatever_the_finish() {
        // The last point of the left upper bout, which is gone along from the centreline.
        let mut trace = ten_a_run(4);
        let upper_left = 3 * A_RUN..4 * A_RUN;
        let last = upper_left.end - 1;
        let along = trace.points[last].at - trace.points[last - 1].at;
        trace.points[last].at += left_of(along.atan2()) * 5.0;
        let line = trace.points[last].line;
        for finish in [Finish::Fitted, Finish::Ratio, Finish::Recipe] {
            let [(bout, corners, left, _)] = told(&trace, finish)[..] else {
                panic!("one place told of, {finish:?}")
            };
            assert_eq!((bout, corners, left), (Bout::Upper, Bout::Upper, line), "{finish:?}");
        }
    }
}
