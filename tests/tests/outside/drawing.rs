//! The SVG drawing, read back by parsers that are not ours: `roxmltree` for XML and `svgtypes` for its values, and `usvg`,
//! which renders.

use super::edges::{Case, reconciled};
use ribline_geometry::arc::Arc;
use ribline_geometry::bench::svg::edge_svg;
use ribline_geometry::bench::wish::BenchWish;
use ribline_geometry::kurbo::{Point, Rect, Vec2};
use ribline_geometry::outline::{Face, FaceUp, Plate};
use ribline_geometry::project::Project;
use std::f64::consts::PI;
use svgtypes::{LengthUnit, PathParser, PathSegment};

/// Without a button, so that the edge is the outline's own arcs.
fn project(case: &Case, title: &str, face: Face) -> Project {
    Project {
        title: title.to_owned(),
        face,
        bench: Some(BenchWish { button: None, ..BenchWish::customary(&case.recipe) }),
        ..Project::new(case.recipe.clone(), case.trace.clone(), case.wish)
    }
}

fn drawn(case: &Case) -> String {
    edge_svg(&project(case, "Invented plate no. 1", Face::default()), &case.result)
}

/// One arc of a path as a reader of the standard has it.
struct Read {
    centre: Point,
    radius: f64,
    /// From the start angle on, in the direction of increasing angle where positive; y down.
    start: f64,
    sweep: f64,
}

/// From end points to the centre: W3C, SVG 2, appendix B.2.4 "Conversion from endpoint to center parameterization", with the
/// radii enlarged where they are too small to reach (B.2.5).
fn centre_form(from: Point, [rx, ry]: [f64; 2], turn_deg: f64, large: bool, sweep: bool, to: Point) -> Read {
    assert!(rx == ry && rx > 0.0, "not an arc of a circle: {rx}, {ry}");
    let (sin, cos) = turn_deg.to_radians().sin_cos();
    let half = 0.5 * (from - to);
    let (x, y) = (cos * half.x + sin * half.y, -sin * half.x + cos * half.y);
    let scale = ((x / rx).powi(2) + (y / ry).powi(2)).sqrt().max(1.0);
    let (rx, ry) = (scale * rx, scale * ry);
    let (xx, yy) = (rx * rx * y * y, ry * ry * x * x);
    let root = ((rx * rx * ry * ry - xx - yy) / (xx + yy)).max(0.0).sqrt();
    let sign = if large == sweep { -1.0 } else { 1.0 };
    let (cx, cy) = (sign * root * rx * y / ry, -sign * root * ry * x / rx);
    let centre = from.midpoint(to) + Vec2::new(cos * cx - sin * cy, sin * cx + cos * cy);
    let angle = |p: Point| (p - centre).y.atan2((p - centre).x);
    let turned = (angle(to) - angle(from)).rem_euclid(2.0 * PI);
    let turned = if sweep { turned } else { turned - 2.0 * PI };
    Read { centre, radius: rx, start: angle(from), sweep: turned }
}

/// A path's arcs, its straight pieces, its first and last place, and whether it is closed.
struct ReadPath {
    arcs: Vec<Read>,
    straight: Vec<(Point, Point)>,
    ends: (Point, Point),
    closed: bool,
}

fn read_path(d: &str) -> ReadPath {
    let mut path =
        ReadPath { arcs: Vec::new(), straight: Vec::new(), ends: Default::default(), closed: false };
    let mut at = Point::ZERO;
    for (k, segment) in PathParser::from(d).enumerate() {
        match segment.expect("a segment by the standard's grammar") {
            PathSegment::MoveTo { abs: true, x, y } => {
                at = Point::new(x, y);
                if k == 0 {
                    path.ends.0 = at;
                }
            }
            PathSegment::LineTo { abs: true, x, y } => {
                path.straight.push((at, Point::new(x, y)));
                at = Point::new(x, y);
            }
            PathSegment::EllipticalArc { abs: true, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                let to = Point::new(x, y);
                path.arcs.push(centre_form(at, [rx, ry], x_axis_rotation, large_arc, sweep, to));
                at = to;
            }
            PathSegment::ClosePath { .. } => path.closed = true,
            other => panic!("{other:?}"),
        }
    }
    path.ends.1 = at;
    path
}

/// The `d` of every path in a layer.
fn layer<'a>(document: &'a roxmltree::Document<'_>, id: &str) -> Vec<&'a str> {
    let group = document.descendants().find(|node| node.attribute("id") == Some(id));
    let group = group.unwrap_or_else(|| panic!("no layer {id}"));
    assert_eq!(group.tag_name().name(), "g");
    group
        .children()
        .filter(|node| node.has_tag_name(("http://www.w3.org/2000/svg", "path")))
        .filter_map(|node| node.attribute("d"))
        .filter(|d| !d.is_empty())
        .collect()
}

fn middle(cross: &str) -> Point {
    let path = read_path(cross);
    path.straight[0].0.midpoint(path.straight[0].1)
}

/// Where the origin of the result lies on the sheet: it is the lower pin.
fn origin(document: &roxmltree::Document<'_>) -> Point {
    middle(layer(document, "pins")[0])
}

/// Arcs of more than half a turn have to be drawn in parts; a reader finds the same circle in each.
fn parts(arc: &Arc) -> usize {
    (arc.sweep.abs() / PI).ceil().max(1.0) as usize
}

#[test]
fn arcs_read_back_by_the_standards_formulas_are_those_of_the_edge() {
    for case in reconciled() {
        let text = drawn(&case);
        let document = roxmltree::Document::parse(&text).expect("well-formed XML");
        let origin = origin(&document);
        let edge = layer(&document, "edge");
        let [d] = edge[..] else { panic!("{}: the edge is not one path", case.name) };
        let path = read_path(d);
        assert!(path.closed, "{}: the edge is open", case.name);
        assert!(path.ends.0.distance(path.ends.1) < 1e-6, "{}: closed by a stroke of its own", case.name);
        assert_eq!(path.straight.len(), 4, "{}: a cut at each corner", case.name);
        let wanted: Vec<Arc> = case
            .result
            .edge
            .outline
            .arcs()
            .into_iter()
            .flat_map(|(_, arc)| std::iter::repeat_n(arc, parts(&arc)))
            .collect();
        assert_eq!(path.arcs.len(), wanted.len(), "{}", case.name);
        for (read, arc) in path.arcs.iter().zip(&wanted) {
            // The sheet has y down.
            let centre = Point::new(read.centre.x - origin.x, origin.y - read.centre.y);
            assert!(centre.distance(arc.centre) < 1e-6, "{}: {centre}, not {}", case.name, arc.centre);
            assert!(
                (read.radius - arc.radius).abs() < 1e-6,
                "{}: {}, not {}",
                case.name,
                read.radius,
                arc.radius
            );
            assert!(
                (-read.sweep - arc.sweep / parts(arc) as f64).abs() < 1e-6,
                "{}: turned otherwise",
                case.name
            );
            let start = Point::new(
                centre.x + read.radius * read.start.cos(),
                centre.y - read.radius * read.start.sin(),
            );
            assert!(arc.distance(start) < 1e-6, "{}: begins off the arc", case.name);
        }
    }
}

/// W3C, SVG 2, chapters 7 and 8: the user unit is a millimetre where width and height in mm have the view box's numbers.
#[test]
fn the_sheet_is_to_scale_in_millimetres() {
    for case in reconciled() {
        let text = drawn(&case);
        let document = roxmltree::Document::parse(&text).expect("well-formed XML");
        let root = document.root_element();
        assert!(root.has_tag_name(("http://www.w3.org/2000/svg", "svg")));
        let length = |name| -> f64 {
            let length: svgtypes::Length = root.attribute(name).expect(name).parse().expect(name);
            assert_eq!(length.unit, LengthUnit::Mm);
            length.number
        };
        let (width, height) = (length("width"), length("height"));
        let view: svgtypes::ViewBox = root.attribute("viewBox").expect("viewBox").parse().expect("viewBox");
        assert_eq!((view.x, view.y, view.w, view.h), (0.0, 0.0, width, height));
        assert!(document.descendants().all(|node| node.attribute("transform").is_none()), "a transform");
        // All of the edge is on the sheet, and the bars are 100 mm.
        let bounds = case.result.edge.outline.bounds();
        assert!(bounds.width() < width && bounds.height() < height);
        let bars: Vec<f64> = layer(&document, "check")
            .iter()
            .flat_map(|d| read_path(d).straight)
            .map(|(a, b)| a.distance(b))
            .filter(|length| *length > 50.0)
            .collect();
        assert_eq!(bars.len(), 2);
        assert!(bars.iter().all(|bar| (bar - 100.0).abs() < 1e-9), "{bars:?}");
    }
}

#[test]
fn every_layer_has_its_name_and_its_lines() {
    let case = &reconciled()[0];
    let text = drawn(case);
    let document = roxmltree::Document::parse(&text).expect("well-formed XML");
    let result = &case.result;
    for (id, count) in [
        ("centreline", 1),
        ("edge", 1),
        ("left-for-the-file", 1),
        ("ribs", 6),
        ("purfling", 1),
        ("purfling-channel", 2),
        ("corners", 4),
        // Two strokes to a cross.
        ("traced", 2 * result.points.len()),
        ("pins", 4),
        ("check", 6),
    ] {
        assert_eq!(layer(&document, id).len(), count, "{id}");
    }
    let origin = origin(&document);
    let on_sheet = |p: Point| Point::new(origin.x + p.x, origin.y - p.y);
    let upper = result.pins.upper.expect("an upper pin");
    assert!(middle(layer(&document, "pins")[2]).distance(on_sheet(upper)) < 1e-9);
    for (d, point) in layer(&document, "traced").into_iter().step_by(2).zip(&result.points) {
        assert!(middle(d).distance(on_sheet(point.at)) < 1e-9, "line {}", point.line);
    }
    for (d, corner) in layer(&document, "corners").into_iter().zip(&result.edge.corners) {
        let (from, to) = read_path(d).straight[0];
        assert!(from.distance(on_sheet(corner.outer)) < 1e-9 && to.distance(on_sheet(corner.waist)) < 1e-9);
    }
    // The rib line is a parallel: the same centres, each radius the overhang away.
    let ribs: Vec<Read> = layer(&document, "ribs").into_iter().flat_map(|d| read_path(d).arcs).collect();
    let arcs = result.edge.outline.arcs();
    assert_eq!(ribs.len(), arcs.len());
    for (read, (run, arc)) in ribs.iter().zip(arcs) {
        assert!(read.centre.distance(on_sheet(arc.centre)) < 1e-6);
        let apart = (arc.radius - read.radius) * arc.sweep.signum();
        assert!((apart - result.overhang.wanted.at(run.bout)).abs() < 1e-6, "{run}: {apart}");
    }
}

/// W3C, Extensible Markup Language 1.0, 2.2 and 2.4: which characters a document may have at all, and which have to be
/// written otherwise in text.
#[test]
fn a_title_of_any_characters_leaves_the_drawing_well_formed() {
    let case = &reconciled()[0];
    for title in [
        "<&\">'",
        "]]></title><script>alert(1)</script><!--",
        "&amp; &#0; &bogus;",
        "tab\tline\nend\r\u{0}\u{1}\u{b}\u{1f}\u{7f}\u{85}",
        "\u{fffe}\u{ffff}\u{1fffe}\u{10ffff}",
        "Geige № 3 — für Übungen 🎻",
    ] {
        let mut project = project(case, title, Face::default());
        project.recipe.title = title.to_owned();
        let text = edge_svg(&project, &case.result);
        let document = roxmltree::Document::parse(&text).unwrap_or_else(|e| panic!("{title:?}: {e}"));
        // Which characters are allowed, the parser does not check.
        let allowed = |c: char| matches!(c, '\t' | '\n' | '\r' | '\u{20}'..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..);
        assert!(text.chars().all(allowed), "{title:?} brings a character that XML has not");
        let found =
            document.descendants().find(|node| node.has_tag_name("title")).and_then(|node| node.text());
        let found = found.expect("a title");
        let kept = |text: &str| {
            text.chars().filter(|c| !c.is_whitespace() && allowed(*c) && !c.is_control()).collect()
        };
        let (found, wanted): (String, String) = (kept(found), kept(title));
        assert_eq!(found, wanted);
        assert!(!document.descendants().any(|node| node.has_tag_name("script")));
    }
}

/// A second reader, which renders: `usvg`. 96 CSS px to the inch of 25.4 mm: W3C, CSS Values and Units 3, 5.2. It computes in
/// single precision, which at these sizes is good to some 1e-4 mm.
#[test]
fn a_renderer_has_sheet_and_edge_where_they_are() {
    let mm = 25.4 / 96.0;
    for case in reconciled() {
        let text = drawn(&case);
        let tree = usvg::Tree::from_str(&text, &usvg::Options::default()).expect("an SVG");
        let document = roxmltree::Document::parse(&text).expect("well-formed XML");
        let origin = origin(&document);
        let width: svgtypes::Length =
            document.root_element().attribute("width").expect("width").parse().expect("mm");
        assert!((f64::from(tree.size().width()) * mm - width.number).abs() < 1e-3);
        let edge = tree.node_by_id("edge").expect("the layer");
        let seen = edge.abs_bounding_box();
        let seen = Rect::new(
            f64::from(seen.left()) * mm - origin.x,
            origin.y - f64::from(seen.bottom()) * mm,
            f64::from(seen.right()) * mm - origin.x,
            origin.y - f64::from(seen.top()) * mm,
        );
        let bounds = case.result.edge.outline.bounds();
        for (a, b) in [(seen.x0, bounds.x0), (seen.y0, bounds.y0), (seen.x1, bounds.x1), (seen.y1, bounds.y1)]
        {
            assert!((a - b).abs() < 2e-3, "{}: rendered {seen:?}, is {bounds:?}", case.name);
        }
    }
}

/// Seen from the front, neck up, the bass strings are on the left: so a front with its outside up has the bass side left,
/// seen from within it is mirrored; a back is seen from behind when its outside is up, and so is mirrored there. Common
/// practice; a plate cut to the mirror image is lost.
#[test]
fn the_drawing_says_plate_and_face_and_bass_side_in_all_four_cases() {
    let case = &reconciled()[0];
    for (plate, up, words) in [
        (Plate::Front, FaceUp::Outside, "Front, outside face up, bass side left"),
        (Plate::Front, FaceUp::Inside, "Front, inside face up, treble side left"),
        (Plate::Back, FaceUp::Outside, "Back, outside face up, treble side left"),
        (Plate::Back, FaceUp::Inside, "Back, inside face up, bass side left"),
    ] {
        let text = edge_svg(&project(case, "", Face { plate, up }), &case.result);
        let document = roxmltree::Document::parse(&text).expect("well-formed XML");
        let told = |name: &str| {
            let texts = document.descendants().filter(|node| node.has_tag_name(name));
            texts.filter_map(|node| node.text()).any(|text| text.contains(words))
        };
        assert!(told("desc"), "{words}: not in the description");
        assert!(told("text"), "{words}: not on the sheet");
    }
}
