//! Lines of an SVG drawing. Source: W3C, Scalable Vector Graphics 2: transforms and viewBox (chapter 8), paths (9), basic
//! shapes (10). Nothing in a file is run or fetched: scripts, styles, links and images are passed over.

use super::{Drawn, VectorError, take};
use kurbo::{Affine, Arc, BezPath, Circle, Ellipse, Point, Rect, RoundedRect, Shape, SvgArc, Vec2};
use roxmltree::{Document, Node, ParsingOptions};
use svgtypes::{Length, LengthUnit, PathParser, PathSegment, Transform, ViewBox};

/// Most elements and attributes.
const NODE_LIMIT: u32 = 200_000;
const DEPTH_LIMIT: usize = 200;
/// Source: CSS Values and Units 4, 6.2: 96 px are an inch of 25.4 mm.
const MM_PER_PX: f64 = 25.4 / 96.0;
/// Round shapes keep to within this of their curves, in the drawing's own unit.
const ROUND: f64 = 1e-4;

pub(super) fn read(text: &str) -> Result<Vec<Drawn>, VectorError> {
    // Deep nesting would take the parser's stack before it could be counted afterwards.
    if depth_of(text) > DEPTH_LIMIT {
        return Err(VectorError::TooDeep);
    }
    let options = ParsingOptions { allow_dtd: false, nodes_limit: NODE_LIMIT, ..ParsingOptions::default() };
    let document = match Document::parse_with_options(text, options) {
        Ok(document) => document,
        Err(roxmltree::Error::DtdDetected) => {
            // Drawing programs write one that says nothing; only what is between < > of it is taken out.
            let without = without_doctype(text).ok_or(VectorError::DamagedSvg {
                line: 1,
                why: "it declares words of its own, which are not read".to_owned(),
            })?;
            return read(&without);
        }
        Err(roxmltree::Error::NodesLimitReached) => return Err(VectorError::TooMany),
        Err(error) => {
            return Err(VectorError::DamagedSvg { line: error.pos().row, why: said(&error) });
        }
    };
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(VectorError::Neither);
    }
    let mut drawn = Vec::new();
    let mut count = 0;
    let mut stack: Vec<(Node<'_, '_>, Affine)> = children(root).map(|node| (node, placing(root))).collect();
    stack.reverse();
    while let Some((node, outer)) = stack.pop() {
        if hidden(node) {
            continue;
        }
        let own = node.attribute("transform").and_then(transform).unwrap_or(Affine::IDENTITY);
        let all = outer * own;
        match node.tag_name().name() {
            "g" | "a" | "switch" => {
                let at = stack.len();
                stack.extend(children(node).map(|child| (child, all)));
                stack[at..].reverse();
            }
            "svg" => {
                let shift = Affine::translate((number(node, "x"), number(node, "y")));
                let at = stack.len();
                stack.extend(children(node).map(|child| (child, all * shift)));
                stack[at..].reverse();
            }
            _ => {
                if let Some(path) = shape(node) {
                    take(&mut drawn, &mut count, name(node), &(all * path))?;
                }
            }
        }
    }
    Ok(drawn)
}

fn children<'a, 'b>(node: Node<'a, 'b>) -> impl Iterator<Item = Node<'a, 'b>> {
    node.children().filter(|child| child.is_element())
}

/// How deeply elements are nested, as far as can be told without parsing.
fn depth_of(text: &str) -> usize {
    let bytes = text.as_bytes();
    let (mut depth, mut most) = (0usize, 0usize);
    for (k, byte) in bytes.iter().enumerate() {
        match (byte, bytes.get(k + 1)) {
            (b'<', Some(b'/')) => depth = depth.saturating_sub(1),
            (b'<', Some(c)) if c.is_ascii_alphabetic() => {
                depth += 1;
                most = most.max(depth);
            }
            (b'/', Some(b'>')) => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    most
}

/// The text without a document type that declares nothing.
fn without_doctype(text: &str) -> Option<String> {
    let start = text.find("<!DOCTYPE")?;
    let end = start + text[start..].find('>')?;
    let inner = &text[start..end];
    (!inner.contains('['))
        .then(|| format!("{}{}", &text[..start], &text[end + 1..]))
        .filter(|rest| !rest.contains("<!DOCTYPE"))
}

fn said(error: &roxmltree::Error) -> String {
    let text = error.to_string();
    text.split(" at ").next().unwrap_or("it is no XML").chars().take(80).collect()
}

/// From the drawing's user units to mm, y up.
fn placing(root: Node<'_, '_>) -> Affine {
    let size = |name| root.attribute(name).and_then(mm);
    let (width, height) = (size("width"), size("height"));
    let view: Option<ViewBox> = root.attribute("viewBox").and_then(|text| text.parse().ok());
    let down = match view.filter(|v| v.w > 0.0 && v.h > 0.0) {
        None => Affine::scale(MM_PER_PX),
        Some(view) => {
            // As large as fits, in proportion: what `preserveAspectRatio` says unless it is given.
            let across = width.map(|mm| mm / view.w);
            let along = height.map(|mm| mm / view.h);
            let uneven = root.attribute("preserveAspectRatio").is_some_and(|text| text.trim() == "none");
            let (x, y) = match (across, along) {
                (Some(x), Some(y)) if uneven => (x, y),
                (Some(x), Some(y)) => (x.min(y), x.min(y)),
                (Some(one), None) | (None, Some(one)) => (one, one),
                (None, None) => (MM_PER_PX, MM_PER_PX),
            };
            Affine::scale_non_uniform(x, y) * Affine::translate((-view.x, -view.y))
        }
    };
    Affine::FLIP_Y * down
}

fn mm(text: &str) -> Option<f64> {
    let length: Length = text.trim().parse().ok()?;
    let by = match length.unit {
        LengthUnit::None | LengthUnit::Px => MM_PER_PX,
        LengthUnit::Mm => 1.0,
        LengthUnit::Cm => 10.0,
        LengthUnit::In => 25.4,
        LengthUnit::Pt => 25.4 / 72.0,
        LengthUnit::Pc => 25.4 / 6.0,
        LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => return None,
    };
    Some(length.number * by).filter(|mm| mm.is_finite() && *mm > 0.0)
}

fn transform(text: &str) -> Option<Affine> {
    let t: Transform = text.parse().ok()?;
    Some(Affine::new([t.a, t.b, t.c, t.d, t.e, t.f])).filter(Affine::is_finite)
}

fn hidden(node: Node<'_, '_>) -> bool {
    let says = |name: &str, value: &str| {
        node.attribute(name).is_some_and(|v| v.trim() == value)
            || node.attribute("style").is_some_and(|style| {
                style.split(';').any(|part| {
                    part.split_once(':').is_some_and(|(n, v)| n.trim() == name && v.trim() == value)
                })
            })
    };
    says("display", "none") || says("visibility", "hidden")
}

/// The nearest id outwards, or label of a layer.
fn name<'a>(node: Node<'a, '_>) -> &'a str {
    node.ancestors()
        .take(DEPTH_LIMIT)
        .filter(|n| n.tag_name().name() != "svg")
        .find_map(|n| n.attributes().find(|a| matches!(a.name(), "label" | "id")).map(|a| a.value()))
        .unwrap_or("")
}

/// A length in user units; what has another unit is in that of CSS.
fn number(node: Node<'_, '_>, name: &str) -> f64 {
    node.attribute(name)
        .and_then(|text| {
            let length: Length = text.trim().parse().ok()?;
            match length.unit {
                LengthUnit::None => Some(length.number),
                _ => mm(text).map(|mm| mm / MM_PER_PX),
            }
        })
        // A curve is laid out in pieces by its radius: of one that no plate has there would be no end.
        .filter(|v| v.abs() < 1e7)
        .unwrap_or(0.0)
}

fn shape(node: Node<'_, '_>) -> Option<BezPath> {
    let n = |name| number(node, name);
    let path = match node.tag_name().name() {
        "path" => path(node.attribute("d")?),
        "polyline" | "polygon" => {
            let text = node.attribute("points")?;
            let values: Vec<f64> = svgtypes::NumberListParser::from(text).map_while(Result::ok).collect();
            let mut path = BezPath::new();
            for (k, pair) in values.chunks_exact(2).enumerate() {
                let at = Point::new(pair[0], pair[1]);
                if k == 0 { path.move_to(at) } else { path.line_to(at) }
            }
            if node.tag_name().name() == "polygon" && !path.elements().is_empty() {
                path.close_path();
            }
            path
        }
        "line" => kurbo::Line::new((n("x1"), n("y1")), (n("x2"), n("y2"))).to_path(ROUND),
        "circle" => Circle::new((n("cx"), n("cy")), n("r")).to_path(ROUND),
        "ellipse" => Ellipse::new((n("cx"), n("cy")), (n("rx"), n("ry")), 0.0).to_path(ROUND),
        "rect" => {
            let rect = Rect::from_origin_size((n("x"), n("y")), (n("width"), n("height")));
            let radius = n("rx").max(n("ry"));
            if radius > 0.0 {
                RoundedRect::from_rect(rect, radius).to_path(ROUND)
            } else {
                rect.to_path(ROUND)
            }
        }
        _ => return None,
    };
    Some(path)
}

/// As far as it can be read, which is what SVG asks for (9.5.4). kurbo's own reader keeps to within a tenth of a unit of an arc,
/// which may be a tenth of a millimetre.
fn path(text: &str) -> BezPath {
    let mut path = BezPath::new();
    let (mut start, mut at) = (Point::ORIGIN, Point::ORIGIN);
    // The last control point, of a cubic and of a quadratic piece, which a smooth one mirrors.
    let (mut cubic, mut quadratic) = (None, None);
    for segment in PathParser::from(text).map_while(Result::ok) {
        let from = |abs: bool| if abs { Vec2::ZERO } else { at.to_vec2() };
        let to = |abs: bool, x: f64, y: f64| Point::new(x, y) + from(abs);
        let mirrored = |control: Option<Point>| control.map_or(at, |c| at + (at - c));
        let (before_cubic, before_quadratic) = (cubic.take(), quadratic.take());
        let before = at;
        if path.elements().is_empty() && !matches!(segment, PathSegment::MoveTo { .. }) {
            break;
        }
        match segment {
            PathSegment::MoveTo { abs, x, y } => {
                at = to(abs, x, y);
                start = at;
                path.move_to(at);
                continue;
            }
            PathSegment::ClosePath { .. } => {
                path.close_path();
                at = start;
                // What follows without a move begins where the closed piece did.
                path.move_to(start);
                continue;
            }
            PathSegment::LineTo { abs, x, y } => at = to(abs, x, y),
            PathSegment::HorizontalLineTo { abs, x } => at.x = x + from(abs).x,
            PathSegment::VerticalLineTo { abs, y } => at.y = y + from(abs).y,
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                let (one, two, end) = (to(abs, x1, y1), to(abs, x2, y2), to(abs, x, y));
                path.curve_to(one, two, end);
                (cubic, at) = (Some(two), end);
                continue;
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let (one, two, end) = (mirrored(before_cubic), to(abs, x2, y2), to(abs, x, y));
                path.curve_to(one, two, end);
                (cubic, at) = (Some(two), end);
                continue;
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                let (one, end) = (to(abs, x1, y1), to(abs, x, y));
                path.quad_to(one, end);
                (quadratic, at) = (Some(one), end);
                continue;
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                let (one, end) = (mirrored(before_quadratic), to(abs, x, y));
                path.quad_to(one, end);
                (quadratic, at) = (Some(one), end);
                continue;
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                at = to(abs, x, y);
                let arc = SvgArc {
                    from: before,
                    to: at,
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                };
                // Without a radius it is a straight line (9.8.3).
                if let Some(arc) =
                    Arc::from_svg_arc(&arc).filter(|arc| arc.radii.x < 1e12 && arc.radii.y < 1e12)
                {
                    // So fine a curve is never asked for of one beyond reach.
                    let fine = ROUND.max(1e-7 * arc.radii.x.max(arc.radii.y));
                    path.extend(arc.append_iter(fine));
                    continue;
                }
            }
        }
        path.line_to(at);
    }
    path
}
