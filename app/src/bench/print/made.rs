use crate::controls::{When, press};
use crate::storage::files::file_name;
use crate::store::use_store;
use crate::today::today;
use crate::words::words;
use crate::worker::ask;
use crate::worker::requests::bench::{Drawing, Pdf, Print, Record};
use gloo::file::{Blob, ObjectUrl};
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::bench::print::record::StepInWords;
use ribline_geometry::outline::Bout;
use ribline_geometry::project::Project;
use ribline_geometry::recipe::Recipe;

#[derive(Debug, Clone, PartialEq)]
enum State {
    Nothing,
    Making,
    Made { name: String, address: String, pages: usize, kilobytes: usize },
    Refused(String),
}

/// What a PDF is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Printed {
    FullSize(Drawing),
    /// The page that is there to be measured, on its own.
    CheckPage(Drawing),
    Record,
}

impl Printed {
    async fn made(self, project: String, steps: Vec<StepInWords>) -> Result<Pdf, String> {
        let day = today();
        let print = |of, only_check_page| Print { project: project.clone(), of, only_check_page, day };
        let answer = match self {
            Printed::FullSize(of) => ask(print(of, false)).await,
            Printed::CheckPage(of) => ask(print(of, true)).await,
            Printed::Record => ask(Record { project, steps, day }).await,
        };
        answer.unwrap_or_else(|trouble| Err(trouble.sentence().to_owned()))
    }

    /// Its name for tests, and the words on its button.
    fn button(self) -> (&'static str, &'static str) {
        let words = words().bench();
        match self {
            Printed::FullSize(_) => ("make-pdf", words.print.make),
            Printed::CheckPage(_) => ("make-check-page", words.print.check_page),
            Printed::Record => ("make-record", words.record.make),
        }
    }

    fn file(self, project: &Project) -> String {
        let all = words();
        let words = &all.bench().print;
        let face = (all.drawing.face)(project.face);
        let (what, face) = match self {
            Printed::FullSize(Drawing::Plate) => (words.plate_file, face),
            Printed::FullSize(Drawing::Mould) => (words.mould_file, ""),
            Printed::CheckPage(_) => (words.check_file, ""),
            Printed::Record => (all.bench().record.file, face),
        };
        file_name(&[&project.title, what, face], "pdf")
    }
}

/// The recipe in sentences: its steps, then which of its circles make the outline.
fn in_sentences(recipe: &Recipe) -> Vec<StepInWords> {
    let words = words().recipe();
    let steps = recipe
        .steps
        .iter()
        .map(|step| StepInWords { name: step.name.clone(), sentence: (words.step)(recipe, step) });
    let runs = Bout::ALL
        .into_iter()
        .map(|bout| StepInWords { name: String::new(), sentence: (words.run)(recipe, bout) });
    steps.chain(runs).collect()
}

/// Makes a PDF when asked, and hands it over: to be saved, or opened beside the page. It is of the project as it was then; any
/// change takes it away again.
#[component]
pub fn MakePdf(#[prop(into)] of: Signal<Printed>, disabled: Signal<bool>) -> impl IntoView {
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
        let of = of.get_untracked();
        let (project, name, steps) = store.project().with_untracked(|project| {
            let steps = if of == Printed::Record { in_sentences(&project.recipe) } else { Vec::new() };
            (project.to_json(), of.file(project), steps)
        });
        let number = latest.get_value();
        state.set(State::Making);
        spawn_local(async move {
            let answer = of.made(project, steps).await;
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
    let (test, label) = of.get_untracked().button();
    let chief = !matches!(of.get_untracked(), Printed::CheckPage(_));
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
    let button = press(test, label, make).class(if chief { "chief" } else { "" });
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
