use super::Typing;
use crate::number::{NumberError, Within, entered};
use crate::words::words;
use leptos::prelude::*;

/// The value of a field: a number that is always there, or one that need not be given.
#[derive(Clone, Copy)]
pub struct Given(Signal<Option<f64>>);

impl From<Signal<Option<f64>>> for Given {
    fn from(value: Signal<Option<f64>>) -> Self {
        Given(value)
    }
}

impl From<Signal<f64>> for Given {
    fn from(value: Signal<f64>) -> Self {
        Given(Signal::derive(move || Some(value.get())))
    }
}

impl From<Memo<f64>> for Given {
    fn from(value: Memo<f64>) -> Self {
        Signal::<f64>::from(value).into()
    }
}

impl From<RwSignal<f64>> for Given {
    fn from(value: RwSignal<f64>) -> Self {
        Signal::<f64>::from(value).into()
    }
}

/// A number with its unit. What cannot be is said below it and stays as it was typed, while the value is what it was before.
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
    #[prop(into)] value: Given,
    within: Within,
    #[prop(default = 2)] decimals: usize,
    #[prop(into)] on_change: Callback<f64>,
    /// Where the value need not be given: it has been taken out.
    #[prop(optional, into)]
    on_cleared: Option<Callback<()>>,
) -> impl IntoView {
    let typing = Typing::new(value.0, within, on_cleared.is_some(), move |to| match (to, on_cleared) {
        (Some(number), _) => on_change.run(number),
        (None, Some(cleared)) => cleared.run(()),
        (None, None) => {}
    });
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
                    prop:value=move || typing.shown(decimals)
                    aria-invalid=move || typing.is_wrong().to_string()
                    aria-describedby=described_by
                    on:input=move |event| typing.take(event_target_value(&event))
                    on:blur=move |_| typing.finish()
                    on:keydown=move |event| {
                        if event.key() == "Enter" {
                            typing.finish();
                        }
                    }
                />
                <span class="unit" class:unseen=unit_hidden>{unit}</span>
            </span>
            <p class="trouble" id=error_id.clone() data-test=error_id aria-live="polite">{move || typing.trouble(unit)}</p>
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
