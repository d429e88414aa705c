//! Reading a length as a simple ratio, and how little that may mean.

use super::report::Standing;
use crate::order::sort_values;
use crate::ratio::Ratio;

/// Half of the 95 % interval of a normal distribution, in standard deviations: what a length may be read as.
pub(super) const INTERVAL: f64 = 1.96;
/// A radius is held at a ratio within this many standard deviations of it where there is one: to move a radius by more would
/// move the edge by more than the ribs leave open, and with thirteen radii it adds up.
pub(super) const HELD: f64 = 1.0;
/// A compass is not set more closely than this, mm; an interval is never narrower.
const COMPASS: f64 = 0.1;
/// Terms up to here are looked at first, for they can be stepped off with dividers; then up to the second.
const SMALL_TERM: u16 = 12;
const LARGE_TERM: u16 = 36;
/// A random length is taken to lie anywhere within this factor of the one found.
const SPREAD: f64 = 1.5;

/// A quotient of two lengths, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Quotient {
    /// Natural logarithm of the quotient.
    pub log: f64,
    /// Its standard deviation.
    pub sd: f64,
    /// The length above the line, mm; decides how far a compass resolves it.
    pub length: f64,
}

impl Quotient {
    /// Half the interval of so many standard deviations, as a logarithm.
    fn reach(&self, deviations: f64) -> f64 {
        (deviations * self.sd).max(COMPASS / self.length.max(1.0)).min(0.4)
    }
}

/// The ratio chosen for a quotient: the recipe's own if it lies within so many standard deviations, else the nearest of the
/// author's choices that does, else the one of smallest terms that does.
pub(super) fn read_ratio(
    quotient: Quotient,
    planned: Option<Ratio>,
    choices: &[Ratio],
    deviations: f64,
) -> Option<(Ratio, Standing)> {
    if !quotient.log.is_finite() || !quotient.sd.is_finite() {
        return None;
    }
    let reach = quotient.reach(deviations);
    let off = |ratio: Ratio| (ratio.value().ln() - quotient.log).abs();
    if let Some(planned) = planned.filter(|r| off(*r) <= reach) {
        return Some((planned, Standing::Planned));
    }
    let allowed =
        choices.iter().copied().filter(|r| off(*r) <= reach).min_by(|a, b| off(*a).total_cmp(&off(*b)));
    if let Some(allowed) = allowed {
        return Some((allowed, Standing::Allowed));
    }
    let (low, high) = ((quotient.log - reach).exp(), (quotient.log + reach).exp());
    let simplest = [SMALL_TERM, LARGE_TERM].into_iter().find_map(|largest| {
        let found = Ratio::simple_between(low, high, largest);
        let least = found.first()?.largest_term();
        found.into_iter().take_while(|r| r.largest_term() == least).min_by(|a, b| off(*a).total_cmp(&off(*b)))
    });
    let nearest = || {
        Ratio::simple_between(0.9 * low, 1.1 * high, LARGE_TERM)
            .into_iter()
            .min_by(|a, b| off(*a).total_cmp(&off(*b)))
    };
    simplest.or_else(nearest).map(|ratio| (ratio, Standing::Other))
}

/// The chance that a random length of this uncertainty would be matched at least as well by a ratio of terms no larger:
/// the part of the line of logarithms, within a factor of [`SPREAD`] either way, that is covered by the
/// intervals about all such ratios. Near 1 the match says nothing.
pub(super) fn chance_of_match(quotient: Quotient, ratio: Ratio) -> f64 {
    let reach = quotient.reach(INTERVAL).max((ratio.value().ln() - quotient.log).abs());
    let (low, high) = (quotient.log - SPREAD.ln(), quotient.log + SPREAD.ln());
    let mut values: Vec<f64> =
        Ratio::simple_between((low - reach).exp(), (high + reach).exp(), ratio.largest_term())
            .into_iter()
            .map(|r| r.value().ln())
            .collect();
    sort_values(&mut values);
    let mut covered = 0.0;
    let mut upto = low;
    for value in values {
        let (from, to) = ((value - reach).max(upto), (value + reach).min(high));
        if to > from {
            covered += to - from;
            upto = to;
        }
    }
    (covered / (high - low)).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn quotient(value: f64, sd: f64) -> Quotient {
        Quotient { log: value.ln(), sd, length: 80.0 }
    }

    #[test]
    fn the_recipes_own_ratio_goes_before_a_simpler_one() {
        let planned = Ratio::new(5, 12).ok();
        let read = read_ratio(quotient(0.41, 0.02), planned, &[], INTERVAL);
        assert_eq!(read, planned.map(|r| (r, Standing::Planned)));
        assert_eq!(
            read_ratio(quotient(0.402, 0.005), planned, &[], INTERVAL).map(|(r, s)| (r.to_string(), s)),
            Some(("2/5".to_owned(), Standing::Other))
        );
    }

    #[test]
    fn a_vague_length_matches_by_chance_and_a_sharp_one_hardly() {
        let third = Ratio::new(1, 3).unwrap();
        let vague = chance_of_match(quotient(0.34, 0.05), third);
        let sharp = chance_of_match(quotient(0.3334, 0.001), third);
        assert!(vague > 0.3, "{vague}");
        assert!(sharp < 0.1, "{sharp}");
    }

    /// Against counting: lengths drawn evenly over the same span of logarithms.
    #[test]
    fn the_chance_is_the_share_of_random_lengths_that_match() {
        let ratio = Ratio::new(5, 8).unwrap();
        let q = quotient(0.62, 0.004);
        let reach = q.reach(INTERVAL).max((ratio.value().ln() - q.log).abs());
        let count = 20_000;
        let hits = (0..count)
            .filter(|i| {
                let log = q.log + SPREAD.ln() * (2.0 * (f64::from(*i) + 0.5) / f64::from(count) - 1.0);
                (1..=8_u16)
                    .any(|a| (1..=8_u16).any(|b| ((f64::from(a) / f64::from(b)).ln() - log).abs() <= reach))
            })
            .count();
        let counted = hits as f64 / f64::from(count);
        assert!((chance_of_match(q, ratio) - counted).abs() < 0.002, "{counted}");
    }
}
