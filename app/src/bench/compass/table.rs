use super::Sheet;
use crate::controls::{Column, FigureTable, MakeRow, Row, Rows};
use crate::number::{MM_PER_INCH, figure};
use crate::showing::{ArcName, Thing, use_showing};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::bench::compass_sheet::{CompassSheet, Strike};
use std::sync::Arc;

/// One arc to strike, as it is read: figures in a line, the rest below it.
#[derive(Debug, Clone, PartialEq)]
pub struct StrikeText {
    pub name: ArcName,
    pub number: String,
    pub arc: String,
    pub setting: String,
    pub inches: String,
    pub ratio: String,
    pub up: String,
    pub across: String,
    /// Up and across.
    pub begins: [String; 2],
    pub ends: [String; 2],
    pub checks: Vec<String>,
    pub set_as: Option<String>,
    pub off_board: Option<String>,
    pub off_board_short: Option<String>,
}

impl StrikeText {
    pub fn of(strike: &Strike, digits: usize) -> Self {
        let arc_name = words().readout.arc_name;
        let words = &words().bench().compass;
        let mm = |value: f64| figure(value, digits);
        let place = |at: kurbo::Point| [mm(at.y), mm(at.x)];
        let ratio = strike.reading.as_ref().map(|reading| {
            let ratio = reading.to_string();
            if reading.held { ratio } else { (words.near)(&ratio) }
        });
        let [up, across] = place(strike.centre);
        StrikeText {
            name: ArcName { run: strike.run, piece: strike.piece },
            number: strike.number.to_string(),
            arc: arc_name(&strike.name, strike.run.side),
            setting: mm(strike.setting),
            inches: figure(strike.setting / MM_PER_INCH, 3),
            ratio: ratio.unwrap_or_default(),
            up,
            across,
            begins: place(strike.begins),
            ends: place(strike.ends),
            checks: strike.checks.iter().map(|c| (words.check_from)(c.from, &mm(c.distance))).collect(),
            set_as: strike.set_as.map(words.set_as),
            off_board: strike.off_board.map(words.off_board),
            off_board_short: strike.off_board.map(words.off_board_short),
        }
    }

    pub fn all(sheet: &CompassSheet) -> Vec<StrikeText> {
        sheet.strikes.iter().map(|strike| StrikeText::of(strike, sheet.digits())).collect()
    }
}

/// The strikes in the order of the work; each lights its arc in the drawing, and is lit by it.
#[component]
pub fn StrikeTable(sheet: Sheet, inches: Memo<bool>) -> impl IntoView {
    let texts = Memo::new(move |_| {
        sheet.with(|sheet| sheet.as_ref().map(|sheet| StrikeText::all(sheet)).unwrap_or_default())
    });
    let numbers = Signal::derive(move || (0..texts.with(Vec::len)).collect());
    let make: MakeRow = Arc::new(move |place| {
        let text = Memo::new(move |_| texts.with(|texts| texts.get(place).cloned()));
        view! { <StrikeRow text inches /> }.into_any()
    });
    let words = &words().bench().compass;
    view! {
        <div class="wide-table">
            <table class="figures strikes" data-test="strike-table">
                <thead>
                    <tr>
                        <th scope="col">{words.number}</th>
                        <th scope="col" class="number">{words.setting}</th>
                        <th scope="col" class="number" class:hidden=move || !inches.get()>
                            {words.setting_inches}
                        </th>
                        <th scope="col">{words.ratio}</th>
                        <th scope="col" class="number">{words.up}</th>
                        <th scope="col" class="number">{words.across}</th>
                    </tr>
                </thead>
                <Rows numbers make />
            </table>
        </div>
    }
}

#[component]
fn StrikeRow(text: Memo<Option<StrikeText>>, inches: Memo<bool>) -> impl IntoView {
    let showing = use_showing();
    let thing = Memo::new(move |_| text.with(|text| text.as_ref().map(|text| Thing::Arc(text.name))));
    let of = move |what: fn(&StrikeText) -> String| {
        move || text.with(|text| text.as_ref().map(what).unwrap_or_default())
    };
    let pick = move || showing.pick(thing.get_untracked());
    view! {
        <tbody
            class="strike"
            class:pointed=move || thing.get().is_some_and(|thing| showing.pointed() == Some(thing))
            data-test="strike-row"
            on:pointerenter=move |_| {
                if let Some(thing) = thing.get_untracked() {
                    showing.hover(thing);
                }
            }
            on:pointerleave=move |_| {
                if let Some(thing) = thing.get_untracked() {
                    showing.leave(thing);
                }
            }
        >
            <tr>
                <th scope="row" rowspan="2">
                    <button
                        type="button"
                        class="row-name"
                        class:second-ink=move || {
                            text.with(|text| text.as_ref().is_some_and(|text| text.name.in_second_ink()))
                        }
                        on:click=move |_| pick()
                        on:focus=move |_| pick()
                    >
                        {of(|text| text.number.clone())}
                    </button>
                </th>
                <td class="number setting" data-test="strike-setting">{of(|text| text.setting.clone())}</td>
                <td class="number" class:hidden=move || !inches.get()>{of(|text| text.inches.clone())}</td>
                <td>{of(|text| text.ratio.clone())}</td>
                <td class="number">{of(|text| text.up.clone())}</td>
                <td class="number">{of(|text| text.across.clone())}</td>
            </tr>
            <tr class="beneath">
                <td colspan=move || if inches.get() { "5" } else { "4" }>
                    {of(beneath)} <strong>{of(|text| text.off_board.clone().unwrap_or_default())}</strong>
                </td>
            </tr>
        </tbody>
    }
}

/// Which arc it is, from where to where, and by what its centre is checked.
fn beneath(text: &StrikeText) -> String {
    let words = &words().bench().compass;
    let both = |pair: &'_ [String; 2]| [pair[0].clone(), pair[1].clone()];
    let (begins, ends) = (both(&text.begins), both(&text.ends));
    let struck = (words.struck)([&begins[0], &begins[1]], [&ends[0], &ends[1]]);
    let mut parts = vec![match &text.set_as {
        Some(set_as) => format!("{}, {set_as}.", text.arc),
        None => format!("{}.", text.arc),
    }];
    parts.push(struck);
    if !text.checks.is_empty() {
        parts.push((words.checks)(&text.checks));
    }
    parts.push(String::new());
    parts.join(" ")
}

/// The straight cuts of the corners.
#[component]
pub fn Cuts(sheet: Sheet) -> impl IntoView {
    let rows =
        Memo::new(move |_| sheet.with(|sheet| sheet.as_ref().map(|sheet| rows(sheet)).unwrap_or_default()));
    let words = &words().bench().compass;
    view! {
        <p class="note">{words.cuts}</p>
        <FigureTable
            test="cut-table"
            name_title=words.corner
            columns=vec![
                Column::figures(words.up),
                Column::figures(words.across),
                Column::figures(words.up),
                Column::figures(words.across),
                Column::figures(words.wide),
            ]
            rows
        />
    }
}

fn rows(sheet: &CompassSheet) -> Vec<Row> {
    let mm = |value: f64| figure(value, sheet.digits());
    let row = |cut: &ribline_geometry::bench::compass_sheet::CornerLine| Row {
        test: format!("cut-row-{}", cut.at),
        name: (words().corner_short)(cut.at),
        thing: Some(Thing::Corner(cut.at)),
        cells: vec![mm(cut.outer.y), mm(cut.outer.x), mm(cut.waist.y), mm(cut.waist.x), mm(cut.width)],
        ..Row::default()
    };
    sheet.cuts.iter().map(row).collect()
}
