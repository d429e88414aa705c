use super::paste::PasteArea;
use crate::controls::{When, press};
use crate::example::{afresh, example};
use crate::parts::use_parts;
use crate::showing::use_showing;
use crate::storage::files::OpenFile;
use crate::storage::kept;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use leptos::task::spawn_local;

/// The ways in which a traced line comes in.
#[component]
pub fn BringIn() -> impl IntoView {
    let (store, showing, parts) = (use_store(), use_showing(), use_parts());
    let words = words().ribs();
    let start_afresh = move |_| {
        let recipe = store.project().with_untracked(|project| project.recipe.clone());
        store.change(Change::StartAfresh(Box::new(afresh(recipe))));
        showing.pick(None);
    };
    // Looked for again whenever the work changes: it may just have been put by, or brought back.
    let former_is_there = store.part(kept::has_another);
    let bring_back = move || {
        spawn_local(async move {
            let Some(text) = kept::former() else { return };
            let read = match parts.reading().await {
                Some(reading) => (reading.project)(&text),
                None => Err(crate::words::words().part_missing.to_string()),
            };
            match read {
                Ok(former) => {
                    showing.file_trouble.set(None);
                    showing.pick(None);
                    store.change(Change::Open(Box::new(former)));
                }
                Err(why) => showing.file_trouble.set(Some(why)),
            }
        });
    };
    let show_example = move |_| store.change(Change::ShowExample(Box::new(example())));
    view! {
        <section class="bring-in">
            <h2>{words.bring_in}</h2>
            <p class="note">{words.drop_note}</p>
            <div class="actions">
                <OpenFile label=words.open />
                <button type="button" data-test="start-afresh" on:click=start_afresh>{words.start_afresh}</button>
                <button type="button" data-test="show-example" on:click=show_example>{words.show_example}</button>
                <When holds=former_is_there>{press("bring-back", words.bring_back, bring_back).view()}</When>
            </div>
            <PasteArea />
        </section>
    }
}
