//! Lines of an SVG drawing. Source: W3C, Scalable Vector Graphics 2: reuse of what is drawn once (5.5), transforms and viewBox
//! (chapter 8), paths (9), basic shapes (10). Nothing in a file is run or fetched: scripts, styles, links and images are passed over.

use super::{Drawn, UnitTaken, VectorError, css, feet_in, take, without_button};
use crate::bench::shapes::BUTTON_FEET;
use kurbo::{Affine, Arc, BezPath, Circle, Ellipse, Point, Rect, RoundedRect, Shape, Size, SvgArc, Vec2};
use roxmltree::{Document, Node, ParsingOptions};
use std::collections::HashMap;
use svgtypes::{Align, AspectRatio, Length, LengthUnit, PathParser, PathSegment, Transform, ViewBox};

/// Most elements and attributes.
const NODE_LIMIT: u32 = 200_000;
const DEPTH_LIMIT: usize = 200;
/// Source: CSS Values and Units 4, 6.2: 96 px are an inch of 25.4 mm.
const MM_PER_PX: f64 = 25.4 / 96.0;
/// Round shapes keep to within this of their curves, in the drawing's own unit.
const ROUND: f64 = 1e-4;

pub(super) fn read(text: &str) -> Result<(Vec<Drawn>, Option<UnitTaken>), VectorError> {
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
    let named = document.descendants().filter_map(|node| Some((node.attribute("id")?, node)));
    let named: HashMap<&str, Node<'_, '_>> = named.collect();
    let mut drawn = Vec::new();
    let (mut count, mut met) = (0, 0);
    let whole = Met { node: root, all: placing(root), within: inside(root), depth: 0 };
    let mut stack: Vec<Met<'_, '_>> = whole.children(whole.all, whole.within).collect();
    while let Some(at) = stack.pop() {
        // What is used may use others in its turn, and itself.
        met += 1;
        if met > NODE_LIMIT {
            return Err(VectorError::TooMany);
        }
        if at.depth > DEPTH_LIMIT {
            return Err(VectorError::TooDeep);
        }
        let node = at.node;
        if hidden(node) {
            continue;
        }
        let all = at.all * transform(node, at.within);
        match node.tag_name().name() {
            "g" | "a" | "switch" => stack.extend(at.children(all, at.within)),
            "svg" => {
                let (view, within) = view(node, node, at.within);
                let shift = Affine::translate((number(node, "x"), number(node, "y")));
                stack.extend(at.children(all * shift * view, within));
            }
            "use" => {
                let all = all * Affine::translate((number(node, "x"), number(node, "y")));
                let Some(used) = used(node).and_then(|id| named.get(id)).copied() else { continue };
                let target = Met { node: used, depth: at.depth + 1, all, ..at };
                if used.tag_name().name() == "symbol" {
                    let (view, within) = view(used, node, at.within);
                    stack.extend(target.children(all * view, within));
                } else {
                    stack.push(target);
                }
            }
            _ => {
                if let Some(path) = shape(node) {
                    let feet = node.attribute(BUTTON_FEET).and_then(feet_in);
                    let edge = feet.and_then(|feet| without_button(&path, feet));
                    take(&mut drawn, &mut count, name(node), &(all * edge.unwrap_or(path)))?;
                }
            }
        }
    }
    Ok((drawn, (!says_its_size(root)).then_some(UnitTaken::Pixel)))
}

/// An element on the way through the drawing.
#[derive(Clone, Copy)]
struct Met<'a, 'b> {
    node: Node<'a, 'b>,
    /// From where it stands to the whole, mm.
    all: Affine,
    /// What a length of 100 % is there, user units.
    within: Size,
    depth: usize,
}

impl<'a, 'b> Met<'a, 'b> {
    /// What is in it, the last first.
    fn children(self, all: Affine, within: Size) -> impl Iterator<Item = Met<'a, 'b>> {
        let children = self.node.children().rev().filter(Node::is_element);
        children.map(move |node| Met { node, all, within, depth: self.depth + 1 })
    }
}

/// The id that a `use` names within this file.
fn used<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    const XLINK: &str = "http://www.w3.org/1999/xlink";
    node.attribute("href").or(node.attribute((XLINK, "href")))?.trim().strip_prefix('#')
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
    let down = match view_box(root) {
        None => Affine::scale(MM_PER_PX),
        Some(view) => {
            let (across, along) = (size("width").map(|mm| mm / view.w), size("height").map(|mm| mm / view.h));
            let by = match (across, along) {
                (Some(x), Some(y)) => evened(Vec2::new(x, y), aspect(root)),
                (Some(one), None) | (None, Some(one)) => Vec2::new(one, one),
                (None, None) => Vec2::new(MM_PER_PX, MM_PER_PX),
            };
            Affine::scale_non_uniform(by.x, by.y) * Affine::translate((-view.x, -view.y))
        }
    };
    Affine::FLIP_Y * down
}

/// Whether a file says in a unit of length how large its drawing is, rather than in pixels or not at all.
fn says_its_size(root: Node<'_, '_>) -> bool {
    ["width", "height"].into_iter().filter_map(|name| root.attribute(name)).any(|text| {
        let length = text.trim().parse::<Length>().ok();
        length.is_some_and(|length| !matches!(length.unit, LengthUnit::None | LengthUnit::Px))
            && mm(text).is_some()
    })
}

fn view_box(node: Node<'_, '_>) -> Option<ViewBox> {
    let view: ViewBox = node.attribute("viewBox")?.parse().ok()?;
    (view.w > 0.0 && view.h > 0.0).then_some(view)
}

fn aspect(node: Node<'_, '_>) -> AspectRatio {
    let usual = AspectRatio { defer: false, align: Align::XMidYMid, slice: false };
    node.attribute("preserveAspectRatio").and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// The scale of a view that keeps its proportions, unless it need not.
fn evened(by: Vec2, aspect: AspectRatio) -> Vec2 {
    match aspect {
        AspectRatio { align: Align::None, .. } => by,
        AspectRatio { slice: true, .. } => Vec2::splat(by.x.max(by.y)),
        AspectRatio { slice: false, .. } => Vec2::splat(by.x.min(by.y)),
    }
}

/// What 100 % is within the whole, user units.
fn inside(root: Node<'_, '_>) -> Size {
    let told = |name, otherwise| match number(root, name) {
        length if length > 0.0 => length,
        _ => otherwise,
    };
    // Source: CSS Images 3, 5.2: what says nothing of its size is 300 by 150 px.
    view_box(root)
        .map_or_else(|| Size::new(told("width", 300.0), told("height", 150.0)), |v| Size::new(v.w, v.h))
}

/// From a view that stands within a drawing to where it stands, as large as `sized` says, and what 100 % is within it.
fn view(node: Node<'_, '_>, sized: Node<'_, '_>, within: Size) -> (Affine, Size) {
    let size = |name, whole: f64| {
        let said = [sized, node].into_iter().find_map(|n| n.attribute(name));
        let length: Option<Length> = said.and_then(|text| text.trim().parse().ok());
        match length {
            Some(Length { number, unit: LengthUnit::Percent }) => whole * number / 100.0,
            Some(Length { number, unit: LengthUnit::None }) => number,
            Some(_) => said.and_then(mm).map_or(whole, |mm| mm / MM_PER_PX),
            None => whole,
        }
    };
    let seen = Size::new(size("width", within.width), size("height", within.height));
    let Some(view) = view_box(node) else { return (Affine::IDENTITY, seen) };
    let aspect = aspect(node);
    let by = evened(Vec2::new(seen.width / view.w, seen.height / view.h), aspect);
    let left = seen.to_vec2() - Vec2::new(view.w * by.x, view.h * by.y);
    let (x, y) = match aspect.align {
        Align::None | Align::XMinYMin => (0.0, 0.0),
        Align::XMidYMin => (0.5, 0.0),
        Align::XMaxYMin => (1.0, 0.0),
        Align::XMinYMid => (0.0, 0.5),
        Align::XMidYMid => (0.5, 0.5),
        Align::XMaxYMid => (1.0, 0.5),
        Align::XMinYMax => (0.0, 1.0),
        Align::XMidYMax => (0.5, 1.0),
        Align::XMaxYMax => (1.0, 1.0),
    };
    let placed = Affine::translate((left.x * x, left.y * y))
        * Affine::scale_non_uniform(by.x, by.y)
        * Affine::translate((-view.x, -view.y));
    (placed, Size::new(view.w, view.h))
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

/// A style says more than an attribute does, if it can be read: CSS Transforms 1, chapter 8.
fn transform(node: Node<'_, '_>, within: Size) -> Affine {
    let styled = || css::transform(css::declared(node.attribute("style")?, "transform")?, within);
    let said = || {
        let t: Transform = node.attribute("transform")?.parse().ok()?;
        Some(Affine::new([t.a, t.b, t.c, t.d, t.e, t.f]))
    };
    styled().or_else(said).filter(Affine::is_finite).unwrap_or(Affine::IDENTITY)
}

fn hidden(node: Node<'_, '_>) -> bool {
    let says = |name: &str, value: &str| {
        node.attribute(name).is_some_and(|v| v.trim() == value)
            || node.attribute("style").and_then(|style| css::declared(style, name)) == Some(value)
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
