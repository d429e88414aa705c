//! The printed frame: eight marks of known spacing, to be laid around the ribs in the plane of the board.

use super::square::SquareError;
use crate::bench::shapes::{Layer, Path, Segment, Shapes};
use kurbo::Point;

/// A frame of marks, `width` by `height` mm from middle to middle of the corner marks, with another mark half way along each
/// side. The sides are cut out within, so that the ribs lie inside of the marks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrameSheet {
    width: f64,
    height: f64,
}

/// Between the body and the marks, mm: the hand with a scribe has room, and the marks stay clear of the line.
const ROOM: f64 = 30.0;
/// Sizes are whole tens, so that they can be checked with any rule.
const WHOLE: f64 = 10.0;
/// From the marks' middles to where the paper is cut out, mm.
const CUT: f64 = 12.0;
/// Length of the bar by which the print is checked, mm.
const BAR: f64 = 100.0;

impl FrameSheet {
    /// Half the side of a mark, mm.
    pub const HALF_MARK: f64 = 5.0;

    /// # Errors
    /// Sides that no frame has.
    pub fn new(width: f64, height: f64) -> Result<FrameSheet, SquareError> {
        super::square::rectangle(width, height)?;
        Ok(FrameSheet { width, height })
    }

    /// For a body of this length and greatest width, mm.
    ///
    /// # Errors
    /// A body that no frame is made for.
    pub fn around_body(length: f64, width: f64) -> Result<FrameSheet, SquareError> {
        let side = |body: f64| ((body + 2.0 * ROOM) / WHOLE).ceil() * WHOLE;
        FrameSheet::new(side(width), side(length))
    }

    pub fn width(&self) -> f64 {
        self.width
    }

    pub fn height(&self) -> f64 {
        self.height
    }

    /// The middles of the marks: lower left, lower right, upper right, upper left, then below, to the right, above, to the left.
    pub fn marks(&self) -> [Point; 8] {
        let (w, h) = (self.width, self.height);
        [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h), (w / 2.0, 0.0), (w, h / 2.0), (w / 2.0, h), (0.0, h / 2.0)]
            .map(Point::from)
    }

    /// To be printed at its size: each mark as its two dark quarters (closed, to be filled), the line along which the inside is
    /// cut out, and a bar of 100 mm.
    pub fn shapes(&self) -> Shapes {
        let mut shapes = Shapes::default();
        let square = |a: Point, b: Point| {
            let line = |from, to| Segment::Line { from, to };
            let (c, d) = (Point::new(b.x, a.y), Point::new(a.x, b.y));
            Path::closed(vec![line(a, c), line(c, b), line(b, d), line(d, a)])
        };
        for mark in self.marks() {
            for side in [1.0, -1.0] {
                let reach = side * Self::HALF_MARK;
                shapes.add(Layer::Check, square(mark, mark + (reach, reach)));
            }
        }
        let inner = Point::new(CUT, CUT);
        shapes.add(Layer::Edge, square(inner, Point::new(self.width - CUT, self.height - CUT)));
        let start = Point::new(3.0 * CUT, -CUT / 1.5);
        if self.width > BAR + 6.0 * CUT {
            shapes.add(Layer::Pins, Path::line(start, start + (BAR, 0.0)));
            for end in [start, start + (BAR, 0.0)] {
                shapes.add(Layer::Pins, Path::line(end - (0.0, 1.5), end + (0.0, 1.5)));
            }
        }
        shapes
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_frame_leaves_room_around_the_body_and_its_marks_are_where_it_says() {
        let sheet = FrameSheet::around_body(355.0, 208.0).unwrap();
        assert_eq!((sheet.width(), sheet.height()), (270.0, 420.0));
        let marks = sheet.marks();
        assert!((marks[1].distance(marks[3]) - 270.0_f64.hypot(420.0)).abs() < 1e-9);
        assert_eq!(marks[4], marks[0].midpoint(marks[1]));
        let shapes = sheet.shapes();
        for mark in marks {
            // Two dark quarters meet in the middle of each mark.
            let meeting = shapes.on(Layer::Check).filter(|path| path.segments[0].start() == mark).count();
            assert_eq!(meeting, 2);
        }
        let bar = shapes.on(Layer::Pins).map(Path::length).fold(0.0, f64::max);
        assert_eq!(bar, 100.0);
        assert!(FrameSheet::around_body(f64::NAN, 200.0).is_err());
    }
}
