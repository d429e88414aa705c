//! Putting things in order.
//!
//! The standard library's sorts are compiled anew for every kind of thing sorted, a kilobyte of the page's download each. Here one
//! compiled form serves all: things are ordered by a number.

/// The places of `values` in ascending order; of equal ones the earlier first, as in a stable sort. NaN comes last.
pub fn ascending(values: &[f64]) -> Vec<usize> {
    let mut order: Vec<(f64, usize)> = values.iter().copied().zip(0..).collect();
    order.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    order.into_iter().map(|(_, place)| place).collect()
}

/// Sorts by a number, ascending, and keeps the order of what is equal.
///
/// ```
/// let mut words = vec!["three", "five", "one", "a"];
/// ribline_geometry::order::sort_by_value(&mut words, |word| word.len() as f64);
/// assert_eq!(words, ["a", "one", "five", "three"]);
/// ```
pub fn sort_by_value<T>(things: &mut Vec<T>, value: impl Fn(&T) -> f64) {
    let values: Vec<f64> = things.iter().map(value).collect();
    let mut given: Vec<Option<T>> = std::mem::take(things).into_iter().map(Some).collect();
    things.extend(ascending(&values).into_iter().filter_map(|place| given[place].take()));
}

/// Sorts numbers, ascending.
pub fn sort_values(values: &mut [f64]) {
    let order = ascending(values);
    let given = values.to_vec();
    for (value, place) in values.iter_mut().zip(order) {
        *value = given[place];
    }
}

/// The value in the middle of the ascending order, of an even number the upper of the two; `None` where there are none.
pub fn median(values: &[f64]) -> Option<f64> {
    ascending(values).get(values.len() / 2).map(|place| values[*place])
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_standard_librarys_stable_sort_agrees(values in prop::collection::vec(-3i8..4, 0..60)) {
            let mut things: Vec<(f64, usize)> = values.iter().map(|v| f64::from(*v)).zip(0..).collect();
            let mut expected = things.clone();
            expected.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut numbers: Vec<f64> = things.iter().map(|thing| thing.0).collect();
            sort_by_value(&mut things, |thing| thing.0);
            prop_assert_eq!(&things, &expected);
            prop_assert_eq!(median(&numbers), expected.get(expected.len() / 2).map(|thing| thing.0));
            sort_values(&mut numbers);
            prop_assert_eq!(numbers, expected.iter().map(|thing| thing.0).collect::<Vec<_>>());
        }
    }
}
