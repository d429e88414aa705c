//! Editions: built-in recipes as they once were, for links to differ from.
//!
//! A built-in recipe may be improved; a link that says "the violin, but with this ratio" must still mean the violin as
//! it was. So each edition is kept here as the full text of a link, one a line, and none is ever changed or taken out.
//! A link names an edition by the checksum of its text. `cargo run -p ribline-tests --bin editions` adds the built-in
//! recipes of the day that are not yet among them.

use super::bytes::{Bytes, Reading};
use super::error::{LinkError, ShareError};
use super::{difference, envelope, tree};
use crate::json::{Form, Value};
use crc::{CRC_32_ISO_HDLC, Crc, NoTable};

const EDITIONS: &str = include_str!("editions.txt");
const CHECKSUM: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);

/// How a recipe in a body begins.
const FULL: u8 = 0;
const DIFFERENCE: u8 = 1;

/// The texts of all editions, the latest last.
pub fn texts() -> impl DoubleEndedIterator<Item = &'static str> {
    EDITIONS.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with('#'))
}

fn name_of(text: &str) -> u32 {
    CHECKSUM.checksum(text.as_bytes())
}

/// The tree of an edition; they are all in full, and a test holds that all can be read.
fn tree_of(text: &str) -> Option<Value> {
    let (_, _, body) = envelope::opened(text).ok()?;
    let mut reading = Reading::new(&body);
    match reading.byte() {
        Ok(FULL) => tree::read(&mut reading).ok(),
        _ => None,
    }
}

/// Writes a recipe in full.
pub(super) fn write_full(out: &mut Bytes, recipe: &Value) -> Result<(), ShareError> {
    out.byte(FULL);
    tree::write(out, recipe)
}

/// A recipe as what differs from the edition that it differs least from; of two as near, the later.
pub(super) fn smallest_difference(recipe: &Value) -> Option<Vec<u8>> {
    let from = |text: &'static str| {
        let base = tree_of(text)?;
        let mut out = Bytes::default();
        out.byte(DIFFERENCE);
        out.put(&name_of(text).to_le_bytes());
        difference::write(&mut out, &base, recipe).ok()?;
        Some(Vec::from(out))
    };
    texts().rev().filter_map(from).min_by_key(Vec::len)
}

/// Reads a recipe in either form.
pub(super) fn read(reading: &mut Reading) -> Result<Value, LinkError> {
    match reading.byte()? {
        FULL => tree::read(reading),
        DIFFERENCE => {
            let name = u32::from_le_bytes(reading.exactly()?);
            let edition = texts().find(|text| name_of(text) == name).ok_or(LinkError::UnknownEdition)?;
            let base = tree_of(edition).ok_or(LinkError::UnknownEdition)?;
            difference::read(reading, &base)
        }
        _ => Err(LinkError::Nonsense),
    }
}

/// A recipe as the text of an edition: in full, whatever editions there are.
///
/// # Errors
/// As [`super::write`].
pub fn text_for(recipe: &crate::recipe::Recipe) -> Result<String, ShareError> {
    let mut out = Bytes::default();
    write_full(&mut out, &recipe.written())?;
    envelope::sealed(envelope::FIRST, super::Contents::Recipe, &Vec::from(out))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::built_in;
    use std::collections::BTreeSet;

    #[test]
    fn every_edition_can_be_read_and_is_named_for_itself() {
        let names: BTreeSet<u32> = texts().map(name_of).collect();
        assert_eq!(names.len(), texts().count(), "two editions go by one name");
        for text in texts() {
            assert!(tree_of(text).is_some(), "{text}");
            super::super::read(text).unwrap().recipe().check().unwrap();
        }
    }

    #[test]
    fn every_built_in_recipe_is_among_the_editions() {
        for recipe in built_in() {
            let text = text_for(&recipe).unwrap();
            assert!(
                texts().any(|edition| edition == text),
                "\"{}\" has changed or is new: run `cargo run -p ribline-tests --bin editions`",
                recipe.title
            );
        }
    }
}
