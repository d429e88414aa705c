//! Working a recipe: one step after the other, then the six runs.

use super::construction::{
    CentreLine, Construction, Contact, Joint, PartialConstruction, PlacedCircle, PlacedPoint,
};
use super::error::{LARGEST_RADIUS, Place, RecipeError, SMALLEST_SIZE, Setting, StepName};
use super::prepare::{
    Against, Draft, Length, Plan, PlannedOutline, Prepared, Rest, RestLine, Work, undecided,
};
use super::runs::{CONTACT_TOLERANCE, Fault, Turn, joints, pieces, pieces_either_way};
use super::tangency::{Circle, at_distances, nearest_setting};
use super::{Recipe, Size, TouchFrom, Toward};
use crate::arc::{Chain, Piece};
use crate::outline::{Bout, Corner, Outline};
use crate::ratio::Ratio;
use kurbo::{Point, Vec2};

/// What is added to a step when it is worked a little off the plan, in mm: to a circle's radius (the
/// second value is not used), or to a point's distance up and its distance out. A point's distance that
/// the recipe leaves out is none at all and stays so: what lies on the centreline remains there.
pub type Ease = [f64; 2];

impl Recipe {
    /// Works the recipe as planned.
    ///
    /// ```
    /// let violin = ribline_geometry::recipe::built_in::violin();
    /// let drawn = violin.evaluate().unwrap();
    /// assert_eq!(drawn.lengths[0], 355.0);
    /// assert!((drawn.outline.bounds().height() - 355.0).abs() < 1e-3);
    /// ```
    ///
    /// # Errors
    /// The first fault, with the step, the numbers and, where there is one, the value that would do.
    pub fn evaluate(&self) -> Result<Construction, RecipeError> {
        let plan = self.prepared()?;
        plan.evaluate_at(&plan.lengths)
    }

    /// Works the recipe with its measures eased to these lengths, in mm. For many evaluations, prepare
    /// the recipe once: [`Recipe::prepared`].
    ///
    /// # Errors
    /// As [`Recipe::evaluate`], and lengths that are too few, too many or no lengths.
    pub fn evaluate_at(&self, lengths: &[f64]) -> Result<Construction, RecipeError> {
        self.prepared()?.evaluate_at(lengths)
    }

    /// Works as much of the recipe as can be worked, and tells everything that is wrong with it.
    pub fn evaluate_partial(&self) -> PartialConstruction {
        let Draft { measures, lengths, steps, outline, errors } = self.drafted();
        let lengths: Vec<f64> = lengths.into_iter().map(|length| length.unwrap_or(f64::NAN)).collect();
        let steps: Vec<Option<&Prepared>> = steps.iter().map(Option::as_ref).collect();
        worked_partially(&steps, &measures, outline.as_ref(), &lengths, &[], errors)
    }
}

impl Plan {
    /// The names of the measures, in the recipe's order.
    pub fn measures(&self) -> &[String] {
        &self.measures
    }

    /// The planned lengths of the measures, in mm.
    pub fn lengths(&self) -> &[f64] {
        &self.lengths
    }

    /// How many steps there are: the length that [`Plan::evaluate_eased`] wants its second list to have.
    pub fn steps(&self) -> usize {
        self.steps.len()
    }

    /// # Errors
    /// As [`Recipe::evaluate_at`].
    pub fn evaluate_at(&self, lengths: &[f64]) -> Result<Construction, RecipeError> {
        self.evaluate_eased(lengths, &[])
    }

    /// Works the recipe at these lengths with every step eased by so much; no eases at all stand for none.
    ///
    /// # Errors
    /// As [`Recipe::evaluate_at`].
    pub fn evaluate_eased(&self, lengths: &[f64], eased: &[Ease]) -> Result<Construction, RecipeError> {
        let made = self.work(lengths, eased)?;
        let half = half_outline(&self.outline, &made, |step| self.name(step))?;
        let steps: Vec<Option<&Prepared>> = self.steps.iter().map(Some).collect();
        Ok(constructed(&steps, &self.outline, lengths, &made, half))
    }

    /// The outline alone, for those who evaluate by the thousand.
    ///
    /// # Errors
    /// As [`Recipe::evaluate_at`].
    pub fn outline_eased(&self, lengths: &[f64], eased: &[Ease]) -> Result<Outline, RecipeError> {
        let made = self.work(lengths, eased)?;
        Ok(half_outline(&self.outline, &made, |step| self.name(step))?.into_outline())
    }

    /// Works as much as can be worked at these lengths.
    pub fn evaluate_partial(&self, lengths: &[f64], eased: &[Ease]) -> PartialConstruction {
        let errors: Vec<RecipeError> = self.lengths_are_usable(lengths, eased).err().into_iter().collect();
        let steps: Vec<Option<&Prepared>> = self.steps.iter().map(Some).collect();
        worked_partially(&steps, &self.measures, Some(&self.outline), lengths, eased, errors)
    }

    fn work(&self, lengths: &[f64], eased: &[Ease]) -> Result<Vec<Option<Made>>, RecipeError> {
        self.lengths_are_usable(lengths, eased)?;
        let mut made = Vec::with_capacity(self.steps.len());
        for (k, step) in self.steps.iter().enumerate() {
            let ease = eased.get(k).copied().unwrap_or_default();
            let done = worked(step, &self.measures, lengths, ease, &made, |k| self.name(k))?;
            made.push(done);
        }
        Ok(made)
    }

    fn lengths_are_usable(&self, lengths: &[f64], eased: &[Ease]) -> Result<(), RecipeError> {
        if lengths.len() != self.measures.len() {
            let (given, wanted) = (lengths.len(), self.measures.len());
            return Err(RecipeError::WrongNumberOfLengths { given, wanted });
        }
        if !eased.is_empty() && eased.len() != self.steps.len() {
            let (given, wanted) = (eased.len(), self.steps.len());
            return Err(RecipeError::WrongNumberOfSteps { given, wanted });
        }
        match lengths
            .iter()
            .zip(&self.measures)
            .find(|(mm, _)| !(SMALLEST_SIZE..=LARGEST_RADIUS).contains(*mm))
        {
            Some((mm, name)) => Err(RecipeError::LengthOutOfRange { name: name.clone(), mm: *mm }),
            None => Ok(()),
        }
    }

    fn name(&self, step: usize) -> &str {
        self.steps.get(step).map_or("", |step| step.name.name.as_str())
    }
}

/// What a step has put on the board.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Made {
    Point(Point),
    Circle(Circle),
}

fn point_at(made: &[Option<Made>], step: usize) -> Option<Point> {
    match made.get(step) {
        Some(Some(Made::Point(at))) => Some(*at),
        _ => None,
    }
}

fn circle_at(made: &[Option<Made>], step: usize) -> Option<Circle> {
    match made.get(step) {
        Some(Some(Made::Circle(circle))) => Some(*circle),
        _ => None,
    }
}

/// Works one step. `Ok(None)` where something it rests on is missing.
fn worked<'a>(
    step: &Prepared,
    measures: &[String],
    lengths: &[f64],
    ease: Ease,
    made: &[Option<Made>],
    name: impl Fn(usize) -> &'a str,
) -> Result<Option<Made>, RecipeError> {
    match &step.work {
        Work::Point { up, out } => {
            let eased = |length: &Option<Length>, ease: f64| length.map_or(0.0, |l| l.mm(lengths) + ease);
            let at = Point::new(eased(out, ease[1]), eased(up, ease[0]));
            if at.x.abs() <= LARGEST_RADIUS && at.y.abs() <= LARGEST_RADIUS {
                Ok(Some(Made::Point(at)))
            } else {
                let mm = if at.x.abs() <= LARGEST_RADIUS { at.y } else { at.x };
                Err(RecipeError::SizeOutOfRange { place: Place::Step(step.name.clone()), mm })
            }
        }
        Work::Circle { radius, size, rests, lies } => {
            let mm = radius.mm(lengths) + ease[0];
            if !(SMALLEST_SIZE..=LARGEST_RADIUS).contains(&mm) {
                return Err(RecipeError::SizeOutOfRange { place: Place::Step(step.name.clone()), mm });
            }
            let struck = Strike { step: &step.name, radius: mm, length: *radius, size, measures, lengths };
            let centre = struck.centre(rests, *lies, made, name)?;
            Ok(centre.map(|centre| Made::Circle(Circle { centre, radius: mm })))
        }
    }
}

/// A circle about to be struck, and what is needed to say why it cannot be.
struct Strike<'a> {
    step: &'a StepName,
    radius: f64,
    length: Length,
    size: &'a Size,
    measures: &'a [String],
    lengths: &'a [f64],
}

impl Strike<'_> {
    fn centre<'n>(
        &self,
        rests: &Rest,
        lies: Toward,
        made: &[Option<Made>],
        name: impl Fn(usize) -> &'n str,
    ) -> Result<Option<Point>, RecipeError> {
        match *rests {
            Rest::On { point } => Ok(point_at(made, point)),
            Rest::Through { point, line } => {
                let Some(through) = point_at(made, point) else { return Ok(None) };
                let (foot, along) = match line {
                    RestLine::Centreline => (Point::new(0.0, through.y), Vec2::new(0.0, 1.0)),
                    RestLine::CrossAt(at) => {
                        let Some(at) = point_at(made, at) else { return Ok(None) };
                        (Point::new(through.x, at.y), Vec2::new(1.0, 0.0))
                    }
                };
                let off = through.distance(foot);
                let square = self.radius * self.radius - off * off;
                if square < -1e-10 * self.radius * self.radius {
                    let task = match line {
                        RestLine::Centreline => {
                            format!("pass through \"{}\" with its centre on the centreline", name(point))
                        }
                        RestLine::CrossAt(at) => format!(
                            "pass through \"{}\" with its centre on the cross line at \"{}\"",
                            name(point),
                            name(at)
                        ),
                    };
                    return Err(self.setting_wrong(task, off, |radius| radius >= off * (1.0 - 1e-10)));
                }
                let half = square.max(0.0).sqrt() * along;
                self.chosen([foot + half, foot - half], lies).map(Some)
            }
            Rest::Between { one, other } => {
                let (Some(first), Some(second)) = (touched(one, made), touched(other, made)) else {
                    return Ok(None);
                };
                let centres = |radius: f64| {
                    at_distances(
                        first.0.centre,
                        first.0.distance_when_touched(first.1, radius),
                        second.0.centre,
                        second.0.distance_when_touched(second.1, radius),
                    )
                };
                match centres(self.radius) {
                    Some(both) => self.chosen(both, lies).map(Some),
                    None => Err(self.no_centre(one, other, first, second, centres, name)),
                }
            }
        }
    }

    fn no_centre<'n>(
        &self,
        one: Against,
        other: Against,
        first: (Circle, TouchFrom),
        second: (Circle, TouchFrom),
        centres: impl Fn(f64) -> Option<[Point; 2]>,
        name: impl Fn(usize) -> &'n str,
    ) -> RecipeError {
        let (step, apart) = (self.step.clone(), first.0.centre.distance(second.0.centre));
        let side = |from| match from {
            TouchFrom::Inside => "inside",
            TouchFrom::Outside => "outside",
        };
        let words = |against| match against {
            Against::Circle { circle, from } => format!("touch \"{}\" {}", name(circle), side(from)),
            Against::Point(point) => format!("pass through \"{}\"", name(point)),
        };
        let task = format!("{} and {}", words(one), words(other));
        let limit = nearest_setting(first, second, self.radius)
            .filter(|limit| (SMALLEST_SIZE..=LARGEST_RADIUS).contains(limit));
        let within = first.0.radius - apart;
        match (limit, other) {
            // Around one centre a setting can be right in every direction at once, which gives no centre either.
            (Some(limit), _) if centres(limit).is_none() => RecipeError::SameCentre { step, task },
            (Some(limit), _) => self.setting_wrong(task, limit, |radius| centres(radius).is_some()),
            (None, Against::Point(point)) if within > 0.0 => {
                RecipeError::PointWithin { step, task, point: name(point).to_owned(), by: within }
            }
            (None, _) => RecipeError::NoSetting { step, task, apart },
        }
    }

    fn setting_wrong(&self, task: String, limit: f64, does: impl Fn(f64) -> bool) -> RecipeError {
        let least = limit >= self.radius;
        let ratio = match (self.size, self.length) {
            (Size::Ratio { .. }, Length::Part { measure, .. }) => {
                let whole = self.lengths.get(measure).copied().unwrap_or(f64::NAN);
                let of = self.measures.get(measure).cloned().unwrap_or_default();
                simple_beyond(limit / whole, least, |ratio| does(ratio.of(whole))).map(|ratio| (ratio, of))
            }
            _ => None,
        };
        let needed = Setting { mm: limit, least, ratio };
        RecipeError::SettingWrong { step: self.step.clone(), given: self.radius, task, needed }
    }

    fn chosen(&self, both: [Point; 2], lies: Toward) -> Result<Point, RecipeError> {
        let [one, other] = both;
        let apart = one - other;
        let (along, one_is_meant) = match lies {
            Toward::Neck => (apart.y, apart.y > 0.0),
            Toward::Bottom => (apart.y, apart.y < 0.0),
            Toward::Out => (apart.x, apart.x > 0.0),
            Toward::In => (apart.x, apart.x < 0.0),
        };
        // Two centres in one are the limit of a setting that just does, and no choice is left to make.
        if along.abs() <= 1e-9 * self.radius && apart.hypot() > 1e-6 * self.radius {
            return Err(undecided(self.step, lies));
        }
        Ok(if one_is_meant { one } else { other })
    }
}

fn touched(against: Against, made: &[Option<Made>]) -> Option<(Circle, TouchFrom)> {
    match against {
        Against::Circle { circle, from } => circle_at(made, circle).map(|circle| (circle, from)),
        Against::Point(point) => {
            point_at(made, point).map(|centre| (Circle { centre, radius: 0.0 }, TouchFrom::Outside))
        }
    }
}

/// The simplest ratio a little beyond the limit for which `does` holds; terms up to 40, no more than a tenth
/// beyond, or a third where the limit is so small that no ratio comes nearer.
fn simple_beyond(limit: f64, least: bool, does: impl Fn(Ratio) -> bool) -> Option<Ratio> {
    [1.1, 1.33].into_iter().find_map(|reach| {
        let (low, high) = if least { (limit, limit * reach) } else { (limit / reach, limit) };
        Ratio::simple_between(low, high, 40).into_iter().find(|ratio| does(*ratio))
    })
}

/// The right half: chains as the outline travels them, except that the upper one still comes down from the top.
struct Half {
    lower: Chain,
    waist: Chain,
    upper: Chain,
    /// In the order of [`Bout::ALL`], as the plan gives the runs.
    joints: [Vec<(Point, bool)>; 3],
    lower_corner: Point,
    upper_corner: Point,
}

impl Half {
    fn into_outline(self) -> Outline {
        let Half { lower, waist, upper, .. } = self;
        let left = |run: &Chain| run.mirrored().reversed();
        let (left_lower, left_waist) = (left(&lower), left(&waist));
        let (right_upper, left_upper) = (upper.reversed(), upper.mirrored());
        Outline { runs: [lower, waist, right_upper, left_upper, left_waist, left_lower] }
    }
}

fn half_outline<'a>(
    plan: &PlannedOutline,
    made: &[Option<Made>],
    name: impl Fn(usize) -> &'a str,
) -> Result<Half, RecipeError> {
    // A plan's circles and corners are all made once its steps are worked; see `worked_partially`.
    let circles = |bout: usize| -> Vec<Circle> {
        plan.runs.get(bout).into_iter().flatten().filter_map(|step| circle_at(made, *step)).collect()
    };
    let named = |bout: Bout, at: usize| {
        let step = plan.runs.get(bout as usize).and_then(|run| run.get(at));
        step.map_or(String::new(), |step| name(*step).to_owned())
    };
    let [lower, waist, upper] = [circles(0), circles(1), circles(2)];
    let corner = |bout, step: usize| {
        let at = point_at(made, step).unwrap_or_default();
        if at.x > 0.0 {
            Ok(at)
        } else {
            Err(RecipeError::CornerNotOut { bout, corner: name(step).to_owned(), out: at.x })
        }
    };
    let lower_corner = corner(Bout::Lower, plan.lower_corner)?;
    let upper_corner = corner(Bout::Upper, plan.upper_corner)?;

    let on_centreline = |bout: Bout, run: &[Circle], towards: f64| match run.first() {
        None => Err(RecipeError::EmptyRun { bout }),
        Some(first) if first.centre.x.abs() > CONTACT_TOLERANCE => {
            Err(RecipeError::StartsOffCentreline { bout, circle: named(bout, 0), off: first.centre.x.abs() })
        }
        Some(first) => Ok(Point::new(0.0, first.centre.y + towards * first.radius)),
    };
    let bottom = on_centreline(Bout::Lower, &lower, -1.0)?;
    let top = on_centreline(Bout::Upper, &upper, 1.0)?;

    let reaches = |bout: Bout, run: &[Circle], at: usize, corner: Point, step: usize| {
        let by = run.get(at).map_or(f64::NAN, |c| (corner.distance(c.centre) - c.radius).abs());
        if by <= CONTACT_TOLERANCE {
            Ok(())
        } else {
            let (circle, corner) = (named(bout, at), name(step).to_owned());
            Err(RecipeError::CornerMissed { bout, circle, corner, by })
        }
    };
    reaches(Bout::Lower, &lower, lower.len().saturating_sub(1), lower_corner, plan.lower_corner)?;
    reaches(Bout::Waist, &waist, 0, lower_corner, plan.lower_corner)?;
    reaches(Bout::Waist, &waist, waist.len().saturating_sub(1), upper_corner, plan.upper_corner)?;
    reaches(Bout::Upper, &upper, upper.len().saturating_sub(1), upper_corner, plan.upper_corner)?;

    let told = |bout: Bout| {
        move |fault: Fault| match fault {
            Fault::NotTouching { at, gap } => {
                RecipeError::NotTouching { bout, first: named(bout, at), second: named(bout, at + 1), gap }
            }
            Fault::SameCircle { at } => {
                RecipeError::SameCircle { bout, first: named(bout, at), second: named(bout, at + 1) }
            }
            Fault::LongWayRound { at, sweep } => {
                RecipeError::LongWayRound { bout, circle: named(bout, at), degrees: sweep.to_degrees() }
            }
        }
    };
    let lower_joints = joints(&lower).map_err(told(Bout::Lower))?;
    let waist_joints = joints(&waist).map_err(told(Bout::Waist))?;
    let upper_joints = joints(&upper).map_err(told(Bout::Upper))?;
    // Counter-clockwise, the outline leaves the bottom turning left. Coming down from the top it turns right.
    let lower_pieces =
        pieces(&lower, &lower_joints, bottom, lower_corner, Turn::Left).map_err(told(Bout::Lower))?;
    let waist_pieces = pieces_either_way(&waist, &waist_joints, lower_corner, upper_corner, Turn::Right)
        .map_err(told(Bout::Waist))?;
    let upper_pieces =
        pieces(&upper, &upper_joints, top, upper_corner, Turn::Right).map_err(told(Bout::Upper))?;

    let waist_heading = match (waist.first(), waist_pieces.first()) {
        (Some(circle), Some(Piece { radius, .. })) => {
            let out = lower_corner - circle.centre;
            out.y.atan2(out.x) + std::f64::consts::FRAC_PI_2.copysign(*radius)
        }
        _ => 0.0,
    };
    Ok(Half {
        lower: Chain::new(bottom, 0.0, lower_pieces),
        waist: Chain::new(lower_corner, crate::arc::wrap_angle(waist_heading), waist_pieces),
        upper: Chain::new(top, 0.0, upper_pieces),
        joints: [lower_joints, waist_joints, upper_joints],
        lower_corner,
        upper_corner,
    })
}

/// Names and helper lines for what was worked.
fn constructed(
    steps: &[Option<&Prepared>],
    plan: &PlannedOutline,
    lengths: &[f64],
    made: &[Option<Made>],
    half: Half,
) -> Construction {
    let (points, circles) = placed(steps, made);
    // Places among the circles, from places among the steps.
    let mut place = vec![0; made.len()];
    for (k, circle) in circles.iter().enumerate() {
        if let Some(place) = place.get_mut(circle.step) {
            *place = k;
        }
    }
    let [lower, waist, upper] = plan.runs.each_ref().map(|run| {
        run.iter().map(|step| place.get(*step).copied().unwrap_or_default()).collect::<Vec<usize>>()
    });
    let mut found = Vec::new();
    for ((bout, run), contacts) in Bout::ALL.into_iter().zip([&lower, &waist, &upper]).zip(&half.joints) {
        let handed = run.windows(2).zip(contacts).filter_map(|(pair, &(at, turns_back))| {
            let &[one, two] = pair else { return None };
            let (from, to) = if bout == Bout::Upper { (two, one) } else { (one, two) };
            Some(Joint { bout, from, to, at, turns_back })
        });
        let mut handed: Vec<Joint> = handed.collect();
        if bout == Bout::Upper {
            handed.reverse();
        }
        found.append(&mut handed);
    }
    let back = |run: &Vec<usize>| run.iter().rev().copied().collect::<Vec<usize>>();
    let runs = [lower.clone(), waist.clone(), back(&upper), upper, back(&waist), back(&lower)];
    let corners = Corner::ALL.map(|corner| {
        let right = if corner.bout() == Bout::Lower { half.lower_corner } else { half.upper_corner };
        Point::new(corner.side().sign() * right.x, right.y)
    });
    let outline = half.into_outline();
    Construction { lengths: lengths.to_vec(), points, circles, outline, runs, joints: found, corners }
}

fn placed(steps: &[Option<&Prepared>], made: &[Option<Made>]) -> (Vec<PlacedPoint>, Vec<PlacedCircle>) {
    let (mut points, mut circles) = (Vec::new(), Vec::with_capacity(steps.len()));
    for (step, (prepared, done)) in steps.iter().zip(made).enumerate() {
        let (Some(prepared), Some(done)) = (prepared, done) else { continue };
        let name = prepared.name.name.clone();
        match (done, &prepared.work) {
            (Made::Circle(circle), Work::Circle { size, rests, .. }) => {
                circles.push(placed_circle(name, step, *circle, size.clone(), rests, made));
            }
            (Made::Point(at), _) => points.push(PlacedPoint { name, at: *at, step }),
            (Made::Circle(_), Work::Point { .. }) => {}
        }
    }
    (points, circles)
}

fn placed_circle(
    name: String,
    step: usize,
    circle: Circle,
    size: Size,
    rests: &Rest,
    made: &[Option<Made>],
) -> PlacedCircle {
    let contact = |against: Against| match against {
        Against::Circle { circle: other, .. } => circle_at(made, other).and_then(|touched| {
            let at = circle.contact(touched)?;
            Some(Contact { step: other, centre: touched.centre, at })
        }),
        Against::Point(_) => None,
    };
    let (mut contacts, mut point, mut centre_on, mut rests_on) = (Vec::new(), None, None, Vec::new());
    match *rests {
        Rest::On { point: on } => {
            point = point_at(made, on);
            rests_on.push(on);
        }
        Rest::Through { point: through, line } => {
            point = point_at(made, through);
            rests_on.push(through);
            centre_on = Some(match line {
                RestLine::Centreline => CentreLine::Centreline,
                RestLine::CrossAt(at) => {
                    if at != through {
                        rests_on.push(at);
                    }
                    CentreLine::Cross { up: circle.centre.y }
                }
            });
        }
        Rest::Between { one, other } => {
            contacts.extend([one, other].into_iter().filter_map(contact));
            for against in [one, other] {
                match against {
                    Against::Circle { circle, .. } => rests_on.push(circle),
                    Against::Point(through) => {
                        point = point_at(made, through);
                        rests_on.push(through);
                    }
                }
            }
        }
    }
    let Circle { centre, radius } = circle;
    PlacedCircle { name, centre, radius, step, size, contacts, point, centre_on, rests_on }
}

fn worked_partially(
    steps: &[Option<&Prepared>],
    measures: &[String],
    outline: Option<&PlannedOutline>,
    lengths: &[f64],
    eased: &[Ease],
    mut errors: Vec<RecipeError>,
) -> PartialConstruction {
    let name = |k: usize| match steps.get(k) {
        Some(Some(step)) => step.name.name.as_str(),
        _ => "",
    };
    let mut made: Vec<Option<Made>> = Vec::with_capacity(steps.len());
    let mut not_reached = Vec::new();
    for (k, step) in steps.iter().enumerate() {
        let ease = eased.get(k).copied().unwrap_or_default();
        let done = match step {
            None => None,
            Some(step) => match worked(step, measures, lengths, ease, &made, name) {
                Ok(Some(done)) => Some(done),
                Ok(None) => {
                    not_reached.push(k);
                    None
                }
                Err(error) => {
                    errors.push(error);
                    None
                }
            },
        };
        made.push(done);
    }
    let (points, circles) = placed(steps, &made);
    let reached = |plan: &PlannedOutline| {
        let corners = [plan.lower_corner, plan.upper_corner];
        let mut needed = plan.runs.iter().flatten().chain(&corners);
        needed.all(|step| matches!(made.get(*step), Some(Some(_))))
    };
    let half = outline.filter(|plan| reached(plan)).map(|plan| (plan, half_outline(plan, &made, name)));
    let whole = match half {
        Some((plan, Ok(half))) => Some(constructed(steps, plan, lengths, &made, half)),
        Some((_, Err(error))) => {
            errors.push(error);
            None
        }
        None => None,
    };
    let lengths = lengths.iter().map(|mm| Some(*mm).filter(|mm| mm.is_finite())).collect();
    PartialConstruction { lengths, points, circles, errors, not_reached, whole }
}

#[cfg(test)]
mod tests;
