//! Pieces that are drawn end to end, as one line.

use super::Drawn;
use kurbo::{BezPath, PathEl, Point};
use std::collections::HashMap;

/// Ends nearer than this are one place, mm.
const SAME_PLACE: f64 = 0.02;

/// Joins pieces of the same name whose ends meet two by two; where more than two meet, each stays by itself.
pub(super) fn joined(drawn: Vec<Drawn>) -> Vec<Drawn> {
    let cell = |p: Point| ((p.x / SAME_PLACE).floor() as i64, (p.y / SAME_PLACE).floor() as i64);
    let ends: Vec<Option<[Point; 2]>> = drawn.iter().map(|d| open_ends(&d.path)).collect();
    let mut at: HashMap<(i64, i64), Vec<(usize, usize)>> = HashMap::new();
    for (k, ends) in ends.iter().enumerate() {
        for (which, end) in ends.iter().flatten().enumerate() {
            at.entry(cell(*end)).or_default().push((k, which));
        }
    }
    // The one other end that meets this end, if there is just one.
    let partner = |k: usize, which: usize| -> Option<(usize, usize)> {
        let here = ends[k]?[which];
        let (x, y) = cell(here);
        let mut found = None;
        for (dx, dy) in (-1..=1).flat_map(|dx| (-1..=1).map(move |dy| (dx, dy))) {
            for (other, end) in at.get(&(x + dx, y + dy)).into_iter().flatten() {
                let near = ends[*other].is_some_and(|ends| ends[*end].distance(here) < SAME_PLACE);
                if (*other, *end) == (k, which) || !near || drawn[*other].name != drawn[k].name {
                    continue;
                }
                if found.is_some() {
                    return None;
                }
                found = Some((*other, *end));
            }
        }
        found
    };
    let mutual = |k: usize, which: usize| {
        partner(k, which).filter(|(other, end)| *other != k && partner(*other, *end) == Some((k, which)))
    };
    let mut used = vec![false; drawn.len()];
    let mut lines = Vec::new();
    for k in 0..drawn.len() {
        if used[k] {
            continue;
        }
        // Back to the first piece, or once round.
        let (mut first, mut from) = (k, 0);
        for _ in 0..drawn.len() {
            match mutual(first, from) {
                Some((other, end)) if other != k => (first, from) = (other, 1 - end),
                _ => break,
            }
        }
        let mut path = BezPath::new();
        let (mut now, mut from) = (first, from);
        loop {
            used[now] = true;
            append(&mut path, &drawn[now].path, from == 1);
            match mutual(now, 1 - from) {
                Some((other, end)) if !used[other] => (now, from) = (other, end),
                Some((other, _)) if other == first && first != now => {
                    path.push(PathEl::ClosePath);
                    break;
                }
                _ => break,
            }
        }
        lines.push(Drawn { name: drawn[k].name.clone(), path });
    }
    lines
}

/// Start and end; `None` of what is closed.
fn open_ends(path: &BezPath) -> Option<[Point; 2]> {
    let elements = path.elements();
    let (Some(PathEl::MoveTo(start)), Some(last)) = (elements.first(), elements.last()) else { return None };
    let end = last.end_point()?;
    (start.distance(end) > SAME_PLACE).then_some([*start, end])
}

fn append(path: &mut BezPath, piece: &BezPath, backwards: bool) {
    let piece = if backwards { piece.reverse_subpaths() } else { piece.clone() };
    let joined = !path.elements().is_empty();
    for element in piece.elements() {
        match element {
            // What lies between two ends that meet is shorter than can be seen.
            PathEl::MoveTo(p) if joined => path.line_to(*p),
            other => path.push(*other),
        }
    }
}
