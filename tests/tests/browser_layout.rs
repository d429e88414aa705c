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

#[test]
fn in_large_type_and_in_a_narrow_window_every_step_can_be_pressed_and_the_drawing_keeps_its_room() {
    let page = Page::open(Screen::DESK);
    let steps = ["set-out", "ribs", "bench", "teach", "edge"];
    let covered = "return [...document.querySelectorAll('.strip button')].filter(button => {
        const box = button.getBoundingClientRect();
        return !button.contains(document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2));
    }).map(button => button.dataset.test)";
    for (width, height, letters) in [
        (1280, 800, 20),
        (1280, 800, 24),
        (1280, 800, 32),
        (390, 844, 20),
        (390, 844, 24),
        (360, 640, 16),
        (320, 640, 16),
        (195, 422, 16),
    ] {
        page.look_through(Screen { width, height, ..Screen::DESK });
        // The size of letters in the browser's own settings, which is not its zoom.
        page.devtools("Page.setFontSizes", json!({ "fontSizes": { "standard": letters } }));
        for step in steps {
            page.click(&by_test_id(&format!("step-{step}")));
            page.wait_until(step, |page| page.count(&by_test_id(&format!("step-panel-{step}"))) == 1);
            assert_eq!(page.js(covered, vec![]), json!([]), "{width} by {height}, {letters}, {step}");
        }
        let drawing = page.place(&by_test_id("drawing"));
        let screen = f64::from(width) * f64::from(height);
        assert!(drawing.area() > 0.3 * screen, "{width} by {height}, {letters}: {drawing}");
        let over = "return document.documentElement.scrollWidth - document.documentElement.clientWidth";
        assert_eq!(page.js(over, vec![]), json!(0), "{width} by {height}, {letters}");
    }
    assert_eq!(page.console_errors(), []);
}

#[test]
fn the_place_that_is_worst_out_of_tolerance_has_its_figure_at_every_size() {
    let page = Page::open(Screen::DESK);
    // By the recipe alone these ribs are left by far.
    page.click(&by_test_id("finish-recipe"));
    page.wait_until("a place out of tolerance", |page| page.text(".summary").contains(" by "));
    for (width, height) in [(1280, 800), (1280, 1600), (1920, 1080), (820, 1180), (390, 844)] {
        page.look_through(Screen { width, height, ..Screen::DESK });
        let figures = |grade: &str| -> Vec<f64> {
            let texts = page.texts(&format!("[data-test=overhang-figures] .{grade}"));
            texts.iter().filter_map(|text| text.split(' ').next()?.parse().ok()).collect()
        };
        let summary = page.text(".summary");
        let told: Vec<f64> = summary.split(' ').filter_map(|word| word.parse().ok()).take(2).collect();
        page.wait_until(&format!("{told:?} at {width} by {height}"), |_| {
            let least = figures("thin").into_iter().fold(f64::INFINITY, f64::min);
            let most = figures("full").into_iter().fold(0.0, f64::max);
            if summary.contains("thin by") { told[0] == least } else { told[1] == most }
        });
        // None is cut by the rim.
        let drawing = page.place(&by_test_id("drawing"));
        let outside = "return [...document.querySelectorAll('[data-test=overhang-figures] text')]
            .map(text => text.getBoundingClientRect())
            .filter(box => box.left < arguments[0] || box.right > arguments[1]).length";
        assert_eq!(page.js(outside, vec![json!(drawing.x0), json!(drawing.x1)]), json!(0), "{width}");
    }
    assert_eq!(page.console_errors(), []);
}
