//! The view of the board: how large the drawing is on the screen, and which part of the board it shows.

use super::placement::Placement;
use crate::recipe::Composing;
use crate::results::Results;
use crate::showing::{Showing, Step};
use kurbo::{Affine, Point, Rect, Size};
use leptos::prelude::*;
use ribline_geometry::trace::Frame;

/// Room left around the edge when it is fitted to the screen, in mm: the ribbon and its figures.
const MARGIN_ACROSS: f64 = 24.0;
const MARGIN_ALONG: f64 = 20.0;
/// Room in pixels for the scale at the sides.
const SIDE_ROOM: f64 = 30.0;
const FOOT_ROOM: f64 = 18.0;

#[derive(Clone, Copy)]
pub struct View {
    /// Pixels that the drawing has on the screen.
    pub size: RwSignal<Size>,
    /// As the maker has put it; none while all of it is fitted in.
    chosen: RwSignal<Option<Placement>>,
    /// The frame of the result at the moment something was taken hold of. While it is held the board stays still
    /// under the hand, though the result's own frame may turn.
    pub held: RwSignal<Option<Frame>>,
    pub placement: Memo<Placement>,
    /// From the result's frame to the one in which the board is drawn.
    pub motion: Memo<Affine>,
    /// Whether the recipe itself is drawn rather than the plate.
    pub recipe_drawn: Memo<bool>,
}

impl View {
    pub fn new(results: Results, showing: Showing, composing: Composing) -> Self {
        let size = RwSignal::new(Size::new(640.0, 720.0));
        let chosen = RwSignal::new(None::<Placement>);
        let held = RwSignal::new(None::<Frame>);
        let recipe_drawn =
            Memo::new(move |_| showing.step.get() == Step::SetOut || results.shown.with(Option::is_none));
        let board = Memo::new(move |before: Option<&Rect>| match before {
            Some(before) if held.with(Option::is_some) => *before,
            _ => {
                let drawn = if recipe_drawn.get() {
                    let beside =
                        composing.beside_drawn.with(|other| other.as_ref().map(|other| other.extent()));
                    let this = results.drawn.with(|drawn| drawn.extent());
                    Some(beside.map_or(this, |beside| this.union(beside)))
                } else {
                    results.with_shown(|shown| shown.edge.outline.bounds())
                };
                let whole = drawn.unwrap_or(Rect::new(-105.0, 0.0, 105.0, 356.0));
                // Whole centimetres, so that a small change of the edge does not shift all of the drawing.
                let out = |v: f64| (v / 10.0).ceil() * 10.0;
                let half = out(whole.x1.max(-whole.x0));
                Rect::new(-half, -out(-whole.y0), half, out(whole.y1)).inflate(MARGIN_ACROSS, MARGIN_ALONG)
            }
        });
        let placement = Memo::new(move |_| {
            chosen.get().unwrap_or_else(|| {
                let room = size.get();
                let inner =
                    Size::new((room.width - 2.0 * SIDE_ROOM).max(1.0), (room.height - FOOT_ROOM).max(1.0));
                Placement::fitting(board.get(), inner).shifted(kurbo::Vec2::new(SIDE_ROOM, 0.0))
            })
        });
        let motion = Memo::new(move |_| match held.get() {
            None => Affine::IDENTITY,
            Some(held) => results
                .with_shown(|shown| frame_affine(held).inverse() * frame_affine(shown.frame))
                .unwrap_or(Affine::IDENTITY),
        });
        View { size, chosen, held, placement, motion, recipe_drawn }
    }

    pub fn zoom(self, by: f64, about: Option<Point>) {
        let about = about.unwrap_or_else(|| {
            let size = self.size.get_untracked();
            Point::new(size.width / 2.0, size.height / 2.0)
        });
        self.chosen.set(Some(self.placement.get_untracked().zoomed(by, about)));
    }

    pub fn shift(self, by: kurbo::Vec2) {
        self.chosen.set(Some(self.placement.get_untracked().shifted(by)));
    }

    pub fn fit(self) {
        self.chosen.set(None);
    }

    /// From the result's frame to the screen.
    pub fn to_screen(self, result: Point) -> Point {
        self.placement.get().affine() * self.motion.get() * result
    }

    /// Pixels per millimetre, told apart from where the board lies: what keeps its size on the screen needs this alone.
    pub fn scale(self) -> Memo<f64> {
        Memo::new(move |_| self.placement.get().scale)
    }

    pub fn board_transform(self) -> String {
        matrix(self.placement.get().affine())
    }

    pub fn result_transform(self) -> String {
        matrix(self.placement.get().affine() * self.motion.get())
    }
}

pub fn frame_affine(frame: Frame) -> Affine {
    Affine::translate(frame.origin.to_vec2()) * Affine::rotate(frame.angle)
}

pub fn matrix(affine: Affine) -> String {
    let [a, b, c, d, e, f] = affine.as_coeffs();
    format!("matrix({a:.6} {b:.6} {c:.6} {d:.6} {e:.3} {f:.3})")
}

pub fn use_view() -> View {
    expect_context::<View>()
}
