//! Words that recipes are full of. A link names them by their place here, so this list never changes: version 1 of
//! the coding is what it is because of it.

pub(super) const WORDS: [&str; 104] = [
    // The recipe file.
    "format",
    "ribline-recipe",
    "version",
    "title",
    "author",
    "note",
    "instrument",
    "purpose",
    "measures",
    "steps",
    "outline",
    "customary",
    // Its measures and steps.
    "name",
    "size",
    "choices",
    "looseness_mm",
    "dimension",
    "mm",
    "point",
    "circle",
    "up",
    "out",
    "radius",
    "centre",
    "touches",
    "through",
    "centre_on",
    "lies",
    "cross_line_at",
    "centreline",
    "inside",
    "outside",
    "neck",
    "bottom",
    "in",
    // Its outline and what is customary.
    "lower",
    "waist",
    "upper",
    "lower_corner",
    "upper_corner",
    "overhang_mm",
    "overhang_tolerance_mm",
    "corner_width_mm",
    "purfling_distance_mm",
    "purfling_width_mm",
    // What fields can say.
    "violin",
    "viola",
    "cello",
    "viol",
    "plate-edge",
    "mould",
    "body-length",
    "lower-width",
    "waist-width",
    "upper-width",
    // What recipes mostly call things.
    "L",
    "W",
    "U",
    "C",
    "body length",
    "lower width",
    "upper width",
    "waist width",
    "top",
    "widest lower",
    "widest upper",
    "lower corner",
    "upper corner",
    "lower 1",
    "lower 2",
    "lower 3",
    "lower 4",
    "lower 5",
    "waist 1",
    "waist 2",
    "waist 3",
    "upper 1",
    "upper 2",
    "upper 3",
    "upper 4",
    "upper 5",
    // The face, and what is wished for.
    "face",
    "plate",
    "back",
    "front",
    "wish",
    "traced",
    "ribs",
    "purfling",
    "edge",
    "overhang",
    "tolerance",
    "purfling_distance",
    "finish",
    "fitted",
    "ratio",
    "recipe",
    "radii",
    "shared",
    "each-side",
    "extra_arcs",
    "corners",
    "cut",
    "lean",
];

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    /// Links that are out in the world name words by their place.
    #[test]
    fn the_words_of_version_one_never_change() {
        let all = WORDS.join("\n");
        let checksum = crc::Crc::<u32>::new(&crc::CRC_32_ISO_HDLC).checksum(all.as_bytes());
        assert_eq!((WORDS.len(), checksum), (104, 2_666_413_740), "put the words back as they were");
    }

    #[test]
    fn no_word_is_there_twice() {
        assert_eq!(WORDS.iter().collect::<BTreeSet<_>>().len(), WORDS.len());
    }
}
