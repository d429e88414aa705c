//! Changing a recipe as its author does: one [`Edit`] after another, each a whole recipe again or a sentence that says
//! why not. What an edit may leave behind is a recipe that cannot be worked yet; names that lead nowhere it does not leave.

use super::error::{
    LARGEST_RADIUS, LONGEST_NAME, MOST_ARCS, MOST_CHOICES, MOST_MEASURES, MOST_STEPS, SMALLEST_SIZE,
};
use super::{Action, Customary, Dimension, Instrument, Measure, Placing, Purpose, Recipe, Size, Step};
use crate::outline::Bout;
use crate::ratio::Ratio;

/// A measure or a step, by its place in the recipe.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Part {
    Measure(usize),
    Step(usize),
}

/// A size in the recipe, by where it stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SizeOf {
    Measure(usize),
    /// The compass setting of a step that strikes a circle.
    Radius(usize),
    /// How far up, and how far out, a step marks its point.
    Up(usize),
    Out(usize),
}

impl SizeOf {
    pub fn part(self) -> Part {
        match self {
            SizeOf::Measure(k) => Part::Measure(k),
            SizeOf::Radius(k) | SizeOf::Up(k) | SizeOf::Out(k) => Part::Step(k),
        }
    }

    /// The size that stands there now.
    pub fn within(self, recipe: &Recipe) -> Option<&Size> {
        match self.part() {
            Part::Measure(k) => recipe.measures.get(k).map(|measure| &measure.size),
            Part::Step(k) => match (&recipe.steps.get(k)?.action, self) {
                (Action::Circle { radius, .. }, SizeOf::Radius(_)) => Some(radius),
                (Action::Point { up, .. }, SizeOf::Up(_)) => up.as_ref(),
                (Action::Point { out, .. }, SizeOf::Out(_)) => out.as_ref(),
                _ => None,
            },
        }
    }
}

impl Part {
    /// The ratios offered for it besides the one in use.
    pub fn choices(self, recipe: &Recipe) -> &[Ratio] {
        match self {
            Part::Measure(k) => recipe.measures.get(k).map_or(&[], |measure| &measure.choices),
            Part::Step(k) => recipe.steps.get(k).map_or(&[], |step| &step.choices),
        }
    }

    pub fn looseness(self, recipe: &Recipe) -> Option<f64> {
        match self {
            Part::Measure(k) => recipe.measures.get(k).map(|measure| measure.looseness),
            Part::Step(k) => recipe.steps.get(k).map(|step| step.looseness),
        }
    }
}

/// One change to a recipe.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    Title(String),
    Author(String),
    Note(String),
    Instrument(Instrument),
    Purpose(Purpose),
    Customary(Customary),

    AddMeasure {
        at: usize,
        measure: Measure,
    },
    AddStep {
        at: usize,
        step: Step,
    },
    /// Another name, which everything that refers to it follows.
    Rename(Part, String),
    MeasureTitle(usize, String),
    Dimension(usize, Option<Dimension>),
    /// Standard deviation in mm.
    Looseness(Part, f64),
    /// Another size; `None`, no distance at all, can only be that of a point. A ratio that was the author's choice can be
    /// told to `keep` among the ratios offered.
    Size {
        of: SizeOf,
        to: Option<Size>,
        keep: Option<Ratio>,
    },
    /// The ratios offered besides the one in use.
    Offered(Part, Vec<Ratio>),
    Placing(usize, Placing),
    /// To another place among its like: the place it will then have.
    Move(Part, usize),
    /// Taken out; with everything that rests on it, or only where nothing does.
    Remove {
        part: Part,
        with_resting: bool,
    },
    Run(Bout, Vec<String>),
    /// The point where a bout's run meets the waist.
    Corner(Bout, String),
}

/// Why a recipe cannot be changed so; worded for its author.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EditError {
    #[error("there is nothing at that place in the recipe any more")]
    NothingThere,
    #[error("\"{0}\" is the name of another {1} already; choose a name of its own")]
    NameTaken(String, &'static str),
    #[error(
        "a name has 1 to {LONGEST_NAME} characters, without quotes and without a space at either end; a measure is also not called mm"
    )]
    BadName,
    #[error("\"{name}\" is what {} on; they would have to go with it", rest(by))]
    RestedOn { name: String, by: Vec<String> },
    #[error("\"{step}\" rests on \"{on}\" and so has to come after it")]
    OutOfOrder { step: String, on: String },
    #[error("the body length stays the first measure: every other is a part of it")]
    BodyLengthFirst,
    #[error("a recipe can have {most} {what} and no more")]
    TooMany { what: &'static str, most: usize },
    #[error("a size is from {SMALLEST_SIZE} to {LARGEST_RADIUS} mm")]
    SizeOutOfRange,
    #[error("a measure other than the body length is a ratio of an earlier one, so that it follows the body")]
    MeasureInMm,
    #[error("{0} needs a size")]
    NoSize(String),
    #[error("a figure here is a plain number of mm")]
    NotAFigure,
}

/// "step "a" rests", "steps "a" and "b" rest".
fn rest(by: &[String]) -> String {
    let quoted: Vec<String> = by.iter().take(6).map(|name| format!("\"{name}\"")).collect();
    let more = by.len().saturating_sub(quoted.len());
    match quoted.as_slice() {
        [one] => format!("{one} rests"),
        [first @ .., last] if more == 0 => format!("{} and {last} rest", first.join(", ")),
        all => format!("{} and {more} more rest", all.join(", ")),
    }
}

impl Recipe {
    /// The recipe with one change made to it.
    ///
    /// ```
    /// use ribline_geometry::recipe::{built_in, Edit, Part};
    /// let violin = built_in::violin();
    /// let renamed = violin.edited(&Edit::Rename(Part::Step(0), "foot".into())).unwrap();
    /// assert_eq!(renamed.evaluate().unwrap().outline, violin.evaluate().unwrap().outline);
    /// let why = violin.edited(&Edit::Remove { part: Part::Step(0), with_resting: false }).unwrap_err();
    /// assert!(why.to_string().starts_with("\"bottom\" is what \"lower 1\""));
    /// ```
    ///
    /// # Errors
    /// A place that is not there, a name that will not do, an order in which something would come before what it rests
    /// on, or a figure out of bounds.
    pub fn edited(&self, edit: &Edit) -> Result<Recipe, EditError> {
        let mut recipe = self.clone();
        recipe.make(edit)?;
        Ok(recipe)
    }

    fn make(&mut self, edit: &Edit) -> Result<(), EditError> {
        match edit {
            Edit::Title(text) => text.clone_into(&mut self.title),
            Edit::Author(text) => text.clone_into(&mut self.author),
            Edit::Note(text) => text.clone_into(&mut self.note),
            Edit::Instrument(instrument) => self.instrument = *instrument,
            Edit::Purpose(purpose) => self.purpose = *purpose,
            Edit::Customary(customary) => {
                let c = *customary;
                let figures =
                    [c.overhang, c.overhang_tolerance, c.corner_width, c.purfling_distance, c.purfling_width];
                if !figures.iter().all(|mm| mm.is_finite()) {
                    return Err(EditError::NotAFigure);
                }
                self.customary = c;
            }
            Edit::AddMeasure { at, measure } => self.add_measure(*at, measure)?,
            Edit::AddStep { at, step } => self.add_step(*at, step)?,
            Edit::Rename(part, name) => self.rename(*part, name)?,
            Edit::MeasureTitle(k, title) => title.clone_into(&mut self.measure(*k)?.title),
            Edit::Dimension(k, dimension) => self.measure(*k)?.dimension = *dimension,
            Edit::Looseness(part, mm) => {
                if !(0.0..=100.0).contains(mm) {
                    return Err(EditError::NotAFigure);
                }
                match part {
                    Part::Measure(k) => self.measure(*k)?.looseness = *mm,
                    Part::Step(k) => self.step(*k)?.looseness = *mm,
                }
            }
            Edit::Size { of, to, keep } => self.resize(*of, to.as_ref(), *keep)?,
            Edit::Offered(part, ratios) => {
                if ratios.len() > MOST_CHOICES {
                    return Err(EditError::TooMany {
                        what: "ratios to choose from in one place",
                        most: MOST_CHOICES,
                    });
                }
                ratios.clone_into(self.choices(*part)?);
            }
            Edit::Placing(k, placing) => match &mut self.step(*k)?.action {
                Action::Circle { placed, .. } => placing.clone_into(placed),
                Action::Point { .. } => return Err(EditError::NothingThere),
            },
            Edit::Move(part, to) => self.move_part(*part, *to)?,
            Edit::Remove { part, with_resting } => self.remove(*part, *with_resting)?,
            Edit::Run(bout, circles) => {
                if circles.len() > MOST_ARCS {
                    return Err(EditError::TooMany { what: "circles in one run", most: MOST_ARCS });
                }
                let run = match bout {
                    Bout::Lower => &mut self.plan.lower,
                    Bout::Waist => &mut self.plan.waist,
                    Bout::Upper => &mut self.plan.upper,
                };
                circles.clone_into(run);
            }
            Edit::Corner(bout, point) => match bout {
                Bout::Upper => point.clone_into(&mut self.plan.upper_corner),
                Bout::Lower | Bout::Waist => point.clone_into(&mut self.plan.lower_corner),
            },
        }
        Ok(())
    }

    fn measure(&mut self, k: usize) -> Result<&mut Measure, EditError> {
        self.measures.get_mut(k).ok_or(EditError::NothingThere)
    }

    fn step(&mut self, k: usize) -> Result<&mut Step, EditError> {
        self.steps.get_mut(k).ok_or(EditError::NothingThere)
    }

    fn choices(&mut self, part: Part) -> Result<&mut Vec<Ratio>, EditError> {
        match part {
            Part::Measure(k) => Ok(&mut self.measure(k)?.choices),
            Part::Step(k) => Ok(&mut self.step(k)?.choices),
        }
    }

    fn name_of(&self, part: Part) -> Option<&str> {
        match part {
            Part::Measure(k) => self.measures.get(k).map(|measure| measure.name.as_str()),
            Part::Step(k) => self.steps.get(k).map(|step| step.name.as_str()),
        }
    }

    fn add_measure(&mut self, at: usize, measure: &Measure) -> Result<(), EditError> {
        if self.measures.len() >= MOST_MEASURES {
            return Err(EditError::TooMany { what: "measures", most: MOST_MEASURES });
        }
        if at == 0 && !self.measures.is_empty() {
            return Err(EditError::BodyLengthFirst);
        }
        self.name_is_free(&measure.name, None, false)?;
        self.measures.insert(at.min(self.measures.len()), measure.clone());
        Ok(())
    }

    fn add_step(&mut self, at: usize, step: &Step) -> Result<(), EditError> {
        if self.steps.len() >= MOST_STEPS {
            return Err(EditError::TooMany { what: "steps", most: MOST_STEPS });
        }
        self.name_is_free(&step.name, None, true)?;
        self.steps.insert(at.min(self.steps.len()), step.clone());
        Ok(())
    }

    fn rename(&mut self, part: Part, name: &str) -> Result<(), EditError> {
        match part {
            Part::Measure(k) => {
                self.measure(k)?;
                self.name_is_free(name, Some(k), false)?;
                self.rename_measure(k, name);
            }
            Part::Step(k) => {
                self.step(k)?;
                self.name_is_free(name, Some(k), true)?;
                self.rename_step(k, name);
            }
        }
        Ok(())
    }

    fn name_is_free(&self, name: &str, besides: Option<usize>, of_step: bool) -> Result<(), EditError> {
        let good = is_good_name(name) && (of_step || name != "mm");
        if !good {
            return Err(EditError::BadName);
        }
        let other = |(k, used): (usize, &String)| Some(k) != besides && used == name;
        let taken = match of_step {
            true => self.steps.iter().map(|step| &step.name).enumerate().any(other),
            false => self.measures.iter().map(|measure| &measure.name).enumerate().any(other),
        };
        if taken {
            return Err(EditError::NameTaken(name.to_owned(), if of_step { "step" } else { "measure" }));
        }
        Ok(())
    }

    fn resize(&mut self, of: SizeOf, to: Option<&Size>, keep: Option<Ratio>) -> Result<(), EditError> {
        if let Some(Size::Mm(mm)) = to
            && !(SMALLEST_SIZE..=LARGEST_RADIUS).contains(mm)
        {
            return Err(EditError::SizeOutOfRange);
        }
        if let (SizeOf::Measure(1..), Some(Size::Mm(_))) = (of, to) {
            return Err(EditError::MeasureInMm);
        }
        let name = self.name_of(of.part()).ok_or(EditError::NothingThere)?.to_owned();
        let needed = || to.cloned().ok_or_else(|| EditError::NoSize(format!("\"{name}\"")));
        match of {
            SizeOf::Measure(k) => self.measure(k)?.size = needed()?,
            SizeOf::Radius(k) => match &mut self.step(k)?.action {
                Action::Circle { radius, .. } => *radius = needed()?,
                Action::Point { .. } => return Err(EditError::NothingThere),
            },
            SizeOf::Up(k) | SizeOf::Out(k) => match &mut self.step(k)?.action {
                Action::Point { up, .. } if matches!(of, SizeOf::Up(_)) => *up = to.cloned(),
                Action::Point { out, .. } => *out = to.cloned(),
                Action::Circle { .. } => return Err(EditError::NothingThere),
            },
        }
        if matches!(of, SizeOf::Up(_) | SizeOf::Out(_)) {
            return Ok(());
        }
        // The ratio in use is not among those offered besides it; and no ratio is offered in place of a length.
        let choices = self.choices(of.part())?;
        match to {
            Some(Size::Ratio { ratio, .. }) => {
                if let Some(keep) = keep
                    && keep != *ratio
                    && !choices.contains(&keep)
                    && choices.len() < MOST_CHOICES
                {
                    choices.push(keep);
                }
                choices.retain(|choice| choice != ratio);
            }
            _ => choices.clear(),
        }
        Ok(())
    }

    fn move_part(&mut self, part: Part, to: usize) -> Result<(), EditError> {
        let (from, count) = match part {
            Part::Measure(k) => (k, self.measures.len()),
            Part::Step(k) => (k, self.steps.len()),
        };
        if from >= count || to >= count {
            return Err(EditError::NothingThere);
        }
        if matches!(part, Part::Measure(_)) && (from == 0 || to == 0) && from != to {
            return Err(EditError::BodyLengthFirst);
        }
        if let Some((step, on)) = self.out_of_order(part, from, to) {
            return Err(EditError::OutOfOrder { step, on });
        }
        match part {
            Part::Measure(_) => {
                let measure = self.measures.remove(from);
                self.measures.insert(to, measure);
            }
            Part::Step(_) => {
                let step = self.steps.remove(from);
                self.steps.insert(to, step);
            }
        }
        Ok(())
    }

    /// Among those that the moved one would pass: who rests on whom, and would come before it.
    fn out_of_order(&self, part: Part, from: usize, to: usize) -> Option<(String, String)> {
        let passed = if to > from { from + 1..to + 1 } else { to..from };
        let moved = self.name_of(part)?;
        let rests = |k: usize, on: &str| match part {
            Part::Measure(_) => {
                matches!(self.measures.get(k).map(|m| &m.size), Some(Size::Ratio { of, .. }) if of == on)
            }
            Part::Step(_) => self.steps.get(k).is_some_and(|step| step.rests_on().contains(&on)),
        };
        let named = |k: usize| match part {
            Part::Measure(_) => self.name_of(Part::Measure(k)).unwrap_or_default().to_owned(),
            Part::Step(_) => self.name_of(Part::Step(k)).unwrap_or_default().to_owned(),
        };
        passed.into_iter().find_map(|k| {
            let other = named(k);
            if to > from {
                rests(k, moved).then(|| (other, moved.to_owned()))
            } else {
                rests(from, &other).then(|| (moved.to_owned(), other))
            }
        })
    }

    fn remove(&mut self, part: Part, with_resting: bool) -> Result<(), EditError> {
        let name = self.name_of(part).ok_or(EditError::NothingThere)?.to_owned();
        if part == Part::Measure(0) {
            return Err(EditError::BodyLengthFirst);
        }
        let resting = self.resting_on(part);
        if !with_resting && !resting.is_empty() {
            let by = resting.iter().filter_map(|part| self.name_of(*part)).map(str::to_owned).collect();
            return Err(EditError::RestedOn { name, by });
        }
        let (mut gone_steps, mut gone_measures) = (Vec::new(), Vec::new());
        for part in resting.into_iter().chain([part]) {
            match part {
                Part::Step(k) => gone_steps.push(k),
                Part::Measure(k) => gone_measures.push(k),
            }
        }
        let names: Vec<String> =
            gone_steps.iter().filter_map(|k| self.steps.get(*k)).map(|step| step.name.clone()).collect();
        keep_others(&mut self.steps, &gone_steps);
        keep_others(&mut self.measures, &gone_measures);
        self.forget_in_outline(&names);
        Ok(())
    }
}

fn keep_others<T>(all: &mut Vec<T>, gone: &[usize]) {
    let mut place = 0;
    all.retain(|_| {
        place += 1;
        !gone.contains(&(place - 1))
    });
}

/// A name as a measure or a step can have it.
pub(super) fn is_good_name(name: &str) -> bool {
    (1..=LONGEST_NAME).contains(&name.chars().count())
        && name.trim() == name
        && !name.chars().any(|c| c.is_control() || c == '"')
}

#[cfg(test)]
mod tests;
