//! Stretches of a run without points.

use crate::order::{median, sort_values};

/// The stretches of a run of this length with no point on them, each as its start and its end along the run, that are longer
/// than `long` and more than 2.5 times what is usual between the run's points.
pub(super) fn gaps(mut along: Vec<f64>, length: f64, long: f64) -> Vec<(f64, f64)> {
    if along.is_empty() {
        return Vec::new();
    }
    sort_values(&mut along);
    let usual: Vec<f64> = along.windows(2).map(|pair| pair[1] - pair[0]).collect();
    let usual = median(&usual).unwrap_or(length);
    let ends = std::iter::once(0.0).chain(along.iter().copied());
    let starts = along.iter().copied().chain(std::iter::once(length));
    ends.zip(starts).filter(|(from, to)| to - from > long && to - from > 2.5 * usual).collect()
}

#[cfg(test)]
mod tests {
    use super::gaps;

    #[test]
    fn a_stretch_without_points_is_a_gap_in_the_middle_and_at_either_end() {
        let even = |from: i32, to: i32| (from..to).map(|k| f64::from(k) * 10.0).collect::<Vec<_>>();
        assert_eq!(gaps(even(0, 21), 200.0, 40.0), []);
        assert_eq!(gaps([even(0, 8), even(14, 21)].concat(), 200.0, 40.0), [(70.0, 140.0)]);
        assert_eq!(gaps(even(6, 21), 200.0, 40.0), [(0.0, 60.0)]);
        assert_eq!(gaps(even(0, 15), 200.0, 40.0), [(140.0, 200.0)]);
    }

    #[test]
    fn points_far_apart_everywhere_are_few_and_not_a_gap() {
        assert_eq!(gaps(vec![20.0, 70.0, 120.0, 170.0], 200.0, 40.0), []);
    }
}
