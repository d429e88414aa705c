use crate::store::use_store;
use leptos::prelude::*;

/// Lines of text, taken as they are typed; all that is typed until the field is left is one step back.
#[component]
pub fn LongText(
    label: &'static str,
    /// Its name for tests and for the label's tie to the field, without `field-`.
    test: &'static str,
    rows: u32,
    #[prop(default = "")] class: &'static str,
    #[prop(optional)] longest: Option<u32>,
    #[prop(into)] value: Signal<String>,
    #[prop(into)] on_change: Callback<String>,
) -> impl IntoView {
    let store = use_store();
    let id = format!("field-{test}");
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <textarea
                id=id.clone()
                data-test=id
                class=class
                rows=rows.to_string()
                maxlength=longest.map(|letters| letters.to_string())
                prop:value=value
                on:input=move |event| on_change.run(event_target_value(&event))
                on:blur=move |_| store.settle()
            ></textarea>
        </div>
    }
    .into_any()
}
