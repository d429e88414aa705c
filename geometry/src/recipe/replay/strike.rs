//! Marking a point, and striking a circle: first its centre is found, then it is swept.

use super::order::Order;
use super::sweep::{across, swept};
use super::{Act, Mark, Opening, Role, Stroke, Taken, Work};
use crate::outline::Side;
use crate::recipe::tangency::Circle;
use crate::recipe::{Action, CentreLine, Contact, Line, PlacedCircle, Placing, Touch, TouchFrom};
use kurbo::Point;

/// How far a line is drawn beyond the place that is looked for on it, in parts of the body length.
const BEYOND: f64 = 0.04;

impl Work<'_> {
    /// A point: so far up the centreline, so far out.
    pub(super) fn point(&self, step: usize, now: usize, order: &Order) -> Vec<Stroke> {
        let (Some(point), Some(made)) = (self.placed_point(step), self.recipe.steps.get(step)) else {
            return Vec::new();
        };
        let Action::Point { up, out } = &made.action else { return Vec::new() };
        let foot = Point::new(0.0, point.at.y);
        let mut strokes = Vec::new();
        if let Some(up) = up {
            let mark = Mark::Line(kurbo::Line::new(Point::ZERO, foot));
            let taken = Taken::size(point.at.y, up);
            strokes.push(Stroke { mark, role: Role::Up, taken, until: Some(now) });
        }
        if let Some(out) = out {
            let mark = Mark::Line(kurbo::Line::new(foot, point.at));
            let taken = Taken::size(point.at.x, out);
            let until = Some(order.cross_line_until(self, &made.name, now));
            strokes.push(Stroke { mark, role: Role::Out, taken, until });
        }
        let until = Some(order.point_until(self, step, now));
        strokes.push(Stroke { mark: Mark::Point(point.at), role: Role::Marked, taken: None, until });
        strokes
    }

    /// A circle: how its centre is found, the lines of centres to the circles it touches, and the arc.
    pub(super) fn circle(&self, step: usize, now: usize, order: &Order) -> Vec<Stroke> {
        let (Some(circle), Some(made)) = (self.placed_circle(step), self.recipe.steps.get(step)) else {
            return Vec::new();
        };
        let Action::Circle { placed, .. } = &made.action else { return Vec::new() };
        let helper = |mark, role, taken| Stroke { mark, role, taken, until: Some(now) };
        let setting = || Taken::size(circle.radius, &circle.size);
        let length = self.body_length();
        let set_off = |from: Point| {
            let arc = across(from, circle.centre, length)?;
            Some(helper(Mark::Arc(arc), Role::SetOff, setting()))
        };

        let mut strokes = Vec::new();
        match placed {
            Placing::CentredOn { .. } => {}
            Placing::Through { centre_on, .. } => {
                if let Line::CrossAt { point } = centre_on {
                    strokes.extend(self.cross_line(circle, point, now, order));
                }
                strokes.extend(circle.point.and_then(set_off));
            }
            Placing::TouchingTwo { one, other, .. } => {
                strokes
                    .extend([one, other].into_iter().filter_map(|touch| self.touching(circle, touch, now)));
            }
            Placing::TouchingThrough { one, .. } => {
                strokes.extend(self.touching(circle, one, now));
                strokes.extend(circle.point.and_then(set_off));
            }
        }
        let until = Some(order.centre_until(self, step, now));
        strokes.push(Stroke { mark: Mark::Point(circle.centre), role: Role::Centre, taken: None, until });

        let contacts = self.contacts_with_earlier(circle);
        for contact in &contacts {
            let line = line_of_centres(circle.centre, contact);
            strokes.push(helper(Mark::Line(line), Role::LineOfCentres, None));
        }
        let mark = Mark::Arc(self.swept_arc(circle, &contacts));
        let until = Some(order.arc_until(self, step, now));
        strokes.push(Stroke { mark, role: Role::Struck, taken: setting(), until });
        for contact in &contacts {
            let until = Some(order.contact_until(self, step, contact.step, now));
            strokes.push(Stroke { mark: Mark::Point(contact.at), role: Role::Contact, taken: None, until });
        }
        strokes
    }

    /// The line square to the centreline, as far as it isn't there already.
    fn cross_line(&self, circle: &PlacedCircle, point: &str, now: usize, order: &Order) -> Option<Stroke> {
        let height = circle.centre.y;
        let at = self.points.iter().find(|placed| placed.name == point);
        let beyond = BEYOND * self.body_length();
        // From the centreline out to its point the line was drawn when the point was marked.
        let mut drawn = (0.0_f64, at.map_or(0.0, |at| at.at.x));
        for earlier in self.circles.iter().filter(|earlier| earlier.step < circle.step) {
            let same = earlier.centre_on.is_some_and(
                |line| matches!(line, CentreLine::Cross { up } if (up - height).abs() <= 1e-9 * up.abs()),
            );
            if same {
                drawn = reach(drawn, earlier.centre.x, beyond);
            }
        }
        let wanted = reach(drawn, circle.centre.x, beyond);
        let (from, to) = if wanted.1 > drawn.1 {
            (drawn.1, wanted.1)
        } else if wanted.0 < drawn.0 {
            (drawn.0, wanted.0)
        } else {
            return None;
        };
        let line = kurbo::Line::new(Point::new(from, height), Point::new(to, height));
        let until = Some(order.cross_line_until(self, point, now));
        Some(Stroke { mark: Mark::Line(line), role: Role::CrossLine, taken: None, until })
    }

    /// The arc on which the centres lie of all circles of this size that touch one.
    fn touching(&self, circle: &PlacedCircle, touch: &Touch, now: usize) -> Option<Stroke> {
        let touched = self.circle_called(&touch.circle)?;
        let arc = across(touched.centre, circle.centre, self.body_length())?;
        let (ours, theirs) = (circle.size.clone(), touched.size.clone());
        let opening = match touch.from {
            TouchFrom::Outside => Opening::Sum(theirs, ours),
            TouchFrom::Inside if touched.radius >= circle.radius => Opening::Difference(theirs, ours),
            TouchFrom::Inside => Opening::Difference(ours, theirs),
        };
        let whole = Circle { centre: touched.centre, radius: touched.radius };
        let taken = Some(Taken { mm: whole.distance_when_touched(touch.from, circle.radius), opening });
        Some(Stroke { mark: Mark::Arc(arc), role: Role::Touching, taken, until: Some(now) })
    }

    /// Where the circle touches others that are there already: those it was made to touch, and those it hands over to in
    /// the outline because their centres were put in one line with its own.
    pub(super) fn contacts_with_earlier(&self, circle: &PlacedCircle) -> Vec<Contact> {
        let mut contacts = circle.contacts.clone();
        for joint in self.whole.iter().flat_map(|whole| &whole.joints) {
            let (Some(from), Some(to)) = (self.circles.get(joint.from), self.circles.get(joint.to)) else {
                continue;
            };
            let other = if from.step == circle.step {
                to
            } else if to.step == circle.step {
                from
            } else {
                continue;
            };
            if other.step < circle.step && contacts.iter().all(|contact| contact.step != other.step) {
                contacts.push(Contact { step: other.step, centre: other.centre, at: joint.at });
            }
        }
        contacts
    }

    /// As much of the circle as the outline needs, and whatever touches it.
    fn swept_arc(&self, circle: &PlacedCircle, contacts: &[Contact]) -> crate::arc::Arc {
        let on_it = |placing: &Placing| !matches!(placing, Placing::CentredOn { .. });
        let passed = match self.recipe.steps.get(circle.step).map(|step| &step.action) {
            Some(Action::Circle { placed, .. }) if on_it(placed) => circle.point,
            _ => None,
        };
        let mut places: Vec<Point> = contacts.iter().map(|contact| contact.at).chain(passed).collect();
        let later = self.circles.iter().filter(|later| later.step > circle.step);
        places
            .extend(later.flat_map(|later| &later.contacts).filter(|c| c.step == circle.step).map(|c| c.at));
        let arcs: Vec<_> = self
            .outline_arcs()
            .filter(|(act, struck, _)| {
                matches!(act, Act::Ink(run) if run.side == Side::Right) && struck.step == circle.step
            })
            .map(|(_, _, arc)| arc)
            .collect();
        let first = contacts.first().map(|contact| contact.at).or(passed);
        swept(circle, &places, &arcs, first, self.body_length())
    }
}

/// A span that reaches a little beyond a place, where it does not yet.
fn reach((low, high): (f64, f64), to: f64, beyond: f64) -> (f64, f64) {
    (if to < low { to - beyond } else { low }, if to > high { to + beyond } else { high })
}

/// From one centre to the other and on to the contact, whichever of the three lie outermost.
fn line_of_centres(centre: Point, contact: &Contact) -> kurbo::Line {
    let [a, b, c] = [centre, contact.centre, contact.at];
    let lines = [(a, b), (b, c), (a, c)];
    let longest =
        lines.into_iter().max_by(|one, other| one.0.distance(one.1).total_cmp(&other.0.distance(other.1)));
    let (from, to) = longest.unwrap_or((a, b));
    // From the older centre on, as the straightedge is laid.
    if to == b { kurbo::Line::new(to, from) } else { kurbo::Line::new(from, to) }
}
