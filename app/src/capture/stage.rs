//! The photo, and the hand on it: one finger places or moves a tap under the loupe, two move and enlarge.

use super::opening::new_canvas;
use super::placed::Placed;
use super::session::Session;
use super::shown::{self, Colours, LOUPE};
use super::taps::{self, Tap};
use crate::drawing::follow_size;
use crate::words::capture::words;
use kurbo::{Point, Size, Vec2};
use leptos::html::{Canvas, Div};
use leptos::prelude::*;
use std::fmt::Write;
use wasm_bindgen::JsCast;
use web_sys::{HtmlCanvasElement, PointerEvent};

/// Taps within so many pixels of the screen are meant: by a mouse, and by a finger.
const NEAR: (f64, f64) = (9.0, 22.0);
/// While a place is asked for, within this part of that.
const WANTED: f64 = 0.3;
/// A finger slides a tap this much more finely than it moves: at least so many pixels of the screen to one of the photo.
const FINE: f64 = 0.6;
/// Less is a tap that stays where it was pressed.
const SLID: f64 = 5.0;
/// How far off a tap that stays where it was pressed is, standard deviation in pixels of the screen: by a mouse, and by a finger. From
/// memory.
const PRESSED: (f64, f64) = (0.8, 4.0);
/// Closer than so many pixels of the photo nothing is placed under the loupe either.
const UNDER_LOUPE: f64 = 0.7;

#[derive(Debug, Clone, Copy, Default)]
enum Doing {
    #[default]
    Nothing,
    Press {
        pointer: i32,
        from: Point,
        start: Point,
        at: Point,
        tap: Option<Tap>,
        finger: bool,
        slid: bool,
    },
    Pan {
        pointer: i32,
        last: Point,
    },
    Pinch {
        one: (i32, Point),
        other: (i32, Point),
    },
}

#[derive(Clone, Copy)]
pub struct StageView {
    session: Session,
    placed: RwSignal<Option<Placed>>,
    /// The whole photo is shown, however large the stage becomes.
    whole: RwSignal<bool>,
    doing: RwSignal<Doing>,
    stage: NodeRef<Div>,
    /// The whole photo's colours, which are not themselves shown: a browser would hold all of them twice.
    pub photo: StoredValue<HtmlCanvasElement, LocalStorage>,
    shown: NodeRef<Canvas>,
    loupe: NodeRef<Canvas>,
}

impl StageView {
    pub fn new(session: Session) -> StageView {
        StageView {
            session,
            placed: RwSignal::new(None),
            whole: RwSignal::new(true),
            doing: RwSignal::new(Doing::Nothing),
            stage: NodeRef::new(),
            photo: StoredValue::new_local(new_canvas().expect("a canvas")),
            shown: NodeRef::new(),
            loupe: NodeRef::new(),
        }
    }

    fn size(self) -> Size {
        let rect = self.stage.get_untracked().map(|stage| stage.get_bounding_client_rect());
        rect.map_or(Size::new(1.0, 1.0), |rect| Size::new(rect.width().max(1.0), rect.height().max(1.0)))
    }

    fn fitting(self) -> Placed {
        Placed::fitting(self.session.size.get_untracked(), self.size())
    }

    pub fn fit(self) {
        self.whole.set(true);
        self.placed.set(Some(self.fitting()));
    }

    /// As it was, as far as the stage still shows it: on a phone it changes with every field that is written in.
    fn resized(self, from: Size, to: Size) {
        if self.whole.get_untracked() || from == Size::ZERO {
            self.fit();
        } else {
            self.placed.set(Some(self.placement().moved((to - from).to_vec2() / 2.0)));
        }
    }

    fn move_photo(self, by: Vec2) {
        self.whole.set(false);
        self.placed.set(Some(self.placement().moved(by)));
    }

    fn placement(self) -> Placed {
        self.placed.get_untracked().unwrap_or_else(|| self.fitting())
    }

    pub fn zoom(self, by: f64, about: Option<Point>) {
        let about = about.unwrap_or_else(|| (self.size().to_vec2() / 2.0).to_point());
        let least = 0.7 * self.fitting().scale;
        self.whole.set(false);
        self.placed.set(Some(self.placement().zoomed(by, about, least)));
    }

    fn at(self, event: &PointerEvent) -> Point {
        let rect = self.stage.get_untracked().map(|stage| stage.get_bounding_client_rect());
        let (left, top) = rect.map_or((0.0, 0.0), |rect| (rect.left(), rect.top()));
        Point::new(f64::from(event.client_x()) - left, f64::from(event.client_y()) - top)
    }

    fn press(self, event: &PointerEvent) {
        let (pointer, at) = (event.pointer_id(), self.at(event));
        // The first finger on the glass: whatever was still thought to be down has been lifted unseen.
        if event.is_primary() {
            self.doing.set(Doing::Nothing);
        }
        if let Some(stage) = self.stage.get_untracked() {
            // Fails only for a pointer that is up again already.
            let _ = stage.set_pointer_capture(pointer);
        }
        let finger = event.pointer_type() != "mouse";
        match self.doing.get_untracked() {
            Doing::Nothing if event.button() == 0 && !event.shift_key() => {
                let placed = self.placement();
                let near = if finger { NEAR.1 } else { NEAR.0 };
                // What is asked for may lie close to what was tapped before: then only a press right on that is for it.
                let near = if self.session.wanted().is_some() { near * WANTED } else { near };
                let taps = untrack(|| self.session.tapped());
                let off = |(_, place): &(Tap, Point)| placed.on_stage(*place).distance(at);
                let tap =
                    taps.into_iter().filter(|tap| off(tap) <= near).min_by(|a, b| off(a).total_cmp(&off(b)));
                let start = tap.map_or(placed.on_photo(at), |(_, place)| place);
                let tap = tap.map(|(tap, _)| tap);
                self.doing.set(Doing::Press {
                    pointer,
                    from: at,
                    start,
                    at: start,
                    tap,
                    finger,
                    slid: false,
                });
                self.look(start);
            }
            Doing::Nothing => self.doing.set(Doing::Pan { pointer, last: at }),
            Doing::Press { pointer: first, from, .. } if first != pointer => {
                self.doing.set(Doing::Pinch { one: (first, from), other: (pointer, at) });
            }
            Doing::Pan { pointer: first, last } if first != pointer => {
                self.doing.set(Doing::Pinch { one: (first, last), other: (pointer, at) });
            }
            _ => {}
        }
    }

    fn motion(self, event: &PointerEvent) {
        let (id, now) = (event.pointer_id(), self.at(event));
        match self.doing.get_untracked() {
            Doing::Press { pointer, from, start, tap, finger, slid, .. } if pointer == id => {
                let slid = slid || now.distance(from) > SLID;
                if !slid {
                    return;
                }
                let scale = self.placement().scale;
                let by = (now - from) / if finger { scale.max(FINE) } else { scale };
                let size = self.session.size.get_untracked();
                let at = start + by;
                let at = Point::new(at.x.clamp(0.0, size.width), at.y.clamp(0.0, size.height));
                self.doing.set(Doing::Press { pointer, from, start, at, tap, finger, slid });
                self.look(at);
            }
            Doing::Pan { pointer, last } if pointer == id => {
                self.move_photo(now - last);
                self.doing.set(Doing::Pan { pointer, last: now });
            }
            Doing::Pinch { one, other } => {
                let after = match id {
                    id if id == one.0 => ((id, now), other),
                    id if id == other.0 => (one, (id, now)),
                    _ => return,
                };
                let middle = one.1.midpoint(other.1);
                let moved = after.0.1.midpoint(after.1.1) - middle;
                let by = after.0.1.distance(after.1.1) / one.1.distance(other.1).max(1.0);
                self.zoom(by, Some(middle));
                self.move_photo(moved);
                self.doing.set(Doing::Pinch { one: after.0, other: after.1 });
            }
            _ => {}
        }
    }

    fn release(self, event: &PointerEvent) {
        let id = event.pointer_id();
        match self.doing.get_untracked() {
            Doing::Press { pointer, from, at, tap, finger, slid, .. } if pointer == id => {
                self.doing.set(Doing::Nothing);
                // On a small screen what is wanted may lie close to what was tapped before: only sliding moves that.
                let (tap, at) = if !slid && self.session.wanted().is_some() {
                    (None, self.placement().on_photo(from))
                } else {
                    (tap, at)
                };
                match tap {
                    Some(tap) if slid => self.session.move_tap(tap, at),
                    Some(tap) => self.session.at_hand.set(Some(tap)),
                    None if self.session.size.get_untracked().to_rect().contains(at) => {
                        let pressed = if finger { PRESSED.1 } else { PRESSED.0 } / self.placement().scale;
                        let close = slid || pressed < UNDER_LOUPE;
                        self.session.tap(at, if close { 0.0 } else { pressed });
                    }
                    None => {}
                }
            }
            Doing::Pan { pointer, .. } if pointer == id => self.doing.set(Doing::Nothing),
            Doing::Pinch { one, other } if id == one.0 || id == other.0 => {
                let (pointer, last) = if id == one.0 { other } else { one };
                self.doing.set(Doing::Pan { pointer, last });
            }
            _ => {}
        }
    }

    fn keys(self, event: &web_sys::KeyboardEvent) {
        let far = if event.shift_key() { 10.0 } else { 1.0 };
        let by = match event.key().as_str() {
            "ArrowLeft" => Vec2::new(-far, 0.0),
            "ArrowRight" => Vec2::new(far, 0.0),
            "ArrowUp" => Vec2::new(0.0, -far),
            "ArrowDown" => Vec2::new(0.0, far),
            "Delete" | "Backspace" => {
                event.prevent_default();
                return self.session.remove_at_hand();
            }
            "+" | "=" => return self.zoom(1.3, None),
            "-" => return self.zoom(1.0 / 1.3, None),
            "0" => return self.fit(),
            _ => return,
        };
        event.prevent_default();
        let session = self.session;
        if let Some(tap) = session.at_hand.get_untracked()
            && let Some(at) = session.taps.with_untracked(|taps| taps.at(tap))
        {
            session.move_tap(tap, at + by);
        }
    }

    fn show(self) {
        if let Some(shown) = self.shown.get_untracked() {
            self.with_colours(|photo| shown::draw(&shown, photo, self.placement(), self.size()));
        }
    }

    fn look(self, at: Point) {
        if let Some(loupe) = self.loupe.get_untracked() {
            self.with_colours(|photo| shown::enlarge(&loupe, photo, at, self.placement().scale));
        }
    }

    fn with_colours(self, draw: impl FnOnce(Colours)) {
        let size = self.session.size.get_untracked();
        self.photo.with_value(|canvas| draw(Colours { canvas, size }));
    }
}

fn polyline(d: &mut String, points: &[Point]) {
    for (k, p) in points.iter().enumerate() {
        let _ = write!(d, "{}{:.1} {:.1}", if k == 0 { 'M' } else { 'L' }, p.x, p.y);
    }
}

#[component]
pub fn Stage(view: StageView) -> impl IntoView {
    let session = view.session;
    Effect::new(move |_| {
        session.size.track();
        view.fit();
    });
    let size = RwSignal::new(Size::ZERO);
    follow_size(move || view.stage.get().map(Into::into), size);
    Effect::new(move |before: Option<Size>| {
        let now = size.get();
        view.resized(before.unwrap_or_default(), now);
        now
    });
    let placed = move || view.placed.get().unwrap_or_else(|| view.fitting());
    Effect::new(move |_| {
        size.track();
        session.size.track();
        view.placed.track();
        view.show();
    });
    let photo_transform = move || {
        let Placed { scale, shift } = placed();
        format!("matrix({scale:.6} 0 0 {scale:.6} {:.2} {:.2})", shift.x, shift.y)
    };
    let ways = move || {
        let mut d = String::new();
        if session.stage.get() == taps::Stage::Line {
            session.ways().iter().for_each(|(.., way)| polyline(&mut d, way));
        }
        d
    };
    let centreline = move || {
        let taps = session.taps.get();
        let pin = |pin| taps.at(Tap::Pin(pin));
        let mut d = String::new();
        if let (Some(a), Some(b)) = (pin(crate::store::PinName::Lower), pin(crate::store::PinName::Upper)) {
            polyline(&mut d, &[a, b]);
        }
        d
    };
    let dots = move |of: fn(&Tap) -> bool| {
        let mut d = String::new();
        for (_, at) in session.tapped().iter().filter(|(tap, _)| of(tap)) {
            let _ = write!(d, "M{:.1} {:.1}h0", at.x, at.y);
        }
        d
    };
    let at_hand = move || {
        let at = session.at_hand.get().and_then(|tap| session.taps.with(|taps| taps.at(tap)));
        at.map_or(String::new(), |at| format!("M{:.1} {:.1}h0", at.x, at.y))
    };
    let pressed = move || match view.doing.get() {
        Doing::Press { at, from, .. } => Some((at, from)),
        _ => None,
    };
    let loupe_style = move || {
        let Some((_, from)) = pressed() else { return "display:none".to_owned() };
        let width = view.size().width;
        // Above the finger; near the top beside it.
        let top = from.y - LOUPE - 40.0;
        let (left, top) = if top > 4.0 {
            ((from.x - LOUPE / 2.0).clamp(4.0, (width - LOUPE - 4.0).max(4.0)), top)
        } else if from.x > width / 2.0 {
            (from.x - LOUPE - 50.0, 4.0)
        } else {
            (from.x + 50.0, 4.0)
        };
        format!("transform:translate({left:.0}px,{top:.0}px)")
    };
    let words = &words().photo;
    view! {
        <div
            class="stage"
            node_ref=view.stage
            data-test="photo-stage"
            tabindex="0"
            role="application"
            aria-label=words.stage
            on:pointerdown=move |event| view.press(&event)
            on:pointermove=move |event| view.motion(&event)
            on:pointerup=move |event| view.release(&event)
            on:pointercancel=move |_| view.doing.set(Doing::Nothing)
            on:contextmenu=move |event| event.prevent_default()
            on:wheel=move |event| {
                event.prevent_default();
                let rect = event.current_target().and_then(|t| {
                    t.dyn_into::<web_sys::Element>().ok()
                });
                let corner = rect.map(|e| e.get_bounding_client_rect());
                let (left, top) = corner.map_or((0.0, 0.0), |r| (r.left(), r.top()));
                let about = Point::new(f64::from(event.client_x()) - left, f64::from(event.client_y()) - top);
                view.zoom((-event.delta_y() * 0.0016).clamp(-0.6, 0.6).exp(), Some(about));
            }
            on:keydown=move |event| view.keys(&event)
        >
            <canvas class="shown" node_ref=view.shown width="1" height="1"></canvas>
            <svg class="over" aria-hidden="true">
                <g transform=photo_transform>
                    <rect
                        class="photo"
                        width=move || session.size.get().width
                        height=move || session.size.get().height
                    />
                    <path class="centreline" d=centreline />
                    <path class="way under" d=ways />
                    <path class="way" data-test="followed" d=ways />
                    <path class="tap under" d=move || dots(|_| true) />
                    <path class="tap" d=move || dots(|tap| !matches!(tap, Tap::Via(..) | Tap::Bottom | Tap::Top)) />
                    <path class="tap via" d=move || dots(|tap| matches!(tap, Tap::Via(..) | Tap::Bottom | Tap::Top)) />
                    <path class="tap at-hand" d=at_hand />
                    <path
                        class="cross"
                        d=move || {
                            pressed().map_or(String::new(), |(at, _)| format!("M{:.1} {:.1}h0", at.x, at.y))
                        }
                    />
                </g>
            </svg>
            <div class="loupe" style=loupe_style data-test="loupe">
                <canvas node_ref=view.loupe width=LOUPE.to_string() height=LOUPE.to_string()></canvas>
            </div>
        </div>
    }
}
