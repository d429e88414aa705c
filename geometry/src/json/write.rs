use super::Value;
use std::fmt::{self, Write};

/// How many levels of entries, counted from the outermost, have lines of their own; what is within those stands on one line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    pub levels: usize,
}

impl Layout {
    /// Every entry on a line of its own.
    pub const OPEN: Layout = Layout { levels: usize::MAX };

    /// The text of a value.
    pub fn text_of(self, value: &Value) -> String {
        let mut text = String::new();
        // Writing to memory does not fail.
        let _ = self.write(value, 0, &mut text);
        text
    }

    fn write(self, value: &Value, depth: usize, to: &mut String) -> fmt::Result {
        match value {
            Value::Null => to.write_str("null"),
            Value::Bool(holds) => to.write_str(if *holds { "true" } else { "false" }),
            Value::Number(number) => to.write_str(number.as_str()),
            Value::String(text) => quoted(text, to),
            Value::Array(items) => {
                to.push('[');
                for (k, item) in items.iter().enumerate() {
                    self.begin(k == 0, depth + 1, to);
                    self.write(item, depth + 1, to)?;
                }
                self.end(items.is_empty(), depth, to);
                to.write_str("]")
            }
            Value::Object(entries) => {
                to.push('{');
                for (k, (key, item)) in entries.iter().enumerate() {
                    self.begin(k == 0, depth + 1, to);
                    quoted(key, to)?;
                    to.push_str(": ");
                    self.write(item, depth + 1, to)?;
                }
                self.end(entries.is_empty(), depth, to);
                to.write_str("}")
            }
        }
    }

    fn begin(self, first: bool, depth: usize, to: &mut String) {
        let on_its_own = depth <= self.levels;
        to.push_str(match (first, on_its_own) {
            (true, _) => "",
            (false, true) => ",",
            (false, false) => ", ",
        });
        if on_its_own {
            line(depth, to);
        }
    }

    fn end(self, empty: bool, depth: usize, to: &mut String) {
        if !empty && depth < self.levels {
            line(depth, to);
        }
    }
}

fn line(depth: usize, to: &mut String) {
    to.push('\n');
    (0..depth).for_each(|_| to.push_str("  "));
}

fn quoted(text: &str, to: &mut String) -> fmt::Result {
    to.push('"');
    for c in text.chars() {
        match c {
            '"' => to.push_str("\\\""),
            '\\' => to.push_str("\\\\"),
            '\n' => to.push_str("\\n"),
            '\r' => to.push_str("\\r"),
            '\t' => to.push_str("\\t"),
            c if c < ' ' => write!(to, "\\u{:04x}", u32::from(c))?,
            c => to.push(c),
        }
    }
    to.write_str("\"")
}
