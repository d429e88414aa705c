//! Traces made up for the tests, with the truth beside them: rib lines from a recipe's edge or from lines that no arc recipe
//! contains, tracing noise, mis-takes, gaps, any position on the board.

use super::{HowTaken, Pins, Trace, TracedPoint};
use crate::arc::{direction, left_of};
use crate::outline::{Corner, Outline, Run};
use crate::recipe::built_in;
use kurbo::{Affine, Point, Vec2};

/// Numbers that look random and are the same in every run.
/// Source: Steele, Lea, Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014 (SplitMix64).
pub struct Dice(pub u64);

impl Dice {
    fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Evenly between `low` and `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Normally distributed with standard deviation 1 (Box and Muller).
    pub fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.between(1e-12, 1.0).ln()).sqrt();
        radius * self.between(0.0, std::f64::consts::TAU).cos()
    }

    pub fn shuffle<T>(&mut self, items: &mut [T]) {
        for i in (1..items.len()).rev() {
            let j = (self.bits() % (i as u64 + 1)) as usize;
            items.swap(i, j);
        }
    }
}

/// The outline of the built-in violin recipe.
pub fn template() -> Outline {
    built_in::violin().evaluate().unwrap().outline
}

/// The violin's recipe worked at another body length, with lower, upper and waist width so many times its own.
pub fn outline_of(length: f64, lower: f64, upper: f64, waist: f64) -> Outline {
    let recipe = built_in::violin();
    let plan = recipe.evaluate().unwrap().lengths;
    let scale = length / plan[0];
    let lengths: Vec<f64> =
        plan.iter().zip([1.0, lower, upper, waist]).map(|(was, factor)| was * scale * factor).collect();
    recipe.evaluate_at(&lengths).unwrap().outline
}

/// Six rib lines, in the order of [`Run::ALL`], each as points 0.25 mm apart, meeting at the four corners.
#[derive(Clone)]
pub struct RibLines(pub [Vec<Point>; 6]);

impl RibLines {
    /// The parallel inside an edge at the overhang, cut where its runs cross.
    pub fn inside(edge: &Outline, overhang: f64) -> Self {
        let mut lines = edge.runs.each_ref().map(|run| {
            let parallel = run.offset(overhang).unwrap();
            parallel.sampled(0.25).into_iter().map(|(p, _)| p).collect::<Vec<_>>()
        });
        for (one, two) in [(0, 1), (1, 2), (3, 4), (4, 5)] {
            let (i, j) = first_meeting(&lines[one], &lines[two]);
            lines[one].truncate(i + 1);
            lines[two].drain(..j);
            let corner = lines[one][i].midpoint(lines[two][0]);
            *lines[one].last_mut().unwrap() = corner;
            lines[two][0] = corner;
        }
        RibLines(lines)
    }

    pub fn corners(&self) -> [Point; 4] {
        Corner::ALL.map(|corner| {
            let line = &self.0[corner.outer_run().index()];
            match corner {
                Corner::LowerRight | Corner::UpperLeft => line[line.len() - 1],
                Corner::UpperRight | Corner::LowerLeft => line[0],
            }
        })
    }

    /// Every point displaced: a line that no recipe of arcs contains.
    pub fn warped(mut self, by: impl Fn(Point) -> Vec2) -> Self {
        for line in &mut self.0 {
            for p in line.iter_mut() {
                *p += by(*p);
            }
        }
        self
    }

    /// Corners pulled about by so many mm, letting up over `reach` mm.
    pub fn with_corners_moved(self, moves: [Vec2; 4], reach: f64) -> Self {
        let corners = self.corners();
        self.warped(|p| {
            corners
                .iter()
                .zip(moves)
                .map(|(c, m)| m * (-p.distance_squared(*c) / (2.0 * reach * reach)).exp())
                .fold(Vec2::ZERO, |a, b| a + b)
        })
    }
}

fn first_meeting(one: &[Point], two: &[Point]) -> (usize, usize) {
    let (from, to) = (one.len().saturating_sub(200), two.len().min(200));
    let mut best = (f64::MAX, one.len() - 1, 0);
    for (i, p) in one.iter().enumerate().skip(from) {
        for (j, q) in two.iter().enumerate().take(to) {
            let d = p.distance(*q);
            // The first crossing from the inside: the one furthest from both ends.
            if d < 0.2 && (best.0 > 0.2 || (one.len() - i) + j > (one.len() - best.1) + best.2 + 4)
                || d < best.0 && best.0 > 0.2
            {
                best = (d, i, j);
            }
        }
    }
    (best.1, best.2)
}

/// How a trace is taken.
#[derive(Clone)]
pub struct Taking {
    pub a_run: [usize; 6],
    pub noise: f64,
    /// Share of points off by `gross` mm.
    pub mistaken: f64,
    pub gross: f64,
    pub named: bool,
    pub pins: bool,
    pub shuffled: bool,
    pub angle: f64,
    pub shift: Vec2,
    pub seed: u64,
}

impl Taking {
    pub fn plain(a_run: usize, seed: u64) -> Self {
        Taking {
            a_run: [a_run; 6],
            noise: 0.15,
            mistaken: 0.0,
            gross: 5.0,
            named: false,
            pins: true,
            shuffled: true,
            angle: 0.0,
            shift: Vec2::ZERO,
            seed,
        }
    }

    /// Where a place on the ribs lies on the board.
    pub fn given(&self, p: Point) -> Point {
        (Affine::translate(self.shift) * Affine::rotate(self.angle)) * p
    }
}

/// A trace and what is true of it.
pub struct Taken {
    pub trace: Trace,
    /// For every point of the trace its run, whether it was mis-taken, and where it truly lies (in the ribs' own frame).
    pub truth: Vec<(Run, bool, Point)>,
}

pub fn take(ribs: &RibLines, taking: &Taking) -> Taken {
    let mut dice = Dice(taking.seed);
    let mut points = Vec::new();
    for run in Run::ALL {
        let line = &ribs.0[run.index()];
        let n = taking.a_run[run.index()];
        for i in 0..n {
            let share = (i as f64 + 0.5 + dice.between(-0.35, 0.35)) / n as f64;
            let k = ((share * (line.len() - 1) as f64) as usize).clamp(1, line.len() - 2);
            let heading = (line[k + 1] - line[k - 1]).atan2();
            let wrong = dice.between(0.0, 1.0) < taking.mistaken;
            let off = if wrong {
                taking.gross * if dice.between(0.0, 1.0) < 0.5 { -1.0 } else { 1.0 }
            } else {
                0.0
            };
            let at = line[k]
                + left_of(heading) * (off + taking.noise * dice.normal())
                + direction(heading) * taking.noise * dice.normal();
            points.push((at, (run, wrong, line[k])));
        }
    }
    if taking.shuffled {
        dice.shuffle(&mut points);
    }
    let given = |p: Point| taking.given(p);
    let top = ribs.0[2].last().unwrap().y;
    let bottom = ribs.0[0][0].y;
    let pins = if taking.pins {
        Pins {
            lower: Some(given(Point::new(0.0, bottom + 0.02 * (top - bottom)))),
            upper: Some(given(Point::new(0.0, top - 0.02 * (top - bottom)))),
        }
    } else {
        Pins::default()
    };
    let truth = points.iter().map(|(_, truth)| *truth).collect();
    let points = points
        .into_iter()
        .enumerate()
        .map(|(i, (at, (run, ..)))| TracedPoint {
            at: given(at),
            run: taking.named.then_some(run),
            side: None,
            taken: HowTaken::Given,
            sd: None,
            line: i + 2,
        })
        .collect();
    Taken { trace: Trace { points, pins }, truth }
}
