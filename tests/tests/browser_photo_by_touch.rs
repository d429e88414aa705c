//! The ways of taking the line on a phone, with a finger: everything shown, everything reached, every tap placed, moved, removed.

use kurbo::{Size, Vec2};
use ribline_tests::at_the_photo::{Hand, asked_for, open_photo, open_way, ribs, taps};
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::photographed::{Photographed, photographed};
use serde_json::json;

fn opened(screen: Screen, photo: &Photographed) -> Page {
    let page = open_way(screen, "photo");
    open_photo(&page, photo);
    page
}

#[test]
fn a_photo_that_is_opened_is_shown_whole_at_once() {
    let photo = photographed(&ribs(), Size::new(1200.0, 1600.0));
    for screen in [Screen::PHONE, Screen::TABLET] {
        let page = opened(screen, &photo);
        let inside = |page: &Page| {
            let (stage, canvas) = (page.place(&by_test_id("photo-stage")), page.place(".stage .photo"));
            let fills = canvas.width() > 0.95 * stage.width() || canvas.height() > 0.95 * stage.height();
            fills && stage.inflate(1.0, 1.0).contains_rect(canvas)
        };
        page.wait_until("the whole photo", inside);
        // Enlarged, it stays so when the stage becomes smaller.
        page.click(&by_test_id("photo-larger"));
        let wide = page.place(".stage .photo").width();
        page.look_through(Screen { height: screen.height - 200, ..screen });
        page.wait_until("a smaller stage", |page| {
            page.place(".capture").height() < f64::from(screen.height - 100)
        });
        assert!((page.place(".stage .photo").width() - wide).abs() < 1.0);
        page.click(&by_test_id("photo-all"));
        page.wait_until("the whole photo again", inside);
        assert_eq!(page.console_errors(), []);
    }
}

#[test]
fn marks_are_placed_moved_removed_and_placed_again() {
    let photo = photographed(&ribs(), Size::new(2250.0, 3000.0));
    let page = opened(Screen::PHONE, &photo);
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.tap_marks();
    let before = taps(&page, ".under");
    assert_eq!(before.len(), 4);
    // From the tap itself: it moves by what the finger moves, enlarged no further than the photo's own pixels allow.
    let at = hand.on_screen(hand.mark(2));
    page.begin_drag(at, at + Vec2::new(-12.0, 12.0), 4);
    assert!(page.shows(&by_test_id("loupe")));
    let (loupe, stage) = (page.place(&by_test_id("loupe")), page.place(&by_test_id("photo-stage")));
    assert!(!loupe.contains(at) && stage.contains_rect(loupe), "{loupe:?}, the finger at {at}");
    page.end_drag();
    page.wait_until("the loupe to go", |page| !page.shows(&by_test_id("loupe")));
    let after = taps(&page, ".under");
    assert_eq!((after.len(), &after[..2], after[3]), (4, &before[..2], before[3]));
    let moved = after[2] - before[2];
    assert!(moved.x < -4.0 && moved.y > 4.0 && moved.hypot() < 40.0, "{moved:?}");
    page.click(&by_test_id("photo-remove"));
    page.wait_for_words(&by_test_id("asked"), "3 of 4");
    assert_eq!(taps(&page, ".under").len(), 3);
    hand.tap(hand.mark(2));
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    assert_eq!(page.text(&by_test_id("remarks")), "");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn corners_of_a_rectangle_that_a_finger_only_pressed_are_not_taken_for_exact() {
    let photo = photographed(&ribs(), Size::new(2250.0, 3000.0));
    let page = opened(Screen::PHONE, &photo);
    page.click(&by_test_id("scale-rectangle"));
    page.fill(&by_test_id("field-rectangle-width"), &photo.sheet.width().to_string());
    page.fill(&by_test_id("field-rectangle-height"), &photo.sheet.height().to_string());
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    (0..4).for_each(|k| hand.tap(hand.mark(k)));
    page.wait_for_words(&by_test_id("remarks"), "slide it onto its mark under the loupe");
    // Slid there, each is as good as the loupe is.
    for k in 0..4 {
        let at = hand.on_screen(hand.mark(k));
        page.begin_drag(at, at + Vec2::new(9.0, 9.0), 3);
        page.end_drag();
    }
    page.wait_until("nothing to remark", |page| page.text(&by_test_id("remarks")).is_empty());
    // A diagonal that was typed can be taken out again.
    page.fill(&by_test_id("field-diagonal"), "480");
    page.wait_for_words(&by_test_id("remarks"), "The diagonals do not close");
    page.fill(&by_test_id("field-diagonal"), "");
    page.wait_until("nothing to remark", |page| page.text(&by_test_id("remarks")).is_empty());
    assert_eq!(page.text(&by_test_id("error-diagonal")), "");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn on_the_line_places_are_added_and_removed_and_a_corner_is_moved() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(2250.0, 3000.0));
    let page = opened(Screen::PHONE, &photo);
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.to_the_line();
    for at in asked_for(&lines) {
        hand.tap(at);
    }
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    let all = taps(&page, ".under").len();
    assert_eq!(all, 8);
    // A place in the middle of the left lower run, which the followed line is to pass.
    let through = lines[5][lines[5].len() / 2];
    hand.tap(through);
    page.wait_until("a place more", |page| taps(page, ".via").len() == 3);
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    page.click(&by_test_id("photo-remove"));
    page.wait_until("the place to be gone", |page| taps(page, ".via").len() == 2);
    page.click(&by_test_id("photo-take-back"));
    page.wait_until("the place to be back", |page| taps(page, ".via").len() == 3);
    let corner = hand.on_screen(lines[0][lines[0].len() - 1]);
    let before = taps(&page, ".under");
    page.drag(corner, corner + Vec2::new(8.0, 0.0), 4);
    page.wait_until("another place of the corner", |page| {
        let now = taps(page, ".under");
        now.len() == 9 && now.iter().zip(&before).filter(|(a, b)| a.distance(**b) > 1.0).count() == 1
    });
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    assert_eq!(page.console_errors(), []);
}

/// Shown whole on a phone, the bottom of the line is a few pixels of the screen from the lower pin.
#[test]
fn a_place_that_is_asked_for_is_slid_to_beside_one_that_was_tapped_before() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(2250.0, 3000.0));
    let page = opened(Screen::PHONE, &photo);
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.to_the_line();
    let asked = asked_for(&lines);
    for at in &asked[..6] {
        hand.tap(*at);
    }
    page.wait_for_words(&by_test_id("asked"), "at the bottom");
    let before = taps(&page, ".under");
    let bottom = hand.on_screen(asked[6]);
    assert!(bottom.distance(hand.on_screen(asked[0])) < 22.0, "not within a finger of one another");
    page.drag(bottom - Vec2::new(8.0, 0.0), bottom, 4);
    page.wait_for_words(&by_test_id("asked"), "at the top");
    let after = taps(&page, ".under");
    assert_eq!(after.len(), before.len() + 1);
    assert!(before.iter().all(|tap| after.contains(tap)), "the pin stays where it is");
    assert_eq!(page.console_errors(), []);
}

/// A finger that the browser lost sight of is not the first of two.
#[test]
fn a_finger_that_was_lifted_unseen_makes_no_two_finger_grip_of_the_next() {
    let photo = photographed(&ribs(), Size::new(1200.0, 1600.0));
    let page = opened(Screen::PHONE, &photo);
    let hand = Hand { page: &page, photo: &photo, taps: 0 };
    let (at, other) = (hand.on_screen(hand.mark(0)), hand.on_screen(hand.mark(1)));
    let down = "const [x, y] = arguments; document.querySelector('.stage').dispatchEvent(new PointerEvent('pointerdown', \
                { pointerId: 71, pointerType: 'touch', isPrimary: true, clientX: x, clientY: y, bubbles: true }))";
    page.js(down, vec![json!(at.x), json!(at.y)]);
    let wide = page.place(".stage .photo").width();
    page.drag(other, other + Vec2::new(-14.0, 0.0), 4);
    page.wait_for_words(&by_test_id("asked"), "1 of 4");
    assert_eq!(page.place(".stage .photo").width(), wide);
}

/// What cannot be used with a thumb: beyond the sides, covered wherever it is scrolled to, or too small.
const OUT_OF_REACH: &str = r#"
    const out = [];
    for (const e of document.querySelectorAll('.capture :is(button, input, select, label.button)')) {
        if (!e.checkVisibility() || e.matches('.unseen') || e.disabled) continue;
        e.scrollIntoView({ block: 'center' });
        // What is pressed for a choice is its whole label.
        const pressed = e.matches('[type=radio], [type=checkbox]') ? e.closest('label') : e;
        const r = pressed.getBoundingClientRect();
        const name = e.dataset.test || e.textContent || e.outerHTML;
        if (r.left < -0.5 || r.right > innerWidth + 0.5) out.push(`${name} goes beyond the sides: ${r.left} to ${r.right}`);
        if (r.height < 43.5 || r.width < 43.5) out.push(`${name} is ${r.width} by ${r.height}`);
        const hit = document.elementFromPoint(r.x + r.width / 2, r.y + r.height / 2);
        if (!hit || !(pressed.contains(hit) || hit.contains(pressed) && hit.matches('label'))) {
            out.push(`${name} is covered by ${hit?.outerHTML.slice(0, 80)}`);
        }
    }
    if (document.documentElement.scrollWidth > innerWidth) out.push('the page scrolls sideways');
    return out;
"#;

#[test]
fn on_a_phone_everything_to_press_or_fill_in_is_in_reach_of_a_thumb() {
    for way in ["photo", "offsets", "drawing", "before", "again"] {
        let page = open_way(Screen::PHONE, way);
        assert!(page.count(".capture :is(button, input, select, label.button)") > 2, "{way}");
        assert_eq!(page.js(OUT_OF_REACH, vec![]), json!([]), "{way}");
        assert_eq!(page.console_errors(), []);
    }
    let photo = photographed(&ribs(), Size::new(1200.0, 1600.0));
    let page = opened(Screen::PHONE, &photo);
    for scale in ["frame", "rectangle", "pins", "scan"] {
        page.click(&by_test_id(&format!("scale-{scale}")));
        assert_eq!(page.js(OUT_OF_REACH, vec![]), json!([]), "{scale}");
    }
    // What a scan was set to nobody knows until it is typed.
    page.wait_for_words(&by_test_id("error-squared"), "Type the resolution");
    assert_eq!(page.count(&by_test_id("to-line")), 0);
    page.fill(&by_test_id("field-dots"), "300");
    page.wait_for_words(&by_test_id("squared"), "11.8 pixels to the millimetre");
    page.click(&by_test_id("to-line"));
    page.wait_for_words(&by_test_id("asked"), "lower pin");
    assert_eq!(page.js(OUT_OF_REACH, vec![]), json!([]), "the line");
}
