use leptos::prelude::*;

/// Shows its children while something holds. One compiled form for all of them, where a form for each condition would
/// make the page larger to download.
#[component]
pub fn When(#[prop(into)] holds: Signal<bool>, children: ChildrenFn) -> impl IntoView {
    let holds = Memo::new(move |_| holds.get());
    move || holds.get().then(|| children())
}
