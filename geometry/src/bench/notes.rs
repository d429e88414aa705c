//! What only the maker can tell, for the instrument's record.

use crate::json::{Fault, Fields, Form, Map, Value};

/// The maker's own words in the record.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RecordNotes {
    /// Why these ratios were chosen.
    pub why: String,
    /// When the line was traced and when the plate was cut, as the maker writes dates.
    pub traced_on: String,
    pub cut_on: String,
    /// Entries of a file that this version does not know; written back unchanged.
    pub unknown: Map,
}

impl RecordNotes {
    pub fn is_empty(&self) -> bool {
        *self == RecordNotes::default()
    }
}

impl Form for RecordNotes {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "notes for the record in { }")?;
        Ok(RecordNotes {
            why: fields.take_or_default("why_these_ratios")?,
            traced_on: fields.take_or_default("traced_on")?,
            cut_on: fields.take_or_default("cut_on")?,
            unknown: fields.rest(),
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new()
            .with("why_these_ratios", &self.why)
            .with("traced_on", &self.traced_on)
            .with("cut_on", &self.cut_on);
        Value::Object(entries.with_all(&self.unknown))
    }
}
