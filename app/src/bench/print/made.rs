use crate::bench::today;
use crate::controls::{When, press};
use crate::storage::files::file_name;
use crate::store::use_store;
use crate::words::words;
use crate::worker::ask;
use crate::worker::requests::bench::{Drawing, Pdf, Print};
use gloo::file::{Blob, ObjectUrl};
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::project::Project;

#[derive(Debug, Clone, PartialEq)]
enum State {
    Nothing,
    Making,
    Made { name: String, address: String, pages: usize, kilobytes: usize },
    Refused(String),
}

/// Makes a PDF when asked, and hands it over: to be saved, or opened beside the page. It is of the project as it was then; any
/// change takes it away again.
#[component]
pub fn MakePdf(of: RwSignal<Drawing>, only_check_page: bool, disabled: Signal<bool>) -> impl IntoView {
    let store = use_store();
    let state = RwSignal::new(State::Nothing);
    // The file's address holds as long as this is kept.
    let kept = StoredValue::new_local(None::<ObjectUrl>);
    let latest = StoredValue::new(0u32);
    Effect::new(move |_| {
        store.project().track();
        of.track();
        latest.update_value(|number| *number += 1);
        state.set(State::Nothing);
    });
    let make = move || {
        let project = store.project().with_untracked(Project::to_json);
        let name =
            store.project().with_untracked(|project| name(project, of.get_untracked(), only_check_page));
        let number = latest.get_value();
        let asked = Print { project, of: of.get_untracked(), only_check_page, day: today() };
        state.set(State::Making);
        spawn_local(async move {
            let answer = ask(asked).await.unwrap_or_else(|trouble| Err(trouble.sentence().to_string()));
            // Changed since, or the panel is gone.
            if latest.try_get_value() != Some(number) {
                return;
            }
            state.set(match answer {
                Ok(Pdf { bytes, pages }) => {
                    let url = ObjectUrl::from(Blob::new_with_options(&bytes[..], Some("application/pdf")));
                    let address = url.to_string();
                    kept.set_value(Some(url));
                    State::Made { name, address, pages, kilobytes: bytes.len().div_ceil(1000) }
                }
                Err(why) => State::Refused(why),
            });
        });
    };
    let (test, label) = if only_check_page {
        ("make-check-page", words().bench().print.check_page)
    } else {
        ("make-pdf", words().bench().print.make)
    };
    let idle = Memo::new(move |_| state.with(|state| *state == State::Nothing));
    let told = move || {
        state.with(|state| match state {
            State::Making => Some(words().bench().print.making.to_owned()),
            State::Made { name, pages, kilobytes, .. } => {
                Some((words().bench().print.made)(name, *pages, *kilobytes))
            }
            State::Nothing | State::Refused(_) => None,
        })
    };
    let refused = move || {
        state.with(|state| match state {
            State::Refused(why) => Some(why.clone()),
            _ => None,
        })
    };
    let button = press(test, label, make).class(if only_check_page { "" } else { "chief" });
    view! {
        <div class="actions">
            {button.disabled(disabled).view()}
            {move || state.with(|state| hand_over(state, test))}
        </div>
        <When holds=move || !idle.get()>
            <p class="note" role="status" data-test=format!("{test}-told")>{told}</p>
        </When>
        <p class="trouble" role="alert" data-test=format!("error-{test}")>{refused}</p>
    }
}

fn hand_over(state: &State, test: &str) -> Option<AnyView> {
    let State::Made { name, address, .. } = state else { return None };
    let words = &words().bench().print;
    let view = view! {
        <a class="button" data-test=format!("{test}-save") href=address.clone() download=name.clone()>
            {words.save}
        </a>
        <a class="button" data-test=format!("{test}-open") href=address.clone() target="_blank">
            {words.open}
        </a>
    };
    Some(view.into_any())
}

fn name(project: &Project, of: Drawing, only_check_page: bool) -> String {
    let all = words();
    let words = &all.bench().print;
    let what = match of {
        _ if only_check_page => words.check_file,
        Drawing::Plate => words.plate_file,
        Drawing::Mould => words.mould_file,
    };
    let face = if of == Drawing::Plate { (all.drawing.face)(project.face) } else { "" };
    file_name(&[&project.title, what, face], "pdf")
}
