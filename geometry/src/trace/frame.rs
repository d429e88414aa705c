//! The frame of the result: the centreline from the pins, from an offsets table, or from the points themselves.

use super::laid::Laid;
use super::names::{Agreement, agreement};
use super::notice::name;
use super::placing::{pose_of, pose_on};
use super::pose::{Open, Pose, Posing};
use super::symmetry::{Through, centreline};
use super::{Frame, Notice, Pin, Pins, Trace, TraceError, TracedPoint};
use kurbo::Point;

/// A pin further than this from the middle of the points is worth a closer look, and one further than that was
/// mistyped; mm at a violin's size. Ribs come off the mould a few mm uneven, never a finger's breadth.
const PIN_DOUBTED: f64 = 2.5;
const PIN_REFUSED: f64 = 14.0;
/// Where the pins may be on the body, as shares of its length from the bottom.
const LOWER_PIN: [f64; 2] = [-0.15, 0.3];
const UPPER_PIN: [f64; 2] = [0.7, 1.15];
/// A misfit (see [`Posing::misfit`]) of less than this is a fit: a body the other way up has several times as much.
const FITS: f64 = 0.25;
/// How much better the other way up must fit before the pins' or the table's own word is doubted.
const CLEARLY_BETTER: f64 = 0.6;
/// A pin further than this from the line about which the halves mirror each other is remarked on.
const PIN_REMARKED: f64 = 3.0;
const NEAR: [f64; 3] = [6.0, 4.0, 4.0];

/// How the outline lies over the points, and where that rests on.
pub(super) struct Framed {
    pub pose: Pose,
    pub centreline: Centreline,
    /// As they were meant.
    pub pins: Pins,
    /// Whether the points may have the centreline elsewhere than the pins.
    pub pins_doubted: bool,
    pub notices: Vec<Notice>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Centreline {
    Given,
    Estimated { through: Option<Pin> },
}

impl Trace {
    /// Whether every point was measured from a centreline to one of its sides, as in a table of offsets: then that one counts, unless two
    /// pins say otherwise.
    pub fn is_of_offsets(&self) -> bool {
        !self.points.is_empty() && of_offsets(&self.points)
    }
}

fn of_offsets(points: &[TracedPoint]) -> bool {
    points.iter().all(|p| p.side.is_some())
}

/// Finds the frame, refusing pins and names that cannot be right.
pub(super) fn framed(points: &[TracedPoint], pins: Pins, posing: &Posing) -> Result<Framed, TraceError> {
    let places: Vec<Point> = points.iter().map(|p| p.at).collect();
    let framed = match (pins.lower, pins.upper) {
        (Some(lower), Some(upper)) => on_pins(points, &places, lower, upper, posing)?,
        _ if of_offsets(points) => on_the_table(&places, pins, posing)?,
        _ => by_symmetry(points, &places, pins, posing)?,
    };
    let names = names_in(points, &framed.pose);
    if names.left_left == Some(false) || names.neck_up == Some(false) {
        return Err(TraceError::MirrorImage { name: contradicted(points, &framed.pose) });
    }
    Ok(framed)
}

fn on_pins(
    points: &[TracedPoint],
    places: &[Point],
    lower: Point,
    upper: Point,
    posing: &Posing,
) -> Result<Framed, TraceError> {
    let up = upper - lower;
    if up.hypot() < 1.0 {
        return Err(TraceError::PinsTogether);
    }
    let frame = |from: Point, up: kurbo::Vec2| Frame { origin: from, angle: (-up.x).atan2(up.y) };
    let on = |frame| pose_on(frame, posing, places, [Some(lower), Some(upper)]);
    let (mut pose, mut misfit) = on(frame(lower, up));
    let mut pins = Pins { lower: Some(lower), upper: Some(upper) };
    let mut notices = Vec::new();
    let named_up = names_in(points, &pose).neck_up;
    if named_up == Some(false) || (named_up.is_none() && misfit > FITS) {
        let turned = on(frame(upper, -up));
        if named_up.is_some() || turned.1 < CLEARLY_BETTER * misfit {
            (pose, misfit) = turned;
            pins = Pins { lower: Some(upper), upper: Some(lower) };
            notices.push(Notice::PinsSwapped);
        }
    }
    // Where the points would have the centreline, were it not for the pins.
    let (mut free, free_misfit) = posing.improved(pose, Open::Everything, &NEAR);
    if misfit > FITS
        && let Some((other, other_misfit)) = pose_of(posing, places)
        && other_misfit < CLEARLY_BETTER * free_misfit
    {
        free = other;
    }
    let pins_doubted = pins_are_doubtful(pins, &free)?;
    Ok(Framed { pose, centreline: Centreline::Given, pins, pins_doubted, notices })
}

fn on_the_table(places: &[Point], pins: Pins, posing: &Posing) -> Result<Framed, TraceError> {
    let frame = Frame { origin: Point::ORIGIN, angle: 0.0 };
    let (pose, misfit) = pose_on(frame, posing, places, [None, None]);
    if misfit > FITS {
        let turned = Frame { origin: Point::ORIGIN, angle: std::f64::consts::PI };
        if pose_on(turned, posing, places, [None, None]).1 < CLEARLY_BETTER * misfit {
            return Err(TraceError::TableUpsideDown);
        }
    }
    Ok(Framed { pose, centreline: Centreline::Given, pins, pins_doubted: false, notices: Vec::new() })
}

fn by_symmetry(
    points: &[TracedPoint],
    places: &[Point],
    pins: Pins,
    posing: &Posing,
) -> Result<Framed, TraceError> {
    let (mut pose, misfit) = pose_of(posing, places).ok_or(TraceError::OnALine)?;
    let mut notices = Vec::new();
    let (turned, turned_misfit) = posing.improved(pose.upside_down(), Open::Everything, &NEAR);
    match names_in(points, &pose).neck_up.or(pin_at_its_end(pins, &pose)) {
        Some(true) => {}
        // Names are believed, a single pin only where the points do not contradict it: it is refused below.
        Some(false) if named(points) || misfit > CLEARLY_BETTER * turned_misfit => pose = turned,
        None if misfit > CLEARLY_BETTER * turned_misfit => notices.push(Notice::NeckEndUnclear),
        _ => {}
    }
    let pins_doubted = pins_are_doubtful(pins, &pose)?;
    let through = pins.lower.map(|_| Pin::Lower).or(pins.upper.map(|_| Pin::Upper));
    Ok(Framed { pose, centreline: Centreline::Estimated { through }, pins, pins_doubted, notices })
}

fn named(points: &[TracedPoint]) -> bool {
    points.iter().any(|p| p.run.is_some())
}

/// Whether the only pin lies in the half of the body where it belongs.
fn pin_at_its_end(pins: Pins, pose: &Pose) -> Option<bool> {
    let up = |at: Point| (pose.frame.to_result(at).y - pose.bottom) / pose.up;
    pins.lower.map(|at| up(at) < 0.5).or(pins.upper.map(|at| up(at) > 0.5))
}

/// Compares the pins with the centreline and the length of the outline as the points have it: refuses
/// those that cannot be right, and says whether any may be wrong.
fn pins_are_doubtful(pins: Pins, free: &Pose) -> Result<bool, TraceError> {
    let mut doubtful = false;
    let unit = free.unit();
    for (pin, at, range) in [(Pin::Lower, pins.lower, LOWER_PIN), (Pin::Upper, pins.upper, UPPER_PIN)] {
        let Some(at) = at else { continue };
        let at = free.frame.to_result(at);
        let share = (at.y - free.bottom) / free.up;
        if !(range[0]..=range[1]).contains(&share) {
            let end = if pin == Pin::Lower { 0.0 } else { 1.0 };
            return Err(TraceError::PinFarFromEnd { pin, by: (share - end).abs() * free.up });
        }
        if at.x.abs() > PIN_REFUSED * unit {
            return Err(TraceError::PinOffCentreline { pin, by: at.x.abs() });
        }
        doubtful |= at.x.abs() > PIN_DOUBTED * unit;
    }
    Ok(doubtful)
}

fn names_in(points: &[TracedPoint], pose: &Pose) -> Agreement {
    let placed = points.iter().map(|p| (pose.frame.to_result(p.at), p.run, p.side));
    agreement(placed, 0.03 * pose.up)
}

/// The name that most plainly contradicts where its points lie.
fn contradicted(points: &[TracedPoint], pose: &Pose) -> String {
    let wrong = points
        .iter()
        .filter(|p| {
            let side = p.run.map(|run| run.side).or(p.side);
            side.is_some_and(|side| side.sign() * pose.frame.to_result(p.at).x < 0.0)
        })
        .max_by(|a, b| {
            let out = |p: &TracedPoint| pose.frame.to_result(p.at).x.abs();
            out(a).total_cmp(&out(b))
        });
    let said = wrong.and_then(|p| p.run.map(|run| run.to_string()).or(p.side.map(|side| name(side).into())));
    said.unwrap_or_else(|| "upper".into())
}

impl Framed {
    /// The frame of the result: origin at the lower pin, else where the line meets the centreline at the bottom.
    pub fn result_frame(&self, laid: &Laid) -> Frame {
        let (pose, pins) = (&self.pose, self.pins);
        let mut frame = pose.frame;
        if self.centreline != Centreline::Given {
            let pin = pins.lower.or(pins.upper).map(|at| frame.to_result(at));
            let through = pin.map_or(Through::Anywhere, Through::Pin);
            if let Some(found) = centreline(frame, &laid.halves, &laid.followed, through, laid.unit) {
                frame = found;
            }
        }
        let origin = match pins.lower {
            Some(at) => at,
            None => frame.to_given(Point::new(0.0, laid.bottom(pose, frame))),
        };
        Frame { origin, ..frame }
    }

    /// The pins that do not lie in the middle of the points, judged by the halves' symmetry.
    pub fn pins_beside_centreline(&self, laid: &Laid) -> Vec<Notice> {
        if !self.pins_doubted {
            return Vec::new();
        }
        let (pose, pins) = (&self.pose, self.pins);
        let Some(frame) = centreline(pose.frame, &laid.halves, &laid.followed, Through::Anywhere, laid.unit)
        else {
            return Vec::new();
        };
        [(Pin::Lower, pins.lower), (Pin::Upper, pins.upper)]
            .into_iter()
            .filter_map(|(pin, at)| Some((pin, -frame.to_result(at?).x)))
            .filter(|(_, middle)| middle.abs() > PIN_REMARKED * laid.unit)
            .map(|(pin, middle)| Notice::PinBesideCentreline { pin, middle })
            .collect()
    }
}
