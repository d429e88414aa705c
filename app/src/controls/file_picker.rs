use leptos::prelude::*;
use web_sys::{File, FileList};

/// Files that were chosen, let fall or pasted.
pub fn listed(files: Option<FileList>) -> Vec<File> {
    files.map(|files| (0..files.length()).filter_map(|k| files.get(k)).collect()).unwrap_or_default()
}

/// A button that has files chosen and hands them over. The same file can be chosen again, after it was put right.
#[component]
pub fn FilePicker(
    label: &'static str,
    test: &'static str,
    /// What the browser offers first, as in HTML's `accept`.
    accept: &'static str,
    /// Whether it is the device's camera that is asked.
    #[prop(default = false)]
    camera: bool,
    #[prop(default = false)] several: bool,
    /// Called with at least one.
    #[prop(into)]
    on_chosen: Callback<Vec<File>>,
) -> impl IntoView {
    let input = NodeRef::<leptos::html::Input>::new();
    let chosen = move |_| {
        let Some(input) = input.get_untracked() else { return };
        let files = listed(input.files());
        input.set_value("");
        if !files.is_empty() {
            on_chosen.run(files);
        }
    };
    view! {
        <label class="button">
            {label}
            <input
                node_ref=input
                class="unseen"
                type="file"
                multiple=several
                accept=accept
                capture=camera.then_some("environment")
                data-test=test
                on:change=chosen
            />
        </label>
    }
    .into_any()
}
