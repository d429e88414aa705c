//! Prints how fast the built page is in a real browser: how long until the first drawing, and how long the whole way takes from a
//! traced point that moves, over the new fit of all points, to the changed drawing; how long the bench's PDF takes; and, with a photo
//! of 12 megapixels open, how fast the line is followed, how long the page is ever held, and what the tab takes of memory.
//!
//! `cargo run --release -p ribline-tests --bin pace`

use kurbo::{Size, Vec2};
use ribline_geometry::recipe::built_in;
use ribline_tests::at_the_photo::{Hand, asked_for, open_way, ribs};
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::photographed::photographed;
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};
use serde_json::{Value, json};
use std::path::Path;

/// Times that the page is opened, that a point is moved, and that a PDF is made.
const OPENED: usize = 5;
const MOVED: usize = 40;
const PRINTED: usize = 15;
/// Times that the whole line is followed.
const FOLLOWED: usize = 3;

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

/// Runs in the page before anything else: notes when the second program is asked something and when it answers (it answers one
/// after another), and everything that holds the page for more than 50 ms.
const LISTEN: &str = r#"
    window.asked = []; window.answered = []; window.held = [];
    const post = Worker.prototype.postMessage;
    const heard = new WeakSet();
    Worker.prototype.postMessage = function (...what) {
        if (!heard.has(this)) {
            heard.add(this);
            this.addEventListener('message', () => window.answered.push(performance.now()));
        }
        window.asked.push(performance.now());
        return post.apply(this, what);
    };
    new PerformanceObserver(list => list.getEntries().forEach(entry => window.held.push(entry.duration)))
        .observe({ type: 'longtask' });
"#;

/// What each answer took, from when it was asked for or, if later, from the answer before.
const TAKEN: &str = "return answered.map((t, k) => t - Math.max(asked[k], answered[k - 1] ?? 0))";

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
    drop(page);
    tell_photo();
}

/// Of 12 megapixels.
fn tell_photo() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(3000.0, 4000.0));
    let page = open_way(Screen::DESK, "photo");
    page.js(LISTEN, vec![]);
    page.upload_as(&by_test_id("open-photo"), "board.bmp", &photo.file);
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
    let held = |what: &str| {
        let held = page.js("const all = held; held = []; return all", vec![]);
        let most = held.as_array().into_iter().flatten().filter_map(Value::as_f64).fold(0.0, f64::max);
        println!("{what}: the page was held for {most:.0} ms at most (0 is less than 50)");
    };
    std::thread::sleep(std::time::Duration::from_millis(300));
    held("a photo of 12 megapixels opened");
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    (0..4).for_each(|k| hand.tap(hand.mark(k)));
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    hand.press("to-line");
    let mut follows = Vec::new();
    for k in 0..FOLLOWED {
        page.js("asked = []; answered = []", vec![]);
        // A stretch between places that were tapped before is known.
        let aside = Vec2::new(0.3 * k as f64, 0.0);
        asked_for(&lines).into_iter().for_each(|at| hand.tap(at + aside));
        page.wait_for_words(&by_test_id("line-state"), "each good to about");
        let times = page.js(TAKEN, vec![]);
        follows.extend(times.as_array().into_iter().flatten().filter_map(Value::as_f64));
        for _ in 0..8 {
            page.click(&by_test_id("photo-take-back"));
        }
    }
    tell("a stretch of the line followed, asked for and answered (budget 100 ms)", follows);
    held("the line followed");
    match memory(&page.profile()) {
        Some([now, most]) => println!(
            "the tab with that photo open: {now:.0} MB, {most:.0} MB at most while it was opened (budget 300 MB)"
        ),
        None => println!("the tab's memory: not measured, for it is read from Linux's /proc"),
    }
    asked_for(&lines).into_iter().for_each(|at| hand.tap(at));
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    page.js("held = []", vec![]);
    hand.press("take-line");
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    std::thread::sleep(std::time::Duration::from_secs(2));
    held("the line taken, with the photo under it");
}

/// What the tab of the browser of this profile has of memory now, and had at most, MB. Of its processes that draw pages, the tab
/// is the largest.
fn memory(profile: &Path) -> Option<[f64; 2]> {
    let read = |pid: u32, what: &str| std::fs::read_to_string(format!("/proc/{pid}/{what}")).ok();
    let pids = || std::fs::read_dir("/proc").ok().into_iter().flatten();
    let all: Vec<(u32, u32, String)> = pids()
        .filter_map(|entry| {
            let pid = entry.ok()?.file_name().to_str()?.parse().ok()?;
            let status = read(pid, "status")?;
            let parent = status.lines().find_map(|line| line.strip_prefix("PPid:"))?.trim().parse().ok()?;
            Some((pid, parent, read(pid, "cmdline")?))
        })
        .collect();
    let named = format!("--user-data-dir={}", profile.display());
    let mut family: Vec<u32> =
        all.iter().filter(|(.., line)| line.contains(&named)).map(|(pid, ..)| *pid).collect();
    loop {
        let more: Vec<u32> = all
            .iter()
            .filter(|(pid, parent, _)| family.contains(parent) && !family.contains(pid))
            .map(|(pid, ..)| *pid)
            .collect();
        if more.is_empty() {
            break;
        }
        family.extend(more);
    }
    let number = |text: &str, name: &str| {
        let line = text.lines().find_map(|line| line.strip_prefix(name))?;
        line.trim().trim_end_matches(" kB").parse::<f64>().ok().map(|kilobytes| kilobytes * 1024.0 / 1e6)
    };
    let tabs = all.iter().filter(|(pid, _, line)| family.contains(pid) && line.contains("--type=renderer"));
    tabs.filter_map(|(pid, ..)| {
        let status = read(*pid, "status")?;
        Some([number(&read(*pid, "smaps_rollup")?, "Pss:")?, number(&status, "VmHWM:")?])
    })
    .max_by(|a, b| a[0].total_cmp(&b[0]))
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
