use super::board::ZOOM;
use super::view::use_view;
use crate::number::figure;
use crate::results::use_results;
use crate::showing::{Layer, Step, use_showing};
use crate::store::use_store;
use crate::words::words;
use leptos::prelude::*;

/// What the sheet is of: the title, the plate and its face, the body length found.
#[component]
pub fn SheetTitle() -> impl IntoView {
    let store = use_store();
    let results = use_results();
    let showing = use_showing();
    let title = store.part(|project| project.title.clone());
    let face = store.part(|project| project.face);
    let recipe = store.part(|project| project.recipe.title.clone());
    let whole = move || {
        if showing.step.get() == Step::SetOut {
            recipe.get()
        } else if title.with(String::is_empty) {
            words().drawing.untitled.to_string()
        } else {
            title.get()
        }
    };
    let below = move || {
        if showing.step.get() == Step::SetOut {
            words().drawing.recipe_itself.to_string()
        } else {
            (words().drawing.face)(face.get()).to_string()
        }
    };
    let length = move || {
        let found = results
            .with_shown(|shown| shown.measures.first().map(|measure| measure.found))
            .flatten()
            .filter(|_| showing.step.get() != Step::SetOut);
        let planned = || results.drawn.with(|drawn| drawn.lengths.first().copied().flatten());
        found.or_else(planned).map(|mm| (words().readout.mm)(&figure(mm, 1)))
    };
    view! {
        <header class="sheet-title">
            <h1 data-test="sheet-title">{move || whole()}</h1>
            <p class="face" data-test="face">{move || below()}</p>
            <p class="figures" data-test="body-length">
                <span class="what">{words().drawing.body_length}" "</span>
                {move || length()}
            </p>
        </header>
    }
}

#[component]
pub fn ZoomButtons() -> impl IntoView {
    let view = use_view();
    let words = &words().drawing;
    view! {
        <div class="zoom" role="group" aria-label=words.zoom>
            <button type="button" data-test="zoom-in" aria-label=words.larger title=words.larger on:click=move |_| view.zoom(ZOOM, None)>"+"</button>
            <button type="button" data-test="zoom-out" aria-label=words.smaller title=words.smaller on:click=move |_| view.zoom(1.0 / ZOOM, None)>"\u{2212}"</button>
            <button type="button" data-test="zoom-all" class="worded" on:click=move |_| view.fit()>{words.all}</button>
        </div>
    }
}

/// What is drawn and what is not.
#[component]
pub fn LayerToggles() -> impl IntoView {
    let showing = use_showing();
    let has_photo = use_store().part(|project| project.photo.is_some());
    let recipe_drawn = use_view().recipe_drawn;
    let toggles = Layer::ALL
        .map(|layer| {
            let shown = showing.layer(layer);
            view! {
                <label class="toggle" class:hidden=move || {
                    recipe_drawn.get() && layer != Layer::Grid
                        || layer == Layer::Photo && !has_photo.get()
                }>
                    <input
                        type="checkbox"
                        data-test=format!("layer-{}", layer.key())
                        prop:checked=move || shown.get()
                        on:change=move |event| shown.set(event_target_checked(&event))
                    />
                    <span>{(words().drawing.layer)(layer)}</span>
                </label>
            }
        })
        .collect_view();
    view! {
        <fieldset class="layers">
            <legend>{words().drawing.layers}</legend>
            {toggles}
        </fieldset>
    }
}
