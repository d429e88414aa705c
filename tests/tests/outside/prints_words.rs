//! What is written on prints, as another program reads it (poppler's `pdftotext`), and what the file asks of the program that
//! prints it (as `qpdf` reads it). Sources: ISO 32000-1, 12.2 (viewer preferences), 14.3.3 (document information); which side of a
//! plate the bass strings are over is common practice.

use super::prints::{DAY, printed, solved, with};
use ribline_geometry::bench::print::record::{StepInWords, record};
use ribline_geometry::bench::print::wish::{Drawn, DrawnSet, Pages, Paper, Part};
use ribline_geometry::bench::print::{lay_mould, lay_plate};
use ribline_geometry::mould::mould;
use ribline_geometry::outline::{Face, FaceUp, Plate, Side};
use ribline_geometry::project::Project;
use ribline_tests::printed::Printed;
use ribline_tests::prints::{cello, violin};

const EVERYTHING: [Part; 3] = [Part::Whole, Part::Half(Side::Left), Part::Half(Side::Right)];

#[test]
fn every_page_names_the_project_the_face_the_date_the_scale_and_the_recipe_and_cautions() {
    for project in [violin(), cello()] {
        let result = solved(&project);
        for part in EVERYTHING {
            for pages in Pages::ALL {
                let project = with(&project, |print| {
                    (print.pages, print.part, print.drawn) = (pages, part, DrawnSet::of(Drawn::ALL));
                });
                let laid = lay_plate(&project, &result).expect("a print");
                let file = printed(&laid);
                assert_eq!(file.pages(), laid.pages());
                for page in 1..=laid.pages() {
                    let text = file.text(page);
                    let says = |wanted: &str| {
                        assert!(text.contains(wanted), "{pages:?}, {part:?}, page {page}, {wanted}: {text}");
                    };
                    says(&project.title);
                    says("Back, inside face up");
                    says("bass side left, treble side right");
                    says("9 March 2026");
                    // The last page has the corners, and must not pass for one at full size.
                    let enlarged = page == laid.pages();
                    says(if enlarged { "not to cut to" } else { "Scale 1 : 1" });
                    assert!(!(enlarged && text.contains("Scale 1 : 1")), "{text}");
                    says(&project.recipe.title);
                    says(&format!("Page {page} of {}", laid.pages()));
                    says("Measure the bars before use");
                    says("leave the line when sawing");
                    says("qualified instruction come first.");
                }
            }
        }
    }
}

#[test]
fn the_page_that_is_measured_comes_before_the_sheets_and_tells_how() {
    let project = with(&violin(), |print| print.pages = Pages::Sheets(Paper::A4));
    let laid = lay_plate(&project, &solved(&project)).expect("a print");
    let file = printed(&laid);
    assert!(file.text(1).starts_with("Print and measure this page first"));
    for wanted in ["100.0 mm", "\u{201C}actual size\u{201D}", "Printer correction"] {
        assert!(file.text(1).contains(wanted), "{wanted}");
    }
    // The marks of a join have the same letters on both of its sheets.
    for join in &laid.tiling.joins {
        for tile in join.between {
            let (words, _) = file.words(laid.first_tile() + tile);
            for mark in &join.marks {
                assert!(words.iter().any(|word| word.text == mark.letter), "{} on {tile}", mark.letter);
            }
        }
    }
}

#[test]
fn viewers_are_asked_not_to_scale() {
    let project = violin();
    let result = solved(&project);
    for pages in Pages::ALL {
        let laid = lay_plate(&with(&project, |print| print.pages = pages), &result).expect("a print");
        let (catalog, info) = printed(&laid).catalog_and_info();
        assert_eq!(catalog["/ViewerPreferences"]["/PrintScaling"], "/None", "{pages:?}");
        assert_eq!(catalog["/ViewerPreferences"]["/Duplex"], "/Simplex");
        assert_eq!(info["/Title"], format!("u:{}", project.title));
        assert_eq!(info["/CreationDate"], "u:D:20260309");
    }
}

/// Who looks at the front of an instrument has the bass strings on the left; who looks at the back of it has them on the
/// right; and who looks into an open half sees the other way round from who looks at its outside.
#[test]
fn each_face_has_the_bass_side_where_the_player_has_it() {
    let project = with(&violin(), |print| print.pages = Pages::One);
    let result = solved(&project);
    for (plate, up, title, left, right) in [
        (Plate::Front, FaceUp::Outside, "Front, outside face up", "bass", "treble"),
        (Plate::Front, FaceUp::Inside, "Front, inside face up", "treble", "bass"),
        (Plate::Back, FaceUp::Outside, "Back, outside face up", "treble", "bass"),
        (Plate::Back, FaceUp::Inside, "Back, inside face up", "bass", "treble"),
    ] {
        let project = Project { face: Face { plate, up }, ..project.clone() };
        let laid = lay_plate(&project, &result).expect("a print");
        let file = printed(&laid);
        assert!(file.text(1).contains(title));
        assert!(file.text(1).contains(&format!("{left} side left, {right} side right")));
        let (_, info) = file.catalog_and_info();
        assert_eq!(info["/Subject"], format!("u:{title}, 1 : 1"));
        // In the drawing, which ends where the strip of words begins.
        let (words, (width, height)) = file.words(1);
        let strip = laid.tiling.form.strip.y1 * 72.0 / 25.4;
        let in_drawing = |name: &str| {
            let places = words.iter().filter(|word| word.text == name && word.place.y1 < height - strip);
            places.map(|word| word.place.center().x / width).collect::<Vec<_>>()
        };
        for (name, is_there) in [(left, 0.0..0.5), (right, 0.5..1.0)] {
            let places = in_drawing(name);
            assert!(places.len() == 2 && places.iter().all(|x| is_there.contains(x)), "{title}: {places:?}");
        }
    }
}

#[test]
fn no_title_whatever_its_letters_harms_a_print() {
    let original = violin();
    let result = solved(&original);
    let titles = [
        "A very long title that goes on and on ".repeat(40),
        "Unbroken".repeat(120),
        "Скрипка № 7 · バイオリン · كمان".to_owned(),
        "\u{1F3BB}\u{1F3BB} \u{1F469}\u{200D}\u{1F527}".to_owned(),
        "(((un) balanced \\( \\ )) <</Type /Page>> endobj %%EOF".to_owned(),
        "two\nlines\r\n\tand a tab\u{0}\u{7}\u{1b}[31m".to_owned(),
        "\u{202e}turned round \u{0301}\u{fffd}\u{10ffff}".to_owned(),
        "   ".to_owned(),
        String::new(),
    ];
    for title in titles {
        for pages in [Pages::One, Pages::Sheets(Paper::A4)] {
            let mut project = with(&original, |print| print.pages = pages);
            project.title = title.clone();
            project.recipe.title = title.clone();
            let laid = lay_plate(&project, &result).expect("a print");
            let file = printed(&laid);
            let (_, info) = file.catalog_and_info();
            if !title.trim().is_empty() {
                assert_eq!(info["/Title"].as_str(), Some(&*format!("u:{title}")));
            }
            assert_eq!(file.pages(), laid.pages());
            for page in 1..=laid.pages() {
                let text = file.text(page);
                for wanted in ["Back, inside face up", "9 March 2026", "Scale 1 : 1", "come first."] {
                    assert!(text.contains(wanted), "{title:?}, page {page}: no {wanted} in {text}");
                }
                let (words, (width, height)) = file.words(page);
                for word in words {
                    let on_it = word.place.x0 >= 0.0
                        && word.place.y0 >= 0.0
                        && word.place.x1 <= width
                        && word.place.y1 <= height;
                    assert!(on_it, "{title:?}, page {page}: {word:?} runs off the page");
                }
            }
        }
    }
}

#[test]
fn a_mould_names_itself_and_its_own_cautions() {
    let project = violin();
    let drawn = project.recipe.evaluate().expect("a sound recipe");
    let made = mould(&project.recipe, &drawn, project.wish.overhang, &project.mould_wish()).expect("a mould");
    for pages in Pages::ALL {
        let laid = lay_mould(&with(&project, |print| print.pages = pages), &made).expect("a print");
        let file = printed(&laid);
        for page in 1..=laid.pages() {
            let text = file.text(page);
            for wanted in [&*project.title, "Inside mould", "9 March 2026", "Scale 1 : 1", "bending iron"] {
                assert!(text.contains(wanted), "{pages:?}, page {page}: no {wanted} in {text}");
            }
            assert!(!text.contains("face up"), "a mould has no face: {text}");
        }
    }
}

/// The budget of the project's own plan.
#[test]
fn no_print_of_a_violin_is_larger_than_200_kilobytes() {
    let project = violin();
    let result = solved(&project);
    for part in EVERYTHING {
        for pages in Pages::ALL {
            let project = with(&project, |print| {
                (print.pages, print.part, print.drawn) = (pages, part, DrawnSet::of(Drawn::ALL));
            });
            let bytes = lay_plate(&project, &result).expect("a print").pdf(DAY).expect("a file").len();
            assert!(bytes < 200_000, "{pages:?}, {part:?}: {bytes} bytes");
        }
    }
}

/// What belongs into an instrument's dossier is common practice.
#[test]
fn the_record_tells_of_ribs_recipe_ratios_overhang_corners_what_was_measured_and_why() {
    let mut project = violin();
    project.as_cut.measured[1] = Some(1.75);
    project.record.why = "The lower bout came out narrow.".to_owned();
    project.record.cut_on = "the first of April".to_owned();
    project.notes = "Maple of the third wedge.".to_owned();
    let result = solved(&project);
    let step = |name: &str, sentence: &str| StepInWords { name: name.into(), sentence: sentence.into() };
    let steps = [step("lower 1", "Strike 5/6 of the lower width."), step("", "Lower run: lower 1.")];
    let (bytes, pages) = record(&project, &result, &steps, DAY).expect("a record");
    assert!(bytes.len() < 200_000, "{} bytes", bytes.len());
    let file = Printed::new(&bytes);
    assert_eq!(file.pages(), pages);
    let text = (1..=pages).map(|page| file.text(page)).collect::<Vec<_>>().join(" ");
    let length = format!("{:.1} mm", result.edge.outline.bounds().height());
    let mut wanted: Vec<String> = [
        "Back, inside face up",
        "bass side left, treble side right",
        "9 March 2026",
        "the first of April",
        "The lower bout came out narrow.",
        "Maple of the third wedge.",
        "Strike 5/6 of the lower width.",
        "Lower run: lower 1.",
        "Measured at 1 place",
        "1.75",
        "leave the line when sawing",
    ]
    .map(str::to_owned)
    .to_vec();
    wanted.extend([project.title.clone(), project.recipe.title.clone(), length]);
    // The same figures as the page shows of arcs and corners.
    wanted.extend(result.arcs.iter().map(|arc| format!("{:.1}", arc.arc.radius)));
    wanted.extend(result.edge.corners.iter().map(|corner| format!("{:.1}", corner.width)));
    for wanted in wanted {
        assert!(text.contains(&wanted), "{wanted}: {text}");
    }
    for page in 1..=pages {
        assert!(file.text(page).contains(&format!("Page {page} of {pages}")), "page {page}");
    }
}
