//! The compass: two fine legs from the point to the pencil, and what it is set to.

use super::pen::{Canvas, Pen};
use super::timing::{TRAVEL, Timing, eased};
use kurbo::{Point, Vec2};
use ribline_geometry::arc::Arc;
use ribline_geometry::recipe::replay::{Act, Frame, Mark, Stroke, Taken};

/// How a compass stands: on the board, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compass<'a> {
    point: Point,
    pencil: Point,
    /// +1 where it sweeps counter-clockwise, -1 clockwise; it leans that way.
    turn: f64,
    pub taken: Option<&'a Taken>,
    /// Whether it is being used, or on its way to be.
    pub busy: bool,
    /// 0 to 1; less while it is lifted.
    there: f64,
}

impl<'a> Compass<'a> {
    fn on(stroke: &'a Stroke, arc: &Arc, progress: f64) -> Self {
        let (point, pencil) = (arc.centre, arc.at(progress));
        Compass {
            point,
            pencil,
            turn: arc.sweep.signum(),
            taken: stroke.taken.as_ref(),
            busy: true,
            there: 1.0,
        }
    }

    /// Where it is at a moment of a frame. It stays where it was used last only after a circle was struck: there
    /// one wants to read its setting.
    pub fn during(frame: &'a Frame, timing: &Timing, clock: f64) -> Option<Self> {
        if clock >= timing.whole {
            return Compass::at_rest(frame);
        }
        let mut last: Option<(&Stroke, Arc, f64)> = None;
        for (k, stroke) in frame.strokes.iter().enumerate() {
            let Mark::Arc(arc) = stroke.mark else { continue };
            let (start, end) = timing.span(k);
            if clock >= start && clock <= end {
                return Some(Compass::on(stroke, &arc, timing.progress(k, clock)));
            }
            if clock < start {
                let off = (start - clock) / TRAVEL;
                let next = Compass::on(stroke, &arc, 0.0);
                return match last {
                    Some((before, from, _)) if off < 1.0 => {
                        Some(Compass::on(before, &from, 1.0).towards(next, eased(1.0 - off)))
                    }
                    Some((before, from, _)) => {
                        Some(Compass { busy: false, ..Compass::on(before, &from, 1.0) })
                    }
                    None if off < 1.0 => Some(Compass { there: 1.0 - off, ..next }),
                    None => None,
                };
            }
            last = Some((stroke, arc, end));
        }
        // After its last stroke it is put aside, unless it stays.
        let (stroke, arc, end) = last?;
        let there = if matches!(frame.act, Act::Circle(_)) { 1.0 } else { 1.0 - (clock - end) / TRAVEL };
        (there > 0.0).then(|| Compass { there, busy: false, ..Compass::on(stroke, &arc, 1.0) })
    }

    pub fn at_rest(frame: &'a Frame) -> Option<Self> {
        let struck = frame.strokes.iter().rev().find_map(|stroke| match stroke.mark {
            Mark::Arc(arc) => Some((stroke, arc)),
            _ => None,
        });
        let (stroke, arc) = struck.filter(|_| matches!(frame.act, Act::Circle(_)))?;
        Some(Compass::on(stroke, &arc, 1.0))
    }

    fn towards(self, next: Compass<'a>, t: f64) -> Self {
        Compass {
            point: self.point.lerp(next.point, t),
            pencil: self.pencil.lerp(next.pencil, t),
            turn: next.turn,
            taken: next.taken,
            busy: true,
            there: 1.0 - 0.6 * (1.0 - (2.0 * t - 1.0).abs()),
        }
    }

    /// The hinge, on the canvas: beside the line from point to pencil, on the side to which the hand leans.
    pub fn hinge(&self, canvas: &Canvas) -> Point {
        let (point, pencil) = (canvas.at(self.point), canvas.at(self.pencil));
        let open = pencil - point;
        let unit = canvas.type_size / 14.0;
        let lean = (0.16 * open.hypot()).clamp(16.0 * unit, 46.0 * unit);
        point.midpoint(pencil) + lean * self.aside(open)
    }

    /// Away from the legs, for what is written on it.
    pub fn way_clear(&self, canvas: &Canvas) -> Vec2 {
        self.aside(canvas.at(self.pencil) - canvas.at(self.point))
    }

    /// A pixel square to the legs' opening, in the sense of the sweep; the canvas's y goes down.
    fn aside(&self, open: Vec2) -> Vec2 {
        let length = open.hypot();
        let along = if length > 0.0 { open / length } else { Vec2::new(1.0, 0.0) };
        self.turn * Vec2::new(along.y, -along.x)
    }

    pub fn draw(&self, pen: &mut Pen) {
        let canvas = pen.canvas;
        let (point, pencil, hinge) = (canvas.at(self.point), canvas.at(self.pencil), self.hinge(canvas));
        let unit = canvas.type_size / 14.0;
        pen.open("compass", self.there);
        pen.path(
            "legs",
            &format!(
                "M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}",
                point.x, point.y, hinge.x, hinge.y, pencil.x, pencil.y
            ),
        );
        let ring = |at: Point, r: f64| {
            let d = 2.0 * r;
            format!(
                "M{:.1} {:.1}a{r:.1} {r:.1} 0 1 1 {d:.1} 0a{r:.1} {r:.1} 0 1 1 -{d:.1} 0z",
                at.x - r,
                at.y
            )
        };
        pen.path("hinge", &ring(hinge, 3.6 * unit));
        pen.path("point", &ring(point, 3.2 * unit));
        pen.path("pencil", &ring(pencil, 2.4 * unit));
        pen.close();
    }
}
