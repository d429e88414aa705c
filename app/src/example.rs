//! The invented example with which the page opens, and an empty start.

use crate::words::words;
use ribline_geometry::project::Project;
use ribline_geometry::recipe::Recipe;
use ribline_geometry::recipe::built_in::violin;
use ribline_geometry::reconcile::Wish;
use ribline_geometry::trace::{Trace, read};

/// An invented trace: ribs that came out unevenly, as ribs do, with two pins and one point mistaken.
const TRACE: &str = include_str!("example.csv");

pub fn example() -> Project {
    let recipe = violin();
    Project {
        title: words().example().title.to_string(),
        notes: words().example().notes.to_string(),
        trace: read(TRACE).unwrap_or_default(),
        ..afresh(recipe)
    }
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
    fn the_example_can_be_read_and_reconciled() {
        let example = example();
        assert!(example.trace.points.len() > 100);
        let result =
            reconcile(&example.trace, &example.recipe, &example.wish).expect("the example reconciles");
        assert!(!result.warnings.is_empty(), "it shows what a warning looks like");
    }
}
