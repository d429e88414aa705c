use super::letter::letter;
use super::room::{Room, use_room};
use crate::controls::press;
use crate::number::figure;
use crate::storage::files::{file_name, save};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::class::{Figure, Key, Line, Unit};

/// How many of the most different figures stand beside the drawing.
const FEW: usize = 8;

/// In a few lines: by what the class differs most, and between whom.
#[component]
pub fn MostDifferent() -> impl IntoView {
    let room = use_room();
    let rows = move || {
        let places = places(room);
        room.table().iter().take(FEW).map(|line| brief(line, &places)).collect_view()
    };
    let words = words().class();
    view! {
        <section>
            <h2>{words.most_different}</h2>
            <div class="wide-table">
                <table class="figures" data-test="class-most-different">
                    <thead>
                        <tr>
                            <th scope="col">{words.figure}</th>
                            <th scope="col" class="number">{words.apart}</th>
                            <th scope="col" class="number">{words.from}</th>
                            <th scope="col" class="number">{words.to}</th>
                        </tr>
                    </thead>
                    <tbody>{rows}</tbody>
                </table>
            </div>
            <p class="note">{words.order_note}</p>
        </section>
    }
}

fn brief(line: &Line, places: &[usize]) -> AnyView {
    let mut found: Vec<(usize, &Figure)> =
        places.iter().copied().zip(&line.of).filter_map(|(place, of)| Some((place, of.as_ref()?))).collect();
    ribline_geometry::order::sort_by_value(&mut found, |(_, figure)| figure.value);
    let end = |at: Option<&(usize, &Figure)>| {
        at.map(|(place, figure)| format!("{} {}", letter(*place), said(&line.key, figure)))
            .unwrap_or_default()
    };
    let (least, most) = (end(found.first()), end(found.last()));
    view! {
        <tr>
            <th scope="row">{(words().class().key)(&line.key)}</th>
            <td class="number nowrap">{spread(line)}</td>
            <td class="number nowrap">{least}</td>
            <td class="number nowrap">{most}</td>
        </tr>
    }
    .into_any()
}

/// Every figure of every result.
#[component]
pub fn Differences() -> impl IntoView {
    let room = use_room();
    let heads = move || {
        room.with_good(|good| {
            good.iter()
                .map(|(place, brought, _)| {
                    let number = brought.number;
                    view! {
                        <th
                            scope="col"
                            class="number"
                            class:pointed=move || room.pointed.get() == Some(number)
                            title=brought.name.clone()
                        >
                            <b>{letter(*place)}</b>
                            <span>{brought.name.clone()}</span>
                        </th>
                    }
                    .into_any()
                })
                .collect_view()
        })
    };
    let rows = move || room.table().iter().map(full).collect_view();
    let take_away = move || {
        let name = file_name(&[words().class().file], "csv");
        save(&name, "text/csv", &untrack(|| csv(room)));
    };
    let words = words().class();
    view! {
        <div class="class-table" tabindex="0" role="region" aria-label=words.table>
            <table class="figures" data-test="class-table">
                <thead>
                    <tr>
                        <th scope="col">{words.figure}</th>
                        <th scope="col" class="number">{words.apart}</th>
                        {heads}
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
        <div class="actions class-note">
            {press("class-save", words.save, take_away).view()}
            <p class="note">{words.order_note}</p>
        </div>
    }
    .into_any()
}

fn full(line: &Line) -> AnyView {
    let cells = line
        .of
        .iter()
        .map(|of| {
            let text = of.as_ref().map_or("\u{2013}".to_owned(), |figure| said(&line.key, figure));
            view! { <td class="number nowrap">{text}</td> }.into_any()
        })
        .collect_view();
    view! {
        <tr data-test="class-table-row">
            <th scope="row">{(words().class().key)(&line.key)}</th>
            <td class="number nowrap"><b>{spread(line)}</b></td>
            {cells}
        </tr>
    }
    .into_any()
}

fn places(room: Room) -> Vec<usize> {
    room.with_good(|good| good.iter().map(|(place, _, _)| *place).collect())
}

fn said(key: &Key, of: &Figure) -> String {
    let ratio = of.ratio.as_deref();
    match (key.unit(), ratio) {
        (Unit::Ratio, Some(ratio)) => ratio.to_owned(),
        (Unit::Radians, _) => (words().class().degrees)(&figure(of.value.to_degrees(), 1)),
        (_, Some(ratio)) => format!("{} ({ratio})", amount(key, of.value)),
        (_, None) => amount(key, of.value),
    }
}

/// Overhangs and corners to what a caliper reads, the rest to what a rule does.
fn amount(key: &Key, value: f64) -> String {
    match key {
        Key::Overhang(_) | Key::Sides(_) => figure(value, 2),
        _ => figure(value, 1),
    }
}

fn spread(line: &Line) -> String {
    let Some(spread) = line.spread else { return "\u{2013}".to_owned() };
    match line.key.unit() {
        Unit::Radians => (words().class().degrees)(&figure(spread.to_degrees(), 1)),
        Unit::Ratio => figure(spread, 3),
        Unit::Mm => amount(&line.key, spread),
    }
}

/// The whole table, as a file for a spreadsheet (RFC 4180).
fn csv(room: Room) -> String {
    let quoted = |text: &str| format!("\"{}\"", text.replace('"', "\"\""));
    let mut rows = vec![room.with_good(|good| {
        let names = good.iter().map(|(_, brought, _)| quoted(&brought.name));
        let heads =
            [quoted(words().class().figure), quoted(words().class().unit), quoted(words().class().apart)];
        heads.into_iter().chain(names).collect::<Vec<_>>().join(",")
    })];
    for line in room.table() {
        let (unit, scale) = match line.key.unit() {
            Unit::Mm => ("mm", 1.0),
            Unit::Radians => ("\u{b0}", 1f64.to_degrees()),
            Unit::Ratio => ("", 1.0),
        };
        let number =
            |value: Option<f64>| value.map_or(String::new(), |value| format!("{:.4}", value * scale));
        let cells = line.of.iter().map(|of| match (of, line.key.unit()) {
            (Some(of), Unit::Ratio) => quoted(of.ratio.as_deref().unwrap_or_default()),
            (of, _) => number(of.as_ref().map(|of| of.value)),
        });
        let heads = [quoted(&(words().class().key)(&line.key)), quoted(unit), number(line.spread)];
        rows.push(heads.into_iter().chain(cells).collect::<Vec<_>>().join(","));
    }
    rows.join("\r\n") + "\r\n"
}
