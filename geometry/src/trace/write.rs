//! A trace as text again.

use super::notice::name;
use super::{Pin, Trace};
use std::fmt::Write;

impl Trace {
    /// The trace as CSV, `run,x_mm,y_mm`, pins first. [`super::read`] gives the same points and pins back exactly;
    /// points of an offsets table have `left` or `right` for their run.
    pub fn to_csv(&self) -> String {
        let mut text = String::from("run,x_mm,y_mm\n");
        for (pin, at) in [(Pin::Lower, self.pins.lower), (Pin::Upper, self.pins.upper)] {
            if let Some(at) = at {
                let _ = writeln!(text, "{pin},{},{}", at.x, at.y);
            }
        }
        for point in &self.points {
            let name = match (point.run, point.side) {
                (Some(run), _) => run.to_string(),
                (None, Some(side)) => name(side).to_owned(),
                (None, None) => String::new(),
            };
            let _ = writeln!(text, "{name},{},{}", point.at.x, point.at.y);
        }
        text
    }
}
