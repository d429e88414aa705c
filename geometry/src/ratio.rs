//! Simple ratios: a whole number over a whole number, as one steps them off with dividers.

use std::fmt;
use std::str::FromStr;

/// The largest term a ratio may have. Beyond this nobody divides a line by stepping, and the
/// difference from one ratio to the next is far below a compass's setting.
pub const LARGEST_TERM: u16 = 999;

/// A ratio of two whole numbers in lowest terms, both from 1 to [`LARGEST_TERM`].
///
/// ```
/// use ribline_geometry::ratio::Ratio;
/// let ratio: Ratio = "6/8".parse().unwrap();
/// assert_eq!(ratio, Ratio::new(3, 4).unwrap());
/// assert_eq!(ratio.to_string(), "3/4");
/// assert_eq!(ratio.of(200.0), 150.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ratio {
    over: u16,
    under: u16,
}

/// Why a text or pair of numbers is not a ratio.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RatioError {
    #[error("a ratio is one whole number over another, such as 3/4; \"{0}\" is not")]
    NotARatio(String),
    #[error("both terms of a ratio go from 1 to {LARGEST_TERM}; {0}/{1} does not")]
    TermOutOfRange(u32, u32),
}

fn greatest_common_divisor(a: u16, b: u16) -> u16 {
    if b == 0 { a } else { greatest_common_divisor(b, a % b) }
}

impl Ratio {
    pub const ONE: Ratio = Ratio { over: 1, under: 1 };

    /// # Errors
    /// [`RatioError::TermOutOfRange`] when a term is 0 or above [`LARGEST_TERM`].
    pub fn new(over: u16, under: u16) -> Result<Self, RatioError> {
        let good = 1..=LARGEST_TERM;
        if !good.contains(&over) || !good.contains(&under) {
            return Err(RatioError::TermOutOfRange(over.into(), under.into()));
        }
        let divisor = greatest_common_divisor(over, under);
        Ok(Ratio { over: over / divisor, under: under / divisor })
    }

    /// The upper term, in lowest terms.
    pub fn over(self) -> u16 {
        self.over
    }

    /// The lower term, in lowest terms.
    pub fn under(self) -> u16 {
        self.under
    }

    pub fn value(self) -> f64 {
        f64::from(self.over) / f64::from(self.under)
    }

    /// This part of a length.
    pub fn of(self, length: f64) -> f64 {
        length * f64::from(self.over) / f64::from(self.under)
    }

    /// The larger of the two terms: how finely something has to be divided to get this ratio.
    pub fn largest_term(self) -> u16 {
        self.over.max(self.under)
    }

    /// Every ratio with both terms up to `largest` and a value within `low..=high`, simplest
    /// (smallest largest term) first, then by value. `largest` is capped at 64.
    pub fn simple_between(low: f64, high: f64, largest: u16) -> Vec<Ratio> {
        let mut found = Vec::new();
        for top in 1..=largest.min(64) {
            for other in 1..=top {
                if greatest_common_divisor(top, other) != 1 {
                    continue;
                }
                let pair = [Ratio { over: other, under: top }, Ratio { over: top, under: other }];
                let distinct = if top == other { &pair[..1] } else { &pair[..] };
                found.extend(distinct.iter().filter(|r| (low..=high).contains(&r.value())));
            }
        }
        found
    }

    /// The simplest ratios that are this part of the whole to within a hundredth, simplest first; with none so near, the
    /// nearest within a twentieth. At most three.
    ///
    /// ```
    /// use ribline_geometry::ratio::Ratio;
    /// assert_eq!(Ratio::near(203.0, 355.0)[0].to_string(), "4/7");
    /// ```
    pub fn near(part: f64, whole: f64) -> Vec<Ratio> {
        let value = part / whole;
        let within = |off: f64| Ratio::simple_between(value * (1.0 - off), value * (1.0 + off), 40);
        let mut found = within(0.01);
        if found.is_empty() {
            found = within(0.05);
        }
        found.truncate(3);
        found
    }
}

impl fmt::Display for Ratio {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.under == 1 { write!(f, "{}", self.over) } else { write!(f, "{}/{}", self.over, self.under) }
    }
}

impl FromStr for Ratio {
    type Err = RatioError;

    /// Reads `3/4`, `3:4` or a whole number.
    fn from_str(text: &str) -> Result<Self, RatioError> {
        let not_one = || RatioError::NotARatio(text.chars().take(40).collect());
        let (over, under) = text.split_once(['/', ':']).unwrap_or((text, "1"));
        let term = |s: &str| s.trim().parse::<u32>().map_err(|_| not_one());
        let (over, under) = (term(over)?, term(under)?);
        match (u16::try_from(over), u16::try_from(under)) {
            (Ok(o), Ok(u)) => Ratio::new(o, u),
            _ => Err(RatioError::TermOutOfRange(over, under)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// OEIS A005728: the number of terms of the Farey sequence, 0/1 included.
    #[test]
    fn simple_ratios_up_to_one_are_the_farey_sequence() {
        for (n, terms) in [(1, 2), (2, 3), (3, 5), (4, 7), (5, 11), (6, 13), (7, 19), (8, 23)] {
            assert_eq!(Ratio::simple_between(0.0, 1.0, n).len() + 1, terms, "F_{n}");
        }
    }

    #[test]
    fn a_ratio_is_kept_in_lowest_terms() {
        assert_eq!(Ratio::new(10, 4), Ratio::new(5, 2));
        assert_eq!("5:2".parse(), Ratio::new(5, 2));
    }

    #[test]
    fn terms_of_nought_or_a_thousand_are_refused() {
        assert_eq!("0/4".parse::<Ratio>(), Err(RatioError::TermOutOfRange(0, 4)));
        assert!("4/1000".parse::<Ratio>().is_err());
        assert!("4/99999999999".parse::<Ratio>().is_err());
        assert!("three quarters".parse::<Ratio>().is_err());
    }

    #[test]
    fn near_ratios_are_near_and_simple() {
        for part in [0.001, 1.0, 59.9, 206.0, 355.0, 1e4] {
            for ratio in Ratio::near(part, 355.0) {
                assert!((ratio.value() * 355.0 / part - 1.0).abs() <= 0.05);
            }
        }
        assert!(Ratio::near(f64::NAN, 355.0).is_empty());
        assert!(Ratio::near(1.0, 0.0).is_empty());
    }
}
