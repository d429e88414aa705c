//! A photo that is closed, turned or replaced while something is under way: nothing that was tapped is lost, and nothing comes late.

use kurbo::Size;
use ribline_tests::at_the_photo::{Hand, open_way, ribs, take_the_line};
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::photographed::photographed;
use serde_json::json;

/// Runs in the page: presses Escape as soon as the bench says this.
const CLOSE_AT: &str = r#"
    const [words] = arguments;
    const watching = new MutationObserver(() => {
        if (document.querySelector('.capture')?.textContent.includes(words)) {
            watching.disconnect();
            window.dispatchEvent(new KeyboardEvent('keydown', { key: 'Escape' }));
        }
    });
    watching.observe(document.body, { childList: true, subtree: true, characterData: true });
"#;

fn closed(page: &Page) {
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
}

fn edge(page: &Page) -> Option<String> {
    page.attribute(&by_test_id("edge-path"), "d")
}

#[test]
fn a_bench_closed_while_a_picture_is_read_lets_go_of_it() {
    let large = photographed(&ribs(), Size::new(3000.0, 4000.0));
    let photo = photographed(&ribs(), Size::new(2250.0, 3000.0));
    let page = open_way(Screen::DESK, "photo");
    let before = edge(&page);
    page.js(CLOSE_AT, vec![json!("Reading the picture")]);
    page.upload_as(&by_test_id("open-photo"), "large.bmp", &large.file);
    closed(&page);
    // Another is read at once, and it is the one that the marks are found on.
    page.click(&by_test_id("take-photo"));
    page.upload_as(&by_test_id("open-photo"), "board.bmp", &photo.file);
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    (0..4).for_each(|k| hand.tap(hand.mark(k)));
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    assert_eq!(page.text(&by_test_id("remarks")), "");
    page.click(&by_test_id("close-capture"));
    closed(&page);
    assert_eq!(edge(&page), before);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_bench_closed_while_the_line_is_being_taken_leaves_the_line_of_before() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(2250.0, 3000.0));
    let page = open_way(Screen::DESK, "photo");
    let before = edge(&page);
    page.js(CLOSE_AT, vec![json!("Laying the photo under the drawing")]);
    page.upload_as(&by_test_id("open-photo"), "board.bmp", &photo.file);
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
    take_the_line(&page, &photo, &lines);
    closed(&page);
    // As long as it takes to read the photo once more, nothing arrives; and the taps are all there.
    page.click(&by_test_id("take-photo"));
    page.click(&by_test_id("photo-go-on"));
    page.wait_for_words(&by_test_id("line-state"), "points, each good to about");
    page.click(&by_test_id("close-capture"));
    closed(&page);
    assert_eq!(edge(&page), before);
    assert_eq!(page.count(&by_test_id("photo-under")), 0);
    assert_eq!(page.console_errors(), []);
}
