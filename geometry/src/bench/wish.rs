//! What a maker asks of what leaves for the bench, and what is customary.

use super::print::PrintError;
use super::print::wish::PrintWish;
use crate::edge::button::{ButtonForm, ButtonWish};
use crate::edge::purfling::{PurflingCorner, PurflingWish};
use crate::json::{Fault, Fields, Form, Map, Value, one_entry, single};
use crate::outline::Plate;
use crate::recipe::{Instrument, Recipe};
use crate::reconcile::Wish;

/// Everything asked of the bench's sheets and files. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BenchWish {
    pub compass: CompassWish,
    /// Width of the purfling channel.
    pub purfling_width: f64,
    /// In the order of [`crate::outline::Corner::ALL`].
    pub purfling_corners: [PurflingCorner; 4],
    /// The button of a back; a front has none.
    pub button: Option<ButtonWish>,
    /// What is left outside of the edge for the file, in files for a cutter.
    pub left_for_the_file: f64,
    /// How far apart the points of a file of points are.
    pub point_spacing: f64,
    pub print: PrintWish,
}

/// How the compass sheet is rounded, and how large the board is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CompassWish {
    /// What a compass and a rule can be set to.
    pub step: f64,
    /// Whether settings are given in inches as well.
    pub inches: bool,
    /// Wood of the board around the plate.
    pub beyond: f64,
}

impl CompassWish {
    /// Least and most that anybody can mean, mm.
    pub const STEP: (f64, f64) = (0.01, 1.0);
    pub const BEYOND: (f64, f64) = (0.0, 200.0);

    pub(crate) fn step_or_custom(&self) -> f64 {
        within(self.step, Self::STEP).unwrap_or(0.1)
    }

    pub(crate) fn beyond_or_custom(&self) -> f64 {
        within(self.beyond, Self::BEYOND).unwrap_or(6.0)
    }
}

impl Default for CompassWish {
    /// A tenth of a millimetre, and a board as commonly squared up (from memory).
    fn default() -> Self {
        CompassWish { step: 0.1, inches: false, beyond: 6.0 }
    }
}

fn within(mm: f64, (least, most): (f64, f64)) -> Option<f64> {
    (least..=most).contains(&mm).then_some(mm)
}

/// Why the bench's settings cannot be used; worded for a person.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum BenchError {
    #[error("The {what} must be from {least} to {most} mm; it is {given} mm")]
    Setting { what: &'static str, least: f64, most: f64, given: f64 },
    #[error(transparent)]
    Print(#[from] PrintError),
}

impl BenchWish {
    pub const LEFT_FOR_THE_FILE: (f64, f64) = (0.0, 5.0);
    pub const POINT_SPACING: (f64, f64) = (0.1, 50.0);

    /// What is customary for the recipe's instrument.
    pub fn customary(recipe: &Recipe) -> Self {
        BenchWish {
            compass: CompassWish::default(),
            purfling_width: recipe.customary.purfling_width,
            purfling_corners: [PurflingCorner::default(); 4],
            // A viol's back runs up into the neck's heel and has none: common practice, from memory.
            button: (recipe.instrument != Instrument::Viol).then(|| ButtonWish::customary(recipe.instrument)),
            // Common practice: half a millimetre is taken off with file and scraper.
            left_for_the_file: 0.5,
            point_spacing: 1.0,
            print: PrintWish::default(),
        }
    }

    /// The purfling asked for: its distance is the project's own.
    pub fn purfling(&self, wish: &Wish) -> PurflingWish {
        PurflingWish {
            distance: wish.purfling_distance,
            width: self.purfling_width,
            corners: self.purfling_corners,
        }
    }

    /// The button asked for, on a back.
    pub fn button_on(&self, plate: Plate) -> Option<ButtonWish> {
        self.button.filter(|_| plate == Plate::Back)
    }

    /// # Errors
    /// For a figure that nobody can mean.
    pub fn check(&self) -> Result<(), BenchError> {
        let [distance, width, lean] = PurflingWish::LIMITS;
        let in_range = |what, given: f64, (least, most): (f64, f64)| {
            if (least..=most).contains(&given) {
                Ok(())
            } else {
                Err(BenchError::Setting { what, least, most, given })
            }
        };
        in_range("step of the compass sheet", self.compass.step, CompassWish::STEP)?;
        in_range("wood around the plate", self.compass.beyond, CompassWish::BEYOND)?;
        in_range("width of the purfling", self.purfling_width, width)?;
        for corner in &self.purfling_corners {
            corner
                .distance
                .map_or(Ok(()), |mm| in_range("distance of the purfling at a corner", mm, distance))?;
            in_range("lean of the purfling at a corner", corner.lean, lean)?;
        }
        if let Some(button) = &self.button {
            for (what, mm) in [
                ("width of the button", button.width),
                ("height of the button", button.height),
                ("neck's way off the centreline", button.neck_off),
                ("hollow at the button's root", button.root),
            ] {
                // What has room on this edge is told where it is drawn.
                in_range(what, mm, (-100.0, 100.0))?;
            }
        }
        in_range("wood left for the file", self.left_for_the_file, Self::LEFT_FOR_THE_FILE)?;
        in_range("distance of points", self.point_spacing, Self::POINT_SPACING)?;
        Ok(self.print.check()?)
    }
}

impl Form for BenchWish {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "settings of the bench in { }")?;
        Ok(BenchWish {
            compass: fields.take("compass")?,
            purfling_width: fields.take("purfling_width_mm")?,
            purfling_corners: fields.take("purfling_corners")?,
            button: fields.take_or_default("button")?,
            left_for_the_file: fields.take("left_for_the_file_mm")?,
            point_spacing: fields.take("point_spacing_mm")?,
            print: fields.take_or_default("print")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new()
            .with("compass", &self.compass)
            .with("purfling_width_mm", &self.purfling_width)
            .with("purfling_corners", &self.purfling_corners)
            .with_if_there("button", &self.button)
            .with("left_for_the_file_mm", &self.left_for_the_file)
            .with("point_spacing_mm", &self.point_spacing)
            .with("print", &self.print);
        Value::Object(entries)
    }
}

impl Form for CompassWish {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "settings of the compass sheet in { }")?;
        Ok(CompassWish {
            step: fields.take("step_mm")?,
            inches: fields.take_or_default::<Option<bool>>("inches")?.unwrap_or(false),
            beyond: fields.take("wood_around_mm")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new().with("step_mm", &self.step).with("inches", &self.inches);
        Value::Object(entries.with("wood_around_mm", &self.beyond))
    }
}

impl Form for PurflingCorner {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "the purfling at a corner in { }")?;
        Ok(PurflingCorner {
            distance: fields.take_or_default("distance_mm")?,
            lean: fields.take_or_default::<Option<f64>>("lean_mm")?.unwrap_or(0.0),
        })
    }

    fn written(&self) -> Value {
        Value::Object(Map::new().with_if_there("distance_mm", &self.distance).with("lean_mm", &self.lean))
    }
}

impl Form for ButtonWish {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a button in { }")?;
        Ok(ButtonWish {
            form: fields.take("form")?,
            width: fields.take("width_mm")?,
            height: fields.take("height_mm")?,
            neck_off: fields.take("neck_off_mm")?,
            root: fields.take("root_mm")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new()
            .with("form", &self.form)
            .with("width_mm", &self.width)
            .with("height_mm", &self.height)
            .with("neck_off_mm", &self.neck_off)
            .with("root_mm", &self.root);
        Value::Object(entries)
    }
}

impl Form for ButtonForm {
    fn read(value: &Value) -> Result<Self, Fault> {
        const LIKE: &str = "\"half-round\" or {\"straight_flanks_mm\": 8}";
        if value.as_str() == Some("half-round") {
            return Ok(ButtonForm::HalfRound);
        }
        match single(value, LIKE)? {
            ("straight_flanks_mm", mm) => Ok(ButtonForm::StraightFlanks(f64::read(mm)?)),
            _ => Err(Fault::unlike(value, LIKE)),
        }
    }

    fn written(&self) -> Value {
        match self {
            ButtonForm::HalfRound => Value::String("half-round".to_owned()),
            ButtonForm::StraightFlanks(mm) => one_entry("straight_flanks_mm", mm),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::violin;

    #[test]
    fn settings_read_back_are_the_settings_written() {
        let mut wish = BenchWish::customary(&violin());
        let again = |wish: &BenchWish| BenchWish::read(&wish.written()).unwrap();
        assert_eq!(again(&wish), wish);
        wish.purfling_corners[2] = PurflingCorner { distance: Some(4.5), lean: -1.0 };
        wish.button = wish.button.map(|b| ButtonWish { form: ButtonForm::StraightFlanks(7.5), ..b });
        wish.compass.inches = true;
        assert_eq!(again(&wish), wish);
        wish.button = None;
        assert_eq!(again(&wish), wish);
    }

    #[test]
    fn figures_that_nobody_means_are_refused_by_name() {
        let mut wish = BenchWish::customary(&violin());
        wish.compass.step = f64::NAN;
        assert!(wish.check().unwrap_err().to_string().contains("compass sheet"));
    }
}
