//! What reconciling gives back, with how sure each figure is.

use super::{Finish, Overhang, Traced};
use crate::arc::Arc;
use crate::edge::{CornerCut, Edge};
use crate::outline::{Bout, Corner, Run};
use crate::ratio::Ratio;
use crate::trace::{Frame, Notice, Pins};
use kurbo::{Point, Vec2};
use std::fmt;

/// The edge developed around a traced line, and the account of it. Everything in the frame of the result.
#[derive(Debug, Clone, PartialEq)]
pub struct Reconciled {
    pub frame: Frame,
    pub finish: Finish,
    pub edge: Edge,
    /// Every arc of the edge, counter-clockwise from the bottom.
    pub arcs: Vec<EdgeArc>,
    pub measures: Vec<FoundMeasure>,
    pub pins: Pins,
    /// Every traced point, in the order given, repeated ones left out.
    pub points: Vec<PointReport>,
    /// Where the traced runs meet, in the order of [`Corner::ALL`].
    pub traced_corners: [Option<Point>; 4],
    pub overhang: OverhangReport,
    /// For each run that cannot stay within tolerance, the arcs more that help most, where they earn their place.
    pub extra_arcs: Vec<ExtraArcs>,
    pub warnings: Vec<Warning>,
    /// Standard deviation of the traced points about the edge's parallel, in mm: what the tracing and the
    /// ribs' own waviness come to.
    pub trace_sd: f64,
}

/// One arc of the edge.
#[derive(Debug, Clone, PartialEq)]
pub struct EdgeArc {
    pub run: Run,
    /// Place within the run, counted from 0, counter-clockwise.
    pub piece: usize,
    pub arc: Arc,
    /// Name of the recipe's circle; an extra arc has the name of the one it was taken from.
    pub circle: String,
    /// Which of the parts in which that circle is struck in this run, counted from 0 as the recipe goes along it; `None` where it is
    /// struck in one.
    pub part: Option<usize>,
    /// Standard deviation of the radius in mm, before it was held at a ratio.
    pub radius_sd: f64,
    /// The simple ratio this radius is held at or, in the fitted finish, can be read as.
    pub reading: Option<Reading>,
}

impl EdgeArc {
    /// What it is called wherever it is told of: its circle, as the recipe names it, and a letter for its part: "waist 2b".
    pub fn name(&self) -> String {
        let letter = self.part.and_then(|part| ('a'..='z').nth(part));
        let apart = if self.circle.ends_with(|last: char| last.is_ascii_digit()) { "" } else { " " };
        letter.map_or_else(|| self.circle.clone(), |letter| format!("{}{apart}{letter}", self.circle))
    }
}

/// A length read as a simple ratio of another.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    pub ratio: Ratio,
    /// Name of the measure it is a ratio of.
    pub of: String,
    /// Whether it is the ratio of the recipe, one of its author's choices, or neither.
    pub standing: Standing,
    /// The chance that a random length of this uncertainty would be matched as well by terms that small.
    pub chance: f64,
    /// Whether the radius is held at this ratio (finish by ratio or recipe) or only comes near it (fitted).
    pub held: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    Planned,
    Allowed,
    Other,
}

impl fmt::Display for Reading {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.ratio, self.of)
    }
}

/// A measure of the recipe as these ribs have it.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundMeasure {
    pub name: String,
    pub title: String,
    /// As the recipe would have it for the body length found, in mm.
    pub planned: f64,
    /// As measured on the edge, in mm.
    pub found: f64,
    /// Standard deviation of `found`, in mm.
    pub sd: f64,
    /// Against the measure that the recipe derives it from; none for the body length.
    pub reading: Option<Reading>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointReport {
    /// Index into [`crate::trace::Trace::points`].
    pub index: usize,
    pub line: usize,
    /// In the frame of the result.
    pub at: Point,
    pub run: Option<Run>,
    pub judged: Judged,
    /// Nearest place on the edge.
    pub foot: Point,
    /// Distance to the edge in mm, positive inside it.
    pub overhang: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judged {
    Kept,
    /// Judged mis-taken: it does not pull on the edge.
    LeftOut,
}

#[derive(Debug, Clone, PartialEq)]
pub struct OverhangReport {
    /// Where it was not the ribs, these are distances to what was: of the ribs nothing is known.
    pub traced: Traced,
    pub wanted: Overhang,
    pub tolerance: f64,
    /// Stretches off by more than this are told of, mm: the tolerance, or, where points scatter so much that one evened out with its
    /// neighbours may leave it by chance, three of its standard deviations.
    pub told_beyond: f64,
    /// Over the points kept, in mm.
    pub min: f64,
    pub mean: f64,
    pub max: f64,
    /// Root of the mean square of (overhang - wanted), in mm.
    pub rms_deviation: f64,
    /// Along the edge, counter-clockwise, evened out over neighbouring points: what the ribbon is drawn from.
    pub samples: Vec<OverhangSample>,
    /// Stretches that leave the tolerance, worst first.
    pub stretches: Vec<Stretch>,
}

impl OverhangReport {
    /// Whether it is the ribs that were traced.
    pub fn is_of_ribs(&self) -> bool {
        self.traced == Traced::Ribs
    }

    /// What no reading, evened out with its neighbours, is off by more than, mm, where no stretch is told of: the tolerance if that is so,
    /// else what their scatter allows.
    pub fn all_within(&self) -> f64 {
        let within = |s: &OverhangSample| (s.overhang - s.wanted).abs() <= self.tolerance;
        if self.samples.iter().all(within) { self.tolerance } else { self.told_beyond }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverhangSample {
    pub run: Run,
    /// On the edge.
    pub at: Point,
    /// Unit vector towards the ribs.
    pub inward: Vec2,
    pub overhang: f64,
    pub wanted: f64,
}

/// A stretch of a run where the overhang is thin or full by more than the tolerance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    pub traced: Traced,
    pub run: Run,
    pub from: Point,
    pub to: Point,
    pub worst_at: Point,
    /// Overhang less what was wanted at the worst place, mm: negative where thin.
    pub worst_by: f64,
    pub place: Place,
}

/// Where on a run, in a maker's words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    Corner(Corner),
    /// At the end of the centreline, bottom or top, as the bout says.
    End(Bout),
    /// Where the bout is widest or the waist narrowest.
    Middle(Run),
    Along(Run),
}

/// The arcs more in a run.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtraArcs {
    pub run: Run,
    /// Names of the circles that are struck in two, in the order in which they were; the same one twice where it is struck in three.
    pub circles: Vec<String>,
    /// By how much the Bayesian information criterion falls; always above 0: the arcs earn their two parameters each.
    pub gain: f64,
    /// Largest departure from the wanted overhang in that run before and after, mm.
    pub before: f64,
    pub after: f64,
    /// Whether they were taken.
    pub taken: bool,
}

impl ExtraArcs {
    /// "one arc more", and which circles are struck in how many parts, without a verb.
    fn in_words(&self) -> (String, String) {
        const IN_WORDS: [&str; 7] = ["no", "one", "two", "three", "four", "five", "six"];
        let in_words =
            |count: usize| IN_WORDS.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned());
        let count = self.circles.len();
        let more = format!("{} {} more", in_words(count), if count == 1 { "arc" } else { "arcs" });
        let mut told: Vec<(&str, usize)> = Vec::new();
        for circle in &self.circles {
            match told.iter_mut().find(|(name, _)| name == circle) {
                Some((_, parts)) => *parts += 1,
                None => told.push((circle, 2)),
            }
        }
        let struck: Vec<String> = told
            .iter()
            .map(|(name, parts)| format!("\"{name}\" struck in {} parts", in_words(*parts)))
            .collect();
        (more, struck.join(" and "))
    }
}

/// Whether a body length is that of another instrument than a recipe's, or of a much smaller one of its kind: by a quarter longer, or by
/// a fifth shorter. Overhang, corners and purfling, which do not grow with the body, are then not the recipe's. Common practice: a
/// quarter-size violin is by a fifth shorter than a whole one.
pub fn is_other_size(found: f64, planned: f64) -> bool {
    !(0.8 * planned..=1.25 * planned).contains(&found)
}

/// What a maker should look at before trusting the line; worded by `Display`.
#[derive(Debug, Clone, PartialEq)]
pub enum Warning {
    Trace(Notice),
    LeftOut {
        line: usize,
        by: f64,
    },
    ManyLeftOut {
        left_out: usize,
        of: usize,
    },
    Thin(Stretch),
    Full(Stretch),
    /// The two sides of a bout, folded on the centreline, part by so many mm at their last points before the lower or the upper
    /// corners; the lines of these points.
    SidesPart {
        bout: Bout,
        corners: Bout,
        left: usize,
        right: usize,
        by: f64,
    },
    /// Long stretches of the edge along which nothing was traced, and how long they are, mm; the longest first.
    NoPoints(Vec<(Place, f64)>),
    ExtraArcs(ExtraArcs),
    CornerNotReached {
        at: Corner,
        wanted: CornerCut,
        got: f64,
    },
    CornersDoNotMeet {
        at: Corner,
    },
    /// Cuts that leave only so many mm beyond the outermost traced point of the ribs; negative where they cut it off.
    CornersShort(Vec<(Corner, f64)>),
    MeasureFarFromRecipe {
        title: String,
        planned: f64,
        found: f64,
    },
    RadiusFarFromRecipe {
        run: Run,
        circle: String,
        planned: f64,
        found: f64,
    },
    /// Body lengths, mm.
    OtherSize {
        found: f64,
        planned: f64,
    },
    SelfCrossing {
        near: Point,
    },
    NotSettled,
}

pub(crate) fn side_word(side: crate::outline::Side) -> &'static str {
    match side {
        crate::outline::Side::Left => "left",
        crate::outline::Side::Right => "right",
    }
}

fn bout_word(bout: Bout) -> &'static str {
    match bout {
        Bout::Lower => "lower bout",
        Bout::Waist => "waist",
        Bout::Upper => "upper bout",
    }
}

/// A run in words: "left lower bout".
pub fn run_in_words(run: Run) -> String {
    format!("{} {}", side_word(run.side), bout_word(run.bout))
}

/// With a capital, to begin a line.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().to_string() + letters.as_str())
}

/// A corner in words: "left upper corner".
pub fn corner_in_words(corner: Corner) -> String {
    format!("{} {} corner", side_word(corner.side()), corners_word(corner.bout()))
}

/// Which two of the corners are those of a bout.
fn corners_word(bout: Bout) -> &'static str {
    if bout == Bout::Upper { "upper" } else { "lower" }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Corner(corner) => write!(f, "at the {}", corner_in_words(*corner)),
            Place::End(Bout::Upper) => write!(f, "at the top of the centreline"),
            Place::End(_) => write!(f, "at the bottom of the centreline"),
            Place::Middle(run) if run.bout == Bout::Waist => {
                write!(f, "at the middle of the {}", run_in_words(*run))
            }
            Place::Middle(run) => write!(f, "at the widest of the {}", run_in_words(*run)),
            Place::Along(run) => write!(f, "along the {}", run_in_words(*run)),
        }
    }
}

impl fmt::Display for Stretch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let word = if self.worst_by < 0.0 { "thin" } else { "full" };
        write!(f, "{word} by {:.1} mm {}", self.worst_by.abs(), self.place)
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Warning::Trace(notice) => write!(f, "{notice}"),
            Warning::LeftOut { line, by } => write!(
                f,
                "The point of line {line} lies {by:.1} mm off the line its neighbours make and was left out; check it, or remove it"
            ),
            Warning::ManyLeftOut { left_out, of } => write!(
                f,
                "{left_out} of {of} points were left out, more than slips of the hand are likely to be: does this recipe suit these ribs? Try another, or check the points"
            ),
            Warning::Thin(stretch) | Warning::Full(stretch) if stretch.traced == Traced::Ribs => {
                write!(f, "The overhang is {stretch}; look there before cutting")
            }
            Warning::Thin(Stretch { worst_by, place, .. })
            | Warning::Full(Stretch { worst_by, place, .. }) => {
                let which = if *worst_by < 0.0 { "further in" } else { "further out" };
                write!(
                    f,
                    "The edge lies {:.1} mm {which} than what was traced has it, {place}; look there before cutting",
                    worst_by.abs()
                )
            }
            Warning::SidesPart { bout, corners, left, right, by } => write!(
                f,
                "Folded on the centreline, the two sides of the {} part by {by:.1} mm at their last points before the {} corners: see whether the point of line {left} (left) or of line {right} (right) was mis-taken, or whether the corners came out so",
                bout_word(*bout),
                corners_word(*corners),
            ),
            Warning::NoPoints(gaps) => {
                write!(f, "No point was taken along ")?;
                for (k, (place, length)) in gaps.iter().enumerate() {
                    let joined = match k {
                        0 => "",
                        _ if k + 1 == gaps.len() => " and ",
                        _ => ", ",
                    };
                    write!(f, "{joined}{length:.0} mm {place}")?;
                }
                write!(f, "; the edge there is the recipe's more than the ribs'")
            }
            Warning::ExtraArcs(extra) => {
                let (more, struck) = extra.in_words();
                let (run, before, after) = (run_in_words(extra.run), extra.before, extra.after);
                if extra.taken {
                    write!(
                        f,
                        "The {run} has {more} than the recipe, {struck}, which brings the edge there from {before:.2} mm off to {after:.2} mm"
                    )
                } else {
                    write!(
                        f,
                        "With {more} in the {run}, {struck}, the edge there would be {after:.2} mm off instead of {before:.2} mm"
                    )
                }
            }
            Warning::CornerNotReached { at, wanted, got } => {
                let corner = corner_in_words(*at);
                match wanted {
                    CornerCut::Width(wanted) => write!(
                        f,
                        "The {corner} cannot be cut at {wanted:.1} mm: its flanks give {got:.1} mm at the nearest. Choose another width"
                    ),
                    CornerCut::Beyond(wanted) => write!(
                        f,
                        "The {corner} cannot be cut {wanted:.1} mm beyond the ribs' corner: its flanks reach only {got:.1} mm beyond it. Cut it further back"
                    ),
                }?;
                write!(f, ", or take more points along both flanks")
            }
            Warning::CornersDoNotMeet { at } => write!(
                f,
                "The two edges at the {} run side by side without meeting; check the points near that corner",
                corner_in_words(*at)
            ),
            Warning::CornersShort(corners) => {
                for (k, (at, left)) in corners.iter().enumerate() {
                    let the = if k == 0 { "The" } else { ", the" };
                    let corner = corner_in_words(*at);
                    let there = if k == 0 { "the outermost point traced there" } else { "it" };
                    let mm = left.abs();
                    match (mm < 0.05, *left > 0.0, k) {
                        (true, ..) => write!(f, "{the} {corner} ends at {there}")?,
                        (_, true, 0) => write!(f, "{the} {corner} ends only {mm:.1} mm beyond {there}")?,
                        (_, true, _) => write!(f, "{the} {corner} only {mm:.1} mm beyond {there}")?,
                        _ => write!(f, "{the} {corner} would be cut {mm:.1} mm short of {there}")?,
                    }
                }
                match corners.len() {
                    1 => write!(f, "; choose a narrower end, or cut it further out"),
                    _ => write!(f, "; choose narrower ends, or cut them further out"),
                }
            }
            Warning::OtherSize { found, planned } => write!(
                f,
                "The body is {found:.0} mm long, the recipe's {planned:.0} mm: see whether overhang, corners, purfling and button are those of this instrument, or choose its own recipe under Set out"
            ),
            Warning::MeasureFarFromRecipe { title, planned, found } => write!(
                f,
                "The {title} of these ribs is {found:.1} mm where the recipe has {planned:.1} mm for this body length; ease the ribs, or choose another ratio"
            ),
            Warning::RadiusFarFromRecipe { run, circle, planned, found } => write!(
                f,
                "The arc \"{circle}\" of the {} came out at {found:.1} mm where the recipe has {planned:.1} mm",
                run_in_words(*run)
            ),
            Warning::SelfCrossing { near } => write!(
                f,
                "The edge crosses itself near {:.0} mm up and {:.0} mm across from the lower pin; do not cut to it. Check the points and corner settings there",
                near.y, near.x
            ),
            Warning::NotSettled => write!(
                f,
                "The fit did not settle: the points and the recipe are too far from one another. Check the runs of the points, or choose another recipe"
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::Side;

    #[test]
    fn corners_cut_too_near_are_told_of_in_one_sentence() {
        let corners = [
            (Bout::Lower, Side::Right, 1.0),
            (Bout::Upper, Side::Left, 0.4),
            (Bout::Lower, Side::Left, -0.5),
        ];
        let corners = corners.map(|(bout, side, left)| (Corner::of(bout, side).unwrap(), left));
        assert_eq!(
            Warning::CornersShort(corners.to_vec()).to_string(),
            "The right lower corner ends only 1.0 mm beyond the outermost point traced there, the left upper corner only 0.4 mm beyond it, the left lower corner would be cut 0.5 mm short of it; choose narrower ends, or cut them further out"
        );
        // No "0.0 mm short of".
        assert_eq!(
            Warning::CornersShort(vec![(Corner::UpperLeft, -0.02)]).to_string(),
            "The left upper corner ends at the outermost point traced there; choose a narrower end, or cut it further out"
        );
    }

    #[test]
    fn a_cut_that_the_flanks_do_not_allow_is_refused_in_the_terms_in_which_it_was_asked() {
        let at = Corner::UpperLeft;
        let told = |wanted, got| Warning::CornerNotReached { at, wanted, got }.to_string();
        assert_eq!(
            told(CornerCut::Width(1.0), 4.2),
            "The left upper corner cannot be cut at 1.0 mm: its flanks give 4.2 mm at the nearest. Choose another width, or take more points along both flanks"
        );
        assert_eq!(
            told(CornerCut::Beyond(7.5), 5.8),
            "The left upper corner cannot be cut 7.5 mm beyond the ribs' corner: its flanks reach only 5.8 mm beyond it. Cut it further back, or take more points along both flanks"
        );
    }

    #[test]
    fn a_smaller_instrument_of_a_kind_is_no_other_till_it_is_a_fifth_shorter() {
        for (found, other) in [(355.0, false), (320.0, false), (280.0, true), (410.0, false), (755.0, true)] {
            assert_eq!(is_other_size(found, 355.0), other, "{found} mm");
        }
    }
}
