//! What leaves for the bench, read back by what knows nothing of it: a reader of DXF, an arc-polyline library, and a pair of
//! compasses.
//!
//! - `dxf`: reads the format by its published reference; a bulge is the tangent of a quarter of the included angle (POLYLINE
//!   and VERTEX, group code 42).
//! - `cavalier_contours`: offsets polylines of true arcs; `geo`: buffers fine polygons by polygon clipping.

use super::area_and_offset::{as_polygon, as_polyline};
use super::edges::{reconciled, true_edges};
use cavalier_contours::polyline::{PlineSource, seg_arc_radius_and_center};
use dxf::entities::EntityType;
use geo::algorithm::{Area, Buffer};
use ribline_geometry::bench::compass_sheet::compass_sheet;
use ribline_geometry::bench::dxf::dxf;
use ribline_geometry::bench::plate::plate_drawing;
use ribline_geometry::bench::shapes::{Layer, Segment};
use ribline_geometry::bench::svg::face_in_words;
use ribline_geometry::bench::wish::CompassWish;
use ribline_geometry::edge::purfling::{PurflingWish, purfling};
use ribline_geometry::edge::{CornerEnd, Edge};
use ribline_geometry::kurbo::Point;
use ribline_geometry::outline::{Corner, Face, Outline, Plate};
use ribline_geometry::project::Project;
use std::collections::BTreeSet;

/// One row of a compass sheet, as printed.
struct Row {
    centre: Point,
    setting: f64,
    begins: Point,
    ends: Point,
}

/// Reads the sheet's own text and nothing else: a header, then a row for each arc; the rows of cuts have no number.
fn rows(text: &str) -> Vec<Row> {
    let mut lines = text.lines().skip_while(|line| line.starts_with('#'));
    let names: Vec<&str> = lines.next().expect("a header").split(',').collect();
    let column = |name: &str| names.iter().position(|n| *n == name).expect("a column");
    let place = |up: &str, across: &str| (column(up), column(across));
    let (setting, centre) = (column("setting_mm"), place("centre_up_mm", "centre_across_mm"));
    let (begins, ends) = (place("begins_up_mm", "begins_across_mm"), place("ends_up_mm", "ends_across_mm"));
    lines
        .map(|line| line.split(',').collect::<Vec<_>>())
        .filter(|cells| !cells[0].is_empty())
        .map(|cells| {
            let number = |k: usize| cells[k].parse::<f64>().expect("a number");
            let at = |(up, across): (usize, usize)| Point::new(number(across), number(up));
            Row { centre: at(centre), setting: number(setting), begins: at(begins), ends: at(ends) }
        })
        .collect()
}

/// Strikes each arc from its printed numbers, the shorter way round from where it begins to where it ends, and compares it
/// with the edge. What the sheet states is kept all along the arc; its two ends may be off by the rounding of a place
/// besides, half a step in each direction.
#[test]
fn the_compass_sheets_printed_numbers_are_enough_to_draw_the_edge_within_what_it_states() {
    for case in reconciled() {
        for step in [0.1, 0.5] {
            let wish = CompassWish { step, ..CompassWish::default() };
            let sheet = compass_sheet(&case.recipe, &case.result, &wish);
            let text = sheet.to_csv("Back, inside face up, bass side left");
            let stated = sheet.effect.most;
            assert!(stated < 1.6 * step, "{}: {stated} mm for steps of {step}", case.name);
            let rows = rows(&text);
            let outline = &case.result.edge.outline;
            assert_eq!(rows.len(), outline.arcs().len());
            let mut struck: Vec<Point> = Vec::new();
            for row in &rows {
                let angle = |at: Point| (at.y - row.centre.y).atan2(at.x - row.centre.x);
                let turn = (angle(row.ends) - angle(row.begins))
                    .sin()
                    .atan2((angle(row.ends) - angle(row.begins)).cos());
                for k in 0..=40 {
                    let a = angle(row.begins) + turn * f64::from(k) / 40.0;
                    let at = Point::new(
                        row.centre.x + row.setting * a.cos(),
                        row.centre.y + row.setting * a.sin(),
                    );
                    let off = outline.nearest(at).expect("an edge").1.offset.abs();
                    let ends_at = if k == 0 || k == 40 { step } else { 0.0 };
                    assert!(
                        off < stated + ends_at + 1e-6,
                        "{}: {off} mm at {at}, stated {stated}",
                        case.name
                    );
                    struck.push(at);
                }
            }
            // And nothing of the edge is left undrawn: no place on it is further from a struck one than they are apart.
            let apart = outline.arcs().iter().map(|(_, arc)| arc.length()).fold(0.0, f64::max) / 40.0;
            for run in &outline.runs {
                for (at, _) in run.sampled(5.0) {
                    let near = struck.iter().map(|s| s.distance(at)).fold(f64::MAX, f64::min);
                    assert!(near < apart + stated + step, "{}: nothing struck near {at}", case.name);
                }
            }
        }
    }
}

#[test]
fn a_centre_is_where_its_two_printed_checks_say() {
    for case in reconciled() {
        let sheet = compass_sheet(&case.recipe, &case.result, &CompassWish::default());
        use ribline_geometry::bench::compass_sheet::Mark;
        for strike in &sheet.strikes {
            assert!(!strike.checks.is_empty(), "{}: {} has no check", case.name, strike.number);
            for check in &strike.checks {
                let from = match check.from {
                    Mark::Origin => Point::ZERO,
                    Mark::UpperPin => case.result.pins.upper.expect("an upper pin"),
                    Mark::Top => Point::new(0.0, case.result.edge.outline.bounds().y1),
                    Mark::Centre(number) => sheet.strikes[number - 1].centre,
                };
                // Both ends and the distance itself are rounded.
                let off = (from.distance(strike.centre) - check.distance).abs();
                assert!(off < 1.3 * sheet.step, "{}: {off} mm at {}", case.name, strike.number);
            }
        }
    }
}

#[test]
fn a_dxf_file_reads_back_closed_in_named_layers_with_the_edges_own_arcs() {
    for case in reconciled() {
        for plate in [Plate::Front, Plate::Back] {
            let face = Face { plate, ..Face::default() };
            let project =
                Project { face, ..Project::new(case.recipe.clone(), case.trace.clone(), case.wish) };
            let drawing = plate_drawing(&project, &case.result);
            assert_eq!(drawing.button_refused, None, "{}", case.name);
            let text = dxf(&drawing.shapes, &face_in_words(&project));
            let read = ::dxf::Drawing::load(&mut text.as_bytes()).expect("a DXF file");

            let layers: BTreeSet<String> = read.layers().map(|layer| layer.name.clone()).collect();
            for layered in &drawing.shapes.0 {
                assert!(layers.contains(layered.layer.name()), "{}: {layers:?}", case.name);
            }
            let used: BTreeSet<String> = read.entities().map(|entity| entity.common.layer.clone()).collect();
            assert!(used.is_subset(&layers));

            let on = |layer: Layer| {
                read.entities().filter(move |e| e.common.layer == layer.name()).collect::<Vec<_>>()
            };
            let edges = on(Layer::Edge);
            let [edge] = edges[..] else { panic!("{}: {} edges", case.name, edges.len()) };
            let EntityType::Polyline(line) = &edge.specific else { panic!("{:?}", edge.specific) };
            assert!(line.is_closed());
            let vertices: Vec<(Point, f64)> =
                line.vertices().map(|v| (Point::new(v.location.x, v.location.y), v.bulge)).collect();
            let path = drawing.shapes.on(Layer::Edge).next().expect("an edge");
            let mut arcs = 0;
            for (k, (from, bulge)) in vertices.iter().enumerate() {
                let to = vertices[(k + 1) % vertices.len()].0;
                assert!(from.distance(to) > 1e-3, "{}: a piece without length at {from}", case.name);
                if *bulge == 0.0 {
                    continue;
                }
                arcs += 1;
                // Radius and centre from a chord and its bulge, by the reference.
                let (chord, angle) = (to - *from, 4.0 * bulge.atan());
                let radius = chord.hypot() / (2.0 * (angle / 2.0).sin().abs());
                let sagitta_side = chord / chord.hypot();
                let middle = from.midpoint(to);
                let away = chord.hypot() / (2.0 * (angle / 2.0).tan());
                let centre = Point::new(middle.x - sagitta_side.y * away, middle.y + sagitta_side.x * away);
                let same = path.segments.iter().any(|s| match s {
                    Segment::Arc(arc) => {
                        (arc.radius - radius).abs() < 1e-6 && arc.centre.distance(centre) < 1e-6
                    }
                    Segment::Line { .. } => false,
                });
                assert!(same, "{}: no arc of {radius} about {centre}", case.name);
            }
            let of_edge = path.segments.iter().filter(|s| matches!(s, Segment::Arc(_))).count();
            assert!(arcs >= of_edge && arcs <= of_edge + 2, "{arcs} of {of_edge}");
        }
    }
}

/// A true edge, whose flanks meet in points, with corner ends of no width.
fn pointed(outline: &Outline) -> Edge {
    let corners = Corner::ALL.map(|at| {
        let (a, b) = outline.cut(at);
        let across = outline.bounds().center();
        let heading = (a - across).y.atan2((a - across).x);
        CornerEnd {
            at,
            outer: a,
            waist: b,
            width: a.distance(b),
            meeting: Some(a),
            heading,
            rib_corner: a,
            beyond_ribs: 0.0,
            overhang_outer: 0.0,
            overhang_waist: 0.0,
        }
    });
    Edge { outline: outline.clone(), corners }
}

/// Purfling and the sides of its channel are the inward offsets of an edge whose corners are points, as both libraries see
/// them; the mitres are where their offsets have corners. Tolerances: rounding for the arc library, and for the polygon of
/// chords that leave their arcs by 1e-4 mm twenty times that along the whole line.
#[test]
fn purfling_and_channel_are_the_offsets_of_two_libraries() {
    let edges = true_edges();
    assert!(edges.len() >= 20);
    for (name, outline) in edges {
        let edge = pointed(&outline);
        let wish = PurflingWish::even(4.1, 1.2);
        let drawn = purfling(&edge, &wish);
        for (line, distance) in [(&drawn.outer, 3.5), (&drawn.middle, 4.1), (&drawn.inner, 4.7)] {
            let path = line.path();
            assert!(line.tips.iter().all(Option::is_some), "{name}: {:?}", drawn.notices);
            let offsets = as_polyline(&outline).parallel_offset(distance);
            let [theirs] = &offsets[..] else { panic!("{name}: {} loops", offsets.len()) };
            let off = (path.area() - theirs.area()).abs();
            assert!(off < 1e-3, "{name}, {distance} mm: areas differ by {off} mm²");
            for (a, b) in theirs.iter_segments() {
                let (radius, centre) = seg_arc_radius_and_center(a, b);
                let same = line.runs.iter().flatten().any(|arc| {
                    (arc.radius - radius).abs() < 1e-5
                        && arc.centre.distance(Point::new(centre.x, centre.y)) < 1e-5
                });
                assert!(same, "{name}, {distance} mm: no arc of {radius} mm");
            }
            let buffer = as_polygon(&outline, 1e-4).buffer(-distance);
            let off = (buffer.unsigned_area() - path.area()).abs();
            assert!(off < 2e-3 * path.length(), "{name}, {distance} mm: areas differ by {off} mm²");
        }
    }
}
