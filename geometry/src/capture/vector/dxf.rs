//! Lines of a DXF drawing in text form: LINE, LWPOLYLINE, POLYLINE, ARC, CIRCLE, ELLIPSE and SPLINE.
//! Source: the published DXF reference, group codes of the ENTITIES section.

use super::{Drawn, UnitTaken, VectorError, feet_in, take, without_button};
use crate::bench::shapes::{BUTTON_FEET, Layer};
use crate::decimal;
use kurbo::{Affine, Arc, BezPath, Ellipse, Point, Shape, Vec2};
use std::f64::consts::TAU;

/// Most pairs of a group code and its value.
const PAIR_LIMIT: usize = 2_000_000;
const ROUND: f64 = 1e-4;
/// Pieces of a spline between two of its knots.
const SPLINE_PIECES: usize = 16;
const HIGHEST_DEGREE: usize = 10;

/// One group: its code, its value, and the line it stands on.
struct Group<'a> {
    code: i32,
    value: &'a str,
    line: usize,
}

impl Group<'_> {
    fn number(&self) -> Result<f64, VectorError> {
        decimal::read(self.value)
            .filter(|v| v.is_finite())
            .ok_or(VectorError::DamagedDxf { line: self.line, why: "a number is missing" })
    }

    fn whole(&self) -> i64 {
        self.value.parse().unwrap_or(0)
    }
}

pub(super) fn read(text: &str) -> Result<(Vec<Drawn>, Option<UnitTaken>), VectorError> {
    let groups = groups(text)?;
    if !groups.iter().any(|g| g.code == 0 && g.value == "SECTION") {
        return Err(VectorError::Neither);
    }
    let unit = unit(&groups);
    let scale = Affine::scale(unit.unwrap_or(1.0));
    let start = groups
        .windows(2)
        .position(|w| w[0].code == 0 && w[0].value == "SECTION" && w[1].code == 2 && w[1].value == "ENTITIES")
        .ok_or(VectorError::Nothing)?;
    let entities = &groups[start + 2..];
    let end = entities.iter().position(|g| g.code == 0 && g.value == "ENDSEC").ok_or_else(|| {
        let last = groups.last().map_or(0, |g| g.line);
        VectorError::DamagedDxf { line: last, why: "it breaks off" }
    })?;
    let entities = &entities[..end];
    let feet = groups
        .iter()
        .filter(|g| g.code == 999)
        .find_map(|g| g.value.strip_prefix(BUTTON_FEET))
        .and_then(feet_in);

    let mut drawn = Vec::new();
    let mut count = 0;
    let starts: Vec<usize> = (0..entities.len()).filter(|k| entities[*k].code == 0).collect();
    let entity = |k: usize| {
        let from = starts[k];
        let to = starts.get(k + 1).copied().unwrap_or(entities.len());
        (entities[from].value, &entities[from + 1..to])
    };
    let mut k = 0;
    while k < starts.len() {
        let (kind, groups) = entity(k);
        k += 1;
        let path = match kind {
            "LINE" => line(groups)?,
            "LWPOLYLINE" => light_polyline(groups)?,
            "POLYLINE" => {
                let mut vertices = Vec::new();
                while k < starts.len() && entity(k).0 == "VERTEX" {
                    vertices.push(vertex(entity(k).1)?);
                    k += 1;
                }
                polyline(&vertices, flag(groups, 70) & 1 == 1)
            }
            "ARC" => arc(groups)?,
            "CIRCLE" => {
                let radius = value(groups, 40)?.unwrap_or(0.0);
                if !within_reach(radius) {
                    continue;
                }
                kurbo::Circle::new(place(groups, 10)?, radius).to_path(ROUND)
            }
            "ELLIPSE" => ellipse(groups)?,
            "SPLINE" => spline(groups)?,
            _ => continue,
        };
        // An entity whose own z points down is drawn mirrored.
        let turned = value(groups, 230)?.is_some_and(|z| z < 0.0)
            && kind != "LINE"
            && kind != "ELLIPSE"
            && kind != "SPLINE";
        let own = if turned { Affine::FLIP_X } else { Affine::IDENTITY };
        let layer = groups.iter().find(|g| g.code == 8).map_or("", |g| g.value);
        let edge = feet.filter(|_| layer == Layer::Edge.name()).and_then(|feet| without_button(&path, feet));
        take(&mut drawn, &mut count, layer, &(scale * own * edge.unwrap_or(path)))?;
    }
    Ok((drawn, unit.is_none().then_some(UnitTaken::Millimetre)))
}

fn groups(text: &str) -> Result<Vec<Group<'_>>, VectorError> {
    let mut groups = Vec::new();
    let mut lines = text.lines().map(str::trim).enumerate();
    while let Some((k, code)) = lines.next() {
        if code.is_empty() && groups.is_empty() {
            continue;
        }
        let Ok(code) = code.parse() else {
            // What comes after the end is nobody's.
            if groups.last().is_some_and(|g: &Group<'_>| g.code == 0 && g.value == "EOF") {
                break;
            }
            return Err(VectorError::DamagedDxf { line: k + 1, why: "a group code is missing" });
        };
        let Some((_, value)) = lines.next() else {
            return Err(VectorError::DamagedDxf { line: k + 1, why: "it breaks off" });
        };
        groups.push(Group { code, value, line: k + 2 });
        if groups.len() > PAIR_LIMIT {
            return Err(VectorError::TooMany);
        }
    }
    Ok(groups)
}

/// Millimetres to the drawing's unit, where it says.
fn unit(groups: &[Group<'_>]) -> Option<f64> {
    let said = groups.windows(2).find(|w| w[0].code == 9 && w[0].value == "$INSUNITS").map(|w| w[1].whole());
    Some(match said? {
        1 => 25.4,
        2 => 304.8,
        4 => 1.0,
        5 => 10.0,
        6 => 1000.0,
        _ => return None,
    })
}

fn value(groups: &[Group<'_>], code: i32) -> Result<Option<f64>, VectorError> {
    groups.iter().find(|g| g.code == code).map(Group::number).transpose()
}

fn flag(groups: &[Group<'_>], code: i32) -> i64 {
    groups.iter().find(|g| g.code == code).map_or(0, Group::whole)
}

fn place(groups: &[Group<'_>], code: i32) -> Result<Point, VectorError> {
    Ok(Point::new(value(groups, code)?.unwrap_or(0.0), value(groups, code + 10)?.unwrap_or(0.0)))
}

/// A curve is laid out in pieces by its radius: of one that no plate has there would be no end.
fn within_reach(radius: f64) -> bool {
    radius.abs() < 1e7
}

fn line(groups: &[Group<'_>]) -> Result<BezPath, VectorError> {
    Ok(kurbo::Line::new(place(groups, 10)?, place(groups, 11)?).to_path(ROUND))
}

/// A vertex, and the bulge of the piece that begins there: the tangent of a quarter of its sweep.
struct Vertex {
    at: Point,
    bulge: f64,
}

fn vertex(groups: &[Group<'_>]) -> Result<Vertex, VectorError> {
    Ok(Vertex { at: place(groups, 10)?, bulge: value(groups, 42)?.unwrap_or(0.0) })
}

fn light_polyline(groups: &[Group<'_>]) -> Result<BezPath, VectorError> {
    let mut vertices: Vec<Vertex> = Vec::new();
    for group in groups {
        match group.code {
            10 => vertices.push(Vertex { at: Point::new(group.number()?, 0.0), bulge: 0.0 }),
            20 => {
                if let Some(last) = vertices.last_mut() {
                    last.at.y = group.number()?;
                }
            }
            42 => {
                if let Some(last) = vertices.last_mut() {
                    last.bulge = group.number()?;
                }
            }
            _ => {}
        }
    }
    Ok(polyline(&vertices, flag(groups, 70) & 1 == 1))
}

fn polyline(vertices: &[Vertex], closed: bool) -> BezPath {
    let mut path = BezPath::new();
    let Some(first) = vertices.first() else { return path };
    path.move_to(first.at);
    let ends = vertices.iter().skip(1).map(|v| v.at).chain(closed.then_some(first.at));
    for (vertex, to) in vertices.iter().zip(ends) {
        let chord = to - vertex.at;
        let sweep = 4.0 * vertex.bulge.atan();
        let radius = chord.hypot() / (2.0 * (sweep / 2.0).sin());
        if vertex.bulge.abs() < 1e-9 || chord.hypot() < 1e-9 || !within_reach(radius) {
            path.line_to(to);
            continue;
        }
        let left = Vec2::new(-chord.y, chord.x) / chord.hypot();
        let centre = vertex.at.midpoint(to) + left * radius * (sweep / 2.0).cos();
        let start = (vertex.at - centre).atan2();
        let arc = Arc::new(centre, (radius.abs(), radius.abs()), start, sweep, 0.0);
        path.extend(arc.append_iter(ROUND));
    }
    if closed {
        path.close_path();
    }
    path
}

fn arc(groups: &[Group<'_>]) -> Result<BezPath, VectorError> {
    let angle = |code| -> Result<f64, VectorError> { Ok(value(groups, code)?.unwrap_or(0.0).to_radians()) };
    let (start, end) = (angle(50)?, angle(51)?);
    let sweep = (end - start).rem_euclid(TAU);
    let radius = value(groups, 40)?.unwrap_or(0.0);
    if !within_reach(radius) {
        return Ok(BezPath::new());
    }
    Ok(Arc::new(place(groups, 10)?, (radius, radius), start, if sweep == 0.0 { TAU } else { sweep }, 0.0)
        .to_path(ROUND))
}

fn ellipse(groups: &[Group<'_>]) -> Result<BezPath, VectorError> {
    let (centre, major) = (place(groups, 10)?, place(groups, 11)?.to_vec2());
    let minor = major.hypot() * value(groups, 40)?.unwrap_or(1.0);
    let (from, to) = (value(groups, 41)?.unwrap_or(0.0), value(groups, 42)?.unwrap_or(TAU));
    let sweep = (to - from).rem_euclid(TAU);
    if !(within_reach(major.hypot()) && within_reach(minor)) {
        return Ok(BezPath::new());
    }
    let turn = major.atan2() * if value(groups, 230)?.is_some_and(|z| z < 0.0) { -1.0 } else { 1.0 };
    if sweep < 1e-9 || (sweep - TAU).abs() < 1e-9 {
        return Ok(Ellipse::new(centre, (major.hypot(), minor), turn).to_path(ROUND));
    }
    Ok(Arc::new(centre, (major.hypot(), minor), from, sweep, turn).to_path(ROUND))
}

/// Worked at places between its knots, as weighted means of its control points.
/// Source: de Boor, "A Practical Guide to Splines", Springer 1978.
fn spline(groups: &[Group<'_>]) -> Result<BezPath, VectorError> {
    let list = |code: i32| {
        groups.iter().filter(move |g| g.code == code).map(Group::number).collect::<Result<Vec<f64>, _>>()
    };
    let degree = flag(groups, 71).clamp(1, HIGHEST_DEGREE as i64) as usize;
    let knots = list(40)?;
    let (x, y) = (list(10)?, list(20)?);
    let weights = list(41)?;
    let control: Vec<[f64; 3]> = x
        .iter()
        .zip(&y)
        .enumerate()
        .map(|(k, (x, y))| {
            let w = weights.get(k).copied().unwrap_or(1.0);
            [x * w, y * w, w]
        })
        .collect();
    let mut path = BezPath::new();
    let mut go_to = |p: Point| if path.elements().is_empty() { path.move_to(p) } else { path.line_to(p) };
    if control.len() <= degree || knots.len() != control.len() + degree + 1 {
        // Without control points the places it goes through are all there is.
        for (x, y) in list(11)?.into_iter().zip(list(21)?) {
            go_to(Point::new(x, y));
        }
        return Ok(path);
    }
    for span in degree..control.len() {
        let (from, to) = (knots[span], knots[span + 1]);
        if to.is_nan() || to <= from {
            continue;
        }
        let first = usize::from(span > degree);
        for part in first..=SPLINE_PIECES {
            let t = from + (to - from) * part as f64 / SPLINE_PIECES as f64;
            let mut d: Vec<[f64; 3]> = control[span - degree..=span].to_vec();
            for level in 1..=degree {
                for j in (level..=degree).rev() {
                    let i = span - degree + j;
                    let width = knots[i + degree + 1 - level] - knots[i];
                    let a = if width > 0.0 { (t - knots[i]) / width } else { 0.0 };
                    d[j] = std::array::from_fn(|k| (1.0 - a) * d[j - 1][k] + a * d[j][k]);
                }
            }
            let [x, y, w] = d[degree];
            go_to(Point::new(x / w, y / w));
        }
    }
    Ok(path)
}
