//! How a result of a class crosses from where it is worked to where it is shown.

use super::{CornerOf, Figure, Key, Member, OverhangOf, SidesOf};
use crate::json::{Fault, Fields, Form, Map, Name, Named, Value};
use crate::outline::{Bout, Corner, Run, Side};
use kurbo::Point;

impl Form for Member {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a result of a class in { }")?;
        let edge: [Vec<f64>; 6] = fields.take("edge")?;
        Ok(Member {
            name: fields.take("name")?,
            recipe: fields.take("recipe")?,
            construction: fields.take("construction")?,
            turned: fields.take("turned")?,
            edge: edge.map(|run| points(&run)),
            bottom: fields.take("bottom")?,
            top: fields.take("top")?,
            lower_pin: fields.take_or_default("lower_pin")?,
            figures: fields.take("figures")?,
            left_out: fields.take("left_out")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new()
            .with("name", &self.name)
            .with("recipe", &self.recipe)
            .with("construction", &self.construction)
            .with("turned", &self.turned)
            .with("edge", &self.edge.each_ref().map(|run| flat(run)))
            .with("bottom", &self.bottom)
            .with("top", &self.top)
            .with_if_there("lower_pin", &self.lower_pin)
            .with("figures", &self.figures)
            .with("left_out", &self.left_out);
        Value::Object(entries)
    }
}

/// To a thousandth of a mm: it is only drawn.
fn flat(points: &[Point]) -> Vec<f64> {
    let fine = |mm: f64| (mm * 1000.0).round() / 1000.0;
    points.iter().flat_map(|point| [fine(point.x), fine(point.y)]).collect()
}

fn points(flat: &[f64]) -> Vec<Point> {
    flat.chunks_exact(2).map(|pair| Point::new(pair[0], pair[1])).collect()
}

impl Form for Figure {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a figure in { }")?;
        Ok(Figure {
            key: fields.take("key")?,
            value: fields.take("value")?,
            ratio: fields.take_or_default("ratio")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new().with("key", &self.key).with("value", &self.value);
        Value::Object(entries.with_if_there("ratio", &self.ratio))
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Kind {
    Measure,
    Overhang,
    Sides,
    HalfWidth,
    Corner,
    Radius,
    Chosen,
}

impl Named for Kind {
    const NAMES: &'static [Name<Self>] = &[
        ("measure", Kind::Measure),
        ("overhang", Kind::Overhang),
        ("sides", Kind::Sides),
        ("half-width", Kind::HalfWidth),
        ("corner", Kind::Corner),
        ("radius", Kind::Radius),
        ("chosen", Kind::Chosen),
    ];
}

impl Named for OverhangOf {
    const NAMES: &'static [Name<Self>] = &[
        ("least", OverhangOf::Least),
        ("mean", OverhangOf::Mean),
        ("most", OverhangOf::Most),
        ("off-wanted", OverhangOf::OffWanted),
    ];
}

impl Named for CornerOf {
    const NAMES: &'static [Name<Self>] = &[
        ("up", CornerOf::Up),
        ("out", CornerOf::Out),
        ("width", CornerOf::Width),
        ("direction", CornerOf::Direction),
        ("beyond", CornerOf::Beyond),
    ];
}

const MOST: &str = "most";

impl Form for Key {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "what a figure is of in { }")?;
        Ok(match fields.take("of")? {
            Kind::Measure => Key::Measure { name: fields.take("name")?, title: fields.take("title")? },
            Kind::Overhang => Key::Overhang(fields.take("what")?),
            Kind::Sides => {
                let what: String = fields.take("what")?;
                Key::Sides(if what == MOST { SidesOf::Most } else { SidesOf::Mean })
            }
            Kind::HalfWidth => Key::Sides(SidesOf::HalfWidth(fields.take::<Run>("run")?.bout)),
            Kind::Corner => {
                let run: Run = fields.take("run")?;
                let at = Corner::of(run.bout, run.side).ok_or_else(|| Fault::new("no corner is there"))?;
                Key::Corner { at, of: fields.take("what")? }
            }
            Kind::Radius => {
                Key::Radius { bout: fields.take::<Run>("run")?.bout, circle: fields.take("name")? }
            }
            Kind::Chosen => Key::Chosen { name: fields.take("name")? },
        })
    }

    fn written(&self) -> Value {
        let of = |kind: Kind| Map::new().with("of", &kind);
        let run = |bout: Bout| Run { bout, side: Side::Right };
        Value::Object(match self {
            Key::Measure { name, title } => of(Kind::Measure).with("name", name).with("title", title),
            Key::Overhang(what) => of(Kind::Overhang).with("what", what),
            Key::Sides(SidesOf::Most) => of(Kind::Sides).with("what", &MOST.to_owned()),
            Key::Sides(SidesOf::Mean) => of(Kind::Sides).with("what", &"mean".to_owned()),
            Key::Sides(SidesOf::HalfWidth(bout)) => of(Kind::HalfWidth).with("run", &run(*bout)),
            Key::Corner { at, of: what } => of(Kind::Corner).with("run", &at.outer_run()).with("what", what),
            Key::Radius { bout, circle } => of(Kind::Radius).with("run", &run(*bout)).with("name", circle),
            Key::Chosen { name } => of(Kind::Chosen).with("name", name),
        })
    }
}
