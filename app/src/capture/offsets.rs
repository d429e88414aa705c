//! Offsets from the centreline: a table made for callipers and square.

use super::hand_over;
use super::length::Unit;
use super::offset_kept;
use super::offset_rows::{Column, Row, Table, UP_TO, What};
use crate::controls::{Choice, NumberField, Rows, When, press};
use crate::number::{MM_PER_INCH, Within, figure};
use crate::storage::files::{file_name, save_bytes};
use crate::today::today;
use crate::words::capture::words;
use leptos::prelude::*;
use ribline_geometry::bench::print::{OffsetRow, OffsetTable, offset_table};
use ribline_geometry::project::Project;
use ribline_geometry::recipe::Dimension;
use std::fmt::Write;
use std::sync::Arc;
use wasm_bindgen::JsCast;

const EVERY: Within = Within::new(2.0, 50.0);
const EVERY_INCHES: Within = Within::new(0.125, 2.0);
const UP_TO_INCHES: Within = Within::new(2.0, 47.0);
const FEWEST: usize = 12;

/// How the rows are laid out in one of the units.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Layout {
    every: f64,
    up_to: f64,
}

#[component]
pub fn Offsets(project: Project) -> impl IntoView {
    let length = project.recipe.evaluate().map_or(355.0, |drawn| drawn.dimension(Dimension::BodyLength));
    let print = project.bench_wish().print;
    let layouts = RwSignal::new([
        Layout { every: 10.0, up_to: (length / 10.0).round() * 10.0 },
        Layout { every: 0.5, up_to: (length / MM_PER_INCH * 2.0).round() / 2.0 },
    ]);
    let kept = offset_kept::find();
    let unit = RwSignal::new(kept.as_ref().map_or(Unit::Millimetres, |(_, unit)| *unit));
    let layout = move || layouts.with(|all| all[unit.get() as usize]);
    let change = move |by: fn(&mut Layout, f64), value: f64| {
        layouts.update(|all| by(&mut all[unit.get_untracked() as usize], value));
    };
    let first = layouts.with_untracked(|all| all[unit.get_untracked() as usize]);
    let laid_out = move |Layout { every, up_to }| Table::laid_out(every, up_to, unit.get_untracked());
    let table = RwSignal::new(kept.map_or_else(|| laid_out(first), |(table, _)| table));
    let emptied = RwSignal::new(None::<Table>);
    let no_room = RwSignal::new(false);
    Effect::new(move |_| {
        let kept = table.with(|table| offset_kept::keep(table, unit.get()));
        no_room.set(!kept);
    });
    let filled = Signal::derive(move || table.with(|table| table.rows.iter().any(Row::is_typed)));
    let set_aside = RwSignal::new(offset_kept::set_aside());
    let numbers = Memo::new(move |_| table.with(|table| (0..table.rows.len()).collect::<Vec<_>>()));
    let trace = Memo::new(move |_| table.with(|table| table.trace(unit.get())));
    let trouble = RwSignal::new(None::<String>);
    let words = &words().offsets;
    let lay_out = move || {
        let Layout { every, up_to } = layout();
        table.update(|table| *table = table.laid_out_anew(every, up_to, unit.get_untracked()));
    };
    let empty = move || {
        emptied.set(Some(table.get_untracked()));
        table.set(laid_out(layout()));
    };
    let put_back = move || {
        if let Some(before) = emptied.try_update(Option::take).flatten() {
            table.set(before);
        }
    };
    let to_unit = move |to: Unit| {
        let from = unit.get_untracked();
        if from == to {
            return;
        }
        table.update(|table| table.with_units(from));
        unit.set(to);
        if table.with_untracked(|t| !t.rows.iter().any(Row::is_typed)) {
            lay_out();
        }
    };
    let save_set_aside = move || {
        let text = set_aside.get_untracked().unwrap_or_default();
        save_bytes(&file_name(&[words.set_aside_file], "txt"), "text/plain", text.as_bytes());
    };
    let forget_set_aside = move || {
        offset_kept::forget_set_aside();
        set_aside.set(None);
    };
    let save_sheet = move || {
        let rows: Vec<OffsetRow> = table.with_untracked(|table| {
            let row = |row: &Row| OffsetRow {
                what: if row.what == What::Place { String::new() } else { (words.what)(row.what as usize) },
                height: row.cells[0].clone(),
            };
            table.rows.iter().map(row).collect()
        });
        let unit = if unit.get_untracked() == Unit::Inches { words.inches } else { words.millimetres };
        let columns = [words.kind, words.height, words.left, words.right];
        let note = (words.sheet_note)(unit);
        let sheet = OffsetTable { title: words.sheet_words, note: &note, columns, rows: &rows };
        match offset_table(&sheet, &print, today()) {
            Ok(pdf) => save_bytes(&file_name(&[words.sheet_file], "pdf"), "application/pdf", &pdf),
            Err(error) => trouble.set(Some(error.to_string())),
        }
    };
    let row = Arc::new(move |row: usize| view! { <OneRow table row unit body=length /> }.into_any());
    let take = move || hand_over::take(&trace.get_untracked(), None);
    let count = Memo::new(move |_| trace.with(|trace| trace.points.len()));
    let in_inches = Signal::derive(move || unit.get() == Unit::Inches);
    let in_mm = Signal::derive(move || unit.get() == Unit::Millimetres);
    let every = Signal::derive(move || layout().every);
    let up_to = Signal::derive(move || layout().up_to);
    let set_every = move |value| change(|layout, value| layout.every = value, value);
    let set_up_to = move |value| change(|layout, value| layout.up_to = value, value);
    view! {
        <div class="sheet-bench offsets">
            <div class="panel">
                <When holds=Signal::derive(move || set_aside.with(Option::is_some))>
                    <p class="trouble" data-test="offsets-set-aside">{words.set_aside}</p>
                    <div class="actions">
                        {press("offsets-set-aside-save", words.save_set_aside, save_set_aside).view()}
                        {press("offsets-set-aside-forget", words.forget_set_aside, forget_set_aside).view()}
                    </div>
                </When>
                <p class="lead">{words.lead}</p>
                <Choice
                    legend=words.unit
                    test="offsets-unit"
                    options=vec![("mm", words.millimetres), ("inches", words.inches)]
                    chosen=Signal::derive(move || Some(unit.get() as usize))
                    on_change=Callback::new(move |k: usize| to_unit(if k == 1 { Unit::Inches } else { Unit::Millimetres }))
                />
                <When holds=in_mm>
                    <div class="pair">
                        <NumberField label=words.every unit="mm" test="offsets-every" value=every within=EVERY on_change=set_every />
                        <NumberField label=words.up_to unit="mm" test="offsets-up-to" value=up_to within=UP_TO on_change=set_up_to />
                    </div>
                </When>
                <When holds=in_inches>
                    <div class="pair">
                        <NumberField label=words.every unit="in" test="offsets-every-inches" value=every within=EVERY_INCHES on_change=set_every />
                        <NumberField label=words.up_to unit="in" test="offsets-up-to-inches" value=up_to within=UP_TO_INCHES on_change=set_up_to />
                    </div>
                </When>
                <div class="actions">
                    {press("offsets-lay-out", words.lay_out, lay_out).view()}
                    {press("offsets-sheet", words.sheet, save_sheet).view()}
                    <When holds=filled>{press("offsets-empty", words.empty, empty).view()}</When>
                    <When holds=Signal::derive(move || !filled.get() && emptied.with(Option::is_some))>
                        {press("offsets-put-back", words.put_back, put_back).view()}
                    </When>
                </div>
                <p class="note" data-test="offsets-no-room" aria-live="polite">
                    {move || if no_room.get() { words.no_room } else { "" }}
                </p>
                <p class="trouble" data-test="error-offsets" aria-live="polite">{trouble}</p>
                <table class="figures entry" data-test="offsets-table">
                    <thead>
                        <tr>
                            <th scope="col">{words.kind}</th>
                            <th scope="col">{move || (words.in_unit)(words.height, in_inches.get())}</th>
                            <th scope="col">{words.left}</th>
                            <th scope="col">{words.right}</th>
                        </tr>
                    </thead>
                    <tbody>
                        <Rows numbers make=row />
                    </tbody>
                </table>
                {press("offsets-add", words.add_hook, move || table.update(|t| t.rows.push(Row::of(What::Hook)))).view()}
                <When holds=Signal::derive(move || count.get() < FEWEST)>
                    <p class="note">{words.too_few}</p>
                </When>
                {press("offsets-take", "", take)
                    .labelled(Signal::derive(move || (words.take)(count.get())))
                    .class("chief")
                    .disabled(Signal::derive(move || count.get() < FEWEST))
                    .view()}
            </div>
            <svg class="picture" role="img" aria-label=words.drawing viewBox=format!("{} {} {} {}", -0.34 * length, -1.05 * length, 0.68 * length, 1.1 * length)>
                <path class="centreline" d=format!("M0 0V{}", -length) />
                <path class="dots" data-test="offsets-dots" d=move || {
                    let mut d = String::new();
                    trace.with(|t| t.points.iter().for_each(|p| {
                        let _ = write!(d, "M{:.2} {:.2}h0", p.at.x, -p.at.y);
                    }));
                    d
                } />
            </svg>
        </div>
    }
}

#[component]
fn OneRow(table: RwSignal<Table>, row: usize, unit: RwSignal<Unit>, body: f64) -> impl IntoView {
    let words = &words().offsets;
    let cell = move |column: Column| {
        let text = Memo::new(move |_| {
            table.with(|t| t.rows.get(row).map_or(String::new(), |r| r.cells[column as usize].clone()))
        });
        let trouble = Memo::new(move |_| table.with(|t| t.trouble(row, column, unit.get(), body)));
        let label = match column {
            Column::Height => words.height,
            Column::Left => words.left,
            Column::Right => words.right,
        };
        view! {
            <td>
                <input
                    type="text"
                    inputmode=move || if unit.get() == Unit::Inches { "text" } else { "decimal" }
                    autocomplete="off"
                    class="number"
                    id=id(row, column)
                    data-test=id(row, column)
                    aria-label=label
                    aria-invalid=move || trouble.get().is_some().to_string()
                    prop:value=text
                    on:input=move |event| {
                        let typed = event_target_value(&event);
                        table.update(|t| if let Some(r) = t.rows.get_mut(row) {
                            r.cells[column as usize] = typed;
                            r.own_height |= column == Column::Height;
                        });
                    }
                    on:keydown=move |event| step(&event, row, column)
                />
                <p class="trouble" data-test=format!("error-{}", id(row, column)) aria-live="polite">{trouble}</p>
            </td>
        }
    };
    let what = Memo::new(move |_| table.with(|t| t.rows.get(row).map_or(What::Place, |r| r.what)));
    let options = What::ALL
        .map(|option| {
            view! {
                <option value=(option as usize).to_string() prop:selected=move || what.get() == option>
                    {(words.what)(option as usize)}
                </option>
            }
        })
        .collect_view();
    let uneven = move || {
        let off = table.with(|t| t.uneven(row, unit.get()));
        off.map(|mm| (words.uneven)(&figure(mm, 1)))
    };
    view! {
        <tr class:named=move || what.get() != What::Place>
            <td>
                <select
                    aria-label=words.kind
                    data-test=format!("offset-{row}-what")
                    on:change=move |event| {
                        let chosen = event_target_value(&event);
                        let chosen = What::ALL.into_iter().find(|what| (*what as usize).to_string() == chosen);
                        table.update(|t| if let (Some(r), Some(what)) = (t.rows.get_mut(row), chosen) { r.what = what });
                    }
                >
                    {options}
                </select>
            </td>
            {Column::ALL.map(cell).into_iter().collect_view()}
        </tr>
        <tr class="remark"><td colspan="4">{uneven}</td></tr>
    }
}

fn id(row: usize, column: Column) -> String {
    format!("offset-{row}-{}", column.key())
}

/// Enter and the arrows go down and up the column.
fn step(event: &web_sys::KeyboardEvent, row: usize, column: Column) {
    let to = match event.key().as_str() {
        "Enter" | "ArrowDown" => row + 1,
        "ArrowUp" if row > 0 => row - 1,
        _ => return,
    };
    event.prevent_default();
    let next = document().get_element_by_id(&id(to, column));
    if let Some(input) = next.and_then(|e| e.dyn_into::<web_sys::HtmlInputElement>().ok()) {
        let _ = input.focus();
        input.select();
    }
}
