//! How one result is told from another: by a letter, by the dashes of its line and by its colour.

/// Sets of dashes, in screen pixels; of the second half of the letters the lines are broader.
const DASHES: [&str; 6] = ["none", "9 4", "2.5 3.5", "12 3 2.5 3", "5 3", "14 3 2.5 3 2.5 3"];
/// Colours, as the style sheet numbers them.
const COLOURS: usize = 6;

/// A, B, C and so on; after Z, A2.
pub fn letter(place: usize) -> String {
    let letter = char::from(b'A' + (place % 26) as u8);
    if place < 26 { letter.to_string() } else { format!("{letter}{}", place / 26 + 1) }
}

/// The attributes of a result's line.
pub fn class(place: usize) -> String {
    let broad = if place / DASHES.len() % 2 == 1 { " broad" } else { "" };
    format!("of-class colour-{}{broad}", (place + place / COLOURS) % COLOURS)
}

pub fn dashes(place: usize) -> &'static str {
    DASHES[place % DASHES.len()]
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn a_dozen_results_are_told_apart_without_colour() {
        let broad = |place| class(place).contains("broad");
        for one in 0..12 {
            for other in 0..one {
                assert_ne!((dashes(one), broad(one)), (dashes(other), broad(other)), "{one} {other}");
                assert_ne!(letter(one), letter(other));
            }
        }
        assert_eq!((&*letter(0), &*letter(27)), ("A", "B2"));
    }
}
