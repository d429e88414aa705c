//! Where the board lies on the screen.

use kurbo::{Affine, Point, Rect, Size, Vec2};

/// Least and most pixels to the millimetre: from a cello in a corner of a phone to a tenth of a millimetre as broad as a line.
const LEAST_SCALE: f64 = 0.2;
const MOST_SCALE: f64 = 60.0;

/// Board to screen: x to the right on both, y up on the board and down on the screen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Pixels per millimetre.
    pub scale: f64,
    /// Where the board's origin lies on the screen, in pixels.
    pub origin: Vec2,
}

impl Placement {
    /// As large as fits, in the middle.
    pub fn fitting(board: Rect, screen: Size) -> Self {
        let scale = (screen.width / board.width().max(1.0))
            .min(screen.height / board.height().max(1.0))
            .clamp(LEAST_SCALE, MOST_SCALE);
        let middle = board.center();
        Placement {
            scale,
            origin: Vec2::new(screen.width / 2.0 - scale * middle.x, screen.height / 2.0 + scale * middle.y),
        }
    }

    pub fn affine(self) -> Affine {
        Affine::new([self.scale, 0.0, 0.0, -self.scale, self.origin.x, self.origin.y])
    }

    pub fn to_screen(self, board: Point) -> Point {
        self.affine() * board
    }

    pub fn to_board(self, screen: Point) -> Point {
        Point::new((screen.x - self.origin.x) / self.scale, (self.origin.y - screen.y) / self.scale)
    }

    /// Enlarged about a place on the screen, which stays where it is.
    pub fn zoomed(self, by: f64, about: Point) -> Self {
        let scale = (self.scale * by).clamp(LEAST_SCALE, MOST_SCALE);
        let by = scale / self.scale;
        Placement { scale, origin: about.to_vec2() + by * (self.origin - about.to_vec2()) }
    }

    pub fn shifted(self, by: Vec2) -> Self {
        Placement { origin: self.origin + by, ..self }
    }

    /// The part of the board that is in view.
    pub fn in_view(self, screen: Size) -> Rect {
        Rect::from_points(
            self.to_board(Point::ORIGIN),
            self.to_board(Point::new(screen.width, screen.height)),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn zooming_leaves_the_place_pointed_at_where_it_is() {
        let placement = Placement::fitting(Rect::new(-110.0, -10.0, 110.0, 370.0), Size::new(700.0, 740.0));
        let about = Point::new(123.0, 456.0);
        let before = placement.to_board(about);
        let after = placement.zoomed(1.7, about).to_board(about);
        assert!(before.distance(after) < 1e-9);
    }

    #[test]
    fn what_is_fitted_is_wholly_in_view_and_in_the_middle() {
        let board = Rect::new(-110.0, -10.0, 110.0, 370.0);
        let screen = Size::new(390.0, 464.0);
        let view = Placement::fitting(board, screen).in_view(screen);
        assert!(view.x0 <= board.x0 && view.y0 <= board.y0 && view.x1 >= board.x1 && view.y1 >= board.y1);
        assert!(view.center().distance(board.center()) < 1e-9);
    }
}
