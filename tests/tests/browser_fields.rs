//! What is typed, half typed, refused and given up, on the built page in a real Chromium: nothing of it does harm, and nothing is lost.

use kurbo::Vec2;
use ribline_tests::page::{Page, Screen, by_test_id};

fn edge(page: &Page) -> String {
    page.attribute(&by_test_id("edge-path"), "d").unwrap_or_default()
}

/// As it is known to the buttons: what a step back or forward would do.
fn can(page: &Page, step: &str) -> bool {
    page.attribute(&by_test_id(step), "disabled").is_none()
}

#[test]
fn a_number_that_cannot_be_leaves_everything_as_it_was() {
    let page = Page::open(Screen::DESK);
    page.click(&by_test_id("step-edge"));
    let before = edge(&page);
    let field = by_test_id("field-overhang-upper");
    // On the way to it stands a number that can be.
    for cannot_be in ["25", "1,5,2", "7x"] {
        page.fill(&field, cannot_be);
        page.wait_until("a sentence", |page| !page.text(&by_test_id("error-overhang-upper")).is_empty());
        assert_eq!(page.value(&field), cannot_be);
        page.wait_until("the edge as it was", |page| edge(page) == before);
    }
    page.focus(&by_test_id("field-overhang-lower"));
    assert!(!can(&page, "undo"), "nothing was changed");
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("step-edge"));
    page.wait_until("the number as it was", |page| page.value(&field) == "2.5");
    // A number that can be is a change, and refused text does not outlast a step back.
    page.fill(&field, "3.2");
    page.wait_until("another edge", |page| edge(page) != before);
    page.focus(&by_test_id("field-overhang-lower"));
    page.fill(&field, "99");
    page.wait_until("a sentence", |page| !page.text(&by_test_id("error-overhang-upper")).is_empty());
    page.click(&by_test_id("undo"));
    page.wait_until("the edge as it was", |page| edge(page) == before);
    assert_eq!(
        (page.value(&field).as_str(), page.text(&by_test_id("error-overhang-upper"))),
        ("2.5", String::new())
    );

    page.click(&by_test_id("step-ribs"));
    let (x, first) = (by_test_id("row-0-x"), page.value(&by_test_id("row-0-x")));
    page.fill(&x, "777777");
    page.wait_until("the edge as it was", |page| edge(page) == before && page.value(&x) == "777777");
    page.click(&by_test_id("redo"));
    page.wait_until("the overhang again", |page| edge(page) != before);
    page.click(&by_test_id("remove-point"));
    page.wait_until("the row of another point", |page| page.value(&x) != "777777" && page.value(&x) != first);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn whatever_a_corner_can_be_is_there_again_after_a_reload() {
    let page = Page::open(Screen::DESK);
    page.click(&by_test_id("step-edge"));
    let width = by_test_id("field-width-upper-right");
    page.wait_until("the corners", |page| page.count(&width) == 1);
    page.js("document.querySelectorAll('details').forEach(d => d.open = true)", vec![]);
    page.fill(&width, "39");
    page.wait_until("a sentence", |page| !page.text(&by_test_id("error-width-upper-right")).is_empty());
    page.fill(&width, "24");
    page.wait_until("no sentence", |page| page.text(&by_test_id("error-width-upper-right")).is_empty());
    page.choose(&by_test_id("field-cut-upper-right"), "1");
    page.wait_until("how far that is", |page| page.count(&by_test_id("field-beyond-upper-right")) == 1);
    page.fill(&by_test_id("field-beyond-upper-right"), "-10");
    page.choose(&by_test_id("field-cut-upper-right"), "0");
    page.wait_until("how wide that is", |page| page.count(&width) == 1);
    assert!(page.value(&width).parse::<f64>().is_ok_and(|mm| mm <= 25.0));
    // Pulled out as far as a hand will go.
    let corner = page.place("#corner-upper-left").center();
    page.drag(corner, corner + Vec2::new(-160.0, -60.0), 8);
    std::thread::sleep(std::time::Duration::from_millis(800));
    let (kept, points) = (edge(&page), page.count(&by_test_id("traced-point")));
    page.reload();
    page.wait_until("the work as it was", |page| {
        page.count(&by_test_id("traced-point")) == points && edge(page) == kept
    });
    assert_eq!(page.count(&by_test_id("error-file")), 0);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_drag_that_is_given_up_gives_the_way_forward_back() {
    let page = Page::open(Screen::DESK);
    let before = edge(&page);
    let point = page.place(&format!("{}[data-line=\"20\"]", by_test_id("traced-point"))).center();
    page.drag(point, point + Vec2::new(4.0, 3.0), 4);
    page.wait_until("another edge", |page| edge(page) != before);
    let dragged = edge(&page);
    page.click(&by_test_id("undo"));
    page.wait_until("the edge as it was", |page| edge(page) == before);
    page.begin_drag(point, point + Vec2::new(-5.0, 4.0), 4);
    page.wait_until("a third edge", |page| edge(page) != before);
    page.press("\u{e00c}");
    page.end_drag();
    page.wait_until("the edge as it was", |page| edge(page) == before);
    page.click(&by_test_id("redo"));
    page.wait_until("the drag again", |page| edge(page) == dragged);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn what_is_half_typed_is_there_again_after_a_reload() {
    let page = Page::open(Screen::DESK);
    page.click(&by_test_id("step-ribs"));
    page.type_into(&by_test_id("paste-area"), "lower-left,1");
    page.type_into(&by_test_id("entry-x"), "12,");
    page.click(&by_test_id("step-bench"));
    page.type_into(&by_test_id("field-record-cut-on"), "12 May");
    let there = |page: &Page| {
        page.click(&by_test_id("step-bench"));
        page.wait_until("the day", |page| page.value(&by_test_id("field-record-cut-on")) == "12 May");
        page.click(&by_test_id("step-ribs"));
        page.wait_until("the text", |page| page.value(&by_test_id("paste-area")) == "lower-left,1");
        assert_eq!(page.value(&by_test_id("entry-x")), "12,");
    };
    there(&page);
    page.click(&by_test_id("step-bench"));
    page.type_into(&by_test_id("field-record-traced-on"), "3 May");
    page.reload();
    there(&page);
    page.click(&by_test_id("step-bench"));
    page.wait_until("the other day", |page| page.value(&by_test_id("field-record-traced-on")) == "3 May");
    assert_eq!(page.console_errors(), []);
}
