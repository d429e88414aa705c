//! The page itself, mounted in a browser: the first screen, keeping the work, and what is done with work that is damaged.
#![cfg(target_arch = "wasm32")]

use gloo_timers::future::TimeoutFuture;
use leptos::prelude::{document, window};
use ribline_app::reading::reading;
use ribline_app::storage::kept::{self, Found};
use wasm_bindgen::JsCast;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};
use web_sys::{Event, EventInit, HtmlElement, HtmlInputElement, Storage};

wasm_bindgen_test_configure!(run_in_browser);

/// Longer than the page waits before it keeps a change.
const KEPT_BY_THEN_MS: u32 = 900;

fn storage() -> Storage {
    window().local_storage().expect("no error").expect("local storage")
}

fn element(test: &str) -> HtmlElement {
    let found = document().query_selector(&format!("[data-test=\"{test}\"]")).expect("a good selector");
    found.unwrap_or_else(|| panic!("there is no {test} on the page")).unchecked_into()
}

fn is_there(test: &str) -> bool {
    document().query_selector(&format!("[data-test=\"{test}\"]")).is_ok_and(|found| found.is_some())
}

fn type_into(test: &str, text: &str) {
    let input: HtmlInputElement = element(test).unchecked_into();
    input.set_value(text);
    let bubbling = EventInit::new();
    bubbling.set_bubbles(true);
    let event = Event::new_with_event_init_dict("input", &bubbling).expect("an event");
    input.dispatch_event(&event).expect("dispatched");
}

async fn settled() {
    TimeoutFuture::new(60).await;
}

/// One test, since a browser has one local storage and one body: the life of a page from its first opening.
#[wasm_bindgen_test]
async fn the_first_screen_shows_the_job_and_what_is_done_there_is_kept() {
    storage().clear().expect("cleared");
    ribline_app::start(ribline_app::parts::at_hand());
    settled().await;

    let edge = || element("edge-path").get_attribute("d").unwrap_or_default();
    let first = edge();
    assert!(first.len() > 500, "the example's edge is drawn at once");
    assert!(element("sheet-title").inner_text().contains("invented"));
    assert!(element("report").inner_text().contains("Overhang"));

    type_into("field-overhang-lower", "3,4");
    settled().await;
    let wider = edge();
    assert_ne!(wider, first, "the edge follows a number with a decimal comma");

    type_into("field-overhang-lower", "99");
    settled().await;
    assert_eq!(edge(), wider, "the last good drawing stays");
    assert!(element("error-overhang-lower").inner_text().contains("15"), "the bounds are named");
    let field: HtmlInputElement = element("field-overhang-lower").unchecked_into();
    assert_eq!(field.value(), "99", "what was typed stays");

    element("undo").click();
    settled().await;
    assert_eq!(edge(), first);
    element("redo").click();
    settled().await;
    assert_eq!(edge(), wider);

    TimeoutFuture::new(KEPT_BY_THEN_MS).await;
    match kept::find(reading()) {
        Found::Work { project, .. } => assert_eq!(project.wish.overhang.lower, 3.4),
        _ => panic!("the work was not kept"),
    }

    // The face decides the names of the sides; for a back the inside up has the bass side on the left.
    assert!(element("side-left").text_content().is_some_and(|text| text.contains("bass")));
    element("step-ribs").click();
    settled().await;
    element("face-outside").click();
    settled().await;
    assert!(element("side-left").text_content().is_some_and(|text| text.contains("treble")));

    element("step-set-out").click();
    settled().await;
    assert!(is_there("recipe-outline") && !is_there("edge-path"));

    TimeoutFuture::new(KEPT_BY_THEN_MS).await;
    storage().set_item("ribline.work", "{ \"format\": \"ribl").expect("stored");
    assert!(matches!(kept::find(reading()), Found::Damaged { .. }));
    assert_eq!(
        kept::damaged().as_deref(),
        Some("{ \"format\": \"ribl"),
        "damaged work is set aside, not lost"
    );
    kept::forget_damaged();
    assert_eq!(kept::damaged(), None);
}
