//! What can be taken hold of in the drawing: traced points, pins and corners.

use super::hand::use_hand;
use super::path::{cross, dot, line_to, move_to, slanting_cross};
use super::view::use_view;
use crate::controls::{Rows, When};
use crate::results::use_results;
use crate::showing::{Layer, Thing, use_showing};
use crate::store::{PinName, use_store};
use crate::words::words;
use kurbo::{Point, Vec2};
use leptos::prelude::*;
use ribline_geometry::outline::Corner;
use ribline_geometry::reconcile::report::{Judged, PointReport};
use std::sync::Arc;
use wasm_bindgen::JsCast;

/// Arms of the cross on a point that was left out, and of a pin's, in pixels.
const LEFT_OUT: f64 = 4.5;
const PIN: f64 = 8.0;
/// Below so many pixels to the millimetre the points are drawn smaller, so that the line can be seen between them.
const DENSE: f64 = 1.5;
/// How far the arrow keys move a thing, in mm; with Shift, ten times as far.
const NUDGE: f64 = 0.1;

/// The arrow keys as a step across and up, in mm.
fn arrow(event: &web_sys::KeyboardEvent) -> Option<Vec2> {
    let by = if event.shift_key() { 10.0 * NUDGE } else { NUDGE };
    Some(match event.key().as_str() {
        "ArrowLeft" => Vec2::new(-by, 0.0),
        "ArrowRight" => Vec2::new(by, 0.0),
        "ArrowUp" => Vec2::new(0.0, by),
        "ArrowDown" => Vec2::new(0.0, -by),
        _ => return None,
    })
}

/// A thing to be grasped: it is pointed at, picked by focus, taken hold of, and moved with the arrow keys.
#[component]
fn Grip(
    thing: Thing,
    id: String,
    class: &'static str,
    test: &'static str,
    /// The traced point's line in its file, for tests and finding it again.
    #[prop(into)]
    line: Signal<Option<usize>>,
    /// Whether the Tab key stops here.
    #[prop(into)]
    stop: Signal<bool>,
    #[prop(into)] at: Signal<Option<Point>>,
    #[prop(into)] label: Signal<String>,
    children: Children,
) -> impl IntoView {
    let showing = use_showing();
    let store = use_store();
    let hand = use_hand();
    let pointed = showing.is_pointed(thing);
    view! {
        <g
            class=format!("grip {class}")
            class:pointed=move || pointed.get()
            id=id
            data-test=test
            data-line=move || line.get().map(|line| line.to_string())
            tabindex=move || if stop.get() { "0" } else { "-1" }
            role="button"
            aria-label=label
            on:pointerenter=move |_| showing.hover(thing)
            on:pointerleave=move |_| showing.leave(thing)
            on:pointerdown=move |event| hand.take_hold(&event, thing)
            on:focus=move |_| showing.pick(Some(thing))
            on:blur=move |_| store.settle()
            on:keydown=move |event| {
                if let Some(by) = arrow(&event) && hand.nudge(thing, by) {
                    event.prevent_default();
                    event.stop_propagation();
                }
            }
        >
            <path class="grasp" d=move || at.get().map(dot).unwrap_or_default() />
            <path class="halo" d=move || pointed.get().then(|| at.get().map(dot)).flatten().unwrap_or_default() />
            {children()}
        </g>
    }
}

/// The traced points. One stop for the Tab key; Page Up and Page Down go from point to point.
#[component]
pub fn TracedPoints() -> impl IntoView {
    let results = use_results();
    let showing = use_showing();
    let visible = showing.layer(Layer::Points);
    let scale = use_view().scale();
    let dense = Memo::new(move |_| scale.get() < DENSE);
    let indices = Memo::new(move |_| {
        results
            .with_shown(|shown| shown.points.iter().map(|point| point.index).collect::<Vec<_>>())
            .unwrap_or_default()
    });
    let stop = Memo::new(move |_| match showing.picked() {
        Some(Thing::Point(index)) => Some(index),
        _ => indices.with(|all| all.first().copied()),
    });
    let go_along = move |event: web_sys::KeyboardEvent| {
        let step = match event.key().as_str() {
            "PageDown" => 1,
            "PageUp" => -1,
            _ => return,
        };
        event.prevent_default();
        let next = indices.with_untracked(|all| {
            let here = stop.get_untracked().and_then(|index| all.iter().position(|i| *i == index))?;
            all.get((here as i64 + step).rem_euclid(all.len() as i64) as usize).copied()
        });
        let element = next.and_then(|index| document().get_element_by_id(&format!("point-{index}")));
        if let Some(element) = element.and_then(|e| e.dyn_into::<web_sys::SvgElement>().ok()) {
            let _ = element.focus();
        }
    };
    view! {
        <g
            role="group"
            aria-label=words().drawing.points
            class:hidden=move || !visible.get()
            stroke-width=move || if dense.get() { "2.6" } else { "4" }
            on:keydown=go_along
        >
            <Rows numbers=indices make=Arc::new(move |index| view! { <TracedPoint index stop /> }.into_any()) />
        </g>
    }
}

#[component]
fn TracedPoint(index: usize, stop: Memo<Option<usize>>) -> impl IntoView {
    let results = use_results();
    let scale = use_view().scale();
    let report = Memo::new(move |_| {
        results.with_shown(|shown| shown.points.iter().find(|point| point.index == index).copied()).flatten()
    });
    let left_out = Memo::new(move |_| report.get().is_some_and(|r| r.judged == Judged::LeftOut));
    let at = Memo::new(move |_| report.get().map(|r: PointReport| r.at));
    let mark = move || {
        at.get().map(|at| if left_out.get() { slanting_cross(at, LEFT_OUT / scale.get()) } else { dot(at) })
    };
    let to_edge = move || {
        report.get().map(|r| {
            let mut d = String::new();
            move_to(&mut d, r.at);
            line_to(&mut d, r.foot);
            d
        })
    };
    let label = Signal::derive(move || {
        report.get().map(|r| (words().drawing.point_label)(r.line, r.overhang)).unwrap_or_default()
    });
    let pointed = use_showing().is_pointed(Thing::Point(index));
    view! {
        <Grip
            thing=Thing::Point(index)
            id=format!("point-{index}")
            class="point"
            test="traced-point"
            line=Signal::derive(move || report.get().map(|r| r.line))
            stop=Signal::derive(move || stop.get() == Some(index))
            at=at
            label=label
        >
            <path class="to-edge" d=move || pointed.get().then(to_edge).flatten().unwrap_or_default() />
            <path class=move || if left_out.get() { "left-out" } else { "taken" } d=move || mark().unwrap_or_default() />
        </Grip>
    }
}

#[component]
pub fn Pins() -> impl IntoView {
    PinName::BOTH.map(|pin| view! { <Pin pin /> }).collect_view()
}

#[component]
fn Pin(pin: PinName) -> impl IntoView {
    let results = use_results();
    let scale = use_view().scale();
    let at = Memo::new(move |_| {
        results
            .with_shown(|shown| match pin {
                PinName::Lower => shown.pins.lower,
                PinName::Upper => shown.pins.upper,
            })
            .flatten()
    });
    let mark = move || {
        at.get().map(|at| {
            let mut d = String::new();
            cross(&mut d, at, PIN / scale.get());
            d
        })
    };
    let id = match pin {
        PinName::Lower => "pin-lower",
        PinName::Upper => "pin-upper",
    };
    view! {
        <When holds=Signal::derive(move || at.get().is_some())>
            <Grip
                thing=Thing::Pin(pin)
                id=id.to_string()
                class="pin"
                test=id
                line=None
                stop=true
                at=at
                label=Signal::derive(move || (words().drawing.pin)(pin).to_string())
            >
                <path class="pin-ring" d=move || at.get().map(dot).unwrap_or_default() />
                <path class="pin-hole" d=move || at.get().map(dot).unwrap_or_default() />
                <path class="pin-cross" d=move || mark().unwrap_or_default() />
            </Grip>
        </When>
    }
}

#[component]
pub fn CornerGrips() -> impl IntoView {
    Corner::ALL.map(|corner| view! { <CornerGrip corner /> }).collect_view()
}

/// The middle of a corner's cut, to be dragged the way the corner points.
#[component]
fn CornerGrip(corner: Corner) -> impl IntoView {
    let results = use_results();
    let end = Memo::new(move |_| results.with_shown(|shown| shown.edge.corners[corner.index()]));
    let at = Memo::new(move |_| end.get().map(|end| end.outer.midpoint(end.waist)));
    let cut = move || {
        end.get().map(|end| {
            let mut d = String::new();
            move_to(&mut d, end.outer);
            line_to(&mut d, end.waist);
            d
        })
    };
    let label = Signal::derive(move || {
        end.get()
            .map(|end| (words().drawing.corner_label)(corner, end.width, end.beyond_ribs))
            .unwrap_or_default()
    });
    view! {
        <Grip
            thing=Thing::Corner(corner)
            id=format!("corner-{corner}")
            class="corner"
            test="corner"
            line=None
            stop=true
            at=at
            label=label
        >
            <path class="cut" d=move || cut().unwrap_or_default() />
        </Grip>
    }
}
