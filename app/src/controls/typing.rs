use super::trouble_with;
use crate::number::{NumberError, Within, entered, read_number};
use crate::store::{Store, use_store};
use leptos::prelude::*;

/// A number while it is typed. It counts as soon as it is one; as long as what stands there cannot be, the value is what it was
/// before the typing began, and not what its first digits would make.
#[derive(Clone, Copy)]
pub struct Typing {
    store: Store,
    value: Signal<Option<f64>>,
    within: Within,
    /// Whether it need not be given.
    optional: bool,
    on_change: Callback<Option<f64>>,
    typed: RwSignal<Option<Typed>>,
    before: StoredValue<Option<f64>>,
}

#[derive(Clone)]
struct Typed {
    text: String,
    /// The value while that stands there.
    left: Option<f64>,
}

impl Typing {
    pub fn new(
        value: Signal<Option<f64>>,
        within: Within,
        optional: bool,
        on_change: impl Fn(Option<f64>) + Send + Sync + 'static,
    ) -> Self {
        let (typed, before) = (RwSignal::new(None), StoredValue::new(None));
        Typing {
            store: use_store(),
            value,
            within,
            optional,
            on_change: Callback::new(on_change),
            typed,
            before,
        }
    }

    /// What is typed there, unless the value was changed elsewhere since, as by a step back.
    fn typed(self) -> Option<Typed> {
        let value = self.value.get();
        self.typed.get().filter(|typed| self.read(&typed.text).unwrap_or(typed.left) == value)
    }

    fn read(self, text: &str) -> Result<Option<f64>, NumberError> {
        match read_number(text, self.within) {
            Err(NumberError::Empty) if self.optional => Ok(None),
            other => other.map(Some),
        }
    }

    /// What stands in the field.
    pub fn shown(self, decimals: usize) -> String {
        match self.typed() {
            Some(typed) => typed.text,
            None => self.value.get().map_or_else(String::new, |value| entered(value, decimals)),
        }
    }

    pub fn trouble(self, unit: &str) -> Option<String> {
        self.typed().and_then(|typed| self.read(&typed.text).err()).map(|error| trouble_with(error, unit))
    }

    pub fn is_wrong(self) -> bool {
        self.typed().is_some_and(|typed| self.read(&typed.text).is_err())
    }

    pub fn take(self, text: String) {
        // What was typed over altogether is the beginning of another number.
        let goes_on = |typed: &Typed| text.starts_with(&typed.text) || typed.text.starts_with(&text);
        if !untrack(|| self.typed()).as_ref().is_some_and(goes_on) {
            self.before.set_value(self.value.get_untracked());
        }
        let to = self.read(&text).unwrap_or_else(|_| self.before.get_value());
        if to != self.value.get_untracked() {
            self.on_change.run(to);
        }
        self.typed.set(Some(Typed { text, left: self.value.get_untracked() }));
    }

    /// The field is left: what cannot be stays as it was typed.
    pub fn finish(self) {
        // A field that goes while it is written in is left once it is gone.
        if self.typed.try_get_untracked().is_none() {
            return;
        }
        if !untrack(|| self.is_wrong()) {
            self.typed.set(None);
        }
        self.store.settle();
    }
}
