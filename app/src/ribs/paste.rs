use crate::showing::use_showing;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::trace::read;

/// A place to paste a whole trace, as points or as a table of offsets. What cannot be read stays as it is, with the reason below.
#[component]
pub fn PasteArea() -> impl IntoView {
    let store = use_store();
    let showing = use_showing();
    let text = RwSignal::new(String::new());
    let trouble = RwSignal::new(None::<String>);
    let done = RwSignal::new(None::<String>);
    let take = move |_| match read(&text.get_untracked()) {
        Ok(trace) => {
            let count = trace.points.len();
            store.change(Change::Trace(trace));
            showing.pick(None);
            trouble.set(None);
            done.set(Some((words().ribs().taken)(count)));
            text.set(String::new());
        }
        Err(error) => {
            done.set(None);
            trouble.set(Some(error.to_string()));
        }
    };
    let words = words().ribs();
    view! {
        <div class="field paste">
            <label for="paste-area">{words.paste}</label>
            <textarea
                id="paste-area"
                data-test="paste-area"
                rows="5"
                spellcheck="false"
                autocomplete="off"
                placeholder=words.paste_example
                prop:value=text
                aria-describedby="error-paste"
                aria-invalid=move || trouble.with(Option::is_some).to_string()
                on:input=move |event| text.set(event_target_value(&event))
            ></textarea>
            <p class="trouble" id="error-paste" data-test="error-paste" aria-live="polite">{trouble}</p>
            <p class="note" data-test="paste-taken" aria-live="polite">{done}</p>
            <button
                type="button"
                data-test="paste-apply"
                disabled=move || text.with(|text| text.trim().is_empty())
                on:click=take
            >
                {words.paste_take}
            </button>
            <details>
                <summary>{words.forms}</summary>
                <ul class="note">{words.forms_list.map(|form| view! { <li>{form}</li> })}</ul>
            </details>
        </div>
    }
}
