use crate::controls::Select;
use crate::results::use_results;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::built_in::built_in;
use ribline_geometry::recipe::{Instrument, Purpose, Recipe};

/// The recipes to choose from: those of a plate's edge, since that is what traced ribs are reconciled with.
fn plate_recipes() -> Vec<Recipe> {
    built_in().into_iter().filter(|recipe| recipe.purpose == Purpose::PlateEdge).collect()
}

#[component]
pub fn InstrumentAndRecipe() -> impl IntoView {
    let store = use_store();
    let recipes = StoredValue::new(plate_recipes());
    let instruments = StoredValue::new(recipes.with_value(|recipes| {
        let mut known: Vec<Instrument> = Vec::new();
        for recipe in recipes {
            if !known.contains(&recipe.instrument) {
                known.push(recipe.instrument);
            }
        }
        known
    }));
    let now = use_results().told(|recipe| (recipe.instrument, recipe.title.clone()));

    let instrument_names = move || {
        instruments.with_value(|all| {
            all.iter().map(|i| (words().set_out().instrument_name)(*i).to_string()).collect()
        })
    };
    let instrument_place = move || instruments.with_value(|all| all.iter().position(|i| *i == now.get().0));
    let choose_instrument = move |place: usize| {
        let wanted = instruments.with_value(|all| all.get(place).copied());
        let first = recipes.with_value(|all| all.iter().find(|r| Some(r.instrument) == wanted).cloned());
        if let Some(recipe) = first {
            store.change(Change::Recipe(Box::new(recipe)));
        }
    };

    let of_instrument = Memo::new(move |_| {
        let instrument = now.get().0;
        recipes
            .with_value(|all| all.iter().filter(|r| r.instrument == instrument).cloned().collect::<Vec<_>>())
    });
    // A recipe that is none of these stands first in the list by its own title; one that was changed since says so.
    let own = use_results().told(move |recipe| {
        let built_in = of_instrument.get();
        let changed = built_in.iter().any(|other| other.title == recipe.title);
        let own = !built_in.iter().any(|other| other.is_but_for_length(recipe));
        own.then(|| if changed { (words().set_out().changed)(&recipe.title) } else { recipe.title.clone() })
    });
    let recipe_names = move || {
        let built_in = of_instrument.with(|all| all.iter().map(|r| r.title.clone()).collect::<Vec<_>>());
        own.get().into_iter().chain(built_in).collect::<Vec<_>>()
    };
    let recipe_place = move || {
        let title = now.get().1;
        if own.with(Option::is_some) {
            Some(0)
        } else {
            of_instrument.with(|all| all.iter().position(|r| r.title == title))
        }
    };
    let choose_recipe = move |place: usize| {
        let place = place.checked_sub(usize::from(own.get_untracked().is_some()));
        if let Some(recipe) =
            place.and_then(|place| of_instrument.with_untracked(|all| all.get(place).cloned()))
        {
            store.change(Change::Recipe(Box::new(recipe)));
        }
    };
    let note = store.part(|project| project.recipe.note.clone());
    let words = words().set_out();
    view! {
        <div class="pair names">
            <Select
                label=words.instrument
                test="instrument"
                options=Signal::derive(instrument_names)
                chosen=Signal::derive(instrument_place)
                on_change=choose_instrument
            />
            <Select
                label=words.recipe
                test="recipe"
                options=Signal::derive(recipe_names)
                chosen=Signal::derive(recipe_place)
                on_change=choose_recipe
            />
        </div>
        <p class="note">{note}</p>
    }
}
