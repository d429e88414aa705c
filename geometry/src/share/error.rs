//! Why something cannot be shared, and why a link cannot be opened, in sentences a maker can act on.

use super::LONGEST_LINK;
use super::envelope::{EXPANDED_LIMIT, VERSION};

/// Why something cannot be made a link of.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ShareError {
    #[error(
        "This is too large for a link: written out it has more than {} KiB. Shorten the notes, or save it as a file instead.",
        EXPANDED_LIMIT >> 10
    )]
    TooLarge,
    #[error(
        "The link would have {characters} characters, and only {LONGEST_LINK} are sure to arrive whole. Share the recipe without the trace, thin the points out, or save it as a file instead."
    )]
    TooLong { characters: usize },
    #[error(
        "Point {index} of the trace lies further away than any plate reaches. Correct it, or share the recipe without the trace."
    )]
    FarPoint { index: usize },
    #[error(
        "One of the pins lies further away than any plate reaches. Correct it, or share the recipe without the trace."
    )]
    FarPin,
    #[error(
        "The trace has {given} points, and a link can carry at most {most}. Thin them out, or share the recipe without the trace."
    )]
    TooManyPoints { given: usize, most: usize },
    #[error(
        "This has something in it that a link cannot carry exactly, such as a length that is no number. Put it right, or save it as a file instead."
    )]
    NotExact,
}

/// Why a link cannot be opened.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LinkError {
    #[error("This link has nothing in it. Copy it again, the whole of it, from where it came.")]
    Empty,
    #[error(
        "This link is damaged: character {at} is \"{found}\", which no link has. Copy it again from where it came."
    )]
    Character { at: usize, found: char },
    #[error(
        "This link is cut short: only {given} of its {wanted} characters have arrived. Copy it again, the whole of it, from where it came."
    )]
    CutShort { given: usize, wanted: usize },
    #[error(
        "Something was added to this link: it has {given} characters where it should have {wanted}. Copy it again from where it came."
    )]
    Longer { given: usize, wanted: usize },
    #[error(
        "This link is damaged: its checksum is not that of what it holds. Copy it again from where it came."
    )]
    Damaged,
    #[error(
        "This link is of version {found}, and this page reads links up to version {VERSION}. Reload the page to get the newer one, then open the link again."
    )]
    NewerVersion { found: u8 },
    #[error(
        "This link is of a kind that this page does not know. Reload the page to get the newer one, then open the link again."
    )]
    NewerKind,
    #[error(
        "This link builds on a built-in recipe that this page does not have. Reload the page to get the newer one, then open the link again."
    )]
    UnknownEdition,
    #[error(
        "This link has {characters} characters, and none that was made here has more than {LONGEST_LINK}. It holds something else: ask for it again, or for a file."
    )]
    TooLong { characters: usize },
    #[error(
        "What this link holds expands to more than {} KiB, which no recipe needs. It was not made by this page: do not trust it.",
        EXPANDED_LIMIT >> 10
    )]
    ExpandsTooFar,
    #[error(
        "What this link holds makes no sense, though it arrived whole. It was not made by this page: ask for it again."
    )]
    Nonsense,
    #[error("The recipe in this link cannot be read: {0}. Ask for the link again, or for a file.")]
    Recipe(String),
}
