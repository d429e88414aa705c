//! The invented example with which the page opens, and an empty start.

use crate::words::words;
use ribline_geometry::decimal;
use ribline_geometry::project::Project;
use ribline_geometry::recipe::Recipe;
use ribline_geometry::recipe::built_in::violin;
use ribline_geometry::reconcile::Wish;
use ribline_geometry::trace::{HowTaken, Trace, TracedPoint};

/// An invented trace: ribs that came out unevenly, as ribs do, with two pins and one point mistaken.
const TRACE: &str = include_str!("example.csv");

pub fn example() -> Project {
    let recipe = violin();
    Project {
        title: words().example().title.to_string(),
        notes: words().example().notes.to_string(),
        trace: trace(),
        ..afresh(recipe)
    }
}

/// The rows of [`TRACE`]. What reads any file is a part of the page that the first drawing does without.
fn trace() -> Trace {
    let mut trace = Trace::default();
    for (row, text) in TRACE.lines().enumerate() {
        let mut fields = text.split(',');
        let (Some(name), Some(x), Some(y)) = (fields.next(), fields.next(), fields.next()) else { continue };
        let Some(at) = decimal::read(x).zip(decimal::read(y)).map(|(x, y)| (x, y).into()) else { continue };
        match name {
            "pin-lower" => trace.pins.lower = Some(at),
            "pin-upper" => trace.pins.upper = Some(at),
            _ => trace.points.push(TracedPoint {
                at,
                run: name.parse().ok(),
                side: None,
                line: row + 1,
                taken: HowTaken::Given,
                sd: None,
            }),
        }
    }
    trace
}

/// Nothing traced yet, by the given recipe.
pub fn afresh(recipe: Recipe) -> Project {
    let wish = Wish::customary(&recipe);
    Project::new(recipe, Trace::default(), wish)
}

#[cfg(test)]
mod tests {
    use super::*;
    use ribline_geometry::reconcile::reconcile;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn the_example_is_what_any_reader_of_traces_makes_of_it() {
        assert_eq!(Ok(trace()), ribline_geometry::trace::read(TRACE));
    }

    #[test]
    fn the_example_can_be_read_and_reconciled() {
        let example = example();
        assert!(example.trace.points.len() > 100);
        let result =
            reconcile(&example.trace, &example.recipe, &example.wish).expect("the example reconciles");
        assert!(!result.warnings.is_empty(), "it shows what a warning looks like");
    }
}
