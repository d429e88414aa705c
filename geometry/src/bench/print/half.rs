//! One half of a drawing, to be turned over on the centreline; and how far the two halves of an outline differ.

use crate::arc::Arc;
use crate::bench::shapes::{Layer, Layered, Path, Segment, Shapes};
use crate::outline::Side;
use kurbo::Point;

/// What of a drawing lies on one side of the centreline.
pub fn half(shapes: &Shapes, side: Side) -> Shapes {
    let mut kept = Shapes::default();
    for Layered { layer, path, .. } in &shapes.0 {
        // A cross is whole or not there.
        if matches!(layer, Layer::Pins | Layer::Centres | Layer::Traced) {
            if path.bounds().is_some_and(|b| b.center().x * side.sign() > -ON_IT) {
                kept.add(*layer, path.clone());
            }
            continue;
        }
        let pieces: Vec<Segment> = path.segments.iter().flat_map(|segment| on_side(segment, side)).collect();
        if pieces.len() == path.segments.len() && pieces == path.segments {
            kept.add(*layer, path.clone());
            continue;
        }
        let mut run: Vec<Segment> = Vec::new();
        for piece in pieces {
            if run.last().is_some_and(|last| last.end().distance(piece.start()) > 1e-6) {
                kept.add(*layer, Path::open(std::mem::take(&mut run)));
            }
            run.push(piece);
        }
        kept.add(*layer, Path::open(run));
    }
    kept
}

/// A place this near to the centreline is on it, mm.
const ON_IT: f64 = 1e-6;

/// The parts of a piece that lie on one side; what runs along the centreline itself belongs to both.
fn on_side(segment: &Segment, side: Side) -> Vec<Segment> {
    let beyond = |at: Point| at.x * side.sign();
    match segment {
        Segment::Line { from, to } => {
            let (a, b) = (beyond(*from), beyond(*to));
            if a >= -ON_IT && b >= -ON_IT {
                return vec![*segment];
            }
            if a <= ON_IT && b <= ON_IT {
                return Vec::new();
            }
            let on = from.lerp(*to, a / (a - b));
            vec![if a > 0.0 {
                Segment::Line { from: *from, to: on }
            } else {
                Segment::Line { from: on, to: *to }
            }]
        }
        Segment::Arc(arc) => {
            let mut cuts = vec![0.0, 1.0];
            if arc.centre.x.abs() < arc.radius {
                let up = (arc.radius * arc.radius - arc.centre.x * arc.centre.x).sqrt();
                for y in [arc.centre.y + up, arc.centre.y - up] {
                    let t = arc.parameter_of(Point::new(0.0, y));
                    if t > 0.0 && t < 1.0 {
                        cuts.push(t);
                    }
                }
            }
            cuts.sort_by(f64::total_cmp);
            let part = |low: f64, high: f64| Arc {
                start: arc.start + low * arc.sweep,
                sweep: (high - low) * arc.sweep,
                ..*arc
            };
            let whole =
                beyond(arc.at(0.5)) > 0.0 && [0.0, 1.0].into_iter().all(|t| beyond(arc.at(t)) >= -ON_IT);
            if cuts.len() == 2 && whole {
                return vec![*segment];
            }
            cuts.windows(2)
                .map(|cut| part(cut[0], cut[1]))
                .filter(|part| beyond(part.at(0.5)) > 0.0)
                .map(Segment::Arc)
                .collect()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::recipe::built_in::violin;

    #[test]
    fn the_two_halves_of_an_edge_are_as_long_as_the_whole() {
        let path = Path::outline(&violin().evaluate().unwrap().outline);
        let whole = Shapes(vec![Layered { layer: Layer::Edge, path: path.clone(), button_feet: None }]);
        let lengths = Side::BOTH.map(|side| {
            let half = half(&whole, side);
            for at in half.0.iter().flat_map(|l| &l.path.segments).flat_map(|s| [s.start(), s.end()]) {
                assert!(at.x * side.sign() > -1e-6, "{at:?}");
            }
            half.0.iter().map(|l| l.path.length()).sum::<f64>()
        });
        assert!((lengths[0] + lengths[1] - path.length()).abs() < 1e-6);
        assert!((lengths[0] - lengths[1]).abs() < 1e-6);
    }

    #[test]
    fn an_arc_over_the_centreline_is_cut_on_it() {
        let whole = Shapes(vec![Layered {
            layer: Layer::Button,
            path: Path::circle(Point::new(2.0, 5.0), 10.0),
            button_feet: None,
        }]);
        let left = half(&whole, Side::Left);
        let length: f64 = left.0.iter().map(|l| l.path.length()).sum();
        assert!(
            (length - 20.0 * (-0.2f64).acos().mul_add(-1.0, std::f64::consts::PI)).abs() < 1e-9,
            "{length}"
        );
    }
}
