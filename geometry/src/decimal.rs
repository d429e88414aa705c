//! Reading decimal numbers, correctly rounded.
//!
//! The standard library's reader is faster by a table of powers of five that is hardly smaller compressed, and would be a thirtieth
//! of the page's download. Here a number of common length takes one exact multiplication or division, and any other is found by comparing
//! whole numbers of as many digits as it takes. Source: W. D. Clinger, "How to Read Floating Point Numbers Accurately", 1990.

use std::cmp::Ordering;

/// No more digits than these can make a difference: halfway between two numbers lies one of at most 767.
const MOST_DIGITS: usize = 780;

/// Reads `12`, `-0.5`, `.5`, `5.`, `+2e-3`. `None` where it is no number; what is too large is infinite.
///
/// ```
/// use ribline_geometry::decimal::read;
/// assert_eq!(read("-12.5"), Some(-12.5));
/// assert_eq!(read("1e400"), Some(f64::INFINITY));
/// assert_eq!(read("12 mm"), None);
/// ```
pub fn read(text: &str) -> Option<f64> {
    let (sign, bare) = match text.as_bytes() {
        [b'-', bare @ ..] => (-1.0, bare),
        [b'+', bare @ ..] => (1.0, bare),
        bare => (1.0, bare),
    };
    Decimal::of(bare).map(|decimal| sign * decimal.value())
}

/// `digits` is a whole number, to be multiplied by ten to the power `exponent`.
struct Decimal {
    /// The first is not nought, unless there is none.
    digits: Vec<u8>,
    exponent: i64,
}

impl Decimal {
    fn of(text: &[u8]) -> Option<Decimal> {
        let mut digits = Vec::new();
        let mut exponent = 0i64;
        let (mut any, mut in_fraction, mut cut) = (false, false, false);
        let mut rest = text;
        while let [byte, following @ ..] = rest {
            match byte {
                b'0'..=b'9' => {
                    any = true;
                    if digits.len() < MOST_DIGITS {
                        if !digits.is_empty() || *byte != b'0' {
                            digits.push(byte - b'0');
                        }
                        exponent -= i64::from(in_fraction);
                    } else {
                        cut |= *byte != b'0';
                        exponent += i64::from(!in_fraction);
                    }
                }
                b'.' if !in_fraction => in_fraction = true,
                b'e' | b'E' => {
                    exponent = exponent.saturating_add(whole(following)?);
                    rest = &[];
                    break;
                }
                _ => return None,
            }
            rest = following;
        }
        debug_assert!(rest.is_empty());
        if cut {
            // Stands for all that was cut off, which is more than nought.
            digits.push(1);
            exponent -= 1;
        }
        any.then_some(Decimal { digits, exponent })
    }

    fn value(&self) -> f64 {
        // The number of digits before the decimal point.
        let before = self.exponent.saturating_add(self.digits.len() as i64);
        if self.digits.is_empty() || before < -330 {
            return 0.0;
        }
        if before > 310 {
            return f64::INFINITY;
        }
        let leading = self.digits.iter().take(19).fold(0u64, |sum, digit| 10 * sum + u64::from(*digit));
        let exponent = before - self.digits.len().min(19) as i64;
        let mut near = leading as f64;
        // Ten to the power 22 is the largest that is exact.
        let mut left = exponent.unsigned_abs();
        while left > 0 {
            let step = left.min(22);
            let power = (0..step).fold(1.0, |power, _| 10.0 * power);
            near = if exponent < 0 { near / power } else { near * power };
            left -= step;
        }
        // Both of them exact, and so rounded but once.
        if self.digits.len() <= 15 && exponent.abs() <= 22 {
            return near;
        }
        self.nearest(near.min(f64::MAX))
    }

    /// The nearest number, of two as near the even one, found from one close by.
    fn nearest(&self, mut at: f64) -> f64 {
        let even = |number: f64| number.to_bits() & 1 == 0;
        loop {
            match self.beside_the_middle_above(at) {
                Ordering::Greater if at == f64::MAX => return f64::INFINITY,
                Ordering::Equal if at == f64::MAX => return f64::INFINITY,
                Ordering::Equal => return if even(at) { at } else { at.next_up() },
                Ordering::Greater => {
                    at = at.next_up();
                    continue;
                }
                Ordering::Less if at == 0.0 => return at,
                Ordering::Less => {}
            }
            let below = at.next_down();
            match self.beside_the_middle_above(below) {
                Ordering::Greater => return at,
                Ordering::Equal => return if even(below) { below } else { at },
                Ordering::Less => at = below,
            }
        }
    }

    /// On which side of halfway from a number to the next larger one this lies.
    fn beside_the_middle_above(&self, number: f64) -> Ordering {
        let bits = number.to_bits();
        let (high, fraction) = ((bits >> 52) as i64, bits & ((1 << 52) - 1));
        // A number is its whole part times two to the power; the smallest have no leading one.
        let (whole, power) = if high == 0 { (fraction, -1074) } else { (fraction | 1 << 52, high - 1075) };
        let doubled = 2 * whole + 1;
        let mut middle = Whole(vec![doubled as u32, (doubled >> 32) as u32]);
        let mut this = Whole::default();
        for digit in &self.digits {
            this.times_plus(10, (*digit).into());
        }
        // Negative powers of the one are put on the other.
        let tenfold = if self.exponent < 0 { &mut middle } else { &mut this };
        tenfold.times_power(10, self.exponent.unsigned_abs());
        let twofold = if power < 1 { &mut this } else { &mut middle };
        twofold.times_power(2, (power - 1).unsigned_abs());
        this.compared(&middle)
    }
}

fn whole(text: &[u8]) -> Option<i64> {
    let (sign, digits) = match text {
        [b'-', digits @ ..] => (-1, digits),
        [b'+', digits @ ..] => (1, digits),
        digits => (1, digits),
    };
    let number = digits.iter().try_fold(0i64, |sum, byte| {
        byte.is_ascii_digit().then(|| sum.saturating_mul(10).saturating_add((byte - b'0').into()))
    });
    number.filter(|_| !digits.is_empty()).map(|number| sign * number)
}

/// A whole number of any size: 32 bits to a part, the lowest first.
#[derive(Default)]
struct Whole(Vec<u32>);

impl Whole {
    fn times_plus(&mut self, factor: u32, plus: u32) {
        let mut carry = u64::from(plus);
        for part in &mut self.0 {
            carry += u64::from(*part) * u64::from(factor);
            *part = carry as u32;
            carry >>= 32;
        }
        if carry > 0 {
            self.0.push(carry as u32);
        }
    }

    fn times_power(&mut self, base: u32, power: u64) {
        (0..power).for_each(|_| self.times_plus(base, 0));
    }

    fn compared(&self, other: &Whole) -> Ordering {
        let of = |parts: &[u32]| parts.iter().rposition(|part| *part != 0).map_or(0, |last| last + 1);
        let (ours, theirs) = (&self.0[..of(&self.0)], &other.0[..of(&other.0)]);
        ours.len().cmp(&theirs.len()).then_with(|| ours.iter().rev().cmp(theirs.iter().rev()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn as_the_standard_library(text: &str) -> Result<(), TestCaseError> {
        let expected = text.parse::<f64>().ok();
        prop_assert_eq!(read(text).map(f64::to_bits), expected.map(f64::to_bits), "{}", text);
        Ok(())
    }

    #[test]
    fn halfway_cases_and_the_ends_of_the_range_are_read_as_by_the_standard_library() {
        for text in [
            "0",
            "-0",
            "0e999999999999999999999",
            "1e-999999999999999999999",
            "1e999999999999999999999",
            "9007199254740993",
            "9007199254740993.00000000000000000000000000000001",
            "9007199254740992.99999999999999999999999999999999",
            "1.7976931348623157e308",
            "1.7976931348623158e308",
            "1.7976931348623159e308",
            "2.2250738585072011e-308",
            "2.2250738585072014e-308",
            "4.9e-324",
            "2.4703282292062327e-324",
            "2.4703282292062328e-324",
            "2e-324",
            "179769313486231580793e289",
            "8.5e22",
            "1e23",
            "9e22",
            "123456789012345e22",
            "",
            ".",
            "-",
            "+",
            "e5",
            ".e5",
            "5e",
            "5e+",
            "1..2",
            "1e5.0",
            "12a",
            "--2",
            "inf",
            "NaN",
            " 1",
            "5.",
            ".5",
            "00.50",
            "+5",
        ] {
            let expected =
                text.parse::<f64>().ok().filter(|number| number.is_finite() || !text.contains(['i', 'N']));
            assert_eq!(read(text).map(f64::to_bits), expected.map(f64::to_bits), "{text}");
        }
        // Exactly half of the smallest number, in all its 751 digits, and a little more.
        let half = format!("{:.1075}", f64::from_bits(1)).replace("4.94", "2.47");
        as_the_standard_library(&half).unwrap();
        let exact = format!("{:.1200}", f64::from_bits(3));
        as_the_standard_library(&exact).unwrap();
        as_the_standard_library(&format!("{exact}1")).unwrap();
        as_the_standard_library(&format!("1{}", "0".repeat(300))).unwrap();
        as_the_standard_library(&format!("0.{}1", "0".repeat(5000))).unwrap();
        as_the_standard_library(&format!("{}e-1000", "9".repeat(1200))).unwrap();
    }

    proptest! {
        #[test]
        fn any_number_is_read_as_by_the_standard_library(number in any::<f64>().prop_filter("finite", |n| n.is_finite())) {
            as_the_standard_library(&format!("{number}"))?;
            as_the_standard_library(&format!("{number:e}"))?;
            as_the_standard_library(&format!("{number:.3}"))?;
            as_the_standard_library(&format!("{number:.20e}"))?;
        }

        #[test]
        fn what_lies_between_two_numbers_is_rounded_as_by_the_standard_library(bits in any::<u64>(), nudge in "[0-9]{0,3}") {
            let number = f64::from_bits(bits >> 1);
            let above = number.next_up();
            prop_assume!(above.is_finite());
            // The exact middle is a number of one bit more: as the sum of two halves written in full.
            let middle = format!("{:.1080}", number / 2.0 + above / 2.0);
            as_the_standard_library(&middle)?;
            as_the_standard_library(&format!("{middle}{nudge}"))?;
            let digits = format!("{number:.17e}");
            as_the_standard_library(&digits.replace('e', &format!("{nudge}5e")))?;
        }

        #[test]
        fn lengths_are_read_as_by_the_standard_library(text in "[+-]?[0-9]{0,4}\\.?[0-9]{0,25}(e[+-]?[0-9]{1,3})?") {
            as_the_standard_library(&text)?;
        }
    }
}
