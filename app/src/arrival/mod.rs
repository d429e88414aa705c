//! What arrives from others, in a link or a recipe file, and is looked at before it replaces anything.

mod preview;

pub use preview::Preview;

use crate::parts::Parts;
use crate::showing::Showing;
use crate::words::words;
use crate::worker::ask;
use crate::worker::requests::Open;
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::project::Project;
use ribline_geometry::recipe::Recipe;
use ribline_geometry::share::{Contents, address};

/// Something that has arrived and is not yet taken.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrival {
    /// With an empty trace where it brings none.
    pub project: Project,
    pub contents: Contents,
    pub source: Source,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Source {
    Link {
        version: u8,
    },
    /// By its name.
    File(String),
}

impl Arrival {
    pub fn in_file(recipe: Recipe, name: String) -> Arrival {
        Arrival {
            project: crate::example::afresh(recipe),
            contents: Contents::Recipe,
            source: Source::File(name),
        }
    }
}

/// Opens the link in the page's address, now and whenever another is put there.
pub fn follow_address(showing: Showing, parts: Parts) {
    look(showing, parts);
    let _ = window_event_listener(leptos::ev::hashchange, move |_| look(showing, parts));
}

fn link_in_address() -> Option<String> {
    let hash = window().location().hash().ok()?;
    address::link_in(&hash).map(str::to_owned)
}

fn look(showing: Showing, parts: Parts) {
    let Some(text) = link_in_address() else {
        // The browser's way back leads away from a link, too.
        showing.opening_link.set(false);
        if showing
            .arrival
            .with_untracked(|arrival| matches!(arrival, Some(Arrival { source: Source::Link { .. }, .. })))
        {
            showing.arrival.set(None);
        }
        return;
    };
    showing.opening_link.set(true);
    showing.link_trouble.set(None);
    spawn_local(async move {
        let opened = match parts.reading().await {
            Some(reading) => (reading.link)(text.clone()).await,
            None => Err(words().part_missing.to_string()),
        };
        // Another may have taken its place meanwhile.
        if link_in_address().as_ref() != Some(&text) {
            return;
        }
        showing.opening_link.set(false);
        match opened {
            Ok(arrival) => showing.arrival.set(Some(arrival)),
            Err(why) => showing.link_trouble.set(Some((words().arrival().not_opened)(&why))),
        }
    });
}

/// What a link brings.
pub async fn opened(text: String) -> Result<Arrival, String> {
    let opened = ask(Open { text }).await.map_err(|trouble| trouble.sentence().to_string())??;
    let project = Project::from_json(&opened.project).map_err(|error| error.to_string())?;
    let source = Source::Link { version: opened.version };
    Ok(Arrival { project, contents: opened.contents, source })
}

/// Puts the step in the address in place of a link that has been dealt with, so that a reload does not ask again.
pub fn forget_link(showing: Showing) {
    if link_in_address().is_some()
        && let Ok(history) = window().history()
    {
        let step = format!("#{}", showing.step.get_untracked().key());
        // Refused only for a page without an address of its own.
        let _ = history.replace_state_with_url(&wasm_bindgen::JsValue::NULL, "", Some(&step));
    }
}
