//! A recipe to read and to change: numbered sentences beside the drawing, each of which opens.

mod about;
mod composing;
mod faults;
mod heeding;
mod item;
mod measures;
mod outline;
mod part;
mod picker;
mod placing;
mod size_field;
mod steps;
mod typed;
mod worked;

pub use composing::{Composing, Heeding, Open, Told, use_composing};
pub use worked::{use_construction, use_faults, use_last_construction};

use about::About;
use faults::Faults;
use leptos::prelude::*;
use measures::Measures;
use outline::OutlineRuns;
use steps::Steps;

/// The whole recipe at hand.
#[component]
pub fn RecipeEditor() -> impl IntoView {
    view! {
        <Faults />
        <Measures />
        <Steps />
        <OutlineRuns />
        <About />
    }
}
