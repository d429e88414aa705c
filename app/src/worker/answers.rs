//! The worker's side: each request is answered by `geometry`.

mod bench;

use super::parcel::{OF_ITSELF, Parcel};
use super::photo_answers as photo;
use super::requests::{
    Bring, Invent, Link, Links, Open, Opened, Request, Seat, Seats, Share, Symbol, Texts, Unseated,
};
use gloo::events::EventListener;
use ribline_geometry::class::{self, NotBrought};
use ribline_geometry::json::{Form, Layout};
use ribline_geometry::project::Project;
use ribline_geometry::share::{self, Contents, Shared, address, symbol};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DedicatedWorkerGlobalScope, MessageEvent, js_sys};

/// Answers what the page asks, from now on.
pub fn serve() {
    std::panic::set_hook(Box::new(|info| {
        web_sys::console::error_1(&JsValue::from_str(&info.to_string()));
    }));
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    EventListener::new(&scope, "message", move |event| {
        let parcel = event.dyn_ref::<MessageEvent>().and_then(|event| Parcel::from_message(&event.data()));
        let Some(parcel) = parcel else { return };
        let number = parcel.number;
        // What no answer can be unpacked from tells the page that the two do not understand one another.
        let answer = parcel.unpacked().map(|request| answered(number, request));
        post(answer.unwrap_or(Parcel { number, ..Parcel::default() }));
    })
    .forget();
    post(Parcel { number: OF_ITSELF, ..Parcel::default() });
}

fn post(parcel: Parcel) {
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    let (message, handed_over) = parcel.into_message();
    // Text and bytes can always be cloned, which is all that could be refused.
    let _ = scope.post_message_with_transfer(&message, &handed_over);
}

fn answered(number: u32, request: Request) -> Parcel {
    match request {
        Request::Share(asked) => Parcel::of(number, links(&asked)),
        Request::Open(asked) => Parcel::of(number, opened(&asked)),
        Request::Rows(asked) => Parcel::of(number, photo::taken(&asked)),
        Request::FindMarks(asked) => Parcel::of(number, photo::marks(&asked)),
        Request::Follow(asked) => Parcel::of(number, photo::followed(&asked)),
        Request::Drawing(asked) => Parcel::of(number, photo::lines(&asked)),
        Request::Bench(asked) => bench::answered(number, asked),
        Request::Bring(asked) => Parcel::of(number, seats(&asked)),
        Request::Invent(asked) => Parcel::of(number, invented(&asked)),
    }
}

fn links(asked: &Share) -> Links {
    let project = Project::from_json(&asked.project).map_err(|error| error.to_string());
    Links(Contents::ALL.map(|contents| link(&Shared::of(project.clone()?, contents), &asked.page)))
}

fn link(shared: &Shared, page: &str) -> Result<Link, String> {
    let text = share::write(shared).map_err(|error| error.to_string())?;
    let address = address::link(page, &text).map_err(|error| error.to_string())?;
    let symbol = symbol::Symbol::of(&address)
        .map(|symbol| Symbol {
            across: symbol.across(),
            path: symbol.path(),
            widths_away: symbol.read_from(1.0),
        })
        .map_err(|error| error.to_string());
    Ok(Link { version: share::version_of(&text).unwrap_or(share::VERSION), address, symbol })
}

fn opened(asked: &Open) -> Result<Opened, String> {
    let shared = share::read(&asked.text).map_err(|error| error.to_string())?;
    let version = share::version_of(&asked.text).unwrap_or(share::VERSION);
    let contents = shared.contents();
    Ok(Opened { project: shared.into_project().to_json(), contents, version })
}

fn seats(asked: &Bring) -> Seats {
    let seat = |brought: Result<class::Brought, NotBrought>| {
        let class::Brought { mut project, which } =
            brought.map_err(|NotBrought { which, why }| Unseated { which, why })?;
        if project.title.trim().is_empty() {
            which.beside().clone_into(&mut project.title);
        }
        // A class is compared by its lines, and a photo is a hundred times as long as all the rest.
        project.photo = None;
        let member = class::member(&project).map_err(|error| Unseated { which, why: error.to_string() })?;
        Ok(Seat { project: project.to_json(), member: Layout::OPEN.text_of(&member.written()) })
    };
    Seats(class::brought(&asked.text).into_iter().map(seat).collect())
}

fn invented(asked: &Invent) -> Texts {
    let project = Project::from_json(&asked.project);
    let made = project.map(|project| class::invented(&project, &asked.names)).unwrap_or_default();
    Texts(made.iter().map(Project::to_json).collect())
}
