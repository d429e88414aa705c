//! Constructions that are not built in: the truth need not have been made by the recipe it is fitted with.

use ribline_geometry::recipe::{Recipe, built_in};

/// (name, recipe the ribs were made by, recipe they are reconciled with).
pub fn pairs() -> Vec<(String, Recipe, Recipe)> {
    let violin = built_in::violin();
    vec![("violin by its own recipe".into(), violin.clone(), violin)]
}
