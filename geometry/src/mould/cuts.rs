//! The mould's line with the recesses cut into it, and the blocks that fill them.

use super::parallel::{HalfLine, mirrored};
use super::recess::{self, Cut, OnRun};
use super::{CornerBlock, MouldError, MouldWish};
use crate::arc::Arc;
use crate::bench::shapes::{Path, Segment};
use crate::outline::Bout;
use kurbo::Point;

/// The recesses on the right half; `None` where there is no block.
pub(super) struct Cuts {
    pub bottom: Option<Cut>,
    pub lower: Option<Cut>,
    pub upper: Option<Cut>,
    pub top: Option<Cut>,
    /// Corner blocks that were taken less deep than asked, and how deep, mm.
    pub narrowed: Vec<(Bout, f64)>,
}

impl Cuts {
    pub fn of(line: &HalfLine, wish: &MouldWish) -> Result<Self, MouldError> {
        let mut narrowed = Vec::new();
        let mut corner = |bout: Bout, size: CornerBlock| {
            let across = size.across.min(recess::most_across(line, bout));
            if across < size.across {
                narrowed.push((bout, across));
            }
            recess::corner(line, bout, CornerBlock { across, ..size })
        };
        let (lower, upper) =
            (corner(Bout::Lower, wish.lower_corners)?, corner(Bout::Upper, wish.upper_corners)?);
        let cuts = Cuts {
            bottom: recess::end(line, Bout::Lower, wish.lower_block)?,
            lower,
            upper,
            top: recess::end(line, Bout::Upper, wish.upper_block)?,
            narrowed,
        };
        for (bout, (from, to)) in Bout::ALL.into_iter().zip(cuts.between(line)) {
            if !recess::in_order(from, to) {
                return Err(match bout {
                    Bout::Waist => MouldError::CornerBlock {
                        bout,
                        across: wish.lower_corners.across,
                        along: wish.lower_corners.along,
                    },
                    Bout::Lower => MouldError::EndBlock {
                        bout,
                        width: wish.lower_block.width,
                        depth: wish.lower_block.depth,
                    },
                    Bout::Upper => MouldError::EndBlock {
                        bout,
                        width: wish.upper_block.width,
                        depth: wish.upper_block.depth,
                    },
                });
            }
        }
        Ok(cuts)
    }

    /// What the recesses leave of each run: from where to where.
    pub fn between(&self, line: &HalfLine) -> [(OnRun, OnRun); 3] {
        let takes_up = |cut: &Option<Cut>| cut.as_ref().map_or(OnRun::START, |cut| cut.takes_up);
        let leaves = |cut: &Option<Cut>, run: usize| {
            cut.as_ref().map_or(OnRun::end(&line.runs[run]), |cut| cut.leaves)
        };
        [
            (takes_up(&self.bottom), leaves(&self.lower, 0)),
            (takes_up(&self.lower), leaves(&self.upper, 1)),
            (takes_up(&self.upper), leaves(&self.top, 2)),
        ]
    }

    /// The mould as it is sawn.
    pub fn outline(&self, line: &HalfLine) -> Path {
        let mut right = Vec::new();
        let kept = self.between(line);
        for (k, cut) in [&self.bottom, &self.lower, &self.upper].into_iter().enumerate() {
            right.extend(cut.iter().flat_map(|cut| cut.sides.iter().copied()));
            let (from, to) = kept[k];
            right.extend(recess::between(&line.runs[k], from, to).into_iter().map(Segment::Arc));
        }
        right.extend(self.top.iter().flat_map(|cut| cut.sides.iter().copied()));
        both_sides(right)
    }

    pub fn blocks(&self, line: &HalfLine) -> Vec<Path> {
        let arcs = |run: usize, from: OnRun, to: OnRun| {
            recess::between(&line.runs[run], from, to).into_iter().map(Segment::Arc).collect::<Vec<_>>()
        };
        let mut blocks = Vec::new();
        if let Some(cut) = &self.bottom {
            // Counter-clockwise: along the edge away from the centreline, back along the sides.
            let mut right = arcs(0, OnRun::START, cut.takes_up);
            right.extend(reversed(&cut.sides));
            blocks.push(both_sides(right));
        }
        if let Some(cut) = &self.top {
            let mut right = reversed(&cut.sides);
            right.extend(arcs(2, cut.leaves, OnRun::end(&line.runs[2])));
            blocks.push(both_sides(right));
        }
        for (cut, run) in [(&self.lower, 0), (&self.upper, 1)] {
            if let Some(cut) = cut {
                let mut block = arcs(run, cut.leaves, OnRun::end(&line.runs[run]));
                block.extend(arcs(run + 1, OnRun::START, cut.takes_up));
                block.extend(reversed(&cut.sides));
                blocks.push(Path::closed(mirror_image(&block)));
                blocks.push(Path::closed(block));
            }
        }
        blocks
    }
}

fn reversed(segments: &[Segment]) -> Vec<Segment> {
    segments
        .iter()
        .rev()
        .map(|segment| match segment {
            Segment::Line { from, to } => Segment::Line { from: *to, to: *from },
            Segment::Arc(arc) => {
                Segment::Arc(Arc { start: arc.start + arc.sweep, sweep: -arc.sweep, ..*arc })
            }
        })
        .collect()
}

/// In the centreline, travelled the other way: what ran up the right comes down the left.
fn mirror_image(segments: &[Segment]) -> Vec<Segment> {
    let flipped = |p: Point| Point::new(-p.x, p.y);
    segments
        .iter()
        .rev()
        .map(|segment| match segment {
            Segment::Line { from, to } => Segment::Line { from: flipped(*to), to: flipped(*from) },
            Segment::Arc(arc) => Segment::Arc(mirrored(arc)),
        })
        .collect()
}

/// A closed path from its right half, which begins and ends on the centreline.
pub(super) fn both_sides(mut right: Vec<Segment>) -> Path {
    let left = mirror_image(&right);
    right.extend(left);
    Path::closed(right)
}
