//! What follows from the recipe and is wanted only where it is set out or handed on.

use crate::results::use_results;
use crate::showing::once_for_the_page;
use leptos::prelude::*;
use ribline_geometry::recipe::construction::Construction;
use ribline_geometry::recipe::{Recipe, RecipeError};
use std::sync::Arc;

#[derive(Clone, Copy)]
struct Faults(Memo<Vec<RecipeError>>);

/// Everything that is wrong with the recipe.
pub fn use_faults() -> Memo<Vec<RecipeError>> {
    let Faults(faults) = once_for_the_page(|| {
        let recipe = use_results().recipe;
        Faults(Memo::new(move |_| recipe.with(Recipe::faults)))
    });
    faults
}

type Worked = Result<Arc<Construction>, String>;

#[derive(Clone, Copy)]
struct Constructed {
    now: Memo<Worked>,
    last: Memo<Option<Arc<Construction>>>,
}

fn use_constructed() -> Constructed {
    once_for_the_page(|| {
        let recipe = use_results().recipe;
        let now = Memo::new(move |_| {
            recipe.with(|recipe| recipe.evaluate().map(Arc::new).map_err(|error| error.to_string()))
        });
        // The last of another recipe is no drawing of this one.
        let titled = Memo::new(move |before: Option<&(String, Option<Arc<Construction>>)>| {
            let title = recipe.with(|recipe| recipe.title.clone());
            let last = now.with(|now| match now {
                Ok(good) => Some(Arc::clone(good)),
                Err(_) => before.filter(|(of, _)| *of == title).and_then(|(_, last)| last.clone()),
            });
            (title, last)
        });
        Constructed { now, last: Memo::new(move |_| titled.with(|(_, last)| last.clone())) }
    })
}

/// The recipe worked with straightedge and compass, or the sentence that says which step does not go.
pub fn use_construction() -> Memo<Worked> {
    use_constructed().now
}

/// The last construction that went.
pub fn use_last_construction() -> Memo<Option<Arc<Construction>>> {
    use_constructed().last
}
