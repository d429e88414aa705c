//! The button of the back: the tongue of the plate under the neck's heel.

use crate::arc::{Arc, wrap_angle};
use crate::bench::shapes::{Path, Segment};
use crate::outline::{Outline, Run};
use crate::recipe::Instrument;
use kurbo::{Point, Vec2};
use std::f64::consts::{FRAC_PI_2, PI};

/// The button wanted, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ButtonWish {
    pub form: ButtonForm,
    pub width: f64,
    /// From the edge, on the neck's line, to the top of the button.
    pub height: f64,
    /// How far the neck's line lies off the centreline at the top of the plate: positive to the right. The line is taken
    /// to run from there to the lower end of the centreline.
    pub neck_off: f64,
    /// Radius of the hollow in which the button's flanks run into the edge; 0 for a sharp corner.
    pub root: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ButtonForm {
    /// Half a circle as wide as the button, on as much straight flank as the height asks for; a flatter arc where the
    /// height is less than half the width.
    HalfRound,
    /// Flanks straight for so many mm, and one arc over the rest.
    StraightFlanks(f64),
}

impl ButtonWish {
    /// Least and most that can be meant, mm.
    pub const WIDTH: (f64, f64) = (5.0, 80.0);
    pub const HEIGHT: (f64, f64) = (2.0, 60.0);
    pub const FLANK: (f64, f64) = (0.0, 60.0);
    pub const NECK_OFF: (f64, f64) = (-20.0, 20.0);
    pub const ROOT: (f64, f64) = (0.0, 10.0);

    /// What is usual for an instrument. Violin 20 to 21 wide and 13 high: common practice, from memory; viola 22 to 23
    /// wide and 13 to 15 high: a published table of viola measurements (web page "The Viola"); cello and viol from memory.
    pub fn customary(instrument: Instrument) -> Self {
        let (width, height) = match instrument {
            Instrument::Violin => (20.5, 13.0),
            Instrument::Viola => (22.5, 14.0),
            Instrument::Cello => (36.0, 25.0),
            Instrument::Viol => (26.0, 16.0),
        };
        ButtonWish { form: ButtonForm::HalfRound, width, height, neck_off: 0.0, root: 0.0 }
    }
}

/// Why a button cannot be drawn; worded for a person.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ButtonError {
    #[error("The {what} of the button must be from {least} to {most} mm; it is {given} mm")]
    Size { what: &'static str, least: f64, most: f64, given: f64 },
    #[error(
        "The button's straight flanks ({flank:.1} mm) are as high as the whole button ({height:.1} mm); leave at least 1 mm for its round"
    )]
    NoRound { flank: f64, height: f64 },
    #[error(
        "The button, {width:.1} mm wide and {off:.1} mm off the centreline, does not stand on the upper edge; make it narrower or bring it nearer to the centreline"
    )]
    NotOnTheEdge { width: f64, off: f64 },
    #[error("The hollow at the button's root ({root:.1} mm) has no room there; choose less")]
    RootTooLarge { root: f64 },
}

/// A button on its plate.
#[derive(Debug, Clone, PartialEq)]
pub struct Button {
    /// From the foot on the right, counter-clockwise over the top, to the foot on the left.
    pub segments: Vec<Segment>,
    /// Where it leaves the edge, right and left.
    pub feet: [Point; 2],
    /// The highest place of the button, on the neck's line.
    pub top: Point,
    /// Direction of the neck's line, radians from +x.
    pub neck_line: f64,
    /// The run that each foot stands on, which arc of it, and how far along.
    stands: [(Run, usize, f64); 2],
}

/// Draws the button on an outline.
///
/// # Errors
/// [`ButtonError`] for sizes that nobody can mean, or that have no room on this edge.
pub fn button(outline: &Outline, wish: &ButtonWish) -> Result<Button, ButtonError> {
    checked(wish)?;
    let line = NeckLine::of(outline, wish)?;
    let half = wish.width / 2.0;
    let not_there = ButtonError::NotOnTheEdge { width: wish.width, off: wish.neck_off };
    let flank = match wish.form {
        ButtonForm::HalfRound => wish.height - half,
        ButtonForm::StraightFlanks(mm) => mm,
    };
    // The round: an arc through the tops of both flanks and the top of the button.
    let (shoulder, rise) = if flank > 0.0 { (flank, wish.height - flank) } else { (0.0, wish.height) };
    let radius = (rise * rise + half * half) / (2.0 * rise);
    let centre = line.at(0.0, wish.height - radius);
    let right_foot = Foot::on(outline, &line, half).ok_or(not_there)?;
    let left_foot = Foot::on(outline, &line, -half).ok_or(not_there)?;
    let (right_foot, right_hollow) = right_foot.hollowed(outline, &line, half, wish.root)?;
    let (left_foot, left_hollow) = left_foot.hollowed(outline, &line, -half, wish.root)?;
    // A flank is as long as it takes to reach the shoulder from where it leaves the edge or its hollow.
    let [right_top, left_top] = [line.at(half, shoulder), line.at(-half, shoulder)];
    let right_base = right_hollow.map_or(right_foot.at, |arc| arc.at(1.0));
    let left_base = left_hollow.map_or(left_foot.at, |arc| arc.at(0.0));
    if flank > 0.0
        && [(right_top, right_base), (left_top, left_base)].iter().any(|(t, b)| (*t - *b).dot(line.up) < 0.0)
    {
        return Err(ButtonError::RootTooLarge { root: wish.root });
    }
    let (from, to) = if flank > 0.0 { (right_top, left_top) } else { (right_base, left_base) };
    let mut segments = Vec::new();
    segments.extend(right_hollow.map(Segment::Arc));
    if flank > 0.0 {
        segments.push(Segment::Line { from: right_base, to: right_top });
    }
    segments.extend(round(from, line.at(0.0, wish.height), to, centre));
    if flank > 0.0 {
        segments.push(Segment::Line { from: left_top, to: left_base });
    }
    segments.extend(left_hollow.map(Segment::Arc));
    Ok(Button {
        segments,
        feet: [right_foot.at, left_foot.at],
        top: line.at(0.0, wish.height),
        neck_line: line.up.y.atan2(line.up.x),
        stands: [right_foot.stands, left_foot.stands],
    })
}

fn checked(wish: &ButtonWish) -> Result<(), ButtonError> {
    let within = |what, (least, most): (f64, f64), given: f64| {
        if (least..=most).contains(&given) {
            Ok(())
        } else {
            Err(ButtonError::Size { what, least, most, given })
        }
    };
    within("width", ButtonWish::WIDTH, wish.width)?;
    within("height", ButtonWish::HEIGHT, wish.height)?;
    within("way off the centreline", ButtonWish::NECK_OFF, wish.neck_off)?;
    within("hollow", ButtonWish::ROOT, wish.root)?;
    if let ButtonForm::StraightFlanks(flank) = wish.form {
        within("straight flank", ButtonWish::FLANK, flank)?;
        if flank > wish.height - 1.0 {
            return Err(ButtonError::NoRound { flank, height: wish.height });
        }
    }
    Ok(())
}

/// The round in one arc, from the right over the top to the left.
fn round(from: Point, top: Point, to: Point, centre: Point) -> Option<Segment> {
    let angle = |at: Point| (at.y - centre.y).atan2(at.x - centre.x);
    let radius = centre.distance(top);
    // Feet on a sloping edge are not alike: each end is where its own ray meets the circle.
    let (start, over, end) = (angle(from), angle(top), angle(to));
    let sweep = wrap_angle(over - start) + wrap_angle(end - over);
    (sweep > 0.0).then_some(Segment::Arc(Arc { centre, radius, start, sweep }))
}

/// The neck's line: where it meets the edge, and the directions along and across it.
struct NeckLine {
    foot: Point,
    up: Vec2,
    across: Vec2,
}

impl NeckLine {
    fn of(outline: &Outline, wish: &ButtonWish) -> Result<Self, ButtonError> {
        let bottom = Point::new(0.0, outline.runs[0].start.y);
        let head = outline.runs[Run::ALL[2].index()].end();
        let aim = Point::new(wish.neck_off, head.y);
        let up = (aim - bottom) / (aim - bottom).hypot();
        let across = Vec2::new(up.y, -up.x);
        let foot = Foot::crossing(outline, bottom, up)
            .ok_or(ButtonError::NotOnTheEdge { width: wish.width, off: wish.neck_off })?;
        Ok(NeckLine { foot: foot.at, up, across })
    }

    /// So far to the right of the neck's line and so far up from the edge.
    fn at(&self, right: f64, up: f64) -> Point {
        self.foot + right * self.across + up * self.up
    }
}

/// A place where a flank stands on the edge.
#[derive(Clone, Copy)]
struct Foot {
    at: Point,
    stands: (Run, usize, f64),
}

impl Foot {
    /// The highest place at which a line through `through` in direction `up` crosses the upper runs.
    fn crossing(outline: &Outline, through: Point, up: Vec2) -> Option<Foot> {
        let mut found: Option<(f64, Foot)> = None;
        for run in [Run::ALL[2], Run::ALL[3]] {
            for (piece, arc) in outline.run(run).arcs().iter().enumerate() {
                let to = arc.centre - through;
                let (along, off) = (to.dot(up), up.cross(to));
                let half = arc.radius * arc.radius - off * off;
                if half < 0.0 {
                    continue;
                }
                for way in [along + half.sqrt(), along - half.sqrt()] {
                    let at = through + way * up;
                    let t = arc.parameter_of(at);
                    if (-1e-9..=1.0 + 1e-9).contains(&t) && found.as_ref().is_none_or(|(best, _)| way > *best)
                    {
                        found = Some((way, Foot { at, stands: (run, piece, t.clamp(0.0, 1.0)) }));
                    }
                }
            }
        }
        found.map(|(_, foot)| foot)
    }

    fn on(outline: &Outline, line: &NeckLine, right: f64) -> Option<Foot> {
        Foot::crossing(outline, line.at(right, 0.0), line.up)
    }

    /// The foot moved out along the edge to where a hollow of this radius, touching flank and edge, begins.
    fn hollowed(
        self,
        outline: &Outline,
        line: &NeckLine,
        right: f64,
        root: f64,
    ) -> Result<(Foot, Option<Arc>), ButtonError> {
        if root <= 0.0 {
            return Ok((self, None));
        }
        let refused = ButtonError::RootTooLarge { root };
        let (run, _, _) = self.stands;
        let side = right.signum();
        // The hollow's centre lies outside of the flank and outside of the edge, by its radius from both.
        let beside = right + side * root;
        let mut best: Option<(f64, Foot, Point)> = None;
        for (piece, arc) in outline.run(run).arcs().iter().enumerate() {
            let about = if arc.sweep > 0.0 { arc.radius + root } else { arc.radius - root };
            let to = arc.centre - line.at(beside, 0.0);
            let (along, off) = (to.dot(line.up), line.up.cross(to));
            let half = about * about - off * off;
            if about <= 0.0 || half < 0.0 {
                continue;
            }
            for way in [along + half.sqrt(), along - half.sqrt()] {
                let centre = line.at(beside, way);
                let touch = arc.centre + arc.radius * (centre - arc.centre) / about;
                let t = arc.parameter_of(touch);
                if (0.0..=1.0).contains(&t) && best.as_ref().is_none_or(|(w, ..)| way > *w) {
                    best = Some((way, Foot { at: touch, stands: (run, piece, t) }, centre));
                }
            }
        }
        let (way, foot, centre) = best.ok_or(refused)?;
        let touch_flank = line.at(right, way);
        let angle = |at: Point| (at.y - centre.y).atan2(at.x - centre.x);
        // On the right the path comes from the edge up into the flank; on the left it goes down from the flank.
        let (from, to) = if side > 0.0 { (foot.at, touch_flank) } else { (touch_flank, foot.at) };
        let sweep = wrap_angle(angle(to) - angle(from));
        if sweep.abs() > FRAC_PI_2 * 1.6 {
            return Err(refused);
        }
        let start = angle(from);
        Ok((foot, Some(Arc { centre, radius: root, start, sweep: sweep.clamp(-PI, PI) })))
    }
}

impl Button {
    /// The closed edge with the button on it: six runs and four corner cuts, with the part under the button left out.
    pub fn edge_with(&self, outline: &Outline) -> Path {
        let [right, left] = self.stands;
        let mut segments: Vec<Segment> = Vec::new();
        let mut push = |next: Segment| {
            if let Some(last) = segments.last().map(Segment::end) {
                let start = next.start();
                if last.distance(start) > crate::bench::shapes::SAME_PLACE {
                    segments.push(Segment::Line { from: last, to: start });
                }
            }
            segments.push(next);
        };
        let place =
            |run: Run, piece: usize, t: f64| run.index() as f64 * 1e6 + piece as f64 + t.min(1.0 - 1e-12);
        let (off, on) = (place(right.0, right.1, right.2), place(left.0, left.1, left.2));
        let mut put = false;
        for run in Run::ALL {
            for (piece, arc) in outline.run(run).arcs().iter().enumerate() {
                let (begins, ends) = (place(run, piece, 0.0), place(run, piece, 1.0));
                if ends <= off || begins >= on {
                    push(Segment::Arc(*arc));
                    continue;
                }
                if begins < off {
                    push(Segment::Arc(super::parallel::up_to(arc, off - begins)));
                }
                if !put {
                    put = true;
                    self.segments.iter().for_each(|segment| push(*segment));
                }
                if ends > on {
                    push(Segment::Arc(super::parallel::from(arc, on - begins)));
                }
            }
        }
        Path::closed(segments)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arc::direction;
    use crate::recipe::built_in::{cello, viola, violin};

    fn edges() -> Vec<(Outline, Instrument)> {
        [violin(), viola(), cello()].map(|r| (r.evaluate().unwrap().outline, r.instrument)).to_vec()
    }

    #[test]
    fn a_button_has_its_width_and_its_height_over_the_edge() {
        for (outline, instrument) in edges() {
            let wish = ButtonWish::customary(instrument);
            let button = button(&outline, &wish).unwrap();
            let path = button.edge_with(&outline);
            let bounds = path.bounds().unwrap();
            assert!((bounds.height() - outline.bounds().height() - wish.height).abs() < 1e-6);
            let [right, left] = button.feet;
            assert!((right.x - left.x - wish.width).abs() < 1e-9);
            assert!((right.y - left.y).abs() < 1e-6);
            let more = path.area() - Path::outline(&outline).area();
            let whole = wish.width * wish.height;
            assert!((0.75 * whole..1.02 * whole).contains(&more), "{more} of {whole}");
        }
    }

    #[test]
    fn the_edge_with_a_button_is_one_closed_line_end_to_end() {
        for (outline, instrument) in edges() {
            for form in [ButtonForm::HalfRound, ButtonForm::StraightFlanks(6.0)] {
                for (neck_off, root) in [(0.0, 0.0), (1.5, 0.0), (-2.0, 1.5), (3.0, 2.0)] {
                    let wish = ButtonWish { form, neck_off, root, ..ButtonWish::customary(instrument) };
                    let path = button(&outline, &wish).unwrap().edge_with(&outline);
                    let count = path.segments.len();
                    for (k, segment) in path.segments.iter().enumerate() {
                        let next = &path.segments[(k + 1) % count];
                        assert!(segment.end().distance(next.start()) < 1e-6, "{k}: {segment:?} {next:?}");
                    }
                    assert!(path.area() > 0.0);
                    // A line that was put in to bridge a gap would be one more than the flanks and the corners' own.
                    let lines = path.segments.iter().filter(|s| matches!(s, Segment::Line { .. })).count();
                    assert!(lines <= 2 + 4, "{lines}");
                }
            }
        }
    }

    #[test]
    fn a_button_stands_on_the_necks_line() {
        let outline = violin().evaluate().unwrap().outline;
        let wish = ButtonWish { neck_off: 2.0, ..ButtonWish::customary(Instrument::Violin) };
        let button = button(&outline, &wish).unwrap();
        let middle = button.feet[0].midpoint(button.feet[1]);
        let line = direction(button.neck_line);
        let off = line.cross(button.top - Point::ZERO);
        assert!(off.abs() < 1e-9, "the line runs from the foot of the centreline: {off}");
        assert!((middle.x - 2.0).abs() < 0.2);
    }

    #[test]
    fn a_hollow_takes_over_the_headings_of_edge_and_flank() {
        let outline = violin().evaluate().unwrap().outline;
        let wish = ButtonWish { root: 2.0, ..ButtonWish::customary(Instrument::Violin) };
        let path = button(&outline, &wish).unwrap().edge_with(&outline);
        let heading = |segment: &Segment, t: f64| match segment {
            Segment::Line { from, to } => (to.y - from.y).atan2(to.x - from.x),
            Segment::Arc(arc) => arc.heading(t),
        };
        let kinks = (0..path.segments.len())
            .filter(|k| {
                let (a, b) = (&path.segments[*k], &path.segments[(k + 1) % path.segments.len()]);
                wrap_angle(heading(a, 1.0) - heading(b, 0.0)).abs() > 1e-6
            })
            .count();
        // Four corners of this recipe, where the edges meet in points.
        assert_eq!(kinks, 4);
    }

    #[test]
    fn impossible_buttons_are_refused_in_words() {
        let outline = violin().evaluate().unwrap().outline;
        let wish = ButtonWish::customary(Instrument::Violin);
        let refused = |wish: ButtonWish| button(&outline, &wish).unwrap_err().to_string();
        assert!(refused(ButtonWish { width: 200.0, ..wish }).contains("80 mm"));
        assert!(refused(ButtonWish { height: f64::NAN, ..wish }).contains("height"));
        let flanks = ButtonForm::StraightFlanks(12.5);
        assert!(refused(ButtonWish { form: flanks, ..wish }).contains("at least 1 mm"));
    }
}
