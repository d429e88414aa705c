use crate::controls::{Rows, press};
use crate::drawing::path::outline_path;
use crate::number::{entered, figure};
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::Recipe;
use ribline_geometry::recipe::family::{BodySize, family, kin, sizes};
use std::sync::Arc;

/// Screen pixels to the millimetre: the five bodies, some 1450 mm side by side, fit the narrowest panel.
const SCALE: f64 = 0.2;
/// Room around each body for the breadth of its line, mm.
const ROOM: f64 = 6.0;

/// The built-in instruments beside one another, to one scale: a touch chooses one. Below, the common sizes of the present one.
#[component]
pub fn Family() -> impl IntoView {
    let store = use_store();
    let members = StoredValue::new(family());
    let now = store.part(|project| kin(&project.recipe));
    let bodies = members.with_value(|all| {
        all.iter()
            .enumerate()
            .filter_map(|(place, recipe)| body(place, recipe))
            .map(|Body { place, d, view_box, width, height, length }| {
                let name = words().family().names[place];
                let choose = move |_| {
                    if let Some(recipe) = members.with_value(|all| all.get(place).cloned())
                        && now.get_untracked() != place
                    {
                        store.change(Change::Recipe(Box::new(recipe)));
                    }
                };
                view! {
                    <button
                        type="button"
                        class="body"
                        data-test=format!("family-{place}")
                        aria-pressed=move || (now.get() == place).to_string()
                        aria-label=(words().family().choose)(name, &length)
                        on:click=choose
                    >
                        <svg viewBox=view_box width=width height=height aria-hidden="true">
                            <path d=d />
                        </svg>
                        <span>{name}</span>
                        <span class="figure">{(words().family().length)(&length)}</span>
                    </button>
                }
                .into_any()
            })
            .collect_view()
    });
    view! {
        <figure class="family" data-test="family">
            <figcaption>{words().family().family}</figcaption>
            <div class="bodies">{bodies}</div>
        </figure>
        <Sizes />
    }
}

struct Body {
    place: usize,
    d: String,
    view_box: String,
    width: String,
    height: String,
    length: String,
}

fn body(place: usize, recipe: &Recipe) -> Option<Body> {
    let drawn = recipe.evaluate().ok()?;
    let bounds = drawn.outline.bounds().inflate(ROOM, ROOM);
    // y runs up in the outline and down on the screen; turned about the middle both are the same, and the neck is up.
    let turned = drawn.outline.moved(std::f64::consts::PI, kurbo::Vec2::new(0.0, bounds.y0 + bounds.y1));
    Some(Body {
        place,
        d: outline_path(&turned),
        view_box: format!("{:.1} {:.1} {:.1} {:.1}", bounds.x0, bounds.y0, bounds.width(), bounds.height()),
        width: format!("{:.1}", SCALE * bounds.width()),
        height: format!("{:.1}", SCALE * bounds.height()),
        length: drawn.lengths.first().map(|mm| figure(*mm, 0)).unwrap_or_default(),
    })
}

/// The body lengths that the present instrument commonly has.
#[component]
fn Sizes() -> impl IntoView {
    let store = use_store();
    let recipe = store.part(|project| project.recipe.clone());
    let numbers = Memo::new(move |_| {
        // Numbered by instrument too, so that another's are made anew.
        let first = recipe.with(kin) * 10;
        (0..recipe.with(|recipe| sizes(recipe).len())).map(|k| first + k).collect::<Vec<_>>()
    });
    let make = Arc::new(move |number: usize| {
        let Some(size) = recipe.with_untracked(|recipe| sizes(recipe).get(number % 10).copied()) else {
            return ().into_any();
        };
        let BodySize { name, body_length, .. } = size;
        let choose = move || {
            let sized = recipe.with_untracked(|recipe| size.of(recipe));
            store.change(Change::Recipe(Box::new(sized)));
        };
        let label = format!("{} {}", (words().family().size)(name), entered(body_length, 0));
        let present = Signal::derive(move || recipe.with(|recipe| size.is_of(recipe)));
        let test = format!("size-{}", number % 10);
        view! { <li>{press(test, label, choose).class("slight").pressed(present).view()}</li> }.into_any()
    });
    view! {
        <div class="sizes">
            <span class="note" id="sizes-label">{words().family().sizes}" "{move || words().family().names[recipe.with(kin)].to_ascii_lowercase()}</span>
            <ul aria-labelledby="sizes-label">
                <Rows numbers make />
            </ul>
        </div>
    }
}
