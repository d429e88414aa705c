//! Outlines from open vector files: SVG (W3C) and DXF (as text), sampled at a chosen spacing.

mod css;
mod dxf;
mod join;
mod svg;

use crate::bench::shapes::Layer;
use crate::decimal;
use kurbo::{BezPath, ParamCurve, ParamCurveArclen, PathEl, PathSeg, Point, Rect, Shape};

/// What was found in a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct VectorDrawing {
    /// The longest first.
    pub lines: Vec<VectorLine>,
    /// Where the file does not say its unit: what was taken for it.
    pub unit_taken: Option<UnitTaken>,
}

/// What a drawing that does not say its unit is taken to be drawn in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitTaken {
    /// 96 to the inch.
    Pixel,
    Millimetre,
}

impl VectorDrawing {
    /// For each line whether it is likely wanted. In a drawing of our own bench, known by the names of its lines, it is the edge
    /// alone, or where there is none the middle of the purfling: whatever else is long there was never traced. In any other
    /// what is ruled, as a frame, a table or the centreline, is set aside; of the rest it is the longest alone where that is
    /// closed, for one outline is not in two lines, and else every open line that is not much shorter.
    pub fn likely(&self) -> Vec<bool> {
        let named = |layer: Layer| move |line: &VectorLine| line.name == layer.name();
        let ours = self.lines.iter().all(|line| Layer::ALL.into_iter().any(|layer| named(layer)(line)));
        let traced =
            [Layer::Edge, Layer::Purfling].into_iter().find(|layer| self.lines.iter().any(named(*layer)));
        let all_ruled = self.lines.iter().all(VectorLine::is_ruled);
        let candidate = |line: &VectorLine| all_ruled || !line.is_ruled();
        let first = self.lines.iter().position(candidate).unwrap_or_default();
        let longest = self.lines.get(first);
        let wanted = |(k, line): (usize, &VectorLine)| match (traced.filter(|_| ours), longest) {
            (Some(layer), _) => named(layer)(line),
            (None, Some(longest)) if longest.closed => k == first,
            (None, longest) => {
                let length = longest.map_or(0.0, |longest| longest.length);
                candidate(line) && !line.closed && line.length >= LONG * length
            }
        };
        self.lines.iter().enumerate().map(wanted).collect()
    }
}

/// A line of the drawing, sampled.
#[derive(Debug, Clone, PartialEq)]
pub struct VectorLine {
    /// What the file calls it: an id or a layer; may be empty.
    pub name: String,
    /// mm, y up.
    pub points: Vec<Point>,
    pub closed: bool,
    /// mm.
    pub length: f64,
}

impl VectorLine {
    /// mm.
    pub fn extent(&self) -> Rect {
        let places = self.points.iter().map(|p| Rect::from_points(*p, *p));
        places.reduce(|all, place| all.union(place)).unwrap_or_default()
    }

    /// Whether it is drawn with a rule for the most part. No part of an outline is so flat: even a bass bends in every stretch.
    fn is_ruled(&self) -> bool {
        let apart = self.length / self.points.len().max(1) as f64;
        let over = ((STRETCH / apart / 2.0).round() as usize).max(1);
        let stretches: Vec<f64> = self
            .points
            .windows(2 * over + 1)
            .map(|stretch| {
                let chord = stretch[2 * over] - stretch[0];
                chord.cross(stretch[over] - stretch[0]).abs() / chord.hypot().max(f64::MIN_POSITIVE)
            })
            .collect();
        let straight = stretches.iter().filter(|off| **off < STRAIGHT).count();
        2 * straight >= stretches.len()
    }
}

/// Longest file that is read, bytes.
pub const FILE_LIMIT: usize = 16 << 20;
/// Most elements, entities and pieces of lines.
const PIECE_LIMIT: usize = 100_000;
/// Most points of all lines together: see [`crate::trace::POINT_LIMIT`].
const POINT_LIMIT: usize = 20_000;
/// Closest and widest spacing, mm.
const SPACING: (f64, f64) = (0.2, 50.0);
/// A turn sharper than this is a corner and is kept, radians.
const CORNER: f64 = 0.35;
/// Curves keep to within this of their polylines, mm.
const FLAT: f64 = 0.005;
/// A line at least this part of the longest may be of an outline.
const LONG: f64 = 0.2;
/// Over a stretch of this length, mm, a line that bulges by less, mm, is straight: an arc as flat has a radius of 3 m, and the
/// polylines as which some programs write an arc have shorter pieces.
const STRETCH: f64 = 50.0;
const STRAIGHT: f64 = 0.1;
/// A foot of a button is the end of a piece of its edge that lies within this, mm: other programs write fewer digits.
const FOOT: f64 = 0.01;
/// Nothing of a plate lies further off than this, mm.
const REACH: f64 = 5000.0;
/// Lines shorter than this are no part of an outline, mm: hatching, letters, crosses.
const SHORT: f64 = 5.0;

/// Why there are no outlines in a file; worded for a person.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum VectorError {
    #[error("The file is larger than 16 MB. Save only the outline in a file of its own.")]
    TooLarge,
    #[error("The drawing has more than {PIECE_LIMIT} pieces. Save only the outline in a file of its own.")]
    TooMany,
    #[error("The drawing is nested too deeply. Save only the outline, ungrouped, in a file of its own.")]
    TooDeep,
    #[error(
        "This is neither an SVG nor a DXF drawing that can be read as text. Save the outline as SVG, or as DXF in text form."
    )]
    Neither,
    #[error("The SVG file is damaged at line {line}: {why}. Save it again from where it was drawn.")]
    DamagedSvg { line: u32, why: String },
    #[error("The DXF file is damaged at line {line}: {why}. Save it again from where it was drawn.")]
    DamagedDxf { line: usize, why: &'static str },
    #[error(
        "There is no line of any length in this drawing. Letters must be turned into paths, blocks taken apart and hidden layers shown before it is saved."
    )]
    Nothing,
    #[error("At every {spacing} mm there would be more than {POINT_LIMIT} points. Choose a wider spacing.")]
    TooManyPoints { spacing: f64 },
    #[error("The spacing must be from 0.2 to 50 mm.")]
    Spacing,
}

/// Reads the lines of a drawing, each sampled about every `spacing` mm and at its corners.
///
/// ```
/// use ribline_geometry::capture::read_vector;
/// let svg = br#"<svg width="100mm" height="50mm" viewBox="0 0 200 100"><circle cx="100" cy="50" r="40"/></svg>"#;
/// let lines = read_vector(svg, 2.0)?.lines;
/// assert!((lines[0].length - 40.0 * std::f64::consts::PI).abs() < 0.01);
/// # Ok::<(), ribline_geometry::capture::VectorError>(())
/// ```
///
/// # Errors
/// A sentence where the file is too large, damaged, nonsense, or has no line in it.
pub fn read_vector(bytes: &[u8], spacing: f64) -> Result<VectorDrawing, VectorError> {
    if bytes.len() > FILE_LIMIT {
        return Err(VectorError::TooLarge);
    }
    if !(SPACING.0..=SPACING.1).contains(&spacing) {
        return Err(VectorError::Spacing);
    }
    let text = crate::trace::text_of(bytes);
    let start = text.trim_start_matches('\u{feff}').trim_start();
    let (drawn, unit_taken) = if start.starts_with('<') {
        svg::read(start)?
    } else if start.starts_with(|c: char| c.is_ascii_digit()) && !text.contains('\0') {
        dxf::read(&text)?
    } else {
        return Err(VectorError::Neither);
    };
    let mut lines = Vec::new();
    let mut count = 0;
    for Drawn { name, path } in join::joined(drawn) {
        let Some(line) = sampled(name, &path, spacing) else { continue };
        count += line.points.len();
        if count > POINT_LIMIT {
            return Err(VectorError::TooManyPoints { spacing });
        }
        lines.push(line);
    }
    if lines.is_empty() {
        return Err(VectorError::Nothing);
    }
    crate::order::sort_by_value(&mut lines, |line| -line.length);
    Ok(VectorDrawing { lines, unit_taken })
}

/// Whether a text is a drawing as [`read_vector`] reads it, however damaged.
pub fn is_drawing(text: &str) -> bool {
    let start = text.trim_start_matches('\u{feff}').trim_start();
    start.starts_with('<') && start.contains("<svg")
        || start.starts_with(|c: char| c.is_ascii_digit())
            && start.lines().any(|line| line.trim() == "SECTION")
}

/// The feet of a button, from what a file says of them.
fn feet_in(text: &str) -> Option<[Point; 2]> {
    let numbers: Vec<f64> = text.split_ascii_whitespace().map_while(decimal::read).collect();
    let [a, b, c, d] = numbers[..] else { return None };
    Some([Point::new(a, b), Point::new(c, d)])
}

/// A closed edge from one foot of its button round to the other: nobody traces a button. `None` where the feet are no places
/// of this path, as after another program has changed it.
fn without_button(path: &BezPath, feet: [Point; 2]) -> Option<BezPath> {
    let mut pieces: Vec<PathSeg> = path.segments().collect();
    let [one, other] = feet.map(|foot| pieces.iter().position(|piece| piece.start().distance(foot) < FOOT));
    let (first, second) = (one?.min(other?), one?.max(other?));
    pieces.rotate_left(first);
    let (here, there) = pieces.split_at(second - first);
    let long = |part: &[PathSeg]| part.iter().map(|piece| piece.arclen(FLAT)).sum::<f64>();
    let edge = if long(here) > long(there) { here } else { there };
    Some(BezPath::from_path_segments(edge.iter().copied()))
}

/// A line as it was drawn, one piece without gaps.
struct Drawn {
    name: String,
    path: BezPath,
}

/// Adds every unbroken piece of a path. One with a place that is none, or beyond reach, is left out.
fn take(drawn: &mut Vec<Drawn>, count: &mut usize, name: &str, path: &BezPath) -> Result<(), VectorError> {
    *count += path.elements().len() + 1;
    if *count > PIECE_LIMIT {
        return Err(VectorError::TooMany);
    }
    let sound = |p: &Point| p.x.abs() < REACH && p.y.abs() < REACH;
    let mut piece = BezPath::new();
    let mut flush = |piece: &mut BezPath| {
        let elements = std::mem::take(piece);
        let all_sound = elements.elements().iter().all(|el| match el {
            PathEl::MoveTo(p) | PathEl::LineTo(p) => sound(p),
            PathEl::QuadTo(a, b) => sound(a) && sound(b),
            PathEl::CurveTo(a, b, c) => sound(a) && sound(b) && sound(c),
            PathEl::ClosePath => true,
        });
        if elements.elements().len() > 1 && all_sound {
            drawn.push(Drawn { name: name.chars().take(60).collect(), path: elements });
        }
    };
    for element in path.elements() {
        match element {
            PathEl::MoveTo(_) => flush(&mut piece),
            PathEl::ClosePath => {
                piece.push(PathEl::ClosePath);
                flush(&mut piece);
                continue;
            }
            // After a closed piece a path may go on without a move.
            _ if piece.elements().is_empty() => continue,
            _ => {}
        }
        piece.push(*element);
    }
    flush(&mut piece);
    Ok(())
}

/// A line with a point about every so many mm and at each corner. `None` for one too short to be of an outline.
fn sampled(name: String, path: &BezPath, spacing: f64) -> Option<VectorLine> {
    let segments: Vec<PathSeg> = path.segments().collect();
    let length: f64 = segments.iter().map(|s| s.arclen(FLAT)).sum();
    let first = segments.first()?.start();
    let last = segments.last()?.end();
    let closed = path.elements().last() == Some(&PathEl::ClosePath) || first.distance(last) < 1e-6;
    if length.is_nan() || length < SHORT {
        return None;
    }
    let mut flat: Vec<Point> = Vec::new();
    kurbo::flatten(path.path_elements(FLAT), FLAT, |element| match element {
        PathEl::MoveTo(p) | PathEl::LineTo(p) if flat.last() != Some(&p) => flat.push(p),
        _ => {}
    });
    if closed && flat.first() != flat.last() {
        flat.extend(flat.first().copied());
    }
    let mut points = vec![*flat.first()?];
    // From corner to corner in equal steps near to the spacing.
    let mut start = 0;
    for k in 1..flat.len() {
        let corner = k + 1 == flat.len() || turn(flat[k - 1], flat[k], flat[k + 1]) > CORNER;
        if !corner {
            continue;
        }
        let part = &flat[start..=k];
        let long: f64 = part.windows(2).map(|w| w[0].distance(w[1])).sum();
        let steps = (long / spacing).round().max(1.0);
        // More than this many is refused by the caller all the same.
        if steps as usize > POINT_LIMIT {
            points.resize(POINT_LIMIT + 1, flat[k]);
            break;
        }
        spaced(part, long / steps, steps as usize, &mut points);
        start = k;
    }
    if closed {
        points.pop();
        // Not even as long as two or three steps: no part of an outline at this spacing.
        if points.len() < 3 {
            return None;
        }
    }
    Some(VectorLine { name, points, closed, length })
}

fn turn(a: Point, b: Point, c: Point) -> f64 {
    let (v, w) = (b - a, c - b);
    v.cross(w).atan2(v.dot(w)).abs()
}

/// Adds the places that are so many steps along a polyline, the last of them its end.
fn spaced(part: &[Point], step: f64, steps: usize, points: &mut Vec<Point>) {
    let (mut walked, mut next) = (0.0, 1);
    for pair in part.windows(2) {
        let long = pair[0].distance(pair[1]);
        while next < steps && walked + long >= next as f64 * step && long > 0.0 {
            let t = ((next as f64 * step - walked) / long).clamp(0.0, 1.0);
            points.push(kurbo::Line::new(pair[0], pair[1]).eval(t));
            next += 1;
        }
        walked += long;
    }
    points.extend(part.last().copied());
}

#[cfg(test)]
#[path = "../vector_tests.rs"]
mod tests;
