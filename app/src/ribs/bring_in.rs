use super::paste::PasteArea;
use crate::example::{afresh, example};
use crate::showing::use_showing;
use crate::storage::files::OpenFile;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;

/// The ways in which a traced line comes in.
#[component]
pub fn BringIn() -> impl IntoView {
    let store = use_store();
    let showing = use_showing();
    let words = words().ribs();
    let start_afresh = move |_| {
        let recipe = store.project().with_untracked(|project| project.recipe.clone());
        store.change(Change::StartAfresh(Box::new(afresh(recipe))));
        showing.pick(None);
    };
    let show_example = move |_| store.change(Change::Open(Box::new(example())));
    view! {
        <section class="bring-in">
            <h2>{words.bring_in}</h2>
            <p class="note">{words.drop_note}</p>
            <div class="actions">
                <OpenFile label=words.open />
                <button type="button" data-test="start-afresh" on:click=start_afresh>{words.start_afresh}</button>
                <button type="button" data-test="show-example" on:click=show_example>{words.show_example}</button>
            </div>
            <PasteArea />
        </section>
    }
}
