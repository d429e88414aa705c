//! A recipe as a link, and as a QR symbol: what one maker shows another without any file changing hands.
//!
//! A link is an address of the page with the recipe in its fragment (RFC 3986, 3.5), which a browser never sends to a
//! server: [`address`]. What stands there is base64url without padding (RFC 4648, section 5) of
//!
//! | bytes | what |
//! |---|---|
//! | 1 | version: 2 where points say how they were taken or a result has settings of mould or bench, else 1 |
//! | 1 | what it holds (0 recipe, 1 recipe and trace, 2 result), plus 16 where the body is compressed |
//! | 1 to 3 | length of the body as it stands here, seven bits a byte, the lowest first |
//! | 4 | CRC-32 of the first two bytes and the body, the lowest byte first |
//! | all the rest | the body, by itself or as raw DEFLATE (RFC 1951), whichever is shorter |
//!
//! The body begins with the recipe, either in full or as what differs from an edition of a built-in recipe
//! ([`editions`]). It is the tree of the recipe's own file ([`crate::recipe::json`]) in a compact form ([`tree`]):
//! whatever the recipe language comes to say can be shared, fields that are not known here are kept, and the reader of
//! recipe files alone says what a recipe means. Lengths in mm come back to the last bit.
//!
//! A traced line follows as differences from point to point, rounded to 0.01 mm ([`trace`]): a tenth of what a line can
//! be measured to. The names of runs and the numbers of lines are kept, so that a warning that names a line names it
//! for everybody.
//!
//! What was written once is read for ever: a later version of the coding has another number, and the earlier ones stay.
//! What an earlier one can say is written in it, so that a page that was not reloaded yet opens it.

pub mod address;
mod bytes;
mod difference;
pub mod editions;
mod envelope;
mod error;
pub mod symbol;
#[cfg(test)]
mod tests;
mod trace;
mod tree;
mod words;

pub use envelope::{EXPANDED_LIMIT, VERSION, version_of};
pub use error::{LinkError, ShareError};
pub use trace::STEP_MM;

use crate::bench::wish::BenchWish;
use crate::json::{Fault, Fields, Form, Map, Value};
use crate::mould::MouldWish;
use crate::outline::Face;
use crate::project::Project;
use crate::recipe::Recipe;
use crate::reconcile::{Traced, Wish};
use crate::trace::Trace;
use bytes::Bytes;

/// Characters in a whole link, address and all, that browsers, mail and chat programs pass on whole (common practice).
pub const LONGEST_LINK: usize = 8_000;

/// How much of a project a link carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Contents {
    Recipe = 0,
    WithTrace = 1,
    Result = 2,
}

impl Contents {
    pub const ALL: [Contents; 3] = [Contents::Recipe, Contents::WithTrace, Contents::Result];

    pub fn numbered(number: u8) -> Option<Contents> {
        Contents::ALL.into_iter().find(|contents| *contents as u8 == number)
    }
}

/// What a link carries.
#[derive(Debug, Clone, PartialEq)]
pub enum Shared {
    Recipe(Recipe),
    /// A recipe with a line to try it on.
    WithTrace {
        recipe: Recipe,
        line: TracedLine,
    },
    /// What somebody made of a recipe on ribs of their own: everything that the edge follows from.
    Result(Box<SharedResult>),
}

/// A traced line, and what one has to know of it to lay an edge around it.
#[derive(Debug, Clone, PartialEq)]
pub struct TracedLine {
    pub trace: Trace,
    pub face: Face,
    pub traced: Traced,
    /// Edge to the middle of the purfling, mm; used where that is what was traced.
    pub purfling_distance: f64,
}

/// The edge on somebody's ribs, as the input from which it can be worked again.
#[derive(Debug, Clone, PartialEq)]
pub struct SharedResult {
    pub title: String,
    pub recipe: Recipe,
    pub trace: Trace,
    pub face: Face,
    pub wish: Wish,
    /// `None` where they are left to custom, as in a project.
    pub mould: Option<MouldWish>,
    pub bench: Option<BenchWish>,
}

impl Shared {
    /// What of a project is shared. Its notes are the maker's own.
    pub fn of(project: Project, contents: Contents) -> Shared {
        let Project { title, trace, face, wish, recipe, mould, bench, .. } = project;
        match contents {
            Contents::Recipe => Shared::Recipe(recipe),
            Contents::WithTrace => {
                let Wish { traced, purfling_distance, .. } = wish;
                Shared::WithTrace { recipe, line: TracedLine { trace, face, traced, purfling_distance } }
            }
            Contents::Result => {
                Shared::Result(Box::new(SharedResult { title, recipe, trace, face, wish, mould, bench }))
            }
        }
    }

    /// A project to go on with: what was not shared is empty, or customary for the recipe.
    pub fn into_project(self) -> Project {
        let wish = Wish::customary(self.recipe());
        match self {
            Shared::Recipe(recipe) => Project::new(recipe, Trace::default(), wish),
            Shared::WithTrace { recipe, line } => {
                let TracedLine { trace, face, traced, purfling_distance } = line;
                let wish = Wish { traced, purfling_distance, ..wish };
                Project { face, ..Project::new(recipe, trace, wish) }
            }
            Shared::Result(result) => {
                let SharedResult { title, recipe, trace, face, wish, mould, bench } = *result;
                Project { title, face, mould, bench, ..Project::new(recipe, trace, wish) }
            }
        }
    }

    pub fn contents(&self) -> Contents {
        match self {
            Shared::Recipe(_) => Contents::Recipe,
            Shared::WithTrace { .. } => Contents::WithTrace,
            Shared::Result(_) => Contents::Result,
        }
    }

    pub fn recipe(&self) -> &Recipe {
        match self {
            Shared::Recipe(recipe) | Shared::WithTrace { recipe, .. } => recipe,
            Shared::Result(result) => &result.recipe,
        }
    }

    pub fn trace(&self) -> Option<&Trace> {
        match self {
            Shared::Recipe(_) => None,
            Shared::WithTrace { line, .. } => Some(&line.trace),
            Shared::Result(result) => Some(&result.trace),
        }
    }

    /// The version of the link that can carry it.
    fn version(&self) -> u8 {
        let settings =
            matches!(self, Shared::Result(result) if result.mould.is_some() || result.bench.is_some());
        if settings || self.trace().is_some_and(trace::beyond_first) { VERSION } else { envelope::FIRST }
    }

    /// As it is read back: points and pins rounded to 0.01 mm.
    pub fn rounded(mut self) -> Shared {
        match &mut self {
            Shared::Recipe(_) => {}
            Shared::WithTrace { line, .. } => trace::round(&mut line.trace),
            Shared::Result(result) => trace::round(&mut result.trace),
        }
        self
    }
}

/// What goes with a traced line, as it stands in the body.
struct LineTree {
    face: Face,
    traced: Traced,
    purfling_distance: f64,
}

impl Form for LineTree {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "what goes with a traced line in { }")?;
        Ok(LineTree {
            face: fields.take("face")?,
            traced: fields.take("traced")?,
            purfling_distance: fields.take("purfling_distance")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new().with("face", &self.face).with("traced", &self.traced);
        Value::Object(entries.with("purfling_distance", &self.purfling_distance))
    }
}

/// What goes with a result, as it stands in the body.
struct ResultTree {
    title: String,
    face: Face,
    wish: Wish,
    mould: Option<MouldWish>,
    bench: Option<BenchWish>,
}

impl Form for ResultTree {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "what goes with a result in { }")?;
        Ok(ResultTree {
            title: fields.take("title")?,
            face: fields.take("face")?,
            wish: fields.take("wish")?,
            mould: fields.take_or_default("mould")?,
            bench: fields.take_or_default("bench")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new().with("title", &self.title).with("face", &self.face);
        let entries = entries.with("wish", &self.wish).with_if_there("mould", &self.mould);
        Value::Object(entries.with_if_there("bench", &self.bench))
    }
}

/// Writes what is shared as the text that stands in a link.
///
/// ```
/// use ribline_geometry::recipe::built_in::violin;
/// use ribline_geometry::share::{Shared, read, write};
/// let shared = Shared::Recipe(violin());
/// let text = write(&shared).unwrap();
/// assert!(text.len() < 30, "{text}");
/// assert_eq!(read(&text).unwrap(), shared);
/// ```
///
/// # Errors
/// A sentence where it is larger than any page reads back, or has a figure that no page could.
pub fn write(shared: &Shared) -> Result<String, ShareError> {
    let tree = shared.recipe().written();
    let full = body(shared, &mut |out| editions::write_full(out, &tree))?;
    let mut text = envelope::sealed(shared.version(), shared.contents(), &full)?;
    if let Some(difference) = editions::smallest_difference(&tree) {
        let short = body(shared, &mut |out| {
            out.put(&difference);
            Ok(())
        })?;
        let other = envelope::sealed(shared.version(), shared.contents(), &short)?;
        if other.len() < text.len() {
            text = other;
        }
    }
    // Whatever this could not say exactly must not leave as if it did.
    let asked = shared.clone().rounded();
    match read(&text) {
        Ok(back) if back == asked => Ok(text),
        Err(LinkError::ExpandsTooFar) => Err(ShareError::TooLarge),
        _ => Err(ShareError::NotExact),
    }
}

fn body(
    shared: &Shared,
    recipe: &mut dyn FnMut(&mut Bytes) -> Result<(), ShareError>,
) -> Result<Vec<u8>, ShareError> {
    let mut out = Bytes::default();
    recipe(&mut out)?;
    match shared {
        Shared::Recipe(_) => {}
        Shared::WithTrace { line, .. } => {
            let &TracedLine { ref trace, face, traced, purfling_distance } = line;
            trace::write(&mut out, trace, shared.version())?;
            tree::write(&mut out, &LineTree { face, traced, purfling_distance }.written())?;
        }
        Shared::Result(result) => {
            let SharedResult { title, trace, face, wish, mould, bench, .. } = &**result;
            trace::write(&mut out, trace, shared.version())?;
            let (title, mould, bench) = (title.clone(), *mould, *bench);
            let around = ResultTree { title, face: *face, wish: *wish, mould, bench };
            tree::write(&mut out, &around.written())?;
        }
    }
    Ok(out.into())
}

/// Reads the text that stands in a link. What the recipe says is not checked: see [`Recipe::check`].
///
/// # Errors
/// A sentence where the text is no link, is cut short or damaged, comes from a newer page, or expands beyond
/// [`EXPANDED_LIMIT`].
pub fn read(text: &str) -> Result<Shared, LinkError> {
    let (version, contents, body) = envelope::opened(text)?;
    let mut rest = bytes::Reading::new(&body);
    let recipe = recipe_of(editions::read(&mut rest)?)?;
    let shared = match contents {
        Contents::Recipe => Shared::Recipe(recipe),
        Contents::WithTrace => {
            let trace = trace::read(&mut rest, version)?;
            let LineTree { face, traced, purfling_distance } = told(tree::read(&mut rest)?)?;
            Shared::WithTrace { recipe, line: TracedLine { trace, face, traced, purfling_distance } }
        }
        Contents::Result => {
            let trace = trace::read(&mut rest, version)?;
            let ResultTree { title, face, wish, mould, bench } = told(tree::read(&mut rest)?)?;
            Shared::Result(Box::new(SharedResult { title, recipe, trace, face, wish, mould, bench }))
        }
    };
    rest.ended()?;
    Ok(shared)
}

fn recipe_of(tree: Value) -> Result<Recipe, LinkError> {
    // Through the reader of recipe files, which knows versions and words the complaint.
    Recipe::read(&tree).map_err(|fault| LinkError::Recipe(fault.problem))
}

fn told<T: Form>(tree: Value) -> Result<T, LinkError> {
    T::read(&tree).map_err(|_| LinkError::Nonsense)
}
