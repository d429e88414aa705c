//! What was measured before scribing, kept in this browser: it is there again when the page is next opened.

use super::kept::KeptMeasures;
use crate::storage::local;
use ribline_geometry::capture::before_scribing::{Halves, Measured};
use ribline_geometry::json::{Fault, Fields, Form, Layout, Map, Value, parse};

const MEASURES: &str = "ribline.before-scribing";

impl Form for KeptMeasures {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "measures before scribing in { }")?;
        let mut halves = |name| fields.take::<[f64; 2]>(name).map(|[left, right]| Halves { left, right });
        let (lower, waist, upper) = (halves("lower_mm")?, halves("waist_mm")?, halves("upper_mm")?);
        let (length, neck_off) = (fields.take("length_mm")?, fields.take("neck_off_mm")?);
        Ok(KeptMeasures {
            recipe: fields.take("recipe")?,
            measured: Measured { length, lower, waist, upper, neck_off },
            gives: fields.take("gives_mm")?,
        })
    }

    fn written(&self) -> Value {
        let Measured { length, lower, waist, upper, neck_off } = self.measured;
        let halves = |halves: Halves| [halves.left, halves.right];
        let entries = Map::new()
            .with("recipe", &self.recipe)
            .with("length_mm", &length)
            .with("lower_mm", &halves(lower))
            .with("waist_mm", &halves(waist))
            .with("upper_mm", &halves(upper))
            .with("neck_off_mm", &neck_off)
            .with("gives_mm", &self.gives);
        Value::Object(entries)
    }
}

pub fn find() -> Option<KeptMeasures> {
    let text = local()?.get_item(MEASURES).ok()??;
    KeptMeasures::read(&parse(&text).ok()?).ok()
}

/// Whether there was room.
pub fn keep(measures: &KeptMeasures) -> bool {
    let text = Layout::OPEN.text_of(&measures.written());
    local().is_some_and(|storage| storage.set_item(MEASURES, &text).is_ok())
}

#[cfg(test)]
mod tests {
    use super::*;
    use ribline_geometry::recipe::built_in::violin;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn measures_are_read_as_they_were_written() {
        let halves = |left: f64| Halves { left, right: left + 0.25 };
        let measured = Measured {
            length: 349.5,
            lower: halves(101.0),
            waist: halves(53.0),
            upper: halves(81.5),
            neck_off: -1.5,
        };
        let kept = KeptMeasures { recipe: violin(), measured, gives: 1.2 };
        let text = Layout::OPEN.text_of(&kept.written());
        assert_eq!(KeptMeasures::read(&parse(&text).unwrap()), Ok(kept));
    }
}
