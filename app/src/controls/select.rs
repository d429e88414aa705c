use leptos::prelude::*;

/// One of several, by name.
#[component]
pub fn Select(
    #[prop(into)] label: String,
    /// Read out but not shown, where the place says it already.
    #[prop(default = false)]
    label_hidden: bool,
    #[prop(into)] test: String,
    /// The names to choose from.
    #[prop(into)]
    options: Signal<Vec<String>>,
    /// The place of the present one.
    #[prop(into)]
    chosen: Signal<Option<usize>>,
    #[prop(into)] on_change: Callback<usize>,
) -> impl IntoView {
    let id = format!("field-{test}");
    let entries = move || {
        options
            .get()
            .into_iter()
            .enumerate()
            .map(|(place, name)| {
                view! {
                    <option value=place.to_string() prop:selected=move || chosen.get() == Some(place)>
                        {name}
                    </option>
                }
            })
            .collect_view()
    };
    view! {
        <div class="field">
            <label for=id.clone() class:unseen=label_hidden>{label}</label>
            <select
                id=id.clone()
                data-test=id
                on:change=move |event| {
                    if let Ok(place) = event_target_value(&event).parse() {
                        on_change.run(place);
                    }
                }
            >
                {move || entries()}
            </select>
        </div>
    }
}
