//! How a project and what belongs to it stand in its file. The recipe's part is in `recipe::json`.

use super::{FORMAT, Project, VERSION};
use crate::edge::{CornerCut, CornerWish};
use crate::json::{Fault, Fields, Form, Map, Name, Named, Value, one_entry, single};
use crate::outline::{Face, FaceUp, Plate, Run, Side, UnknownRun};
use crate::ratio::{Ratio, RatioError};
use crate::reconcile::{Finish, Overhang, Radii, Traced, Wish};
use crate::trace::{HowTaken, Pins, Trace, TracedPoint};

impl Form for Project {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a project in { }")?;
        let _: (Value, Value) = (fields.take("format")?, fields.take("version")?);
        Ok(Project {
            title: fields.take_or_default("title")?,
            notes: fields.take_or_default("notes")?,
            face: fields.take_or_default("face")?,
            trace: fields.take("trace")?,
            recipe: fields.take("recipe")?,
            wish: fields.take("wish")?,
            mould: fields.take_or_default("mould")?,
            bench: fields.take_or_default("bench")?,
            // It is by far the longest part of a file, so the likeliest to be damaged, and the rest is as good without it.
            photo: fields.take_or_default("photo").unwrap_or_default(),
            as_cut: fields.take_or_default("as_cut")?,
            record: fields.take_or_default("record")?,
            unknown: fields.rest(),
        })
    }

    fn written(&self) -> Value {
        let Project { title, notes, face, trace, recipe, wish, mould, bench, photo, as_cut, record, unknown } =
            self;
        let as_cut = (!as_cut.is_empty()).then(|| as_cut.clone());
        let record = (!record.is_empty()).then(|| record.clone());
        let entries = Map::new()
            .with("format", &FORMAT.to_owned())
            .with("version", &(VERSION as usize))
            .with("title", title)
            .with("notes", notes)
            .with("face", face)
            .with("trace", trace)
            .with("recipe", recipe)
            .with("wish", wish)
            .with_if_there("mould", mould)
            .with_if_there("bench", bench)
            .with_if_there("photo", photo)
            .with_if_there("as_cut", &as_cut)
            .with_if_there("record", &record)
            .with_all(unknown);
        Value::Object(entries)
    }
}

impl Form for Face {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a face in { }")?;
        Ok(Face { plate: fields.take("plate")?, up: fields.take("up")? })
    }

    fn written(&self) -> Value {
        Value::Object(Map::new().with("plate", &self.plate).with("up", &self.up))
    }
}

impl Named for Plate {
    const NAMES: &'static [Name<Self>] = &[("back", Plate::Back), ("front", Plate::Front)];
}

impl Named for FaceUp {
    const NAMES: &'static [Name<Self>] = &[("inside", FaceUp::Inside), ("outside", FaceUp::Outside)];
}

impl Form for Trace {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a trace in { }")?;
        Ok(Trace { points: fields.take("points")?, pins: fields.take("pins")? })
    }

    fn written(&self) -> Value {
        Value::Object(Map::new().with("points", &self.points).with("pins", &self.pins))
    }
}

impl Form for Pins {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "pins in { }")?;
        Ok(Pins { lower: fields.take_or_default("lower")?, upper: fields.take_or_default("upper")? })
    }

    fn written(&self) -> Value {
        Value::Object(Map::new().with("lower", &self.lower).with("upper", &self.upper))
    }
}

impl Form for TracedPoint {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a traced point in { }")?;
        Ok(TracedPoint {
            at: fields.take("at")?,
            run: fields.take_or_default("run")?,
            side: fields.take_or_default("side")?,
            line: fields.take("line")?,
            taken: fields.take_or_default("taken")?,
            sd: fields.take_or_default("sd_mm")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new().with("at", &self.at).with("run", &self.run);
        let taken = (self.taken != HowTaken::Given).then_some(self.taken);
        let entries = entries.with_if_there("side", &self.side).with("line", &self.line);
        let entries = entries.with_if_there("taken", &taken);
        // To a thousandth: more would be no truer, and there may be hundreds of points.
        let sd = self.sd.map(|mm| (mm * 1000.0).round() / 1000.0);
        Value::Object(entries.with_if_there("sd_mm", &sd))
    }
}

impl Form for Run {
    fn read(value: &Value) -> Result<Self, Fault> {
        let text = value.as_str().ok_or_else(|| Fault::unlike(value, "a run such as \"lower-left\""))?;
        text.parse().map_err(|error: UnknownRun| Fault::new(error.to_string()))
    }

    fn written(&self) -> Value {
        Value::String(self.to_string())
    }
}

impl Named for HowTaken {
    const NAMES: &'static [Name<Self>] = &[
        ("given", HowTaken::Given),
        ("tapped", HowTaken::Tapped),
        ("followed", HowTaken::Followed),
        ("drawn", HowTaken::Drawn),
        ("offset", HowTaken::Offset),
        ("moved", HowTaken::Moved),
    ];
}

impl Named for Side {
    const NAMES: &'static [Name<Self>] = &[("left", Side::Left), ("right", Side::Right)];
}

impl Form for Ratio {
    fn read(value: &Value) -> Result<Self, Fault> {
        let text = value.as_str().ok_or_else(|| Fault::unlike(value, "a ratio such as \"3/4\""))?;
        text.parse().map_err(|error: RatioError| Fault::new(error.to_string()))
    }

    fn written(&self) -> Value {
        Value::String(self.to_string())
    }
}

impl Form for Wish {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "settings in { }")?;
        Ok(Wish {
            traced: fields.take("traced")?,
            overhang: fields.take("overhang")?,
            tolerance: fields.take("tolerance")?,
            purfling_distance: fields.take("purfling_distance")?,
            finish: fields.take("finish")?,
            radii: fields.take("radii")?,
            extra_arcs: fields.take("extra_arcs")?,
            corners: fields.take("corners")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new()
            .with("traced", &self.traced)
            .with("overhang", &self.overhang)
            .with("tolerance", &self.tolerance)
            .with("purfling_distance", &self.purfling_distance)
            .with("finish", &self.finish)
            .with("radii", &self.radii)
            .with("extra_arcs", &self.extra_arcs)
            .with("corners", &self.corners);
        Value::Object(entries)
    }
}

impl Named for Traced {
    const NAMES: &'static [Name<Self>] =
        &[("ribs", Traced::Ribs), ("purfling", Traced::Purfling), ("edge", Traced::Edge)];
}

impl Named for Finish {
    const NAMES: &'static [Name<Self>] =
        &[("fitted", Finish::Fitted), ("ratio", Finish::Ratio), ("recipe", Finish::Recipe)];
}

impl Named for Radii {
    const NAMES: &'static [Name<Self>] = &[("shared", Radii::Shared), ("each-side", Radii::EachSide)];
}

impl Form for Overhang {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "the overhang of each bout in { }")?;
        Ok(Overhang {
            lower: fields.take("lower")?,
            waist: fields.take("waist")?,
            upper: fields.take("upper")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new().with("lower", &self.lower).with("waist", &self.waist);
        Value::Object(entries.with("upper", &self.upper))
    }
}

impl Form for CornerWish {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a corner in { }")?;
        Ok(CornerWish { cut: fields.take("cut")?, lean: fields.take_or_default("lean")? })
    }

    fn written(&self) -> Value {
        Value::Object(Map::new().with("cut", &self.cut).with("lean", &self.lean))
    }
}

impl Form for CornerCut {
    fn read(value: &Value) -> Result<Self, Fault> {
        const LIKE: &str = "a cut, {\"width\": 7.2} or {\"beyond\": 4}";
        match single(value, LIKE)? {
            ("width", mm) => Ok(CornerCut::Width(f64::read(mm)?)),
            ("beyond", mm) => Ok(CornerCut::Beyond(f64::read(mm)?)),
            _ => Err(Fault::unlike(value, LIKE)),
        }
    }

    fn written(&self) -> Value {
        match self {
            CornerCut::Width(mm) => one_entry("width", mm),
            CornerCut::Beyond(mm) => one_entry("beyond", mm),
        }
    }
}
