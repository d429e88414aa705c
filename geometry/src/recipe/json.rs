//! The recipe file: JSON that a person can read and write.
//!
//! ```json
//! {
//!   "format": "ribline-recipe",
//!   "version": 1,
//!   "title": "…", "author": "…", "note": "…",
//!   "instrument": "violin",                    violin, viola, cello or viol
//!   "purpose": "plate-edge",                   plate-edge or mould
//!   "measures": [
//!     {"name": "L", "title": "body length", "size": {"mm": 355}, "looseness_mm": 1, "dimension": "body-length"},
//!     {"name": "W", "title": "lower width", "size": "4/7 L", "choices": ["7/12"], "looseness_mm": 1}
//!   ],
//!   "steps": [
//!     {"point": "bottom", "looseness_mm": 0},
//!     {"point": "widest", "up": "1/5 L", "out": "1/2 W", "looseness_mm": 2},
//!     {"circle": "l1", "radius": "3/4 W", "through": "bottom", "centre_on": "centreline", "lies": "neck", "looseness_mm": 2},
//!     {"circle": "l3", "radius": "1/4 W", "through": "widest", "centre_on": {"cross_line_at": "widest"}, "lies": "in", "looseness_mm": 2},
//!     {"circle": "l2", "radius": "2/5 W", "touches": [{"inside": "l1"}, {"inside": "l3"}], "lies": "bottom", "looseness_mm": 2},
//!     {"circle": "l4", "radius": {"mm": 17}, "touches": [{"outside": "l3"}], "through": "tip", "lies": "out", "looseness_mm": 2},
//!     {"circle": "l0", "radius": "1/9 W", "centre": "widest", "looseness_mm": 2}
//!   ],
//!   "outline": {"lower": ["l1"], "waist": ["w1"], "upper": ["u1"], "lower_corner": "…", "upper_corner": "…"},
//!   "customary": {"overhang_mm": 2.5, "overhang_tolerance_mm": 0.3, "corner_width_mm": 7.2, …}
//! }
//! ```
//!
//! A size is a ratio of a measure, `"2/5 W"`, or so many mm, `{"mm": 12.5}`. A step begins with what it makes and
//! its name, and says in the same breath where it goes. Fields that this version does not know are kept at the top,
//! in measures and in steps, and written back.

use super::{
    Action, Customary, Dimension, Instrument, Line, Measure, OutlinePlan, Placing, Purpose, Recipe, Size,
    Step, Touch, TouchFrom, Toward,
};
use crate::json::{
    Fault, Fields, Form, Layout, Map, Name, Named, SyntaxError, Value, one_entry, parse, place, single,
};
use crate::ratio::{Ratio, RatioError};

pub const FORMAT: &str = "ribline-recipe";
pub const VERSION: u64 = 1;
/// Largest recipe file in bytes. The largest recipe that can be worked takes some 80 KiB.
pub const LARGEST_FILE: usize = 256 * 1024;

/// Why a text is not a recipe; worded for a person.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RecipeFileError {
    #[error(
        "The file has {bytes} bytes; a recipe has at most {LARGEST_FILE}. It is probably something else: choose another file"
    )]
    TooLarge { bytes: usize },
    #[error("The file is empty; choose one that was saved as a recipe")]
    Empty,
    #[error(
        "Line {line}, column {column}: {problem}. Look there for a missing or doubled comma, quote or bracket, or take the file again from where it came"
    )]
    NotJson { line: usize, column: usize, problem: String },
    #[error(
        "The file breaks off at line {line}, before its last bracket. Take it again from where it came, or add what is missing"
    )]
    BreaksOff { line: usize },
    #[error(
        "This is not a recipe: it does not begin with \"format\": \"{FORMAT}\". Choose a file that was saved as a recipe"
    )]
    NotARecipe,
    #[error(
        "This is a \"{found}\" file, not a recipe (\"{FORMAT}\"). Choose a file that was saved as a recipe"
    )]
    AnotherFormat { found: String },
    #[error("The recipe does not say its version; write \"version\": {VERSION} after its format")]
    NoVersion,
    #[error(
        "This recipe is of version {found}, and this page reads up to version {VERSION}. Reload the page to get the newer one"
    )]
    NewerVersion { found: String },
    #[error("Line {line}: {problem}. Correct it there, and open the file again")]
    Field { line: usize, problem: String },
}

impl Recipe {
    /// The recipe as a file: one measure or step a line.
    ///
    /// ```
    /// use ribline_geometry::recipe::{Recipe, built_in::violin};
    /// let text = violin().to_json();
    /// assert!(text.contains(r#""size": "4/7 L""#));
    /// assert_eq!(Recipe::from_json(&text).unwrap(), violin());
    /// ```
    pub fn to_json(&self) -> String {
        // So that a measure or a step reads like a sentence.
        let mut text = Layout { levels: 2 }.text_of(&self.written());
        text.push('\n');
        text
    }

    /// Reads a recipe file. What it says is not yet checked: see [`Recipe::check`].
    ///
    /// # Errors
    /// Too large, not JSON, not a recipe, of a newer version, or a field that cannot be read, with its line.
    pub fn from_json(text: &str) -> Result<Recipe, RecipeFileError> {
        if text.len() > LARGEST_FILE {
            return Err(RecipeFileError::TooLarge { bytes: text.len() });
        }
        // Editors of some systems begin a file with a byte order mark, which is no part of JSON.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        if text.trim().is_empty() {
            return Err(RecipeFileError::Empty);
        }
        let file = parse(text)?;
        is_known(&file)?;
        Recipe::read(&file).map_err(|fault| {
            let (line, _) = place(text, fault.way());
            RecipeFileError::Field { line, problem: fault.problem }
        })
    }
}

impl From<SyntaxError> for RecipeFileError {
    fn from(error: SyntaxError) -> Self {
        let SyntaxError { line, column, problem, breaks_off } = error;
        if breaks_off {
            RecipeFileError::BreaksOff { line }
        } else {
            RecipeFileError::NotJson { line, column, problem: problem.to_owned() }
        }
    }
}

/// The format and version first: what follows may mean anything otherwise.
fn is_known(file: &Value) -> Result<(), RecipeFileError> {
    match file.get("format") {
        Some(Value::String(found)) if found == FORMAT => {}
        Some(Value::String(found)) => {
            return Err(RecipeFileError::AnotherFormat { found: found.chars().take(40).collect() });
        }
        _ => return Err(RecipeFileError::NotARecipe),
    }
    let newer = |found: &str| RecipeFileError::NewerVersion { found: found.chars().take(40).collect() };
    match file.get("version") {
        Some(Value::Number(found)) if found.as_u64() == Some(VERSION) => Ok(()),
        Some(Value::Number(found)) if found.as_u64() == Some(0) => Err(RecipeFileError::NoVersion),
        Some(Value::Number(found)) => Err(newer(found.as_str())),
        Some(Value::String(found)) => Err(newer(&format!("\"{found}\""))),
        _ => Err(RecipeFileError::NoVersion),
    }
}

impl Form for Recipe {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a recipe in { }")?;
        is_known(value).map_err(|error| Fault::new(error.to_string()))?;
        let _: (Value, Value) = (fields.take("format")?, fields.take("version")?);
        Ok(Recipe {
            title: fields.take("title")?,
            author: fields.take_or_default("author")?,
            note: fields.take_or_default("note")?,
            instrument: fields.take("instrument")?,
            purpose: fields.take("purpose")?,
            measures: fields.take("measures")?,
            steps: fields.take("steps")?,
            plan: fields.take("outline")?,
            customary: fields.take("customary")?,
            unknown: fields.rest(),
        })
    }

    fn written(&self) -> Value {
        let Recipe { title, author, note, instrument, purpose, measures, steps, plan, customary, unknown } =
            self;
        let entries = Map::new()
            .with("format", &FORMAT.to_owned())
            .with("version", &(VERSION as usize))
            .with("title", title)
            .with("author", author)
            .with("note", note)
            .with("instrument", instrument)
            .with("purpose", purpose)
            .with("measures", measures)
            .with("steps", steps)
            .with("outline", plan)
            .with("customary", customary)
            .with_all(unknown);
        Value::Object(entries)
    }
}

impl Named for Instrument {
    const NAMES: &'static [Name<Self>] = &[
        ("violin", Instrument::Violin),
        ("viola", Instrument::Viola),
        ("cello", Instrument::Cello),
        ("viol", Instrument::Viol),
    ];
}

impl Named for Purpose {
    const NAMES: &'static [Name<Self>] = &[("plate-edge", Purpose::PlateEdge), ("mould", Purpose::Mould)];
}

impl Named for Dimension {
    const NAMES: &'static [Name<Self>] = &[
        ("body-length", Dimension::BodyLength),
        ("lower-width", Dimension::LowerWidth),
        ("waist-width", Dimension::WaistWidth),
        ("upper-width", Dimension::UpperWidth),
    ];
}

impl Named for Toward {
    const NAMES: &'static [Name<Self>] =
        &[("neck", Toward::Neck), ("bottom", Toward::Bottom), ("out", Toward::Out), ("in", Toward::In)];
}

impl Form for Customary {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "what is customary in { }")?;
        Ok(Customary {
            overhang: fields.take("overhang_mm")?,
            overhang_tolerance: fields.take("overhang_tolerance_mm")?,
            corner_width: fields.take("corner_width_mm")?,
            purfling_distance: fields.take("purfling_distance_mm")?,
            purfling_width: fields.take("purfling_width_mm")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new()
            .with("overhang_mm", &self.overhang)
            .with("overhang_tolerance_mm", &self.overhang_tolerance)
            .with("corner_width_mm", &self.corner_width)
            .with("purfling_distance_mm", &self.purfling_distance)
            .with("purfling_width_mm", &self.purfling_width);
        Value::Object(entries)
    }
}

impl Form for Measure {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a measure in { }")?;
        Ok(Measure {
            name: fields.take("name")?,
            title: fields.take("title")?,
            size: fields.take("size")?,
            choices: fields.take_or_default("choices")?,
            looseness: fields.take("looseness_mm")?,
            dimension: fields.take_or_default("dimension")?,
            unknown: fields.rest(),
        })
    }

    fn written(&self) -> Value {
        let Measure { name, title, size, choices, looseness, dimension, unknown } = self;
        let mut entries = Map::new().with("name", name).with("title", title).with("size", size);
        if !choices.is_empty() {
            entries = entries.with("choices", choices);
        }
        let entries = entries.with("looseness_mm", looseness).with_if_there("dimension", dimension);
        Value::Object(entries.with_all(unknown))
    }
}

impl Form for OutlinePlan {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "an outline in { }")?;
        Ok(OutlinePlan {
            lower: fields.take("lower")?,
            waist: fields.take("waist")?,
            upper: fields.take("upper")?,
            lower_corner: fields.take("lower_corner")?,
            upper_corner: fields.take("upper_corner")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new()
            .with("lower", &self.lower)
            .with("waist", &self.waist)
            .with("upper", &self.upper)
            .with("lower_corner", &self.lower_corner)
            .with("upper_corner", &self.upper_corner);
        Value::Object(entries)
    }
}

/// All kinds of steps side by side, told apart by the name's key.
impl Form for Step {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a step in { }")?;
        let point: Option<String> = fields.take_or_default("point")?;
        let circle: Option<String> = fields.take_or_default("circle")?;
        let up: Option<Size> = fields.take_or_default("up")?;
        let out: Option<Size> = fields.take_or_default("out")?;
        let radius: Option<Size> = fields.take_or_default("radius")?;
        let centre: Option<String> = fields.take_or_default("centre")?;
        let touches: Option<Vec<Touch>> = fields.take_or_default("touches")?;
        let through: Option<String> = fields.take_or_default("through")?;
        let centre_on: Option<Line> = fields.take_or_default("centre_on")?;
        let lies: Option<Toward> = fields.take_or_default("lies")?;
        let choices = fields.take_or_default("choices")?;
        let looseness = fields.take("looseness_mm")?;
        let (name, action) = match (point, circle) {
            (Some(name), None) => {
                let only_circles =
                    radius.is_some() || centre.is_some() || touches.is_some() || through.is_some();
                if only_circles || centre_on.is_some() || lies.is_some() {
                    return Err(Fault::new(format!(
                        "the point \"{name}\" is given as a circle is; a point has \"up\" and \"out\" only"
                    )));
                }
                (name, Action::Point { up, out })
            }
            (None, Some(name)) => {
                if up.is_some() || out.is_some() {
                    return Err(Fault::new(format!(
                        "the circle \"{name}\" has \"up\" or \"out\"; mark a point there first"
                    )));
                }
                let radius =
                    radius.ok_or_else(|| Fault::new(format!("the circle \"{name}\" has no \"radius\"")))?;
                let placed = placing(&name, centre, touches, through, centre_on, lies).map_err(Fault::new)?;
                (name, Action::Circle { radius, placed })
            }
            _ => {
                return Err(Fault::new(
                    "a step has either a \"point\" or a \"circle\" to name what it makes",
                ));
            }
        };
        Ok(Step { name, action, choices, looseness, unknown: fields.rest() })
    }

    fn written(&self) -> Value {
        let Step { name, action, choices, looseness, unknown } = self;
        let mut entries = match action {
            Action::Point { up, out } => {
                Map::new().with("point", name).with_if_there("up", up).with_if_there("out", out)
            }
            Action::Circle { radius, placed } => {
                let entries = Map::new().with("circle", name).with("radius", radius);
                match placed {
                    Placing::CentredOn { point } => entries.with("centre", point),
                    Placing::Through { point, centre_on, lies } => {
                        entries.with("through", point).with("centre_on", centre_on).with("lies", lies)
                    }
                    Placing::TouchingTwo { one, other, lies } => {
                        entries.with("touches", &vec![one.clone(), other.clone()]).with("lies", lies)
                    }
                    Placing::TouchingThrough { one, point, lies } => {
                        entries.with("touches", &vec![one.clone()]).with("through", point).with("lies", lies)
                    }
                }
            }
        };
        if !choices.is_empty() {
            entries = entries.with("choices", choices);
        }
        Value::Object(entries.with("looseness_mm", looseness).with_all(unknown))
    }
}

fn placing(
    name: &str,
    centre: Option<String>,
    touches: Option<Vec<Touch>>,
    through: Option<String>,
    centre_on: Option<Line>,
    lies: Option<Toward>,
) -> Result<Placing, String> {
    let touches = touches.unwrap_or_default();
    let side = || {
        lies.ok_or_else(|| {
            format!(
                "the circle \"{name}\" has no \"lies\": neck, bottom, out or in, whichever centre is meant"
            )
        })
    };
    let mut touched = touches.into_iter();
    match (centre, touched.next(), touched.next(), touched.next(), through, centre_on) {
        (Some(point), None, None, None, None, None) if lies.is_none() => Ok(Placing::CentredOn { point }),
        (None, None, None, None, Some(point), Some(centre_on)) => {
            Ok(Placing::Through { point, centre_on, lies: side()? })
        }
        (None, Some(one), Some(other), None, None, None) => {
            Ok(Placing::TouchingTwo { one, other, lies: side()? })
        }
        (None, Some(one), None, None, Some(point), None) => {
            Ok(Placing::TouchingThrough { one, point, lies: side()? })
        }
        _ => Err(format!(
            "the circle \"{name}\" is not placed in any known way: give \"centre\"; or \"through\" and \"centre_on\"; or two that it \"touches\"; or one that it \"touches\" and \"through\""
        )),
    }
}

impl Form for Size {
    fn read(value: &Value) -> Result<Self, Fault> {
        const LIKE: &str = "a size such as \"2/5 W\" or {\"mm\": 12.5}";
        let Some(text) = value.as_str() else {
            let (key, mm) = single(value, LIKE)?;
            return if key == "mm" { f64::read(mm).map(Size::Mm) } else { Err(no_entry(key, "\"mm\"")) };
        };
        let text = text.trim();
        let (ratio, of) = text.split_once([' ', '\t']).ok_or_else(|| Fault::unlike(value, LIKE))?;
        let (ratio, of): (Ratio, _) =
            (ratio.parse().map_err(|error: RatioError| Fault::new(error.to_string()))?, of.trim());
        if of == "mm" {
            return Err(Fault::new(format!("a size in mm is written {{\"mm\": {ratio}}}")));
        }
        Ok(Size::Ratio { ratio, of: of.to_owned() })
    }

    fn written(&self) -> Value {
        match self {
            Size::Ratio { ratio, of } => Value::String(format!("{ratio} {of}")),
            Size::Mm(mm) => one_entry("mm", mm),
        }
    }
}

impl Form for Line {
    fn read(value: &Value) -> Result<Self, Fault> {
        const LIKE: &str = "\"centreline\" or {\"cross_line_at\": \"a point\"}";
        match value {
            Value::String(text) if text == "centreline" => Ok(Line::Centreline),
            _ => match single(value, LIKE)? {
                ("cross_line_at", point) => Ok(Line::CrossAt { point: String::read(point)? }),
                (key, _) => Err(no_entry(key, "\"cross_line_at\"")),
            },
        }
    }

    fn written(&self) -> Value {
        match self {
            Line::Centreline => Value::String("centreline".to_owned()),
            Line::CrossAt { point } => one_entry("cross_line_at", point),
        }
    }
}

impl Form for Touch {
    fn read(value: &Value) -> Result<Self, Fault> {
        let (key, circle) = single(value, "{\"inside\": \"a circle\"} or {\"outside\": \"a circle\"}")?;
        let from = match key {
            "inside" => TouchFrom::Inside,
            "outside" => TouchFrom::Outside,
            _ => return Err(no_entry(key, "\"inside\" or \"outside\"")),
        };
        Ok(Touch { circle: String::read(circle)?, from })
    }

    fn written(&self) -> Value {
        let from = match self.from {
            TouchFrom::Inside => "inside",
            TouchFrom::Outside => "outside",
        };
        one_entry(from, &self.circle)
    }
}

fn no_entry(key: &str, expected: &str) -> Fault {
    let key: String = key.chars().take(40).collect();
    Fault::new(format!("there is nothing to be called \"{key}\" here, expected {expected}"))
}

#[cfg(test)]
mod tests {
    use super::super::built_in::{built_in, violin};
    use super::*;
    use proptest::prelude::*;
    use serde_json::Value;

    #[test]
    fn a_recipe_read_back_is_the_recipe_written() {
        for recipe in built_in() {
            let text = recipe.to_json();
            let again = Recipe::from_json(&text).unwrap();
            assert_eq!(again, recipe);
            assert_eq!(again.to_json(), text);
        }
    }

    #[test]
    fn a_measure_or_a_step_takes_one_line() {
        let recipe = violin();
        let text = recipe.to_json();
        let of_their_own = |start: &str| text.lines().filter(|line| line.starts_with(start)).count();
        assert_eq!(of_their_own("    {\"name\": "), recipe.measures.len());
        assert_eq!(of_their_own("    {\"point\": ") + of_their_own("    {\"circle\": "), recipe.steps.len());
    }

    #[test]
    fn a_recipe_inside_another_file_has_the_same_form() {
        let inside = violin().written();
        assert_eq!(parse(&violin().to_json()).unwrap(), inside);
        assert_eq!(Recipe::read(&inside).unwrap(), violin());
    }

    #[test]
    fn fields_not_known_here_are_kept_at_the_top_in_measures_and_in_steps() {
        let mut file: Value = serde_json::from_str(&violin().to_json()).unwrap();
        let known = file.clone();
        file["arching"] = serde_json::json!({"height_mm": 15.5, "flat": [1, 2]});
        file["measures"][1]["seen_on"] = "template".into();
        file["steps"][3]["colour"] = Value::Null;
        assert_ne!(file, known);
        let recipe = Recipe::from_json(&file.to_string()).unwrap();
        let again: Value = serde_json::from_str(&recipe.to_json()).unwrap();
        assert_eq!(again, file);
    }

    #[test]
    fn a_newer_version_is_refused_by_its_number() {
        let newer = violin().to_json().replacen("\"version\": 1", "\"version\": 2", 1);
        let error = Recipe::from_json(&newer).unwrap_err();
        assert_eq!(error, RecipeFileError::NewerVersion { found: "2".into() });
        assert!(error.to_string().contains("version 2"));
        assert!(Recipe::read(&parse(&newer).unwrap()).unwrap_err().problem.contains("version 2"));
    }

    #[test]
    fn other_files_are_refused_by_what_they_are() {
        let error = |text: &str| Recipe::from_json(text).unwrap_err();
        assert_eq!(error(" \n"), RecipeFileError::Empty);
        assert_eq!(error("[1, 2]"), RecipeFileError::NotARecipe);
        assert_eq!(error("{}"), RecipeFileError::NotARecipe);
        assert_eq!(
            error(r#"{"format": "ribline-project", "version": 1}"#),
            RecipeFileError::AnotherFormat { found: "ribline-project".into() }
        );
        assert_eq!(error(r#"{"format": "ribline-recipe"}"#), RecipeFileError::NoVersion);
        assert_eq!(error("{\"format\":\n\"ribl"), RecipeFileError::BreaksOff { line: 2 });
        assert!(matches!(error("{\n\"a\": 1,,\n}"), RecipeFileError::NotJson { line: 2, .. }));
        let large = " ".repeat(LARGEST_FILE + 1);
        assert_eq!(error(&large), RecipeFileError::TooLarge { bytes: LARGEST_FILE + 1 });
        let deep = "[".repeat(100_000);
        assert!(matches!(error(&deep), RecipeFileError::NotJson { .. }));
    }

    #[test]
    fn a_field_that_cannot_be_read_is_named_with_its_line_and_the_remedy() {
        let good = violin().to_json();
        let line_of = |text: &str, part: &str| 1 + text.lines().position(|line| line.contains(part)).unwrap();
        for (from, to, says) in [
            ("\"size\": \"4/7 L\"", "\"size\": \"four L\"", "not"),
            ("\"size\": \"4/7 L\"", "\"size\": \"12 mm\"", "{\"mm\": 12}"),
            ("\"size\": \"4/7 L\"", "\"size\": \"4/7L\"", "\"2/5 W\""),
            ("\"circle\": \"lower 3\"", "\"ring\": \"lower 3\"", "\"point\" or a \"circle\""),
            ("\"circle\": \"lower 3\", \"radius\"", "\"circle\": \"lower 3\", \"up\"", "mark a point"),
            ("{\"inside\": \"lower 1\"}", "{\"within\": \"lower 1\"}", "inside"),
        ] {
            let bad = good.replacen(from, to, 1);
            assert_ne!(bad, good, "{from}");
            let error = Recipe::from_json(&bad).unwrap_err();
            let RecipeFileError::Field { line, problem } = &error else { panic!("{error}") };
            assert_eq!(*line, line_of(&bad, to), "{error}");
            assert!(problem.contains(says), "{error}");
        }
    }

    #[test]
    fn any_finite_number_of_mm_is_read_back_to_the_last_bit() {
        proptest!(|(mm in proptest::num::f64::POSITIVE | proptest::num::f64::ZERO)| {
            let mut recipe = violin();
            recipe.measures[0].size = Size::Mm(mm);
            prop_assert_eq!(Recipe::from_json(&recipe.to_json()).unwrap(), recipe);
        });
    }

    proptest! {
        #[test]
        fn a_file_with_a_byte_changed_is_read_or_refused(at in 0usize..6000, byte in 32u8..127) {
            let mut text = violin().to_json().into_bytes();
            let at = at % text.len();
            text[at] = byte;
            if let Ok(recipe) = Recipe::from_json(&String::from_utf8_lossy(&text)) {
                let again = Recipe::from_json(&recipe.to_json()).unwrap();
                prop_assert_eq!(again, recipe);
            }
        }
    }
}
