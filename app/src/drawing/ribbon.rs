//! The overhang as a ribbon along the outside of the edge, its width the overhang several times over.

use super::path::{line_to, move_to, polyline};
use kurbo::{Point, Vec2};
use ribline_geometry::reconcile::report::{OverhangReport, OverhangSample, Reconciled};

/// Between the edge and the ribbon, in mm, so that the edge stays one clear line.
const GAP: f64 = 1.4;
/// Figures along the whole edge, about.
const FIGURES: f64 = 14.0;
/// So many of the worst places have their figure whatever stands in its way; more would cover the drawing.
const WORST: usize = 12;
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
    // What is wanted and half as much again, so that it doesn't jump while a point is being moved.
    let widest = 1.5 * shown.overhang.samples.iter().map(|s| s.wanted).fold(0.1, f64::max);
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

/// Samples that follow one another without a break: the two runs of a bout go on from one another over the centreline.
/// The samples begin at the bottom, so the last stretch is joined to the first there.
fn stretches(report: &OverhangReport) -> Vec<Vec<OverhangSample>> {
    let goes_on = |a: &OverhangSample, b: &OverhangSample| {
        a.run.bout == b.run.bout && a.at.distance(b.at) < LARGEST_GAP
    };
    let mut found: Vec<Vec<OverhangSample>> =
        report.samples.chunk_by(goes_on).map(<[OverhangSample]>::to_vec).collect();
    let meet = match (found.first().and_then(|s| s.first()), found.last().and_then(|s| s.last())) {
        (Some(first), Some(last)) => found.len() > 1 && goes_on(last, first),
        _ => false,
    };
    if meet && let Some(mut last) = found.pop() {
        last.append(&mut found[0]);
        found[0] = last;
    }
    found.retain(|stretch| stretch.len() > 1);
    found
}

/// The parts of the ribbon that have one grade, as one path.
pub fn ribbon_of(report: &OverhangReport, grade: Grade, times: f64) -> String {
    let mut d = String::new();
    for stretch in &stretches(report) {
        let of = |pair: &[OverhangSample]| {
            let worst = pair
                .iter()
                .max_by(|a, b| (a.overhang - a.wanted).abs().total_cmp(&(b.overhang - b.wanted).abs()));
            worst.map(|sample| Grade::of(sample, report.told_beyond))
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
        .iter()
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
    /// Whether it must be read: one of the worst places out of tolerance.
    pub worst: bool,
}

/// Figures at the worst places first, then evenly along each run; which of them find room is settled on the screen.
pub fn figures(report: &OverhangReport, times: f64) -> Vec<Figure> {
    let at = |sample: &OverhangSample| Figure {
        rim: rim(sample, times),
        outward: outward(sample),
        overhang: sample.overhang,
        grade: Grade::of(sample, report.told_beyond),
        worst: false,
    };
    let nearest =
        |to: Point| report.samples.iter().min_by(|a, b| a.at.distance(to).total_cmp(&b.at.distance(to)));
    let whole: f64 = stretches(report)
        .iter()
        .flat_map(|stretch| stretch.windows(2))
        .map(|pair| pair[0].at.distance(pair[1].at))
        .sum();
    let worst = report.stretches.iter().enumerate().filter_map(|(place, stretch)| {
        // A run whose points scatter less is told of for less than all of the ribbon is coloured by.
        let grade = if stretch.worst_by < 0.0 { Grade::Thin } else { Grade::Full };
        Some(Figure { worst: place < WORST, grade, ..at(nearest(stretch.worst_at)?) })
    });
    let mut figures: Vec<Figure> = worst.collect();
    for stretch in stretches(report) {
        let length: f64 = stretch.windows(2).map(|pair| pair[0].at.distance(pair[1].at)).sum();
        // Spread evenly, so that an instrument of any size has about a dozen.
        let count = (FIGURES * length / whole).round().max(1.0) as usize;
        let places = (0..count).map(|k| (2 * k + 1) * stretch.len() / (2 * count));
        figures.extend(places.filter_map(|place| stretch.get(place)).map(at));
    }
    figures
}
