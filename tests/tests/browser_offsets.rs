//! The table of offsets on the built page, in a real Chromium.

use ribline_tests::at_the_photo::open_way;
use ribline_tests::page::{Page, Screen, by_test_id};
use serde_json::json;

#[test]
fn the_offsets_table_goes_down_the_column_and_flags_what_cannot_be() {
    let page = open_way(Screen::DESK, "offsets");
    page.focus(&by_test_id("offset-0-left"));
    page.press("62,5\u{E007}70.25\u{E007}");
    page.wait_until("two points", |page| page.value(&by_test_id("offset-1-left")) == "70.25");
    page.press("7o");
    page.wait_for_words(&by_test_id("error-offset-2-left"), "no number");
    page.fill(&by_test_id("offset-2-left"), "900");
    page.wait_for_words(&by_test_id("error-offset-2-left"), "No plate is that large");
    page.fill(&by_test_id("offset-2-left"), "-4");
    page.wait_for_words(&by_test_id("error-offset-2-left"), "outwards");
    page.click(&by_test_id("offsets-unit-inches"));
    page.fill(&by_test_id("offset-2-left"), "");
    page.wait_until("no trouble", |page| page.text(&by_test_id("error-offset-2-left")).is_empty());
    page.fill(&by_test_id("offset-5-left"), "3 1/4");
    // The row at 30 mm, and y goes down on a screen.
    let dots = |page: &Page| page.attribute(&by_test_id("offsets-dots"), "d").unwrap_or_default();
    page.wait_until("the place", |page| dots(page).contains("M-82.55 -30.00"));
    // What was filled in in mm stays what it was.
    assert_eq!(page.value(&by_test_id("offset-0-left")), "62,5 mm");
    assert!(dots(&page).contains("M-62.50 10.00"), "the first row lies below the pin");
    page.click(&by_test_id("offsets-sheet"));
    assert!(page.downloaded("pdf").exists());
}

#[test]
fn figures_that_were_measured_are_there_again_when_the_bench_or_the_page_was_closed() {
    let page = open_way(Screen::DESK, "offsets");
    page.click(&by_test_id("offsets-unit-inches"));
    page.fill(&by_test_id("offset-1-left"), "3 1/4");
    page.press("\u{E00C}");
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    let again = |page: &Page| {
        page.click(&by_test_id("step-ribs"));
        page.click(&by_test_id("take-offsets"));
        page.wait_until("the figure", |page| page.value(&by_test_id("offset-1-left")) == "3 1/4");
    };
    again(&page);
    page.reload();
    again(&page);
    page.click(&by_test_id("offsets-empty"));
    page.wait_until("an empty table", |page| page.value(&by_test_id("offset-1-left")).is_empty());
    page.click(&by_test_id("offsets-put-back"));
    page.wait_until("the figure", |page| page.value(&by_test_id("offset-1-left")) == "3 1/4");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn heights_are_in_inches_and_a_corner_is_a_corner_where_that_is_chosen() {
    let page = open_way(Screen::PHONE, "offsets");
    page.click(&by_test_id("offsets-unit-inches"));
    page.wait_until("inches", |page| page.value(&by_test_id("offset-0-height")) == "−1/2");
    page.choose(&by_test_id("offset-2-what"), "1");
    page.fill(&by_test_id("offset-2-left"), "3 1/2");
    // A corner is a point of each of its runs.
    page.wait_for_words(&by_test_id("offsets-take"), "2 points");
    let place = page.place(&by_test_id("offset-0-right"));
    assert!(place.x1 <= 390.0, "{place:?}");
}

#[test]
fn rows_laid_out_anew_keep_the_heights_that_were_typed() {
    let page = open_way(Screen::DESK, "offsets");
    page.fill(&by_test_id("offset-2-height"), "33.5");
    page.click(&by_test_id("offsets-lay-out"));
    page.wait_until("the height that was typed, first", |page| {
        page.value(&by_test_id("offset-0-height")) == "33.5"
            && page.value(&by_test_id("offset-1-height")) == "−10"
    });
    page.reload();
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("take-offsets"));
    page.wait_until("it again", |page| page.value(&by_test_id("offset-0-height")) == "33.5");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_kept_table_that_cannot_be_read_is_set_aside_as_it_was() {
    let page = Page::open(Screen::DESK);
    let unreadable = "ells\n0\t10\t61.5\t62";
    page.js("localStorage.setItem('ribline.offsets', arguments[0])", vec![json!(unreadable)]);
    page.click(&by_test_id("step-ribs"));
    for _ in 0..2 {
        page.click(&by_test_id("take-offsets"));
        page.wait_for_words(&by_test_id("offsets-set-aside"), "cannot be read");
        page.fill(&by_test_id("offset-1-left"), "61");
        page.click(&by_test_id("close-capture"));
        page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    }
    page.click(&by_test_id("take-offsets"));
    assert_eq!(page.value(&by_test_id("offset-1-left")), "61");
    page.click(&by_test_id("offsets-set-aside-save"));
    let saved = std::fs::read_to_string(page.downloaded(".txt")).unwrap();
    assert_eq!(saved, unreadable);
    page.click(&by_test_id("offsets-set-aside-forget"));
    page.wait_until("it to be thrown away", |page| page.count(&by_test_id("offsets-set-aside")) == 0);
    assert_eq!(page.js("return localStorage.getItem('ribline.offsets.set-aside')", vec![]), json!(null));
    assert_eq!(page.console_errors(), []);
}
