use super::path::{arc_path, cross, dot, line_to, move_to};
use super::view::use_view;
use crate::controls::{MakeRow, Rows};
use crate::results::use_results;
use crate::showing::{ArcName, Layer, Thing, use_showing};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::reconcile::report::EdgeArc;
use std::sync::Arc;
use wasm_bindgen::JsCast;

/// Arms of a centre's cross, in pixels.
const CROSS: f64 = 4.0;

/// Every arc of the edge, neighbours in two inks, each to be pointed at; and their centres.
#[component]
pub fn Arcs() -> impl IntoView {
    let results = use_results();
    let showing = use_showing();
    let scale = use_view().scale();
    let names = Memo::new(move |_| results.with_shown(|shown| names_of(&shown.arcs)).unwrap_or_default());
    let centres = Memo::new(move |_| {
        let arm = CROSS / scale.get();
        results
            .with_shown(|shown| {
                let mut d = String::new();
                shown.arcs.iter().for_each(|arc| cross(&mut d, arc.arc.centre, arm));
                d
            })
            .unwrap_or_default()
    });
    let centres_shown = showing.layer(Layer::Centres);
    // One stop for the Tab key: the arc picked last, or the first.
    let stop = Memo::new(move |_| match showing.picked() {
        Some(Thing::Arc(name)) => Some(name),
        _ => names.with(|names| names.first().copied()),
    });
    let numbers =
        Signal::derive(move || names.with(|names| names.iter().map(|name| name.number()).collect()));
    let one_arc: MakeRow = Arc::new(move |number| {
        ArcName::of_number(number).map(|name| view! { <OneArc name stop /> }).into_any()
    });
    let step_along = move |event: web_sys::KeyboardEvent| {
        let step = match event.key().as_str() {
            "ArrowRight" | "ArrowUp" => 1,
            "ArrowLeft" | "ArrowDown" => -1,
            _ => return,
        };
        event.prevent_default();
        event.stop_propagation();
        let next = names.with_untracked(|names| {
            let here = stop.get_untracked().and_then(|name| names.iter().position(|n| *n == name))?;
            let count = names.len() as i64;
            names.get((here as i64 + step).rem_euclid(count) as usize).copied()
        });
        if let Some(name) = next {
            showing.pick(Some(Thing::Arc(name)));
            focus(&element_id(name));
        }
    };
    view! {
        <path class="centres" class:hidden=move || !centres_shown.get() d=centres aria-hidden="true" />
        <g role="group" aria-label=words().drawing.arcs on:keydown=step_along>
            <Rows numbers make=one_arc />
        </g>
    }
}

fn names_of(arcs: &[EdgeArc]) -> Vec<ArcName> {
    arcs.iter().map(|arc| ArcName { run: arc.run, piece: arc.piece }).collect()
}

fn find(arcs: &[EdgeArc], name: ArcName) -> Option<&EdgeArc> {
    arcs.iter().find(|arc| arc.run == name.run && arc.piece == name.piece)
}

fn element_id(name: ArcName) -> String {
    format!("arc-{}-{}", name.run, name.piece + 1)
}

fn focus(id: &str) {
    let element = document().get_element_by_id(id);
    if let Some(element) = element.and_then(|e| e.dyn_into::<web_sys::SvgElement>().ok()) {
        let _ = element.focus();
    }
}

#[component]
fn OneArc(name: ArcName, stop: Memo<Option<ArcName>>) -> impl IntoView {
    let results = use_results();
    let showing = use_showing();
    let thing = Thing::Arc(name);
    let arc =
        Memo::new(move |_| results.with_shown(|shown| find(&shown.arcs, name).map(|arc| arc.arc)).flatten());
    let line = Memo::new(move |_| arc.get().map(|arc| arc_path(&arc)).unwrap_or_default());
    let centre = Memo::new(move |_| arc.get().map(|arc| dot(arc.centre)).unwrap_or_default());
    let reach = move || {
        let Some(arc) = arc.get() else { return String::new() };
        let mut d = String::new();
        move_to(&mut d, arc.at(0.0));
        line_to(&mut d, arc.centre);
        line_to(&mut d, arc.at(1.0));
        d
    };
    let label = move || {
        let of_arc = |arc: &EdgeArc| (words().drawing.arc_label)(&arc.name(), arc.run.side, arc.arc.radius);
        results.with_shown(|shown| find(&shown.arcs, name).map(of_arc)).flatten()
    };
    let inks = showing.layer(Layer::Inks);
    let centres = showing.layer(Layer::Centres);
    let pointed = showing.is_pointed(thing);
    view! {
        <g
            class="arc"
            class:second-ink=move || inks.get() && name.in_second_ink()
            class:pointed=move || pointed.get()
            id=element_id(name)
            data-test="arc"
            data-run=name.run.to_string()
            data-piece=(name.piece + 1).to_string()
            tabindex=move || if stop.get() == Some(name) { "0" } else { "-1" }
            role="button"
            aria-label=label
            on:pointerenter=move |_| showing.hover(thing)
            on:pointerleave=move |_| showing.leave(thing)
            on:focus=move |_| showing.pick(Some(thing))
        >
            <path class="grasp" d=line />
            <path class="grasp centre" class:hidden=move || !(centres.get() || pointed.get()) d=centre />
            <path class="line" d=line />
            <path class="reach" d=move || if pointed.get() { reach() } else { String::new() } />
            <path class="compass-point" class:hidden=move || !pointed.get() d=centre />
        </g>
    }
}
