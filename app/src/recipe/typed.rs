//! Sizes as makers type them.

use crate::number::{Within, read_number};
use ribline_geometry::ratio::Ratio;

/// What was typed for a size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Typed {
    Ratio(Ratio),
    Mm(f64),
}

/// Reads `3/4`, `3:4` or a small whole number as a ratio; a number with decimals or `mm`, or one larger than any ratio in
/// use, as a length.
pub fn read_size(text: &str) -> Option<Typed> {
    if let Ok(ratio) = text.parse::<Ratio>()
        && (text.contains(['/', ':']) || ratio.over() < 10)
    {
        return Some(Typed::Ratio(ratio));
    }
    read_number(text, Within::new(0.01, 50_000.0)).ok().map(Typed::Mm)
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn ratios_and_lengths_are_told_apart() {
        let ratio = |text: &str| Some(Typed::Ratio(text.parse().expect("a ratio")));
        assert_eq!(read_size(" 3 : 4"), ratio("3/4"));
        assert_eq!(read_size("2"), ratio("2"));
        assert_eq!(read_size("206"), Some(Typed::Mm(206.0)));
        assert_eq!(read_size("12,5"), Some(Typed::Mm(12.5)));
        assert_eq!(read_size("5 mm"), Some(Typed::Mm(5.0)));
        for none in ["", "three quarters", "3/0", "3/4/5", "-3", "0"] {
            assert_eq!(read_size(none), None, "{none}");
        }
    }
}
