//! Area, length and parallels of an edge, computed by libraries that know nothing of tangent chains.
//!
//! - `cavalier_contours`: polylines of true arcs, each given by its bulge; offset by raw offsets, intersection, slicing.
//! - `geo`: polygons; buffered by the polygon clipping of `i_overlay`, on an integer grid.
//! - `kurbo`: areas and lengths of Bézier paths by Green's theorem and quadrature.

use super::edges::{reconciled, true_edges};
use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline, seg_arc_radius_and_center};
use geo::algorithm::{Area, Buffer, Contains, Distance, Euclidean};
use ribline_geometry::arc::{Arc, Chain};
use ribline_geometry::kurbo::{ParamCurve, ParamCurveNearest, PathSeg, Point, Shape};
use ribline_geometry::outline::{Corner, Outline, Run};

/// Overhang of the rib lines, mm.
const OVERHANG: f64 = 2.5;

/// The edge as a polyline of arcs. A bulge is the tangent of a quarter of the included angle: published DXF reference,
/// LWPOLYLINE, group code 42.
pub fn as_polyline(outline: &Outline) -> Polyline {
    let mut line = Polyline::new_closed();
    for (k, run) in outline.runs.iter().enumerate() {
        for arc in run.arcs() {
            let from = arc.at(0.0);
            line.add(from.x, from.y, (0.25 * arc.sweep).tan());
        }
        let (end, next) = (run.end(), outline.runs[(k + 1) % 6].start);
        if end.distance(next) > 1e-9 {
            line.add(end.x, end.y, 0.0);
        }
    }
    line
}

/// The edge as a polygon whose chords leave its arcs by at most `sagitta` mm.
pub fn as_polygon(outline: &Outline, sagitta: f64) -> geo::Polygon {
    let mut ring = Vec::new();
    for (_, arc) in outline.arcs() {
        // A chord over the angle a leaves its arc by r (1 - cos(a / 2)).
        let step = 2.0 * (1.0 - sagitta / arc.radius).acos();
        let count = (arc.sweep.abs() / step).ceil().max(1.0) as usize;
        ring.extend(
            (0..=count).map(|i| arc.at(i as f64 / count as f64)).map(|p| geo::Coord { x: p.x, y: p.y }),
        );
    }
    // Where one arc hands over to the next.
    ring.dedup_by(|a, b| (a.x - b.x).hypot(a.y - b.y) < 1e-9);
    geo::Polygon::new(ring.into(), Vec::new())
}

fn all_edges() -> Vec<(String, Outline)> {
    let cut = reconciled().into_iter().map(|case| (case.name, case.result.edge.outline));
    true_edges().into_iter().chain(cut).collect()
}

/// Both compute with true arcs, so only rounding is between them.
#[test]
fn area_and_length_are_those_of_an_arc_polyline() {
    for (name, edge) in all_edges() {
        let line = as_polyline(&edge);
        let (area, length) = (line.area(), line.path_length());
        assert!((edge.area() - area).abs() < 1e-6, "{name}: {} and {area} mm²", edge.area());
        assert!((edge.length() - length).abs() < 1e-8, "{name}: {} and {length} mm", edge.length());
    }
}

/// A chord cuts off two thirds of its length times its sagitta, on either side of the line: with 1e-4 mm of sagitta less
/// than a hundredth of a mm² for every 100 mm of edge.
#[test]
fn area_is_that_of_a_fine_polygon() {
    for (name, edge) in all_edges() {
        let area = as_polygon(&edge, 1e-4).unsigned_area();
        let most = 1e-4 * edge.length();
        assert!((edge.area() - area).abs() < most, "{name}: {} and {area} mm²", edge.area());
    }
}

/// Béziers within 1e-6 mm of the arcs, either way: no place on the path is further off the edge, and no place on the edge
/// further off the path, as `kurbo` evaluates its curves and finds the nearest place on them. Areas then differ by less
/// than the length times that. Rounding of coordinates of some hundred mm comes on top.
#[test]
fn bezier_paths_stay_within_a_millionth_of_a_millimetre() {
    const TOLERANCE: f64 = 1e-6 + 1e-10;
    for (name, edge) in all_edges() {
        let path = edge.to_path(1e-6);
        let segments: Vec<PathSeg> = path.segments().collect();
        for segment in segments.iter().filter(|segment| matches!(segment, PathSeg::Cubic(_))) {
            for i in 0..=20 {
                let at = segment.eval(f64::from(i) / 20.0);
                let (_, nearest) = edge.nearest(at).expect("arcs");
                assert!(nearest.offset.abs() < TOLERANCE, "{name}: {at} is {} mm off", nearest.offset);
            }
        }
        for (at, _) in edge.runs.iter().flat_map(|run| run.sampled(11.0)) {
            let nearest =
                segments.iter().map(|segment| segment.nearest(at, 1e-9).distance_sq).fold(f64::MAX, f64::min);
            assert!(nearest.sqrt() < TOLERANCE, "{name}: the path passes {at} at {} mm", nearest.sqrt());
        }
        let off = (path.area() - edge.area()).abs();
        assert!(off < TOLERANCE * edge.length(), "{name}: areas differ by {off} mm²");
        let off = (path.perimeter(1e-7) - edge.length()).abs();
        assert!(off < 1e-4, "{name}: lengths differ by {off} mm");
    }
}

/// The rib lines: each run's parallel at the overhang, on the inside.
fn rib_lines(edge: &Outline) -> Vec<Chain> {
    edge.runs.iter().map(|run| run.offset(OVERHANG).expect("no arc tighter than the overhang")).collect()
}

fn is_near_a_corner(edge: &Outline, point: Point) -> bool {
    // Parallels of two flanks meet within the overhang over the sine of half the angle between them, which at
    // the sharpest of these corners (some 35 degrees) is 3.5 overhangs.
    Corner::ALL.iter().any(|corner| {
        let (a, b) = edge.cut(*corner);
        point.distance(a).min(point.distance(b)) < 4.0 * OVERHANG
    })
}

/// Every arc that the arc-polyline library leaves of the inward offset is an arc of our parallels, with the same centre
/// and radius; and away from the corners, where the library cuts what runs past the meeting of two lines, every one of
/// ours is there in full.
#[test]
fn rib_lines_are_the_offset_of_an_arc_polyline() {
    for (name, edge) in all_edges() {
        let ours: Vec<Arc> = rib_lines(&edge).iter().flat_map(Chain::arcs).collect();
        let offsets = as_polyline(&edge).parallel_offset(OVERHANG);
        let [theirs] = &offsets[..] else { panic!("{name}: {} loops", offsets.len()) };
        let mut found = vec![0.0; ours.len()];
        for (a, b) in theirs.iter_segments() {
            let (from, to) = (Point::new(a.x, a.y), Point::new(b.x, b.y));
            if a.bulge == 0.0 {
                // The parallel of a cut.
                assert!(is_near_a_corner(&edge, from), "{name}: a straight piece at {from}");
                continue;
            }
            let (radius, centre) = seg_arc_radius_and_center(a, b);
            let centre = Point::new(centre.x, centre.y);
            let same = |arc: &Arc| {
                arc.centre.distance(centre) < 1e-5
                    && (arc.radius - radius).abs() < 1e-5
                    && arc.distance(from) < 1e-6
                    && arc.distance(to) < 1e-6
            };
            let mine = ours.iter().position(same);
            let mine = mine.unwrap_or_else(|| panic!("{name}: no arc about {centre} of {radius} mm"));
            found[mine] += 4.0 * a.bulge.atan().abs() * radius;
        }
        for (arc, found) in ours.iter().zip(found) {
            let missing = arc.length() - found;
            let cut = is_near_a_corner(&edge, arc.at(0.0)) || is_near_a_corner(&edge, arc.at(1.0));
            let most = if cut { 5.0 * OVERHANG } else { 1e-6 };
            assert!(missing.abs() < most, "{name}: {missing} mm are missing of {arc:?}");
        }
    }
}

/// The negative buffer of a fine polygon. Its boundary lies on our parallels, and they on it but where they have passed
/// each other at a corner. Tolerance: 2e-3 mm, twenty sagittas of the chords: two chords meet at an angle, and the
/// buffer's vertex over that angle lies further in by about a chord's sagitta times the ratio of radii; the clipping
/// library's grid adds some 1e-6 mm.
#[test]
fn rib_lines_are_the_buffer_of_a_polygon() {
    const SAGITTA: f64 = 1e-4;
    const TOLERANCE: f64 = 2e-3;
    for (name, edge) in all_edges() {
        let ours = rib_lines(&edge);
        let buffer = as_polygon(&edge, SAGITTA).buffer(-OVERHANG);
        let [inner] = &buffer.0[..] else { panic!("{name}: {} polygons", buffer.0.len()) };
        for coord in inner.exterior().coords() {
            let at = Point::new(coord.x, coord.y);
            let off = ours
                .iter()
                .filter_map(|line| line.nearest(at))
                .map(|n| n.offset.abs())
                .fold(f64::MAX, f64::min);
            assert!(
                off < TOLERANCE || is_near_a_corner(&edge, at),
                "{name}: {at} is {off} mm off the rib line"
            );
        }
        for line in &ours {
            for (at, _) in line.sampled(8.0) {
                let point = geo::Point::new(at.x, at.y);
                let off = Euclidean.distance(&point, inner.exterior());
                let past = !inner.contains(&point) && is_near_a_corner(&edge, at);
                assert!(off < TOLERANCE || past, "{name}: {at} is {off} mm off the buffer");
            }
        }
        let theirs = as_polyline(&edge).parallel_offset(OVERHANG)[0].area();
        let most = TOLERANCE * edge.length();
        assert!((inner.unsigned_area() - theirs).abs() < most, "{name}: the two libraries disagree");
    }
}

/// The area between an edge and its parallel is the length of the parallel in the middle times the distance: Steiner's
/// formula for parallel curves. For each run by itself, corners left aside.
#[test]
fn the_strip_between_run_and_rib_line_has_the_area_that_steiner_gives() {
    for (name, edge) in true_edges() {
        for run in Run::ALL {
            let outer = edge.run(run);
            let (inner, middle) = (
                outer.offset(OVERHANG).expect("wide enough"),
                outer.offset(0.5 * OVERHANG).expect("wide enough"),
            );
            let mut strip = Polyline::new_closed();
            for arc in outer.arcs() {
                strip.add(arc.at(0.0).x, arc.at(0.0).y, (0.25 * arc.sweep).tan());
            }
            strip.add(outer.end().x, outer.end().y, 0.0);
            for arc in inner.reversed().arcs() {
                strip.add(arc.at(0.0).x, arc.at(0.0).y, (0.25 * arc.sweep).tan());
            }
            strip.add(inner.start.x, inner.start.y, 0.0);
            let (area, steiner) = (strip.area(), OVERHANG * middle.length());
            assert!((area - steiner).abs() < 1e-7, "{name}, {run}: {area} and {steiner} mm²");
        }
    }
}
