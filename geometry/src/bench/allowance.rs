//! The line a little outside of another: what is left on for the file and the scraper after sawing.

use super::shapes::{Path, SAME_PLACE, Segment};
use crate::arc::{Arc, direction, wrap_angle};
use crate::edge::parallel::{from, up_to};
use kurbo::{Point, Vec2};

/// The parallel `distance` mm outside of a closed counter-clockwise path. Where two pieces meet at an angle theirs are carried
/// on to where they cross; a hollow tighter than the distance is bridged by its neighbours. `None` where nothing is left, or
/// neighbours of such a hollow never come together.
pub fn outside(path: &Path, distance: f64) -> Option<Path> {
    if distance == 0.0 {
        return Some(path.clone());
    }
    let mut pieces: Vec<Segment> = path.segments.iter().filter_map(|s| beside(s, distance)).collect();
    // Crossings are sought pair by pair; a piece that lies wholly beyond one goes, and its neighbours are tried instead.
    let mut k = 0;
    let mut turns = 0;
    while k < pieces.len() {
        turns += 1;
        if pieces.len() < 3 || turns > 10 * path.segments.len() + 100 {
            return None;
        }
        let next = (k + 1) % pieces.len();
        match brought_together(&pieces[k], &pieces[next]) {
            Joined::Both(one, other) => {
                pieces[k] = one;
                pieces[next] = other;
                k += 1;
            }
            Joined::FirstGone => {
                pieces.remove(k);
                k = k.saturating_sub(1);
            }
            Joined::SecondGone => {
                pieces.remove(next);
                if next < k {
                    k -= 1;
                }
            }
            Joined::Never => {
                // Two flanks that bend away from one another: the line goes round the corner itself.
                pieces.insert(k + 1, around(&pieces[k], &pieces[next], distance)?);
                k += 2;
            }
        }
    }
    Some(Path::closed(pieces))
}

/// A piece's parallel to its right, which is outside. `None` of an arc too tight for it.
fn beside(segment: &Segment, distance: f64) -> Option<Segment> {
    match segment {
        Segment::Line { from, to } => {
            let along = (*to - *from) / from.distance(*to);
            let out = distance * Vec2::new(along.y, -along.x);
            Some(Segment::Line { from: *from + out, to: *to + out })
        }
        Segment::Arc(arc) => arc.parallel(-distance).map(Segment::Arc),
    }
}

/// The arc around the corner between two pieces whose parallels do not cross.
fn around(one: &Segment, other: &Segment, distance: f64) -> Option<Segment> {
    let corner = one.end() - distance * right_of(one, 1.0);
    let same = other.start() - distance * right_of(other, 0.0);
    let (a, b) = (one.end() - corner, other.start() - corner);
    let sweep = wrap_angle(b.atan2() - a.atan2());
    (corner.distance(same) < 1e-6 && sweep > 0.0).then_some(Segment::Arc(Arc {
        centre: corner,
        radius: distance,
        start: a.atan2(),
        sweep,
    }))
}

/// Unit vector to the right of a piece at its start (0) or end (1).
fn right_of(segment: &Segment, t: f64) -> Vec2 {
    let along = match segment {
        Segment::Line { from, to } => (*to - *from) / from.distance(*to),
        Segment::Arc(arc) => direction(arc.heading(t)),
    };
    Vec2::new(along.y, -along.x)
}

enum Joined {
    Both(Segment, Segment),
    FirstGone,
    SecondGone,
    Never,
}

fn brought_together(one: &Segment, other: &Segment) -> Joined {
    let (end, start) = (one.end(), other.start());
    if end.distance(start) < SAME_PLACE {
        return Joined::Both(*one, *other);
    }
    let middle = end.midpoint(start);
    let nearest =
        crossings(one, other).into_iter().min_by(|a, b| a.distance(middle).total_cmp(&b.distance(middle)));
    let Some(at) = nearest else { return Joined::Never };
    let (t, u) = (place_on(one, at), place_on(other, at));
    if t <= 1e-9 {
        Joined::FirstGone
    } else if u >= 1.0 - 1e-9 {
        Joined::SecondGone
    } else {
        Joined::Both(ended_at(one, t, at), begun_at(other, u, at))
    }
}

fn place_on(segment: &Segment, at: Point) -> f64 {
    match segment {
        Segment::Line { from, to } => (at - *from).dot(*to - *from) / (*to - *from).hypot2(),
        Segment::Arc(arc) => arc.parameter_of(at),
    }
}

fn ended_at(segment: &Segment, t: f64, at: Point) -> Segment {
    match segment {
        Segment::Line { from, .. } => Segment::Line { from: *from, to: at },
        Segment::Arc(arc) => Segment::Arc(up_to(arc, t)),
    }
}

fn begun_at(segment: &Segment, u: f64, at: Point) -> Segment {
    match segment {
        Segment::Line { to, .. } => Segment::Line { from: at, to: *to },
        Segment::Arc(arc) => Segment::Arc(from(arc, u)),
    }
}

/// Where the whole lines and circles of two pieces cross.
fn crossings(one: &Segment, other: &Segment) -> Vec<Point> {
    match (one, other) {
        (Segment::Arc(a), Segment::Arc(b)) => a.circles_meet(b),
        (Segment::Line { from, to }, Segment::Arc(arc)) | (Segment::Arc(arc), Segment::Line { from, to }) => {
            let along = (*to - *from) / from.distance(*to);
            let foot = *from + along * (arc.centre - *from).dot(along);
            let half = arc.radius * arc.radius - foot.distance_squared(arc.centre);
            if half < 0.0 {
                return Vec::new();
            }
            vec![foot + half.sqrt() * along, foot - half.sqrt() * along]
        }
        (Segment::Line { from: a, to: b }, Segment::Line { from: c, to: d }) => {
            let (u, v) = (*b - *a, *d - *c);
            let across = u.cross(v);
            if across.abs() < 1e-12 {
                return Vec::new();
            }
            vec![*a + u * ((*c - *a).cross(v) / across)]
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::edge::button::{ButtonWish, button};
    use crate::recipe::Instrument;
    use crate::recipe::built_in::{cello, violin};

    #[test]
    fn what_is_left_on_is_the_same_all_the_way_round() {
        for recipe in [violin(), cello()] {
            let outline = recipe.evaluate().unwrap().outline;
            let wish = ButtonWish { root: 2.0, ..ButtonWish::customary(Instrument::Violin) };
            let edge = button(&outline, &wish).unwrap().edge_with(&outline);
            let wider = outside(&edge, 0.5).unwrap();
            // Steiner: a parallel outside adds length times distance, and more than that at sharp corners only.
            let more = wider.area() - edge.area() - 0.5 * edge.length();
            assert!((0.0..12.0).contains(&more), "{more}");
            for segment in &wider.segments {
                for k in 1..8 {
                    let at = match segment {
                        Segment::Arc(arc) => arc.at(f64::from(k) / 8.0),
                        Segment::Line { from, to } => from.lerp(*to, f64::from(k) / 8.0),
                    };
                    let away = edge.segments.iter().map(|s| distance(s, at)).fold(f64::INFINITY, f64::min);
                    assert!(away > 0.5 - 1e-9, "{away} at {at:?}");
                }
            }
        }
    }

    fn distance(segment: &Segment, at: Point) -> f64 {
        match segment {
            Segment::Arc(arc) => arc.distance(at),
            Segment::Line { from, to } => {
                let t = place_on(segment, at).clamp(0.0, 1.0);
                from.lerp(*to, t).distance(at)
            }
        }
    }

    #[test]
    fn a_hollow_tighter_than_what_is_left_on_is_bridged() {
        let outline = violin().evaluate().unwrap().outline;
        let wish = ButtonWish { root: 0.3, ..ButtonWish::customary(Instrument::Violin) };
        let edge = button(&outline, &wish).unwrap().edge_with(&outline);
        let wider = outside(&edge, 0.5).unwrap();
        let tight = |path: &Path| {
            path.segments.iter().filter(|s| matches!(s, Segment::Arc(arc) if arc.radius < 0.49)).count()
        };
        assert_eq!((tight(&edge), tight(&wider)), (2, 0));
    }
}
