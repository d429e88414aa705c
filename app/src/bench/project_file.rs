use crate::controls::LongText;
use crate::storage::files::{OpenFile, file_name, save};
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::project::Project;

/// The project's title and notes, and its file.
#[component]
pub fn ProjectFile() -> impl IntoView {
    let store = use_store();
    let title = store.part(|project| project.title.clone());
    let notes = store.part(|project| project.notes.clone());
    let save_project = move |_| {
        store.project().with_untracked(|project| {
            save(&file_name(&[&project.title], "json"), "application/json", &Project::to_json(project));
        });
    };
    let words = &words().bench().project;
    view! {
        <section>
            <h2>{words.heading}</h2>
            <div class="field">
                <label for="field-title">{words.title}</label>
                <input
                    id="field-title"
                    data-test="field-title"
                    type="text"
                    class="text"
                    autocomplete="off"
                    maxlength="200"
                    prop:value=title
                    on:input=move |event| store.change(Change::Title(event_target_value(&event)))
                    on:blur=move |_| store.settle()
                />
            </div>
            <LongText
                label=words.notes
                test="notes"
                rows=4
                value=notes
                on_change=move |said| store.change(Change::Notes(said))
            />
            <div class="actions">
                <button type="button" class="chief" data-test="save-project" on:click=save_project>
                    {words.save}
                </button>
                <OpenFile label=words.open />
            </div>
            <p class="note">{words.kept}</p>
        </section>
    }
}
