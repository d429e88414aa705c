use leptos::prelude::*;

/// One of a few, all in view.
#[component]
pub fn Choice<T>(
    legend: &'static str,
    /// Its name for tests; each option's is this and the option's own key.
    test: &'static str,
    /// Value, key and label of each.
    options: Vec<(T, &'static str, &'static str)>,
    #[prop(into)] value: Signal<T>,
    #[prop(into)] on_change: Callback<T>,
    /// A line on what the present choice means.
    #[prop(optional)]
    meaning: Option<Signal<&'static str>>,
) -> impl IntoView
where
    T: Copy + PartialEq + Send + Sync + 'static,
{
    let radios = options
        .into_iter()
        .map(|(option, key, label)| {
            view! {
                <label class="option">
                    <input
                        type="radio"
                        name=test
                        data-test=format!("{test}-{key}")
                        prop:checked=move || value.get() == option
                        on:change=move |_| on_change.run(option)
                    />
                    <span>{label}</span>
                </label>
            }
        })
        .collect_view();
    view! {
        <fieldset class="choice">
            <legend>{legend}</legend>
            <div class="options">{radios}</div>
            {meaning.map(|meaning| view! { <p class="meaning">{meaning}</p> })}
        </fieldset>
    }
}
