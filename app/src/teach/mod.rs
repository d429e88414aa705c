//! Teach: what is handed on to others, and what comes back. The construction step by step, as one would draw it before a
//! class; the recipe as a link and a symbol; the results of a class beside one another.

pub mod class;
pub mod replay;
mod share;
mod symbol;

use crate::controls::{Choice, When};
use crate::showing::use_showing;
use crate::words::words;
use class::ClassPanel;
use leptos::prelude::*;
use replay::steps::ReplayPanel;
use share::Share;

/// They come with the step: the first screen does without them.
const STYLES: &str = concat!(
    include_str!("../../replay.css"),
    include_str!("../../class.css"),
    include_str!("../../share.css")
);

/// The controls of the step.
#[component]
pub fn Teach() -> impl IntoView {
    let showing = use_showing();
    let words = words().teach();
    view! {
        <style>{STYLES}</style>
        <Choice
            legend=words.shown
            test="teach"
            options=vec![("construction", words.construction), ("class", words.class)]
            chosen=Signal::derive(move || Some(usize::from(showing.class.get())))
            on_change=Callback::new(move |place| showing.class.set(place == 1))
        />
        <When holds=Signal::derive(move || !showing.class.get())>
            <p class="lead">{words.lead}</p>
            <ReplayPanel />
            <Share />
        </When>
        <When holds=showing.class><ClassPanel /></When>
    }
    .into_any()
}
