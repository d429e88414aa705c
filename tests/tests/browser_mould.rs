//! The instruments beside one another and the mould, on the built page in a real Chromium.

use ribline_geometry::mould::{MouldWish, mould};
use ribline_geometry::recipe::{built_in, family};
use ribline_geometry::reconcile::Overhang;
use ribline_tests::page::{Page, Screen, by_test_id};

fn set_out() -> Page {
    Page::open_at(Screen::DESK, "#set-out")
}

fn outline(page: &Page) -> String {
    page.attribute(&by_test_id("recipe-outline"), "d").unwrap_or_default()
}

fn pressed(page: &Page, name: &str) -> bool {
    page.attribute(&by_test_id(name), "aria-pressed").as_deref() == Some("true")
}

#[test]
fn a_touch_on_an_instrument_or_a_size_chooses_it_and_undo_goes_back() {
    let page = set_out();
    let violin = outline(&page);
    assert!(pressed(&page, "family-0") && !pressed(&page, "family-3"));
    page.click(&by_test_id("family-3"));
    page.wait_until("a bass viol", |page| outline(page) != violin);
    assert!(pressed(&page, "family-3") && !pressed(&page, "family-0"));
    assert_eq!(page.count(".family .body"), family::family().len());
    let medium = outline(&page);
    page.click(&by_test_id("size-2"));
    page.wait_until("a larger one", |page| outline(page) != medium && pressed(page, "size-2"));
    page.click(&by_test_id("undo"));
    page.click(&by_test_id("undo"));
    page.wait_until("the violin", |page| outline(page) == violin);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn the_open_panel_shows_the_mould_and_how_long_to_cut_each_rib_and_exports_it() {
    let page = set_out();
    assert_eq!(page.count(&by_test_id("mould-outline")), 0);
    page.click(&format!("{} summary", by_test_id("mould")));
    page.wait_until("the mould", |page| page.count(&by_test_id("mould-outline")) == 1);

    // The six lengths are those of the library, to the next whole millimetre.
    let recipe = built_in::violin();
    let drawn = recipe.evaluate().expect("a built-in recipe");
    let overhang = Overhang::even(recipe.customary.overhang);
    let mut wish = MouldWish::customary(&recipe);
    let expect = |wish: &MouldWish| {
        let made = mould(&recipe, &drawn, overhang, wish).expect("a mould by custom");
        made.ribs.map(|rib| (by_test_id(&format!("rib-{}", rib.run)), format!("{:.0}", rib.cut.ceil())))
    };
    for (row, cut) in expect(&wish) {
        assert!(page.text(&row).ends_with(&cut), "{row}: {} and {cut}", page.text(&row));
    }
    let cut: Vec<f64> = page
        .texts("[data-test=rib-lengths] tbody td:last-child")
        .iter()
        .filter_map(|text| text.parse().ok())
        .collect();
    assert_eq!(cut[..6].iter().sum::<f64>(), cut[6], "they add up as they are read");
    assert!(page.text(&by_test_id("mould-caution")).contains("instruction"));

    let before = page.attribute(&by_test_id("mould-outline"), "d");
    page.fill(&by_test_id("field-mould-rib_thickness"), "1.6");
    page.fill(&by_test_id("field-mould-corner_allowance"), "4");
    wish.rib_thickness = 1.6;
    wish.allowance.corner = 4.0;
    page.wait_until("another mould", |page| page.attribute(&by_test_id("mould-outline"), "d") != before);
    for (row, cut) in expect(&wish) {
        page.wait_until("the new lengths", |page| page.text(&row).ends_with(&cut));
    }

    page.click(&by_test_id("export-mould"));
    let svg = std::fs::read_to_string(page.downloaded(".svg")).expect("an exported mould");
    let document = roxmltree::Document::parse(&svg).expect("well-formed XML");
    for layer in ["mould", "recesses", "holes", "centreline", "ribs", "pins", "check", "words"] {
        assert!(document.descendants().any(|n| n.attribute("id") == Some(layer)), "{layer}");
    }

    // What cannot be is told, the mould is not drawn, and the settings stay.
    page.fill(&by_test_id("field-mould-lower_depth"), "120");
    page.fill(&by_test_id("field-mould-lower_width"), "200");
    page.wait_until("why not", |page| page.text(&by_test_id("error-mould")).contains("lower block"));
    page.click(&by_test_id("step-edge"));
    page.wait_until("the plate again", |page| page.count(&by_test_id("mould-outline")) == 0);
    assert_eq!(page.console_errors(), []);
}
