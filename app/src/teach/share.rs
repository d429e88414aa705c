use super::symbol::SymbolToScan;
use crate::controls::{TextField, When, press};
use crate::recipe::{use_composing, use_faults};
use crate::results::use_results;
use crate::store::use_store;
use crate::words::words;
use crate::worker::ask;
use crate::worker::requests::{self, Link, Links};
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::recipe::{Edit, Recipe};
use ribline_geometry::share::Contents;
use wasm_bindgen::JsValue;
use wasm_bindgen_futures::JsFuture;
use web_sys::js_sys::Reflect;

/// Long enough that a title being typed is not made a link of at each letter.
const DELAY_MS: u32 = 250;

/// The recipe as a link and a symbol, alone or with the traced line.
#[component]
pub fn Share() -> impl IntoView {
    let store = use_store();
    let composing = use_composing();
    let results = use_results();
    let links = links_of_project();
    let (wants_trace, wants_result) = (RwSignal::new(false), RwSignal::new(false));
    let any_points = store.part(|project| !project.trace.points.is_empty());
    let made = move |contents: Contents| {
        links.with(|links| match links {
            None => None,
            Some(Err(why)) => Some(Err(why.clone())),
            Some(Ok(Links(all))) => Some(all[contents as usize].clone()),
        })
    };
    // Whether the line fits, and the sentence where it does not.
    let trace_refused = Memo::new(move |_| {
        if any_points.get() {
            made(Contents::WithTrace).and_then(Result::err)
        } else {
            Some(words().teach().no_trace.to_string())
        }
    });
    // Where no link at all can be made that is said once, below the link.
    let trace_note =
        move || trace_refused.get().filter(|_| !links.with(|links| matches!(links, Some(Err(_)))));
    let with_trace = Memo::new(move |_| wants_trace.get() && trace_refused.with(Option::is_none));
    let chosen = Memo::new(move |_| {
        made(match (with_trace.get(), wants_result.get()) {
            (false, _) => Contents::Recipe,
            (true, false) => Contents::WithTrace,
            (true, true) => Contents::Result,
        })
    });
    let link =
        Memo::new(move |_| chosen.with(|made| made.as_ref().and_then(|made| made.as_ref().ok().cloned())));
    let trouble = move || chosen.with(|made| made.as_ref().and_then(|made| made.as_ref().err().cloned()));
    let faults = use_faults();
    let fault = move || {
        faults.with(|faults| faults.first().map(|fault| (words().teach().faulty)(&fault.to_string())))
    };
    let text = move |of: fn(&Recipe) -> &String| {
        Signal::derive(move || results.recipe.with(|recipe| of(recipe).clone()))
    };
    let named = Memo::new(move |_| {
        results.recipe.with(|recipe| (words().teach().named_by)(&recipe.title, &recipe.author))
    });
    let words = words().teach();
    view! {
        <section class="share" data-test="share">
            <h2>{words.share}</h2>
            <div class="pair">
                <TextField label=words.title test="share-title" as_typed=true value=text(|r| &r.title) on_change=move |text| { composing.edit(Edit::Title(text)); } />
                <TextField label=words.author test="share-author" as_typed=true value=text(|r| &r.author) on_change=move |text| { composing.edit(Edit::Author(text)); } />
            </div>
            <p class="trouble" data-test="share-fault">{fault}</p>
            <div class="toggles">
                <label class="toggle">
                    <input
                        type="checkbox"
                        data-test="share-trace"
                        disabled=move || trace_refused.with(Option::is_some)
                        prop:checked=with_trace
                        on:change=move |event| wants_trace.set(event_target_checked(&event))
                    />
                    <span>{words.with_trace}</span>
                </label>
                <When holds=move || with_trace.get()>
                    <label class="toggle">
                        <input
                            type="checkbox"
                            data-test="share-result"
                            prop:checked=wants_result
                            on:change=move |event| wants_result.set(event_target_checked(&event))
                        />
                        <span>{words.as_result}</span>
                    </label>
                    <p class="note">{words.rounded}</p>
                </When>
                <p class="note" data-test="share-trace-refused">{trace_note}</p>
            </div>
            <LinkField link />
            <p class="trouble" role="alert" data-test="error-share">{trouble}</p>
            <SymbolToScan link named />
            <p class="note">{words.share_note}</p>
        </section>
    }
}

/// The links of the project as it is, made anew shortly after each change; the last ones stay until then.
fn links_of_project() -> RwSignal<Option<Result<Links, String>>> {
    let store = use_store();
    let links = RwSignal::new(None);
    let waiting = StoredValue::new_local(None::<Timeout>);
    let latest = StoredValue::new(0u32);
    Effect::new(move |earlier: Option<()>| {
        store.project().track();
        let delay = if earlier.is_some() { DELAY_MS } else { 0 };
        let timeout = Timeout::new(delay, move || {
            let Some(project) = store.project().try_with_untracked(|p| p.without_photo().to_json()) else {
                return;
            };
            let Some(number) = latest.try_update_value(|number| {
                *number += 1;
                *number
            }) else {
                return;
            };
            spawn_local(async move {
                let page = window().location().href().unwrap_or_default();
                let made = ask(requests::Share { project, page }).await;
                // What was asked later is answered later; and the panel may be gone by now.
                if latest.try_get_value() == Some(number) {
                    links.set(Some(made.map_err(|trouble| trouble.sentence().to_string())));
                }
            });
        });
        waiting.set_value(Some(timeout));
    });
    links
}

/// The link to be copied, and how long it is.
#[component]
fn LinkField(link: Memo<Option<Link>>) -> impl IntoView {
    let field = NodeRef::<leptos::html::Input>::new();
    let told = RwSignal::new(None::<&'static str>);
    // What was copied is this link no more.
    Effect::new(move |_| {
        link.track();
        told.set(None);
    });
    let address =
        move || link.with(|link| link.as_ref().map(|link| link.address.clone()).unwrap_or_default());
    let length = move || {
        link.with(|link| match link {
            Some(link) => (words().teach().length)(link.address.chars().count(), link.version),
            None => words().teach().making.to_string(),
        })
    };
    let copy = move || {
        let address = link.with_untracked(|link| link.as_ref().map(|link| link.address.clone()));
        let Some(address) = address else { return };
        spawn_local(async move {
            if written_to_clipboard(&address).await {
                let _ = told.try_set(Some(words().teach().copied));
            } else {
                if let Some(Some(field)) = field.try_get_untracked() {
                    let _ = field.focus();
                    field.select();
                }
                let _ = told.try_set(Some(words().teach().selected));
            }
        });
    };
    let words = words().teach();
    view! {
        <div class="field">
            <label for="share-link">{words.link}</label>
            <input
                id="share-link"
                class="text"
                data-test="share-link"
                type="text"
                readonly=true
                node_ref=field
                prop:value=address
                on:focus=move |_| {
                    if let Some(field) = field.get_untracked() {
                        field.select();
                    }
                }
            />
        </div>
        <div class="actions">
            {press("share-copy", words.copy, copy)
                .class("chief")
                .disabled(Signal::derive(move || link.with(Option::is_none)))
                .view()}
            <p class="note" data-test="share-length">{length}</p>
        </div>
        <p class="note" role="status" data-test="share-told">{move || told.get()}</p>
    }
}

/// Browsers keep the clipboard from pages that came over an open line, and may ask their owner first.
async fn written_to_clipboard(text: &str) -> bool {
    let navigator = window().navigator();
    let there =
        Reflect::get(&navigator, &JsValue::from_str("clipboard")).is_ok_and(|found| !found.is_undefined());
    there && JsFuture::from(navigator.clipboard().write_text(text)).await.is_ok()
}
