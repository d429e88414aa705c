//! The record's drawings: the plate small, with the places where the overhang is measured, and each corner enlarged.

use crate::bench::as_cut::{AtStation, Station};
use crate::bench::print::canvas::{Canvas, Pen, Stands, Type};
use crate::bench::print::ink;
use crate::bench::shapes::{Layer, Shapes};
use crate::edge::CornerEnd;
use crate::outline::Bout;
use kurbo::{Affine, Point, Rect, Vec2};

const NUMBER: Type = Type::bold(2.9);
const FIGURE: Type = Type::plain(2.7);
const FINE: Pen = Pen::fine(0.15);

/// Draws the plate within `area`, each station with its number and its planned overhang.
pub fn plate(
    canvas: &mut Canvas,
    area: Rect,
    shapes: &Shapes,
    stations: &[AtStation],
    figure: impl Fn(f64) -> String,
) {
    /// Beyond the plate, for the numbers, mm on paper.
    const AROUND: f64 = 13.0;
    let kept = |layer: Layer| {
        matches!(
            layer,
            Layer::Edge
                | Layer::Ribs
                | Layer::PurflingChannel
                | Layer::Corners
                | Layer::Centreline
                | Layer::Pins
        )
    };
    let plate = shapes.on(Layer::Edge).filter_map(|path| path.bounds()).reduce(|a, b| a.union(b));
    let Some(plate) = plate.filter(|plate| plate.width() > 1.0 && plate.height() > 1.0) else { return };
    let room = area.inset(-AROUND);
    let scale = (room.width() / plate.width()).min(room.height() / plate.height());
    let placed = Affine::translate(room.center().to_vec2())
        * Affine::scale(scale)
        * Affine::translate(-plate.center().to_vec2());
    for layered in shapes.0.iter().filter(|l| kept(l.layer)) {
        if let Some(pen) = ink::pen(layered.layer) {
            canvas.pen(Pen { breadth: pen.breadth * 0.8, ..pen });
            canvas.path(&layered.path, placed);
        }
    }
    for station in stations {
        let at = placed * station.at;
        let out = -station.inward;
        canvas.pen(FINE);
        canvas.line(at, at + 3.0 * out);
        let number = station.station.number().to_string();
        let value = figure(station.planned);
        // The number and the figure side by side, the pair of them clear of the edge.
        let beside_button = station.station == Station::End(Bout::Upper);
        let stands = if out.x > 0.35 || beside_button {
            Stands::After
        } else if out.x < -0.35 {
            Stands::Before
        } else {
            Stands::About
        };
        let place = at + 4.0 * out - Vec2::new(0.0, 0.36 * NUMBER.size);
        let lift = if stands == Stands::About { Vec2::new(0.0, 1.2 * out.y.signum()) } else { Vec2::ZERO };
        canvas.pair(place + lift, stands, (NUMBER, &number), (FIGURE, &value));
    }
}

/// Side of the square that a corner is shown in, mm on paper.
pub const CORNER_SIDE: f64 = 60.0;

/// How the corners of a plate are shown, all alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// How many times their size.
    pub times: f64,
}

impl Window {
    /// As large as the widest leaves room for: a violin's corner of 7 mm is shown twice its size, a cello's of 12 mm at its own.
    pub fn of(corners: &[CornerEnd]) -> Window {
        let widest = corners.iter().map(|end| end.width).fold(0.0, f64::max);
        Window { times: if widest < 9.5 { 2.0 } else { 1.0 } }
    }

    /// Half of the side of the square of the plate that is shown, mm.
    fn half(self) -> f64 {
        CORNER_SIDE / 2.0 / self.times
    }
}

/// Draws a corner within the square whose upper left corner is given, with the width of its cut and, where the ribs were
/// traced, their own corner.
pub fn corner(
    canvas: &mut Canvas,
    upper_left: Point,
    shapes: &Shapes,
    (end, of_ribs): (&CornerEnd, bool),
    window: Window,
    figure: impl Fn(f64) -> String,
) {
    let (half, scale) = (window.half(), window.times);
    let square = Rect::new(
        upper_left.x,
        upper_left.y - 2.0 * half * scale,
        upper_left.x + 2.0 * half * scale,
        upper_left.y,
    );
    let tip = end.outer.midpoint(end.waist);
    // The corner points into a quarter of the square, so that more of its flanks is seen.
    let middle = tip - 0.45 * half * crate::arc::direction(end.heading);
    let placed = Affine::translate(square.center().to_vec2())
        * Affine::scale(scale)
        * Affine::translate(-middle.to_vec2());
    let shown = Rect::from_center_size(middle, (2.0 * half, 2.0 * half));
    canvas.clipped(square);
    for layered in &shapes.0 {
        let wanted = matches!(
            layered.layer,
            Layer::Edge
                | Layer::Ribs
                | Layer::PurflingChannel
                | Layer::Corners
                | Layer::Traced
                | Layer::LeftForTheFile
        );
        let meets = layered
            .path
            .bounds()
            .is_some_and(|b| b.x0 <= shown.x1 && shown.x0 <= b.x1 && b.y0 <= shown.y1 && shown.y0 <= b.y1);
        if let Some(pen) = ink::pen(layered.layer).filter(|_| wanted && meets) {
            canvas.pen(pen);
            canvas.path(&layered.path, placed);
        }
    }
    dimension(canvas, placed * end.outer, placed * end.waist, &figure(end.width), placed * middle);
    let ribs = placed * end.rib_corner;
    canvas.pen(Pen::fine(0.25));
    if of_ribs {
        for arm in [Vec2::new(1.6, 1.6), Vec2::new(1.6, -1.6)] {
            canvas.line(ribs - arm, ribs + arm);
        }
    }
    canvas.unclipped();
    canvas.pen(ink::HAIR);
    canvas.rect(square);
}

/// A length written outside of a line, between two strokes that stand on its ends.
fn dimension(canvas: &mut Canvas, a: Point, b: Point, figure: &str, inside: Point) {
    let along = b - a;
    if along.hypot() < 1e-6 {
        return;
    }
    let along = along / along.hypot();
    let mut out = Vec2::new(-along.y, along.x);
    if out.dot(inside - a) > 0.0 {
        out = -out;
    }
    canvas.pen(FINE);
    let off = 3.0;
    for end in [a, b] {
        canvas.line(end + 0.8 * out, end + (off + 1.0) * out);
    }
    canvas.line(a + off * out, b + off * out);
    for (end, way) in [(a, along), (b, -along)] {
        canvas.line(end + off * out, end + off * out + 1.6 * way + 0.5 * out);
        canvas.line(end + off * out, end + off * out + 1.6 * way - 0.5 * out);
    }
    let at = a.midpoint(b) + (off + 2.6) * out - Vec2::new(0.0, 0.36 * NUMBER.size);
    let stands = if out.x > 0.35 {
        Stands::After
    } else if out.x < -0.35 {
        Stands::Before
    } else {
        Stands::About
    };
    canvas.text(at, stands, NUMBER, figure);
}
