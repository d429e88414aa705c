use super::player::{found_lengths, use_player};
use crate::controls::{Choice, Rows, When, press};
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use std::sync::Arc;

/// Beside the drawing: at which lengths it is worked, every step by its name, and the way onto paper.
#[component]
pub fn ReplayPanel() -> impl IntoView {
    let (player, results) = (use_player(), use_results());
    let words = words().replay();
    let ribs_known = Memo::new(move |_| found_lengths(results).is_some());
    let print = press("replay-print", words.print, move || {
        let _ = window().print();
    });
    let numbers = Signal::derive(move || (0..player.count()).collect::<Vec<usize>>());
    let row = Arc::new(move |number: usize| {
        let name = move || {
            let of = |scene: &super::scene::Scene| {
                scene.frame(number).map(|frame| (words.name)(&scene.recipe, frame.act))
            };
            player.scene.with(|scene| scene.as_deref().and_then(of)).unwrap_or_default()
        };
        view! {
            <li>
                <button
                    type="button"
                    data-test="replay-step"
                    aria-current=move || (player.at.get() == number).then_some("step")
                    on:click=move |_| player.show(number)
                >
                    <span class="figures">{number + 1}</span>
                    <span>{name}</span>
                </button>
            </li>
        }
        .into_any()
    });
    view! {
        <When holds=ribs_known>
            <Choice
                legend=words.lengths
                test="replay-lengths"
                options=vec![("own", words.own_lengths), ("ribs", words.rib_lengths)]
                chosen=Signal::derive(move || Some(usize::from(player.on_ribs.get())))
                on_change=Callback::new(move |place| player.on_ribs.set(place == 1))
            />
        </When>
        <section class="replay-print">
            {print.view()}
            <p class="note">{words.print_note}</p>
        </section>
        <details>
            <summary>{words.steps}</summary>
            <ol class="replay-steps">
                <Rows numbers make=row />
            </ol>
        </details>
    }
    .into_any()
}
