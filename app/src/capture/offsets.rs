//! Offsets from the centreline: a table made for callipers and square.

use super::hand_over;
use super::length::{Unit, read_length, written_inches};
use super::offset_kept;
use super::offset_rows::{Column, Row, Table, UP_TO, What, said_of};
use super::offset_steps::Entry;
use crate::controls::{Choice, Rows, When, press};
use crate::number::{MM_PER_INCH, Within, entered, figure};
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

/// What the two settings of the rows may be, in each unit as [`Unit`] has them.
const EVERY: [Within; 2] = [Within::new(2.0, 50.0), Within::new(0.125, 2.0)];
const HIGHEST: [Within; 2] = [UP_TO, Within::new(2.0, 47.0)];
const FEWEST: usize = 12;
/// Refused figures that are named.
const NAMED: usize = 6;

/// How the rows are laid out in one of the units, as typed.
#[derive(Debug, Clone, PartialEq)]
struct Layout {
    every: String,
    up_to: String,
}

#[component]
pub fn Offsets(project: Project) -> impl IntoView {
    let length = project.recipe.evaluate().map_or(355.0, |drawn| drawn.dimension(Dimension::BodyLength));
    let print = project.bench_wish().print;
    let layouts = RwSignal::new([
        Layout { every: entered(10.0, 0), up_to: entered((length / 10.0).round() * 10.0, 0) },
        Layout {
            every: written_inches(0.5),
            up_to: written_inches((length / MM_PER_INCH * 2.0).round() / 2.0),
        },
    ]);
    // `None` while one of the settings is refused.
    let laid_out = move |unit: Unit| {
        layouts.with_untracked(|all| {
            let Layout { every, up_to } = &all[unit as usize];
            let every = setting(every, unit, EVERY).ok()?;
            let up_to = setting(up_to, unit, HIGHEST).ok()?;
            Some((every, up_to))
        })
    };
    let rows_of = move |unit| {
        laid_out(unit).map_or_else(Table::default, |(every, up_to)| Table::laid_out(every, up_to, unit))
    };
    let kept = offset_kept::find();
    let entry = {
        let unit = kept.as_ref().map_or(Unit::Millimetres, |(_, unit)| *unit);
        Entry::new(kept.map_or_else(|| rows_of(unit), |(table, _)| table), unit)
    };
    let Entry { table, unit, .. } = entry;
    let no_room = RwSignal::new(false);
    Effect::new(move |_| {
        let kept = table.with(|table| offset_kept::keep(table, unit.get()));
        no_room.set(!kept);
    });
    let filled = Signal::derive(move || table.with(|table| table.rows.iter().any(Row::is_typed)));
    let set_aside = RwSignal::new(offset_kept::set_aside());
    let numbers = Memo::new(move |_| table.with(|table| (0..table.rows.len()).collect::<Vec<_>>()));
    let trace = Memo::new(move |_| table.with(|table| table.trace(unit.get())));
    let refused = Memo::new(move |_| table.with(|table| table.refused(unit.get())));
    let trouble = RwSignal::new(None::<String>);
    let words = &words().offsets;
    let lay_out = move |anew: fn(&Table, f64, f64, Unit) -> Table| {
        let unit = unit.get_untracked();
        match laid_out(unit) {
            Some((every, up_to)) => {
                trouble.set(None);
                entry.change(table.with_untracked(|table| anew(table, every, up_to, unit)), unit);
            }
            None => trouble.set(Some(words.not_laid_out.to_owned())),
        }
    };
    let lay_out_anew = move || lay_out(Table::laid_out_anew);
    let empty = move || lay_out(|_, every, up_to, unit| Table::laid_out(every, up_to, unit));
    let to_unit = move |to: Unit| {
        let from = unit.get_untracked();
        if from == to {
            return;
        }
        trouble.set(None);
        let mut table = table.get_untracked();
        table.with_units(from);
        if let (Some((every, up_to)), false) = (laid_out(to), table.rows.iter().any(Row::is_typed)) {
            table = table.laid_out_anew(every, up_to, to);
        }
        entry.change(table, to);
    };
    let keys = window_event_listener(leptos::ev::keydown, move |event| {
        // The settings are no part of the table: what is typed there the browser takes back.
        let target = event.target().and_then(|target| target.dyn_into::<web_sys::Element>().ok());
        let in_setting = target.is_some_and(|element| element.matches("input:not(.number)").unwrap_or(false));
        if !(event.ctrl_key() || event.meta_key()) || event.alt_key() || in_setting {
            return;
        }
        match (event.key().to_ascii_lowercase().as_str(), event.shift_key()) {
            ("z", false) => entry.take_back(),
            ("z", true) | ("y", false) => entry.do_again(),
            _ => return,
        }
        event.prevent_default();
    });
    on_cleanup(move || keys.remove());
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
        let (title, of_plate) = (words.sheet_words, words.sheet_plate);
        let sheet = OffsetTable { title, note: &note, of_plate, columns, rows: &rows };
        match offset_table(&sheet, &print, today()) {
            Ok(pdf) => save_bytes(&file_name(&[words.sheet_file], "pdf"), "application/pdf", &pdf),
            Err(error) => trouble.set(Some(error.to_string())),
        }
    };
    let row = Arc::new(move |row: usize| view! { <OneRow entry row body=length /> }.into_any());
    let take = move || hand_over::take(&trace.get_untracked(), None);
    let count = Memo::new(move |_| trace.with(|trace| trace.points.len()));
    let in_inches = Signal::derive(move || unit.get() == Unit::Inches);
    let in_mm = Signal::derive(move || unit.get() == Unit::Millimetres);
    let named_refused = move || {
        let refused = refused.get();
        let named = table.with(|table| {
            let name = |(row, column): &(usize, Column)| {
                let this = &table.rows[*row];
                (words.place)(this.what as usize, &this.cells[0], row + 1, column.word())
            };
            refused
                .iter()
                .take(NAMED)
                .filter(|(row, _)| *row < table.rows.len())
                .map(name)
                .collect::<Vec<_>>()
        });
        (!refused.is_empty()).then(|| (words.refused)(refused.len(), &named))
    };
    let to_refused = move || {
        if let Some((row, column)) = refused.with_untracked(|refused| refused.first().copied()) {
            go_to(row, column);
        }
    };
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
                        <Setting of=Unit::Millimetres label=words.every test="offsets-every" within=EVERY layouts place=|layout| &mut layout.every />
                        <Setting of=Unit::Millimetres label=words.up_to test="offsets-up-to" within=HIGHEST layouts place=|layout| &mut layout.up_to />
                    </div>
                </When>
                <When holds=in_inches>
                    <div class="pair">
                        <Setting of=Unit::Inches label=words.every test="offsets-every-inches" within=EVERY layouts place=|layout| &mut layout.every />
                        <Setting of=Unit::Inches label=words.up_to test="offsets-up-to-inches" within=HIGHEST layouts place=|layout| &mut layout.up_to />
                    </div>
                </When>
                <div class="actions">
                    {press("offsets-lay-out", words.lay_out, lay_out_anew).view()}
                    {press("offsets-sheet", words.sheet, save_sheet).view()}
                    {press("offsets-empty", words.empty, empty).disabled(Signal::derive(move || !filled.get())).view()}
                    {press("offsets-take-back", words.take_back, move || entry.take_back()).disabled(entry.none_back()).view()}
                    {press("offsets-do-again", words.do_again, move || entry.do_again()).disabled(entry.none_again()).view()}
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
                {press("offsets-add", words.add_hook, move || entry.add(Row::of(What::Hook))).view()}
                <When holds=Signal::derive(move || count.get() < FEWEST)>
                    <p class="note">{words.too_few}</p>
                </When>
                <p class="trouble" data-test="offsets-refused">{named_refused}</p>
                <When holds=Signal::derive(move || refused.with(|refused| !refused.is_empty()))>
                    <div class="actions">{press("offsets-to-refused", words.to_refused, to_refused).view()}</div>
                </When>
                {press("offsets-take", "", take)
                    .labelled(Signal::derive(move || (words.take)(count.get(), refused.with(Vec::len))))
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

/// One of the settings of the rows, read as the figures in them are.
fn setting(text: &str, unit: Unit, within: [Within; 2]) -> Result<f64, String> {
    let words = &crate::words::words().number;
    if text.trim().is_empty() {
        return Err(words.empty.to_owned());
    }
    let mm = read_length(text, unit).map_err(said_of)?;
    let Within { least, most } = within[unit as usize];
    let (value, name) = match unit {
        Unit::Millimetres => (mm, "mm"),
        Unit::Inches => (mm / MM_PER_INCH, "in"),
    };
    if (least..=most).contains(&value) {
        return Ok(value);
    }
    let written = |value: f64| if unit == Unit::Inches { written_inches(value) } else { entered(value, 0) };
    Err((words.outside)(&written(least), &written(most), name))
}

#[component]
fn Setting(
    of: Unit,
    label: &'static str,
    test: &'static str,
    within: [Within; 2],
    layouts: RwSignal<[Layout; 2]>,
    place: fn(&mut Layout) -> &mut String,
) -> impl IntoView {
    let text = Memo::new(move |_| {
        let mut layout = layouts.with(|all| all[of as usize].clone());
        std::mem::take(place(&mut layout))
    });
    let trouble = Memo::new(move |_| text.with(|text| setting(text, of, within).err()));
    let (id, error_id) = (format!("field-{test}"), format!("error-{test}"));
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <span class="with-unit">
                <input
                    type="text"
                    inputmode=inputmode(of)
                    autocomplete="off"
                    id=id.clone()
                    data-test=id
                    aria-invalid=move || trouble.with(Option::is_some).to_string()
                    aria-describedby=error_id.clone()
                    prop:value=text
                    on:input=move |event| layouts.update(|all| *place(&mut all[of as usize]) = event_target_value(&event))
                />
                <span class="unit">{if of == Unit::Inches { "in" } else { "mm" }}</span>
            </span>
            <p class="trouble" id=error_id.clone() data-test=error_id aria-live="polite">{trouble}</p>
        </div>
    }
}

/// Fractions are on no keyboard of digits.
fn inputmode(unit: Unit) -> &'static str {
    if unit == Unit::Inches { "text" } else { "decimal" }
}

#[component]
fn OneRow(entry: Entry, row: usize, body: f64) -> impl IntoView {
    let words = &words().offsets;
    let Entry { table, unit, .. } = entry;
    let trouble = Column::ALL
        .map(|column| Memo::new(move |_| table.with(|t| t.trouble(row, column, unit.get(), body))));
    let cell = move |column: Column| {
        let text = Memo::new(move |_| {
            table.with(|t| t.rows.get(row).map_or(String::new(), |r| r.cells[column as usize].clone()))
        });
        view! {
            <td>
                <input
                    type="text"
                    inputmode=move || inputmode(unit.get())
                    autocomplete="off"
                    class="number"
                    id=id(row, column)
                    data-test=id(row, column)
                    aria-label=column.word()
                    aria-invalid=move || trouble[column as usize].with(Option::is_some).to_string()
                    aria-describedby=error_id(row, column)
                    prop:value=text
                    on:input=move |event| entry.type_in(row, column, event_target_value(&event))
                    on:keydown=move |event| step(&event, row, column)
                />
            </td>
        }
    };
    // Of the width of the table: a sentence in a column of figures would be a word wide.
    let told = move |column: Column| {
        let told =
            move || trouble[column as usize].get().map(|trouble| (words.told)(column.word(), &trouble));
        view! {
            <p class="trouble" id=error_id(row, column) data-test=error_id(row, column) aria-live="polite">{told}</p>
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
                        if let Some(what) = chosen {
                            entry.choose(row, what);
                        }
                    }
                >
                    {options}
                </select>
            </td>
            {Column::ALL.map(cell).into_iter().collect_view()}
        </tr>
        <tr class="remark">
            <td colspan="4">
                {Column::ALL.map(told).into_iter().collect_view()}
                <p data-test=format!("uneven-{row}")>{uneven}</p>
            </td>
        </tr>
    }
}

fn id(row: usize, column: Column) -> String {
    format!("offset-{row}-{}", column.key())
}

fn error_id(row: usize, column: Column) -> String {
    format!("error-{}", id(row, column))
}

/// Enter and the arrows go down and up the column.
fn step(event: &web_sys::KeyboardEvent, row: usize, column: Column) {
    let to = match event.key().as_str() {
        "Enter" | "ArrowDown" => row + 1,
        "ArrowUp" if row > 0 => row - 1,
        _ => return,
    };
    event.prevent_default();
    go_to(to, column);
}

fn go_to(row: usize, column: Column) {
    let cell = document().get_element_by_id(&id(row, column));
    if let Some(input) = cell.and_then(|e| e.dyn_into::<web_sys::HtmlInputElement>().ok()) {
        let _ = input.focus();
        input.select();
    }
}
