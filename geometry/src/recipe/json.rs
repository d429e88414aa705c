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
    Action, Customary, Instrument, Line, Measure, OutlinePlan, Placing, Purpose, Recipe, Size, Step, Touch,
    TouchFrom, Toward,
};
use crate::ratio::Ratio;
use serde::de::{self, MapAccess, Visitor};
use serde::ser::SerializeMap;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::{Map, Value};
use std::fmt;
use std::io;

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
        let mut written = Vec::new();
        let mut serializer = serde_json::Serializer::with_formatter(&mut written, LineAnItem::default());
        // Neither writing to memory nor a map with string keys can fail.
        let done = self.serialize(&mut serializer);
        debug_assert!(done.is_ok());
        written.push(b'\n');
        String::from_utf8_lossy(&written).into_owned()
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
        let header: Value = serde_json::from_str(text).map_err(told)?;
        is_known(header.get("format"), header.get("version"))?;
        serde_json::from_str(text).map_err(told)
    }
}

/// The format and version first: what follows may mean anything otherwise.
fn is_known(format: Option<&Value>, version: Option<&Value>) -> Result<(), RecipeFileError> {
    match format {
        Some(Value::String(found)) if found == FORMAT => {}
        Some(Value::String(found)) => {
            return Err(RecipeFileError::AnotherFormat { found: found.chars().take(40).collect() });
        }
        _ => return Err(RecipeFileError::NotARecipe),
    }
    match version {
        Some(found) if found.as_u64() == Some(VERSION) => Ok(()),
        Some(found @ (Value::Number(_) | Value::String(_))) => {
            Err(RecipeFileError::NewerVersion { found: found.to_string().chars().take(40).collect() })
        }
        _ => Err(RecipeFileError::NoVersion),
    }
}

/// The JSON reader's complaint in a maker's words.
fn told(error: serde_json::Error) -> RecipeFileError {
    let (line, column) = (error.line(), error.column());
    let full = error.to_string();
    let place = format!(" at line {line} column {column}");
    let problem = full.strip_suffix(&place).unwrap_or(&full).replace('`', "\"");
    let problem = [
        ("invalid type: ", "found "),
        ("invalid value: ", "found "),
        ("unknown variant ", "nothing is called "),
        ("missing field ", "there is no "),
        ("expected f64", "expected a number"),
        ("expected a sequence", "expected a list in [ ]"),
        ("floating point ", "the number "),
        ("integer ", "the number "),
    ]
    .iter()
    .fold(problem, |text, (from, to)| text.replace(from, to));
    match error.classify() {
        serde_json::error::Category::Eof => RecipeFileError::BreaksOff { line },
        serde_json::error::Category::Data => RecipeFileError::Field { line, problem },
        serde_json::error::Category::Syntax | serde_json::error::Category::Io => {
            RecipeFileError::NotJson { line, column, problem }
        }
    }
}

/// The recipe as it stands in a file.
#[derive(Serialize, Deserialize)]
pub(super) struct RecipeFile {
    format: String,
    version: Value,
    title: String,
    #[serde(default)]
    author: String,
    #[serde(default)]
    note: String,
    instrument: Instrument,
    purpose: Purpose,
    measures: Vec<Measure>,
    steps: Vec<Step>,
    outline: OutlinePlan,
    customary: Customary,
    #[serde(flatten)]
    unknown: Map<String, Value>,
}

impl From<Recipe> for RecipeFile {
    fn from(recipe: Recipe) -> Self {
        let Recipe {
            title,
            author,
            note,
            instrument,
            purpose,
            measures,
            steps,
            plan: outline,
            customary,
            unknown,
        } = recipe;
        let (format, version) = (FORMAT.to_owned(), Value::from(VERSION));
        RecipeFile {
            format,
            version,
            title,
            author,
            note,
            instrument,
            purpose,
            measures,
            steps,
            outline,
            customary,
            unknown,
        }
    }
}

impl TryFrom<RecipeFile> for Recipe {
    type Error = RecipeFileError;

    fn try_from(file: RecipeFile) -> Result<Self, RecipeFileError> {
        is_known(Some(&Value::String(file.format)), Some(&file.version))?;
        let RecipeFile {
            title,
            author,
            note,
            instrument,
            purpose,
            measures,
            steps,
            outline: plan,
            customary,
            unknown,
            ..
        } = file;
        Ok(Recipe { title, author, note, instrument, purpose, measures, steps, plan, customary, unknown })
    }
}

/// A step as it stands in a file: all kinds side by side, told apart by the name's key.
#[derive(Serialize, Deserialize)]
pub(super) struct StepFile {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    point: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    circle: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    up: Option<Size>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    out: Option<Size>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    radius: Option<Size>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    centre: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    touches: Option<Vec<Touch>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    through: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    centre_on: Option<Line>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    lies: Option<Toward>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    choices: Vec<Ratio>,
    looseness_mm: f64,
    #[serde(flatten)]
    unknown: Map<String, Value>,
}

impl From<Step> for StepFile {
    fn from(step: Step) -> Self {
        let Step { name, action, choices, looseness: looseness_mm, unknown } = step;
        let mut file = StepFile {
            point: None,
            circle: None,
            up: None,
            out: None,
            radius: None,
            centre: None,
            touches: None,
            through: None,
            centre_on: None,
            lies: None,
            choices,
            looseness_mm,
            unknown,
        };
        match action {
            Action::Point { up, out } => {
                file.point = Some(name);
                file.up = up;
                file.out = out;
            }
            Action::Circle { radius, placed } => {
                file.circle = Some(name);
                file.radius = Some(radius);
                match placed {
                    Placing::CentredOn { point } => file.centre = Some(point),
                    Placing::Through { point, centre_on, lies } => {
                        file.through = Some(point);
                        file.centre_on = Some(centre_on);
                        file.lies = Some(lies);
                    }
                    Placing::TouchingTwo { one, other, lies } => {
                        file.touches = Some(vec![one, other]);
                        file.lies = Some(lies);
                    }
                    Placing::TouchingThrough { one, point, lies } => {
                        file.touches = Some(vec![one]);
                        file.through = Some(point);
                        file.lies = Some(lies);
                    }
                }
            }
        }
        file
    }
}

impl<'de> Deserialize<'de> for Step {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        // A conversion after the fact (serde's `try_from`) would be reported with the line of the next step.
        struct StepVisitor;
        impl<'de> Visitor<'de> for StepVisitor {
            type Value = Step;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a step in { }")
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Step, A::Error> {
                let file = StepFile::deserialize(de::value::MapAccessDeserializer::new(map))?;
                Step::try_from(file).map_err(de::Error::custom)
            }
        }
        deserializer.deserialize_map(StepVisitor)
    }
}

impl TryFrom<StepFile> for Step {
    type Error = String;

    fn try_from(file: StepFile) -> Result<Self, String> {
        let StepFile { point, circle, up, out, radius, centre, touches, through, centre_on, lies, .. } = file;
        let (name, action) = match (point, circle) {
            (Some(name), None) => {
                let only_circles =
                    radius.is_some() || centre.is_some() || touches.is_some() || through.is_some();
                if only_circles || centre_on.is_some() || lies.is_some() {
                    return Err(format!(
                        "the point \"{name}\" is given as a circle is; a point has \"up\" and \"out\" only"
                    ));
                }
                (name, Action::Point { up, out })
            }
            (None, Some(name)) => {
                if up.is_some() || out.is_some() {
                    return Err(format!(
                        "the circle \"{name}\" has \"up\" or \"out\"; mark a point there first"
                    ));
                }
                let radius = radius.ok_or_else(|| format!("the circle \"{name}\" has no \"radius\""))?;
                let placed = placing(&name, centre, touches, through, centre_on, lies)?;
                (name, Action::Circle { radius, placed })
            }
            _ => return Err("a step has either a \"point\" or a \"circle\" to name what it makes".to_owned()),
        };
        Ok(Step { name, action, choices: file.choices, looseness: file.looseness_mm, unknown: file.unknown })
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

impl Serialize for Size {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Size::Ratio { ratio, of } => serializer.collect_str(&format_args!("{ratio} {of}")),
            Size::Mm(mm) => one_entry(serializer, "mm", mm),
        }
    }
}

impl<'de> Deserialize<'de> for Size {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct SizeVisitor;
        impl<'de> Visitor<'de> for SizeVisitor {
            type Value = Size;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("a size such as \"2/5 W\" or {\"mm\": 12.5}")
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<Size, E> {
                let unlike = || E::invalid_value(de::Unexpected::Str(text), &self);
                let (ratio, of) = text.trim().split_once(char::is_whitespace).ok_or_else(unlike)?;
                let (ratio, of) = (ratio.parse().map_err(E::custom)?, of.trim());
                if of == "mm" {
                    return Err(E::custom(format!("a size in mm is written {{\"mm\": {ratio}}}")));
                }
                Ok(Size::Ratio { ratio, of: of.to_owned() })
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Size, A::Error> {
                let (key, mm) = only_entry::<A, f64>(map)?;
                if key == "mm" { Ok(Size::Mm(mm)) } else { Err(de::Error::unknown_field(&key, &["mm"])) }
            }
        }
        deserializer.deserialize_any(SizeVisitor)
    }
}

impl Serialize for Line {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Line::Centreline => serializer.serialize_str("centreline"),
            Line::CrossAt { point } => one_entry(serializer, "cross_line_at", point),
        }
    }
}

impl<'de> Deserialize<'de> for Line {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct LineVisitor;
        impl<'de> Visitor<'de> for LineVisitor {
            type Value = Line;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("\"centreline\" or {\"cross_line_at\": \"a point\"}")
            }

            fn visit_str<E: de::Error>(self, text: &str) -> Result<Line, E> {
                match text {
                    "centreline" => Ok(Line::Centreline),
                    _ => Err(E::invalid_value(de::Unexpected::Str(text), &self)),
                }
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Line, A::Error> {
                let (key, point) = only_entry::<A, String>(map)?;
                if key == "cross_line_at" {
                    Ok(Line::CrossAt { point })
                } else {
                    Err(de::Error::unknown_field(&key, &["cross_line_at"]))
                }
            }
        }
        deserializer.deserialize_any(LineVisitor)
    }
}

impl Serialize for Touch {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let from = match self.from {
            TouchFrom::Inside => "inside",
            TouchFrom::Outside => "outside",
        };
        one_entry(serializer, from, &self.circle)
    }
}

impl<'de> Deserialize<'de> for Touch {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct TouchVisitor;
        impl<'de> Visitor<'de> for TouchVisitor {
            type Value = Touch;

            fn expecting(&self, f: &mut fmt::Formatter) -> fmt::Result {
                f.write_str("{\"inside\": \"a circle\"} or {\"outside\": \"a circle\"}")
            }

            fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Touch, A::Error> {
                let (key, circle) = only_entry::<A, String>(map)?;
                match key.as_str() {
                    "inside" => Ok(Touch { circle, from: TouchFrom::Inside }),
                    "outside" => Ok(Touch { circle, from: TouchFrom::Outside }),
                    _ => Err(de::Error::unknown_field(&key, &["inside", "outside"])),
                }
            }
        }
        deserializer.deserialize_map(TouchVisitor)
    }
}

fn one_entry<S: Serializer>(serializer: S, key: &str, value: &impl Serialize) -> Result<S::Ok, S::Error> {
    let mut map = serializer.serialize_map(Some(1))?;
    map.serialize_entry(key, value)?;
    map.end()
}

fn only_entry<'de, A: MapAccess<'de>, T: Deserialize<'de>>(mut map: A) -> Result<(String, T), A::Error> {
    let entry = map
        .next_entry::<String, T>()?
        .ok_or_else(|| de::Error::custom("there is nothing between { and }"))?;
    match map.next_key::<String>()? {
        None => Ok(entry),
        Some(more) => Err(de::Error::custom(format!("\"{more}\" is one entry too many in {{ }}"))),
    }
}

/// Lays JSON out with the entries of the outermost two levels on lines of their own and everything within on one
/// line, so that a measure or a step reads like a sentence.
#[derive(Default)]
struct LineAnItem {
    depth: usize,
    holds_something: bool,
}

impl LineAnItem {
    fn separated<W: io::Write + ?Sized>(&self, writer: &mut W, first: bool) -> io::Result<()> {
        if self.depth <= 2 {
            writer.write_all(if first { b"\n" } else { b",\n" })?;
            (0..self.depth).try_for_each(|_| writer.write_all(b"  "))
        } else {
            writer.write_all(if first { b"" } else { b", " })
        }
    }

    fn opened<W: io::Write + ?Sized>(&mut self, writer: &mut W, bracket: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.holds_something = false;
        writer.write_all(bracket)
    }

    fn closed<W: io::Write + ?Sized>(&mut self, writer: &mut W, bracket: &[u8]) -> io::Result<()> {
        self.depth = self.depth.saturating_sub(1);
        if self.holds_something && self.depth < 2 {
            writer.write_all(b"\n")?;
            (0..self.depth).try_for_each(|_| writer.write_all(b"  "))?;
        }
        self.holds_something = true;
        writer.write_all(bracket)
    }
}

impl serde_json::ser::Formatter for LineAnItem {
    fn begin_array<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        self.opened(writer, b"[")
    }

    fn end_array<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        self.closed(writer, b"]")
    }

    fn begin_array_value<W: io::Write + ?Sized>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.separated(writer, first)
    }

    fn end_array_value<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        self.holds_something = true;
        Ok(())
    }

    fn begin_object<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        self.opened(writer, b"{")
    }

    fn end_object<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        self.closed(writer, b"}")
    }

    fn begin_object_key<W: io::Write + ?Sized>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.separated(writer, first)
    }

    fn begin_object_value<W: io::Write + ?Sized>(&mut self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b": ")
    }

    fn end_object_value<W: io::Write + ?Sized>(&mut self, _: &mut W) -> io::Result<()> {
        self.holds_something = true;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::super::built_in::{built_in, violin};
    use super::*;
    use proptest::prelude::*;

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
        let inside = serde_json::to_value(violin()).unwrap();
        let alone: Value = serde_json::from_str(&violin().to_json()).unwrap();
        assert_eq!(inside, alone);
        assert_eq!(serde_json::from_value::<Recipe>(inside).unwrap(), violin());
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
        assert!(serde_json::from_str::<Recipe>(&newer).unwrap_err().to_string().contains("version 2"));
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
