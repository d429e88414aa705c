//! The job as a maker does it on the built page, in a real Chromium.

use kurbo::Vec2;
use ribline_geometry::project::Project;
use ribline_geometry::recipe::built_in;
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, moved, traced, true_edge};

fn edge(page: &Page) -> String {
    page.attribute(&by_test_id("edge-path"), "d").unwrap_or_default()
}

/// A trace that is not in the project: unnamed points of turned and shifted ribs, in decimal commas as a spreadsheet gives them.
fn spreadsheet() -> String {
    let departures = Departures { noise: 0.1, ..Departures::default() };
    let mut rng = StdRng::seed_from_u64(11);
    let edge = true_edge(&built_in::violin(), &departures, &mut rng);
    let trace = moved(&traced(&edge, &departures, &mut rng).trace, 0.4, Vec2::new(120.0, 35.0));
    let mut text = String::from("x_mm;y_mm\n");
    for point in &trace.points {
        let line = format!("{:.3};{:.3}\n", point.at.x, point.at.y);
        text.push_str(&line.replace('.', ","));
    }
    text
}

#[test]
fn the_first_screen_shows_the_job_done_on_an_invented_example() {
    let page = Page::open(Screen::DESK);
    assert!(page.text(&by_test_id("sheet-title")).to_lowercase().contains("invented"));
    assert!(edge(&page).len() > 500, "the edge is drawn");
    assert!(page.text(&by_test_id("report")).contains("verhang"));
    // Five and three and five arcs on each side, or more where a run has taken one in.
    assert!(page.count(&by_test_id("arc")) >= 26);
    assert_eq!(page.count(&by_test_id("corner")), 4);
    assert!(page.count(&by_test_id("traced-point")) > 100);
    assert_eq!(page.text(&by_test_id("face")), "Back, inside face up");
    assert!(page.text(&by_test_id("side-left")).contains("bass"));
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_pasted_trace_becomes_an_edge_that_is_there_again_after_a_reload() {
    let page = Page::open(Screen::DESK);
    let before = edge(&page);
    page.click(&by_test_id("step-ribs"));
    page.paste(&by_test_id("paste-area"), &spreadsheet());
    page.click(&by_test_id("paste-apply"));
    page.wait_until("another edge", |page| {
        edge(page) != before && page.count(&by_test_id("traced-point")) == 180
    });
    assert!(!page.shows(&by_test_id("error-reconcile")));
    assert_eq!(page.text(&by_test_id("sheet-title")), "Untitled plate");
    let pasted = edge(&page);
    // Longer than the page waits before it keeps a change.
    std::thread::sleep(std::time::Duration::from_millis(1500));
    page.reload();
    page.wait_until("the last work", |page| edge(page) == pasted);

    // Back to the example and forth again: nothing entered is lost.
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("show-example"));
    page.wait_until("the example", |page| edge(page) != pasted);
    page.click(&by_test_id("undo"));
    page.wait_until("the pasted trace", |page| edge(page) == pasted);

    // Nor is it where the steps back are gone: what another plate took the place of is kept.
    page.click(&by_test_id("show-example"));
    page.wait_until("the example", |page| edge(page) != pasted);
    std::thread::sleep(std::time::Duration::from_millis(1500));
    page.reload();
    page.wait_until("the example again", |page| page.count(&by_test_id("edge-path")) == 1);
    assert!(page.shows(&format!("{}[disabled]", by_test_id("undo"))));
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("bring-back"));
    page.wait_until("the pasted trace", |page| edge(page) == pasted);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_dragged_point_takes_the_edge_with_it_and_undo_brings_it_back() {
    let page = Page::open(Screen::DESK);
    let before = edge(&page);
    let point = page.place(&format!("{}[data-line=\"20\"]", by_test_id("traced-point"))).center();
    page.begin_drag(point, point + Vec2::new(4.0, 3.0), 4);
    page.wait_until("the edge to follow while the point is held", |page| edge(page) != before);
    page.end_drag();
    let dragged = edge(&page);
    assert_ne!(dragged, before);
    page.click(&by_test_id("undo"));
    page.wait_until("the edge as it was", |page| edge(page) == before);
    page.click(&by_test_id("redo"));
    page.wait_until("the drag again", |page| edge(page) != before);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_wrong_file_gets_a_sentence_and_the_drawing_stays() {
    let page = Page::open(Screen::DESK);
    let before = edge(&page);
    page.click(&by_test_id("step-ribs"));
    for (name, content) in [
        ("holiday.png", &b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"[..]),
        ("letter.csv", &b"dear maker,\nthe ribs are done\n"[..]),
        ("broken.json", &b"{\"format\": \"ribline-project\", \"version\": 1, "[..]),
        ("newer.json", &b"{\"format\": \"ribline-project\", \"version\": 99}"[..]),
    ] {
        page.drop_file("body", name, content);
        page.wait_until(&format!("a sentence about {name}"), |page| page.shows(&by_test_id("error-file")));
        assert!(page.text(&by_test_id("error-file")).trim().len() > 20, "{name}");
        assert_eq!(edge(&page), before, "{name}");
    }
    page.drop_file("body", "edge.svg", b"<?xml version=\"1.0\"?>\n<svg><path d=\"M0 0h90\"/></svg>");
    page.wait_for_words(&by_test_id("error-file"), "From a drawing file");
    page.paste(&by_test_id("paste-area"), "<svg><path d=\"M0 0h90\"/></svg>");
    page.click(&by_test_id("paste-apply"));
    page.wait_for_words(&by_test_id("error-paste"), "It is a drawing.");
    assert_eq!(edge(&page), before);
    page.fill(&by_test_id("row-0-x"), "4");
    page.wait_until("no word of the file once the work goes on", |page| {
        page.count(&by_test_id("error-file")) == 0
    });
    page.click(&by_test_id("step-edge"));
    page.fill(&by_test_id("field-overhang-lower"), "400");
    page.wait_until("a sentence at the field", |page| {
        !page.text(&by_test_id("error-overhang-lower")).is_empty()
    });
    // On the way there stood 4 and 40: the last of them that can be worked is still drawn.
    let last_good = edge(&page);
    assert!(last_good.len() > 500);
    page.fill(&by_test_id("field-overhang-lower"), "3,1");
    page.wait_until("another edge", |page| edge(page) != last_good);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_saved_project_opens_again_and_the_edge_leaves_as_svg() {
    let page = Page::open(Screen::DESK);
    page.fill(&by_test_id("field-overhang-waist"), "3");
    let drawn = edge(&page);
    page.click(&by_test_id("step-bench"));
    page.click(&by_test_id("save-project"));
    let saved = page.downloaded(".json");
    let text = std::fs::read_to_string(&saved).expect("a saved project");
    let project = Project::from_json(&text).expect("a project that geometry reads");
    assert_eq!(project.wish.overhang.waist, 3.0);

    page.click(&by_test_id("file-plate-svg"));
    let svg = std::fs::read_to_string(page.downloaded(".svg")).expect("an exported edge");
    let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
    let layer = |id: &str| document.descendants().any(|n| n.attribute("id") == Some(id));
    assert!(layer("edge") && layer("ribs") && layer("pins"));
    assert!(document.root_element().attribute("width").is_some_and(|w| w.ends_with("mm")));

    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("start-afresh"));
    page.wait_until("an empty board", |page| page.count(&by_test_id("edge-path")) == 0);
    page.upload(&by_test_id("open-file"), &saved);
    page.wait_until("the saved edge", |page| {
        page.count(&by_test_id("edge-path")) == 1 && edge(page) == drawn
    });
    assert_eq!(page.console_errors(), []);
}

#[test]
fn two_sides_that_part_before_a_corner_are_told_of_and_the_point_is_shown_and_taken_out() {
    // A last point that the last arc follows: of few points nothing but the other side shows it.
    let departures = Departures { points: 10, ..Departures::default() };
    let mut rng = StdRng::seed_from_u64(4);
    let edge = true_edge(&built_in::violin(), &departures, &mut rng);
    let mut trace = traced(&edge, &departures, &mut rng).trace;
    // Of the left upper bout, which is gone along from the centreline to its corner.
    let last = 39;
    let along = (trace.points[last].at - trace.points[last - 1].at).normalize();
    trace.points[last].at += 5.0 * Vec2::new(-along.y, along.x);
    let csv = trace.to_csv();
    let points = csv.lines().enumerate().filter(|(_, line)| line.contains("upper-left"));
    let line = points.last().expect("the point's line").0 + 1;

    let page = Page::open(Screen::TABLET);
    page.click(&by_test_id("step-ribs"));
    page.paste(&by_test_id("paste-area"), &csv);
    page.click(&by_test_id("paste-apply"));
    page.wait_until("the trace", |page| page.count(&by_test_id("traced-point")) == 60);
    page.click(&by_test_id("step-edge"));
    let told = |page: &Page| {
        let warnings = page.texts(&format!("{} li", by_test_id("warnings")));
        warnings.into_iter().find(|text| text.starts_with("Folded on the centreline"))
    };
    let sentence = page.wait_for("the sentence", told);
    assert!(sentence.contains(&format!("line {line} (left)")), "{sentence}");
    // Both points can be put right from there, each named by its line.
    assert_eq!(sentence.matches("Show it").count(), 2, "{sentence}");
    let the_first = "li:has(.actions + .actions)";
    page.click(&format!("{the_first} {}", by_test_id("show-point")));
    page.wait_for_words(&by_test_id("readout"), &line.to_string());
    page.click(&format!("{the_first} {}", by_test_id("drop-point")));
    page.wait_until("it is taken out", |page| {
        page.count(&by_test_id("traced-point")) == 59 && told(page).is_none()
    });
    assert_eq!(page.console_errors(), []);
}
