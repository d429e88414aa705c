use super::field::field;
use crate::controls::press;
use crate::storage::files::{file_name, save};
use crate::store::use_store;
use crate::words::words;
use crate::worker::ask;
use crate::worker::requests::bench::{Lines, Write};
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::bench::file::{Content, FileForm, traced_csv};
use ribline_geometry::bench::setting::BenchSetting;
use ribline_geometry::project::Project;

/// The lines that a file can have, as the rows of the table.
const LINES: [Lines; 5] = [
    Lines::Plate(Content::Plate),
    Lines::Plate(Content::Edge),
    Lines::Plate(Content::Purfling),
    Lines::Plate(Content::Button),
    Lines::Mould,
];

/// Files for machines and other programs, each line by line and form by form.
#[component]
pub fn Files() -> impl IntoView {
    let store = use_store();
    let trouble = RwSignal::new(None::<String>);
    // It was of what was asked before.
    Effect::new(move |_| {
        store.project().track();
        trouble.set(None);
    });
    let any_points = store.part(|project| !project.trace.points.is_empty());
    let words = &words().bench().files;
    let export_trace = move || {
        store.project().with_untracked(|project| {
            let name = file_name(&[&project.title, words.trace_file], "csv");
            save(&name, "text/csv", &traced_csv(project));
        });
    };
    let rows = (0..LINES.len())
        .map(|row| {
            let cells = FileForm::ALL.map(|form| view! { <td>{one(row, form, trouble)}</td> });
            view! {
                <tr>
                    <th scope="row">{words.contents[row]}</th>
                    {cells.into_iter().collect_view()}
                </tr>
            }
        })
        .collect_view();
    view! {
        <section class="files" data-test="files">
            <h2>{words.heading}</h2>
            <p class="note">{words.lead}</p>
            <table class="file-table">
                <thead>
                    <tr>
                        <th scope="col">{words.content}</th>
                        {words.forms.map(|form| view! { <th scope="col">{form}</th> }).into_iter().collect_view()}
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
            <p class="trouble" role="alert" data-test="error-files">{move || trouble.get()}</p>
            <div class="row">{field(BenchSetting::LeftForTheFile, 2)} {field(BenchSetting::PointSpacing, 2)}</div>
            <p class="note">{words.forms_note}</p>
            <p class="note">{words.caution}</p>
            <div class="actions">
                {press("export-csv", words.trace, export_trace)
                    .disabled(Signal::derive(move || !any_points.get()))
                    .view()}
            </div>
            <p class="note">{words.trace_note}</p>
        </section>
    }
}

/// The button for one file.
fn one(row: usize, form: FileForm, trouble: RwSignal<Option<String>>) -> AnyView {
    let store = use_store();
    let words = &words().bench().files;
    let of = LINES[row];
    let write = move || {
        let project = store.project().with_untracked(Project::to_json);
        let name = store.project().with_untracked(|project| {
            let face = match of {
                Lines::Plate(_) => (crate::words::words().drawing.face)(project.face),
                Lines::Mould => "",
            };
            file_name(&[&project.title, words.names[row], face], form.ending())
        });
        trouble.set(None);
        spawn_local(async move {
            let answer = ask(Write { project, of, form }).await;
            match answer.unwrap_or_else(|trouble| Err(trouble.sentence().to_string())) {
                Ok(text) => save(&name, form.media_type(), &text),
                Err(why) => {
                    trouble.try_set(Some(why));
                }
            }
        });
    };
    let label = words.forms[form as usize];
    let test = format!("file-{}-{}", words.names[row], form.ending());
    press(test, label, write).titled((words.save_as)(words.contents[row], label)).view()
}
