//! The page in parts, in a real Chromium: what the first screen fetches, when the rest is fetched, and what becomes of the work
//! where it cannot be.

use std::path::Path;

use ribline_geometry::recipe::built_in;
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::site;
use serde_json::{Value, json};

/// What each step shows first, and the file that it is in.
const STEPS: [(&str, &str, &str); 5] = [
    ("step-edge", "split_edge", "report"),
    ("step-set-out", "split_set_out", "recipe-outline"),
    ("step-ribs", "split_ribs", "trace-table"),
    ("step-bench", "split_bench", "make-pdf"),
    ("step-teach", "split_teach", "replay-print"),
];

/// Other files than those of a step: what reads files and the work that is kept, what shows an arrival, and the other programs.
const SELDOM: [&str; 4] = ["split_reading", "split_arrival", "worker", "capture"];

fn edge(page: &Page) -> String {
    page.attribute(&by_test_id("edge-path"), "d").unwrap_or_default()
}

/// Addresses of all files that the page has fetched so far.
fn fetched(page: &Page) -> Vec<String> {
    let script = "return performance.getEntriesByType('resource').map(e => e.name)";
    match page.js(script, vec![]) {
        Value::Array(names) => {
            names.iter().map(|name| name.as_str().unwrap_or_default().to_owned()).collect()
        }
        other => panic!("not a list: {other}"),
    }
}

fn has(page: &Page, file: &str) -> bool {
    fetched(page).iter().any(|name| name.contains(file))
}

fn set_connected(page: &Page, connected: bool) {
    page.devtools(
        "Network.emulateNetworkConditions",
        json!({ "offline": !connected, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1 }),
    );
}

/// A change that is kept, and the edge that comes of it.
fn widen(page: &Page) -> String {
    let before = edge(page);
    page.fill(&by_test_id("field-overhang-lower"), "3.4");
    page.wait_until("a wider edge", |page| edge(page) != before);
    edge(page)
}

#[test]
fn each_step_is_fetched_when_it_is_first_shown_and_no_sooner() {
    let page = Page::open(Screen::DESK);
    assert!(edge(&page).len() > 500);
    let mut still: Vec<&str> = STEPS.iter().map(|(_, file, _)| *file).chain(SELDOM).collect();
    for (step, file, shown) in STEPS {
        if step != "step-edge" {
            assert!(!has(&page, file), "{file} before {step}: {:?}", fetched(&page));
            page.click(&by_test_id(step));
        }
        page.wait_until(&format!("{shown} in {step}"), |page| page.count(&by_test_id(shown)) > 0);
        assert!(has(&page, file), "no {file} in {:?}", fetched(&page));
        still.retain(|other| *other != file);
        // The worker makes the link of Teach.
        if step != "step-teach" {
            for other in &still {
                assert!(!has(&page, other), "{other} in {step}: {:?}", fetched(&page));
            }
        }
    }
    let times = |page: &Page| fetched(page).iter().filter(|name| name.contains("split_bench.wasm")).count();
    page.click(&by_test_id("step-bench"));
    page.wait_until("the bench again", |page| page.count(&by_test_id("make-pdf")) > 0);
    assert_eq!(times(&page), 1, "fetched once");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_step_that_cannot_be_fetched_says_so_and_comes_on_the_second_try() {
    let page = Page::open(Screen::DESK);
    page.wait_until("the edge's panel", |page| page.count(&by_test_id("report")) > 0);
    let widened = widen(&page);
    page.devtools("Network.enable", json!({}));
    for (step, _, shown) in STEPS.into_iter().skip(1) {
        set_connected(&page, false);
        page.click(&by_test_id(step));
        page.wait_for_words(&by_test_id("error-part"), "could not be fetched");
        assert_eq!(page.count(&by_test_id(shown)), 0);
        // Still without a connection, a try says the same.
        page.click(&by_test_id("fetch-again"));
        page.wait_for_words(&by_test_id("error-part"), "could not be fetched");
        // What is here already goes on, and nothing is lost.
        page.click(&by_test_id("step-edge"));
        page.wait_until("no complaint where nothing is missing", |page| {
            page.count(&by_test_id("error-part")) == 0
        });
        assert_eq!(edge(&page), widened);
        assert_eq!(page.value(&by_test_id("field-overhang-lower")), "3.4");

        page.click(&by_test_id(step));
        page.wait_for_words(&by_test_id("error-part"), "could not be fetched");
        set_connected(&page, true);
        page.click(&by_test_id("fetch-again"));
        page.wait_until(&format!("{shown} in {step}"), |page| page.count(&by_test_id(shown)) > 0);
        assert_eq!(page.count(&by_test_id("error-part")), 0);
    }
    page.click(&by_test_id("step-edge"));
    page.wait_until("the same edge", |page| edge(page) == widened);
    assert_eq!(page.count(&by_test_id("stopped")), 0);
}

#[test]
fn work_that_is_kept_waits_for_what_reads_it() {
    let page = Page::open(Screen::DESK);
    let widened = widen(&page);
    // Longer than the page waits before it keeps a change.
    std::thread::sleep(std::time::Duration::from_millis(1500));
    let kept = "return localStorage.getItem('ribline.work')";
    let before = page.js(kept, vec![]);
    assert!(before.as_str().is_some_and(|text| text.len() > 1000));

    page.devtools("Network.enable", json!({}));
    page.devtools("Network.setBlockedURLs", json!({"urls": ["*split_reading*"]}));
    page.reload();
    page.wait_for_words(&by_test_id("error-part"), "could not be fetched");
    page.click(&by_test_id("fetch-again"));
    page.wait_for_words(&by_test_id("error-part"), "could not be fetched");
    assert_eq!(
        page.count(&by_test_id("drawing")),
        0,
        "nothing is opened that could be written over the work"
    );
    assert_eq!(page.js(kept, vec![]), before);

    page.devtools("Network.setBlockedURLs", json!({"urls": []}));
    page.click(&by_test_id("fetch-again"));
    page.wait_until("the work", |page| edge(page) == widened);
    page.wait_until("the edge's panel", |page| page.count(&by_test_id("report")) > 0);
    assert_eq!(page.value(&by_test_id("field-overhang-lower")), "3.4");
    assert_eq!(page.count(&by_test_id("error-part")), 0);
}

#[test]
fn a_file_that_nothing_can_read_yet_is_not_taken_and_is_on_the_second_try() {
    let page = Page::open(Screen::DESK);
    let before = edge(&page);
    let recipe = built_in::viola();
    page.devtools("Network.enable", json!({}));
    set_connected(&page, false);
    page.drop_file("body", "viola.json", recipe.to_json().as_bytes());
    page.wait_for_words(&by_test_id("error-file"), "could not be fetched");
    assert_eq!(edge(&page), before);
    set_connected(&page, true);
    page.drop_file("body", "viola.json", recipe.to_json().as_bytes());
    page.wait_for_words(&by_test_id("arrival-title"), &recipe.title);
    page.wait_until("no complaint", |page| page.count(&by_test_id("error-file")) == 0);
    assert_eq!(edge(&page), before, "looked at before it replaces anything");
}

/// Trunk's `public_url` is `./`: the page may lie in any folder of a server.
#[test]
fn the_whole_page_works_from_a_folder_of_a_server() {
    let server = tempfile::TempDir::new().expect("a folder to serve");
    let folder = server.path().join("class/violins");
    copy(&site::built(), &folder);
    let page = Page::open_folder(Screen::DESK, server.path(), "class/violins/");
    for (step, _, shown) in STEPS {
        page.click(&by_test_id(step));
        page.wait_until(&format!("{shown} in {step}"), |page| page.count(&by_test_id(shown)) > 0);
    }
    let link = page.wait_for("a link that the worker made", |page| {
        let link = page.value(&by_test_id("share-link"));
        link.contains("#r=").then_some(link)
    });
    assert!(link.contains("/class/violins/#r="), "{link}");
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("take-offsets"));
    page.wait_until("the other program", |page| page.count(&by_test_id("offsets-table")) > 0);
    let site = format!("http://{}/class/violins/", page.address());
    let beside: Vec<String> = fetched(&page)
        .into_iter()
        .filter(|name| !name.starts_with(&site) && !name.starts_with("blob:"))
        .collect();
    assert_eq!(beside, Vec::<String>::new());
    assert_eq!(page.console_errors(), []);
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder");
    for entry in std::fs::read_dir(from).expect("the built page") {
        let entry = entry.expect("a file of it");
        let place = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &place);
        } else {
            std::fs::copy(entry.path(), place).expect("copied");
        }
    }
}
