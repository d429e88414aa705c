//! Offsets from the centreline: a table made for callipers and square.

use super::hand_over;
use super::length::{Unit, read_length};
use crate::controls::{Choice, NumberField, Rows, When, press};
use crate::number::{Within, entered, figure};
use crate::storage::files::{file_name, save};
use crate::words::capture::words;
use kurbo::Point;
use leptos::prelude::*;
use ribline_geometry::capture::offset_sheet;
use ribline_geometry::outline::Side;
use ribline_geometry::project::Project;
use ribline_geometry::recipe::Dimension;
use ribline_geometry::trace::{HowTaken, Pins, Trace, TracedPoint};
use std::fmt::Write;
use std::sync::Arc;
use wasm_bindgen::JsCast;

const EVERY: Within = Within::new(2.0, 50.0);
const UP_TO: Within = Within::new(50.0, 1200.0);
/// No plate reaches further from its centreline, mm.
const FAR: f64 = 400.0;
/// A place that stands out from both its neighbours by more is mis-measured, mm.
const SPIKE: f64 = 12.0;
/// Sides that differ by more are remarked on, mm: ribs come off the mould uneven, but not by that.
const UNEVEN: f64 = 4.0;
const FEWEST: usize = 12;
/// Rows for corners and hooks that are there to begin with.
const SPARE: usize = 4;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    Height,
    Left,
    Right,
}

impl Column {
    const ALL: [Column; 3] = [Column::Height, Column::Left, Column::Right];

    fn key(self) -> &'static str {
        match self {
            Column::Height => "height",
            Column::Left => "left",
            Column::Right => "right",
        }
    }
}

#[derive(Debug, Clone, PartialEq, Default)]
struct Row {
    /// As typed: height, left, right.
    cells: [String; 3],
}

#[derive(Debug, Clone, PartialEq, Default)]
struct Table {
    rows: Vec<Row>,
}

impl Table {
    fn laid_out(every: f64, up_to: f64) -> Table {
        let steps = (up_to / every).floor() as usize;
        let row = |k: usize| Row { cells: [entered(k as f64 * every, 1), String::new(), String::new()] };
        let spare = std::iter::repeat_with(Row::default).take(SPARE);
        Table { rows: (1..=steps).map(row).chain(spare).collect() }
    }

    fn mm(&self, row: usize, column: Column, unit: Unit) -> Option<f64> {
        // Heights are laid out in mm; what is typed over them is in the unit chosen, if it says so.
        let unit = if column == Column::Height { Unit::Millimetres } else { unit };
        read_length(&self.rows.get(row)?.cells[column as usize], unit)
    }

    /// What is wrong with a cell, and what is to be remarked.
    fn trouble(&self, row: usize, column: Column, unit: Unit) -> Option<String> {
        let words = &words().offsets;
        let cell = &self.rows.get(row)?.cells[column as usize];
        if cell.trim().is_empty() {
            return None;
        }
        let Some(mm) = self.mm(row, column, unit) else { return Some(words.not_a_number.to_owned()) };
        if column == Column::Height {
            return (mm.abs() > UP_TO.most).then(|| words.too_far.to_owned());
        }
        if mm < 0.0 {
            return Some(words.negative.to_owned());
        }
        if mm > FAR {
            return Some(words.too_far.to_owned());
        }
        let before = row.checked_sub(1).and_then(|row| self.mm(row, column, unit));
        let after = self.mm(row + 1, column, unit);
        if let (Some(before), Some(after)) = (before, after) {
            let (a, b) = (mm - before, mm - after);
            if a * b > 0.0 && a.abs().min(b.abs()) > SPIKE {
                return Some(words.jumps.to_owned());
            }
        }
        None
    }

    fn uneven(&self, row: usize, unit: Unit) -> Option<f64> {
        let off = self.mm(row, Column::Left, unit)? - self.mm(row, Column::Right, unit)?;
        (off.abs() > UNEVEN).then_some(off.abs())
    }

    /// The places that can be laid down.
    fn trace(&self, unit: Unit) -> Trace {
        let mut points = Vec::new();
        for row in 0..self.rows.len() {
            let Some(y) = self.mm(row, Column::Height, unit) else { continue };
            for (column, side) in [(Column::Left, Side::Left), (Column::Right, Side::Right)] {
                let Some(mm) = self.mm(row, column, unit) else { continue };
                if (0.0..=FAR).contains(&mm) && y.abs() <= UP_TO.most {
                    points.push(TracedPoint {
                        at: Point::new(side.sign() * mm, y),
                        run: None,
                        side: Some(side),
                        line: row + 1,
                        taken: HowTaken::Offset,
                    });
                }
            }
        }
        Trace { points, pins: Pins { lower: Some(Point::ORIGIN), upper: None } }
    }
}

#[component]
pub fn Offsets(project: Project) -> impl IntoView {
    let length = project.recipe.evaluate().map_or(355.0, |drawn| drawn.dimension(Dimension::BodyLength));
    let every = RwSignal::new(10.0);
    let up_to = RwSignal::new((length / 10.0).round() * 10.0);
    let unit = RwSignal::new(Unit::Millimetres);
    let table = RwSignal::new(Table::laid_out(every.get_untracked(), up_to.get_untracked()));
    let numbers = Memo::new(move |_| table.with(|table| (0..table.rows.len()).collect::<Vec<_>>()));
    let trace = Memo::new(move |_| table.with(|table| table.trace(unit.get())));
    let words = &words().offsets;
    let empty =
        move || table.with_untracked(|t| t.rows.iter().all(|r| r.cells[1..].iter().all(String::is_empty)));
    let lay_out = move || {
        let mut laid = Table::laid_out(every.get_untracked(), up_to.get_untracked());
        // Nothing that was typed is lost: rows with figures stay, before the new ones.
        if !empty() {
            let kept = table.with_untracked(|t| t.rows.clone());
            let figures = |row: &Row| row.cells[1..].iter().any(|cell| !cell.is_empty());
            laid.rows.retain(|row| !kept.iter().any(|old| figures(old) && old.cells[0] == row.cells[0]));
            laid.rows.splice(0..0, kept.into_iter().filter(figures));
        }
        table.set(laid);
    };
    let save_sheet = move || {
        let heights: Vec<String> =
            table.with_untracked(|t| t.rows.iter().map(|row| row.cells[0].clone()).collect());
        let sheet = offset_sheet(&heights, [words.height, words.left, words.right], words.sheet_words);
        save(&file_name(&[words.sheet_file], "svg"), "image/svg+xml", &sheet);
    };
    let row = Arc::new(move |row: usize| view! { <OneRow table row unit /> }.into_any());
    let take = move || hand_over::take(&trace.get_untracked(), None);
    let count = Memo::new(move |_| trace.with(|trace| trace.points.len()));
    view! {
        <div class="sheet-bench offsets">
            <div class="panel">
                <p class="lead">{words.lead}</p>
                <Choice
                    legend=words.unit
                    test="offsets-unit"
                    options=vec![("mm", words.millimetres), ("inches", words.inches)]
                    chosen=Signal::derive(move || Some(usize::from(unit.get() == Unit::Inches)))
                    on_change=Callback::new(move |k: usize| unit.set(if k == 1 { Unit::Inches } else { Unit::Millimetres }))
                />
                <div class="pair">
                    <NumberField label=words.every unit="mm" test="offsets-every" value=every within=EVERY on_change=move |mm| every.set(mm) />
                    <NumberField label=words.up_to unit="mm" test="offsets-up-to" value=up_to within=UP_TO on_change=move |mm| up_to.set(mm) />
                </div>
                <div class="actions">
                    {press("offsets-lay-out", words.lay_out, lay_out).view()}
                    {press("offsets-sheet", words.sheet, save_sheet).view()}
                </div>
                <table class="figures entry" data-test="offsets-table">
                    <thead>
                        <tr>
                            <th scope="col">{words.height}" mm"</th>
                            <th scope="col">{words.left}</th>
                            <th scope="col">{words.right}</th>
                        </tr>
                    </thead>
                    <tbody>
                        <Rows numbers make=row />
                    </tbody>
                </table>
                {press("offsets-add", words.add_hook, move || table.update(|t| t.rows.push(Row::default()))).view()}
                <When holds=Signal::derive(move || count.get() < FEWEST)>
                    <p class="note">{words.too_few}</p>
                </When>
                {press("offsets-take", "", take)
                    .labelled(Signal::derive(move || (words.take)(count.get())))
                    .class("chief")
                    .disabled(Signal::derive(move || count.get() < FEWEST))
                    .view()}
            </div>
            <svg class="picture" role="img" aria-label=words.drawing viewBox=move || {
                let top = up_to.get();
                format!("{} {} {} {}", -0.34 * top, -1.05 * top, 0.68 * top, 1.1 * top)
            }>
                <path class="centreline" d=move || format!("M0 0V{}", -up_to.get()) />
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
fn OneRow(table: RwSignal<Table>, row: usize, unit: RwSignal<Unit>) -> impl IntoView {
    let words = &words().offsets;
    let cell = move |column: Column| {
        let text = Memo::new(move |_| {
            table.with(|t| t.rows.get(row).map_or(String::new(), |r| r.cells[column as usize].clone()))
        });
        let trouble = Memo::new(move |_| table.with(|t| t.trouble(row, column, unit.get())));
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
                        table.update(|t| if let Some(r) = t.rows.get_mut(row) { r.cells[column as usize] = typed });
                    }
                    on:keydown=move |event| step(&event, row, column)
                />
                <p class="trouble" data-test=format!("error-{}", id(row, column)) aria-live="polite">{trouble}</p>
            </td>
        }
    };
    let uneven = move || {
        let off = table.with(|t| t.uneven(row, unit.get()));
        off.map(|mm| (words.uneven)(&figure(mm, 1)))
    };
    view! {
        <tr>{Column::ALL.map(cell).into_iter().collect_view()}</tr>
        <tr class="remark"><td colspan="3">{uneven}</td></tr>
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
