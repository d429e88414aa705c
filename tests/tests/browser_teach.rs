//! The replay of a recipe in a real browser: forwards and back, played, over the whole screen, by key, without motion,
//! and on paper.

use ribline_tests::page::{Key, Page, Screen, by_test_id};
use serde_json::{Value, json};

fn open(path: &str) -> Page {
    let page = Page::open_at(Screen::DESK, path);
    page.wait_until("the drawing", |page| page.count(&format!("{} path", by_test_id("replay-drawing"))) > 0);
    page
}

fn number(page: &Page) -> usize {
    let words = page.text(&by_test_id("replay-number"));
    let digits: String =
        words.chars().skip_while(|c| !c.is_ascii_digit()).take_while(char::is_ascii_digit).collect();
    digits.parse().expect("the number of the step")
}

fn count(page: &Page) -> usize {
    page.count(&by_test_id("replay-step"))
}

fn complete(page: &Page) -> bool {
    page.attribute(&by_test_id("replay-drawing"), "data-complete").as_deref() == Some("true")
}

fn address(page: &Page) -> Value {
    page.js("return location.hash", vec![])
}

/// What the system says that it asks of pages.
fn reduce_motion(page: &Page) {
    page.devtools(
        "Emulation.setEmulatedMedia",
        json!({ "features": [{ "name": "prefers-reduced-motion", "value": "reduce" }] }),
    );
}

#[test]
fn every_step_is_gone_through_forwards_and_back_and_says_what_is_done() {
    let page = open("#teach");
    reduce_motion(&page);
    let last = count(&page);
    assert!(last > 30, "measures, steps, the left half, six runs in ink");
    let mut drawings = Vec::new();
    for step in 1..=last {
        assert_eq!(number(&page), step);
        assert!(page.text(&by_test_id("replay-sentence")).len() > 15, "step {step}");
        assert_eq!(address(&page), json!(format!("#teach/{step}")));
        drawings.push(page.attribute(&format!("{} .now path:last-child", by_test_id("replay-drawing")), "d"));
        if step < last {
            page.click(&by_test_id("replay-on"));
            page.wait_until("the next step", |page| {
                number(page) == step + 1 && address(page) == json!(format!("#teach/{}", step + 1))
            });
        }
    }
    page.click(&by_test_id("replay-on"));
    assert_eq!(number(&page), last, "there is none after the last");
    for step in (1..last).rev() {
        page.click(&by_test_id("replay-back"));
        page.wait_until("the step before", |page| number(page) == step);
        let now = page.attribute(&format!("{} .now path:last-child", by_test_id("replay-drawing")), "d");
        assert_eq!(now, drawings[step - 1], "step {step} is the same from either side");
    }
    assert_eq!(page.console_errors(), []);
}

#[test]
fn an_arc_is_swept_before_the_eye_and_the_compass_says_its_setting() {
    let page = open("#teach/10");
    page.click(&by_test_id("replay-back"));
    page.wait_until("step 9", |page| number(page) == 9);
    // As slow as it goes; every shape the arc has on its way is written down by the page itself, for it moves on between two questions.
    page.js(
        "const pace = document.querySelector(arguments[0]);
        pace.value = pace.min;
        pace.dispatchEvent(new Event('input', { bubbles: true }));
        const drawing = document.querySelector(arguments[1]);
        window.shapes = new Set();
        window.compasses = 0;
        new MutationObserver(() => {
            const struck = drawing.querySelector('.now .struck');
            if (struck) window.shapes.add(struck.getAttribute('d'));
            window.compasses = Math.max(window.compasses, drawing.querySelectorAll('.compass').length);
        }).observe(drawing, { subtree: true, childList: true, attributes: true });",
        vec![json!(by_test_id("replay-pace")), json!(by_test_id("replay-drawing"))],
    );
    page.click(&by_test_id("replay-on"));
    page.wait_until("the arc to be whole", |page| {
        complete(page) && page.js("return window.compasses > 0", vec![]) == json!(true)
    });
    let seen = page.js("return [window.shapes.size, window.compasses]", vec![]);
    let [shapes, compasses] = [0, 1].map(|k| seen[k].as_u64().expect("a count"));
    assert!(shapes > 2, "{shapes} shapes of the arc on its way");
    assert_eq!(compasses, 1);
    let settings = page.texts(&format!("{} .setting", by_test_id("replay-drawing")));
    assert!(
        settings.iter().any(|text| text.contains("90.2")),
        "4/9 of a lower width of 355 · 4/7 mm: {settings:?}"
    );
    assert_eq!(page.console_errors(), []);
}

#[test]
fn playing_goes_on_by_itself_and_ends_with_the_last_step() {
    let page = open("#teach/32");
    let last = count(&page);
    assert_eq!(number(&page), 32);
    // As fast as it goes.
    page.js(
        "const pace = document.querySelector(arguments[0]); pace.value = pace.max; pace.dispatchEvent(new Event('input', { bubbles: true }))",
        vec![json!(by_test_id("replay-pace"))],
    );
    page.click(&by_test_id("replay-play"));
    page.wait_until("the last step, drawn", |page| number(page) == last && complete(page));
    let label = |page: &Page| page.attribute(&by_test_id("replay-play"), "aria-label");
    page.wait_until("the button to offer playing again", |page| label(page).as_deref() == Some("Play"));

    // From the end it begins again; a second press holds it.
    page.click(&by_test_id("replay-play"));
    page.wait_until("the first step", |page| number(page) == 1);
    page.click(&by_test_id("replay-play"));
    page.wait_until("the button to offer playing", |page| label(page).as_deref() == Some("Play"));
    assert_eq!(page.console_errors(), []);
}

#[test]
fn keys_go_forwards_and_back_and_leave_the_fields_alone() {
    let page = open("#teach/5");
    page.js("document.activeElement.blur()", vec![]);
    for (key, then) in [
        (Key::Right, 6),
        (Key::PageDown, 7),
        (Key::Left, 6),
        (Key::PageUp, 5),
        (Key::End, count(&page)),
        (Key::Home, 1),
    ] {
        let key: char = key.into();
        page.press(&key.to_string());
        page.wait_until("the step of the key", |page| number(page) == then);
    }
    page.press(" ");
    page.wait_until("it to play", |page| {
        page.attribute(&by_test_id("replay-play"), "aria-label").as_deref() == Some("Pause")
    });
    page.press(" ");

    page.click(&by_test_id("replay-first"));
    page.focus(&by_test_id("replay-pace"));
    let right: char = Key::Right.into();
    page.press(&right.to_string());
    assert_eq!(page.value(&by_test_id("replay-pace")), "3");
    assert_eq!(number(&page), 1, "the arrow moved the slider, and only that");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn it_fills_the_screen_and_leaves_it_again() {
    let page = open("#teach/10");
    let before = page.place(&by_test_id("replay"));
    page.click(&by_test_id("replay-full"));
    page.wait_until("the whole screen", |page| {
        let place = page.place(&by_test_id("replay"));
        place.width() > before.width() + 100.0 && page.text(&by_test_id("replay-full")).contains("Leave")
    });
    let sentence = page.js(
        "return parseFloat(getComputedStyle(document.querySelector(arguments[0])).fontSize)",
        vec![json!(by_test_id("replay-sentence"))],
    );
    assert!(sentence.as_f64() > Some(22.0), "to be read from the back of a room");
    let board = |page: &Page| {
        page.js(
            "return getComputedStyle(document.querySelector(arguments[0])).backgroundColor",
            vec![json!(by_test_id("replay"))],
        )
    };
    let light = board(&page);
    page.click(&by_test_id("replay-dark"));
    page.wait_until("a dark board", |page| board(page) != light);
    let right: char = Key::Right.into();
    page.press(&right.to_string());
    page.wait_until("keys to go on", |page| number(page) == 11);
    page.click(&by_test_id("replay-full"));
    page.wait_until("the page again", |page| {
        page.place(&by_test_id("replay")).width() <= before.width() + 1.0
    });

    // Where the browser refuses, it lies over the page, and the key that leaves it is the page's own.
    page.js("Element.prototype.requestFullscreen = () => Promise.reject(new Error('refused'))", vec![]);
    page.click(&by_test_id("replay-full"));
    page.wait_until("it over the page", |page| {
        page.place(&by_test_id("replay")).width() > before.width() + 100.0
    });
    let escape: char = Key::Escape.into();
    page.press(&escape.to_string());
    page.wait_until("the page again", |page| {
        page.place(&by_test_id("replay")).width() <= before.width() + 1.0
    });
    assert_eq!(page.console_errors(), []);
}

#[test]
fn without_motion_a_step_is_there_at_once() {
    let page = open("#teach/9");
    reduce_motion(&page);
    page.js(
        "window.seen = []; new MutationObserver(() => seen.push(document.querySelector(arguments[0]).dataset.complete)) \
            .observe(document.querySelector(arguments[0]), { attributes: true, attributeFilter: ['data-complete'] })",
        vec![json!(by_test_id("replay-drawing"))],
    );
    page.click(&by_test_id("replay-on"));
    page.wait_until("the next step", |page| number(page) == 10);
    assert!(complete(&page));
    assert_eq!(page.js("return seen.includes('false')", vec![]), json!(false), "it was never half drawn");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn the_lengths_of_these_ribs_can_be_taken_instead_of_the_recipes_own() {
    let page = open("#teach/1");
    let own = page.text(&by_test_id("replay-sentence"));
    assert!(own.contains("355.0"));
    page.click(&by_test_id("replay-lengths-ribs"));
    page.wait_until("another length", |page| page.text(&by_test_id("replay-sentence")) != own);
    page.click(&by_test_id("replay-on"));
    page.wait_for_words(&by_test_id("replay-sentence"), "as found on these ribs");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn on_paper_stands_every_step_with_its_number_its_drawing_and_its_sentence() {
    let page = open("#teach/1");
    reduce_motion(&page);
    let mut sentences = Vec::new();
    for step in 1..=count(&page) {
        sentences.push(page.text(&by_test_id("replay-sentence")));
        if step < count(&page) {
            page.click(&by_test_id("replay-on"));
            page.wait_until("the next step", |page| number(page) == step + 1);
        }
    }
    assert_eq!(page.texts(&by_test_id("replay-sequence")), [""], "on the screen there is none of it");

    page.js("window.dispatchEvent(new Event('beforeprint'))", vec![]);
    let steps = format!("{} li", by_test_id("replay-sequence"));
    let printed = page.texts(&format!("{steps} > p:not(.replay-how)"));
    assert_eq!(printed, sentences);
    let numbers: Vec<String> = (1..=sentences.len()).map(|n| n.to_string()).collect();
    assert_eq!(page.texts(&format!("{steps} h2 span")), numbers);
    assert_eq!(page.count(&format!("{steps} svg")), sentences.len());
    let head = page.texts(&format!("{} header", by_test_id("replay-sequence"))).concat();
    for expected in ["thirteen arcs", "Violin", "Ribline", "355.0", "202.9", "lower width W", "4/7"] {
        assert!(head.replace('\u{00A0}', " ").contains(expected), "{expected} in {head}");
    }
    assert!(page.texts(".sequence-caution").concat().contains("sharp"));
    page.js("window.dispatchEvent(new Event('afterprint'))", vec![]);
    assert_eq!(page.texts(&by_test_id("replay-sequence")), [""]);

    // As the browser itself lays it out, on either paper.
    for (width, height) in [(210.0, 297.0), (215.9, 279.4)] {
        let inches = |mm: f64| mm / 25.4;
        let printed = page.devtools(
            "Page.printToPDF",
            json!({ "paperWidth": inches(width), "paperHeight": inches(height), "preferCSSPageSize": false }),
        );
        assert!(printed["data"].as_str().is_some_and(|data| data.len() > 50_000), "a document of many pages");
    }
    assert_eq!(page.console_errors(), []);
}
