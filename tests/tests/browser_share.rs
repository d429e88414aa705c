//! Sharing as a teacher and a student do it on the built page, in a real Chromium.

use ribline_geometry::project::Project;
use ribline_geometry::recipe::{Recipe, Size, built_in};
use ribline_geometry::share::{self, Contents, Shared, address};
use ribline_tests::page::{Page, Screen, by_test_id};
use serde_json::{Value, json};

fn edge(page: &Page) -> String {
    page.attribute(&by_test_id("edge-path"), "d").unwrap_or_default()
}

fn link(page: &Page) -> String {
    page.wait_until("a link", |page| page.value(&by_test_id("share-link")).contains("#r="));
    page.value(&by_test_id("share-link"))
}

fn shared(link: &str) -> Shared {
    share::read(address::link_in(link).expect("a link")).expect("a link that geometry reads")
}

/// A violin of somebody's own: shorter, another lower width, a name and an author.
fn of_a_class() -> Recipe {
    let mut recipe = built_in::violin().chosen("W", "7/12".parse().unwrap()).unwrap();
    recipe.measures[0].size = Size::Mm(351.5);
    recipe.title = "Weir Lane violin, wide below".into();
    recipe.author = "Evening class (invented)".into();
    recipe
}

/// The path of the page with this link.
fn path(shared: &Shared) -> String {
    format!("#r={}", share::write(shared).expect("a link"))
}

fn let_the_page_use_the_clipboard(page: &Page, allowed: bool) {
    let setting = if allowed { "granted" } else { "denied" };
    let origin = format!("http://{}", page.address());
    for name in ["clipboard-read", "clipboard-write"] {
        page.devtools(
            "Browser.setPermission",
            json!({"permission": {"name": name}, "setting": setting, "origin": origin}),
        );
    }
}

/// Names of all files that the page has fetched so far.
fn fetched(page: &Page) -> Vec<String> {
    let script = "return performance.getEntriesByType('resource').map(e => e.name)";
    match page.js(script, vec![]) {
        Value::Array(names) => {
            names.iter().map(|name| name.as_str().unwrap_or_default().to_owned()).collect()
        }
        _ => Vec::new(),
    }
}

#[test]
fn the_worker_is_fetched_only_when_it_is_asked_for_something() {
    let page = Page::open(Screen::DESK);
    assert!(edge(&page).len() > 500);
    let of_the_worker = |page: &Page| fetched(page).iter().filter(|name| name.contains("worker")).count();
    assert_eq!(of_the_worker(&page), 0, "{:?}", fetched(&page));
    page.click(&by_test_id("step-teach"));
    assert!(link(&page).len() < 200);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn the_link_is_copied_with_one_touch_and_opens_what_was_shared() {
    let page = Page::open(Screen::DESK);
    let points = page.count(&by_test_id("traced-point"));
    assert!(points > 100, "{points}");
    let_the_page_use_the_clipboard(&page, true);
    page.click(&by_test_id("step-teach"));
    page.fill(&by_test_id("field-share-title"), "Scala \u{5c0f}");
    page.fill(&by_test_id("field-share-author"), "M. L.");
    page.wait_until("a link to the recipe by its new name", |page| {
        let recipe = shared(&link(page)).recipe().clone();
        (&*recipe.title, &*recipe.author) == ("Scala \u{5c0f}", "M. L.")
    });
    let alone = link(&page);
    assert!(alone.len() < 200, "{alone}");
    assert!(page.text(&by_test_id("share-length")).contains(&alone.chars().count().to_string()));
    page.click(&by_test_id("share-copy"));
    page.wait_for_words(&by_test_id("share-told"), "Copied");
    assert_eq!(page.js("return navigator.clipboard.readText()", vec![]), json!(alone));

    page.click(&by_test_id("share-trace"));
    page.wait_until("a link with the trace", |page| shared(&link(page)).contents() == Contents::WithTrace);
    page.click(&by_test_id("share-result"));
    page.wait_until("a link with the result", |page| shared(&link(page)).contents() == Contents::Result);
    let whole = link(&page);
    let trace = shared(&whole).trace().expect("a trace").clone();
    assert_eq!(trace.points.len(), points);
    assert!(page.shows(&by_test_id("share-symbol")), "the symbol holds it");

    // On another's page.
    let other = Page::open_at(Screen::DESK, &whole[whole.find('#').unwrap()..]);
    other.wait_for_words(&by_test_id("arrival-title"), "Scala \u{5c0f}");
    assert!(other.text(&by_test_id("arrival-carries")).contains(&trace.points.len().to_string()));
    other.click(&by_test_id("arrival-open"));
    // The points are rounded to 0.01 mm on the way: the edge is the same to well below what is drawn.
    other.wait_until("the shared work", |other| other.text(&by_test_id("sheet-title")).contains("invented"));
    assert_eq!(page.console_errors(), []);
    assert_eq!(other.console_errors(), []);
}

#[test]
fn without_the_clipboard_the_link_is_selected_to_be_copied_by_hand() {
    let page = Page::open(Screen::DESK);
    let_the_page_use_the_clipboard(&page, false);
    page.click(&by_test_id("step-teach"));
    let address = link(&page);
    page.click(&by_test_id("share-copy"));
    page.wait_for_words(&by_test_id("share-told"), "by hand");
    let selected = "const e = document.activeElement; return e.value.slice(e.selectionStart, e.selectionEnd)";
    assert_eq!(page.js(selected, vec![]), json!(address));
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_link_shows_what_it_is_before_it_replaces_anything_and_is_taken_back_again() {
    let recipe = of_a_class();
    let page = Page::open(Screen::DESK);
    let before = edge(&page);
    // Put into the address of the open page, as by hand.
    page.js("location.hash = arguments[0]", vec![json!(path(&Shared::Recipe(recipe.clone())))]);
    page.wait_for_words(&by_test_id("arrival-title"), &recipe.title);
    assert!(page.text(&by_test_id("arrival-author")).contains(&recipe.author));
    assert_eq!(page.text(&by_test_id("arrival-instrument")), "Violin");
    assert!(page.text(&by_test_id("arrival-length")).contains("351.5"));
    assert!(page.text(&by_test_id("arrival-carries")).contains("nothing"));
    assert!(page.text(&by_test_id("arrival-version")).contains('1'));
    assert!(page.shows(&by_test_id("arrival-outline")));
    assert_eq!(page.count(&by_test_id("arrival-open")), 0, "it has no trace to open");
    assert_eq!(edge(&page), before, "nothing is replaced yet");

    page.click(&by_test_id("arrival-leave"));
    page.wait_until("it to be gone", |page| page.count(&by_test_id("arrival")) == 0);
    assert_eq!(edge(&page), before);
    assert_eq!(page.js("return location.hash", vec![]), json!("#edge"), "the link is dealt with");

    page.js("location.hash = arguments[0]", vec![json!(path(&Shared::Recipe(recipe.clone())))]);
    page.click(&by_test_id("arrival-work"));
    page.wait_until("the recipe worked on these ribs", |page| edge(page) != before);
    let points = page.count(&by_test_id("traced-point"));
    assert!(points > 100, "the trace stays");
    page.click(&by_test_id("undo"));
    page.wait_until("the edge as it was", |page| edge(page) == before);
    page.click(&by_test_id("redo"));
    page.wait_until("the recipe again", |page| edge(page) != before);

    page.js("location.hash = arguments[0]", vec![json!(path(&Shared::Recipe(recipe.clone())))]);
    page.click(&by_test_id("arrival-keep"));
    page.wait_for_words(&by_test_id("error-file"), "shelf");
    page.click(&by_test_id("step-set-out"));
    page.wait_until("it on the shelf", |page| page.count(&by_test_id("kept")) == 1);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_damaged_newer_or_oversized_link_gets_a_sentence_and_no_work_is_lost() {
    let good = path(&Shared::Recipe(of_a_class()));
    let mut damaged = good.clone();
    let at = damaged.len() / 2;
    let other = if damaged.as_bytes()[at] == b'A' { "B" } else { "A" };
    damaged.replace_range(at..at + 1, other);
    let page = Page::open(Screen::DESK);
    let before = edge(&page);
    for (link, says) in [
        (damaged, "damaged"),
        (good[..good.len() - 9].to_owned(), "cut short"),
        (good.replacen("#r=AQ", "#r=CQ", 1), "version 9"),
        (format!("#r={}", "A".repeat(9000)), "9000"),
        ("#r=".to_owned(), "nothing in it"),
    ] {
        page.js("location.hash = arguments[0]", vec![json!(link)]);
        page.wait_for_words(&by_test_id("error-link"), says);
        assert!(page.text(&by_test_id("error-link")).contains("Your work is as it was"));
        assert_eq!(page.count(&by_test_id("arrival")), 0);
        assert_eq!(edge(&page), before);
    }
    // The sentence goes when it is understood or when a good link follows.
    page.js("location.hash = arguments[0]", vec![json!(good)]);
    page.wait_until("the good one", |page| page.shows(&by_test_id("arrival")));
    assert_eq!(page.count(&by_test_id("error-link")), 0);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_recipe_file_is_looked_at_first_too() {
    let recipe = of_a_class();
    let page = Page::open(Screen::DESK);
    let before = edge(&page);
    page.drop_file("body", "weir-lane.json", recipe.to_json().as_bytes());
    page.wait_for_words(&by_test_id("arrival"), "weir-lane.json");
    page.wait_for_words(&by_test_id("arrival-title"), &recipe.title);
    assert_eq!(edge(&page), before);
    page.click(&by_test_id("arrival-work"));
    page.wait_until("the recipe worked on these ribs", |page| edge(page) != before);
    page.click(&by_test_id("step-bench"));
    page.click(&by_test_id("save-project"));
    let saved = std::fs::read_to_string(page.downloaded(".json")).expect("a saved project");
    assert_eq!(Project::from_json(&saved).expect("a project").recipe, recipe);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_page_whose_worker_cannot_be_had_says_so() {
    let page = Page::open(Screen::DESK);
    page.devtools("Network.enable", json!({}));
    page.devtools("Network.setBlockedURLs", json!({"urls": ["*worker.js*"]}));
    // Requests of a worker are not the page's own, so its loader is made to find nothing as well.
    page.js("const made = Blob; window.Blob = function () { return new made(['nonsense('], { type: 'text/javascript' }) }", vec![]);
    page.click(&by_test_id("step-teach"));
    page.wait_for_words(&by_test_id("error-share"), "could not be fetched");
    page.click(&by_test_id("step-edge"));
    assert!(edge(&page).len() > 500, "the rest of the page goes on");
}
