//! The hand on the drawing: pointers that pan, pinch, or take hold of a thing and move it.

use super::view::View;
use crate::recipe::{Composing, Heeding, Told};
use crate::results::Results;
use crate::showing::{Showing, Step, Thing};
use crate::store::{Change, PinName, Store};
use gloo::render::{AnimationFrame, request_animation_frame};
use kurbo::{Point, Vec2};
use leptos::prelude::*;
use leptos::svg::Svg;
use ribline_geometry::arc::direction;
use ribline_geometry::edge::CornerCut;
use ribline_geometry::outline::Corner;
use ribline_geometry::trace::Frame;

/// A press that moves less than this many pixels is a tap: it picks, and moves nothing.
const TAP: f64 = 4.0;
/// How near to a line or a point of the recipe is meant for it, in pixels: for a mouse, and for a finger.
const NEAR: (f64, f64) = (10.0, 20.0);

/// What has been taken hold of, and all that is needed to move it.
#[derive(Debug, Clone, Copy)]
enum Hold {
    Point { index: usize, frame: Frame, off: Vec2 },
    Pin { pin: PinName, frame: Frame, off: Vec2 },
    Corner { corner: Corner, from: Point, heading: f64, beyond: f64 },
}

#[derive(Debug, Clone, Copy, Default)]
enum Doing {
    #[default]
    Nothing,
    /// Pressed on the board: a tap lets go of what was picked, a movement pans.
    Pan {
        pointer: i32,
        from: Point,
        last: Point,
        moved: bool,
    },
    Pinch {
        one: (i32, Point),
        other: (i32, Point),
    },
    Move {
        pointer: i32,
        from: Point,
        now: Point,
        hold: Hold,
        moved: bool,
    },
}

#[derive(Clone, Copy)]
pub struct Hand {
    store: Store,
    results: Results,
    showing: Showing,
    view: View,
    composing: Composing,
    pub svg: NodeRef<Svg>,
    doing: StoredValue<Doing>,
    frame: StoredValue<Option<AnimationFrame>, LocalStorage>,
}

impl Hand {
    pub fn new(store: Store, results: Results, showing: Showing, view: View, composing: Composing) -> Self {
        Hand {
            store,
            results,
            showing,
            view,
            composing,
            svg: NodeRef::new(),
            doing: StoredValue::new(Doing::Nothing),
            frame: StoredValue::new_local(None),
        }
    }

    /// Where the pointer is on the drawing, in pixels.
    fn at(self, x: i32, y: i32) -> Point {
        let corner = self.svg.get_untracked().map(|svg| svg.get_bounding_client_rect());
        let (left, top) = corner.map_or((0.0, 0.0), |rect| (rect.left(), rect.top()));
        Point::new(f64::from(x) - left, f64::from(y) - top)
    }

    fn capture(self, pointer: i32) {
        if let Some(svg) = self.svg.get_untracked() {
            // Fails only for a pointer that is up again already.
            let _ = svg.set_pointer_capture(pointer);
        }
    }

    /// Pressed on one of the things that can be moved.
    pub fn take_hold(self, event: &web_sys::PointerEvent, thing: Thing) {
        if event.button() != 0 || !matches!(self.doing.get_value(), Doing::Nothing) {
            return;
        }
        let from = self.at(event.client_x(), event.client_y());
        let Some(hold) = self.hold_of(thing, self.view.placement.get_untracked().to_board(from)) else {
            return;
        };
        event.stop_propagation();
        self.showing.pick(Some(thing));
        self.capture(event.pointer_id());
        self.doing.set_value(Doing::Move {
            pointer: event.pointer_id(),
            from,
            now: from,
            hold,
            moved: false,
        });
    }

    fn hold_of(self, thing: Thing, on_board: Point) -> Option<Hold> {
        let shown = self.results.shown.get_untracked()?;
        let frame = shown.frame;
        match thing {
            Thing::Point(index) => {
                let at = shown.points.iter().find(|point| point.index == index)?.at;
                Some(Hold::Point { index, frame, off: at - on_board })
            }
            Thing::Pin(pin) => {
                let at = match pin {
                    PinName::Lower => shown.pins.lower,
                    PinName::Upper => shown.pins.upper,
                }?;
                Some(Hold::Pin { pin, frame, off: at - on_board })
            }
            Thing::Corner(corner) => {
                let end = shown.edge.corners[corner.index()];
                Some(Hold::Corner { corner, from: on_board, heading: end.heading, beyond: end.beyond_ribs })
            }
            Thing::Arc(_) | Thing::RecipeStep(_) | Thing::RecipeRun(_) => None,
        }
    }

    /// Pressed on the board itself.
    pub fn press(self, event: &web_sys::PointerEvent) {
        let (pointer, at) = (event.pointer_id(), self.at(event.client_x(), event.client_y()));
        match self.doing.get_value() {
            Doing::Nothing if event.button() <= 1 => {
                self.capture(pointer);
                self.doing.set_value(Doing::Pan { pointer, from: at, last: at, moved: false });
            }
            Doing::Pan { pointer: first, last, .. } if first != pointer => {
                self.capture(pointer);
                self.doing.set_value(Doing::Pinch { one: (first, last), other: (pointer, at) });
            }
            _ => {}
        }
    }

    pub fn motion(self, event: &web_sys::PointerEvent) {
        let (id, at) = (event.pointer_id(), self.at(event.client_x(), event.client_y()));
        match self.doing.get_value() {
            Doing::Pan { pointer, from, last, moved }
                if pointer == id && (moved || at.distance(from) > TAP) =>
            {
                self.view.shift(at - last);
                self.doing.set_value(Doing::Pan { pointer, from, last: at, moved: true });
            }
            Doing::Pinch { one, other } => {
                let after = match id {
                    id if id == one.0 => ((id, at), other),
                    id if id == other.0 => (one, (id, at)),
                    _ => return,
                };
                let middle = |a: Point, b: Point| a.midpoint(b);
                let spread = one.1.distance(other.1).max(1.0);
                self.view.shift(middle(after.0.1, after.1.1) - middle(one.1, other.1));
                self.view.zoom(after.0.1.distance(after.1.1) / spread, Some(middle(after.0.1, after.1.1)));
                self.doing.set_value(Doing::Pinch { one: after.0, other: after.1 });
            }
            Doing::Move { pointer, from, hold, moved, .. } if pointer == id => {
                if !moved {
                    if at.distance(from) <= TAP {
                        return;
                    }
                    // From here on the board keeps still under the hand.
                    self.view.held.set(self.results.with_shown_untracked(|shown| shown.frame));
                    self.store.settle();
                }
                self.doing.set_value(Doing::Move { pointer, from, now: at, hold, moved: true });
                self.move_at_next_frame();
            }
            Doing::Nothing if event.pointer_type() == "mouse" => {
                self.on_recipe(event, at, |heeding| heeding.pass);
            }
            _ => {}
        }
    }

    /// Tells the recipe, while it is what is drawn, of a place on the board and how far around it is meant.
    fn on_recipe(self, event: &web_sys::PointerEvent, at: Point, told: fn(Heeding) -> Told) -> bool {
        if self.showing.step.get_untracked() != Step::SetOut || untrack(|| self.showing.mould_drawn()) {
            return false;
        }
        let placement = self.view.placement.get_untracked();
        let near = if event.pointer_type() == "mouse" { NEAR.0 } else { NEAR.1 };
        let told = self.composing.heeding.get_value().map(told);
        told.is_some_and(|told| told(self.composing, placement.to_board(at), near / placement.scale))
    }

    /// However often the pointer reports, the edge is worked once to a frame.
    fn move_at_next_frame(self) {
        let waiting = self.frame.with_value(Option::is_some);
        if !waiting {
            let frame = request_animation_frame(move |_| {
                self.frame.set_value(None);
                self.move_now();
            });
            self.frame.set_value(Some(frame));
        }
    }

    fn move_now(self) {
        let Doing::Move { now, hold, moved: true, .. } = self.doing.get_value() else { return };
        let board = self.view.placement.get_untracked().to_board(now);
        self.store.change(match hold {
            Hold::Point { index, frame, off } => Change::MovePoint { index, to: frame.to_given(board + off) },
            Hold::Pin { pin, frame, off } => Change::MovePin { pin, to: Some(frame.to_given(board + off)) },
            Hold::Corner { corner, from, heading, beyond } => {
                let along = (board - from).dot(direction(heading));
                Change::Cut(corner, CornerCut::Beyond(beyond + along).nearest())
            }
        });
    }

    pub fn release(self, event: &web_sys::PointerEvent) {
        let id = event.pointer_id();
        let at = self.at(event.client_x(), event.client_y());
        match self.doing.get_value() {
            Doing::Pan { pointer, moved, .. } if pointer == id => {
                if !moved && !self.on_recipe(event, at, |heeding| heeding.tap) {
                    self.showing.pick(None);
                }
                self.doing.set_value(Doing::Nothing);
            }
            Doing::Pinch { one, other } if id == one.0 || id == other.0 => {
                let (pointer, last) = if id == one.0 { other } else { one };
                self.doing.set_value(Doing::Pan { pointer, from: last, last, moved: true });
            }
            Doing::Move { pointer, moved, .. } if pointer == id => {
                if moved {
                    self.move_now();
                }
                self.let_go();
            }
            _ => {}
        }
    }

    /// A tap in the drawing is meant for nothing in particular any more. False where it was not.
    pub fn stop_picking(self) -> bool {
        let picking = self.composing.picking.get_untracked().is_some();
        self.composing.picking.set(None);
        picking
    }

    /// The browser took the pointer away, or the maker pressed Escape: what was being moved goes back.
    pub fn give_up(self) -> bool {
        let moving = matches!(self.doing.get_value(), Doing::Move { moved: true, .. });
        if moving {
            self.store.give_up();
        }
        self.let_go();
        moving
    }

    fn let_go(self) {
        self.frame.set_value(None);
        self.doing.set_value(Doing::Nothing);
        self.view.held.set(None);
        self.store.settle();
    }

    pub fn wheel(self, event: &web_sys::WheelEvent) {
        event.prevent_default();
        // Lines and pages, as some mice report, in pixels.
        let pixels = match event.delta_mode() {
            web_sys::WheelEvent::DOM_DELTA_LINE => 16.0,
            web_sys::WheelEvent::DOM_DELTA_PAGE => 400.0,
            _ => 1.0,
        };
        let by = (-event.delta_y() * pixels * 0.0016).clamp(-0.6, 0.6).exp();
        self.view.zoom(by, Some(self.at(event.client_x(), event.client_y())));
    }

    /// Moves what is picked by so many mm across and up, as the arrow keys do. False where that cannot be moved.
    pub fn nudge(self, thing: Thing, by: Vec2) -> bool {
        let Some(shown) = self.results.shown.get_untracked() else { return false };
        let turned = shown.frame.to_given(by.to_point()) - shown.frame.to_given(Point::ORIGIN);
        let trace = self.store.project().with_untracked(|project| project.trace.clone());
        let change = match thing {
            Thing::Point(index) => {
                trace.points.get(index).map(|point| Change::MovePoint { index, to: point.at + turned })
            }
            Thing::Pin(pin) => match pin {
                PinName::Lower => trace.pins.lower,
                PinName::Upper => trace.pins.upper,
            }
            .map(|at| Change::MovePin { pin, to: Some(at + turned) }),
            Thing::Corner(corner) => {
                let end = shown.edge.corners[corner.index()];
                // Outwards with the keys that point the way the corner does.
                let along = by.dot(direction(end.heading)).signum() * by.hypot();
                Some(Change::Cut(corner, CornerCut::Beyond(end.beyond_ribs + along).nearest()))
            }
            Thing::Arc(_) | Thing::RecipeStep(_) | Thing::RecipeRun(_) => None,
        };
        change.map(|change| self.store.change(change)).is_some()
    }
}

pub fn use_hand() -> Hand {
    expect_context::<Hand>()
}
