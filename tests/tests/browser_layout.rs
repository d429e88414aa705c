//! What lies where, how large it is and what it belongs to, on the three screens.

use ribline_tests::page::{Page, Screen, by_test_id};
use serde_json::{Value, json};

#[test]
fn the_tables_of_the_edge_fit_beside_the_drawing_and_below_it() {
    for screen in [Screen::DESK, Screen::TABLET, Screen::PHONE] {
        let page = Page::open(screen);
        for finish in ["finish-ratio", "finish-fitted"] {
            page.wait_until("the table of arcs", |page| page.count(&by_test_id("arc-row")) > 20);
            page.click(&by_test_id(finish));
            let cut_off = "return [...document.querySelectorAll('.wide-table')]
                .map(table => table.scrollWidth - table.clientWidth).filter(by => by > 0)";
            assert_eq!(page.js(cut_off, vec![]), json!([]), "{} {finish}", screen.width);
        }
        assert_eq!(page.console_errors(), []);
    }
}

#[test]
fn on_a_phone_the_ribbon_is_explained_where_it_is_seen() {
    let page = Page::open(Screen::PHONE);
    page.wait_until("the controls", |page| page.count(&by_test_id("arc-row")) > 20);
    let (drawing, legend) = (page.place(&by_test_id("drawing")), page.place(".legend"));
    assert!((legend.y0 - drawing.y1).abs() < 2.0, "{legend} below {drawing}");
    let (layers, controls) = (page.place(".layers"), page.place(".controls"));
    assert!(layers.y0 < 844.0 && layers.y1 <= controls.y0 + 1.0, "{layers} before {controls}");
    page.js("scrollTo(0, 1500)", vec![]);
    assert_eq!(page.place(".legend"), legend);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn what_a_finger_taps_is_high_enough() {
    let low = "return [...document.querySelectorAll('main :is(button, select, input, summary, label.toggle), .margin button, .margin .toggle')]
        .filter(thing => thing.checkVisibility() && !thing.matches('[type=checkbox], [type=radio], .unseen'))
        .filter(thing => thing.getBoundingClientRect().height < 35.9)
        .map(thing => thing.outerHTML.slice(0, 120))";
    for screen in [Screen::PHONE, Screen::TABLET] {
        let page = Page::open(screen);
        for (step, there) in [
            ("set-out", "steps"),
            ("ribs", "remove-point"),
            ("edge", "arc-row"),
            ("bench", "strike-row"),
            ("teach", "replay-print"),
        ] {
            page.click(&by_test_id(&format!("step-{step}")));
            page.wait_until(step, |page| page.count(&by_test_id(there)) > 0);
            page.js("document.querySelectorAll('details').forEach(one => one.open = true)", vec![]);
            assert_eq!(page.js(low, vec![]), json!([]), "{} {step}", screen.width);
        }
        assert_eq!(page.console_errors(), []);
    }
}

#[test]
fn a_field_names_the_sentence_of_its_trouble() {
    let page = Page::open(Screen::DESK);
    for (step, field) in [("ribs", "row-0-x"), ("ribs", "row-0-y"), ("bench", "field-as-cut-bottom")] {
        page.click(&by_test_id(&format!("step-{step}")));
        page.wait_until(step, |page| page.count(&by_test_id(field)) == 1);
        page.fill(&by_test_id(field), "about three");
        let told = "const field = document.querySelector(arguments[0]);
            return document.getElementById(field.getAttribute('aria-describedby'))?.textContent ?? ''";
        page.wait_until("a sentence", |page| {
            page.js(told, vec![Value::String(by_test_id(field))]).as_str().is_some_and(|said| said.len() > 10)
        });
    }
    assert_eq!(page.console_errors(), []);
}
