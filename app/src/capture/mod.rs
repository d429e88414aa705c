//! Taking the line at the bench: a program of its own beside the page's, `src/bin/capture.rs`, that is fetched when one of its ways
//! is first asked for, since photos are heavy and most visits need none of it. Heavy work is done by the worker.
//!
//! Tests find: `capture` (the whole, an id), `close-capture`; `photo-stage`, `open-photo`, `camera`, `error-photo`, `asked`, `photo-take-back`,
//! `photo-remove`, `photo-go-on`, `photo-not-kept`, `photo-larger`, `photo-smaller`, `photo-all`, `photo-turn`, `photo-mirror`, `without-pins`, `scale-frame` `scale-rectangle`
//! `scale-pins` `scale-scan`, `squared`, `remarks`, `error-squared`, `to-line`, `to-scale`, `tone-found` and so on, `followed`,
//! `line-state`, `line-remarks`, `error-corners`, `take-line`; `offsets-table`, `offset-ROW-height` `offset-ROW-left` `offset-ROW-right`, `offsets-empty`, `offsets-take-back`,
//! `offsets-do-again`, `offsets-refused`, `offsets-to-refused`, `offsets-take`,
//! `offsets-set-aside`, `offsets-set-aside-save`, `offsets-set-aside-forget`;
//! `open-drawing`, `drawing-line-K`, `drawing-size`, `drawing-other-size`, `drawing-unit`, `drawing-take`, `error-drawing`; `field-before-…`, `before-turn`, `before-choice`;
//! `open-earlier`, `again-mirrored`, `again-summary`, `again-differences`, `again-face`, `again-key`, `again-mark`, `error-again`.

mod again;
mod alone;
mod before;
mod drawing;
pub mod hand_over;
mod kept;
mod length;
mod measures_kept;
mod offset_kept;
mod offset_rows;
mod offset_steps;
mod offsets;
mod opening;
mod photo;
mod photo_kept;
mod placed;
mod said;
mod session;
mod shown;
mod stage;
mod taps;
mod under_drawing;

use crate::controls::press;
use crate::store::Store;
use crate::words::capture::words;
use again::TracedAgain;
use alone::alone;
use before::BeforeScribing;
use drawing::FromDrawing;
use leptos::prelude::*;
use offsets::Offsets;
use photo::FromPhoto;
use ribline_geometry::capture::FrameSheet;
use ribline_geometry::project::Project;
use ribline_geometry::recipe::Dimension;
use wasm_bindgen::{JsCast, JsValue};

const STYLES: &str = include_str!("../../capture.css");

/// Shows the way that the page wants, now and whenever it wants another.
pub fn start() {
    std::panic::set_hook(Box::new(|info| {
        web_sys::console::error_1(&JsValue::from_str(&info.to_string()));
    }));
    let Some(place) = hand_over::place() else { return };
    let wanted = RwSignal::new(hand_over::wanted().zip(hand_over::project()));
    let listened: web_sys::EventTarget = place.clone().into();
    for (event, wants) in [(hand_over::WANTED, true), (hand_over::CLOSED, false)] {
        gloo::events::EventListener::new(&listened, event, move |_| {
            wanted.set(if wants { hand_over::wanted().zip(hand_over::project()) } else { None });
        })
        .forget();
    }
    let mounted = mount_to(place.unchecked_into(), move || {
        view! {
            <style>{STYLES}</style>
            {move || wanted.get().map(|(way, project)| view! { <Bench way project /> })}
        }
    });
    mounted.forget();
}

#[component]
fn Bench(way: String, project: Project) -> impl IntoView {
    let store = Store::new(project.clone());
    // Fields settle what they change; nothing here changes the project.
    provide_context(store);
    let words = words();
    let (title, content) = match way.as_str() {
        "offsets" => (words.offsets.title, view! { <Offsets project /> }.into_any()),
        "drawing" => (words.drawing.title, view! { <FromDrawing project /> }.into_any()),
        "again" => (words.again.title, view! { <TracedAgain project /> }.into_any()),
        "before" => (words.before.title, view! { <BeforeScribing project /> }.into_any()),
        _ => (words.photo.title, view! { <FromPhoto frame=frame_for(&project) project /> }.into_any()),
    };
    let close = window_event_listener(leptos::ev::keydown, |event| {
        if event.key() == "Escape" {
            hand_over::close();
        }
    });
    // The browser's way back leaves it as well: the page behind goes to another step.
    let left = window_event_listener(leptos::ev::hashchange, |_| hand_over::close());
    on_cleanup(move || {
        close.remove();
        left.remove();
    });
    let open = NodeRef::new();
    if let Some(place) = hand_over::place() {
        alone(&place, open);
    }
    view! {
        <section class="capture" role="dialog" aria-modal="true" aria-label=title tabindex="-1" node_ref=open>
            <header>
                <h1>{title}</h1>
                {press("close-capture", words.close, hand_over::close).view()}
            </header>
            {content}
        </section>
    }
}

/// The frame around a body of the project's size.
fn frame_for(project: &Project) -> (f64, f64) {
    let dimension = |of| project.recipe.evaluate().ok().map(|drawn| drawn.dimension(of));
    let (length, width) = (dimension(Dimension::BodyLength), dimension(Dimension::LowerWidth));
    FrameSheet::around_body(length.unwrap_or(355.0), width.unwrap_or(208.0))
        .map_or((270.0, 420.0), |sheet| (sheet.width(), sheet.height()))
}
