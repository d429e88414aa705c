//! What is measured of each result of a class.

use super::View;
use crate::arc::wrap_angle;
use crate::edge::sides::{self, half_width};
use crate::outline::{Bout, Corner, Outline, Side};
use crate::project::Project;
use crate::recipe::{Action, Recipe, Size};
use crate::reconcile::report::{EdgeArc, Reconciled};
use std::f64::consts::PI;

/// A figure of one result.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    pub key: Key,
    /// In the unit of the key.
    pub value: f64,
    /// The ratio that it is or can be read as, such as "2/5 W".
    pub ratio: Option<String>,
}

/// What a figure is a figure of. Left is the bass side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Key {
    /// A measure of the recipe as found on these ribs.
    Measure {
        name: String,
        title: String,
    },
    Overhang(OverhangOf),
    Sides(SidesOf),
    Corner {
        at: Corner,
        of: CornerOf,
    },
    /// The compass setting of one of the recipe's circles as struck here, the mean of both sides.
    Radius {
        bout: Bout,
        circle: String,
    },
    /// The ratio that the recipe itself has for a measure or circle: what its maker chose.
    Chosen {
        name: String,
    },
}

/// Of the overhang at the traced points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OverhangOf {
    Least,
    Mean,
    Most,
    /// Root of the mean square of what it leaves the wanted by.
    OffWanted,
}

/// Of the asymmetry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SidesOf {
    /// Furthest that one side laid over the other is off it.
    Most,
    /// Root of the mean square of that.
    Mean,
    /// By how much the treble half is wider than the bass half.
    HalfWidth(Bout),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CornerOf {
    /// Of the middle of its end, up the centreline from the bottom of the edge.
    Up,
    /// Of the middle of its end, from the centreline.
    Out,
    Width,
    /// Upwards from square to the centreline.
    Direction,
    /// Beyond the ribs' own corner.
    Beyond,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    Mm,
    Radians,
    /// One length over another.
    Ratio,
}

impl Key {
    pub fn unit(&self) -> Unit {
        match self {
            Key::Corner { of: CornerOf::Direction, .. } => Unit::Radians,
            Key::Chosen { .. } => Unit::Ratio,
            _ => Unit::Mm,
        }
    }

    /// How much of a difference is about as noticeable as any other: what unlike figures are put in order by. Common
    /// practice: a caliper is read to 0.1 mm, a rule to 0.5 mm, a corner's direction to a degree by eye, and a compass
    /// setting that is 1 % off draws the same curve.
    pub(super) fn grain(&self, mean: f64) -> f64 {
        let hundredth = 0.01 * mean.abs();
        match self {
            Key::Overhang(_) => 0.1,
            Key::Sides(_) | Key::Corner { of: CornerOf::Width | CornerOf::Beyond, .. } => 0.2,
            Key::Measure { .. } | Key::Corner { of: CornerOf::Up | CornerOf::Out, .. } => 0.5,
            Key::Corner { of: CornerOf::Direction, .. } => PI / 180.0,
            Key::Radius { .. } => hundredth.max(0.5),
            Key::Chosen { .. } => hundredth.max(0.001),
        }
    }
}

/// All figures of a result, `edge` being its edge as it is looked at.
pub(super) fn figures(project: &Project, result: &Reconciled, edge: &Outline, view: View) -> Vec<Figure> {
    let mut found = measures(result);
    found.extend(overhang(result));
    found.extend(asymmetry(edge));
    found.extend(corners(result, edge, view));
    found.extend(radii(&result.arcs, view));
    found.extend(chosen(&project.recipe));
    // What no figure can be given for stands as missing.
    found.retain(|figure| figure.value.is_finite());
    found
}

fn plain(key: Key, value: f64) -> Figure {
    Figure { key, value, ratio: None }
}

fn measures(result: &Reconciled) -> Vec<Figure> {
    let figure = |measure: &crate::reconcile::report::FoundMeasure| Figure {
        key: Key::Measure { name: measure.name.clone(), title: measure.title.clone() },
        value: measure.found,
        ratio: measure.reading.as_ref().map(ToString::to_string),
    };
    result.measures.iter().map(figure).collect()
}

fn overhang(result: &Reconciled) -> [Figure; 4] {
    let of = &result.overhang;
    [
        plain(Key::Overhang(OverhangOf::Least), of.min),
        plain(Key::Overhang(OverhangOf::Mean), of.mean),
        plain(Key::Overhang(OverhangOf::Most), of.max),
        plain(Key::Overhang(OverhangOf::OffWanted), of.rms_deviation),
    ]
}

fn asymmetry(edge: &Outline) -> Vec<Figure> {
    let of = sides::of_edge(edge);
    let halves = Bout::ALL.map(|bout| {
        let wider = half_width(edge, bout, Side::Right) - half_width(edge, bout, Side::Left);
        plain(Key::Sides(SidesOf::HalfWidth(bout)), wider)
    });
    let both = [plain(Key::Sides(SidesOf::Most), of.most), plain(Key::Sides(SidesOf::Mean), of.rms)];
    both.into_iter().chain(halves).collect()
}

fn corners(result: &Reconciled, edge: &Outline, view: View) -> Vec<Figure> {
    let bottom = edge.runs[0].start.y;
    result
        .edge
        .corners
        .iter()
        .filter_map(|end| {
            let at = Corner::of(end.at.bout(), view.side(end.at.side()))?;
            let middle = end.outer.midpoint(end.waist);
            // As if on the right, so that the four compare.
            let upwards =
                if end.at.side() == Side::Right { end.heading } else { wrap_angle(PI - end.heading) };
            let of = |of, value| plain(Key::Corner { at, of }, value);
            Some([
                of(CornerOf::Up, middle.y - bottom),
                of(CornerOf::Out, end.at.side().sign() * middle.x),
                of(CornerOf::Width, end.width),
                of(CornerOf::Direction, upwards),
                of(CornerOf::Beyond, end.beyond_ribs),
            ])
        })
        .flatten()
        .collect()
}

fn radii(arcs: &[EdgeArc], view: View) -> Vec<Figure> {
    let mut found: Vec<(Bout, &str, Vec<&EdgeArc>)> = Vec::new();
    for arc in arcs {
        let of = found.iter_mut().find(|(bout, circle, _)| *bout == arc.run.bout && *circle == arc.circle);
        match of {
            Some((_, _, arcs)) => arcs.push(arc),
            None => found.push((arc.run.bout, &arc.circle, vec![arc])),
        }
    }
    found
        .into_iter()
        .map(|(bout, circle, arcs)| {
            let said = |side: Side| {
                let here = arcs.iter().filter(|arc| view.side(arc.run.side) == side);
                let ratios = here.filter_map(|arc| arc.reading.as_ref().map(ToString::to_string));
                let mut ratios: Vec<String> = ratios.collect();
                ratios.dedup();
                ratios.join(", ")
            };
            let (bass, treble) = (said(Side::Left), said(Side::Right));
            let ratio = if bass == treble { bass } else { format!("{bass} | {treble}") };
            let mean = arcs.iter().map(|arc| arc.arc.radius).sum::<f64>() / arcs.len().max(1) as f64;
            let key = Key::Radius { bout, circle: circle.to_owned() };
            Figure { key, value: mean, ratio: Some(ratio).filter(|ratio| !ratio.is_empty()) }
        })
        .collect()
}

/// The recipe's own ratios, as its maker left them.
fn chosen(recipe: &Recipe) -> Vec<Figure> {
    let measures = recipe.measures.iter().map(|measure| (&measure.name, &measure.size));
    let circles = recipe.steps.iter().filter_map(|step| match &step.action {
        Action::Circle { radius, .. } => Some((&step.name, radius)),
        Action::Point { .. } => None,
    });
    measures
        .chain(circles)
        .filter_map(|(name, size)| match size {
            Size::Ratio { ratio, of } => Some(Figure {
                key: Key::Chosen { name: name.clone() },
                value: ratio.of(1.0),
                ratio: Some(format!("{ratio} {of}")),
            }),
            Size::Mm(_) => None,
        })
        .collect()
}
