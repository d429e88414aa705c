//! Around the body: version, kind, length and checksum, and the whole as text.

use super::bytes::Bytes;
use super::error::{LinkError, ShareError};
use super::{Contents, LONGEST_LINK};
use base64::Engine;
use base64::engine::general_purpose::{GeneralPurpose, NO_PAD};
use crc::{CRC_32_ISO_HDLC, Crc, NoTable};
use std::borrow::Cow;

/// The latest version of links that is read here. What the first version can say is still written in it, so that pages
/// of then open it too.
pub const VERSION: u8 = 2;
/// The version without how points were taken, and without settings of mould and bench.
pub(super) const FIRST: u8 = 1;
/// Most that a body may expand to, in bytes; held while it expands.
pub const EXPANDED_LIMIT: usize = 64 << 10;

/// CRC-32 as in ISO 3309 and RFC 1952. Without a table: it is worked over some hundred bytes.
const CHECKSUM: Crc<u32, NoTable> = Crc::<u32, NoTable>::new(&CRC_32_ISO_HDLC);
/// base64url without padding. Bits beyond the last whole byte are let pass: a link that is cut short has some, and is to
/// be told apart from one that is damaged.
const ALPHABET: GeneralPurpose =
    GeneralPurpose::new(&base64::alphabet::URL_SAFE, NO_PAD.with_decode_allow_trailing_bits(true));
/// Added to the kind of a body that is compressed.
const COMPRESSED: u8 = 0x10;
/// The most thorough of the compressor's levels: bodies are small.
const THOROUGH: u8 = 10;

/// A body as the text of a link.
pub(super) fn sealed(version: u8, contents: Contents, body: &[u8]) -> Result<String, ShareError> {
    if body.len() > EXPANDED_LIMIT {
        return Err(ShareError::TooLarge);
    }
    let compressed = miniz_oxide::deflate::compress_to_vec(body, THOROUGH);
    let (kind, body) = if compressed.len() < body.len() {
        (contents as u8 | COMPRESSED, &compressed[..])
    } else {
        (contents as u8, body)
    };
    let text = sealed_as(version, kind, body);
    if text.len() > LONGEST_LINK { Err(ShareError::TooLong { characters: text.len() }) } else { Ok(text) }
}

/// A body as it stands, compressed or not, as the text of a link.
pub(super) fn sealed_as(version: u8, kind: u8, body: &[u8]) -> String {
    let mut out = Bytes::default();
    out.byte(version);
    out.byte(kind);
    out.count(body.len());
    out.put(&checksum(version, kind, body).to_le_bytes());
    out.put(body);
    ALPHABET.encode(Vec::from(out))
}

fn checksum(version: u8, kind: u8, body: &[u8]) -> u32 {
    let mut digest = CHECKSUM.digest();
    digest.update(&[version, kind]);
    digest.update(body);
    digest.finalize()
}

/// The version, the kind and the body of a link's text.
pub(super) fn opened(text: &str) -> Result<(u8, Contents, Vec<u8>), LinkError> {
    let text = tidied(text);
    let bytes = decoded(&text)?;
    let short = LinkError::CutShort { given: text.len(), wanted: text.len() + 1 };
    let (&version, rest) = bytes.split_first().ok_or(short.clone())?;
    if !(FIRST..=VERSION).contains(&version) {
        return Err(if version > VERSION {
            LinkError::NewerVersion { found: version }
        } else {
            LinkError::Damaged
        });
    }
    let (&kind, rest) = rest.split_first().ok_or(short.clone())?;
    let (length, rest) = length(rest).ok_or(short.clone())?;
    let (check, body) = rest.split_first_chunk::<4>().ok_or(short)?;
    if body.len() != length {
        let head = bytes.len() - body.len();
        // Three bytes are four characters, and what is left over as many more as its bits need.
        let (given, wanted) = (text.len(), (4 * (head + length)).div_ceil(3));
        return Err(if body.len() < length {
            LinkError::CutShort { given, wanted }
        } else {
            LinkError::Longer { given, wanted }
        });
    }
    if u32::from_le_bytes(*check) != checksum(version, kind, body) {
        return Err(LinkError::Damaged);
    }
    let known = Contents::numbered(kind & !COMPRESSED).ok_or(LinkError::NewerKind)?;
    let body = if kind & COMPRESSED == 0 { body.to_vec() } else { expanded(body)? };
    Ok((version, known, body))
}

/// The version that a link says it is of; `None` where that cannot be made out.
pub fn version_of(text: &str) -> Option<u8> {
    decoded(&tidied(text)).ok()?.first().copied()
}

/// What a mail program may have put in or at the end is no part of the link.
fn tidied(text: &str) -> Cow<'_, str> {
    let text = text.trim().trim_end_matches(['.', ',', ';', ':', '!', '?', ')', ']', '>', '"', '\'']);
    if text.contains(char::is_whitespace) {
        Cow::Owned(text.split_whitespace().collect())
    } else {
        Cow::Borrowed(text)
    }
}

fn decoded(text: &str) -> Result<Vec<u8>, LinkError> {
    if text.is_empty() {
        return Err(LinkError::Empty);
    }
    let characters = text.chars().count();
    if characters > LONGEST_LINK {
        return Err(LinkError::TooLong { characters });
    }
    let other = |c: &char| !c.is_ascii_alphanumeric() && *c != '-' && *c != '_';
    if let Some((at, found)) = text.chars().enumerate().find(|(_, c)| other(c)) {
        return Err(LinkError::Character { at: at + 1, found });
    }
    // The last character of a link that is cut short can hold bits that no whole byte is left for.
    let whole = if text.len() % 4 == 1 { &text[..text.len() - 1] } else { text };
    ALPHABET.decode(whole).map_err(|_| LinkError::Damaged)
}

fn length(bytes: &[u8]) -> Option<(usize, &[u8])> {
    let mut length = 0;
    for (k, byte) in bytes.iter().enumerate().take(3) {
        length |= usize::from(byte & 0x7f) << (7 * k);
        if *byte < 0x80 {
            return Some((length, &bytes[k + 1..]));
        }
    }
    None
}

fn expanded(body: &[u8]) -> Result<Vec<u8>, LinkError> {
    use miniz_oxide::inflate::{TINFLStatus, decompress_to_vec_with_limit};
    decompress_to_vec_with_limit(body, EXPANDED_LIMIT).map_err(|error| match error.status {
        TINFLStatus::HasMoreOutput => LinkError::ExpandsTooFar,
        _ => LinkError::Nonsense,
    })
}
