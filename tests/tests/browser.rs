//! The built page in a real Chromium.

use ribline_tests::page::{Page, Screen};

#[test]
fn the_page_opens_without_a_console_error() {
    let page = Page::open(Screen::DESK);
    assert!(!page.text("body").trim().is_empty());
    assert_eq!(page.console_errors(), []);
}
