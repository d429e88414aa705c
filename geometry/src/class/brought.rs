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
    /// What stood before the link on its line, such as who sent it.
    pub beside: String,
    /// The link's last characters, by which it is known again; `None` for a file.
    pub ending: Option<String>,
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
    /// A link: its number, counted from 1, how many there are, what stood before it, and its last characters.
    Link {
        number: usize,
        of: usize,
        beside: String,
        ending: String,
    },
}

/// Takes a text apart: a project's file, or links between other words. What is wrong with one leaves the others be.
pub fn brought(text: &str) -> Vec<Result<Brought, NotBrought>> {
    let text = text.trim_start_matches('\u{FEFF}');
    let whole = |why: String| vec![Err(NotBrought { which: Which::Whole, why })];
    if text.trim_start().starts_with('{') {
        return match Project::from_json(text) {
            Ok(project) => vec![Ok(Brought { project, beside: String::new(), ending: None })],
            Err(_) if Recipe::from_json(text).is_ok() => whole(NoMember::NothingTraced.to_string()),
            Err(error) => whole(error.to_string()),
        };
    }
    let links = links_in(text);
    if links.is_empty() {
        let why = if trace::read(text).is_ok() {
            "It is a traced line without a recipe. Open it under Ribs, and save it from there as a project"
        } else {
            "There is no link in it, and it is no project's file"
        };
        return whole(why.to_owned());
    }
    let of = links.len();
    links
        .into_iter()
        .enumerate()
        .map(|(k, Pasted { beside, code })| {
            let skipped = code.chars().count().saturating_sub(8);
            let ending = code.chars().skip(skipped).collect();
            match share::read(&code) {
                Ok(shared) => Ok(Brought { project: shared.into_project(), beside, ending: Some(ending) }),
                Err(error) => {
                    let which = Which::Link { number: k + 1, of, beside, ending };
                    Err(NotBrought { which, why: error.to_string() })
                }
            }
        })
        .collect()
}

struct Pasted {
    beside: String,
    code: String,
}

/// The links in a text. One that mail has broken over several lines is put together again.
fn links_in(text: &str) -> Vec<Pasted> {
    let mut found: Vec<Pasted> = Vec::new();
    for line in text.lines() {
        let mut beside: Vec<&str> = Vec::new();
        for word in line.split_whitespace() {
            if let Some(code) = address::link_in(word) {
                if found.len() == MOST_LINKS {
                    return found;
                }
                let label = std::mem::take(&mut beside).join(" ");
                let label = label.trim_matches([':', '-', ',', ';', '<', '(', '\u{2013}', ' ']);
                found.push(Pasted { beside: label.chars().take(60).collect(), code: code.to_owned() });
            } else if let Some(last) = found.last_mut().filter(|last| goes_on(&last.code, word)) {
                last.code.push_str(word);
            } else {
                beside.push(word);
            }
        }
    }
    found
}

/// Whether a word is the next part of a link that is cut short without it.
fn goes_on(code: &str, word: &str) -> bool {
    let of_a_link = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    word.trim_end_matches(['.', ',', ')', '>']).chars().all(of_a_link)
        && match share::read(code) {
            Err(LinkError::CutShort { given, wanted }) => given + word.len() <= wanted + 1,
            _ => false,
        }
}
