//! The print at full size: what is on it, how it is laid over sheets, and the way from the page that is measured to the PDF.

mod correction;
mod laid;
mod made;
mod map;

use super::field::field;
use crate::controls::{Choice, When, place_of};
use crate::store::{BenchChange, Change, use_store};
use crate::words::words;
use crate::worker::requests::bench::Drawing;
use correction::Correction;
use laid::laid_out;
use leptos::prelude::*;
pub use made::{MakePdf, Printed};
use map::SheetMap;
use ribline_geometry::bench::print::wish::{Drawn, Pages, Part};
use ribline_geometry::bench::setting::BenchSetting;
use ribline_geometry::outline::Plate;
use ribline_geometry::reconcile::Traced;

const DRAWINGS: [Drawing; 2] = [Drawing::Plate, Drawing::Mould];
const PLATES: [Plate; 2] = [Plate::Back, Plate::Front];
/// What of [`Drawn`] a mould has.
const OF_MOULD: [Drawn; 3] = [Drawn::Edge, Drawn::Ribs, Drawn::Centreline];

#[component]
pub fn PrintPanel() -> impl IntoView {
    let of = RwSignal::new(Drawing::Plate);
    let laid = laid_out(of);
    let trouble = move || laid.with(|laid| laid.as_ref()?.as_ref().err().cloned());
    let nothing = Signal::derive(move || laid.with(|laid| !matches!(laid, Some(Ok(_)))));
    let store = use_store();
    let one_page = store.part(|project| project.bench_wish().print.pages == Pages::One);
    let words = &words().bench().print;
    view! {
        <section class="print" data-test="print-panel">
            <h2>{words.heading}</h2>
            <p class="note">{words.lead}</p>
            <What of />
            <Paper />
            <p class="trouble" role="alert" data-test="error-print">{trouble}</p>
            <SheetMap laid />
            <ol class="in-turn">
                <When holds=move || !one_page.get()>
                    <li>
                        <p>{words.check_first}</p>
                        <MakePdf of=Signal::derive(move || Printed::CheckPage(of.get())) disabled=nothing />
                    </li>
                </When>
                <li>
                    <p>{words.type_bars}</p>
                    <Correction />
                </li>
                <li>
                    <p>{move || if one_page.get() { words.then_print_one } else { words.then_print }}</p>
                    <p class="note">{words.caution}</p>
                    <MakePdf of=Signal::derive(move || Printed::FullSize(of.get())) disabled=nothing />
                </li>
            </ol>
        </section>
    }
}

/// Plate or mould, which plate, and what is drawn of it.
#[component]
fn What(of: RwSignal<Drawing>) -> impl IntoView {
    let store = use_store();
    let face = store.part(|project| project.face);
    let traced = store.part(|project| project.wish.traced);
    let is_mould = Memo::new(move |_| of.get() == Drawing::Mould);
    let words = &words().bench().print;
    view! {
        <Choice
            legend=words.of
            test="print-of"
            options=vec![("plate", words.of_plate), ("mould", words.of_mould)]
            chosen=Signal::derive(move || place_of(&DRAWINGS, of.get()))
            on_change=Callback::new(move |place: usize| of.set(DRAWINGS[place]))
        />
        <When holds=move || !is_mould.get()>
            <div>
                <Choice
                    legend=words.plate
                    test="bench-plate"
                    options=vec![("back", words.back), ("front", words.front)]
                    chosen=Signal::derive(move || place_of(&PLATES, face.get().plate))
                    on_change=Callback::new(move |place: usize| store.change(Change::PlateOfSameRibs(PLATES[place])))
                />
                <p class="meaning" data-test="bench-face">{move || (words.face)(face.get())}</p>
            </div>
        </When>
        <fieldset>
            <legend>{words.drawn}</legend>
            <div class="toggles in-columns">
                {move || {
                    let mould = is_mould.get();
                    let all: &[Drawn] = if mould { &OF_MOULD } else { &Drawn::ALL };
                    let any_ribs = mould || traced.get() == Traced::Ribs;
                    all.iter()
                        .filter(|drawn| any_ribs || **drawn != Drawn::Ribs)
                        .map(|drawn| toggle(*drawn, mould))
                        .collect_view()
                }}
            </div>
        </fieldset>
    }
}

fn toggle(drawn: Drawn, mould: bool) -> AnyView {
    let store = use_store();
    let is = store.part(move |project| project.bench_wish().print.drawn.has(drawn));
    view! {
        <label class="toggle">
            <input
                type="checkbox"
                data-test=format!("print-{}", key(drawn))
                prop:checked=is
                on:change=move |event| {
                    store.change(Change::Bench(BenchChange::Drawn(drawn, event_target_checked(&event))));
                }
            />
            <span>{(words().bench().print.drawn_name)(drawn, mould)}</span>
        </label>
    }
    .into_any()
}

fn key(drawn: Drawn) -> &'static str {
    match drawn {
        Drawn::Edge => "edge",
        Drawn::LeftForTheFile => "left-for-the-file",
        Drawn::Ribs => "ribs",
        Drawn::Purfling => "purfling",
        Drawn::Corners => "corners",
        Drawn::Centres => "centres",
        Drawn::Centreline => "centreline",
        Drawn::Traced => "traced",
        Drawn::CornersEnlarged => "corners-enlarged",
    }
}

/// On what it is printed, and how much of it.
#[component]
fn Paper() -> impl IntoView {
    let store = use_store();
    let pages = store.part(|project| project.bench_wish().print.pages);
    let part = store.part(|project| project.bench_wish().print.part);
    let tiled = Memo::new(move |_| pages.get() != Pages::One);
    let words = &words().bench().print;
    let [a4, a3, letter, tabloid, one] = words.papers;
    let [whole, left, right] = words.parts;
    view! {
        <Choice
            legend=words.part
            test="print-part"
            options=vec![("whole", whole), ("left", left), ("right", right)]
            chosen=Signal::derive(move || place_of(&Part::ALL, part.get()))
            on_change=Callback::new(move |place: usize| {
                store.change(Change::Bench(BenchChange::Part(Part::ALL[place])));
            })
        />
        <Choice
            legend=words.pages
            test="print-on"
            options=vec![
                ("a4", a4),
                ("a3", a3),
                ("letter", letter),
                ("tabloid", tabloid),
                ("one", one),
            ]
            chosen=Signal::derive(move || place_of(&Pages::ALL, pages.get()))
            on_change=Callback::new(move |place: usize| {
                store.change(Change::Bench(BenchChange::Pages(Pages::ALL[place])));
            })
        />
        <details class="settings" data-test="overlap-and-margin">
            <summary>{words.overlap_and_margin}</summary>
            <div class="row">
                <When holds=tiled>{field(BenchSetting::Overlap, 1)}</When>
                {field(BenchSetting::Margin, 1)}
            </div>
            <p class="note">{words.margin_note}</p>
        </details>
    }
}
