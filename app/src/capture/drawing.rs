//! The line from a drawing file.

use super::hand_over;
use crate::controls::{FilePicker, NumberField, press};
use crate::number::{Within, figure};
use crate::words::capture::words;
use crate::worker::ask;
use crate::worker::requests::{Drawing, Lines};
use kurbo::{Point, Rect};
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::capture::{FILE_LIMIT, UnitTaken, VectorError, VectorLine};
use ribline_geometry::project::Project;
use ribline_geometry::recipe::Dimension;
use ribline_geometry::reconcile::report::is_other_size;
use ribline_geometry::trace::{HowTaken, Pins, Trace, TracedPoint};
use std::fmt::Write;
use wasm_bindgen_futures::JsFuture;
use web_sys::{File, js_sys::Uint8Array};

const SPACING: Within = Within::new(0.2, 50.0);

#[component]
pub fn FromDrawing(project: Project) -> impl IntoView {
    let body = project.recipe.evaluate().map_or(0.0, |drawn| drawn.dimension(Dimension::BodyLength));
    let file = StoredValue::new_local(None::<File>);
    let spacing = RwSignal::new(3.0);
    let lines = RwSignal::new(Vec::<(VectorLine, bool)>::new());
    let unit_taken = RwSignal::new(None::<UnitTaken>);
    let trouble = RwSignal::new(None::<String>);
    let reading = RwSignal::new(false);
    let read = move || {
        let Some(file) = file.get_value() else { return };
        reading.set(true);
        spawn_local(async move {
            let answer = lines_of(&file, spacing.get_untracked()).await;
            reading.set(false);
            match answer {
                Ok(Lines(found)) => {
                    let likely = found.likely();
                    unit_taken.set(found.unit_taken);
                    lines.set(found.lines.into_iter().zip(likely).collect());
                    trouble.set(None);
                }
                Err(why) => {
                    unit_taken.set(None);
                    lines.set(Vec::new());
                    trouble.set(Some(why));
                }
            }
        });
    };
    let chosen = move |files: Vec<File>| {
        file.set_value(files.into_iter().next());
        read();
    };
    let count = Memo::new(move |_| {
        lines.with(|l| l.iter().filter(|(_, t)| *t).map(|(l, _)| l.points.len()).sum::<usize>())
    });
    let take = move || hand_over::take(&lines.with_untracked(|lines| trace_of(lines)), None);
    let words = &words().drawing;
    let taken = Memo::new(move |_| lines.with(|lines| extent(lines.iter().filter(|(_, taken)| *taken))));
    let size =
        move || taken.get().map(|rect| (words.size)(&figure(rect.width(), 1), &figure(rect.height(), 1)));
    let other_size = move || {
        // However it lies on the sheet.
        let long = taken.get()?.size().max_side();
        let other = body > 0.0 && is_other_size(long, body);
        other.then(|| (words.other_size)(&figure(long, 1), &figure(body, 0)))
    };
    let rows = move || {
        let row = |(k, (line, taken)): (usize, (VectorLine, bool))| {
            let label = (words.line)(&line.name, &figure(line.length, 0), line.points.len(), line.closed);
            view! {
                <li>
                    <label class="option">
                        <input
                            type="checkbox"
                            data-test=format!("drawing-line-{k}")
                            prop:checked=taken
                            on:change=move |event| {
                                let on = event_target_checked(&event);
                                lines.update(|lines| if let Some(line) = lines.get_mut(k) { line.1 = on });
                            }
                        />
                        <span>{label}</span>
                    </label>
                </li>
            }
        };
        lines.get().into_iter().enumerate().take(60).map(row).collect_view()
    };
    view! {
        <div class="sheet-bench">
            <div class="panel">
                <p class="lead">{words.lead}</p>
                <div class="actions">
                    <FilePicker label=words.open test="open-drawing" accept=".svg,.dxf" on_chosen=chosen />
                </div>
                <NumberField label=words.spacing unit="mm" test="drawing-spacing" value=spacing within=SPACING
                    on_change=move |mm| { spacing.set(mm); read(); } />
                <p class="note" aria-live="polite">{move || if reading.get() { words.reading } else { "" }}</p>
                <p class="trouble" data-test="error-drawing" aria-live="assertive">{trouble}</p>
                <ul class="lines">{rows}</ul>
                <p class="note" data-test="drawing-size" aria-live="polite">{size}</p>
                <p class="trouble" data-test="drawing-other-size" aria-live="polite">{other_size}</p>
                <p class="trouble" data-test="drawing-unit" aria-live="polite">
                    {move || unit_taken.get().map(words.unit_taken)}
                </p>
                {press("drawing-take", "", take)
                    .labelled(Signal::derive(move || (words.take)(count.get())))
                    .class("chief")
                    .disabled(Signal::derive(move || count.get() < 12))
                    .view()}
            </div>
            <svg class="picture" role="img" aria-label=words.picture viewBox=move || lines.with(|l| view_box(l))>
                <path class="left-out" d=move || lines.with(|l| paths(l, false)) />
                <path class="way" data-test="drawing-lines" d=move || lines.with(|l| paths(l, true)) />
            </svg>
        </div>
    }
}

async fn lines_of(file: &File, spacing: f64) -> Result<Lines, String> {
    if file.size() > FILE_LIMIT as f64 {
        return Err(VectorError::TooLarge.to_string());
    }
    let buffer = JsFuture::from(file.array_buffer()).await.map_err(|_| words().drawing.unreadable)?;
    match ask(Drawing { file: Uint8Array::new(&buffer).to_vec(), spacing }).await {
        Ok(answer) => answer,
        Err(trouble) => Err(trouble.sentence().to_owned()),
    }
}

fn trace_of(lines: &[(VectorLine, bool)]) -> Trace {
    let points = lines.iter().filter(|(_, taken)| *taken).flat_map(|(line, _)| &line.points);
    let traced = |(k, at): (usize, &Point)| TracedPoint {
        at: *at,
        run: None,
        side: None,
        line: k + 1,
        taken: HowTaken::Drawn,
        sd: None,
    };
    Trace { points: points.enumerate().map(traced).collect(), pins: Pins::default() }
}

fn extent<'a>(lines: impl Iterator<Item = &'a (VectorLine, bool)>) -> Option<Rect> {
    lines.map(|(line, _)| line.extent()).reduce(|all, line| all.union(line))
}

fn view_box(lines: &[(VectorLine, bool)]) -> String {
    let all = extent(lines.iter()).unwrap_or(Rect::new(0.0, 0.0, 100.0, 100.0)).inflate(6.0, 6.0);
    format!("{:.2} {:.2} {:.2} {:.2}", all.x0, -all.y1, all.width(), all.height())
}

fn paths(lines: &[(VectorLine, bool)], taken: bool) -> String {
    let mut d = String::new();
    for (line, _) in lines.iter().filter(|(_, t)| *t == taken) {
        for (k, p) in line.points.iter().enumerate() {
            let _ = write!(d, "{}{:.2} {:.2}", if k == 0 { 'M' } else { 'L' }, p.x, -p.y);
        }
        if line.closed {
            d.push('Z');
        }
    }
    d
}
