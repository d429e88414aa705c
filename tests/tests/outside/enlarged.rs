//! The page of the corners enlarged, as other programs see it: what it says as poppler's `pdftotext` reads it, and how long its bar
//! is and how wide its corners are drawn, on poppler's picture of it. A dot of the picture has its size by ISO 32000-1, 8.3.2.3
//! (a unit of a page is 1/72 inch) and ISO 31-1 (25.4 mm to the inch).

use super::prints::{printed, solved, with};
use kurbo::{Point, Vec2};
use ribline_geometry::bench::print::lay_plate;
use ribline_geometry::bench::print::wish::{Drawn, DrawnSet, Pages, Paper, Part};
use ribline_geometry::outline::{Bout, Corner, Side};
use ribline_tests::printed::Word;
use ribline_tests::prints::{cello, violin};

const MM: f64 = 25.4 / 72.0;

/// The figure before ": 1" in the title.
fn times(words: &[Word]) -> f64 {
    let at = words.iter().position(|word| word.text == "enlarged").expect("the title");
    words[at + 1].text.parse().expect("a figure")
}

#[test]
fn the_figures_of_each_corner_are_those_of_the_result() {
    for project in [violin(), cello()] {
        let result = solved(&project);
        for (pages, part) in [
            (Pages::Sheets(Paper::A4), Part::Whole),
            (Pages::One, Part::Whole),
            (Pages::Sheets(Paper::Letter), Part::Half(Side::Left)),
        ] {
            let project = with(&project, |print| {
                (print.pages, print.part) = (pages, part);
                print.drawn = print.drawn.with(Drawn::CornersEnlarged, true);
            });
            let laid = lay_plate(&project, &result).expect("a print");
            let text = printed(&laid).text(laid.pages());
            for corner in Corner::ALL {
                let end = &result.edge.corners[corner.index()];
                // The inside face of a back has the bass side on the left: common practice.
                let side = if corner.side() == Side::Left { "bass" } else { "treble" };
                let bout = if corner.bout() == Bout::Upper { "Upper" } else { "Lower" };
                let is_there = text.contains(&format!("{bout} corner, {side} side"));
                let printed = part == Part::Whole || corner.side() == Side::Left;
                assert_eq!(is_there, printed, "{corner}, {part:?}: {text}");
                let mm = |value: f64| format!("{:.1}", value.abs());
                let cut = format!(
                    "cut from {} out, {} up, to {} out, {} up",
                    mm(end.outer.x),
                    mm(end.outer.y),
                    mm(end.waist.x),
                    mm(end.waist.y)
                );
                let reach = if end.beyond_ribs < 0.0 { "short of" } else { "beyond" };
                let flanks = format!(
                    "{} {reach} ribs; overhang there {} to the bout, {} to the waist",
                    mm(end.beyond_ribs),
                    mm(end.overhang_outer),
                    mm(end.overhang_waist)
                );
                for wanted in [cut, flanks, format!("{:.1} wide", end.width)] {
                    assert!(!printed || text.contains(&wanted), "{corner}, {part:?}: no {wanted} in {text}");
                }
            }
        }
    }
}

#[test]
fn the_page_is_there_only_when_it_is_asked_for_and_never_alone() {
    let project = violin();
    let result = solved(&project);
    let without = lay_plate(&project, &result).expect("a print");
    let asked = with(&project, |print| print.drawn = print.drawn.with(Drawn::CornersEnlarged, true));
    let with_it = lay_plate(&asked, &result).expect("a print");
    assert_eq!(with_it.pages(), without.pages() + 1);
    assert_eq!(printed(&with_it).pages(), with_it.pages());
    let alone = with(&project, |print| print.drawn = DrawnSet::of([Drawn::CornersEnlarged]));
    assert!(lay_plate(&alone, &result).unwrap_err().to_string().contains("at least the edge"));
}

/// On the picture: how long the bar is, and each cut by the dimension drawn beside it.
#[test]
fn what_is_enlarged_is_so_by_the_figure_in_the_title() {
    for project in [violin(), cello()] {
        let project = with(&project, |print| {
            print.drawn = DrawnSet::of([Drawn::Edge, Drawn::CornersEnlarged]);
        });
        let result = solved(&project);
        let laid = lay_plate(&project, &result).expect("a print");
        let file = printed(&laid);
        let (words, (width, height)) = file.words(laid.pages());
        let scan = file.scan(laid.pages(), 600);
        let times = times(&words);
        // The bar lies below its words, which begin over it.
        let begins = words
            .windows(5)
            .find(|w| w.iter().map(|word| &*word.text).eq(["10", "mm", "at", &w[3].text, ":"]))
            .expect("the bar's words");
        let label = begins[0].place;
        let from = Point::new(label.x0 * MM - 1.0, -label.y1 * MM);
        let end = |x: f64| {
            // The end strokes go 2 mm beyond the bar either way; below it nothing else is.
            let below = Point::new(x, from.y - 2.2);
            let off = scan.middle_of_line(below, Vec2::new(1.0, 0.0), 1.0).expect("an end stroke");
            x + off
        };
        let long = end(from.x + 10.0 * times) - end(from.x);
        assert!((long - 10.0 * times).abs() < 0.05, "{long} mm, enlarged {times} times");
        for corner in Corner::ALL {
            let cut = &result.edge.corners[corner.index()];
            let out = Vec2::from_angle(cut.heading);
            let label = words.windows(2).find(|pair| {
                let at = pair[1].place.center();
                let is_left = at.x < width / 2.0;
                // The two rows meet a little above the middle of the page.
                let is_upper = at.y < 0.49 * height;
                pair[1].text == "wide"
                    && is_left == (corner.side() == Side::Left)
                    && is_upper == (corner.bout() == Bout::Upper)
            });
            let [figure, wide] = label.expect("the width of a cut") else { unreachable!() };
            assert_eq!(figure.text, format!("{:.1}", cut.width), "{corner}");
            // It stands 3 mm beyond the dimension's middle, with the side that faces the corner.
            let x = if out.x > 0.0 { figure.place.x0 } else { wide.place.x1 };
            let middle = Point::new(x, -figure.place.center().y).to_vec2() * MM - 3.0 * out;
            let across = Vec2::new(-out.y, out.x);
            let stroke = |sign: f64| {
                let by = sign * cut.width / 2.0 * times;
                // Off the dimension itself, beside which the end strokes go 1.6 mm on.
                let near = (middle + by * across + 0.8 * out).to_point();
                by + scan.middle_of_line(near, across, 0.6).expect("an end stroke")
            };
            let drawn = stroke(1.0) - stroke(-1.0);
            assert!((drawn - times * cut.width).abs() < 0.05, "{corner}: {drawn} mm for {} mm", cut.width);
        }
    }
}
