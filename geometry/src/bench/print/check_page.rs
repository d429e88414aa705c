//! The page that is printed and measured before the others.

use super::bars::Bar;
use super::canvas::{Canvas, Page, Type};
use super::strip::{Flow, Heading, Place, STRONG, TEXT, TITLE, key, tiles};
use super::words::Words;
use kurbo::{Point, Rect, Vec2};

const HEAD: Type = Type::bold(6.0);
const BODY: Type = Type::plain(3.5);

pub fn check_page(heading: &Heading, place: Place, scale: [f64; 2], words: &Words) -> Page {
    let form = &place.tiling.form;
    let mut canvas = Canvas::new(form.size, scale);
    let page = form.window.union(form.strip).inset(-2.0);
    let check = &words.check;

    let mut flow =
        Flow { canvas: &mut canvas, at: Point::new(page.x0, page.y1), measure: page.width(), floor: page.y0 };
    flow.write(HEAD, check.title, 2);
    flow.gap(1.5);
    flow.write(TITLE, &heading.title, 2);
    flow.write(STRONG, &format!("{}; {}", heading.face, heading.sides), 1);
    flow.write(TEXT, &format!("{} \u{b7} {} \u{b7} {}", heading.scale, heading.day, heading.recipe), 2);
    flow.write(STRONG, &(words.page)(place.page, place.of), 1);
    let top = flow.at.y - 4.0;

    // The bars and the map on the left, the words beside them.
    const LEFT: f64 = 112.0;
    let bars = Rect::new(page.x0, top - LEFT, page.x0 + LEFT, top);
    let corner = Point::new(bars.x0 + 8.0, bars.y0 + 4.0);
    Bar::Across.draw(&mut canvas, corner, words);
    Bar::Up.draw(&mut canvas, corner + Vec2::new(-4.0, 6.0), words);
    Bar::Rising.draw(&mut canvas, corner + Vec2::new(22.0, 12.0), words);
    let area = Rect::new(page.x0, page.y0, bars.x1, bars.y0 - 6.0);
    if area.height() > 15.0 {
        tiles(&mut canvas, place, area, None, 5.0);
    }

    let beside = Point::new(bars.x1 + 8.0, top);
    let measure = page.x1 - beside.x;
    let body_length = place.drawing.length;
    let off = words.figure(0.2 * body_length / 100.0, 1);
    let good = (check.good)(&words.figure(body_length, 0), &off);
    let mut flow = Flow { canvas: &mut canvas, at: beside, measure, floor: page.y0 };
    for step in [check.measure, &good, check.why, check.correct, check.slanting] {
        flow.write(BODY, step, 14);
        flow.gap(1.8);
    }
    if place.tiling.tiles.len() > 1 {
        flow.write(BODY, check.join, 10);
        flow.gap(1.8);
    }
    flow.gap(2.0);
    for text in heading.statements.iter().map(String::as_str).chain([heading.cautions, heading.edge_is]) {
        flow.write(TEXT, text, 12);
        flow.gap(1.2);
    }
    let at = flow.at;
    key(&mut canvas, heading, at, measure, page.y0);
    canvas.finish()
}
