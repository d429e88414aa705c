use super::differences::Differences;
use super::drops::accept_drops;
use super::overlaid::Overlaid;
use super::room::{Way, use_room};
use super::side_by_side::SideBySide;
use crate::controls::{Choice, Select, When};
use crate::showing::use_showing;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::class::Alignment;

const WAYS: [Way; 3] = [Way::Over, Way::Beside, Way::Table];
const ALIGNMENTS: [Alignment; 4] = [Alignment::Bottom, Alignment::Middle, Alignment::Top, Alignment::Pin];
/// How many times as large differences can be drawn.
const TIMES: [f64; 4] = [1.0, 5.0, 10.0, 20.0];

/// The drawing of a class, and how it is looked at.
#[component]
pub fn ClassSheet() -> impl IntoView {
    let (room, showing) = (use_room(), use_showing());
    room.enter();
    accept_drops(room);
    keep_in_address(showing);
    let words = words().class();
    let way = move |way: Way| Signal::derive(move || room.way.get() == way);
    let enough = Memo::new(move |_| room.good_count() > 0);
    let options = |all: Vec<String>| Signal::stored(all);
    let alignments = ALIGNMENTS.map(|at| (words.alignment)(at).to_owned()).to_vec();
    let times = TIMES.map(words.times_as_large).to_vec();
    view! {
        <section class="class-sheet" data-test="class" aria-label=words.heading>
            <header>
                <h2>{words.heading}</h2>
                <p class="note" data-test="class-title">{move || title()}</p>
                <div class="class-ways">
                    <Choice
                        legend=words.way
                        test="class-way"
                        options=vec![("over", words.over), ("beside", words.beside), ("table", words.table)]
                        chosen=Signal::derive(move || WAYS.iter().position(|way| *way == room.way.get()))
                        on_change=Callback::new(move |place: usize| room.way.set(WAYS[place]))
                    />
                    <Select
                        label=words.brought_together
                        test="class-alignment"
                        options=options(alignments)
                        chosen=Signal::derive(move || ALIGNMENTS.iter().position(|at| *at == room.alignment.get()))
                        on_change=move |place: usize| room.alignment.set(ALIGNMENTS[place])
                    />
                    <Select
                        label=words.times
                        test="class-times"
                        options=options(times)
                        chosen=Signal::derive(move || TIMES.iter().position(|times| *times == room.times.get()))
                        on_change=move |place: usize| room.times.set(TIMES[place])
                    />
                </div>
            </header>
            <div class="class-picture">
                <When holds=Signal::derive(move || !enough.get())>
                    <p class="nothing" data-test="class-nothing">{words.nothing}</p>
                </When>
                <When holds=Signal::derive(move || enough.get() && way(Way::Over).get())><Overlaid /></When>
                <When holds=Signal::derive(move || enough.get() && way(Way::Beside).get())><SideBySide /></When>
                <When holds=Signal::derive(move || enough.get() && way(Way::Table).get())><Differences /></When>
            </div>
        </section>
    }
    .into_any()
}

fn title() -> String {
    let room = use_room();
    room.with_good(|good| match good.first() {
        Some((_, _, first)) => {
            let alike = good.iter().all(|(_, _, member)| member.construction == first.construction);
            (words().class().title)(good.len(), &first.recipe, alike)
        }
        None => String::new(),
    })
}

/// So that a reload shows the class again.
fn keep_in_address(showing: crate::showing::Showing) {
    Effect::new(move |_| {
        let address = format!("#{}/{}", showing.step.get().key(), crate::showing::CLASS);
        request_animation_frame(move || {
            if let Ok(history) = window().history()
                && showing.class_is_open()
            {
                // Refused only for a page without an address of its own.
                let _ = history.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&address));
            }
        });
    });
}
