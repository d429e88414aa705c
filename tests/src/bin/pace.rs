//! Prints how fast the built page is in a real browser: how long until the first drawing, and how long the whole way takes from a
//! traced point that moves, over the new fit of all points, to the changed drawing; and how long the bench's PDF takes.
//!
//! `cargo run --release -p ribline-tests --bin pace`

use ribline_geometry::recipe::built_in;
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};
use serde_json::{Value, json};

/// Times that the page is opened, that a point is moved, and that a PDF is made.
const OPENED: usize = 5;
const MOVED: usize = 40;
const PRINTED: usize = 15;

/// Runs in the page before anything else: notes when the edge is first drawn, in ms from asking for the page.
const WATCH: &str = r#"
    const watching = new MutationObserver(() => {
        if (document.querySelector('[data-test="edge-path"][d^="M"]')) {
            window.firstDrawing = performance.now();
            watching.disconnect();
        }
    });
    watching.observe(document, { childList: true, subtree: true, attributes: true });
"#;

/// Runs in the page: moves a point to and fro by its arrow keys, and times from the key to the drawing that follows. Leptos
/// works effects in a microtask, which is done when the next task begins.
const MOVE: &str = r#"
    const [times] = arguments;
    const done = arguments[arguments.length - 1];
    const point = document.querySelectorAll('[data-test="traced-point"]')[60];
    const edge = document.querySelector('[data-test="edge-path"]');
    const next = () => new Promise(resolve => {
        const channel = new MessageChannel();
        channel.port1.onmessage = resolve;
        channel.port2.postMessage(null);
    });
    (async () => {
        point.focus();
        await next();
        const taken = [];
        for (let k = 0; k < times; k++) {
            const before = edge.getAttribute('d');
            const key = k % 2 ? 'ArrowLeft' : 'ArrowRight';
            const start = performance.now();
            point.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true, cancelable: true }));
            await next();
            const end = performance.now();
            if (edge.getAttribute('d') === before) return done('the drawing did not follow');
            taken.push(end - start);
        }
        done(taken);
    })();
"#;

/// Runs in the page: has the PDF made so many times, and times from the press of the button to the link that hands it over.
const PRINT: &str = r#"
    const [times] = arguments;
    const done = arguments[arguments.length - 1];
    const link = () => document.querySelector('[data-test="make-pdf-save"]')?.href;
    (async () => {
        const taken = [];
        for (let k = 0; k < times; k++) {
            const before = link();
            const start = performance.now();
            document.querySelector('[data-test="make-pdf"]').click();
            while (!link() || link() === before) {
                await new Promise(resolve => {
                    const channel = new MessageChannel();
                    channel.port1.onmessage = resolve;
                    channel.port2.postMessage(null);
                });
            }
            taken.push(performance.now() - start);
        }
        done(taken);
    })();
"#;

fn main() {
    let mut first: Vec<f64> = Vec::new();
    let page = Page::open(Screen::DESK);
    page.devtools("Page.addScriptToEvaluateOnNewDocument", json!({ "source": WATCH }));
    for _ in 0..OPENED {
        page.reload();
        first.push(page.wait_for("the first drawing", |page| {
            page.js("return window.firstDrawing ?? null;", vec![]).as_f64()
        }));
    }
    drop(page);
    tell("first drawing, from asking for the page (budget 1000 ms)", first);

    let page = Page::open(Screen::DESK);
    tell_moves(&page, "the example");
    let mut rng = StdRng::seed_from_u64(3);
    let departures = Departures::default();
    let edge = true_edge(&built_in::violin(), &departures, &mut rng);
    let trace = traced(&edge, &departures, &mut rng).trace;
    page.drop_file("body", "trace.csv", trace.to_csv().as_bytes());
    let wanted = trace.points.len();
    page.wait_until("the points", |page| page.count(&by_test_id("traced-point")) == wanted);
    tell_moves(&page, "180 simulated points");
    drop(page);

    let page = Page::open_at(Screen::DESK, "#bench");
    page.wait_until("the drawing laid over its sheets", |page| page.count(&by_test_id("print-map")) == 1);
    let times = page.js_later(PRINT, vec![json!(PRINTED)]);
    let Value::Array(times) = &times else { panic!("{times}") };
    let told = page.text(&by_test_id("make-pdf-told"));
    println!("{told}");
    tell(
        "that PDF made, the plate solved anew for it (budget 200 ms)",
        times.iter().filter_map(Value::as_f64).collect(),
    );
}

fn tell_moves(page: &Page, what: &str) {
    let times = page.js_later(MOVE, vec![json!(MOVED)]);
    let Value::Array(times) = &times else { panic!("{times}") };
    let points = page.count(&by_test_id("traced-point"));
    let times = times.iter().filter_map(Value::as_f64).collect();
    tell(&format!("a point moved, {what} ({points} points), solved and drawn (budget 16 ms)"), times);
}

fn tell(what: &str, mut times: Vec<f64>) {
    times.sort_by(f64::total_cmp);
    match (times.first(), times.get(times.len() / 2), times.last()) {
        (Some(least), Some(middle), Some(most)) => {
            println!("{what}: {middle:.1} ms in the middle of {}, {least:.1} to {most:.1}", times.len());
        }
        _ => println!("{what}: not measured"),
    }
}
