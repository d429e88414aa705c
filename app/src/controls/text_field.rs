use crate::store::use_store;
use leptos::prelude::*;

/// A line of text, taken when the field is left or Enter is pressed; or, for what is only ever read, at each letter.
#[component]
pub fn TextField(
    label: &'static str,
    #[prop(into)] test: String,
    #[prop(into)] value: Signal<String>,
    #[prop(into)] on_change: Callback<String>,
    #[prop(default = false)] as_typed: bool,
    #[prop(default = 120)] longest: u32,
) -> impl IntoView {
    let store = use_store();
    let id = format!("field-{test}");
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <input
                id=id.clone()
                data-test=id
                type="text"
                class="text"
                autocomplete="off"
                maxlength=longest.to_string()
                prop:value=value
                on:input=move |event| {
                    if as_typed {
                        on_change.run(event_target_value(&event));
                    }
                }
                on:change=move |event| {
                    on_change.run(event_target_value(&event));
                    store.settle();
                }
            />
        </div>
    }
}
