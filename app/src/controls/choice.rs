use leptos::prelude::*;

/// The place of one of several, as [`Choice`] tells them.
pub fn place_of<T: PartialEq>(all: &[T], one: T) -> Option<usize> {
    all.iter().position(|other| *other == one)
}

/// One of a few, all in view. Options are told by their place: one compiled form serves every kind of choice.
#[component]
pub fn Choice(
    legend: &'static str,
    /// Its name for tests; each option's is this and the option's own key.
    test: &'static str,
    /// Key and label of each.
    options: Vec<(&'static str, &'static str)>,
    /// The place of the present one.
    chosen: Signal<Option<usize>>,
    on_change: Callback<usize>,
    /// A line on what the present choice means.
    #[prop(optional)]
    meaning: Option<Signal<&'static str>>,
) -> impl IntoView {
    let radios = options
        .into_iter()
        .enumerate()
        .map(|(place, (key, label))| {
            view! {
                <label class="option">
                    <input
                        type="radio"
                        name=test
                        data-test=format!("{test}-{key}")
                        prop:checked=move || chosen.get() == Some(place)
                        on:change=move |_| on_change.run(place)
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
