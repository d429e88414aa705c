//! Corner ends: where the two flanks of a corner are cut.
//!
//! Both flanks are followed back from their tips by lengths a and b along the edge. The cut joins the
//! two places; wanted are a and b such that the cut has its width (or lies its distance beyond the ribs'
//! corner) and stands square to the bisector of the two headings there, but for the lean.

use super::{CornerCut, CornerEnd, CornerWish};
use crate::arc::{Arc, Chain, direction};
use crate::outline::Corner;
use kurbo::{Point, Vec2};

/// A flank of a corner, measured from its outer tip inwards.
pub(crate) struct Flank {
    /// Arcs from the tip inwards, each with the length at which it begins.
    arcs: Vec<(f64, Arc)>,
    length: f64,
}

impl Flank {
    /// From a chain that starts at the tip.
    fn from_tip(chain: &Chain) -> Self {
        let mut length = 0.0;
        let arcs = chain
            .arcs()
            .into_iter()
            .map(|arc| {
                let begins = length;
                length += arc.length();
                (begins, arc)
            })
            .collect();
        Flank { arcs, length }
    }

    /// Place and heading (towards the tip) at `s` mm from the tip.
    fn at(&self, s: f64) -> Option<(Point, Vec2)> {
        let (begins, arc) = self.arcs.iter().rev().find(|(begins, _)| *begins <= s).or(self.arcs.first())?;
        let t = if arc.length() > 0.0 { (s - begins) / arc.length() } else { 0.0 };
        Some((arc.at(t), -direction(arc.heading(t))))
    }

    /// Where this flank, a lower or upper run's, crosses the waist's, as lengths from the two tips. Carried on far, they may cross
    /// again: beyond the corner, or where the run has turned back into the plate. Taken is the innermost place where they cross
    /// as at a corner that points outward, or the innermost of all where there is none such.
    fn meeting(&self, other: &Flank, outer_ends_here: bool) -> Option<(f64, f64)> {
        let outward = |(a, b): (f64, f64)| {
            let turn = self.at(a).zip(other.at(b)).map_or(0.0, |((_, u), (_, v))| v.cross(u));
            if outer_ends_here { turn > 0.0 } else { turn < 0.0 }
        };
        let mut found: Option<(bool, f64, f64)> = None;
        for (begins, ours) in &self.arcs {
            for (their_begins, theirs) in &other.arcs {
                for point in ours.circles_meet(theirs) {
                    let (t, u) = (ours.parameter_of(point), theirs.parameter_of(point));
                    let on = -1e-12..=1.0 + 1e-12;
                    if on.contains(&t) && on.contains(&u) {
                        let place = (begins + t * ours.length(), their_begins + u * theirs.length());
                        let better = |(was, a, b): (bool, f64, f64)| match (outward(place), was) {
                            (true, false) => true,
                            (false, true) => false,
                            _ => place.0 + place.1 > a + b,
                        };
                        if found.is_none_or(better) {
                            found = Some((outward(place), place.0, place.1));
                        }
                    }
                }
            }
        }
        found.map(|(_, a, b)| (a, b))
    }

    /// The pair of places, at least `a0`, `b0` in from the tips, that lie closest to one another.
    fn narrowest(&self, other: &Flank) -> (f64, f64) {
        let count = 60;
        let mut best = (f64::INFINITY, 0.0, 0.0);
        for i in 0..=count {
            for j in 0..=count {
                let (a, b) = (
                    self.length * f64::from(i) / f64::from(count),
                    other.length * f64::from(j) / f64::from(count),
                );
                if let (Some((p, _)), Some((q, _))) = (self.at(a), other.at(b)) {
                    let d = p.distance(q);
                    if d < best.0 {
                        best = (d, a, b);
                    }
                }
            }
        }
        (best.1, best.2)
    }
}

/// Steepest lean of a cut, radians: about 40 degrees. Beyond it a flank may run along the cut.
const MOST_LEAN: f64 = 0.7;

/// The cut found: lengths in from the two tips, and whether it is as wide (or as far out) as was wanted.
struct Cut {
    a: f64,
    b: f64,
    as_wanted: bool,
}

/// What the cut falls short of, if it does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Shortfall {
    None,
    /// The flanks never come within the wanted width or distance; the nearest place was taken.
    NotReached {
        wanted: CornerCut,
        got: f64,
    },
    /// The flanks do not meet when carried on, so the corner has no natural tip.
    DoNotMeet,
}

struct Place {
    outer: Point,
    waist: Point,
    bisector: Vec2,
}

impl Place {
    /// Whether the corner still points the way its tip does, within 60 degrees. Further in, the flanks open until they
    /// face each other, and the bisector of their headings turns about.
    fn points_as(&self, tip: &Place) -> bool {
        self.bisector.dot(tip.bisector) > 0.5
    }
}

fn place(outer: &Flank, waist: &Flank, a: f64, b: f64) -> Option<Place> {
    let ((p, u), (q, v)) = (outer.at(a)?, waist.at(b)?);
    let sum = u + v;
    let bisector = if sum.hypot() > 1e-9 { sum / sum.hypot() } else { Vec2::new(u.y, -u.x) };
    Some(Place { outer: p, waist: q, bisector })
}

/// How far a cut is from what is wanted: (squareness, width or distance), both in mm.
fn misfit(place: &Place, wish: CornerWish, rib_corner: Point) -> (f64, f64) {
    let across = place.waist - place.outer;
    let (sin, cos) = wish.lean.clamp(-MOST_LEAN, MOST_LEAN).sin_cos();
    let b = place.bisector;
    let square = across.dot(Vec2::new(cos * b.x - sin * b.y, sin * b.x + cos * b.y));
    let size = match wish.cut {
        CornerCut::Width(wanted) => across.hypot() - wanted,
        CornerCut::Beyond(wanted) => {
            wanted - (place.outer.midpoint(place.waist) - rib_corner).dot(place.bisector)
        }
    };
    (square, size)
}

fn find_cut(
    outer: &Flank,
    waist: &Flank,
    tips: (f64, f64),
    wish: CornerWish,
    rib_corner: Point,
) -> Option<Cut> {
    let ((_, u), (_, v)) = (outer.at(tips.0)?, waist.at(tips.1)?);
    let half_angle = 0.5 * u.cross(v).abs().atan2(u.dot(v));
    let back = match wish.cut {
        CornerCut::Width(wanted) => (wanted / (2.0 * half_angle.sin()).max(0.2)).min(25.0),
        CornerCut::Beyond(_) => 8.0,
    };
    newton_cut(outer, waist, (tips.0 + back, tips.1 + back), tips, wish, rib_corner)
        .or_else(|| scanned_cut(outer, waist, tips, wish, rib_corner))
}

/// Newton's method on both misfits at once. `None` where it does not settle on a place inside the tips.
fn newton_cut(
    outer: &Flank,
    waist: &Flank,
    start: (f64, f64),
    tips: (f64, f64),
    wish: CornerWish,
    rib_corner: Point,
) -> Option<Cut> {
    let at = |a: f64, b: f64| place(outer, waist, a, b).map(|p| misfit(&p, wish, rib_corner));
    let tip = place(outer, waist, tips.0, tips.1)?;
    let still_points = |a: f64, b: f64| place(outer, waist, a, b).is_some_and(|p| p.points_as(&tip));
    let (mut a, mut b) = start;
    for _ in 0..30 {
        let (f, g) = at(a, b)?;
        const H: f64 = 1e-5;
        let ((fa, ga), (fb, gb)) = (at(a + H, b)?, at(a, b + H)?);
        let (fa, ga, fb, gb) = ((fa - f) / H, (ga - g) / H, (fb - f) / H, (gb - g) / H);
        let determinant = fa * gb - fb * ga;
        if determinant.abs() < 1e-6 {
            return None;
        }
        let (da, db) = ((fb * g - gb * f) / determinant, (ga * f - fa * g) / determinant);
        // A step as long as a corner is a step into the unknown.
        let brake = (5.0 / da.abs().max(db.abs())).min(1.0);
        a += brake * da;
        b += brake * db;
        if da.abs() + db.abs() < 1e-11 {
            // Beyond the tip of a run there is no run to cut.
            let on_both = a <= outer.length && (-1e-9..=waist.length).contains(&b);
            let sound = on_both && a >= tips.0 - 1e-9 && a + b > tips.0 + tips.1 && still_points(a, b);
            return sound.then_some(Cut { a: a.max(0.0), b: b.max(0.0), as_wanted: true });
        }
    }
    None
}

/// Goes in from the tips step by step, for each place on the outer flank finds the one square to it on the waist
/// flank, and halves the step in which the size passes what is wanted; without one, takes the nearest, which may be the
/// tips themselves.
fn scanned_cut(
    outer: &Flank,
    waist: &Flank,
    tips: (f64, f64),
    wish: CornerWish,
    rib_corner: Point,
) -> Option<Cut> {
    let (a0, b0) = tips;
    let tip = place(outer, waist, a0, b0)?;
    let reach = 40.0_f64.min(outer.length - a0).min(waist.length - b0).max(0.5);
    let square_to = |a: f64| -> Option<f64> {
        let off = |b: f64| place(outer, waist, a, b).map(|p| misfit(&p, wish, rib_corner).0);
        let (mut low, mut high) = ((b0 - 6.0).max(0.0), (b0 + reach).min(waist.length));
        let (at_low, at_high) = (off(low)?, off(high)?);
        if at_low * at_high > 0.0 {
            return None;
        }
        for _ in 0..45 {
            let middle = 0.5 * (low + high);
            if (off(middle)? > 0.0) == (at_low > 0.0) { low = middle } else { high = middle }
        }
        Some(0.5 * (low + high))
    };
    let size_at = |a: f64| -> Option<(f64, f64)> {
        let b = square_to(a)?;
        let place = place(outer, waist, a, b).filter(|p| p.points_as(&tip))?;
        Some((b, misfit(&place, wish, rib_corner).1))
    };
    let mut last: Option<(f64, f64)> = None;
    let mut nearest = (a0, b0, misfit(&tip, wish, rib_corner).1.abs());
    const STEPS: u32 = 50;
    for i in 0..=STEPS {
        let a = a0 + reach * f64::from(i) / f64::from(STEPS);
        let Some((b, size)) = size_at(a) else { continue };
        if size.abs() < nearest.2 {
            nearest = (a, b, size.abs());
        }
        if let Some((inner, _)) = last.filter(|(_, was)| *was <= 0.0 && size >= 0.0) {
            let (mut low, mut high) = (inner, a);
            for _ in 0..45 {
                let middle = 0.5 * (low + high);
                if size_at(middle)?.1 < 0.0 { low = middle } else { high = middle }
            }
            let a = 0.5 * (low + high);
            return square_to(a).map(|b| Cut { a, b, as_wanted: true });
        }
        last = Some((a, size));
    }
    Some(Cut { a: nearest.0, b: nearest.1, as_wanted: false })
}

/// How far apart flanks may stay, as a part of the width of the corner's end, and still be said to meet.
const BLUNT: f64 = 0.5;

/// Cuts one corner. `outer` and `waist` are the two runs, counter-clockwise as in an outline, carried on past the
/// corner; given back are the corner end and how much of each run is to be taken off at that corner.
pub(crate) fn cut_corner(
    at: Corner,
    outer: &Chain,
    waist: &Chain,
    wish: CornerWish,
    rib_overhang: (f64, f64),
    traced_corner: Option<Point>,
) -> Option<(CornerEnd, [f64; 2], Shortfall)> {
    let outer_ends_here = at.outer_ends_here();
    let (outer_flank, waist_flank) = if outer_ends_here {
        (Flank::from_tip(&outer.reversed()), Flank::from_tip(waist))
    } else {
        (Flank::from_tip(outer), Flank::from_tip(&waist.reversed()))
    };
    let crossing = outer_flank.meeting(&waist_flank, outer_ends_here);
    let meeting = crossing.and_then(|(a, _)| outer_flank.at(a)).map(|(p, _)| p);
    let tips = crossing.unwrap_or_else(|| outer_flank.narrowest(&waist_flank));
    let rib_corner = traced_corner
        .or_else(|| virtual_rib_corner(outer, waist, outer_ends_here, rib_overhang))
        .or(meeting)
        .or_else(|| outer_flank.at(tips.0).map(|(p, _)| p))?;

    let cut = find_cut(&outer_flank, &waist_flank, tips, wish, rib_corner);
    let (a, b, as_wanted) = cut.map_or((tips.0, tips.1, false), |c| (c.a, c.b, c.as_wanted));
    let found = place(&outer_flank, &waist_flank, a, b)?;
    let width = found.outer.distance(found.waist);
    let beyond = (found.outer.midpoint(found.waist) - rib_corner).dot(found.bisector);
    // Its end is blunt: flanks that come much closer than the end is wide make it as well as flanks that meet.
    let closest = outer_flank.at(tips.0)?.0.distance(waist_flank.at(tips.1)?.0);
    let shortfall = match wish.cut {
        _ if as_wanted && closest > BLUNT * width => Shortfall::DoNotMeet,
        _ if as_wanted => Shortfall::None,
        wanted @ CornerCut::Width(_) => Shortfall::NotReached { wanted, got: width },
        wanted @ CornerCut::Beyond(_) => Shortfall::NotReached { wanted, got: beyond },
    };
    let end = CornerEnd {
        at,
        outer: found.outer,
        waist: found.waist,
        width,
        meeting,
        heading: found.bisector.y.atan2(found.bisector.x),
        rib_corner,
        beyond_ribs: beyond,
        overhang_outer: outer.nearest(rib_corner)?.offset,
        overhang_waist: waist.nearest(rib_corner)?.offset,
    };
    Some((end, [a, b], shortfall))
}

/// Where the ribs' own lines meet: the parallels of both runs, each at its overhang.
pub(crate) fn rib_corner(at: Corner, outer: &Chain, waist: &Chain, overhang: (f64, f64)) -> Option<Point> {
    virtual_rib_corner(outer, waist, at.outer_ends_here(), overhang)
}

fn virtual_rib_corner(
    outer: &Chain,
    waist: &Chain,
    outer_ends_here: bool,
    overhang: (f64, f64),
) -> Option<Point> {
    let (outer, waist) = (outer.offset(overhang.0)?, waist.offset(overhang.1)?);
    let (outer, waist) = if outer_ends_here {
        (Flank::from_tip(&outer.reversed()), Flank::from_tip(&waist))
    } else {
        (Flank::from_tip(&outer), Flank::from_tip(&waist.reversed()))
    };
    let (a, _) = outer.meeting(&waist, outer_ends_here)?;
    outer.at(a).map(|(p, _)| p)
}

/// The part of a chain that is left when `first` mm are taken off its start and `last` mm off its end.
pub(crate) fn trimmed(chain: &Chain, first: f64, last: f64) -> Option<Chain> {
    let total = chain.length();
    let (from, to) = (first, total - last);
    if from >= to {
        return None;
    }
    let mut begins = 0.0;
    let mut kept: Vec<Arc> = Vec::new();
    for arc in chain.arcs() {
        let ends = begins + arc.length();
        let (low, high) = (from.max(begins), to.min(ends));
        // A sliver left at a joint would be a piece of no length.
        if high - low > 1e-9 {
            let t = |s: f64| (s - begins) / arc.length();
            kept.push(Arc {
                start: arc.start + t(low) * arc.sweep,
                sweep: arc.sweep * (t(high) - t(low)),
                ..arc
            });
        }
        begins = ends;
    }
    Chain::from_arcs(&kept)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::arc::Piece;

    /// A lower right corner that points along x, its flanks arcs of 20 mm that come so close to each other and part again.
    fn cut(gap: f64, width: f64) -> Shortfall {
        let bend = |start: Point, heading: f64| {
            Chain::new(start, heading, vec![Piece { radius: -20.0, sweep: 2.0 }])
        };
        // Each passes the narrowest place, at x = 0, on its way.
        let lower = bend(Point::new(-20.0 * 1f64.sin(), -gap / 2.0 - 20.0 * (1.0 - 1f64.cos())), 1.0);
        let waist = bend(
            Point::new(20.0 * 1f64.sin(), gap / 2.0 + 20.0 * (1.0 - 1f64.cos())),
            std::f64::consts::PI + 1.0,
        );
        let wish = CornerWish { cut: CornerCut::Width(width), lean: 0.0 };
        let (end, _, shortfall) =
            cut_corner(Corner::LowerRight, &lower, &waist, wish, (0.0, 0.0), Some(Point::ZERO)).unwrap();
        assert!((end.width - width).abs() < 1e-6, "{}", end.width);
        shortfall
    }

    #[test]
    fn flanks_that_all_but_meet_make_a_blunt_end_and_those_far_apart_are_told_of() {
        assert_eq!(cut(1.0, 7.0), Shortfall::None);
        assert_eq!(cut(5.0, 7.0), Shortfall::DoNotMeet);
    }
}
