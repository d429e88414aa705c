//! Numbers as makers type and read them: decimal point or comma, as the language has it.

use crate::words::words;
use ribline_geometry::decimal;

/// Exactly so since 1959: the international inch.
pub const MM_PER_INCH: f64 = 25.4;

/// What a field accepts, in the field's own unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Within {
    pub least: f64,
    pub most: f64,
}

impl Within {
    pub const fn new(least: f64, most: f64) -> Self {
        Within { least, most }
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NumberError {
    Empty,
    NotANumber,
    Outside(Within),
}

/// Reads `2.6`, `2,6`, ` 2.6 mm` or `-3`; thousands separators are not guessed at.
pub fn read_number(text: &str, within: Within) -> Result<f64, NumberError> {
    let bare = text.trim().trim_end_matches("mm").trim_end_matches('°').trim();
    if bare.is_empty() {
        return Err(NumberError::Empty);
    }
    let plain = bare.replace(',', ".").replace('\u{2212}', "-");
    let written = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+');
    let number = decimal::read(&plain)
        .filter(|n| n.is_finite() && plain.chars().all(written))
        .ok_or(NumberError::NotANumber)?;
    if (within.least..=within.most).contains(&number) {
        Ok(number)
    } else {
        Err(NumberError::Outside(within))
    }
}

/// A figure with a fixed number of decimals, in the language's own way, with a true minus.
pub fn figure(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let nought = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    let (minus, digits) = match text.strip_prefix('-') {
        Some(digits) => (if nought { "" } else { "\u{2212}" }, digits),
        None => ("", text.as_str()),
    };
    let point = words().decimal_point;
    if point == "." { format!("{minus}{digits}") } else { format!("{minus}{}", digits.replace('.', point)) }
}

/// A figure always with its sign, for differences.
pub fn difference(value: f64, decimals: usize) -> String {
    let text = figure(value, decimals);
    let nought = text.chars().all(|c| matches!(c, '0' | '.' | ','));
    if text.starts_with('\u{2212}') || nought { text } else { format!("+{text}") }
}

/// By how much one figure is more than another, of the two as they are shown: a reader who subtracts them finds the same.
pub fn difference_shown(more: f64, less: f64, decimals: usize) -> String {
    let shown = |value: f64| decimal::read(&format!("{value:.decimals$}")).unwrap_or(value);
    difference(shown(more) - shown(less), decimals)
}

/// As many decimals as the value has, up to `most`: what an input shows.
pub fn entered(value: f64, most: usize) -> String {
    let text = figure(value, most);
    let point = words().decimal_point;
    if text.contains(point) { text.trim_end_matches('0').trim_end_matches(point).to_string() } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    const ANY: Within = Within::new(-1000.0, 1000.0);

    #[test]
    fn decimal_comma_and_point_are_read_alike() {
        assert_eq!(read_number("2,6", ANY), Ok(2.6));
        assert_eq!(read_number(" 2.6 mm", ANY), Ok(2.6));
        assert_eq!(read_number("-12", ANY), Ok(-12.0));
    }

    #[test]
    fn what_is_not_one_number_is_refused() {
        for text in ["2.6.1", "two", "1e3", "inf", "NaN", "1,234.5", "0x10", "--2"] {
            assert_eq!(read_number(text, ANY), Err(NumberError::NotANumber), "{text}");
        }
        assert_eq!(read_number("  ", ANY), Err(NumberError::Empty));
    }

    #[test]
    fn a_number_outside_is_refused_with_the_bounds() {
        let within = Within::new(0.0, 15.0);
        assert_eq!(read_number("15.1", within), Err(NumberError::Outside(within)));
        assert_eq!(read_number("15", within), Ok(15.0));
    }

    #[test]
    fn figures_have_a_true_minus_and_no_minus_nought() {
        assert_eq!(figure(-0.04, 1), "0.0");
        assert_eq!(figure(-1.25, 2), "\u{2212}1.25");
        assert_eq!(difference(0.3, 1), "+0.3");
        assert_eq!(difference(0.01, 1), "0.0");
        assert_eq!(difference_shown(203.351, 202.449, 1), "+1.0");
        assert_eq!(difference_shown(202.44, 202.36, 1), "0.0");
        assert_eq!(difference_shown(9.96, 10.14, 1), "\u{2212}0.1");
        assert_eq!(entered(2.50, 3), "2.5");
        assert_eq!(entered(355.0, 2), "355");
    }
}
