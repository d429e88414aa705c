//! A photo that is closed, turned or replaced, and a page that is loaded anew, while something is under way: nothing that was tapped is lost, and nothing comes late.

use kurbo::{Point, Rect, Size};
use ribline_geometry::project::{BoardPhoto, Project};
use ribline_geometry::recipe::built_in;
use ribline_geometry::reconcile::Wish;
use ribline_tests::at_the_photo::{Hand, asked_for, open_photo, open_way, ribs, take_the_line, taps};
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::photographed::{Photographed, photographed};
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};
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

/// An open photo whose four marks have been tapped.
fn squared(photo: &Photographed) -> Page {
    let page = open_way(Screen::DESK, "photo");
    open_photo(&page, photo);
    let mut hand = Hand { page: &page, photo, taps: 0 };
    hand.tap_marks();
    page
}

fn lie_at(page: &Page, expected: &[Point]) {
    page.wait_until("the taps there", |page| {
        let now = taps(page, ".under");
        now.len() == expected.len() && now.iter().zip(expected).all(|(a, b)| a.distance(*b) < 0.3)
    });
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
    open_photo(&page, &photo);
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.tap_marks();
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
    open_photo(&page, &photo);
    take_the_line(&page, &photo, &lines);
    closed(&page);
    // As long as it takes to read the photo once more, nothing arrives; and the taps are all there.
    page.click(&by_test_id("take-photo"));
    page.click(&by_test_id("photo-go-on"));
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    page.click(&by_test_id("close-capture"));
    closed(&page);
    assert_eq!(edge(&page), before);
    assert_eq!(page.count(&by_test_id("photo-under")), 0);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_picture_that_cannot_be_read_leaves_the_open_one_with_its_taps() {
    let photo = photographed(&ribs(), Size::new(1500.0, 2000.0));
    let page = squared(&photo);
    let before = taps(&page, ".under");
    assert_eq!(before.len(), 4);
    page.upload_as(&by_test_id("open-photo"), "words.txt", b"no picture at all");
    page.wait_for_words(&by_test_id("error-photo"), "cannot be shown as a picture");
    assert_eq!(taps(&page, ".under"), before);
    assert!(page.text(&by_test_id("squared")).contains("pixels to the millimetre"));
    // What is kept is the photo that they were tapped on.
    page.click(&by_test_id("close-capture"));
    closed(&page);
    page.click(&by_test_id("take-photo"));
    page.wait_for_words(&by_test_id("photo-go-on"), "board.bmp");
    page.click(&by_test_id("photo-go-on"));
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    assert_eq!(taps(&page, ".under"), before);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_photo_that_is_turned_or_mirrored_takes_its_taps_along() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(1500.0, 2000.0));
    let page = squared(&photo);
    let (width, height) = (photo.size.width, photo.size.height);
    let marks = taps(&page, ".under");
    page.click(&by_test_id("photo-turn"));
    let turned: Vec<Point> = marks.iter().map(|p| Point::new(height - p.y, p.x)).collect();
    lie_at(&page, &turned);
    (1..4).for_each(|_| page.click(&by_test_id("photo-turn")));
    lie_at(&page, &marks);
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.press("to-line");
    asked_for(&lines).into_iter().for_each(|at| hand.tap(at));
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    let line = taps(&page, ".under");
    page.click(&by_test_id("to-scale"));
    page.click(&by_test_id("photo-mirror"));
    lie_at(&page, &marks.iter().map(|p| Point::new(width - p.x, p.y)).collect::<Vec<_>>());
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    hand.press("to-line");
    // Two pins; then the corners, those of the right being those of the left; then the two ends.
    let order = [0, 1, 5, 4, 3, 2, 6, 7];
    lie_at(&page, &order.map(|k| Point::new(width - line[k].x, line[k].y)));
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    // What was tapped before the photo was turned can be taken back on the photo as it lies.
    page.click(&by_test_id("photo-take-back"));
    page.wait_for_words(&by_test_id("asked"), "neck end");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_page_that_is_loaded_anew_has_the_photo_and_its_taps_again() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(1500.0, 2000.0));
    let page = squared(&photo);
    page.click(&by_test_id("photo-mirror"));
    let mirrored = |p: Point| Point::new(photo.size.width - p.x, p.y);
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.press("to-line");
    let pin = asked_for(&lines)[0];
    page.click_at(hand.on_screen(pin));
    page.wait_for_words(&by_test_id("asked"), "upper pin");
    let tapped = taps(&page, ".under");
    let wide = |page: &Page| page.attribute(".stage rect.photo", "width");
    let size = wide(&page);
    for _ in 0..2 {
        page.reload();
        page.click(&by_test_id("step-ribs"));
        page.click(&by_test_id("take-photo"));
        page.wait_for_words(&by_test_id("photo-go-on"), "board.bmp");
        page.click(&by_test_id("photo-go-on"));
        page.wait_for_words(&by_test_id("asked"), "upper pin");
        assert_eq!(taps(&page, ".under"), tapped);
        assert_eq!(wide(&page), size);
    }
    page.click(&by_test_id("to-scale"));
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    // Mirrored again, its marks are where they were tapped on the picture as it was opened.
    page.click(&by_test_id("photo-mirror"));
    let marks: Vec<Point> = (0..4).map(|k| photo.seen.at(hand.mark(k))).collect();
    page.wait_until("the marks as they were tapped", |page| {
        let now = taps(page, ".under");
        now.len() == 4 && now.iter().zip(&marks).all(|(a, b)| a.distance(*b) < 3.0)
    });
    assert!(marks.iter().all(|p| mirrored(*p).distance(*p) > 3.0));
    // Another picture takes its place, with nothing tapped on it.
    page.upload_as(&by_test_id("open-photo"), "other.bmp", &photo.file);
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
    page.wait_until("the taps of the other to be forgotten", |page| {
        let kept = "return Object.keys(localStorage).filter(k => k.startsWith('ribline.photo-taps')).join()";
        page.js(kept, vec![])
            .as_str()
            .is_some_and(|names| names.ends_with("other.bmp") && !names.contains(','))
    });
    page.reload();
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("take-photo"));
    page.wait_for_words(&by_test_id("photo-go-on"), "other.bmp");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn where_the_browser_has_no_room_for_the_photo_a_sentence_says_so() {
    let photo = photographed(&ribs(), Size::new(1500.0, 2000.0));
    let page = Page::open(Screen::DESK);
    let refuse =
        "IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError') }";
    page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": refuse }));
    page.reload();
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("take-photo"));
    page.upload_as(&by_test_id("open-photo"), "board.bmp", &photo.file);
    page.wait_for_words(&by_test_id("photo-not-kept"), "no room to keep the photo");
    // It can be worked with all the same.
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.tap_marks();
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_project_whose_photo_is_damaged_is_opened_without_it_and_a_sentence_says_so() {
    let page = Page::open(Screen::DESK);
    let (mut rng, departures) = (StdRng::seed_from_u64(3), Departures::default());
    let edge = true_edge(&built_in::violin(), &departures, &mut rng);
    let trace = traced(&edge, &departures, &mut rng).trace;
    let mut project = Project::new(built_in::violin(), trace, Wish::customary(&built_in::violin()));
    project.photo = BoardPhoto::new("/9j/4AAQ", Rect::new(-120.0, -20.0, 120.0, 380.0));
    let damaged = project.to_json().replace("/9j/4AAQ", "/9j/4A\u{FFFD}Q");
    page.drop_file("body", "plate.json", damaged.as_bytes());
    page.wait_for_words(&by_test_id("error-file"), "photo in this project is damaged");
    let points = project.trace.points.len();
    page.click(&by_test_id("step-ribs"));
    page.wait_until("its points", |page| page.count(&by_test_id("traced-point")) == points);
    assert_eq!(page.count(&by_test_id("photo-under")), 0);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn control_z_at_the_bench_takes_back_the_tap_and_nothing_behind_it() {
    let photo = photographed(&ribs(), Size::new(1500.0, 2000.0));
    let page = Page::open(Screen::DESK);
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("plate-front"));
    page.wait_until("the front", |page| page.text(&by_test_id("face")).starts_with("Front"));
    page.click(&by_test_id("take-photo"));
    open_photo(&page, &photo);
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    (0..3).for_each(|k| hand.tap(hand.mark(k)));
    page.wait_for_words(&by_test_id("asked"), "3 of 4");
    let control_z = || {
        page.js(
            "document.activeElement.dispatchEvent(new KeyboardEvent('keydown', {key: 'z', ctrlKey: true, bubbles: true, cancelable: true}))",
            vec![],
        );
    };
    control_z();
    page.wait_for_words(&by_test_id("asked"), "2 of 4");
    for _ in 0..3 {
        control_z();
    }
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
    assert!(page.text(&by_test_id("face")).starts_with("Front"), "the plate is as it was chosen");
    // A field that is being written in goes with the bench.
    page.click(&by_test_id("scale-pins"));
    page.type_into(&by_test_id("field-pin-distance"), "31");
    page.press("\u{e00c}");
    closed(&page);
    control_z();
    page.wait_until("the back", |page| page.text(&by_test_id("face")).starts_with("Back"));
    assert_eq!(page.console_errors(), []);
}

#[test]
fn marks_and_pins_are_tapped_each_for_themselves_and_what_is_changed_over_is_told() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(1500.0, 2000.0));
    let page = open_way(Screen::DESK, "photo");
    open_photo(&page, &photo);
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.tap_marks();
    // The frame's marks are no pins.
    hand.press("scale-pins");
    page.wait_for_words(&by_test_id("asked"), "Tap the lower pin");
    assert_eq!((page.count(&by_test_id("to-line")), page.text(&by_test_id("squared"))), (0, String::new()));
    let asked = asked_for(&lines);
    hand.tap(asked[0]);
    hand.tap(asked[1]);
    page.wait_for_words(&by_test_id("error-squared"), "as you measured it");
    assert_eq!(page.count(&by_test_id("to-line")), 0);
    let apart = asked[0].distance(asked[1]);
    // What cannot be is no distance, nor are its first digits.
    page.fill(&by_test_id("field-pin-distance"), "5000");
    page.wait_for_words(&by_test_id("error-squared"), "as you measured it");
    page.fill(&by_test_id("field-pin-distance"), &format!("{apart:.1}"));
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    // Nor are the pins marks: the frame is as it was.
    hand.press("scale-frame");
    page.wait_for_words(&by_test_id("squared"), "The marks agree");
    hand.press("to-line");
    // The pins are there already.
    page.wait_for_words(&by_test_id("asked"), "right lower corner");
    for at in &asked[2..6] {
        hand.tap(*at);
    }
    hand.tap(asked[7]);
    hand.tap(asked[6]);
    page.wait_for_words(
        &by_test_id("error-corners"),
        "The bottom or the top of the line lies at the other end",
    );
    assert!(page.attribute(&by_test_id("take-line"), "disabled").is_some());
    // Back through the line and into the scale, where what is missing is asked for.
    for _ in 0..9 {
        page.click(&by_test_id("photo-take-back"));
    }
    page.wait_for_words(&by_test_id("asked"), "3 of 4");
    assert_eq!(page.console_errors(), []);
}
