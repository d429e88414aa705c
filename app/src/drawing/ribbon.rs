//! The overhang as a ribbon along the outside of the edge, its width the overhang several times over.

use super::path::{line_to, move_to, polyline};
use kurbo::{Point, Vec2};
use ribline_geometry::reconcile::report::{OverhangReport, OverhangSample, Reconciled};

/// Between the edge and the ribbon, in mm, so that the edge stays one clear line.
const GAP: f64 = 1.4;
/// No stretch of ribbon across a break between samples, as at the corners, in mm.
const LARGEST_GAP: f64 = 20.0;

/// How the overhang at a place compares with what was wanted, in five grades.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Grade {
    /// Thin by more than the tolerance.
    Thin,
    /// Thin by more than half of it.
    RatherThin,
    Even,
    RatherFull,
    Full,
}

impl Grade {
    pub const ALL: [Grade; 5] = [Grade::Thin, Grade::RatherThin, Grade::Even, Grade::RatherFull, Grade::Full];

    pub fn of(sample: &OverhangSample, tolerance: f64) -> Grade {
        let off = (sample.overhang - sample.wanted) / tolerance.max(1e-6);
        match off {
            _ if off < -1.0 => Grade::Thin,
            _ if off < -0.5 => Grade::RatherThin,
            _ if off > 1.0 => Grade::Full,
            _ if off > 0.5 => Grade::RatherFull,
            _ => Grade::Even,
        }
    }

    pub fn class(self) -> &'static str {
        match self {
            Grade::Thin => "thin",
            Grade::RatherThin => "rather-thin",
            Grade::Even => "even",
            Grade::RatherFull => "rather-full",
            Grade::Full => "full",
        }
    }
}

/// How many times the overhang is drawn across. As much as leaves room within the tightest hollow that
/// the ribbon follows, at most four.
pub fn exaggeration(shown: &Reconciled) -> f64 {
    let widest = shown.overhang.samples.iter().map(|s| s.overhang).fold(0.1, f64::max);
    let tightest = shown
        .arcs
        .iter()
        .filter(|arc| arc.arc.sweep < 0.0)
        .map(|arc| arc.arc.radius)
        .fold(f64::INFINITY, f64::min);
    [4.0, 3.0, 2.0].into_iter().find(|times| GAP + times * widest < 0.95 * tightest).unwrap_or(1.0)
}

fn outward(sample: &OverhangSample) -> Vec2 {
    -sample.inward
}

fn foot(sample: &OverhangSample) -> Point {
    sample.at + GAP * outward(sample)
}

fn rim(sample: &OverhangSample, times: f64) -> Point {
    sample.at + (GAP + times * sample.overhang.max(0.0)) * outward(sample)
}

/// Samples that follow one another without a break.
fn stretches(report: &OverhangReport) -> impl Iterator<Item = &[OverhangSample]> {
    report
        .samples
        .chunk_by(|a, b| a.run == b.run && a.at.distance(b.at) < LARGEST_GAP)
        .filter(|stretch| stretch.len() > 1)
}

/// The parts of the ribbon that have one grade, as one path.
pub fn ribbon_of(report: &OverhangReport, grade: Grade, times: f64) -> String {
    let mut d = String::new();
    for stretch in stretches(report) {
        let of = |pair: &[OverhangSample]| {
            let worst = pair
                .iter()
                .max_by(|a, b| (a.overhang - a.wanted).abs().total_cmp(&(b.overhang - b.wanted).abs()));
            worst.map(|sample| Grade::of(sample, report.tolerance))
        };
        let mut from = 0;
        while from + 1 < stretch.len() {
            let mut to = from;
            while to + 1 < stretch.len() && of(&stretch[to..to + 2]) == Some(grade) {
                to += 1;
            }
            if to > from {
                let part = &stretch[from..=to];
                part.iter().enumerate().for_each(|(k, s)| {
                    if k == 0 { move_to(&mut d, foot(s)) } else { line_to(&mut d, foot(s)) }
                });
                part.iter().rev().for_each(|s| line_to(&mut d, rim(s, times)));
                d.push('Z');
            }
            from = to.max(from + 1);
        }
    }
    d
}

/// Where the ribbon's rim would be with the overhang just as wanted.
pub fn wanted_line(report: &OverhangReport, times: f64) -> String {
    stretches(report)
        .map(|stretch| {
            let line: Vec<Point> =
                stretch.iter().map(|s| s.at + (GAP + times * s.wanted) * outward(s)).collect();
            polyline(&line)
        })
        .collect()
}

/// A figure to be written beside the ribbon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// On the ribbon's rim, in the frame of the result.
    pub rim: Point,
    pub outward: Vec2,
    pub overhang: f64,
    pub grade: Grade,
}

/// Figures at the worst places first, then evenly along each run; which of them find room is settled on the screen.
pub fn figures(report: &OverhangReport, times: f64) -> Vec<Figure> {
    let at = |sample: &OverhangSample| Figure {
        rim: rim(sample, times),
        outward: outward(sample),
        overhang: sample.overhang,
        grade: Grade::of(sample, report.tolerance),
    };
    let nearest =
        |to: Point| report.samples.iter().min_by(|a, b| a.at.distance(to).total_cmp(&b.at.distance(to)));
    let worst = report.stretches.iter().filter_map(|stretch| nearest(stretch.worst_at));
    let along = stretches(report).flat_map(|stretch| {
        let length: f64 = stretch.windows(2).map(|pair| pair[0].at.distance(pair[1].at)).sum();
        // One figure to some 60 mm of run, and one to each run at least.
        let count = (length / 60.0).round().clamp(1.0, 3.0) as usize;
        (0..count).filter_map(move |k| stretch.get((2 * k + 1) * stretch.len() / (2 * count)))
    });
    worst.chain(along).map(at).collect()
}
