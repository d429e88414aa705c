//! The compass sheet: on the screen beside the drawing, and on paper.

mod numbers;
mod paper;
mod picture;
mod table;

use super::field::field;
use crate::controls::{Choice, When, press};
use crate::number::{entered, figure};
use crate::storage::files::{file_name, save};
use crate::store::{BenchChange, Change, use_store};
use crate::words::words;
use leptos::prelude::*;
pub use numbers::{breadth, set_apart};
use paper::CompassPaper;
use ribline_geometry::bench::compass_sheet::{CompassSheet, compass_sheet};
use ribline_geometry::bench::setting::BenchSetting;
use ribline_geometry::bench::svg::face_in_words;
use ribline_geometry::reconcile::report::Reconciled;
use std::sync::Arc;
use table::StrikeTable;

/// What a compass can be set to, mm.
const STEPS: [f64; 4] = [0.1, 0.2, 0.5, 1.0];

/// The sheet for the present result and what is asked of it.
pub type Sheet = Memo<Option<Arc<CompassSheet>>>;

pub fn sheet_of(present: Memo<Option<Arc<Reconciled>>>) -> Sheet {
    let store = use_store();
    let asked = store.part(|project| (project.recipe.clone(), project.bench_wish().compass));
    Memo::new(move |_| {
        present.with(|present| {
            let result = present.as_ref()?;
            Some(asked.with(|(recipe, wish)| Arc::new(compass_sheet(recipe, result, wish))))
        })
    })
}

#[component]
pub fn CompassPanel(present: Memo<Option<Arc<Reconciled>>>) -> impl IntoView {
    let store = use_store();
    let sheet = sheet_of(present);
    let there = Memo::new(move |_| sheet.with(Option::is_some));
    let step = store.part(|project| project.bench_wish().compass.step);
    let inches = store.part(|project| project.bench_wish().compass.inches);
    let words = &words().bench().compass;
    let of = move |tell: fn(&CompassSheet) -> String| {
        move || sheet.with(|sheet| sheet.as_ref().map(|sheet| tell(sheet)))
    };
    let any_off = Memo::new(move |_| {
        sheet.with(|s| s.as_ref().is_some_and(|s| s.strikes.iter().any(|strike| strike.off_board.is_some())))
    });
    let print = move || {
        let _ = window().print();
    };
    let csv = move || {
        sheet.with_untracked(|sheet| {
            if let Some(sheet) = sheet {
                store.project().with_untracked(|project| {
                    let face = (crate::words::words().drawing.face)(project.face);
                    save(
                        &file_name(&[&project.title, words.csv_file, face], "csv"),
                        "text/csv",
                        &sheet.to_csv(&face_in_words(project)),
                    );
                });
            }
        });
    };
    let options = STEPS.map(|mm| {
        let (key, label) = match mm {
            0.1 => ("0.1", "0.1 mm"),
            0.2 => ("0.2", "0.2 mm"),
            0.5 => ("0.5", "0.5 mm"),
            _ => ("1", "1 mm"),
        };
        (key, label)
    });
    view! {
        <section class="compass" data-test="compass">
            <h2>{words.heading}</h2>
            <Choice
                legend=(crate::words::words().bench().setting)(BenchSetting::CompassStep)
                test="compass-step"
                options=options.to_vec()
                chosen=Signal::derive(move || STEPS.iter().position(|mm| (mm - step.get()).abs() < 1e-9))
                on_change=Callback::new(move |place: usize| {
                    let change = BenchChange::Number(BenchSetting::CompassStep, STEPS[place]);
                    store.change(Change::Bench(change));
                    store.settle();
                })
            />
            <When holds=there>
                <p class="meaning" data-test="compass-effect">{of(effect)}</p>
                <p class="note">{words.lead} " " {of(origin)}</p>
                <StrikeTable sheet inches />
                <When holds=any_off>
                    <p class="note">{words.scrap}</p>
                </When>
                <table::Cuts sheet />
            </When>
            <div class="actions">
                {press("print-compass", words.print, print)
                    .class("chief")
                    .disabled(Signal::derive(move || !there.get()))
                    .view()}
                {press("compass-csv", words.csv, csv).disabled(Signal::derive(move || !there.get())).view()}
            </div>
            <p class="note">{words.print_note}</p>
            <label class="toggle">
                <input
                    type="checkbox"
                    data-test="compass-inches"
                    prop:checked=inches
                    on:change=move |event| {
                        store.change(Change::Bench(BenchChange::Inches(event_target_checked(&event))));
                    }
                />
                <span>{words.inches}</span>
            </label>
            {field(BenchSetting::WoodAround, 1)}
        </section>
        <CompassPaper sheet inches />
    }
}

fn effect(sheet: &CompassSheet) -> String {
    let effect = sheet.effect;
    let (most, rms) = (figure(effect.most, 2), figure(effect.rms, 2));
    (words().bench().compass.effect)(&entered(sheet.step, 3), &most, effect.run, &rms)
}

fn origin(sheet: &CompassSheet) -> String {
    let words = &words().bench().compass;
    if sheet.from_pin { words.from_pin } else { words.from_bottom }.to_owned()
}
