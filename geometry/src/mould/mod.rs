//! The inside mould and the ribs that are bent around it: its outline with recesses for the blocks, holes, and how long
//! to cut each of the six ribs.
//!
//! Three lines run side by side: the mould's, which is the inner face of the ribs and passes over the blocks; the ribs'
//! middle; and their outer face. With the way [`MouldWay::Parallel`] all three are parallels of the plate's edge; with
//! [`MouldWay::OwnArcs`] the mould has arcs of its own and the ribs are its parallels, as they are where the recipe
//! itself is one for a mould. All are in the frame of the plate: its bottom at the origin, y up the centreline.

mod cuts;
mod error;
mod holes;
mod lines;
mod parallel;
mod recess;
mod wish;

pub use error::MouldError;
pub use wish::{Allowance, CornerBlock, EndBlock, Holes, MouldSetting, MouldWay, MouldWish};

use crate::arc::Arc;
use crate::bench::shapes::{Path, SAME_PLACE, Segment};
use crate::outline::{Bout, Run};
use crate::recipe::{Construction, Recipe};
use crate::reconcile::Overhang;
use cuts::{Cuts, both_sides};
use kurbo::Point;
use lines::Lines;
use parallel::HalfLine;

/// A mould, and the ribs for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Mould {
    /// As it is sawn: closed, with the recesses cut into it.
    pub outline: Path,
    /// The mould's own line, closed, straight over the recesses: the inner face of the ribs.
    pub inner: Path,
    /// The outer face of the ribs, closed.
    pub outer: Path,
    /// The blocks as they are trimmed to the ribs' line, each closed: lower, upper, then the corners.
    pub blocks: Vec<Path>,
    /// Middles of the holes.
    pub holes: Vec<Point>,
    pub hole_diameter: f64,
    /// Where pins through the plate meet the middle of the lower and the upper block.
    pub pins: [Point; 2],
    /// In the order of [`Run::ALL`].
    pub ribs: [RibLength; 6],
    pub remarks: Vec<MouldRemark>,
}

/// How long a rib is, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RibLength {
    pub run: Run,
    /// In place: along the middle of its thickness, which keeps its length as the strip is bent, from the centreline, or
    /// from the corner, to the corner where the outer faces of two ribs meet.
    pub in_place: f64,
    /// With the allowance at both of its ends.
    pub cut: f64,
}

/// What the maker should know of how the mould came out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MouldRemark {
    /// An arc of the edge is tighter than overhang and rib: the mould has a kink in its place.
    Vanished { bout: Bout, radius: f64 },
    /// So many holes would have left too little wood beside them, or run into one another.
    HolesLeftOut { count: usize },
    /// A corner block was taken less deep towards the centreline than asked: so much, mm. Deeper, its side would run along
    /// the waist or miss it.
    Narrowed { bout: Bout, across: f64 },
    /// The mould's own arcs leave the parallel of the edge by at most so much, mm; positive where the mould is too large.
    LeavesParallel { most: f64 },
}

impl RibLength {
    /// As it is read off, to the tenth of a millimetre.
    pub fn in_place_read(&self) -> f64 {
        (10.0 * self.in_place).round() / 10.0
    }

    /// As the strip is cut, to the next whole millimetre: a rib cut short is firewood.
    pub fn cut_whole(&self) -> f64 {
        self.cut.ceil()
    }
}

impl Mould {
    /// Of all six ribs in place, mm: the sum of what is read off for each, so that it can be added up by hand.
    pub fn total_in_place(&self) -> f64 {
        self.ribs.iter().map(RibLength::in_place_read).sum()
    }

    /// Of all six ribs as they are cut, mm: likewise.
    pub fn total_cut(&self) -> f64 {
        self.ribs.iter().map(RibLength::cut_whole).sum()
    }
}

/// The mould for a recipe as it was worked, with the overhang that is wanted.
///
/// # Errors
/// A sentence for the maker where arcs, blocks or settings leave no mould.
pub fn mould(
    recipe: &Recipe,
    drawn: &Construction,
    overhang: Overhang,
    wish: &MouldWish,
) -> Result<Mould, MouldError> {
    wish.check()?;
    let lines = Lines::of(recipe, drawn, overhang, wish)?;
    let inner = whole(&lines.inner);
    if let Some(at) = crossing(&inner) {
        return Err(MouldError::Crosses { x: at.x, y: at.y });
    }
    let cuts = Cuts::of(&lines.inner, wish)?;
    let outline = cuts.outline(&lines.inner);
    let (holes, left_out) =
        if wish.bored { holes::bored(&lines.inner, &cuts, &outline, wish) } else { (Vec::new(), 0) };
    let mut remarks: Vec<MouldRemark> =
        lines.inner.vanished.iter().map(|&(bout, radius)| MouldRemark::Vanished { bout, radius }).collect();
    if let Some(most) = lines.leaves_parallel {
        remarks.push(MouldRemark::LeavesParallel { most });
    }
    remarks.extend(cuts.narrowed.iter().map(|&(bout, across)| MouldRemark::Narrowed { bout, across }));
    if left_out > 0 {
        remarks.push(MouldRemark::HolesLeftOut { count: left_out });
    }
    Ok(Mould {
        inner,
        outer: whole(&lines.outer),
        blocks: cuts.blocks(&lines.inner),
        holes,
        hole_diameter: wish.holes.diameter,
        pins: pins(&lines.inner, wish),
        ribs: rib_lengths(&lines.outer, wish),
        remarks,
        outline,
    })
}

fn rib_lengths(outer: &HalfLine, wish: &MouldWish) -> [RibLength; 6] {
    Run::ALL.map(|run| {
        let middle = |arc: &Arc| {
            // As in a parallel: half the thickness further in.
            let inwards = 0.5 * wish.rib_thickness * arc.sweep.signum();
            (arc.radius - inwards).max(0.0) * arc.sweep.abs()
        };
        let in_place: f64 = outer.runs[run.bout as usize].iter().map(middle).sum();
        let Allowance { corner, end } = wish.allowance;
        let longer = if run.bout == Bout::Waist { 2.0 * corner } else { corner + end };
        RibLength { run, in_place, cut: in_place + longer }
    })
}

fn pins(inner: &HalfLine, wish: &MouldWish) -> [Point; 2] {
    let (bottom, top) = (inner.bottom(), inner.top());
    [
        Point::new(0.0, bottom.y + 0.5 * wish.lower_block.depth),
        Point::new(0.0, top.y - 0.5 * wish.upper_block.depth),
    ]
}

fn whole(line: &HalfLine) -> Path {
    let mut right: Vec<Segment> = Vec::new();
    for arc in line.runs.iter().flatten() {
        if let Some(last) = right.last().map(Segment::end)
            && last.distance(arc.at(0.0)) > SAME_PLACE
        {
            right.push(Segment::Line { from: last, to: arc.at(0.0) });
        }
        right.push(Segment::Arc(*arc));
    }
    both_sides(right)
}

/// A place where a closed path crosses itself, found on chords that leave its arcs by at most 0.02 mm.
fn crossing(path: &Path) -> Option<Point> {
    let mut points: Vec<Point> = Vec::new();
    for segment in &path.segments {
        match segment {
            Segment::Line { from, .. } => points.push(*from),
            Segment::Arc(arc) => {
                // Sagitta of a chord over angle a is r (1 - cos(a/2)).
                let step = 2.0 * (1.0 - (0.02 / arc.radius).min(1.0)).acos();
                let count = (arc.sweep.abs() / step).ceil().clamp(1.0, 2000.0) as usize;
                points.extend((0..count).map(|i| arc.at(i as f64 / count as f64)));
            }
        }
    }
    points.dedup_by(|a, b| a.distance(*b) < 1e-7);
    crate::outline::first_crossing(&points)
}

#[cfg(test)]
mod tests;
