//! Names into places: a recipe is read once, every name is looked up and every size tied to its
//! measure, so that working it afterwards is arithmetic only.

use super::error::{
    LARGEST_RADIUS, LONGEST_BODY, MOST_ARCS, MOST_MEASURES, MOST_STEPS, Place, RecipeError, SHORTEST_BODY,
    SMALLEST_SIZE, StepName,
};
use super::{Action, Line, Placing, Recipe, Size, Touch, TouchFrom, Toward};
use crate::outline::Bout;
use crate::ratio::Ratio;
use std::collections::HashMap;

/// A recipe with its names resolved, ready to be worked many times over.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    pub(super) measures: Vec<String>,
    /// In mm, as the recipe plans them.
    pub(super) lengths: Vec<f64>,
    pub(super) steps: Vec<Prepared>,
    pub(super) outline: PlannedOutline,
}

/// What could be resolved of a recipe, and what could not.
#[derive(Debug, Clone)]
pub(super) struct Draft {
    pub measures: Vec<String>,
    pub lengths: Vec<Option<f64>>,
    pub steps: Vec<Option<Prepared>>,
    pub outline: Option<PlannedOutline>,
    pub errors: Vec<RecipeError>,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) struct Prepared {
    pub name: StepName,
    pub work: Work,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Work {
    Point { up: Option<Length>, out: Option<Length> },
    Circle { radius: Length, size: Size, rests: Rest, lies: Toward },
}

/// A size tied to the place of its measure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Length {
    Part { ratio: Ratio, measure: usize },
    Mm(f64),
}

/// What a circle rests on; places are those of the steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Rest {
    On { point: usize },
    Through { point: usize, line: RestLine },
    Between { one: Against, other: Against },
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum RestLine {
    Centreline,
    CrossAt(usize),
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Against {
    Circle { circle: usize, from: TouchFrom },
    Point(usize),
}

/// Places of the steps that make the right half of the outline.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct PlannedOutline {
    /// In the order of [`Bout::ALL`], each as the plan gives it: the upper run from the top down.
    pub runs: [Vec<usize>; 3],
    pub lower_corner: usize,
    pub upper_corner: usize,
}

impl Length {
    pub fn mm(self, lengths: &[f64]) -> f64 {
        match self {
            Length::Part { ratio, measure } => {
                lengths.get(measure).map_or(f64::NAN, |whole| ratio.of(*whole))
            }
            Length::Mm(mm) => mm,
        }
    }
}

impl Recipe {
    /// The planned length of every measure, in mm.
    ///
    /// # Errors
    /// The first measure that is not the body length in mm, or a ratio of an earlier one.
    pub fn lengths(&self) -> Result<Vec<f64>, RecipeError> {
        let mut errors = Vec::new();
        let lengths = planned_lengths(self, &mut errors);
        match errors.into_iter().next() {
            Some(error) => Err(error),
            None => Ok(lengths.into_iter().flatten().collect()),
        }
    }

    /// Looks up every name, once for many evaluations.
    ///
    /// # Errors
    /// The first fault of names, order or sizes. Whether the circles can be placed is only seen on working it.
    pub fn prepared(&self) -> Result<Plan, RecipeError> {
        let Draft { measures, lengths, steps, outline, errors } = self.drafted();
        if let Some(error) = errors.into_iter().next() {
            return Err(error);
        }
        let lengths: Option<Vec<f64>> = lengths.into_iter().collect();
        let steps: Option<Vec<Prepared>> = steps.into_iter().collect();
        match (lengths, steps, outline) {
            (Some(lengths), Some(steps), Some(outline)) => Ok(Plan { measures, lengths, steps, outline }),
            // A gap always comes with its error.
            _ => Err(RecipeError::NoMeasures),
        }
    }

    pub(super) fn drafted(&self) -> Draft {
        let mut errors = Vec::new();
        let too_many = |what, given, most| RecipeError::TooMany { what, given, most };
        if self.measures.len() > MOST_MEASURES {
            errors.push(too_many("measures", self.measures.len(), MOST_MEASURES));
        }
        if self.steps.len() > MOST_STEPS {
            errors.push(too_many("steps", self.steps.len(), MOST_STEPS));
        }
        let lengths = planned_lengths(self, &mut errors);
        let measures = self.measures.iter().take(MOST_MEASURES).map(|m| m.name.clone()).collect::<Vec<_>>();
        let names = Names::of(self, &mut errors);
        let steps = names.steps(&lengths, &mut errors);
        let outline = names.outline(&mut errors);
        Draft { measures, lengths, steps, outline, errors }
    }
}

fn planned_lengths(recipe: &Recipe, errors: &mut Vec<RecipeError>) -> Vec<Option<f64>> {
    if recipe.measures.is_empty() {
        errors.push(RecipeError::NoMeasures);
    }
    let mut lengths: Vec<Option<f64>> = Vec::new();
    let mut places: HashMap<&str, usize> = HashMap::new();
    for (k, measure) in recipe.measures.iter().take(MOST_MEASURES).enumerate() {
        let length = match (&measure.size, k) {
            (Size::Mm(mm), 0) => match (SHORTEST_BODY..=LONGEST_BODY).contains(mm) {
                true => Ok(Some(*mm)),
                false => Err(RecipeError::BodyLengthOutOfRange { mm: *mm }),
            },
            (Size::Ratio { .. }, 0) => Err(RecipeError::BodyLengthNotInMm { name: measure.name.clone() }),
            (Size::Mm(mm), _) => Err(RecipeError::MeasureInMm { name: measure.name.clone(), mm: *mm }),
            (Size::Ratio { ratio, of }, _) => match places.get(of.as_str()) {
                // A measure that failed already has its own error.
                Some(&place) => Ok(lengths.get(place).copied().flatten().map(|whole| ratio.of(whole))),
                None if recipe.measures.iter().any(|m| m.name == *of) => {
                    Err(RecipeError::MeasureTooEarly { name: measure.name.clone(), of: of.clone() })
                }
                None => Err(unknown_measure(recipe, Place::Measure(measure.name.clone()), of)),
            },
        };
        let length = length.and_then(|length| match length {
            Some(mm) if !(SMALLEST_SIZE..=LARGEST_RADIUS).contains(&mm) => {
                Err(RecipeError::SizeOutOfRange { place: Place::Measure(measure.name.clone()), mm })
            }
            within => Ok(within),
        });
        lengths.push(length.unwrap_or_else(|error| {
            errors.push(error);
            None
        }));
        if places.insert(&measure.name, k).is_some() {
            errors.push(RecipeError::NameTwice { what: "measures", name: measure.name.clone() });
        }
    }
    lengths
}

fn unknown_measure(recipe: &Recipe, place: Place, wanted: &str) -> RecipeError {
    let known: Vec<&str> = recipe.measures.iter().take(12).map(|m| m.name.as_str()).collect();
    RecipeError::UnknownMeasure { place, wanted: wanted.to_owned(), known: known.join(", ") }
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Point,
    Circle,
}

impl Kind {
    fn word(self) -> &'static str {
        match self {
            Kind::Point => "point",
            Kind::Circle => "circle",
        }
    }
}

/// The names of a recipe and where they stand.
struct Names<'a> {
    recipe: &'a Recipe,
    measures: HashMap<&'a str, usize>,
    steps: HashMap<&'a str, (usize, Kind)>,
}

impl<'a> Names<'a> {
    fn of(recipe: &'a Recipe, errors: &mut Vec<RecipeError>) -> Self {
        let mut measures = HashMap::new();
        for (k, measure) in recipe.measures.iter().take(MOST_MEASURES).enumerate() {
            measures.entry(measure.name.as_str()).or_insert(k);
        }
        let mut steps = HashMap::new();
        for (k, step) in recipe.steps.iter().take(MOST_STEPS).enumerate() {
            let kind = match step.action {
                Action::Point { .. } => Kind::Point,
                Action::Circle { .. } => Kind::Circle,
            };
            if steps.contains_key(step.name.as_str()) {
                errors.push(RecipeError::NameTwice { what: "steps", name: step.name.clone() });
            } else {
                steps.insert(step.name.as_str(), (k, kind));
            }
        }
        Names { recipe, measures, steps }
    }

    fn steps(&self, lengths: &[Option<f64>], errors: &mut Vec<RecipeError>) -> Vec<Option<Prepared>> {
        let mut prepared: Vec<Option<Prepared>> = Vec::new();
        for (k, step) in self.recipe.steps.iter().take(MOST_STEPS).enumerate() {
            let name = StepName { number: k + 1, name: step.name.clone() };
            match self.step(k, &name, &step.action, lengths) {
                Ok(work) => prepared.push(work.map(|work| Prepared { name, work })),
                Err(error) => {
                    errors.push(error);
                    prepared.push(None);
                }
            }
        }
        prepared
    }

    /// `Ok(None)` where a measure it needs has failed.
    fn step(
        &self,
        k: usize,
        name: &StepName,
        action: &Action,
        lengths: &[Option<f64>],
    ) -> Result<Option<Work>, RecipeError> {
        let size = |size: &Size| self.size(name, size, lengths);
        let before = |wanted: &str, kind| self.earlier(k, name, wanted, kind);
        let touch = |touch: &Touch| -> Result<Against, RecipeError> {
            Ok(Against::Circle { circle: before(&touch.circle, Kind::Circle)?, from: touch.from })
        };
        match action {
            Action::Point { up, out } => {
                let resolved = |given: &Option<Size>| match given {
                    None => Ok(Some(None)),
                    Some(given) => size(given).map(|length| length.map(Some)),
                };
                let (up, out) = (resolved(up)?, resolved(out)?);
                Ok(up.zip(out).map(|(up, out)| Work::Point { up, out }))
            }
            Action::Circle { radius, placed } => {
                let length = size(radius)?;
                let (rests, lies) = match placed {
                    // Nothing to choose between.
                    Placing::CentredOn { point } => {
                        (Rest::On { point: before(point, Kind::Point)? }, Toward::Neck)
                    }
                    Placing::Through { point, centre_on, lies } => {
                        let point = before(point, Kind::Point)?;
                        let line = match centre_on {
                            Line::Centreline => RestLine::Centreline,
                            Line::CrossAt { point } => RestLine::CrossAt(before(point, Kind::Point)?),
                        };
                        along_the_line(name, line, *lies)?;
                        (Rest::Through { point, line }, *lies)
                    }
                    Placing::TouchingTwo { one, other, lies } => {
                        if one.circle == other.circle {
                            return Err(RecipeError::SameCircleTwice {
                                step: name.clone(),
                                circle: one.circle.clone(),
                            });
                        }
                        (Rest::Between { one: touch(one)?, other: touch(other)? }, *lies)
                    }
                    Placing::TouchingThrough { one, point, lies } => {
                        let point = Against::Point(before(point, Kind::Point)?);
                        (Rest::Between { one: touch(one)?, other: point }, *lies)
                    }
                };
                Ok(length.map(|length| Work::Circle { radius: length, size: radius.clone(), rests, lies }))
            }
        }
    }

    fn size(
        &self,
        name: &StepName,
        size: &Size,
        lengths: &[Option<f64>],
    ) -> Result<Option<Length>, RecipeError> {
        let place = || Place::Step(name.clone());
        let (length, mm) = match size {
            Size::Mm(mm) => (Length::Mm(*mm), *mm),
            Size::Ratio { ratio, of } => {
                let Some(&measure) = self.measures.get(of.as_str()) else {
                    return Err(unknown_measure(self.recipe, place(), of));
                };
                let Some(whole) = lengths.get(measure).copied().flatten() else { return Ok(None) };
                (Length::Part { ratio: *ratio, measure }, ratio.of(whole))
            }
        };
        if (SMALLEST_SIZE..=LARGEST_RADIUS).contains(&mm) {
            Ok(Some(length))
        } else {
            Err(RecipeError::SizeOutOfRange { place: place(), mm })
        }
    }

    fn earlier(&self, k: usize, step: &StepName, wanted: &str, kind: Kind) -> Result<usize, RecipeError> {
        let place = self.named(&Place::Step(step.clone()), wanted, kind)?;
        if place < k {
            Ok(place)
        } else {
            Err(RecipeError::StepTooEarly { step: step.clone(), wanted: wanted.to_owned() })
        }
    }

    fn named(&self, place: &Place, wanted: &str, kind: Kind) -> Result<usize, RecipeError> {
        let (place, wanted) = (place.clone(), wanted.to_owned());
        if wanted.is_empty() {
            return Err(RecipeError::NothingChosen { place, kind: kind.word() });
        }
        match self.steps.get(wanted.as_str()) {
            None => Err(RecipeError::UnknownStep { place, kind: kind.word(), wanted }),
            Some((found, actual)) if *actual == kind => Ok(*found),
            Some((_, actual)) => {
                Err(RecipeError::WrongKind { place, kind: kind.word(), found: actual.word(), wanted })
            }
        }
    }

    fn outline(&self, errors: &mut Vec<RecipeError>) -> Option<PlannedOutline> {
        let plan = &self.recipe.plan;
        let mut found = |wanted: &str, kind, not_chosen: Option<Bout>| {
            let named = match not_chosen {
                Some(bout) if wanted.is_empty() => Err(RecipeError::CornerNotChosen { bout }),
                _ => self.named(&Place::Outline, wanted, kind),
            };
            named.map_err(|error| errors.push(error)).ok()
        };
        let lower_corner = found(&plan.lower_corner, Kind::Point, Some(Bout::Lower));
        let upper_corner = found(&plan.upper_corner, Kind::Point, Some(Bout::Upper));
        let runs = [&plan.lower, &plan.waist, &plan.upper].map(|names| {
            names
                .iter()
                .take(MOST_ARCS)
                .map(|name| found(name, Kind::Circle, None))
                .collect::<Option<Vec<usize>>>()
        });
        for (bout, names) in Bout::ALL.into_iter().zip([&plan.lower, &plan.waist, &plan.upper]) {
            if names.is_empty() {
                errors.push(RecipeError::EmptyRun { bout });
            }
            if names.len() > MOST_ARCS {
                let what = "circles in one run";
                errors.push(RecipeError::TooMany { what, given: names.len(), most: MOST_ARCS });
                return None;
            }
        }
        let [lower, waist, upper] = runs.map(|run| run.filter(|circles| !circles.is_empty()));
        Some(PlannedOutline {
            runs: [lower?, waist?, upper?],
            lower_corner: lower_corner?,
            upper_corner: upper_corner?,
        })
    }
}

/// Two centres on the centreline differ in height, two on a cross line in how far out they lie.
fn along_the_line(step: &StepName, line: RestLine, lies: Toward) -> Result<(), RecipeError> {
    let told = match (line, lies) {
        (RestLine::Centreline, Toward::Neck | Toward::Bottom) => true,
        (RestLine::CrossAt(_), Toward::Out | Toward::In) => true,
        (RestLine::Centreline | RestLine::CrossAt(_), _) => false,
    };
    if told { Ok(()) } else { Err(undecided(step, lies)) }
}

pub(super) fn undecided(step: &StepName, lies: Toward) -> RecipeError {
    let (where_, instead) = match lies {
        Toward::Neck | Toward::Bottom => ("up the centreline", "\"out\" or \"in\""),
        Toward::Out | Toward::In => ("out from the centreline", "\"neck\" or \"bottom\""),
    };
    RecipeError::SideUndecided { step: step.clone(), where_, instead }
}
