//! What a person does at the bench with a photo that was made up, on the built page.

use crate::page::{Page, Screen, by_test_id};
use crate::photographed::Photographed;
use crate::simulate::rib_lines;
use kurbo::{Point, Vec2};
use ribline_geometry::recipe::built_in;
use serde_json::json;

/// One of the ways of taking the line, by the end of its button's name.
pub fn open_way(screen: Screen, way: &str) -> Page {
    let page = Page::open(screen);
    page.click(&by_test_id("step-ribs"));
    page.click(&by_test_id(&format!("take-{way}")));
    page.wait_until("the bench", |page| page.count(".capture") == 1);
    page
}

/// Opens a photo at the bench, as far as the first mark that is asked for.
pub fn open_photo(page: &Page, photo: &Photographed) {
    page.upload_as(&by_test_id("open-photo"), "board.bmp", &photo.file);
    page.wait_for_words(&by_test_id("asked"), "0 of 4");
}

/// Ribs as the built-in violin would have them.
pub fn ribs() -> [Vec<Point>; 6] {
    rib_lines(&built_in::violin().evaluate().expect("a violin").outline, 2.5)
}

/// What a person does on the photo, counting taps.
pub struct Hand<'a> {
    pub page: &'a Page,
    pub photo: &'a Photographed,
    pub taps: usize,
}

impl Hand<'_> {
    /// A place of the ribs, on the screen.
    pub fn on_screen(&self, at: Point) -> Point {
        let canvas = self.page.place(".stage .photo");
        let scale = canvas.width() / self.photo.size.width;
        canvas.origin() + self.photo.seen.at(at).to_vec2() * scale
    }

    /// The middle of a mark of the frame, as the ribs lie.
    pub fn mark(&self, k: usize) -> Point {
        self.photo.frame_at + self.photo.sheet.marks()[k].to_vec2()
    }

    /// Taps a place of the ribs.
    pub fn tap(&mut self, at: Point) {
        self.page.click_at(self.on_screen(at));
        self.taps += 1;
    }

    /// Taps the frame's four marks; the photo is squared up by them.
    pub fn tap_marks(&mut self) {
        (0..4).for_each(|k| self.tap(self.mark(k)));
        self.page.wait_for_words(&by_test_id("squared"), "pixels to the millimetre");
    }

    /// As far as the first place of the line.
    pub fn to_the_line(&mut self) {
        self.tap_marks();
        self.press("to-line");
    }

    /// Presses a button once it can be pressed.
    pub fn press(&mut self, test: &str) {
        self.page.wait_until(&format!("{test} to be there"), |page| {
            page.js("return !document.querySelector(arguments[0])?.disabled", vec![json!(by_test_id(test))])
                == json!(true)
        });
        self.page.click(&by_test_id(test));
        self.taps += 1;
    }
}

/// Places of the taps on the photo, pixels, of one kind or `.under` of all: each is drawn as a line of no length.
pub fn taps(page: &Page, of: &str) -> Vec<Point> {
    let d = page.attribute(&format!(".stage path.tap{of}"), "d").unwrap_or_default();
    let places = d.split('M').skip(1).filter_map(|part| {
        let (x, y) = part.strip_suffix("h0")?.split_once(' ')?;
        Some(Point::new(x.parse().ok()?, y.parse().ok()?))
    });
    places.collect()
}

/// What is asked for of the line, in that order: pins, corners, ends.
pub fn asked_for(lines: &[Vec<Point>; 6]) -> [Point; 8] {
    let end =
        |line: usize, last: bool| if last { lines[line][lines[line].len() - 1] } else { lines[line][0] };
    let (bottom, top) = (end(0, false), end(2, true));
    let up = Vec2::new(0.0, 8.0);
    [bottom + up, top - up, end(0, true), end(1, true), end(3, true), end(4, true), bottom, top]
}

/// From an open photo to the line: marks, pins, corners, ends.
pub fn take_the_line(page: &Page, photo: &Photographed, lines: &[Vec<Point>; 6]) -> usize {
    // To choose the file is a tap on the button and one on the file.
    let mut hand = Hand { page, photo, taps: 2 };
    hand.tap_marks();
    assert_eq!(page.text(&by_test_id("remarks")), "");
    hand.press("to-line");
    for at in asked_for(lines) {
        hand.tap(at);
    }
    page.wait_for_words(&by_test_id("line-state"), "each good to about");
    hand.press("take-line");
    page.wait_until("the bench to close", |page| page.count(".capture") == 0);
    hand.taps
}
