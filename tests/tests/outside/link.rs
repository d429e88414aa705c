//! Links and symbols read by others than ours: base64url by another library, the checksum and raw DEFLATE by others
//! again, the symbol by a reader of QR symbols.

use data_encoding::BASE64URL_NOPAD;
use ribline_geometry::recipe::{Recipe, Size, built_in};
use ribline_geometry::reconcile::Wish;
use ribline_geometry::share::symbol::{LONGEST, QUIET_ZONE, Symbol};
use ribline_geometry::share::{
    EXPANDED_LIMIT, LONGEST_LINK, LinkError, Shared, SharedResult, address, read, write,
};
use ribline_geometry::trace::{Pins, Trace};
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};

/// What the parts of a link are, taken apart by the table in `share`'s documentation.
struct Apart {
    version: u8,
    kind: u8,
    checksum: u32,
    body: Vec<u8>,
}

fn apart(text: &str) -> Apart {
    let bytes = BASE64URL_NOPAD.decode(text.as_bytes()).expect("base64url without padding");
    let (head, rest) = bytes.split_at(2);
    let ends = rest.iter().position(|byte| *byte < 0x80).expect("a length") + 1;
    let length = rest[..ends].iter().rev().fold(0usize, |sum, byte| sum << 7 | usize::from(byte & 0x7f));
    let (check, body) = rest[ends..].split_first_chunk::<4>().expect("a checksum");
    assert_eq!(body.len(), length, "the length that it says");
    Apart { version: head[0], kind: head[1], checksum: u32::from_le_bytes(*check), body: body.to_vec() }
}

fn together(version: u8, kind: u8, body: &[u8]) -> String {
    let mut bytes = vec![version, kind];
    let mut length = body.len();
    while length >= 0x80 {
        bytes.push(length as u8 | 0x80);
        length >>= 7;
    }
    bytes.push(length as u8);
    bytes.extend(crc(&[&[version, kind], body]).to_le_bytes());
    bytes.extend(body);
    BASE64URL_NOPAD.encode(&bytes)
}

fn crc(parts: &[&[u8]]) -> u32 {
    let mut crc = flate2::Crc::new();
    parts.iter().for_each(|part| crc.update(part));
    crc.sum()
}

fn inflated(body: &[u8]) -> Vec<u8> {
    zune_inflate::DeflateDecoder::new(body).decode_deflate().expect("raw DEFLATE")
}

fn result(recipe: Recipe) -> Shared {
    let mut rng = StdRng::seed_from_u64(3);
    let departures = Departures { points: 12, ..Departures::default() };
    let edge = true_edge(&recipe, &departures, &mut rng);
    let trace = traced(&edge, &departures, &mut rng).trace;
    let wish = Wish::customary(&recipe);
    let title = "Spring class, bench seven".to_owned();
    Shared::Result(Box::new(SharedResult {
        title,
        recipe,
        trace,
        face: Default::default(),
        wish,
        mould: None,
        bench: None,
    }))
}

/// A recipe in full, which no built-in one stands behind.
fn of_ones_own() -> Recipe {
    let mut recipe = built_in::violin();
    recipe.title = "Wide violin of the weir".into();
    recipe.note = "Struck from the bottom upwards, the waist last, and the corners as they fall. ".repeat(8);
    for (k, step) in recipe.steps.iter_mut().enumerate() {
        step.looseness = 1.0 + k as f64 / 8.0;
    }
    recipe
}

/// The vectors of RFC 4648, section 10, and the two characters that only the URL alphabet has (section 5): the reader that
/// the others rest on reads what the standard says.
#[test]
fn the_independent_reader_keeps_to_rfc_4648() {
    for (bytes, text) in [
        ("", ""),
        ("f", "Zg"),
        ("fo", "Zm8"),
        ("foo", "Zm9v"),
        ("foob", "Zm9vYg"),
        ("fooba", "Zm9vYmE"),
        ("foobar", "Zm9vYmFy"),
    ] {
        assert_eq!(BASE64URL_NOPAD.encode(bytes.as_bytes()), text);
    }
    assert_eq!(BASE64URL_NOPAD.decode(b"-_-_").unwrap(), [0xfb, 0xff, 0xbf]);
}

/// CRC-32 of the nine digits, the check value that catalogues of such sums give for it (ISO 3309, RFC 1952).
#[test]
fn the_independent_checksum_has_its_known_check_value() {
    assert_eq!(crc(&[b"123456789"]), 0xcbf4_3926);
}

#[test]
fn a_link_is_read_by_other_readers_of_base64url_crc_and_deflate() {
    let plain = Shared::Recipe(built_in::violin());
    let own = Shared::Recipe(of_ones_own());
    let whole = result(built_in::violin());
    for (shared, kind, says) in
        [(&plain, 0, ""), (&own, 0x10, "Wide violin of the weir"), (&whole, 2, "bench seven")]
    {
        let text = write(shared).unwrap();
        let link = apart(&text);
        assert_eq!((link.version, link.kind & 0x0f), (1, kind & 0x0f));
        assert_eq!(link.checksum, crc(&[&[link.version, link.kind], &link.body]));
        let body = if link.kind & 0x10 == 0 { link.body.clone() } else { inflated(&link.body) };
        assert!(body.windows(says.len().max(1)).any(|w| says.is_empty() || w == says.as_bytes()), "{says}");
        // Put together by the other writers, it is the same link to ours.
        assert_eq!(together(link.version, link.kind, &link.body), text);
        let back = read(&together(link.version, kind & 0x0f, &body));
        assert!(back == Ok(shared.clone().rounded()), "read back otherwise: {says}");
    }
    assert_eq!(apart(&write(&own).unwrap()).kind, 0x10, "one of the three is compressed");
}

/// Those in `tests/links`, of every version: what others take apart and put together again is the very same text.
#[test]
fn saved_links_are_read_by_the_other_readers_too() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("links");
    let mut versions = Vec::new();
    for of_version in std::fs::read_dir(folder).unwrap() {
        for entry in std::fs::read_dir(of_version.unwrap().path()).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_none_or(|ending| ending != "link") {
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let link = apart(text.trim());
            assert_eq!(link.checksum, crc(&[&[link.version, link.kind], &link.body]), "{path:?}");
            let body = if link.kind & 0x10 == 0 { link.body.clone() } else { inflated(&link.body) };
            assert!(!body.is_empty() && body.len() <= EXPANDED_LIMIT, "{path:?}");
            assert_eq!(together(link.version, link.kind, &link.body), text.trim(), "{path:?}");
            // Without the compression it says the same.
            let plain = together(link.version, link.kind & 0x0f, &body);
            assert!(read(&plain) == read(&text), "{path:?}");
            versions.push(link.version);
        }
    }
    assert!(versions.contains(&1) && versions.contains(&2), "{versions:?}");
}

/// RFC 1951, 3.2.4: a block that is only stored is a byte with its three bits, the length, its complement, and the bytes;
/// 3.2.3: a block of the fourth type is an error.
#[test]
fn what_others_compress_by_rfc_1951_is_read_and_what_it_forbids_is_not() {
    let shared = Shared::Recipe(of_ones_own());
    let body = inflated(&apart(&write(&shared).unwrap()).body);
    let mut stored = vec![1];
    stored.extend((body.len() as u16).to_le_bytes());
    stored.extend((!(body.len() as u16)).to_le_bytes());
    stored.extend(&body);
    assert_eq!(read(&together(1, 0x10, &stored)), Ok(shared.clone()));
    for level in [0, 1, 9] {
        use std::io::Write;
        let mut out = flate2::write::DeflateEncoder::new(Vec::new(), flate2::Compression::new(level));
        out.write_all(&body).unwrap();
        assert_eq!(read(&together(1, 0x10, &out.finish().unwrap())), Ok(shared.clone()), "level {level}");
    }
    assert_eq!(read(&together(1, 0x10, &[0b111])), Err(LinkError::Nonsense), "the fourth type");
    stored[3] ^= 1;
    assert_eq!(
        read(&together(1, 0x10, &stored)),
        Err(LinkError::Nonsense),
        "a length that is not its complement"
    );
    stored.truncate(9);
    stored[3] ^= 1;
    assert_eq!(read(&together(1, 0x10, &stored)), Err(LinkError::Nonsense), "a block that breaks off");
}

/// As much as 8000 characters can hold of what expands most: noughts, a thousandth of their length.
#[test]
fn no_link_expands_beyond_64_kib_however_it_was_made() {
    use std::io::Write;
    for length in [EXPANDED_LIMIT + 1, 1 << 20, 5 << 20] {
        let mut out = flate2::write::DeflateEncoder::new(Vec::new(), flate2::Compression::best());
        out.write_all(&vec![0u8; length]).unwrap();
        let body = out.finish().unwrap();
        for version in [1, 2] {
            for kind in [0x10, 0x11, 0x12] {
                let text = together(version, kind, &body);
                assert!(text.len() <= LONGEST_LINK, "a link that is let in: {}", text.len());
                assert_eq!(read(&text), Err(LinkError::ExpandsTooFar), "{length}");
            }
        }
    }
}

/// The symbol as a picture: so many pixels a module, black on white.
fn picture(symbol: &Symbol, scale: usize) -> (usize, Vec<u8>) {
    let across = symbol.across() * scale;
    let dark = |k: usize| (k / scale).checked_sub(QUIET_ZONE);
    let pixels = (0..across * across).map(|k| match (dark(k % across), dark(k / across)) {
        (Some(column), Some(row)) if symbol.is_dark(column, row) => 0,
        _ => 255,
    });
    (across, pixels.collect())
}

fn decoded(symbol: &Symbol) -> String {
    let (across, pixels) = picture(symbol, 4);
    let mut image =
        rqrr::PreparedImage::prepare_from_greyscale(across, across, |x, y| pixels[y * across + x]);
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1, "one symbol of {} modules", symbol.side());
    grids[0].decode().expect("a symbol that can be read").1
}

/// The symbol is read by a reader of QR symbols (ISO/IEC 18004) that has nothing in common with what made it: a few
/// modules or all there can be.
#[test]
fn another_reader_reads_the_symbol_of_every_size() {
    let page = "https://recipes.example.org/ribline/";
    let link = |shared: &Shared| address::link(page, &write(shared).unwrap()).unwrap();
    let mut sides = Vec::new();
    let long = format!("{page}#r={}", "Zm9v-_".repeat((LONGEST - page.len() - 3) / 6));
    for text in [
        link(&Shared::Recipe(built_in::violin())),
        link(&Shared::Recipe(of_ones_own())),
        link(&result(built_in::viola())),
        long,
    ] {
        let symbol = Symbol::of(&text).unwrap();
        assert_eq!(decoded(&symbol), text);
        sides.push(symbol.side());
    }
    assert!(sides[0] < 40 && sides[3] > 160, "small and large: {sides:?}");
    assert!(Symbol::of(&"x".repeat(LONGEST + 1)).is_err());
}

#[test]
fn a_trace_without_points_and_a_recipe_in_mm_are_shared_like_any_other() {
    let mut recipe = built_in::viola();
    recipe.measures[0].size = Size::Mm(0.1 + 0.2);
    let Shared::Result(result) = result(built_in::violin()) else { unreachable!() };
    let empty = Trace { points: Vec::new(), pins: Pins::default() };
    let shared = Shared::Result(Box::new(SharedResult { recipe, trace: empty, ..*result }));
    assert_eq!(read(&write(&shared).unwrap()), Ok(shared));
}
