//! What is brought to a class: several links in one text, with whatever stands around them, or a project's file.

use super::NoMember;
use crate::project::Project;
use crate::recipe::Recipe;
use crate::share::{self, LinkError, address};
use crate::trace;

/// Most links that are looked for in one text; a class has fewer.
pub const MOST_LINKS: usize = 60;

/// A result out of a text, not yet worked.
#[derive(Debug, Clone, PartialEq)]
pub struct Brought {
    pub project: Project,
    pub which: Which,
}

/// Something that could not be taken: which, and why not.
#[derive(Debug, Clone, PartialEq)]
pub struct NotBrought {
    pub which: Which,
    /// A sentence.
    pub why: String,
}

/// Which part of a text is meant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Which {
    Whole,
    /// A link: its number, counted from 1, how many there are, what stood before it on its line, such as who sent it, and its
    /// last characters, by which it is known again.
    Link {
        number: usize,
        of: usize,
        beside: String,
        ending: String,
    },
    /// The links from one number to another, beyond as many as are looked at.
    LinksBeyond {
        from: usize,
        to: usize,
    },
}

impl Which {
    /// What stood before a link.
    pub fn beside(&self) -> &str {
        match self {
            Which::Link { beside, .. } => beside,
            Which::Whole | Which::LinksBeyond { .. } => "",
        }
    }
}

/// Takes a text apart: a project's file, or links between other words. What is wrong with one leaves the others be.
pub fn brought(text: &str) -> Vec<Result<Brought, NotBrought>> {
    let text = text.trim_start_matches('\u{FEFF}');
    let whole = |why: String| vec![Err(NotBrought { which: Which::Whole, why })];
    if text.trim_start().starts_with('{') {
        return match Project::from_json(text) {
            Ok(project) => vec![Ok(Brought { project, which: Which::Whole })],
            Err(_) if Recipe::from_json(text).is_ok() => whole(NoMember::NothingTraced.to_string()),
            Err(error) => whole(error.to_string()),
        };
    }
    let mut links = links_in(text);
    if links.is_empty() {
        let why = if trace::read(text).is_ok() {
            "It is a traced line without a recipe. Open it under Ribs, and save it from there as a project"
        } else {
            "There is no link in it, and it is no project's file"
        };
        return whole(why.to_owned());
    }
    let of = links.len();
    let beyond = (of > MOST_LINKS).then(|| {
        let which = Which::LinksBeyond { from: MOST_LINKS + 1, to: of };
        Err(NotBrought { which, why: format!("No more than {MOST_LINKS} are looked at together") })
    });
    links.truncate(MOST_LINKS);
    links
        .into_iter()
        .enumerate()
        .map(|(k, Pasted { beside, code, .. })| {
            let skipped = code.chars().count().saturating_sub(8);
            let ending = code.chars().skip(skipped).collect();
            let which = Which::Link { number: k + 1, of, beside, ending };
            match share::read(&code) {
                Ok(shared) => Ok(Brought { project: shared.into_project(), which }),
                Err(error) => Err(NotBrought { which, why: error.to_string() }),
            }
        })
        .chain(beyond)
        .collect()
}

struct Pasted {
    beside: String,
    code: String,
    /// How many more characters it would take, at most; 0 where it is whole, or cannot be made whole by any.
    wanting: usize,
}

impl Pasted {
    /// Takes a word for the next part of the link where it can be, and answers whether it did.
    fn goes_on(&mut self, word: &str) -> bool {
        let of_a_link = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
        let goes_on =
            word.len() <= self.wanting && word.trim_end_matches(['.', ',', ')', '>']).chars().all(of_a_link);
        if goes_on {
            self.code.push_str(word);
            self.wanting = wanting(&self.code);
        }
        goes_on
    }
}

/// How many characters a link is short of, and one for what may stand behind it.
fn wanting(code: &str) -> usize {
    match share::read(code) {
        Err(LinkError::CutShort { given, wanted }) => (wanted + 1).saturating_sub(given),
        _ => 0,
    }
}

/// The links in a text. One that mail has broken over several lines is put together again.
fn links_in(text: &str) -> Vec<Pasted> {
    let mut found: Vec<Pasted> = Vec::new();
    for line in text.lines() {
        let mut beside: Vec<&str> = Vec::new();
        for word in line.split_whitespace() {
            if let Some(code) = address::link_in(word) {
                let label = std::mem::take(&mut beside).join(" ");
                let label = label.trim_matches([':', '-', ',', ';', '<', '(', '\u{2013}', ' ']);
                let beside = label.chars().take(60).collect();
                let wanting = if found.len() < MOST_LINKS { wanting(code) } else { 0 };
                found.push(Pasted { beside, code: code.to_owned(), wanting });
            } else if !found.last_mut().is_some_and(|last| last.goes_on(word)) {
                beside.push(word);
            }
        }
    }
    found
}
