//! Between this program and the page's own: both are in one document, and meet at one element of it. The page lays the project
//! there and says which way of taking the line is wanted; a line that was taken is laid there for the page.

use kurbo::Rect;
use leptos::prelude::*;
use ribline_geometry::json::{Form, Layout};
use ribline_geometry::project::Project;
use ribline_geometry::trace::Trace;
use wasm_bindgen::JsCast;
use web_sys::{Event, HtmlElement};

/// The element's id.
pub const PLACE: &str = "capture";
/// What the page says there: the way that is wanted.
pub const WAY: &str = "data-way";
pub const PROJECT: &str = "data-project";
/// What the page is told there.
pub const TRACE: &str = "data-trace";
pub const PHOTO: &str = "data-photo";
pub const EXTENT: &str = "data-extent";
/// Said by the page once it has laid something there, and to the page once something has been laid there or it is closed.
pub const WANTED: &str = "wanted";
pub const TAKEN: &str = "taken";
pub const CLOSED: &str = "closed";

pub fn place() -> Option<HtmlElement> {
    document().get_element_by_id(PLACE)?.dyn_into().ok()
}

pub fn wanted() -> Option<String> {
    place()?.get_attribute(WAY)
}

pub fn project() -> Option<Project> {
    Project::from_json(&place()?.get_attribute(PROJECT)?).ok()
}

fn say(what: &str) {
    if let (Some(place), Ok(event)) = (place(), Event::new(what)) {
        let _ = place.dispatch_event(&event);
    }
}

/// A photo squared up, to be laid under the drawing: a JPEG in base64, and the part of the board it shows, mm.
pub struct UnderDrawing {
    pub base64: String,
    pub extent: Rect,
}

/// Hands a line to the page.
pub fn take(trace: &Trace, photo: Option<UnderDrawing>) {
    let Some(place) = place() else { return };
    let _ = place.set_attribute(TRACE, &Layout::OPEN.text_of(&trace.written()));
    match photo {
        Some(photo) => {
            let Rect { x0, y0, x1, y1 } = photo.extent;
            let _ = place.set_attribute(PHOTO, &photo.base64);
            let _ = place.set_attribute(EXTENT, &format!("{x0} {y0} {x1} {y1}"));
        }
        None => {
            let _ = place.remove_attribute(PHOTO);
        }
    }
    say(TAKEN);
    close();
}

pub fn close() {
    say(CLOSED);
}
