//! Shapes as points: a CSV file for what reads neither SVG nor DXF.

use super::shapes::{Layer, Segment, Shapes};
use std::fmt::Write;

/// Most points that one file has.
const MOST: usize = 200_000;

/// Points along every path of the wanted layers, no further apart than `spacing` mm (as many as fit in a file of a sensible
/// size), with every joint among them: `layer,path,x_mm,y_mm`. Paths of a layer are counted from 1; a closed path ends
/// with its first point. `words` say in a comment what they are of.
pub fn points_csv(shapes: &Shapes, layers: &[Layer], spacing: f64, words: &str) -> String {
    let wanted: Vec<_> = shapes.0.iter().filter(|l| layers.contains(&l.layer)).collect();
    let length: f64 = wanted.iter().map(|l| l.path.length()).sum();
    let spacing = if spacing.is_finite() { spacing } else { 1.0 }.max(length / MOST as f64).max(1e-3);
    let mut out = format!("# {words}\nlayer,path,x_mm,y_mm\n");
    let mut counts: Vec<(Layer, usize)> = Vec::new();
    for layered in wanted {
        let number = match counts.iter_mut().find(|(layer, _)| *layer == layered.layer) {
            Some((_, count)) => {
                *count += 1;
                *count
            }
            None => {
                counts.push((layered.layer, 1));
                1
            }
        };
        let mut row = |at: kurbo::Point| {
            // A ten-thousandth of a millimetre; zero without a sign.
            let _ = writeln!(out, "{},{number},{:.4},{:.4}", layered.layer.name(), at.x + 0.0, at.y + 0.0);
        };
        for (k, segment) in layered.path.segments.iter().enumerate() {
            let steps = (segment.length() / spacing).ceil().max(1.0) as usize;
            for i in usize::from(k > 0)..=steps {
                let t = i as f64 / steps as f64;
                row(match segment {
                    Segment::Line { from, to } => from.lerp(*to, t),
                    Segment::Arc(arc) => arc.at(t),
                });
            }
        }
    }
    out
}
