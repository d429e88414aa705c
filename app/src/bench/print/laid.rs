use crate::store::use_store;
use crate::worker::ask;
use crate::worker::requests::bench::{Drawing, LaidOut, LayOut};
use gloo::timers::callback::Timeout;
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::project::Project;

/// Long enough that a number being typed is not laid out at each digit.
const DELAY_MS: u32 = 200;

/// The drawing laid over the sheets asked for, anew shortly after each change; the last one stays until then.
pub fn laid_out(of: RwSignal<Drawing>) -> RwSignal<Option<Result<LaidOut, String>>> {
    let store = use_store();
    let laid = RwSignal::new(None);
    let waiting = StoredValue::new_local(None::<Timeout>);
    let latest = StoredValue::new(0u32);
    Effect::new(move |earlier: Option<()>| {
        store.project().track();
        let of = of.get();
        let delay = if earlier.is_some() { DELAY_MS } else { 0 };
        let timeout = Timeout::new(delay, move || {
            let Some(project) = store.project().try_with_untracked(Project::to_json) else { return };
            let Some(number) = latest.try_update_value(|number| {
                *number += 1;
                *number
            }) else {
                return;
            };
            spawn_local(async move {
                let answer = ask(LayOut { project, of }).await;
                // What was asked later is answered later; and the panel may be gone by now.
                if latest.try_get_value() == Some(number) {
                    let answer = answer.unwrap_or_else(|trouble| Err(trouble.sentence().to_string()));
                    laid.set(Some(answer));
                }
            });
        });
        waiting.set_value(Some(timeout));
    });
    laid
}
