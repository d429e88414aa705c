//! The traced points as a table to type into.

use crate::controls::{Rows, Typing, When, trouble_with};
use crate::number::{NumberError, Within, read_number};
use crate::results::use_results;
use crate::showing::{Thing, use_showing};
use crate::storage::half_typed;
use crate::store::{Change, use_store};
use crate::words::words;
use kurbo::Point;
use leptos::prelude::*;
use ribline_geometry::outline::Run;
use ribline_geometry::reconcile::report::{Judged, PointReport};
use ribline_geometry::trace::{HowTaken, TracedPoint, read};
use std::sync::Arc;
use wasm_bindgen::JsCast;

/// How far a point may lie from the frame's origin, in mm.
const REACH: Within = Within::new(-5000.0, 5000.0);

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Axis {
    X,
    Y,
}

#[component]
pub fn TraceTable() -> impl IntoView {
    let store = use_store();
    let count = store.part(|project| project.trace.points.len());
    let indices = Memo::new(move |_| (0..count.get()).collect::<Vec<_>>());
    let per_run = store.part(|project| {
        let of = |run: Option<Run>| project.trace.points.iter().filter(|point| point.run == run).count();
        (Run::ALL.map(|run| of(Some(run))), of(None))
    });
    let words = words().ribs();
    let counts = move || {
        let (named, unnamed) = per_run.get();
        let mut parts: Vec<String> =
            Run::ALL.into_iter().zip(named).map(|(run, n)| (words.count_of_run)(run, n)).collect();
        if unnamed > 0 {
            parts.push((words.count_unnamed)(unnamed));
        }
        parts.into_iter().map(|part| view! { <li>{part}</li> }).collect_view()
    };
    view! {
        <section class="trace-table">
            <h2>{move || (words.points)(count.get())}</h2>
            <ul class="counts" data-test="run-counts">{move || counts()}</ul>
            <p class="note">{words.table_note}</p>
            <table class="figures entry" data-test="trace-table">
                <thead>
                    <tr>
                        <th scope="col">{words.line}</th>
                        <th scope="col">{words.run}</th>
                        <th scope="col" class="number">{words.x}</th>
                        <th scope="col" class="number">{words.y}</th>
                        <th scope="col"><span class="unseen">{words.remove}</span></th>
                    </tr>
                </thead>
                <tbody>
                    <Rows numbers=indices make=Arc::new(|index| view! { <PointRow index /> }.into_any()) />
                    <EntryRow count />
                </tbody>
            </table>
        </section>
    }
}

#[component]
fn PointRow(index: usize) -> impl IntoView {
    let store = use_store();
    let results = use_results();
    let showing = use_showing();
    let point = store.part(move |project| project.trace.points.get(index).copied());
    let left_out = Memo::new(move |_| {
        results
            .with_shown(|shown| shown.points.iter().any(|p| p.index == index && p.judged == Judged::LeftOut))
            .unwrap_or(false)
    });
    let thing = Thing::Point(index);
    let pointed = showing.is_pointed(thing);
    let line = move || point.get().map(|point| point.line);
    let words = words().ribs();
    view! {
        <tr
            class:pointed=move || pointed.get()
            class:left-out=move || left_out.get()
            on:pointerenter=move |_| showing.hover(thing)
            on:pointerleave=move |_| showing.leave(thing)
            on:focusin=move |_| showing.pick(Some(thing))
        >
            <th scope="row">
                {move || line()}
                <When holds=move || left_out.get()>
                    <span class="mark" title=words.left_out>" \u{00D7}"</span>
                </When>
            </th>
            <td>
                <RunSelect
                    index
                    run=Signal::derive(move || point.get().and_then(|point| point.run))
                    on_change=move |run| store.change(Change::NamePoint { index, run })
                />
            </td>
            <td><Coordinate index axis=Axis::X point /></td>
            <td><Coordinate index axis=Axis::Y point /></td>
            <td>
                <button
                    type="button"
                    class="slight"
                    aria-label=move || (words.remove_line)(line().unwrap_or_default())
                    title=words.remove
                    data-test="remove-point"
                    on:click=move |_| store.change(Change::RemovePoint(index))
                >
                    "\u{00D7}"
                </button>
            </td>
        </tr>
    }
}

#[component]
fn RunSelect(
    index: usize,
    run: Signal<Option<Run>>,
    #[prop(into)] on_change: Callback<Option<Run>>,
) -> impl IntoView {
    let present = use_results().present();
    let found = Memo::new(move |_| {
        let on = |p: &PointReport| (p.index == index).then_some(p.run).flatten();
        present.with(|result| result.as_ref()?.points.iter().find_map(on))
    });
    let unnamed = move || match found.get() {
        Some(on) if run.get().is_none() => (crate::words::words().split().found_on)(on),
        _ => crate::words::words().ribs().unnamed.to_owned(),
    };
    let words = words().ribs();
    let named = Run::ALL
        .map(|option| {
            view! {
                <option value=option.to_string() prop:selected=move || run.get() == Some(option)>
                    {(words.run_name)(option)}
                </option>
            }
        })
        .collect_view();
    view! {
        <select
            aria-label=words.run
            data-test=format!("row-{index}-run")
            on:change=move |event| on_change.run(event_target_value(&event).parse().ok())
        >
            <option value="" prop:selected=move || run.get().is_none()>{unnamed}</option>
            {named}
        </select>
    }
}

/// One coordinate of a point.
#[component]
fn Coordinate(index: usize, axis: Axis, point: Memo<Option<TracedPoint>>) -> impl IntoView {
    let store = use_store();
    let value = Signal::derive(move || {
        point.get().map(|point| match axis {
            Axis::X => point.at.x,
            Axis::Y => point.at.y,
        })
    });
    let typing = Typing::new(value, REACH, false, move |to| {
        if let (Some(mm), Some(point)) = (to, point.get_untracked()) {
            let to = match axis {
                Axis::X => Point::new(mm, point.at.y),
                Axis::Y => Point::new(point.at.x, mm),
            };
            store.change(Change::MovePoint { index, to });
        }
    });
    let words = words().ribs();
    let error_id = format!("error-{}", cell_id(index, axis));
    view! {
        <input
            type="text"
            inputmode="decimal"
            autocomplete="off"
            class="number"
            aria-label=if axis == Axis::X { words.x } else { words.y }
            id=cell_id(index, axis)
            data-test=cell_id(index, axis)
            prop:value=move || typing.shown(2)
            aria-invalid=move || typing.is_wrong().to_string()
            aria-describedby=error_id.clone()
            on:input=move |event| typing.take(event_target_value(&event))
            on:blur=move |_| typing.finish()
            on:keydown=move |event| go_down(&event, index, axis)
        />
        <p class="trouble" id=error_id.clone() data-test=error_id aria-live="polite">{move || typing.trouble("mm")}</p>
    }
}

fn cell_id(index: usize, axis: Axis) -> String {
    format!("row-{index}-{}", if axis == Axis::X { "x" } else { "y" })
}

fn focus(id: &str) {
    let element = document().get_element_by_id(id);
    if let Some(input) = element.and_then(|e| e.dyn_into::<web_sys::HtmlInputElement>().ok()) {
        let _ = input.focus();
        input.select();
    }
}

/// Enter and the arrows go down and up the column, as on any sheet of figures.
fn go_down(event: &web_sys::KeyboardEvent, index: usize, axis: Axis) {
    let to = match event.key().as_str() {
        "Enter" | "ArrowDown" => Some(index + 1),
        "ArrowUp" => index.checked_sub(1),
        _ => return,
    };
    event.prevent_default();
    if let Some(to) = to {
        focus(&cell_id(to, axis));
    }
}

/// The row at the foot, in which a new point is typed, or several are pasted.
#[component]
fn EntryRow(count: Memo<usize>) -> impl IntoView {
    let store = use_store();
    let run = RwSignal::new(None::<Run>);
    let (x, y) = (half_typed("ribline.entry-x"), half_typed("ribline.entry-y"));
    let trouble = RwSignal::new(None::<String>);
    let x_id = move || cell_id(count.get(), Axis::X);
    let y_id = move || cell_id(count.get(), Axis::Y);
    let add = move || {
        let number = |text: RwSignal<String>| read_number(&text.get_untracked(), REACH);
        match (number(x), number(y)) {
            (Ok(x_mm), Ok(y_mm)) => {
                let at = Point::new(x_mm, y_mm);
                store.change(Change::AddPoints(vec![TracedPoint {
                    at,
                    run: run.get_untracked(),
                    side: None,
                    taken: HowTaken::Given,
                    sd: None,
                    line: 0,
                }]));
                x.set(String::new());
                y.set(String::new());
                trouble.set(None);
                request_animation_frame(move || focus(&cell_id(count.get_untracked(), Axis::X)));
            }
            (Err(NumberError::Empty), _) => focus(&x_id()),
            (Ok(_), Err(NumberError::Empty)) => focus(&y_id()),
            (Err(error), _) | (_, Err(error)) => trouble.set(Some(trouble_with(error, "mm"))),
        }
    };
    let paste = move |event: web_sys::ClipboardEvent| {
        let text = event.clipboard_data().and_then(|data| data.get_data("text").ok()).unwrap_or_default();
        if !text.trim().contains(['\n', '\t', ';']) {
            return;
        }
        event.prevent_default();
        match read(&text) {
            Ok(trace) => {
                let named = run.get_untracked();
                let points = trace.points.into_iter().map(|p| TracedPoint { run: p.run.or(named), ..p });
                store.change(Change::AddPoints(points.collect()));
                trouble.set(None);
            }
            Err(error) => trouble.set(Some(error.to_string())),
        }
    };
    let type_in = move |text: RwSignal<String>, event: &web_sys::Event| {
        text.set(event_target_value(event));
        trouble.set(None);
    };
    let enter = move |event: web_sys::KeyboardEvent, axis: Axis| match event.key().as_str() {
        "Enter" => {
            event.prevent_default();
            add();
        }
        "ArrowUp" => go_down(&event, count.get_untracked(), axis),
        _ => {}
    };
    let words = words().ribs();
    view! {
        <tr class="entry-row">
            <th scope="row">{words.new}</th>
            <td>
                <select
                    aria-label=words.run
                    data-test="entry-run"
                    on:change=move |event| run.set(event_target_value(&event).parse().ok())
                >
                    <option value="">{words.unnamed}</option>
                    {Run::ALL
                        .map(|option| view! { <option value=option.to_string()>{(words.run_name)(option)}</option> })
                        .collect_view()}
                </select>
            </td>
            <td>
                <input
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    class="number"
                    aria-label=words.x
                    id=x_id
                    aria-describedby="error-entry"
                    data-test="entry-x"
                    prop:value=x
                    on:input=move |event| type_in(x, &event)
                    on:keydown=move |event| enter(event, Axis::X)
                    on:paste=paste
                />
            </td>
            <td>
                <input
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    class="number"
                    aria-label=words.y
                    id=y_id
                    aria-describedby="error-entry"
                    data-test="entry-y"
                    prop:value=y
                    on:input=move |event| type_in(y, &event)
                    on:keydown=move |event| enter(event, Axis::Y)
                    on:paste=paste
                />
            </td>
            <td>
                <button
                    type="button"
                    class="slight"
                    aria-label=words.add
                    title=words.add
                    data-test="entry-add"
                    on:click=move |_| add()
                >
                    "+"
                </button>
            </td>
        </tr>
        <tr>
            <td colspan="5">
                <p class="trouble" id="error-entry" data-test="error-entry" aria-live="polite">{trouble}</p>
            </td>
        </tr>
    }
}
