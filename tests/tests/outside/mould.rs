//! The mould's line and the lengths of the ribs, against libraries that know nothing of tangent chains, as in
//! `area_and_offset`: `cavalier_contours` for offsets of true arcs, `geo` for buffers of polygons, and sums of short chords
//! for lengths.

use super::area_and_offset::{as_polygon, as_polyline};
use cavalier_contours::polyline::{PlineSource, Polyline, seg_arc_radius_and_center};
use geo::algorithm::{Area, Buffer, Distance, Euclidean};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use ribline_geometry::bench::shapes::{Path, Segment};
use ribline_geometry::kurbo::Point;
use ribline_geometry::mould::{Mould, MouldRemark, MouldWish, mould};
use ribline_geometry::outline::{Outline, Run, Side};
use ribline_geometry::project::Project;
use ribline_geometry::recipe::{Construction, Purpose, Recipe, Size, built_in};
use ribline_geometry::reconcile::Overhang;

/// One mould with what it was made from.
struct Case {
    name: String,
    edge: Outline,
    overhang: f64,
    rib: f64,
    mould: Mould,
}

fn case(recipe: &Recipe, drawn: &Construction, overhang: f64, rib: f64) -> Case {
    let name = format!("{} at {:.0} mm, {overhang:.2} + {rib:.2} mm", recipe.title, drawn.lengths[0]);
    let wish = MouldWish { rib_thickness: rib, ..MouldWish::customary(recipe) };
    let mould = mould(recipe, drawn, Overhang::even(overhang), &wish)
        .unwrap_or_else(|error| panic!("{name}: {error}"));
    Case { name, edge: drawn.outline.clone(), overhang, rib, mould }
}

/// Every plate by custom, and again with random ratios among those offered, sizes, overhangs and ribs.
fn cases() -> Vec<Case> {
    let mut rng = StdRng::seed_from_u64(355);
    let mut cases = Vec::new();
    for recipe in built_in::built_in().into_iter().filter(|recipe| recipe.purpose == Purpose::PlateEdge) {
        let drawn = recipe.evaluate().expect("a built-in recipe");
        let rib = built_in::rib_thickness(recipe.instrument, drawn.lengths[0]);
        cases.push(case(&recipe, &drawn, recipe.customary.overhang, rib));
        let mut made = 0;
        while made < 6 {
            let mut other = recipe.clone();
            other.measures[0].size = Size::Mm(drawn.lengths[0] * rng.random_range(0.85..1.1));
            let offered: Vec<_> = (other.measures.iter().map(|m| (m.name.clone(), m.choices.clone())))
                .chain(other.steps.iter().map(|s| (s.name.clone(), s.choices.clone())))
                .filter(|(_, choices)| !choices.is_empty())
                .collect();
            for _ in 0..3 {
                let (name, choices) = &offered[rng.random_range(0..offered.len())];
                let ratio = choices[rng.random_range(0..choices.len())];
                other = other.chosen(name, ratio).unwrap_or(other);
            }
            // Three at a time need not go together.
            let Ok(drawn) = other.evaluate() else { continue };
            if !other.faults().is_empty() {
                continue;
            }
            cases.push(case(&other, &drawn, rng.random_range(1.5..4.0), rng.random_range(0.8..2.0)));
            made += 1;
        }
    }
    assert!(cases.len() >= 50);
    cases
}

fn offset(edge: &Outline, by: f64, name: &str) -> Polyline {
    let mut loops = as_polyline(edge).parallel_offset(by);
    assert_eq!(loops.len(), 1, "{name}");
    loops.remove(0)
}

/// Arcs of the offset that are more than what rounding leaves at a corner.
fn arcs(line: &Polyline) -> Vec<(Point, f64, Point, Point)> {
    line.iter_segments()
        .filter(|(a, b)| (a.x - b.x).hypot(a.y - b.y) > 1e-4)
        .map(|(a, b)| {
            let (radius, centre) = seg_arc_radius_and_center(a, b);
            (Point::new(centre.x, centre.y), radius, Point::new(a.x, a.y), Point::new(b.x, b.y))
        })
        .collect()
}

/// Both work with true arcs, so only rounding is between them.
#[test]
fn the_moulds_line_and_the_ribs_outer_face_are_offsets_of_an_arc_polyline() {
    for case in cases() {
        for (path, by) in [(&case.mould.inner, case.overhang + case.rib), (&case.mould.outer, case.overhang)]
        {
            let line = offset(&case.edge, by, &case.name);
            let (area, length) = (line.area(), line.path_length());
            assert!((path.area() - area).abs() < 1e-4, "{}: {} and {area} mm²", case.name, path.area());
            assert!((path.length() - length).abs() < 1e-5, "{}: {} and {length}", case.name, path.length());
            for (centre, radius, from, to) in arcs(&line) {
                let same = path.segments.iter().any(|segment| match segment {
                    Segment::Arc(arc) => {
                        arc.centre.distance(centre) < 1e-4
                            && (arc.radius - radius).abs() < 1e-4
                            && arc.distance(from) < 1e-6
                            && arc.distance(to) < 1e-6
                    }
                    Segment::Line { .. } => false,
                });
                assert!(same, "{}: no arc about {centre} of {radius} mm", case.name);
            }
        }
    }
}

/// Where an arc is too tight for its parallel as well: there both let its neighbours meet.
#[test]
fn so_is_the_line_of_a_mould_in_which_an_arc_vanishes() {
    let recipe = built_in::treble_viol();
    let drawn = recipe.evaluate().expect("a built-in recipe");
    let case = case(&recipe, &drawn, 4.5, 4.0);
    assert!(case.mould.remarks.iter().any(|r| matches!(r, MouldRemark::Vanished { .. })));
    let line = offset(&case.edge, 8.5, &case.name);
    assert!((line.area() - case.mould.inner.area()).abs() < 1e-4);
    assert!((line.path_length() - case.mould.inner.length()).abs() < 1e-5);
}

/// The negative buffer of a fine polygon; tolerance as in `area_and_offset`.
#[test]
fn the_moulds_line_is_the_buffer_of_a_polygon() {
    for case in cases() {
        let buffer = as_polygon(&case.edge, 1e-4).buffer(-case.overhang - case.rib);
        let [inner] = &buffer.0[..] else { panic!("{}: {} polygons", case.name, buffer.0.len()) };
        let most = 2e-3 * case.mould.inner.length();
        let off = inner.unsigned_area() - case.mould.inner.area();
        assert!(off.abs() < most, "{}: areas differ by {off} mm²", case.name);
        for segment in &case.mould.inner.segments {
            let Segment::Arc(arc) = segment else { panic!("{}: a straight piece", case.name) };
            for t in [0.0, 0.3, 0.7] {
                let at = arc.at(t);
                let off = Euclidean.distance(&geo::Point::new(at.x, at.y), inner.exterior());
                assert!(off < 2e-3, "{}: {at} is {off} mm off", case.name);
            }
        }
    }
}

/// Points along an arc polyline with the unit normals to their left, as the polyline has them.
fn fine(line: &Polyline) -> Vec<(Point, (f64, f64))> {
    let mut points = Vec::new();
    for (a, b) in line.iter_segments() {
        if (a.x - b.x).hypot(a.y - b.y) < 1e-6 {
            continue;
        }
        let (radius, centre) = seg_arc_radius_and_center(a, b);
        let from = (a.y - centre.y).atan2(a.x - centre.x);
        let sweep = 4.0 * a.bulge.atan();
        const PARTS: u32 = 400;
        for k in 0..=PARTS {
            let angle = from + sweep * f64::from(k) / f64::from(PARTS);
            let (sin, cos) = angle.sin_cos();
            let at = Point::new(centre.x + radius * cos, centre.y + radius * sin);
            points.push((at, (-cos * sweep.signum(), -sin * sweep.signum())));
        }
    }
    points
}

/// The ribs' outer face as the arc-polyline library has it, moved in by half of the rib place by place, and its chords added
/// up from the bottom to the corner, to the next, and to the top. A chord over 1/400 of an arc is short by a
/// ten-millionth of it.
#[test]
fn a_rib_is_as_long_as_the_chords_along_its_middle() {
    for case in cases() {
        let points = fine(&offset(&case.edge, case.overhang, &case.name));
        let lowest = (0..points.len())
            .filter(|k| points[*k].0.y < 30.0)
            .min_by(|a, b| points[*a].0.x.abs().total_cmp(&points[*b].0.x.abs()))
            .expect("a bottom");
        let mut lengths = [0.0_f64; 3];
        let mut run = 0;
        for k in 0..points.len() {
            let (one, normal) = points[(lowest + k) % points.len()];
            let (two, next) = points[(lowest + k + 1) % points.len()];
            if normal.0 * next.0 + normal.1 * next.1 < 0.9 {
                // The line turns sharply here: a corner.
                run += 1;
                continue;
            }
            let inwards = |at: Point, n: (f64, f64)| {
                Point::new(at.x + 0.5 * case.rib * n.0, at.y + 0.5 * case.rib * n.1)
            };
            lengths[run] += inwards(one, normal).distance(inwards(two, next));
            if run == 2 && two.x.abs() < 1e-6 {
                break;
            }
        }
        assert_eq!(run, 2, "{}", case.name);
        for (rib, length) in case.mould.ribs.iter().filter(|rib| rib.run.side == Side::Right).zip(lengths) {
            let off = rib.in_place - length;
            assert!(off.abs() < 1e-3, "{}, {}: {} and {length} mm", case.name, rib.run, rib.in_place);
        }
        let both: f64 = case.mould.ribs.iter().map(|rib| rib.in_place).sum();
        assert!((both - 2.0 * lengths.iter().sum::<f64>()).abs() < 1e-2);
    }
}

/// The drawing for the bench holds what the mould is: its closed paths read by a reader of SVG paths that is not ours.
#[test]
fn the_exported_drawing_reads_back_with_named_layers_and_the_same_areas() {
    let recipe = built_in::violin();
    let drawn = recipe.evaluate().expect("a built-in recipe");
    let case = case(&recipe, &drawn, 2.5, 1.1);
    let wish = ribline_geometry::reconcile::Wish::customary(&recipe);
    let project =
        Project { title: "Weir Lane <mould>".into(), ..Project::new(recipe, Default::default(), wish) };
    let text = ribline_geometry::bench::mould::mould_svg(&project, &case.mould);
    let document = roxmltree::Document::parse(&text).expect("XML");
    let paths = |layer: &str| -> Vec<Polyline> {
        let group = document.descendants().find(|node| node.attribute("id") == Some(layer));
        let group = group.unwrap_or_else(|| panic!("no layer {layer}"));
        group.children().filter_map(|node| node.attribute("d")).map(polyline_of).collect()
    };
    let area = |path: &Path| path.area().abs();
    let [mould] = &paths("mould")[..] else { panic!("one outline") };
    assert!((mould.area().abs() - area(&case.mould.outline)).abs() < 1e-4);
    let blocks: f64 = paths("recesses").iter().map(|p| p.area().abs()).sum();
    assert!((blocks - case.mould.blocks.iter().map(area).sum::<f64>()).abs() < 1e-4);
    assert_eq!(paths("holes").len(), case.mould.holes.len());
    for hole in paths("holes") {
        let wanted = std::f64::consts::FRAC_PI_4 * case.mould.hole_diameter.powi(2);
        assert!((hole.area().abs() - wanted).abs() < 1e-4);
    }
    for layer in ["centreline", "pins", "ribs", "check"] {
        assert!(!paths(layer).is_empty(), "{layer}");
    }
    let root = document.root_element();
    let view: Vec<f64> = root
        .attribute("viewBox")
        .expect("a view box")
        .split(' ')
        .map(|n| n.parse().expect("a number"))
        .collect();
    assert_eq!(root.attribute("width"), Some(format!("{}mm", view[2]).as_str()));
    assert_eq!(Run::ALL.len(), case.mould.ribs.len());
}

/// An SVG path of lines and circular arcs as an arc polyline. The included angle of an arc follows from its chord and radius;
/// arcs here are at most half turns. Source: W3C, SVG 2, implementation notes on elliptical arcs.
fn polyline_of(d: &str) -> Polyline {
    use cavalier_contours::polyline::PlineSourceMut;
    let mut line = Polyline::new_closed();
    let mut at = Point::ZERO;
    for segment in svgtypes::PathParser::from(d) {
        match segment.expect("a path") {
            svgtypes::PathSegment::MoveTo { x, y, .. } => at = Point::new(x, y),
            svgtypes::PathSegment::LineTo { x, y, .. } => {
                line.add(at.x, at.y, 0.0);
                at = Point::new(x, y);
            }
            svgtypes::PathSegment::EllipticalArc { rx, sweep, x, y, .. } => {
                let to = Point::new(x, y);
                let half = (0.5 * at.distance(to) / rx).min(1.0).asin();
                let sign = if sweep { 1.0 } else { -1.0 };
                line.add(at.x, at.y, sign * (0.5 * half).tan());
                at = to;
            }
            svgtypes::PathSegment::ClosePath { .. } => {}
            other => panic!("{other:?} in {d}"),
        }
    }
    line
}
