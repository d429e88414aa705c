//! JSON (RFC 8259), and how the project's types stand in it.
//!
//! Written here rather than taken from a library for the page's sake: generated readers of a general one, with their own
//! tables for numbers, took some 40 kB of the download. A test reads and writes against `serde_json`.
//!
//! A type that stands in a file has a [`Form`]. A fault found in a tree knows its way there, and [`place`] finds the line and
//! column of it in the text.

mod form;
mod read;
mod write;

use crate::decimal;
pub use form::{Fault, Fields, Form, Name, Named, Turn, one_entry, single};
pub use read::{LARGEST_DEPTH, SyntaxError, parse, place};
pub use write::Layout;

/// A value as it stands in a file: what order its entries have and how a number was written is kept.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Value {
    #[default]
    Null,
    Bool(bool),
    Number(Number),
    String(String),
    Array(Vec<Value>),
    Object(Map),
}

/// A number as it was written. Two are equal where they are the same number, and both whole or both decimal.
#[derive(Debug, Clone)]
pub struct Number(String);

impl PartialEq for Number {
    fn eq(&self, other: &Number) -> bool {
        let whole = |number: &Number| number.as_u64().is_some() || number.as_i64().is_some();
        self.0 == other.0
            || !whole(self) && !whole(other) && self.as_f64().is_some() && self.as_f64() == other.as_f64()
    }
}

impl From<u64> for Number {
    fn from(number: u64) -> Self {
        Number(number.to_string())
    }
}

impl From<i64> for Number {
    fn from(number: i64) -> Self {
        Number(number.to_string())
    }
}

impl Number {
    /// As it is written in JSON; not looked at any further.
    pub(crate) fn written(text: &str) -> Self {
        Number(text.to_owned())
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// With as many digits as tell it from its neighbours. `None` for what JSON has no way to write.
    pub fn from_f64(number: f64) -> Option<Self> {
        number.is_finite().then(|| Number(format!("{number:?}")))
    }

    /// `None` where it is larger than any number that is reckoned with.
    pub fn as_f64(&self) -> Option<f64> {
        decimal::read(&self.0).filter(|number| number.is_finite())
    }

    /// `None` where it has a fraction or an exponent, or is too large.
    pub fn as_i64(&self) -> Option<i64> {
        self.0.parse().ok()
    }

    /// `None` where it has a fraction, an exponent or a minus, or is too large.
    pub fn as_u64(&self) -> Option<u64> {
        self.0.parse().ok()
    }
}

/// The entries of an object in the order in which they were written, which makes no difference to what it is.
#[derive(Debug, Clone, Default)]
pub struct Map(Vec<(String, Value)>);

impl PartialEq for Map {
    fn eq(&self, other: &Map) -> bool {
        self.0 == other.0
            || self.len() == other.len() && self.iter().all(|(key, value)| other.get(key) == Some(value))
    }
}

impl Map {
    pub const fn new() -> Self {
        Map(Vec::new())
    }

    pub fn get(&self, key: &str) -> Option<&Value> {
        self.0.iter().find(|(name, _)| name == key).map(|(_, value)| value)
    }

    pub fn get_mut(&mut self, key: &str) -> Option<&mut Value> {
        self.0.iter_mut().find(|(name, _)| name == key).map(|(_, value)| value)
    }

    pub fn contains_key(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// Puts a value in the place of the entry of that name, or at the end.
    pub fn insert(&mut self, key: impl Into<String>, value: Value) {
        let key = key.into();
        match self.get_mut(&key) {
            Some(place) => *place = value,
            None => self.0.push((key, value)),
        }
    }

    /// Takes an entry out; the others keep their order.
    pub fn remove(&mut self, key: &str) {
        self.0.retain(|(name, _)| name != key);
    }

    /// Puts an entry at the end. One of the same name is not looked for.
    pub fn push(&mut self, key: impl Into<String>, value: Value) {
        self.0.push((key.into(), value));
    }

    pub fn iter(&self) -> impl ExactSizeIterator<Item = (&str, &Value)> {
        self.0.iter().map(|(key, value)| (key.as_str(), value))
    }

    pub fn keys(&self) -> impl ExactSizeIterator<Item = &str> {
        self.0.iter().map(|(key, _)| key.as_str())
    }

    pub fn values(&self) -> impl ExactSizeIterator<Item = &Value> {
        self.0.iter().map(|(_, value)| value)
    }

    pub fn len(&self) -> usize {
        self.0.len()
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl Value {
    /// The entry of an object.
    pub fn get(&self, key: &str) -> Option<&Value> {
        match self {
            Value::Object(entries) => entries.get(key),
            _ => None,
        }
    }

    pub fn as_str(&self) -> Option<&str> {
        match self {
            Value::String(text) => Some(text),
            _ => None,
        }
    }

    pub fn as_array(&self) -> Option<&[Value]> {
        match self {
            Value::Array(items) => Some(items),
            _ => None,
        }
    }

    pub fn as_array_mut(&mut self) -> Option<&mut Vec<Value>> {
        match self {
            Value::Array(items) => Some(items),
            _ => None,
        }
    }

    /// What it is, as a fault tells it.
    fn told(&self) -> String {
        match self {
            Value::Null => "null".into(),
            Value::Bool(holds) => holds.to_string(),
            Value::Number(number) => number.0.chars().take(40).collect(),
            Value::String(text) => format!("\"{}\"", text.chars().take(40).collect::<String>()),
            Value::Array(_) => "a list in [ ]".into(),
            Value::Object(_) => "something in { }".into(),
        }
    }
}

#[cfg(test)]
mod tests;
