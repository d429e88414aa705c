//! Taking the line at the bench on the built page, in a real Chromium.

use base64::Engine;
use base64::engine::general_purpose::STANDARD as BASE64;
use kurbo::{Point, Size, Vec2};
use ribline_geometry::outline::FaceUp;
use ribline_geometry::project::Project;
use ribline_geometry::trace::{HowTaken, Trace};
use ribline_tests::at_the_photo::{Hand, asked_for, open_photo, open_way, ribs, take_the_line};
use ribline_tests::page::{Page, Screen, by_test_id};
use ribline_tests::photographed::{Photographed, photographed};
use serde_json::json;

/// The trace that the page has kept.
fn kept(page: &Page) -> Trace {
    let stored = page.wait_for("the work to be kept", |page| {
        let text = page.js("return localStorage.getItem('ribline.work')", vec![]);
        let project = Project::from_json(text.as_str()?).ok()?;
        project.trace.points.iter().any(|p| p.taken != HowTaken::Given).then_some(project)
    });
    stored.trace
}

/// Root mean square distance from the true line of the points that were followed, mm.
fn off_the_line(trace: &Trace, photo: &Photographed, lines: &[Vec<Point>; 6]) -> f64 {
    let followed: Vec<Point> = trace
        .points
        .iter()
        .filter(|point| point.taken == HowTaken::Followed)
        .map(|point| photo.frame_at + point.at.to_vec2())
        .collect();
    assert!(followed.len() > 150, "{} points followed", followed.len());
    let off = |at: &Point| lines.iter().flatten().map(|p| p.distance(*at)).fold(f64::INFINITY, f64::min);
    (followed.iter().map(|at| off(at).powi(2)).sum::<f64>() / followed.len() as f64).sqrt()
}

/// How bright the photo under the drawing is, at places given as parts of its width and of its height from the top.
const BRIGHT: &str = r"
    const [places, done] = arguments;
    const photo = new Image();
    photo.onload = () => {
        const canvas = document.createElement('canvas');
        [canvas.width, canvas.height] = [photo.width, photo.height];
        const pen = canvas.getContext('2d', { willReadFrequently: true });
        pen.drawImage(photo, 0, 0);
        const { data } = pen.getImageData(0, 0, photo.width, photo.height);
        const at = (x, y) => 4 * (Math.floor(y * photo.height) * photo.width + Math.floor(x * photo.width));
        done(places.map(([x, y]) => data[at(x, y)]));
    };
    photo.src = document.querySelector('[data-test=photo-under]').getAttribute('href');
";

/// How far from what was followed the line lies on the photo that is laid under the edge: root mean square, mm.
fn line_under(page: &Page, project: &Project) -> f64 {
    const ACROSS: std::ops::RangeInclusive<i32> = -15..=15;
    let extent = project.photo.as_ref().expect("a photo").extent();
    let points = &project.trace.points;
    let followed =
        points.windows(3).filter(|three| three.iter().all(|point| point.taken == HowTaken::Followed));
    let across = followed.clone().flat_map(|three| {
        let normal = (three[2].at - three[0].at).normalize().turn_90();
        ACROSS.map(move |k| three[1].at + normal * (0.1 * f64::from(k)))
    });
    let places: Vec<[f64; 2]> =
        across.map(|p| [(p.x - extent.x0) / extent.width(), (extent.y1 - p.y) / extent.height()]).collect();
    let bright = page.js_later(BRIGHT, vec![json!(places)]);
    let bright: Vec<f64> =
        bright.as_array().into_iter().flatten().map(|b| b.as_f64().expect("brightness")).collect();
    let count = ACROSS.count();
    assert_eq!(bright.len(), count * followed.count());
    // The middle of what is darker than halfway from the wood to the line.
    let off = bright.chunks(count).map(|across| {
        let ends = across.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), x| (a.min(*x), b.max(*x)));
        let dark = |b: &f64| ((ends.0 + ends.1) / 2.0 - b).max(0.0);
        let weighed = across.iter().zip(ACROSS).map(|(b, k)| dark(b) * 0.1 * f64::from(k));
        weighed.sum::<f64>() / across.iter().map(dark).sum::<f64>()
    });
    (off.map(|mm| mm * mm).sum::<f64>() * count as f64 / bright.len() as f64).sqrt()
}

#[test]
fn from_a_photo_of_twelve_megapixels_to_a_finished_edge_in_at_most_25_taps() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(3000.0, 4000.0));
    let page = open_way(Screen::DESK, "photo");
    let before = page.attribute(&by_test_id("edge-path"), "d");
    open_photo(&page, &photo);
    let taps = take_the_line(&page, &photo, &lines);
    assert!(taps < 25, "{taps} taps, and one that opens the bench");
    let trace = kept(&page);
    let off = off_the_line(&trace, &photo, &lines);
    assert!(off < 0.25, "{off} mm");
    assert!(trace.pins.lower.is_some() && trace.pins.upper.is_some());
    assert!(trace.points.iter().all(|point| point.run.is_some()));
    page.wait_until("another edge", |page| page.attribute(&by_test_id("edge-path"), "d") != before);
    assert_eq!(page.count(&by_test_id("error-reconcile")), 0);
    assert_eq!(page.count(&by_test_id("photo-under")), 1);
    assert_eq!(page.console_errors(), []);
    // What each point is good to is kept with it, and the photo with the line.
    assert!(trace.points.iter().all(|point| point.sd.is_some_and(|sd| (0.01..1.0).contains(&sd))));
    page.wait_until("the photo to be kept", |page| {
        page.js("return localStorage.getItem('ribline.photo')?.length > 100000", vec![]) == json!(true)
    });
    let after = page.attribute(&by_test_id("edge-path"), "d");
    page.reload();
    page.wait_until("the same edge", |page| page.attribute(&by_test_id("edge-path"), "d") == after);
    page.wait_until("the photo under it", |page| page.count(&by_test_id("photo-under")) == 1);
    page.click(&by_test_id("step-bench"));
    page.click(&by_test_id("save-project"));
    let saved = std::fs::read_to_string(page.downloaded("json")).expect("the saved project");
    let saved = Project::from_json(&saved).expect("a project");
    assert!(saved.photo.is_some());
    let off = line_under(&page, &saved);
    assert!(off < 0.2, "the photo lies {off} mm beside the line");
    // One of which half is lost is told of, and the line is there without it.
    let half = "localStorage['ribline.photo'] = localStorage['ribline.photo'].slice(0, 50000); return true";
    page.js(half, vec![]);
    page.reload();
    page.wait_for_words(&by_test_id("error-keeping"), "photo kept in this browser is damaged");
    assert_eq!(page.attribute(&by_test_id("edge-path"), "d"), after);
    assert_eq!(page.count(&by_test_id("photo-under")), 0);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn corners_that_were_taken_for_one_another_are_told_of_before_the_line_is_taken() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(1500.0, 2000.0));
    let page = open_way(Screen::DESK, "photo");
    open_photo(&page, &photo);
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.to_the_line();
    let [pin, other, lower_right, upper_right, upper_left, lower_left, bottom, top] = asked_for(&lines);
    let asked = [pin, other, lower_left, upper_left, upper_right, lower_right, bottom, top];
    asked.into_iter().for_each(|at| hand.tap(at));
    page.wait_for_words(&by_test_id("error-corners"), "go round the wrong way");
    let held_back =
        page.js("return document.querySelector(arguments[0]).disabled", vec![json!(by_test_id("take-line"))]);
    assert_eq!(held_back, json!(true));
    // Tapped again in their order they are as they should be.
    for _ in 0..6 {
        page.click(&by_test_id("photo-take-back"));
    }
    asked_for(&lines)[2..].iter().for_each(|at| hand.tap(*at));
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    page.wait_until("no trouble", |page| page.text(&by_test_id("error-corners")).is_empty());
    hand.press("take-line");
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_step_back_from_a_photo_is_the_line_as_it_was() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(2250.0, 3000.0));
    let page = open_way(Screen::DESK, "photo");
    let before = page.attribute(&by_test_id("edge-path"), "d");
    open_photo(&page, &photo);
    take_the_line(&page, &photo, &lines);
    page.wait_until("another edge", |page| page.attribute(&by_test_id("edge-path"), "d") != before);
    page.click(&by_test_id("undo"));
    page.wait_until("the edge of before", |page| page.attribute(&by_test_id("edge-path"), "d") == before);
    assert_eq!(page.count(&by_test_id("photo-under")), 0);
}

/// A browser that has no room for the photo keeps the line all the same, and says so.
#[test]
fn without_room_for_the_photo_the_line_is_kept_and_a_sentence_says_so() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(2250.0, 3000.0));
    let page = open_way(Screen::DESK, "photo");
    // Chromium keeps some five million characters for a page.
    page.js("localStorage.setItem('filling', 'x'.repeat(5_100_000))", vec![]);
    open_photo(&page, &photo);
    take_the_line(&page, &photo, &lines);
    page.wait_for_words("body", "The photo is too large for what this browser keeps");
    assert!(kept(&page).points.len() > 150);
    assert_eq!(page.count(&by_test_id("photo-under")), 1);
    assert_eq!(page.console_errors(), []);
}

#[test]
fn it_goes_by_touch_on_a_phone_and_a_tap_slides_under_the_loupe() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(3000.0, 4000.0));
    let page = open_way(Screen::PHONE, "photo");
    open_photo(&page, &photo);
    let hand = Hand { page: &page, photo: &photo, taps: 0 };
    let at = hand.on_screen(photo.frame_at);
    page.begin_drag(at, at + Vec2::new(9.0, -9.0), 3);
    assert!(page.shows(&by_test_id("loupe")));
    page.end_drag();
    page.wait_for_words(&by_test_id("asked"), "1 of 4");
    page.click(&by_test_id("photo-take-back"));
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
    let canvas = page.place(".stage .photo");
    page.pinch(page.place(&by_test_id("photo-stage")).center(), 80.0, 160.0, 4);
    assert!(page.place(".stage .photo").width() > 1.5 * canvas.width());
    page.click(&by_test_id("photo-all"));
    take_the_line(&page, &photo, &lines);
    let off = off_the_line(&kept(&page), &photo, &lines);
    assert!(off < 0.25, "{off} mm");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn a_broken_or_a_huge_picture_gets_a_sentence_and_loses_nothing() {
    let page = open_way(Screen::DESK, "photo");
    let png = [
        &b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"[..],
        &20_000_u32.to_be_bytes(),
        &10_000_u32.to_be_bytes(),
        &[8, 2, 0, 0, 0],
    ]
    .concat();
    page.upload_as(&by_test_id("open-photo"), "huge.png", &png);
    page.wait_for_words(&by_test_id("error-photo"), "200 megapixels");
    let mut jpeg =
        vec![0xFF, 0xD8, 0xFF, 0xC0, 0, 17, 8, 0x0B, 0xB8, 0x0F, 0xA0, 3, 1, 0x22, 0, 2, 0x11, 1, 3, 0x11, 1];
    jpeg.extend([0x55; 300]);
    page.upload_as(&by_test_id("open-photo"), "cut-off.jpg", &jpeg);
    page.wait_for_words(&by_test_id("error-photo"), "breaks off");
    page.upload_as(&by_test_id("open-photo"), "words.txt", b"no picture at all");
    page.wait_for_words(&by_test_id("error-photo"), "cannot be shown as a picture");
    page.click(&by_test_id("close-capture"));
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    assert!(page.count(&by_test_id("trace-table")) == 1);
    assert_eq!(page.count(&by_test_id("stopped")), 0);
}

#[test]
fn a_drawing_file_becomes_the_line_and_a_hostile_one_a_sentence() {
    let page = open_way(Screen::DESK, "drawing");
    for (name, text, said) in [
        ("many.svg", format!("<svg>{}</svg>", "<g/>".repeat(300_000)), "pieces"),
        ("laughs.svg", "<!DOCTYPE svg [<!ENTITY a \"ha\">]><svg>&a;</svg>".to_owned(), "damaged"),
        ("nonsense.dxf", "0\nSECTION\n2\nENTITIES\nno code\nx\n".to_owned(), "damaged at line 5"),
        ("script.svg", "<svg><script>document.title='run'</script></svg>".to_owned(), "no line"),
    ] {
        page.upload_as(&by_test_id("open-drawing"), name, text.as_bytes());
        page.wait_for_words(&by_test_id("error-drawing"), said);
    }
    assert_ne!(page.js("return document.title", vec![]), json!("run"));
    let d: String = ribs()
        .iter()
        .flatten()
        .enumerate()
        .map(|(k, p)| format!("{}{:.3} {:.3}", if k == 0 { 'M' } else { 'L' }, p.x, -p.y))
        .collect();
    let svg = format!(
        "<svg width=\"300mm\" height=\"400mm\" viewBox=\"-150 -380 300 400\"><path id=\"ribs\" d=\"{d}Z\"/></svg>"
    );
    // As our own bench writes an edge: the line outside it was never traced.
    let both =
        svg.replace("<path id=\"ribs\"", "<circle id=\"left-for-the-file\" r=\"190\"/><path id=\"edge\"");
    page.upload_as(&by_test_id("open-drawing"), "edge.svg", both.as_bytes());
    page.wait_until("both lines", |page| page.count(&by_test_id("drawing-line-1")) == 1);
    let told = "return [...document.querySelectorAll('.lines li')].map(line => \
                [line.textContent.split(':')[0], line.querySelector('input').checked])";
    let lines = page.js(told, vec![]);
    assert_eq!(lines, json!([["left-for-the-file", false], ["edge", true]]));
    let unsaid = svg.replace("width=\"300mm\" height=\"400mm\"", "");
    page.upload_as(&by_test_id("open-drawing"), "unsaid.svg", unsaid.as_bytes());
    page.wait_for_words(&by_test_id("drawing-unit"), "96 were taken for an inch");
    // So it is a quarter of the size.
    page.wait_for_words(&by_test_id("drawing-other-size"), "for a body of 355 mm");
    let framed = svg.replace("<path", "<path id=\"frame\" d=\"M-140 10h280v-380h-280z\"/><path");
    page.upload_as(&by_test_id("open-drawing"), "framed.svg", framed.as_bytes());
    page.wait_until("both lines", |page| page.count(&by_test_id("drawing-line-1")) == 1);
    assert_eq!(page.js(told, vec![]), json!([["frame", false], ["ribs", true]]));
    assert_eq!(page.text(&by_test_id("drawing-other-size")), "");
    page.upload_as(&by_test_id("open-drawing"), "ribs.svg", svg.as_bytes());
    page.wait_until("the one line", |page| page.count(&by_test_id("drawing-line-1")) == 0);
    assert_eq!(page.text(&by_test_id("drawing-unit")), "");
    page.wait_for_words(&by_test_id("drawing-size"), "mm high");
    assert_eq!(page.count(&by_test_id("drawing-line-0")), 1);
    page.click(&by_test_id("drawing-take"));
    let trace = kept(&page);
    assert!(trace.points.len() > 250 && trace.points.iter().all(|p| p.taken == HowTaken::Drawn));
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    assert_eq!(page.count(&by_test_id("error-reconcile")), 0);
}

#[test]
fn measures_before_scribing_outlive_the_closed_bench_and_the_page() {
    let page = open_way(Screen::DESK, "before");
    page.fill(&by_test_id("field-before-upper-left"), "85.5");
    page.click(&by_test_id("close-capture"));
    page.click(&by_test_id("take-before"));
    page.wait_until("the measure", |page| page.value(&by_test_id("field-before-upper-left")) == "85.5");
    page.reload();
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("take-before"));
    page.wait_until("it again", |page| page.value(&by_test_id("field-before-upper-left")) == "85.5");
}

#[test]
fn a_photo_that_was_closed_goes_on_with_its_taps() {
    let photo = photographed(&ribs(), Size::new(1500.0, 2000.0));
    let page = open_way(Screen::DESK, "photo");
    assert_eq!(page.count(&by_test_id("photo-go-on")), 0);
    open_photo(&page, &photo);
    let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
    hand.to_the_line();
    hand.tap(hand.photo.frame_at + Vec2::new(135.0, 40.0));
    page.wait_for_words(&by_test_id("asked"), "upper pin");
    let taps = page.attribute(".stage path.tap.under", "d");
    page.press("\u{E00C}");
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    page.click(&by_test_id("take-photo"));
    page.click(&by_test_id("photo-go-on"));
    page.wait_for_words(&by_test_id("asked"), "upper pin");
    assert_eq!(page.attribute(".stage path.tap.under", "d"), taps);
    page.click(&by_test_id("to-scale"));
    page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    assert_eq!(page.console_errors(), []);
}

#[test]
fn before_scribing_says_what_to_ease_and_how_to_turn() {
    let page = open_way(Screen::PHONE, "before");
    page.fill(&by_test_id("field-before-neck-off"), "2");
    page.wait_for_words(&by_test_id("before-turn"), "onto the centreline");
    page.wait_for_words(&by_test_id("before-plate"), "355.0 mm long");
    assert!(page.text(&by_test_id("before-standing")).contains("near 2/3"));
    page.fill(&by_test_id("field-before-upper-left"), "90");
    page.wait_until("a strain", |page| {
        page.texts(&by_test_id("before-choice")).iter().any(|text| text.contains("strains"))
    });
    page.fill(&by_test_id("field-before-upper-left"), "9");
    assert!(page.text("body").contains("15"));
    // Every field can be reached by scrolling.
    let field = by_test_id("field-before-gives");
    page.fill(&field, "1.5");
    let place = page.place(&field);
    assert!(place.y0 >= 0.0 && place.y1 <= 844.0 && place.x1 <= 390.0, "{place:?}");
    page.wait_until("the setting to count", |page| {
        page.texts(&by_test_id("before-choice")).iter().any(|text| text.contains("1.5 mm"))
    });
}

#[test]
fn ribs_traced_again_are_laid_over_the_earlier_ones_and_the_differences_listed() {
    let page = open_way(Screen::DESK, "again");
    let saved = std::fs::read_to_string(path_of_saved(&page)).expect("the saved project");
    let mut earlier = Project::from_json(&saved).expect("a project");
    // As it was seen from the other face.
    earlier.trace = earlier.trace.mirrored();
    earlier.face.up = FaceUp::Outside;
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id("take-again"));
    page.upload_as(&by_test_id("open-earlier"), "earlier.json", earlier.to_json().as_bytes());
    page.wait_for_words(&by_test_id("again-summary"), "mean square");
    assert!(page.text(&by_test_id("again-corners")).contains("right lower corner"));
    assert_eq!(page.count(&format!("{} li.greatest", by_test_id("again-differences"))), 1);
    // It is drawn as the earlier one was seen.
    page.wait_for_words(&by_test_id("again-face"), "outside face up");
    let sides = page.texts(".laid-over .sides span");
    assert_eq!(sides, ["treble side", "bass side"]);
    assert!(page.text(&by_test_id("again-key")).contains("the line of now"));
    assert_eq!(page.count(&by_test_id("again-mark")), 1);
    page.upload_as(&by_test_id("open-earlier"), "none.json", b"{\"format\": 1}");
    page.wait_for_words(&by_test_id("error-again"), "not a Ribline project");
}

/// Closes the bench and saves the project, as one would before the back goes on.
fn path_of_saved(page: &Page) -> std::path::PathBuf {
    page.click(&by_test_id("again-close"));
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    page.click(&by_test_id("step-bench"));
    page.click(&by_test_id("save-project"));
    page.downloaded("json")
}

#[test]
fn a_photo_is_dropped_or_pasted_and_what_is_no_picture_is_told() {
    let photo = photographed(&ribs(), Size::new(600.0, 800.0));
    let page = open_way(Screen::DESK, "photo");
    page.drop_file(".photo-bench", "points.csv", b"x_mm,y_mm\n1,2\n");
    page.wait_for_words(&by_test_id("error-photo"), "cannot be shown as a picture");
    page.drop_file(".photo-bench", "board.bmp", &photo.file);
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
    assert_eq!(page.text(&by_test_id("error-photo")), "");
    page.click_at(page.place(".stage .photo").center());
    page.wait_for_words(&by_test_id("asked"), "1 of 4");
    // One that is pasted takes its place, with nothing tapped on it yet.
    let paste = "const bytes = Uint8Array.from(atob(arguments[0]), c => c.charCodeAt(0)); \
                 const carried = new DataTransfer(); carried.items.add(new File([bytes], 'pasted.bmp')); \
                 window.dispatchEvent(new ClipboardEvent('paste', { clipboardData: carried, cancelable: true }))";
    page.js(paste, vec![json!(BASE64.encode(&photo.file))]);
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
    page.click(&by_test_id("close-capture"));
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    page.click(&by_test_id("take-photo"));
    page.wait_for_words(&by_test_id("photo-go-on"), "pasted.bmp");
    assert_eq!(page.console_errors(), []);
}

/// A tap would land beside its place if the stage gave way to what is said below it.
#[test]
fn the_photo_stays_where_it_is_whatever_is_said_of_it() {
    let lines = ribs();
    let photo = photographed(&lines, Size::new(1200.0, 1600.0));
    for screen in [Screen::TABLET, Screen::PHONE] {
        let page = open_way(screen, "photo");
        open_photo(&page, &photo);
        let place = page.place(".stage .photo");
        let mut hand = Hand { page: &page, photo: &photo, taps: 0 };
        (0..4).for_each(|k| hand.tap(hand.mark(k)));
        page.wait_for_words(&by_test_id("remarks"), "pixels to the millimetre");
        assert_eq!(page.place(".stage .photo"), place);
        hand.press("to-line");
        asked_for(&lines).into_iter().for_each(|at| hand.tap(at));
        page.wait_for_words(&by_test_id("line-state"), "each good to about");
        assert_eq!(page.place(".stage .photo"), place);
    }
}
