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
fn while_the_bench_is_open_the_keyboard_stays_in_it_and_then_goes_back_to_the_button() {
    let page = Page::open(Screen::DESK);
    page.click(&by_test_id("step-ribs"));
    page.focus(&by_test_id("take-offsets"));
    page.press("\u{E007}");
    let at = "return document.activeElement.closest('.capture') ? 'bench' : document.activeElement.dataset.test ?? ''";
    page.wait_until("the focus in the bench", |page| page.js(at, vec![]) == json!("bench"));
    for _ in 0..60 {
        page.press("\u{E004}");
        // After the last field the browser's own controls have their turn.
        let at = page.js(at, vec![]);
        assert!(at == json!("bench") || at == json!(""), "{at}");
    }
    page.press("\u{E00C}");
    page.wait_until("the focus on the button", |page| page.js(at, vec![]) == json!("take-offsets"));
    page.click(&by_test_id("step-edge"));
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("take-offsets"));
    page.wait_until("the bench", |page| page.count(".capture") == 1);
    page.js("history.back()", vec![]);
    page.wait_until("the step before", |page| page.count(&by_test_id("step-panel-edge")) == 1);
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    page.click(&by_test_id("step-bench"));
    assert_eq!(page.console_errors(), []);
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
    page.click(&by_test_id("offsets-take-back"));
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
fn rows_laid_out_anew_keep_what_was_typed_at_its_height_and_are_taken_back() {
    let page = open_way(Screen::DESK, "offsets");
    page.fill(&by_test_id("offset-2-height"), "33.5");
    page.focus(&by_test_id("offset-3-left"));
    page.press("61\u{E007}62\u{E007}63");
    page.fill(&by_test_id("field-offsets-every"), "20");
    page.click(&by_test_id("offsets-lay-out"));
    let column = |page: &Page, of: &str| -> Vec<String> {
        (0..8).map(|row| page.value(&by_test_id(&format!("offset-{row}-{of}")))).collect()
    };
    page.wait_until("rows twice as far apart", |page| {
        column(page, "height") == ["−10", "−5", "0", "10", "20", "30", "33.5", "40"]
    });
    assert_eq!(column(&page, "left"), ["", "", "", "61", "62", "63", "", ""]);
    page.reload();
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("take-offsets"));
    page.wait_until("it again", |page| page.value(&by_test_id("offset-6-height")) == "33.5");
    page.fill(&by_test_id("field-offsets-every"), "5");
    page.click(&by_test_id("offsets-lay-out"));
    page.wait_until("closer rows", |page| page.value(&by_test_id("offset-3-height")) == "5");
    page.focus(&by_test_id("offset-3-left"));
    page.press("60");
    for (key, left) in [("\u{E009}z", ""), ("\u{E009}z", "61"), ("\u{E009}y", ""), ("\u{E009}y", "60")] {
        page.press(key);
        page.press("\u{E000}");
        page.wait_until("the step", |page| page.value(&by_test_id("offset-3-left")) == left);
    }
    assert_eq!(page.console_errors(), []);
}

#[test]
fn settings_of_the_rows_are_read_as_the_rows_are_and_none_is_laid_out_while_one_is_refused() {
    let page = open_way(Screen::DESK, "offsets");
    page.click(&by_test_id("offsets-unit-inches"));
    page.fill(&by_test_id("field-offsets-every-inches"), "3/8");
    page.fill(&by_test_id("field-offsets-up-to-inches"), "13 1/2");
    page.click(&by_test_id("offsets-lay-out"));
    page.wait_until("rows", |page| page.value(&by_test_id("offset-3-height")) == "3/8");
    page.fill(&by_test_id("field-offsets-every-inches"), "1 4/3");
    page.wait_for_words(&by_test_id("error-offsets-every-inches"), "less than one");
    page.click(&by_test_id("offsets-lay-out"));
    page.wait_for_words(&by_test_id("error-offsets"), "as they were");
    assert_eq!(page.value(&by_test_id("offset-3-height")), "3/8");
    page.fill(&by_test_id("field-offsets-every-inches"), "9");
    page.wait_for_words(&by_test_id("error-offsets-every-inches"), "1/8 to 2 in");
    page.fill(&by_test_id("field-offsets-every-inches"), "0,75");
    page.click(&by_test_id("offsets-lay-out"));
    page.wait_until("rows", |page| page.value(&by_test_id("offset-3-height")) == "3/4");
    assert_eq!(page.text(&by_test_id("error-offsets")), "");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn what_would_be_left_out_is_named_where_the_points_are_taken() {
    for screen in [Screen::DESK, Screen::PHONE] {
        let page = open_way(screen, "offsets");
        page.click(&by_test_id("offsets-unit-inches"));
        page.focus(&by_test_id("offset-2-left"));
        page.press(&(0..12).map(|_| "3 1/4\u{E007}").collect::<String>());
        page.wait_for_words(&by_test_id("offsets-take"), "12 points");
        assert_eq!(page.text(&by_test_id("offsets-refused")), "");
        page.fill(&by_test_id("offset-4-right"), "3 4/3");
        page.fill(&by_test_id("offset-31-left"), "4");
        page.wait_for_words(&by_test_id("offsets-refused"), "at 1, right; lower corner, left");
        page.wait_for_words(&by_test_id("offsets-take"), "without the 2 refused");
        page.wait_for_words(&by_test_id("error-offset-4-right"), "Right: A fraction");
        // The sentence has the table's width.
        let (told, table) =
            (page.place(&by_test_id("error-offset-4-right")), page.place(&by_test_id("offsets-table")));
        assert!(told.width() > 0.8 * table.width(), "{told:?} in {table:?}");
        page.click(&by_test_id("offsets-to-refused"));
        let at_hand = page.js("return document.activeElement.id", vec![]);
        assert_eq!(at_hand, json!("offset-4-right"));
        assert_eq!(page.console_errors(), []);
    }
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
