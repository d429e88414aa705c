//! What a maker has said of a photo, and how it stands in the text that is kept of it.

use super::opening::Turned;
use super::session::{Look, Sizes, Way};
use super::taps::{Stage, Taps};
use kurbo::Point;
use ribline_geometry::capture::Tone;
use ribline_geometry::json::{Fault, Fields, Form, Map, Name, Named, Value};

/// What a maker has said of a photo, from which all else is worked.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    pub way: Way,
    pub sizes: Sizes,
    pub stage: Stage,
    pub look: Look,
    pub taps: Taps,
}

impl Form for Said {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "what is said of a photo in { }")?;
        Ok(Said {
            way: fields.take("scale_from")?,
            sizes: fields.take("sizes")?,
            stage: fields.take("stage")?,
            look: fields.take("look")?,
            taps: fields.take("taps_px")?,
        })
    }

    fn written(&self) -> Value {
        let Said { way, sizes, stage, look, taps } = self;
        let entries = Map::new().with("scale_from", way).with("sizes", sizes).with("stage", stage);
        Value::Object(entries.with("look", look).with("taps_px", taps))
    }
}

impl Form for Turned {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "how a photo is turned in { }")?;
        let quarters: usize = fields.take("quarters")?;
        Ok(Turned { quarters: (quarters % 4) as u32, mirrored: fields.take("mirrored")? })
    }

    fn written(&self) -> Value {
        let entries = Map::new().with("quarters", &(self.quarters as usize));
        Value::Object(entries.with("mirrored", &self.mirrored))
    }
}

impl Form for Sizes {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "sizes in { }")?;
        let mut pair = |name| fields.take::<[f64; 2]>(name).map(|[across, up]| (across, up));
        Ok(Sizes {
            frame: pair("frame_mm")?,
            rectangle: pair("rectangle_mm")?,
            diagonals: fields.take("diagonals_mm")?,
            pins: fields.take("pins_mm")?,
            dots: fields.take("dots_per_inch")?,
        })
    }

    fn written(&self) -> Value {
        let pair = |(across, up): (f64, f64)| [across, up];
        let entries = Map::new()
            .with("frame_mm", &pair(self.frame))
            .with("rectangle_mm", &pair(self.rectangle))
            .with("diagonals_mm", &self.diagonals)
            .with("pins_mm", &self.pins)
            .with("dots_per_inch", &self.dots);
        Value::Object(entries)
    }
}

impl Form for Taps {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "taps in { }")?;
        Ok(Taps {
            marks: fields.take("marks")?,
            pins: fields.take("pins")?,
            without_pins: fields.take("without_pins")?,
            corners: fields.take("corners")?,
            bottom: fields.take("bottom")?,
            top: fields.take("top")?,
            vias: fields.take("vias")?,
            // Photos that were kept before this was known have none.
            rough: fields
                .take_or_default::<Vec<[f64; 3]>>("rough")?
                .into_iter()
                .map(|[x, y, sd]| (Point::new(x, y), sd))
                .collect(),
        })
    }

    fn written(&self) -> Value {
        let Taps { marks, pins, without_pins, corners, bottom, top, vias, rough } = self;
        let rough: Vec<[f64; 3]> = rough.iter().map(|(at, sd)| [at.x, at.y, *sd]).collect();
        let entries = Map::new()
            .with("marks", marks)
            .with("pins", pins)
            .with("without_pins", without_pins)
            .with("corners", corners)
            .with("bottom", bottom)
            .with("top", top)
            .with("vias", vias)
            .with("rough", &rough);
        Value::Object(entries)
    }
}

impl Named for Way {
    const NAMES: &'static [Name<Self>] =
        &[("frame", Way::Frame), ("rectangle", Way::Rectangle), ("pins", Way::Pins), ("scan", Way::Scan)];
}

impl Named for Stage {
    const NAMES: &'static [Name<Self>] = &[("scale", Stage::Scale), ("line", Stage::Line)];
}

impl Named for Look {
    const NAMES: &'static [Name<Self>] = &[
        ("as-found", Look::AsFound),
        ("dark", Look::Of(Tone::Dark)),
        ("light", Look::Of(Tone::Light)),
        ("edge", Look::Of(Tone::Edge)),
        ("not-followed", Look::NotFollowed),
    ];
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Point;
    use ribline_geometry::json::{Layout, parse};
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn what_was_said_of_a_photo_is_read_as_it_was_written() {
        let mut taps = Taps { marks: vec![Point::new(10.25, 2.0), Point::new(90.0, 3.0)], ..Taps::default() };
        taps.pins[1] = Some(Point::new(50.0, 0.125));
        taps.corners[2] = Some(Point::new(1.0, 1e-3));
        taps.bottom = Some(Point::new(50.0, 195.0));
        taps.vias[3] = vec![Point::new(70.0, 185.0), Point::new(88.0, 170.0)];
        for (way, look) in Way::ALL.into_iter().zip(Look::ALL) {
            let said = Said {
                way,
                sizes: Sizes {
                    frame: (270.0, 420.0),
                    rectangle: (260.5, 400.0),
                    diagonals: [None, Some(477.0)],
                    pins: Some(340.0),
                    dots: None,
                },
                stage: Stage::Line,
                look,
                taps: taps.clone(),
            };
            let text = Layout::OPEN.text_of(&said.written());
            assert_eq!(Said::read(&parse(&text).unwrap()), Ok(said));
        }
        let turned = Turned { quarters: 3, mirrored: true };
        assert_eq!(Turned::read(&turned.written()), Ok(turned));
        assert!(Said::read(&parse("{\"scale_from\":\"moon\"}").unwrap()).is_err());
    }
}
