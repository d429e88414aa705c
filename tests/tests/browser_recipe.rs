//! A recipe read, made and kept on the built page, in a real Chromium.

use kurbo::Point;
use ribline_geometry::recipe::{Recipe, built_in};
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};
use serde_json::json;

/// Longer than the page waits before it keeps a change.
const KEPT_BY_THEN: std::time::Duration = std::time::Duration::from_millis(1500);

fn set_out() -> Page {
    Page::open_at(Screen::DESK, "#set-out")
}

fn outline(page: &Page) -> String {
    page.attribute(&by_test_id("recipe-outline"), "d").unwrap_or_default()
}

/// Chooses an option by what it says.
fn choose(page: &Page, test: &str, says: &str) {
    let css = by_test_id(test);
    let value = page.wait_for(&format!("{says:?} among {test}"), |page| {
        let script = "const e = document.querySelector(arguments[0]); \
                      const o = e && [...e.options].find(o => o.textContent.trim() === arguments[1]); return o ? o.value : null";
        page.js(script, vec![json!(css), json!(says)]).as_str().map(str::to_owned)
    });
    page.choose(&css, &value);
}

/// Types in place of what a field holds, and leaves it.
fn enter(page: &Page, test: &str, text: &str) {
    page.fill(&by_test_id(test), text);
    page.press("\u{e007}");
}

/// A size as a maker enters it: what it is a part of, and the ratio.
fn size(page: &Page, which: &str, ratio: &str, of: &str) {
    choose(page, &format!("field-{which}-of"), of);
    enter(page, &format!("{which}-typed"), ratio);
    page.wait_until(&format!("{ratio} to be taken"), |page| {
        page.value(&by_test_id(&format!("{which}-typed"))) == ratio
    });
}

/// Taps a place of the board, given in mm.
fn tap(page: &Page, at: Point) {
    let script = "const m = document.querySelector('g.result').getScreenCTM(); \
                  const p = new DOMPoint(arguments[0], arguments[1]).matrixTransform(m); return [p.x, p.y]";
    let place = page.js(script, vec![json!(at.x), json!(at.y)]);
    let number = |k: usize| place[k].as_f64().expect("a place on the screen");
    page.click_at(Point::new(number(0), number(1)));
}

/// The sentence of a part, as it is read.
fn says(page: &Page, part: &str, words: &str) {
    page.wait_for_words(&by_test_id(&format!("sentence-{part}")), words);
}

fn point(page: &Page, number: usize, name: &str, up: &str, out: &str) {
    page.click(&by_test_id("add-point"));
    says(page, &format!("step-{number}"), "Mark it");
    size(page, "up", up, "body length");
    size(page, "out", out, "lower width");
    enter(page, "field-part-name", name);
    says(page, &format!("step-{number}"), name);
}

fn circle(page: &Page, number: usize, name: &str, ratio: &str, of: &str) {
    page.click(&by_test_id("add-circle"));
    says(page, &format!("step-{number}"), "Strike");
    size(page, "size", ratio, of);
    enter(page, "field-part-name", name);
    says(page, &format!("step-{number}"), name);
}

fn open(page: &Page, part: &str) {
    let sentence = by_test_id(&format!("sentence-{part}"));
    if page.attribute(&sentence, "aria-expanded").as_deref() != Some("true") {
        page.click(&sentence);
    }
    page.wait_until(&format!("{part} to open"), |page| {
        page.attribute(&sentence, "aria-expanded").as_deref() == Some("true")
    });
}

/// Five arcs a side in the place of thirteen, the widths found by way of the ends, no hooks at the waist, corners blunt.
fn make_without_hooks(page: &Page) {
    page.click(&by_test_id("begin-bare"));
    page.wait_for_words(&by_test_id("sheet-title"), "New recipe");
    assert_eq!(page.count(&format!("{} > li", by_test_id("steps"))), 2);

    page.click(&by_test_id("add-measure"));
    choose(page, "field-size-of", "lower width");
    enter(page, "size-typed", "5:6");
    enter(page, "field-measure-title", "upper width");
    enter(page, "field-part-name", "U");
    says(page, "measure-3", "The upper width is 5/6 of the lower width: 169.0 mm");

    point(page, 3, "lower corner", "1/3", "9/20");
    point(page, 4, "upper corner", "13/20", "2/5");
    point(page, 5, "waist", "1/2", "1/4");

    circle(page, 6, "foot", "3/4", "lower width");
    choose(page, "field-placed", "through a point, centre on the centreline");
    choose(page, "field-slot-point", "bottom");
    page.click(&by_test_id("lies-neck"));
    says(page, "step-6", "through the bottom, centre on the centreline above");

    circle(page, 7, "flank", "3/8", "lower width");
    choose(page, "field-placed", "touching a circle, through a point");
    // On the line of the first circle: 152.1 mm about a centre as far up.
    page.click(&by_test_id("tap-slot-one"));
    tap(page, Point::new(-152.1, 152.1));
    says(page, "step-7", "touching the foot from inside");
    page.click(&by_test_id("tap-slot-point"));
    tap(page, Point::new(91.3, 118.3));
    page.click(&by_test_id("lies-in"));
    says(page, "step-7", "through the lower corner, the inner of the two centres");

    circle(page, 8, "head", "3/4", "upper width");
    choose(page, "field-placed", "through a point, centre on the centreline");
    choose(page, "field-slot-point", "top");
    page.click(&by_test_id("lies-bottom"));

    circle(page, 9, "shoulder", "1/2", "upper width");
    choose(page, "field-placed", "touching a circle, through a point");
    choose(page, "field-slot-one", "head");
    choose(page, "field-slot-point", "upper corner");
    page.click(&by_test_id("lies-neck"));

    circle(page, 10, "hollow", "1/4", "lower width");
    choose(page, "field-placed", "through a point, centre on a cross line");
    choose(page, "field-slot-point", "waist");
    page.click(&by_test_id("lies-out"));

    for (number, name, corner) in [(11, "waist below", "lower corner"), (12, "waist above", "upper corner")] {
        circle(page, number, name, "1/3", "lower width");
        choose(page, "field-placed", "touching a circle, through a point");
        choose(page, "field-slot-one", "hollow");
        choose(page, "field-slot-point", corner);
        page.click(&by_test_id("lies-out"));
    }

    open(page, "run-lower");
    page.click(&by_test_id("tap-circles"));
    tap(page, Point::new(-152.1, 152.1));
    page.wait_until("the first circle of the run", |page| page.count(&by_test_id("run-without")) == 1);
    // Its lowest point, away from the other circles.
    tap(page, Point::new(101.2, 80.4));
    says(page, "run-lower", "foot and the flank");
    page.click(&by_test_id("tap-corner-point"));
    tap(page, Point::new(91.3, 118.3));
    says(page, "run-lower", "It meets the waist at the lower corner");

    open(page, "run-waist");
    for name in ["waist below", "hollow", "waist above"] {
        choose(page, "field-run-add", name);
    }
    open(page, "run-upper");
    choose(page, "field-run-add", "head");
    choose(page, "field-run-add", "shoulder");
    choose(page, "field-corner-point", "upper corner");
    says(page, "run-upper", "It meets the waist at the upper corner");
    page.wait_until("the outline", |page| outline(page).len() > 200);
}

#[test]
fn a_recipe_of_another_kind_is_made_on_the_page_and_reconciles_with_ribs() {
    let page = set_out();
    make_without_hooks(&page);

    // The widths are what the arcs give, so the author takes the tag off.
    open(&page, "measure-2");
    choose(&page, "field-dimension", "not measured");
    page.wait_until("nothing to put right", |page| page.count(&by_test_id("error-recipe")) == 0);

    page.click(&by_test_id("save-recipe"));
    let file = std::fs::read_to_string(page.downloaded(".json")).expect("a saved recipe");
    let made = Recipe::from_json(&file).expect("a recipe that geometry reads");
    assert_eq!(made.faults(), []);
    assert_eq!((made.plan.lower.len(), made.plan.waist.len(), made.plan.upper.len()), (2, 3, 2));

    let departures = Departures { dimensions: 0.5, radii: 0.5, noise: 0.1, ..Departures::default() };
    let mut rng = StdRng::seed_from_u64(5);
    let edge = true_edge(&made, &departures, &mut rng);
    let trace = traced(&edge, &departures, &mut rng).trace;
    page.click(&by_test_id("step-ribs"));
    page.paste(&by_test_id("paste-area"), &trace.to_csv());
    page.click(&by_test_id("paste-apply"));
    page.click(&by_test_id("step-edge"));
    page.wait_until("an edge around these ribs", |page| {
        page.count(&by_test_id("arc")) >= 14 && page.count(&by_test_id("arc")) < 26
    });
    assert!(!page.shows(&by_test_id("error-reconcile")));
    assert!(page.text(&by_test_id("report")).contains("verhang"));

    // All of it is there again.
    std::thread::sleep(KEPT_BY_THEN);
    page.reload();
    page.click(&by_test_id("step-set-out"));
    says(&page, "step-7", "touching the foot from inside and through the lower corner");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_sentence_and_its_line_light_up_together() {
    let page = set_out();
    let lit = |page: &Page| page.attribute(&by_test_id("lit-line"), "d").unwrap_or_default();
    let sentence = "recipe-step-4";
    assert!(page.text(&by_test_id(sentence)).contains("Strike 5/6 of the lower width through the bottom"));
    page.js("document.querySelector('[data-test=steps]').scrollIntoView()", vec![]);
    page.point_at(page.place(&by_test_id(sentence)).center());
    page.wait_until("its circle to light up", |page| !lit(page).is_empty());
    let first = lit(&page);
    // Its radius, from the published ratio: 5/6 of 4/7 of 355 mm.
    assert!(first.contains("A169.048 169.048"), "{first}");

    // A finger or the keyboard on the sentence does as well, and so does a tap on the line.
    page.focus(&by_test_id("sentence-step-5"));
    page.wait_until("the next circle", |page| lit(page) != first && !lit(page).is_empty());
    // Up to the left of its centre, where the line is on the screen and by itself.
    tap(&page, Point::new(-146.4, 253.57));
    page.wait_until("the first circle again", |page| lit(page) == first);
    page.wait_until("its sentence", |page| {
        page.attribute(&by_test_id(sentence), "class").is_some_and(|class| class.contains("pointed"))
    });
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_step_that_fails_says_what_would_do_and_the_rest_stays() {
    let page = set_out();
    let before = outline(&page);
    let circles = |page: &Page| {
        page.attribute(&by_test_id("recipe-circles"), "d").unwrap_or_default().matches('Z').count()
    };
    let all = circles(&page);
    open(&page, "step-6");
    size(&page, "size", "1/9", "lower width");
    page.wait_for_words(&by_test_id("fault"), "is needed");
    assert!(outline(&page).is_empty());
    assert_eq!(circles(&page), all - 1, "what does not rest on it stays");
    page.wait_for_words(&by_test_id("error-recipe"), "Step 6");

    // A half-made recipe is kept as it is.
    std::thread::sleep(KEPT_BY_THEN);
    page.reload();
    page.wait_for_words(&by_test_id("error-recipe"), "Step 6");
    assert!(!page.shows(&by_test_id("error-damaged")));

    open(&page, "step-6");
    page.click(&by_test_id("would-do"));
    page.wait_until("the step to be worked", |page| circles(page) == all);
    assert!(!page.text(&by_test_id("recipe-step-6")).contains("is needed"));

    // One touch away: the ratio that the author had, kept on offer.
    let used = "[data-test=\"choice\"][aria-pressed=\"true\"]";
    size(&page, "size", "4/9", "lower width");
    page.wait_until("the first outline", |page| outline(page) == before);
    assert_eq!(page.text(&format!("{} .editor {used}", by_test_id("recipe-step-6"))), "4/9");
    page.click(&by_test_id("size-over-less"));
    page.wait_for_words(&by_test_id("sentence-step-6"), "1/3 of the lower width");
    page.click(&by_test_id("undo"));
    page.wait_until("the first outline again", |page| outline(page) == before);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn what_others_rest_on_is_removed_with_them_or_not_at_all() {
    let page = set_out();
    let before = outline(&page);
    let steps = |page: &Page| page.count(&format!("{} > li", by_test_id("steps")));
    let all = steps(&page);
    open(&page, "step-4");
    page.click(&by_test_id("move-later"));
    page.wait_for_words(&by_test_id("sentence-step-5"), "lower 1");
    page.click(&by_test_id("move-later"));
    page.wait_for_words(&by_test_id("refusal"), "rests on");
    page.click(&by_test_id("remove-part"));
    page.wait_for_words(&by_test_id("doomed"), "Lower 2 rests on it");
    page.click(&by_test_id("leave-it"));
    assert_eq!(steps(&page), all);
    page.click(&by_test_id("remove-part"));
    page.click(&by_test_id("remove-all"));
    page.wait_until("two steps fewer", |page| steps(page) == all - 2);
    page.click(&by_test_id("undo"));
    page.wait_until("them again", |page| steps(page) == all && outline(page) == before);
    assert_eq!(page.console_errors(), []);
}

/// The way back gives a step another number, and takes one away that was added.
#[test]
fn what_is_open_stays_open_and_where_it_is_when_a_change_is_taken_back() {
    let page = set_out();
    let open =
        |page: &Page| page.js("return [...document.querySelectorAll('.item.open')].map(e => e.id)", vec![]);
    let top = |page: &Page| {
        let top = page.js("return document.querySelector('.item.open').getBoundingClientRect().top", vec![]);
        top.as_f64().expect("something open")
    };
    page.click(&by_test_id("sentence-step-9"));
    page.wait_until("a step open", |page| open(page) == json!(["recipe-step-9"]));
    let name = page.text(&format!("{} .called", by_test_id("sentence-step-9")));
    let others = page.count("[id^=recipe-step-]");
    page.click(&by_test_id("move-later"));
    page.wait_until("it to have moved", |page| open(page) == json!(["recipe-step-10"]));
    let before = top(&page);
    page.click(&by_test_id("undo"));
    page.wait_until("it back, and open", |page| open(page) == json!(["recipe-step-9"]));
    assert_eq!(page.text(&format!("{} .called", by_test_id("sentence-step-9"))), name);
    page.wait_until("it where it was", |page| (top(page) - before).abs() < 2.0);
    page.click(&by_test_id("redo"));
    page.wait_until("it moved again, and open", |page| open(page) == json!(["recipe-step-10"]));
    page.click(&by_test_id("insert-circle"));
    page.wait_until("another, open", |page| open(page) == json!(["recipe-step-11"]));
    page.click(&by_test_id("undo"));
    page.wait_until("it gone", |page| page.count("[id^=recipe-step-]") == others && open(page) == json!([]));
    assert_eq!(page.console_errors(), []);
}

#[test]
fn recipes_are_kept_on_the_shelf_compared_and_put_back() {
    let page = set_out();
    page.click(&by_test_id("shelf-keep"));
    page.wait_until("one on the shelf", |page| page.count(&by_test_id("kept")) == 1);
    page.click(&by_test_id("duplicate-recipe"));
    page.wait_until("two on the shelf", |page| page.count(&by_test_id("kept")) == 2);
    enter(&page, "field-kept-2", "Class recipe");
    page.click(&by_test_id("begin-bare"));
    page.wait_for_words(&by_test_id("sheet-title"), "New recipe");
    std::thread::sleep(KEPT_BY_THEN);
    // Something that no page of ours wrote.
    page.js("localStorage.setItem('ribline.shelf.7', '{ \"format\": \"ribl')", vec![]);
    page.reload();
    page.wait_until("all of it again", |page| page.count(&by_test_id("kept")) == 3);
    assert_eq!(page.value(&by_test_id("field-kept-2")), "Class recipe");
    assert_eq!(
        page.js("return localStorage.getItem('ribline.shelf.7')", vec![]),
        json!("{ \"format\": \"ribl"),
        "what cannot be read is left as it is"
    );

    choose(&page, "field-compare-with", "Class recipe");
    page.wait_until("both outlines", |page| {
        page.attribute(&by_test_id("beside-outline"), "d").is_some_and(|d| d.len() > 500)
    });
    assert!(page.text(&by_test_id("compare-figures")).contains("355.0"));
    assert!(page.count(&format!("{} tbody tr", by_test_id("compare-parts"))) > 15);

    // Neither has to be the one at hand: then both are drawn beside the tables, and the board shows the one at hand alone.
    let viola = built_in::viola();
    choose(&page, "field-compare-one", &viola.title);
    page.wait_for_words(&by_test_id("compare-figures"), "405.0");
    assert!(page.text(&by_test_id("compare-figures")).contains("355.0"));
    let lines = "return [...document.querySelectorAll('[data-test=compare-outlines] path')].map(e => \
                 e.getAttribute('d').length > 500 && e.getBoundingClientRect().height)";
    let heights = page.js(lines, vec![]);
    let heights: Vec<f64> = heights.as_array().expect("two").iter().filter_map(|h| h.as_f64()).collect();
    assert!((heights[0] / heights[1] - 405.0 / 355.0).abs() < 0.01, "to one scale: {heights:?}");
    page.wait_until("the board as it was", |page| {
        page.attribute(&by_test_id("beside-outline"), "d").unwrap_or_default().is_empty()
    });
    page.click(&by_test_id("at-one-length"));
    page.wait_until("both at one length", |page| {
        !page.text(&by_test_id("compare-figures")).contains("355.0")
    });

    page.click(&format!("{} {}", by_test_id("shelf"), by_test_id("remove-recipe")));
    page.wait_until("one fewer", |page| page.count(&by_test_id("kept")) == 2);
    page.click(&by_test_id("put-back"));
    page.wait_until("it again", |page| page.count(&by_test_id("kept")) == 3);

    page.click(&by_test_id("take-recipe"));
    page.wait_until("a recipe of the shelf at hand", |page| outline(page).len() > 500);
    let file = built_in::viola().to_json();
    page.drop_file("body", "viola.json", file.as_bytes());
    page.click(&by_test_id("arrival-keep"));
    page.wait_until("a recipe from a file", |page| page.count(&by_test_id("kept")) >= 4);
    assert_eq!(page.console_errors(), []);
}
