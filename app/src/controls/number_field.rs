use crate::number::{NumberError, Within, entered, read_number};
use crate::store::use_store;
use crate::words::words;
use leptos::prelude::*;

/// A number with its unit. What cannot be is said below it and stays as it was typed, while the value remains the last good one.
#[component]
pub fn NumberField(
    #[prop(into)] label: String,
    unit: &'static str,
    /// Where the unit is said already beside several fields, it is only read out.
    #[prop(default = false)]
    unit_hidden: bool,
    /// Its name for tests and for the label's tie to the input.
    #[prop(into)]
    test: String,
    #[prop(into)] value: Signal<f64>,
    within: Within,
    #[prop(default = 2)] decimals: usize,
    #[prop(into)] on_change: Callback<f64>,
    /// Where the value need not be given: it has been taken out.
    #[prop(optional, into)]
    on_cleared: Option<Callback<()>>,
) -> impl IntoView {
    let store = use_store();
    let typed = RwSignal::new(None::<String>);
    let shown = move || {
        let value = value.get();
        match typed.get() {
            Some(text) => match read_number(&text, within) {
                // Changed elsewhere since, as by a step back.
                Ok(number) if number != value => entered(value, decimals),
                _ => text,
            },
            None => entered(value, decimals),
        }
    };
    let wrong = move |text: &str| match read_number(text, within) {
        Ok(_) => None,
        Err(NumberError::Empty) if on_cleared.is_some() => None,
        Err(error) => Some(error),
    };
    let trouble = move || typed.get().and_then(|text| wrong(&text)).map(|error| trouble_with(error, unit));
    let take = move |text: String| {
        match (read_number(&text, within), on_cleared) {
            (Ok(number), _) => on_change.run(number),
            (Err(NumberError::Empty), Some(cleared)) => cleared.run(()),
            (Err(_), _) => {}
        }
        typed.set(Some(text));
    };
    let finish = move || {
        // A field that goes while it is written in is left once it is gone.
        let Some(text) = typed.try_get_untracked() else { return };
        if text.is_none_or(|text| wrong(&text).is_none()) {
            typed.set(None);
        }
        store.settle();
    };
    let id = format!("field-{test}");
    let error_id = format!("error-{test}");
    let described_by = error_id.clone();
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <span class="with-unit">
                <input
                    id=id.clone()
                    data-test=id
                    type="text"
                    inputmode="decimal"
                    autocomplete="off"
                    prop:value=shown
                    aria-invalid=move || trouble().is_some().to_string()
                    aria-describedby=described_by
                    on:input=move |event| take(event_target_value(&event))
                    on:blur=move |_| finish()
                    on:keydown=move |event| {
                        if event.key() == "Enter" {
                            finish();
                        }
                    }
                />
                <span class="unit" class:unseen=unit_hidden>{unit}</span>
            </span>
            <p class="trouble" id=error_id.clone() data-test=error_id aria-live="polite">{move || trouble()}</p>
        </div>
    }
}

pub fn trouble_with(error: NumberError, unit: &str) -> String {
    let words = &words().number;
    match error {
        NumberError::Empty => words.empty.to_string(),
        NumberError::NotANumber => words.not_a_number.to_string(),
        NumberError::Outside(within) => {
            (words.outside)(&entered(within.least, 2), &entered(within.most, 2), unit)
        }
    }
}
