use super::bring::BringIn;
use super::differences::MostDifferent;
use super::list::List;
use super::room::use_room;
use crate::controls::When;
use crate::words::words;
use leptos::prelude::*;

/// Beside the drawing of a class: what was brought, and what differs most.
#[component]
pub fn ClassPanel() -> impl IntoView {
    let room = use_room();
    room.enter();
    let words = words().class();
    view! {
        <p class="lead">{words.lead}</p>
        <BringIn />
        <List />
        <When holds=Signal::derive(move || room.good_count() > 1)>
            <MostDifferent />
        </When>
    }
    .into_any()
}
