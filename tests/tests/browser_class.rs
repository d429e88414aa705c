//! The results of a class beside one another on the built page, in a real Chromium.

use ribline_geometry::class::invented;
use ribline_geometry::project::Project;
use ribline_geometry::recipe::built_in;
use ribline_geometry::reconcile::Wish;
use ribline_geometry::share::{self, Contents, Shared, address};
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};
use serde_json::json;

/// A plate of somebody's own by the violin's recipe.
fn plate(seed: u64, title: &str) -> Project {
    let recipe = built_in::violin();
    let departures = Departures { points: 20, ..Departures::default() };
    let mut rng = StdRng::seed_from_u64(seed);
    let edge = true_edge(&recipe, &departures, &mut rng);
    let trace = traced(&edge, &departures, &mut rng).trace;
    let wish = Wish::customary(&recipe);
    Project { title: title.into(), ..Project::new(recipe, trace, wish) }
}

fn link(project: &Project, contents: Contents) -> String {
    let text = share::write(&Shared::of(project.clone(), contents)).expect("a link");
    address::link("https://recipes.example.org/", &text).expect("a link short enough")
}

fn open_class(screen: Screen) -> Page {
    let page = Page::open_at(screen, "#teach/class");
    page.wait_until("the class", |page| page.shows(&by_test_id("class")));
    page
}

fn results(page: &Page) -> usize {
    page.count(&by_test_id("class-line"))
}

#[test]
fn links_pasted_several_at_a_time_are_laid_over_one_another_and_a_bad_one_is_named() {
    let page = open_class(Screen::DESK);
    let work = page.js("return localStorage.getItem('ribline.work')", vec![]);
    let (one, two) = (plate(1, "Ribs from the long board"), plate(2, ""));
    let mut damaged = link(&plate(3, "Damaged"), Contents::Result);
    let at = damaged.len() - 40;
    damaged.replace_range(at..at + 1, if damaged[at..].starts_with('A') { "B" } else { "A" });
    let text = format!(
        "{}\nBench two: {}\n{damaged}\n{}",
        link(&one, Contents::Result),
        link(&two, Contents::Result),
        link(&one, Contents::Recipe)
    );
    page.paste(&by_test_id("class-paste"), &text);
    page.click(&by_test_id("class-take"));
    page.wait_until("two lines", |page| results(page) == 2);
    page.wait_until("two troubles", |page| page.count(&format!("{} p", by_test_id("error-class"))) == 2);
    let troubles = page.texts(&format!("{} p", by_test_id("error-class")));
    assert!(troubles[0].contains("Link 3 of 4") && troubles[0].contains("damaged"), "{troubles:?}");
    assert!(troubles[1].contains("Link 4 of 4") && troubles[1].contains("no traced line"), "{troubles:?}");
    let names = page.js(
        "return [...document.querySelectorAll('[data-test^=field-class-name]')].map(e => e.value)",
        vec![],
    );
    assert_eq!(names, json!(["Ribs from the long board", "Bench two"]));
    assert_eq!(page.js("return localStorage.getItem('ribline.work')", vec![]), work, "nothing was replaced");

    // Told apart without colour: by dashes and letters.
    let lines = "return [...document.querySelectorAll('[data-test=class-line]')].map(g => \
                 g.querySelector('.of-class').getAttribute('stroke-dasharray') + g.querySelector('text').textContent)";
    assert_eq!(page.js(lines, vec![]), json!(["noneA", "9 4B"]));
    assert!(page.text(&by_test_id("class-title")).contains("2 results"));
    assert!(page.count(&format!("{} tbody tr", by_test_id("class-most-different"))) >= 6);

    // The same again is not taken twice.
    page.paste(&by_test_id("class-paste"), &link(&one, Contents::Result));
    page.click(&by_test_id("class-take"));
    page.wait_for_words(&by_test_id("error-class"), "there already");
    assert_eq!(results(&page), 2);

    // What is there is there again when the page is, until it is removed.
    page.fill("[data-test^=field-class-name]", "The long board");
    page.press("\u{e007}");
    page.reload();
    page.wait_until("both again", |page| results(page) == 2);
    let first = "return document.querySelector('[data-test^=field-class-name]').value";
    page.wait_until("by its name", |page| page.js(first, vec![]) == json!("The long board"));
    page.click(&by_test_id("class-remove"));
    page.wait_until("one", |page| results(page) == 1);
    page.click(&by_test_id("class-put-back"));
    page.wait_until("both", |page| results(page) == 2);
    page.click(&by_test_id("class-remove"));
    page.wait_until("one", |page| results(page) == 1);
    page.reload();
    page.wait_until("one still", |page| results(page) == 1);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn files_are_chosen_or_let_fall_and_replace_nothing() {
    let page = open_class(Screen::DESK);
    page.drop_file("body", "bench-1.json", plate(4, "").to_json().as_bytes());
    page.wait_until("the first", |page| results(page) == 1);
    let first = "return document.querySelector('[data-test^=field-class-name]').value";
    page.wait_until("named for its file", |page| page.js(first, vec![]) == json!("bench-1"));
    page.upload_as(&by_test_id("class-files"), "bench-2.json", plate(5, "Bench two").to_json().as_bytes());
    page.wait_until("the second", |page| results(page) == 2);
    page.upload_as(&by_test_id("class-files"), "violin.json", built_in::violin().to_json().as_bytes());
    page.wait_for_words(&by_test_id("error-class"), "violin.json");
    page.drop_file("body", "points.csv", b"x_mm,y_mm\n1,2\n3,4\n");
    page.wait_for_words(&by_test_id("error-class"), "without a recipe");
    page.click(&by_test_id("class-understood"));
    assert_eq!(results(&page), 2);
    page.click(&by_test_id("class-present"));
    page.wait_until("the plate at hand too", |page| results(page) == 3);
    page.click(&by_test_id("step-edge"));
    page.wait_until("the example as it was", |page| {
        page.text(&by_test_id("sheet-title")).contains("invented")
    });
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_link_to_a_result_can_go_to_the_class_from_where_it_arrives() {
    let page = open_class(Screen::DESK);
    let code = share::write(&Shared::of(plate(6, "From the wall"), Contents::Result)).unwrap();
    page.js("location.hash = arguments[0]", vec![json!(format!("#r={code}"))]);
    page.click(&by_test_id("arrival-class"));
    page.wait_until("it in the class", |page| results(page) == 1);
    assert!(page.text(&by_test_id("class-told")).contains("From the wall"));
    assert_eq!(page.console_errors(), []);
}

/// Neither takes the other's place where they are kept.
#[test]
fn a_result_put_back_and_one_brought_since_are_both_there_again() {
    let page = open_class(Screen::DESK);
    for (seed, title) in [(7, "The first"), (8, "The second")] {
        page.paste(&by_test_id("class-paste"), &link(&plate(seed, title), Contents::Result));
        page.click(&by_test_id("class-take"));
        page.wait_until("its line", |page| results(page) == 1);
        if seed == 7 {
            page.click(&by_test_id("class-remove"));
            page.wait_until("none", |page| results(page) == 0);
        }
    }
    page.click(&by_test_id("class-put-back"));
    page.wait_until("both", |page| results(page) == 2);
    let names =
        "return [...document.querySelectorAll('[data-test^=field-class-name]')].map(e => e.value).sort()";
    page.reload();
    page.wait_until("both again", |page| results(page) == 2);
    page.wait_until("by their names", |page| page.js(names, vec![]) == json!(["The first", "The second"]));
    assert_eq!(page.console_errors(), []);
}

/// A teacher's whole class, on a screen and in the hand.
#[test]
fn a_dozen_results_stay_usable() {
    let page = open_class(Screen::DESK);
    let text: String = (0..12)
        .map(|k| format!("Bench {}: {}\n", k + 1, link(&plate(20 + k, ""), Contents::Result)))
        .collect();
    page.paste(&by_test_id("class-paste"), &text);
    page.click(&by_test_id("class-take"));
    page.wait_until("a dozen", |page| results(page) == 12);
    let styles = "return new Set([...document.querySelectorAll('[data-test=class-line] .of-class')].map(e => \
                  e.getAttribute('stroke-dasharray') + e.classList.contains('broad'))).size";
    assert_eq!(page.js(styles, vec![]), json!(12), "no two lines alike, colour or no colour");

    page.click(&by_test_id("class-way-beside"));
    page.wait_until("a dozen pictures", |page| page.count(&by_test_id("class-picture")) == 12);
    let boxes = "return new Set([...document.querySelectorAll('[data-test=class-picture] svg')].map(e => \
                 e.getAttribute('viewBox') + ' ' + e.getBoundingClientRect().width.toFixed(1))).size";
    assert_eq!(page.js(boxes, vec![]), json!(1), "all to one scale");

    page.click(&by_test_id("class-way-table"));
    page.wait_until("the table", |page| page.count(&by_test_id("class-table-row")) > 40);
    assert_eq!(page.count(&format!("{} thead th", by_test_id("class-table"))), 14);
    page.click(&by_test_id("class-save"));
    let saved = std::fs::read_to_string(page.downloaded(".csv")).expect("a table");
    let rows: Vec<&str> = saved.lines().collect();
    assert!(rows[0].contains("\"Bench 12\"") && rows.len() > 40);
    assert!(rows.iter().any(|row| row.starts_with("\"Mean overhang\",\"mm\",")), "{}", rows[1]);

    // Colours, dashes and place in the list stay with the others when one goes.
    page.click(&by_test_id("class-way-over"));
    page.choose(&by_test_id("field-class-times"), "0");
    page.wait_until("drawn as they are", |page| !page.text(&by_test_id("class")).contains("times as large."));
    page.choose(&by_test_id("field-class-alignment"), "2");
    page.wait_until("still a dozen", |page| results(page) == 12);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn an_invented_class_shows_what_it_is_like_and_says_that_it_is_invented() {
    let page = open_class(Screen::PHONE);
    page.click(&by_test_id("class-invent"));
    let count = invented(&plate(1, ""), &vec![String::new(); 9]).len();
    page.wait_until("the invented class", |page| results(page) == count);
    let names = page.js(
        "return [...document.querySelectorAll('[data-test^=field-class-name]')].every(e => e.value.includes('invented'))",
        vec![],
    );
    assert_eq!(names, json!(true));
    // One of them was traced with the outside up.
    assert!(page.texts(&by_test_id("class-result")).iter().any(|text| text.contains("turned over")));
    let wide = "return document.scrollingElement.scrollWidth <= innerWidth";
    assert_eq!(page.js(wide, vec![]), json!(true), "nothing runs over the side of a phone");
    assert_eq!(page.console_errors(), []);
}
