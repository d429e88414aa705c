//! Everything of a plate as shapes on layers: what every file for the bench is written from.

use super::allowance::outside;
use super::shapes::{Layer, Path, Segment, Shapes};
use super::wish::BenchWish;
use crate::edge::button::{ButtonError, button};
use crate::edge::purfling::{PurflingNotice, purfling};
use crate::outline::{Corner, Run};
use crate::project::Project;
use crate::reconcile::report::Reconciled;
use kurbo::{Point, Vec2};

/// Arms of the crosses of centres, pins and traced points, and how far the centreline goes on beyond the plate, mm.
const CENTRE_ARM: f64 = 1.5;
const PIN_ARM: f64 = 2.5;
const TRACED_ARM: f64 = 0.5;
const BEYOND: f64 = 8.0;

/// A plate drawn for the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct PlateDrawing {
    pub shapes: Shapes,
    pub purfling_notices: Vec<PurflingNotice>,
    /// Why the button that was asked for is not drawn.
    pub button_refused: Option<ButtonError>,
}

/// Draws the plate: its edge with the button that belongs to it, what is left on for the file, ribs, purfling, corner
/// cuts, centres, pins, centreline and traced points, each on its layer.
pub fn plate_drawing(project: &Project, result: &Reconciled) -> PlateDrawing {
    let asked = project.bench_wish();
    let edge = &result.edge;
    let mut shapes = Shapes::default();
    let (path, button_path, button_refused) = edge_path(project, result, &asked);
    let bounds = path.bounds().unwrap_or_default();
    let line = |from: Point, to: Point| Path::line(from, to);
    shapes.add(
        Layer::Centreline,
        line(Point::new(0.0, bounds.y0 - BEYOND), Point::new(0.0, bounds.y1 + BEYOND)),
    );
    // Of ribs that were not traced nothing is known.
    let ribs = Run::ALL
        .into_iter()
        .filter(|_| result.overhang.is_of_ribs())
        .filter_map(|run| edge.outline.run(run).offset(result.overhang.wanted.at(run.bout)));
    ribs.for_each(|chain| shapes.add(Layer::Ribs, Path::chain(&chain)));
    let drawn = purfling(edge, &asked.purfling(&project.wish));
    shapes.add(Layer::PurflingChannel, drawn.outer.path());
    shapes.add(Layer::PurflingChannel, drawn.inner.path());
    shapes.add(Layer::Purfling, drawn.middle.path());
    for corner in Corner::ALL {
        let end = &edge.corners[corner.index()];
        shapes.add(Layer::Corners, line(end.outer, end.waist));
    }
    if let Some(left_on) =
        (asked.left_for_the_file > 0.0).then(|| outside(&path, asked.left_for_the_file)).flatten()
    {
        shapes.add(Layer::LeftForTheFile, left_on);
    }
    let button_feet = button_path.as_ref().and_then(Path::ends);
    if let Some(path) = button_path {
        shapes.add(Layer::Button, path);
    }
    shapes.add_edge(path, button_feet);
    let mut centres: Vec<Point> = Vec::new();
    for arc in &result.arcs {
        if centres.iter().all(|c| c.distance(arc.arc.centre) > 1e-6) {
            centres.push(arc.arc.centre);
        }
    }
    let mut cross = |layer: Layer, at: Point, arm: f64| {
        for along in [Vec2::new(arm, 0.0), Vec2::new(0.0, arm)] {
            shapes.add(layer, Path::line(at - along, at + along));
        }
    };
    centres.into_iter().for_each(|at| cross(Layer::Centres, at, CENTRE_ARM));
    [result.pins.lower, result.pins.upper]
        .into_iter()
        .flatten()
        .for_each(|at| cross(Layer::Pins, at, PIN_ARM));
    result.points.iter().for_each(|point| cross(Layer::Traced, point.at, TRACED_ARM));
    PlateDrawing { shapes, purfling_notices: drawn.notices, button_refused }
}

/// The closed edge, the button's own line where it has one, and why it has none though one was asked for.
fn edge_path(
    project: &Project,
    result: &Reconciled,
    asked: &BenchWish,
) -> (Path, Option<Path>, Option<ButtonError>) {
    let outline = &result.edge.outline;
    let Some(wish) = asked.button_on(project.face.plate) else { return (Path::outline(outline), None, None) };
    match button(outline, &wish) {
        Ok(drawn) => {
            let own: Vec<Segment> = drawn.segments.clone();
            (drawn.edge_with(outline), Some(Path::open(own)), None)
        }
        Err(error) => (Path::outline(outline), None, Some(error)),
    }
}
