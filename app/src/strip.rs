use crate::capture::hand_over;
use crate::recipe::use_composing;
use crate::showing::{Step, use_showing};
use crate::store::use_store;
use crate::words::words;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// The steps of the job, and the way back and forward.
#[component]
pub fn Strip() -> impl IntoView {
    let store = use_store();
    let showing = use_showing();
    let composing = use_composing();
    let undo = move || composing.staying_in_place(|| store.undo());
    let redo = move || composing.staying_in_place(|| store.redo());
    let words = &words().strip;
    let steps = Step::ALL
        .map(|step| {
            view! {
                <li>
                    <button
                        type="button"
                        data-test=format!("step-{}", step.key())
                        aria-current=move || (showing.step.get() == step).then_some("step")
                        on:click=move |_| showing.step.set(step)
                    >
                        {(words.step)(step)}
                    </button>
                </li>
            }
        })
        .collect_view();
    let keys = window_event_listener(leptos::ev::keydown, move |event| {
        let in_text = event
            .target()
            .and_then(|target| target.dyn_into::<web_sys::Element>().ok())
            .is_some_and(|element| element.matches("textarea, input.text").unwrap_or(false));
        // What is open at the bench has a way back of its own, and hides what would be taken back here.
        let at_the_bench = hand_over::wanted().is_some();
        if !(event.ctrl_key() || event.meta_key()) || event.alt_key() || in_text || at_the_bench {
            return;
        }
        match (event.key().to_ascii_lowercase().as_str(), event.shift_key()) {
            ("z", false) => undo(),
            ("z", true) | ("y", false) => redo(),
            _ => return,
        }
        event.prevent_default();
    });
    on_cleanup(move || keys.remove());
    let undo_title =
        move || store.can_undo().map_or(words.nothing_to_undo.to_string(), |kind| (words.undo_of)(kind));
    let redo_title =
        move || store.can_redo().map_or(words.nothing_to_redo.to_string(), |kind| (words.redo_of)(kind));
    view! {
        <header class="strip">
            <p class="mark">"Ribline"</p>
            <nav aria-label=words.steps>
                <ol>{steps}</ol>
            </nav>
            <div class="way-back" role="group" aria-label=words.way_back>
                <button
                    type="button"
                    data-test="undo"
                    aria-label=undo_title
                    title=undo_title
                    disabled=move || store.can_undo().is_none()
                    on:click=move |_| undo()
                >
                    <svg viewBox="0 0 20 20" aria-hidden="true"><path d="M7 4 3 8l4 4M3.5 8H12a5 5 0 0 1 0 9H8" /></svg>
                </button>
                <button
                    type="button"
                    data-test="redo"
                    aria-label=redo_title
                    title=redo_title
                    disabled=move || store.can_redo().is_none()
                    on:click=move |_| redo()
                >
                    <svg viewBox="0 0 20 20" aria-hidden="true"><path d="m13 4 4 4-4 4M16.5 8H8a5 5 0 0 0 0 9h4" /></svg>
                </button>
            </div>
        </header>
    }
}
