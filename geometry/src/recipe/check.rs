//! Everything that is wrong with a recipe, found before it is worked or saved; and choosing among the ratios
//! that its author allows.

use super::construction::Construction;
use super::edit::is_good_name;
use super::error::{LONGEST_NOTE, LONGEST_TITLE, MOST_CHOICES, Place, RecipeError, StepName};
use super::{Action, Dimension, Recipe, Size};
use crate::outline::{Bout, Run, Side};
use crate::ratio::Ratio;

/// How far a dimension of the outline may lie from the measure that claims it, in mm: half of the finest division of
/// a workshop rule. Tighter, and a circle through the widest place whose centre is a little above or below it would be
/// refused.
const DIMENSION_TOLERANCE: f64 = 0.25;

impl Recipe {
    /// # Errors
    /// The first of [`Recipe::faults`].
    pub fn check(&self) -> Result<(), RecipeError> {
        self.faults().into_iter().next().map_or(Ok(()), Err)
    }

    /// Everything that is wrong with the recipe; nothing, if it can be worked and used.
    pub fn faults(&self) -> Vec<RecipeError> {
        let mut found = Vec::new();
        self.check_texts(&mut found);
        self.check_names(&mut found);
        self.check_looseness_and_choices(&mut found);
        self.check_customary(&mut found);
        let worked = self.evaluate_partial();
        found.extend(worked.errors);
        if let Some(drawn) = worked.whole {
            self.check_dimensions(&drawn, &mut found);
            if let Some(at) = drawn.outline.self_crossing() {
                found.push(RecipeError::CrossesItself { at });
            }
        }
        found
    }

    /// The recipe with another of its author's ratios for a measure or a circle. The ratio that was there
    /// joins the choices, so that one can go back.
    ///
    /// # Errors
    /// No measure or step of that name, one without a ratio, or a ratio that is not among its choices.
    pub fn chosen(&self, name: &str, wanted: Ratio) -> Result<Recipe, RecipeError> {
        let mut recipe = self.clone();
        let measure = recipe.measures.iter_mut().find(|measure| measure.name == name);
        let (place, size, choices) = match measure {
            Some(measure) => (Place::Measure(name.to_owned()), &mut measure.size, &mut measure.choices),
            None => {
                let found = recipe.steps.iter_mut().enumerate().find(|(_, step)| step.name == name);
                let Some((k, step)) = found else {
                    return Err(RecipeError::NothingCalled { name: name.to_owned() });
                };
                let place = Place::Step(StepName { number: k + 1, name: name.to_owned() });
                match &mut step.action {
                    Action::Circle { radius, .. } => (place, radius, &mut step.choices),
                    Action::Point { .. } => return Err(RecipeError::ChoiceWithoutRatio { place }),
                }
            }
        };
        let Size::Ratio { ratio, .. } = size else {
            return Err(RecipeError::ChoiceWithoutRatio { place });
        };
        if *ratio != wanted {
            let Some(offered) = choices.iter_mut().find(|choice| **choice == wanted) else {
                let offered: Vec<String> =
                    std::iter::once(&*ratio).chain(&*choices).take(12).map(ToString::to_string).collect();
                return Err(RecipeError::RatioNotOffered { place, wanted, offered: offered.join(", ") });
            };
            std::mem::swap(offered, ratio);
        }
        Ok(recipe)
    }

    fn check_texts(&self, found: &mut Vec<RecipeError>) {
        for (what, text, most) in [
            ("title", &self.title, LONGEST_TITLE),
            ("author", &self.author, LONGEST_TITLE),
            ("note", &self.note, LONGEST_NOTE),
        ] {
            let given = text.chars().count();
            if given > most {
                found.push(RecipeError::TooLong { what, given, most });
            }
        }
        for measure in &self.measures {
            let given = measure.title.chars().count();
            if given > LONGEST_TITLE {
                found.push(RecipeError::TooLong { what: "title of a measure", given, most: LONGEST_TITLE });
            }
        }
    }

    fn check_names(&self, found: &mut Vec<RecipeError>) {
        for measure in &self.measures {
            if !is_good_name(&measure.name) || measure.name == "mm" {
                found.push(RecipeError::BadName { place: Place::Measure(measure.name.clone()) });
            }
        }
        for (k, step) in self.steps.iter().enumerate() {
            if !is_good_name(&step.name) {
                found.push(RecipeError::BadName { place: step_place(k, &step.name) });
            }
        }
    }

    fn check_looseness_and_choices(&self, found: &mut Vec<RecipeError>) {
        let mut check = |place: &dyn Fn() -> Place, looseness: f64, choices: &[Ratio], has_ratio: bool| {
            if !(0.0..=100.0).contains(&looseness) {
                found.push(RecipeError::LoosenessOutOfRange { place: place(), mm: looseness });
            }
            if choices.len() > MOST_CHOICES {
                let what = "choices in one place";
                found.push(RecipeError::TooMany { what, given: choices.len(), most: MOST_CHOICES });
            }
            if !choices.is_empty() && !has_ratio {
                found.push(RecipeError::ChoiceWithoutRatio { place: place() });
            }
        };
        for measure in &self.measures {
            let has_ratio = matches!(measure.size, Size::Ratio { .. });
            let place = || Place::Measure(measure.name.clone());
            check(&place, measure.looseness, &measure.choices, has_ratio);
        }
        for (k, step) in self.steps.iter().enumerate() {
            let has_ratio = matches!(step.action, Action::Circle { radius: Size::Ratio { .. }, .. });
            check(&|| step_place(k, &step.name), step.looseness, &step.choices, has_ratio);
        }
    }

    fn check_customary(&self, found: &mut Vec<RecipeError>) {
        let customary = self.customary;
        // Wide enough for any bowed instrument, and narrow enough to catch a figure in the wrong unit.
        for (what, mm, least, most) in [
            ("overhang", customary.overhang, 0.0, 20.0),
            ("tolerance of the overhang", customary.overhang_tolerance, 0.0, 10.0),
            ("corner width", customary.corner_width, 0.5, 50.0),
            ("distance to the middle of the purfling", customary.purfling_distance, 0.0, 30.0),
            ("width of the purfling", customary.purfling_width, 0.0, 10.0),
        ] {
            if !(least..=most).contains(&mm) {
                found.push(RecipeError::CustomaryOutOfRange { what, mm, least, most });
            }
        }
    }

    fn check_dimensions(&self, drawn: &Construction, found: &mut Vec<RecipeError>) {
        for (measure, &planned) in self.measures.iter().zip(&drawn.lengths) {
            // A measure without a length has its own fault.
            let Some(dimension) = measure.dimension.filter(|_| planned.is_finite()) else { continue };
            let actual = drawn.dimension(dimension);
            let off = (actual - planned).abs();
            if off > DIMENSION_TOLERANCE || off.is_nan() {
                let measure = measure.name.clone();
                found.push(RecipeError::DimensionMissed { measure, dimension, planned, found: actual });
            }
        }
    }
}

impl Construction {
    /// A dimension as it is on the outline, in mm: the widths where they are widest, the waist where it is narrowest.
    pub fn dimension(&self, dimension: Dimension) -> f64 {
        // Where the bout's line is upright: there an arc is furthest out, or, on the waist, furthest in. A corner's
        // tip may reach further out than its bout, and does not count unless nothing else does.
        let extremes = |bout: Bout, towards: f64| {
            let run = self.outline.run(Run { bout, side: Side::Right });
            let upright = run.arcs().into_iter().filter_map(|arc| {
                let at = kurbo::Point::new(arc.centre.x + towards * arc.radius, arc.centre.y);
                (0.0..=1.0).contains(&arc.parameter_of(at)).then_some(at.x)
            });
            let upright: Vec<f64> = upright.collect();
            if upright.is_empty() { vec![run.start.x, run.end().x] } else { upright }
        };
        let widest = |bout| 2.0 * extremes(bout, 1.0).into_iter().fold(f64::NEG_INFINITY, f64::max);
        match dimension {
            Dimension::BodyLength => {
                self.outline.run(Run { bout: Bout::Upper, side: Side::Left }).start.y
                    - self.outline.run(Run { bout: Bout::Lower, side: Side::Right }).start.y
            }
            Dimension::LowerWidth => widest(Bout::Lower),
            Dimension::UpperWidth => widest(Bout::Upper),
            Dimension::WaistWidth => {
                2.0 * extremes(Bout::Waist, -1.0).into_iter().fold(f64::INFINITY, f64::min)
            }
        }
    }
}

fn step_place(k: usize, name: &str) -> Place {
    Place::Step(StepName { number: k + 1, name: name.to_owned() })
}
