//! The bench on the built page in a real Chromium: the print, the compass sheet, purfling and button, files.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use dxf::Drawing;
use dxf::entities::EntityType;
use ribline_tests::page::{Page, Screen, by_test_id};
use serde_json::json;

fn bench(screen: Screen) -> Page {
    let page = Page::open_at(screen, "#bench");
    page.wait_until("the drawing laid over its sheets", |page| page.count(&by_test_id("print-map")) == 1);
    page
}

/// Makes a PDF with this button, and reads the file that its link saves.
fn pdf(page: &Page, button: &str) -> Vec<u8> {
    page.click(&by_test_id(button));
    let link = by_test_id(&format!("{button}-save"));
    page.wait_until("the PDF", |page| page.count(&link) == 1);
    let script = "const [css] = arguments; const done = arguments[arguments.length - 1]; \
                  fetch(document.querySelector(css).href).then(read => read.blob()).then(blob => { \
                      const reader = new FileReader(); \
                      reader.onload = () => done(reader.result.split(',')[1]); \
                      reader.readAsDataURL(blob); })";
    let read = page.js_later(script, vec![json!(link)]);
    BASE64.decode(read.as_str().expect("a text")).expect("base64")
}

/// ISO 32000-1, 7.5.2: a file begins with %PDF and its version; 7.5.5: it ends with %%EOF.
fn is_pdf(bytes: &[u8]) -> bool {
    bytes.starts_with(b"%PDF-1.") && bytes.trim_ascii_end().ends_with(b"%%EOF")
}

#[test]
fn the_print_is_a_pdf_of_few_kilobytes_that_the_printer_correction_changes_and_undo_changes_back() {
    let page = bench(Screen::DESK);
    let check = pdf(&page, "make-check-page");
    assert!(is_pdf(&check));
    let whole = pdf(&page, "make-pdf");
    assert!(is_pdf(&whole) && whole.len() < 200_000, "{} bytes", whole.len());
    assert!(check.len() < whole.len());
    let told = page.text(&by_test_id("make-pdf-told"));
    assert!(
        told.contains(&format!("{} kB", whole.len().div_ceil(1000))) && told.contains("3 pages"),
        "{told}"
    );

    // The same again is the same file.
    assert!(pdf(&page, "make-pdf") == whole);
    page.fill(&by_test_id("field-bench-measured-across"), "97");
    page.wait_until("the PDF to go, which is of other settings", |page| {
        page.count(&by_test_id("make-pdf-save")) == 0
    });
    page.wait_for_words(&by_test_id("correction"), "1.0309");
    let corrected = pdf(&page, "make-pdf");
    assert!(is_pdf(&corrected) && corrected != whole);
    page.click(&by_test_id("undo"));
    page.wait_until("nothing corrected", |page| !page.text(&by_test_id("correction")).contains("1.0309"));
    assert!(pdf(&page, "make-pdf") == whole);

    // What nobody can have measured is told at its field, and the last good value stays.
    page.fill(&by_test_id("field-bench-measured-up"), "50");
    page.wait_for_words(&by_test_id("error-bench-measured-up"), "110");
    assert!(pdf(&page, "make-pdf") == whole);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn sheets_follow_the_paper_and_a_print_of_nothing_is_refused_at_its_place() {
    let page = bench(Screen::PHONE);
    let sheets = |page: &Page| page.attribute(&by_test_id("print-map"), "data-sheets");
    assert_eq!(sheets(&page).as_deref(), Some("2"));
    page.click(&by_test_id("print-on-a3"));
    page.wait_until("one sheet of A3", |page| sheets(page).as_deref() == Some("1"));
    page.click(&by_test_id("print-on-one"));
    page.wait_for_words(&by_test_id("print-sheets"), "One page");
    assert_eq!(page.count(&by_test_id("make-check-page")), 0);
    page.click(&by_test_id("print-part-left"));
    page.wait_for_words(&by_test_id("print-statements"), "both sides alike");
    for layer in ["edge", "ribs", "purfling", "corners", "centres", "centreline"] {
        page.click(&by_test_id(&format!("print-{layer}")));
    }
    page.wait_for_words(&by_test_id("error-print"), "choose at least the edge");
    // It is a wish like any other: the work is kept with it and can be read again.
    page.reload();
    page.wait_for_words(&by_test_id("error-print"), "choose at least the edge");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn settings_of_the_bench_are_there_again_after_a_reload() {
    let page = bench(Screen::DESK);
    page.click(&by_test_id("print-on-letter"));
    page.click(&by_test_id("compass-step-0.5"));
    page.fill(&by_test_id("field-bench-button-width"), "21");
    page.press("\u{e004}");
    page.click(&by_test_id("button-kind-straight"));
    page.wait_until("a field for the flanks", |page| {
        page.count(&by_test_id("field-bench-button-flank")) == 1
    });
    let stored = "return Object.values(localStorage).some(kept => kept.includes('straight_flanks'))";
    page.wait_until("the work to be kept", |page| page.js(stored, vec![]) == json!(true));
    page.reload();
    page.wait_until("the same width", |page| page.value(&by_test_id("field-bench-button-width")) == "21");
    assert_eq!(page.count(&by_test_id("field-bench-button-flank")), 1);
    let checked = "return document.querySelector(arguments[0]).checked";
    for chosen in ["print-on-letter", "compass-step-0.5", "button-kind-straight"] {
        assert_eq!(page.js(checked, vec![json!(by_test_id(chosen))]), json!(true), "{chosen}");
    }
    assert_eq!(page.console_errors(), []);
}

#[test]
fn the_compass_sheet_has_a_row_for_each_arc_and_lights_it() {
    let page = bench(Screen::DESK);
    let arcs = page.count(&by_test_id("arc"));
    assert!(arcs > 20, "{arcs}");
    page.wait_until("a row for each arc", |page| page.count(&by_test_id("strike-row")) == arcs);
    assert_eq!(page.count("[data-test=cut-table] tbody tr"), 4);
    let numbers: Vec<String> = page.texts("[data-test=strike-row] .row-name");
    let counted: Vec<String> = (1..=arcs).map(|n| n.to_string()).collect();
    assert_eq!(numbers, counted);
    // Every number stands at a centre in the drawing.
    let drawn: Vec<String> = page.texts("[data-test=centre-numbers] text");
    let mut drawn: Vec<usize> =
        drawn.iter().flat_map(|text| text.split(", ")).filter_map(|n| n.parse().ok()).collect();
    drawn.sort_unstable();
    assert_eq!(drawn, (1..=arcs).collect::<Vec<_>>());

    assert_eq!(page.count(".arc.pointed"), 0);
    page.click("[data-test=strike-row] .row-name");
    page.wait_until("one arc to light up", |page| page.count(".arc.pointed") == 1);
    assert_eq!(page.texts("[data-test=centre-numbers] .pointed").len(), 1);

    // Settings have no more digits than the step, and a coarser step says what it does to the edge.
    let settings = page.texts(&by_test_id("strike-setting"));
    assert!(settings.iter().all(|mm| mm.split_once('.').is_some_and(|(_, tenths)| tenths.len() == 1)));
    let fine = page.text(&by_test_id("compass-effect"));
    page.click(&by_test_id("compass-step-1"));
    page.wait_until("whole millimetres", |page| {
        page.texts(&by_test_id("strike-setting")).iter().all(|mm| !mm.contains('.'))
    });
    assert_ne!(page.text(&by_test_id("compass-effect")), fine);
    page.click(&by_test_id("undo"));
    page.wait_until("tenths again", |page| page.texts(&by_test_id("strike-setting")) == settings);

    page.click(&by_test_id("compass-csv"));
    let csv = std::fs::read_to_string(page.downloaded(".csv")).expect("a compass sheet");
    assert!(csv.starts_with("# Back, inside face up, bass side left\n"));
    assert_eq!(csv.lines().count(), 2 + arcs + 4);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn the_compass_sheet_on_paper_has_every_arc_and_its_cautions() {
    let page = bench(Screen::DESK);
    let arcs = page.count(&by_test_id("arc"));
    page.click(&by_test_id("compass-inches"));
    page.js("dispatchEvent(new Event('beforeprint'))", vec![]);
    assert_eq!(page.count("[data-test=compass-paper] table:first-of-type tbody tr"), arcs);
    let text = page.js("return document.querySelector('[data-test=compass-paper]').textContent", vec![]);
    let text = text.as_str().unwrap_or_default();
    for words in ["inches", "face up", "from the lower pin", "qualified instruction"] {
        assert!(text.contains(words), "{words}");
    }
    // The heads of tables are printed on every page.
    let heads = page.texts("[data-test=compass-paper] thead");
    assert!(heads.len() == 2 && heads.iter().all(|head| head.contains("face up")), "{heads:?}");
    page.js("dispatchEvent(new Event('afterprint'))", vec![]);
    assert_eq!(page.count("[data-test=compass-paper] table"), 0);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn purfling_and_button_are_drawn_and_what_cannot_be_is_told() {
    let page = bench(Screen::DESK);
    let line = |page: &Page, name: &str| page.attribute(&by_test_id(name), "d").unwrap_or_default();
    let (purfling, button) = (line(&page, "purfling-line"), line(&page, "button-line"));
    assert!(purfling.starts_with('M') && button.starts_with('M'));
    page.fill(&by_test_id("field-bench-purfling-distance"), "9");
    page.wait_until("the purfling to move", |page| line(page, "purfling-line") != purfling);
    // So near to the edge, the points of its channel run out through the ends of the corners.
    page.fill(&by_test_id("field-bench-purfling-distance"), "0.6");
    page.wait_for_words(&by_test_id("purfling-notices"), "the point of the purfling");
    page.fill(&by_test_id("field-bench-button-width"), "30");
    page.wait_until("a wider button", |page| line(page, "button-line") != button);
    // A front has none.
    page.click(&by_test_id("bench-plate-front"));
    page.wait_until("no button", |page| line(page, "button-line").is_empty());
    page.wait_for_words(&by_test_id("button-front"), "front has no button");
    page.click(&by_test_id("file-button-dxf"));
    page.wait_for_words(&by_test_id("error-files"), "front has no button");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn files_for_machines_come_down_in_every_form() {
    let page = bench(Screen::DESK);
    page.click(&by_test_id("file-edge-dxf"));
    let drawing = Drawing::load_file(page.downloaded(".dxf").to_str().expect("a path")).expect("a DXF file");
    let layers: Vec<&str> = drawing
        .entities()
        .filter(|entity| matches!(entity.specific, EntityType::Polyline(_)))
        .map(|entity| &*entity.common.layer)
        .collect();
    assert_eq!(layers, ["left-for-the-file", "edge"]);

    page.click(&by_test_id("file-purfling-csv"));
    let csv = std::fs::read_to_string(page.downloaded(".csv")).expect("a file of points");
    assert!(csv.starts_with("# Back, inside face up, bass side left\nlayer,path,x_mm,y_mm\n"));
    let apart = csv.lines().filter(|line| line.starts_with("purfling,")).count();
    assert!(apart > 900, "points a millimetre apart along a metre of purfling: {apart}");

    page.click(&by_test_id("file-mould-svg"));
    let svg = std::fs::read_to_string(page.downloaded(".svg")).expect("a mould");
    let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
    assert!(document.descendants().any(|node| node.attribute("id") == Some("mould")));
    assert_eq!(page.console_errors(), []);
}

/// What is typed of the cut plate stands beside the plan, is said in words, is there after a reload, and is in the record.
#[test]
fn the_overhang_as_cut_is_seen_against_the_plan_and_goes_into_the_record() {
    let page = bench(Screen::DESK);
    let planned = page.text(&format!("{} tr:nth-child(2) td:nth-child(3)", by_test_id("as-cut-panel")));
    let planned: f64 = planned.trim().parse().expect("what was planned, in mm");
    let field = by_test_id("field-as-cut-lower-right");
    page.fill(&field, &format!("{:.1}", planned - 0.6).replace('.', ","));
    page.wait_for_words(&by_test_id("as-cut-off-lower-right"), "0.6");
    page.wait_for_words(&by_test_id("as-cut-told"), "Measured at 1 place");
    assert!(page.text(&by_test_id("as-cut-told")).contains("less than planned"));

    // What nobody can have measured is told at its place, and the last figure stays.
    page.fill(&field, "250");
    page.wait_for_words(&by_test_id("error-as-cut-lower-right"), "20");
    page.wait_for_words(&by_test_id("as-cut-told"), "Measured at 1 place");
    // A figure may be left out again; one field's typing is one step back.
    page.fill(&field, "");
    let nothing = |page: &Page| page.text(&by_test_id("as-cut-told")).is_empty();
    page.wait_until("nothing measured", nothing);
    page.fill(&field, "1.9");
    page.wait_for_words(&by_test_id("as-cut-told"), "less than planned");
    page.click(&by_test_id("undo"));
    page.wait_until("nothing measured", nothing);
    page.click(&by_test_id("redo"));
    page.wait_for_words(&by_test_id("as-cut-told"), "less than planned");

    page.fill(&by_test_id("field-record-why"), "The lower bout came out narrow.");
    page.fill(&by_test_id("field-record-cut-on"), "9 March");
    let record = pdf(&page, "make-record");
    assert!(is_pdf(&record) && record.len() < 200_000, "{} bytes", record.len());
    page.reload();
    page.wait_for_words(&by_test_id("as-cut-told"), "less than planned");
    assert_eq!(page.value(&by_test_id("field-record-why")), "The lower bout came out narrow.");
    assert_eq!(page.value(&by_test_id("field-record-cut-on")), "9 March");
    assert_eq!(page.console_errors(), []);
}
