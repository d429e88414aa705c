//! A length as makers write it: millimetres with either decimal mark, or inches in decimals and fractions.

use crate::number::{MM_PER_INCH, entered};
use ribline_geometry::decimal;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    Millimetres,
    Inches,
}

/// Why something that was typed is no length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoLength {
    NoNumber,
    /// What stands beside a whole is a whole or more itself, as in `3 4/3`: one of its figures is mistyped.
    NoFraction,
}

/// In mm. A unit that is written after the number counts before `unit`. Fractions are read in inches only: nobody halves a
/// millimetre in writing.
///
/// # Errors
/// What is no length.
pub fn read_length(text: &str, unit: Unit) -> Result<f64, NoLength> {
    let text = text.trim().replace('\u{2212}', "-").replace(['\u{2033}', '\u{201D}'], "\"");
    let (bare, unit) = if let Some(bare) = text.strip_suffix("mm") {
        (bare, Unit::Millimetres)
    } else if let Some(bare) = text.strip_suffix('"').or(text.strip_suffix("in")) {
        (bare, Unit::Inches)
    } else {
        (text.as_str(), unit)
    };
    match unit {
        Unit::Millimetres => plain(bare).ok_or(NoLength::NoNumber),
        Unit::Inches => inches(bare).map(|inches| inches * MM_PER_INCH),
    }
}

/// Inches as a rule has them: in fractions down to sixty-fourths, or else in decimals.
pub fn written_inches(inches: f64) -> String {
    if inches < 0.0 {
        return format!("\u{2212}{}", written_inches(-inches));
    }
    let (mut over, mut under) = ((inches * 64.0).round(), 64.0);
    if (over / 64.0 - inches).abs() > 1e-6 {
        return entered(inches, 3);
    }
    while under > 1.0 && over % 2.0 == 0.0 {
        (over, under) = (over / 2.0, under / 2.0);
    }
    let (whole, rest) = ((over / under).trunc(), over % under);
    match (whole == 0.0, rest == 0.0) {
        (_, true) => entered(whole, 0),
        (true, false) => format!("{}/{}", entered(rest, 0), entered(under, 0)),
        (false, false) => format!("{} {}/{}", entered(whole, 0), entered(rest, 0), entered(under, 0)),
    }
}

fn plain(text: &str) -> Option<f64> {
    let text = text.trim();
    let written = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-');
    if !text.chars().all(written) {
        return None;
    }
    decimal::read(&text.replace(',', ".")).filter(|value| value.is_finite())
}

/// `3 1/4`, `3-1/4`, `1/4`, `3.25`; also with the fractions that have a sign of their own.
fn inches(text: &str) -> Result<f64, NoLength> {
    let mut text = text.trim().to_owned();
    for (sign, written) in [('\u{BC}', " 1/4"), ('\u{BD}', " 1/2"), ('\u{BE}', " 3/4")] {
        text = text.replace(sign, written);
    }
    let text = text.trim();
    let Some((before, under)) = text.split_once('/') else { return plain(text).ok_or(NoLength::NoNumber) };
    let (sign, before) = before.strip_prefix('-').map_or((1.0, before), |rest| (-1.0, rest));
    let before = before.trim();
    let (whole, over) = match before.rsplit_once([' ', '-']) {
        Some((whole, over)) if !whole.trim().is_empty() => {
            (Some(plain(whole).filter(|whole| *whole >= 0.0).ok_or(NoLength::NoNumber)?), over)
        }
        _ => (None, before),
    };
    let term = |text: &str| text.trim().parse::<u16>().ok().filter(|term| *term > 0);
    let fraction = term(over)
        .zip(term(under))
        .map(|(over, under)| f64::from(over) / f64::from(under))
        .filter(|fraction| *fraction < 1000.0)
        .ok_or(NoLength::NoNumber)?;
    match whole {
        Some(_) if fraction >= 1.0 => Err(NoLength::NoFraction),
        whole => Ok(sign * (whole.unwrap_or(0.0) + fraction)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn lengths_are_read_as_they_are_written_at_the_bench() {
        for (text, unit, mm) in [
            ("103.4", Unit::Millimetres, 103.4),
            (" 103,4 mm", Unit::Inches, 103.4),
            ("3 1/4", Unit::Inches, 82.55),
            ("3-1/4\"", Unit::Millimetres, 82.55),
            ("3\u{BC}", Unit::Inches, 82.55),
            ("\u{BD} in", Unit::Millimetres, 12.7),
            ("5/8", Unit::Inches, 15.875),
            ("3,25", Unit::Inches, 82.55),
        ] {
            let read = read_length(text, unit).unwrap();
            assert!((read - mm).abs() < 1e-9, "{text}: {read}");
        }
    }

    #[test]
    fn inches_are_written_as_a_rule_has_them_and_read_again() {
        for (inches, text) in [(0.5, "1/2"), (1.5, "1 1/2"), (3.0, "3"), (2.046875, "2 3/64"), (0.3, "0.3")] {
            assert_eq!(written_inches(inches), text);
            assert!((read_length(text, Unit::Inches).unwrap() - inches * 25.4).abs() < 1e-9);
        }
    }

    #[test]
    fn what_is_no_length_is_none() {
        for text in ["", "x", "3 1/0", "1/2/3", "3 1/4", "1e3", "--3", "/4", "3/"] {
            assert_eq!(read_length(text, Unit::Millimetres), Err(NoLength::NoNumber), "{text}");
        }
        for text in ["3 1/0", "1/2/3", "/4", "3/", "a 1/4"] {
            assert_eq!(read_length(text, Unit::Inches), Err(NoLength::NoNumber), "{text}");
        }
    }

    #[test]
    fn a_fraction_beside_a_whole_is_less_than_one() {
        for text in ["3 4/3", "3-4/3", "3 4/4", "-3 4/3"] {
            assert_eq!(read_length(text, Unit::Inches), Err(NoLength::NoFraction), "{text}");
        }
        assert_eq!(read_length("5/4", Unit::Inches), Ok(31.75));
        assert_eq!(read_length("-3 3/4", Unit::Inches), Ok(-95.25));
    }
}
