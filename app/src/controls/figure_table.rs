use super::rows::Rows;
use crate::showing::{Thing, use_showing};
use leptos::prelude::*;
use std::sync::Arc;

/// A column after the first, which has the rows' names.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    pub title: &'static str,
    /// Figures stand to the right, words to the left.
    pub figures: bool,
}

impl Column {
    pub fn figures(title: &'static str) -> Self {
        Column { title, figures: true }
    }

    pub fn words(title: &'static str) -> Self {
        Column { title, figures: false }
    }
}

/// A heading over several columns: how many stand before it, how many it is over.
#[derive(Debug, Clone, Copy)]
pub struct Over {
    pub title: &'static str,
    pub before: usize,
    pub columns: usize,
    pub after: usize,
}

#[derive(Debug, Clone, PartialEq, Default)]
pub struct Row {
    /// Its name for tests.
    pub test: String,
    pub name: String,
    /// What it tells of in the drawing: each is marked while the other is pointed at.
    pub thing: Option<Thing>,
    pub second_ink: bool,
    pub cells: Vec<String>,
}

/// A table of figures that follow from the result.
#[component]
pub fn FigureTable(
    test: &'static str,
    name_title: &'static str,
    columns: Vec<Column>,
    #[prop(optional)] over: Option<Over>,
    #[prop(into)] rows: Signal<Vec<Row>>,
) -> impl IntoView {
    let heads = columns
        .iter()
        .map(|column| {
            let class = if column.figures { "number" } else { "" };
            view! { <th scope="col" class=class>{column.title}</th> }
        })
        .collect_view();
    let over = over.map(|over| {
        view! {
            <tr>
                <td class="over" colspan=over.before.to_string()></td>
                <th class="over" scope="colgroup" colspan=over.columns.to_string()>{over.title}</th>
                <td class="over" colspan=over.after.to_string()></td>
            </tr>
        }
    });
    let columns = StoredValue::new(columns);
    let numbers = Memo::new(move |_| (0..rows.with(Vec::len)).collect::<Vec<_>>());
    let make = Arc::new(move |number: usize| {
        let row = Memo::new(move |_| rows.with(|rows| rows.get(number).cloned().unwrap_or_default()));
        view! { <FigureRow row columns /> }.into_any()
    });
    view! {
        <div class="wide-table">
            <table class="figures" data-test=test>
                <thead>
                    {over}
                    <tr>
                        <th scope="col">{name_title}</th>
                        {heads}
                    </tr>
                </thead>
                <tbody>
                    <Rows numbers make />
                </tbody>
            </table>
        </div>
    }
}

#[component]
fn FigureRow(row: Memo<Row>, columns: StoredValue<Vec<Column>>) -> impl IntoView {
    let showing = use_showing();
    let thing = move || row.with_untracked(|row| row.thing);
    let pick = move || {
        if let Some(thing) = thing() {
            showing.pick(Some(thing));
        }
    };
    let name = move || row.with(|row| row.name.clone());
    // A name that can be pointed at is a button, so that it can be reached with the keyboard.
    let head = if thing().is_some() {
        view! {
            <button
                type="button"
                class="row-name"
                class:second-ink=move || row.with(|row| row.second_ink)
                on:click=move |_| pick()
                on:focus=move |_| pick()
            >
                {move || name()}
            </button>
        }
        .into_any()
    } else {
        view! { <span>{move || name()}</span> }.into_any()
    };
    let cells = move || {
        let cells = row.with(|row| row.cells.clone());
        let figures = columns.with_value(|columns| columns.iter().map(|c| c.figures).collect::<Vec<_>>());
        cells
            .into_iter()
            .zip(figures)
            .map(|(cell, figures)| {
                let class = if figures { "number nowrap" } else { "nowrap" };
                view! { <td class=class>{cell}</td> }
            })
            .collect_view()
    };
    view! {
        <tr
            class:pointed=move || row.with(|row| row.thing).is_some_and(|thing| showing.pointed() == Some(thing))
            data-test=move || row.with(|row| row.test.clone())
            on:pointerenter=move |_| {
                if let Some(thing) = thing() {
                    showing.hover(thing);
                }
            }
            on:pointerleave=move |_| {
                if let Some(thing) = thing() {
                    showing.leave(thing);
                }
            }
        >
            <th scope="row">{head}</th>
            {move || cells()}
        </tr>
    }
}
