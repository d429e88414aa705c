//! Strips that give way to the points near them, first little and then more.
//!
//! Points may come in any order and without run names; the outline has both. Laid over the points it tells for
//! each of them the run and the place on it, and it need not be the outline that the ribs were built to.
//! This is registration of a curve by iterated closest points, its stiffness let down from pass to pass.
//! Sources: Besl, McKay, "A method for registration of 3-D shapes", IEEE PAMI 14 (1992);
//! Amberg, Romdhani, Vetter, "Optimal step nonrigid ICP algorithms for surface registration", CVPR 2007.

use super::strips::{Half, Place};
use kurbo::{Point, Vec2};
use ribline_linear::Banded;

/// A point to be followed, in the half's coordinates, and the strip it must lie on where that is known.
#[derive(Debug, Clone, Copy)]
pub(super) struct Followed {
    pub at: Point,
    pub strip: Option<usize>,
}

/// How one pass is done, for a body of a violin's size; lengths in mm.
#[derive(Debug, Clone, Copy)]
struct Pass {
    /// Standard deviation of a point about the strip.
    sd: f64,
    /// Points further off than this pull less and less.
    reach: f64,
    /// Variance of the change of direction that a strip is given, per mm.
    bend: f64,
}

/// While the runs are being told apart: nearly rigid, and drawn to everything.
const TELLING_APART: [Pass; 2] =
    [Pass { sd: 3.0, reach: 12.0, bend: 1e-6 }, Pass { sd: 2.0, reach: 10.0, bend: 3e-6 }];
/// Then ever looser. The last two are alike: the first follows the points, the second settles on them.
const SETTLING: [Pass; 5] = [
    Pass { sd: 1.5, reach: 8.0, bend: 1e-5 },
    Pass { sd: 1.0, reach: 5.0, bend: 5e-5 },
    Pass { sd: 0.6, reach: 3.0, bend: 2e-4 },
    Pass { sd: 0.3, reach: 2.0, bend: 3e-4 },
    Pass { sd: 0.3, reach: 2.0, bend: 3e-4 },
];
/// For judging points: too stiff to follow a single point, and minding far ones little.
const JUDGING: Pass = Pass { sd: 0.5, reach: 2.0, bend: 1e-5 };
/// Variance of the difference of displacement per mm of strip; loose, so that it is the bending that counts.
const SLACK: f64 = 2.0;
/// Standard deviation of any place about the scaled recipe, mm.
const STRAY: f64 = 15.0;

impl Half {
    /// Follows the points from where the scaled recipe lies. `unit` is the body's size in violins.
    pub fn follow(&mut self, points: &[Followed], unit: f64) {
        for pass in TELLING_APART {
            self.give(points, pass, unit);
        }
        // Where the maker named every run there is nothing to mistake.
        if points.iter().any(|p| p.strip.is_none()) {
            for corner in 0..2 {
                self.place_corner(corner, points, unit);
            }
        }
        for pass in SETTLING {
            self.give(points, pass, unit);
        }
    }

    /// Settles anew, e.g. after points were set aside.
    pub fn settle(&mut self, points: &[Followed], unit: f64) {
        for pass in &SETTLING[3..] {
            self.give(points, *pass, unit);
        }
    }

    /// Draws the strips through the points' middle without following any single one.
    pub fn stiffen(&mut self, points: &[Followed], unit: f64) {
        for _ in 0..2 {
            self.give(points, JUDGING, unit);
        }
    }

    /// One pass: every point matched to the nearest place, then the strips moved as much as the points ask for
    /// and their stiffness allows.
    fn give(&mut self, points: &[Followed], pass: Pass, unit: f64) {
        let mut matrix = self.stiffness(pass, unit);
        let mut right = vec![0.0; 2 * (self.steps.len() + 1)];
        let (sd, reach) = (pass.sd * unit, pass.reach * unit);
        for point in points {
            let place = self.nearest(point.at, point.strip);
            let was = self.base[place.sample].lerp(self.base[place.sample + 1], place.t);
            let asked = (point.at - was).dot(place.normal);
            let weight = 1.0 / (sd * sd * (1.0 + (place.distance / reach).powi(2)));
            let row = self.moves(&place);
            matrix.add(&row, weight);
            for (i, a) in row {
                right[i] += weight * asked * a;
            }
        }
        let Some(given) = matrix.solve(right) else { return };
        for ((laid, base), (k, f)) in self.laid.iter_mut().zip(&self.base).zip(&self.node) {
            let by = |c: usize| (1.0 - f) * given[2 * k + c] + f * given[2 * k + 2 + c];
            *laid = *base + Vec2::new(by(0), by(1));
        }
        self.settle_boxes();
    }

    /// What holds the strips to the recipe: the matrix of the energy of bending, stretching and straying.
    fn stiffness(&self, pass: Pass, unit: f64) -> Banded {
        let nodes = self.steps.len() + 1;
        let mut matrix = Banded::zeros(2 * nodes);
        let stray = (STRAY * unit).powi(-2);
        for k in 0..nodes {
            let (next, after) = (self.steps.get(k), self.steps.get(k + 1));
            for c in [2 * k, 2 * k + 1] {
                matrix.add(&[(c, 1.0)], stray);
                if let Some(next) = next {
                    matrix.add(&[(c, -1.0), (c + 2, 1.0)], 1.0 / (SLACK * unit * next.length));
                }
                if let (Some(next), Some(after)) = (next, after)
                    && !next.between_strips
                    && !after.between_strips
                {
                    let (a, b) = (1.0 / next.length, 1.0 / after.length);
                    let held = 2.0 * unit / (pass.bend * (next.length + after.length));
                    matrix.add(&[(c, a), (c + 2, -a - b), (c + 4, b)], held);
                }
            }
        }
        matrix
    }

    /// How a place moves along its normal with the nodes' coordinates.
    fn moves(&self, place: &Place) -> [(usize, f64); 4] {
        let (node, here) = self.node[place.sample];
        let (next, there) = self.node[place.sample + 1];
        let f = here + place.t * (if next == node { there } else { 1.0 } - here);
        let n = place.normal;
        [
            (2 * node, (1.0 - f) * n.x),
            (2 * node + 1, (1.0 - f) * n.y),
            (2 * node + 2, f * n.x),
            (2 * node + 3, f * n.y),
        ]
    }
}
