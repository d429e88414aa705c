use leptos::prelude::*;

/// A plain button. One compiled form serves all of them, where a form for each would make the page larger to download.
pub struct Press {
    test: String,
    class: &'static str,
    label: Signal<String>,
    /// What is read out in place of the label, and shown while the pointer rests on it.
    title: Option<String>,
    pressed: Option<Signal<bool>>,
    disabled: Signal<bool>,
    on_press: Callback<()>,
}

/// A button with this name for tests, this label, and what it does.
pub fn press(
    test: impl Into<String>,
    label: impl Into<String>,
    on_press: impl Fn() + Send + Sync + 'static,
) -> Press {
    Press {
        test: test.into(),
        class: "",
        label: Signal::stored(label.into()),
        title: None,
        pressed: None,
        disabled: Signal::stored(false),
        on_press: Callback::new(move |()| on_press()),
    }
}

impl Press {
    pub fn class(self, class: &'static str) -> Self {
        Press { class, ..self }
    }

    /// A label that changes.
    pub fn labelled(self, label: Signal<String>) -> Self {
        Press { label, ..self }
    }

    pub fn titled(self, title: impl Into<String>) -> Self {
        Press { title: Some(title.into()), ..self }
    }

    /// One that stays pressed while this holds.
    pub fn pressed(self, pressed: Signal<bool>) -> Self {
        Press { pressed: Some(pressed), ..self }
    }

    pub fn disabled(self, disabled: Signal<bool>) -> Self {
        Press { disabled, ..self }
    }

    pub fn view(self) -> AnyView {
        let Press { test, class, label, title, pressed, disabled, on_press } = self;
        let spoken = title.clone();
        view! {
            <button
                type="button"
                class=class
                data-test=test
                aria-label=spoken
                title=title
                aria-pressed=move || pressed.map(|pressed| pressed.get().to_string())
                disabled=move || disabled.get()
                on:click=move |_| on_press.run(())
            >
                {move || label.get()}
            </button>
        }
        .into_any()
    }
}
