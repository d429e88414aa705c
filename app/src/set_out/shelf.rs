use super::compare::Compare;
use crate::controls::{Rows, TextField, When, press};
use crate::recipe::{Composing, use_composing};
use crate::results::use_results;
use crate::storage::files::{OpenFile, file_name, save};
use crate::storage::shelf::{self, Kept, NoRoom};
use crate::store::{Change, Store, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::built_in::built_in;
use ribline_geometry::recipe::{BareWords, Recipe};
use std::sync::Arc;

/// The recipes kept on this device, and where a new one begins.
#[component]
pub fn Shelf() -> impl IntoView {
    let (store, composing) = (use_store(), use_composing());
    let kept = Memo::new(|_| shelf::all());
    let numbers =
        Memo::new(move |_| kept.with(|all| all.iter().map(|kept| kept.number as usize).collect::<Vec<_>>()));
    // What was just done, as a sentence.
    let told = RwSignal::new(None::<String>);
    let make = Arc::new(move |number: usize| view! { <OnShelf number kept told /> }.into_any());
    let keep = move || {
        let recipe = present(store);
        let title = recipe.title.clone();
        told.set(Some(match shelf::keep(&recipe) {
            Ok(()) => (words().shelf().kept)(&title),
            Err(NoRoom) => words().shelf().not_kept.to_string(),
        }));
    };
    let begin_copy = move || {
        let recipe = present(store);
        let others = shelf_titles(kept);
        let title = recipe.title_besides(others.iter().map(String::as_str).chain([recipe.title.as_str()]));
        begin(store, composing, Recipe { title, ..recipe });
    };
    let begin_bare = move || {
        let words = words().recipe();
        let bare = present(store).bare(BareWords {
            title: words.bare_title,
            body_length: words.body_length,
            lower_width: words.lower_width,
            bottom: words.bottom,
            top: words.top,
        });
        let others = shelf_titles(kept);
        let title = bare.title_besides(others.iter().map(String::as_str));
        begin(store, composing, Recipe { title, ..bare });
    };
    let removed = Memo::new(|_| shelf::removed());
    let put_back = move || {
        if shelf::put_back().is_err() {
            told.set(Some(crate::words::words().shelf().not_kept.to_string()));
        }
    };
    let words = words().shelf();
    view! {
        <section class="shelf" data-test="shelf">
            <h2>{words.shelf}</h2>
            <div class="actions">
                {press("shelf-keep", words.keep, keep).view()}
                {press("begin-copy", words.copy, begin_copy).view()}
                {press("begin-bare", words.bare, begin_bare).view()}
                {press("save-recipe", words.save_file, move || save_recipe(&present(store))).view()}
                <OpenFile label=words.open_file />
            </div>
            <p class="note" role="status" data-test="shelf-told">{move || told.get()}</p>
            <p class="note">{move || if kept.with(Vec::is_empty) { words.empty } else { words.lead }}</p>
            <ul class="on-shelf">
                <Rows numbers make />
            </ul>
            <When holds=move || removed.with(Option::is_some)>
                <div class="actions" data-test="shelf-removed">
                    <span class="note">{move || removed.get().map(|title| (words.removed)(&title))}</span>
                    {press("put-back", words.put_back, put_back).view()}
                </div>
            </When>
            <Compare kept />
        </section>
    }
}

fn present(store: Store) -> Recipe {
    store.project().with_untracked(|project| project.recipe.clone())
}

fn shelf_titles(kept: Memo<Vec<Kept>>) -> Vec<String> {
    kept.with_untracked(|all| {
        all.iter().filter_map(|kept| kept.recipe.as_ref().ok()).map(|recipe| recipe.title.clone()).collect()
    })
}

/// Another recipe in place of the present one, which goes on the shelf if it would be found nowhere else.
fn begin(store: Store, composing: Composing, recipe: Recipe) {
    let now = present(store);
    if !built_in().iter().any(|other| other.is_but_for_length(&now)) {
        // Without room for it there is still the way back.
        let _ = shelf::put(now);
    }
    composing.show(None);
    store.change(Change::Recipe(Box::new(recipe)));
}

fn save_recipe(recipe: &Recipe) {
    let name = file_name(&[&recipe.title, words().shelf().recipe_file], "json");
    save(&name, "application/json", &recipe.to_json());
}

#[component]
fn OnShelf(number: usize, kept: Memo<Vec<Kept>>, told: RwSignal<Option<String>>) -> impl IntoView {
    let store = use_store();
    let now = use_results().recipe;
    let one = move || kept.with(|all| all.iter().find(|kept| kept.number as usize == number).cloned());
    let recipe = move || one().and_then(|kept| kept.recipe.ok());
    let title = move || recipe().map(|recipe| recipe.title).unwrap_or_default();
    let about = move || {
        let words = words().shelf();
        match one()?.recipe {
            Err(why) => Some((words.damaged)(&why)),
            Ok(recipe) if now.with(|now| *now == recipe) => Some(words.here.to_string()),
            Ok(recipe) if recipe.author.is_empty() => None,
            Ok(recipe) => Some((words.by)(&recipe.author)),
        }
    };
    let good = Memo::new(move |_| recipe().is_some());
    let composing = use_composing();
    let take = move || {
        if let Some(recipe) = untrack(recipe) {
            begin(store, composing, recipe);
        }
    };
    let number = number as u32;
    let rename = move |title: String| {
        let title = title.trim().to_string();
        if let Some(recipe) = untrack(recipe).filter(|recipe| !title.is_empty() && recipe.title != title)
            && shelf::replace(number, &Recipe { title, ..recipe }).is_err()
        {
            told.set(Some(words().shelf().not_kept.to_string()));
        }
    };
    let duplicate = move || {
        let there = shelf_titles(kept);
        if let Some(recipe) = untrack(recipe) {
            let title = recipe.title_besides(there.iter().map(String::as_str));
            if shelf::put(Recipe { title, ..recipe }).is_err() {
                told.set(Some(words().shelf().not_kept.to_string()));
            }
        }
    };
    let save_it = move || match untrack(one) {
        Some(Kept { recipe: Ok(recipe), .. }) => save_recipe(&recipe),
        Some(Kept { text, .. }) => save("ribline-set-aside.json", "application/json", &text),
        None => {}
    };
    let words = words().shelf();
    view! {
        <li class="kept" data-test="kept">
            <When holds=good>
                <TextField label=words.rename test=format!("kept-{number}") value=Signal::derive(title) on_change=rename />
            </When>
            <p class="note">{move || about()}</p>
            <div class="actions">
                <When holds=good>
                    {press("take-recipe", words.take, take).view()}
                    {press("duplicate-recipe", words.duplicate, duplicate).view()}
                </When>
                {press("save-kept", words.save, save_it).view()}
                {press("remove-recipe", words.remove, move || shelf::remove(number)).view()}
            </div>
        </li>
    }
}
