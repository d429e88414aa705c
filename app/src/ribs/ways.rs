//! The ways of taking the line at the bench. They are a program of their own, `crate::capture`, fetched here when one of them is
//! first asked for.

use crate::capture::hand_over::{CLOSED, EXTENT, PHOTO, PLACE, PROJECT, TAKEN, TRACE, WANTED, WAY};
use crate::controls::press;
use crate::showing::{Showing, use_showing};
use crate::store::{Change, Store, use_store};
use crate::words::words;
use gloo::events::EventListener;
use kurbo::Rect;
use leptos::prelude::*;
use ribline_geometry::json::{Form, parse};
use ribline_geometry::project::BoardPhoto;
use ribline_geometry::trace::Trace;
use web_sys::{Element, Event};

#[component]
pub fn Ways() -> impl IntoView {
    let (store, showing) = (use_store(), use_showing());
    let ways = ["photo", "offsets", "drawing", "before", "again"].into_iter().zip(words().ribs().ways);
    let buttons = ways
        .map(|(way, label)| press(format!("take-{way}"), label, move || open(way, store, showing)).view())
        .collect_view();
    view! {
        <section class="ways">
            <h2>{words().ribs().at_the_bench}</h2>
            <div class="actions">{buttons}</div>
        </section>
    }
}

/// Lays the project at the place where the two programs meet, and says which way is wanted.
fn open(way: &str, store: Store, showing: Showing) {
    let there = document().get_element_by_id(PLACE);
    let first = there.is_none();
    let Some(place) = there.or_else(|| made(store, showing)) else { return };
    let _ = place.set_attribute(WAY, way);
    store.project().with_untracked(|project| {
        let _ = place.set_attribute(PROJECT, &project.without_photo().to_json());
    });
    if first {
        fetch(&place, showing);
    } else if let Ok(event) = Event::new(WANTED) {
        let _ = place.dispatch_event(&event);
    }
}

fn made(store: Store, showing: Showing) -> Option<Element> {
    let place = document().create_element("div").ok()?;
    place.set_id(PLACE);
    document().body()?.append_child(&place).ok()?;
    let taken = place.clone();
    EventListener::new(&place, TAKEN, move |_| take(&taken, store, showing)).forget();
    let closed = place.clone();
    EventListener::new(&place, CLOSED, move |_| {
        let _ = closed.remove_attribute(WAY);
    })
    .forget();
    Some(place)
}

/// The program's file has the same name in every edition: see `worker::ask`.
fn fetch(place: &Element, showing: Showing) {
    let Ok(script) = document().create_element("script") else { return };
    let edition = document().query_selector("link[rel=modulepreload]").ok().flatten();
    let edition = edition.and_then(|link| link.get_attribute("href")).unwrap_or_default();
    let edition = edition.rsplit('/').next().unwrap_or_default();
    let _ = script.set_attribute("type", "module");
    script.set_text_content(Some(&format!(
        "import('./capture.js?{edition}').then(m=>m.default({{module_or_path:'./capture_bg.wasm?{edition}'}}))\
         .catch(()=>document.getElementById('{PLACE}').dispatchEvent(new Event('failed')))"
    )));
    let failed = place.clone();
    EventListener::new(place, "failed", move |_| {
        // So that it is fetched anew when it is next asked for.
        failed.remove();
        showing.file_trouble.set(Some(words().worker.not_loaded.to_owned()));
    })
    .forget();
    let _ = place.append_child(&script);
}

/// Takes the line that was laid there.
fn take(place: &Element, store: Store, showing: Showing) {
    let text = place.get_attribute(TRACE).unwrap_or_default();
    let Some(trace) = parse(&text).ok().and_then(|value| Trace::read(&value).ok()) else { return };
    let extent: Vec<f64> = place
        .get_attribute(EXTENT)
        .unwrap_or_default()
        .split(' ')
        .filter_map(ribline_geometry::decimal::read)
        .collect();
    let photo = place.get_attribute(PHOTO).zip(<[f64; 4]>::try_from(extent).ok());
    let photo =
        photo.and_then(|(base64, [x0, y0, x1, y1])| BoardPhoto::new(&base64, Rect { x0, y0, x1, y1 }));
    // It is long, and nobody reads it there again.
    let _ = place.remove_attribute(PHOTO);
    showing.pick(None);
    store.change(Change::Captured(trace, photo));
    store.settle();
}
