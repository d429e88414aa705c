use super::composing::{Open, use_composing};
use crate::controls::When;
use crate::showing::use_showing;
use leptos::prelude::*;

/// A part of the recipe as it is read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sentence {
    /// What stands before it: a number, or a letter.
    pub mark: String,
    pub name: String,
    pub text: String,
    /// Its length or compass setting, where it has one.
    pub mm: String,
    /// Something is wrong with it.
    pub faulty: bool,
    /// It was not drawn, since something before it was not.
    pub waiting: bool,
    /// It is a length in mm where others are ratios.
    pub departs: bool,
}

/// A sentence that opens to be changed. While it is pointed at, what it says is lit in the drawing, and the other way
/// round.
#[component]
pub fn Item(
    open: Open,
    sentences: Memo<Vec<Sentence>>,
    at: usize,
    /// What is below the sentence while it is open.
    editor: fn(usize) -> AnyView,
    /// What is below it while it is closed.
    #[prop(optional)]
    foot: Option<fn(usize) -> AnyView>,
) -> impl IntoView {
    let (composing, showing) = (use_composing(), use_showing());
    let thing = open.thing();
    let is_open = Memo::new(move |_| composing.opened() == Some(open));
    let pointed = Memo::new(move |_| thing.is_some() && showing.pointed() == thing);
    let is = move |what: fn(&Sentence) -> bool| sentences.with(|all| all.get(at).is_some_and(what));
    let sentence = move || {
        sentences
            .with(|all| all.get(at).cloned())
            .map(|Sentence { mark, name, text, mm, .. }| {
                let name = (!name.is_empty()).then(|| view! { <b class="called">{name}</b> });
                view! {
                    <span class="place">{mark}</span>
                    <span class="says">{name}" "{text}</span>
                    <span class="mm">{mm}</span>
                }
            })
            .into_any()
    };
    let key = open.key();
    let panel = format!("change-{key}");
    let controls = panel.clone();
    let test = format!("sentence-{key}");
    view! {
        <li
            class="item"
            class:open=is_open
            class:pointed=pointed
            class:faulty=move || is(|sentence| sentence.faulty)
            class:waiting=move || is(|sentence| sentence.waiting)
            class:departs=move || is(|sentence| sentence.departs)
            id=format!("recipe-{key}")
            data-test=format!("recipe-{key}")
            on:pointerenter=move |_| {
                if let Some(thing) = thing {
                    showing.hover(thing);
                }
            }
            on:pointerleave=move |_| {
                if let Some(thing) = thing {
                    showing.leave(thing);
                }
            }
        >
            <button
                type="button"
                class="sentence"
                data-test=test
                aria-expanded=move || is_open.get().to_string()
                aria-controls=controls
                on:click=move |_| composing.toggle(open)
                on:focus=move |_| {
                    if thing.is_some() {
                        // The keyboard has moved on from where the pointer rests.
                        if let Some(other) = showing.hovered() {
                            showing.leave(other);
                        }
                        showing.pick(thing);
                    }
                }
            >
                {move || sentence()}
            </button>
            {foot.map(|foot| view! { <When holds=move || !is_open.get()>{foot(at)}</When> })}
            <div class="editor" class:hidden=move || !is_open.get() id=panel>
                <When holds=is_open>{editor(at)}</When>
            </div>
        </li>
    }
}
