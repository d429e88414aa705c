use crate::showing::use_showing;
use crate::storage::half_typed;
use crate::store::{Change, use_store};
use crate::words::{capital, words};
use leptos::prelude::*;
use ribline_geometry::capture::is_drawing;
use ribline_geometry::trace::{Trace, read};

/// A place to paste a whole trace, as points or as a table of offsets. What cannot be read stays as it is, with the reason below.
#[component]
pub fn PasteArea() -> impl IntoView {
    let store = use_store();
    let showing = use_showing();
    let text = half_typed("ribline.pasted");
    let trouble = RwSignal::new(None::<String>);
    // It is told as long as that is the line at hand.
    let taken = RwSignal::new(None::<Trace>);
    let done = store.part(move |project| {
        let count =
            taken.with(|taken| taken.as_ref().filter(|t| **t == project.trace).map(|t| t.points.len()));
        count.map(words().ribs().taken)
    });
    let taken_from = |text: &str| {
        if is_drawing(text) {
            return Err(capital(words().files().drawing));
        }
        read(text).map_err(|error| error.to_string())
    };
    let take = move |_| match taken_from(&text.get_untracked()) {
        Ok(trace) => {
            taken.set(Some(trace.clone()));
            store.change(Change::Trace(trace));
            showing.pick(None);
            trouble.set(None);
            text.set(String::new());
        }
        Err(error) => {
            taken.set(None);
            trouble.set(Some(error));
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
