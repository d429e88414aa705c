use super::composing::{Picking, use_composing};
use crate::controls::Select;
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::Recipe;

/// One point or circle: chosen by name, or by a tap in the drawing while this is what a tap is meant for.
#[component]
pub fn Picker(
    label: &'static str,
    picking: Picking,
    #[prop(into)] test: String,
    /// The name of the present one.
    #[prop(into)]
    chosen: Signal<String>,
    #[prop(into)] on_change: Callback<String>,
) -> impl IntoView {
    let composing = use_composing();
    let names = use_results().told(move |recipe| names_for(recipe, picking));
    // What is not among them, as a name not chosen yet, stands first.
    let missing = move || chosen.with(|chosen| names.with(|names| !names.contains(chosen)));
    let options = move || {
        let none = missing().then(|| {
            let name = chosen.get();
            if name.is_empty() { words().recipe().choose_none.to_string() } else { name }
        });
        none.into_iter().chain(names.get()).collect::<Vec<String>>()
    };
    let place = move || {
        if missing() {
            Some(0)
        } else {
            names.with(|names| names.iter().position(|name| *name == chosen.get()))
        }
    };
    let choose = move |place: usize| {
        let before = usize::from(untrack(missing));
        let name = names.with_untracked(|names| names.get(place.wrapping_sub(before)).cloned());
        if let Some(name) = name {
            composing.picking.set(None);
            on_change.run(name);
        }
    };
    let waiting = Memo::new(move |_| composing.picking.get() == Some(picking));
    let toggle = move |_| composing.picking.set((!waiting.get_untracked()).then_some(picking));
    let tap_test = format!("tap-{test}");
    let words = words().recipe();
    view! {
        <div class="picker" class:waiting=waiting>
            <Select label test options=Signal::derive(options) chosen=Signal::derive(place) on_change=choose />
            <button
                type="button"
                class="tap"
                data-test=tap_test
                aria-pressed=move || waiting.get().to_string()
                aria-label=words.tap
                title=words.tap
                on:click=toggle
            >
                <svg viewBox="0 0 20 20" aria-hidden="true"><path d="M10 2v5M10 13v5M2 10h5M13 10h5" /><circle cx="10" cy="10" r="3" /></svg>
            </button>
            <p class="note" role="status">
                {move || waiting.get().then(|| (words.tapping)(picking.takes_a_point()))}
            </p>
        </div>
    }
}

fn names_for(recipe: &Recipe, picking: Picking) -> Vec<String> {
    let places = recipe.earlier(picking.before(), picking.takes_a_point());
    places.into_iter().filter_map(|k| recipe.steps.get(k)).map(|step| step.name.clone()).collect()
}
