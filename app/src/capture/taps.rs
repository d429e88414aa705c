//! What is tapped on a photo.

use crate::store::PinName;
use kurbo::Point;
use ribline_geometry::outline::{Corner, Run};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    Scale,
    Line,
}

/// One tap: what it is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tap {
    Mark(usize),
    Pin(PinName),
    Corner(Corner),
    Bottom,
    Top,
    /// On a run, counted along it.
    Via(Run, usize),
}

/// All taps, in pixels of the photo.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Taps {
    pub marks: Vec<Point>,
    pub pins: [Option<Point>; 2],
    pub without_pins: bool,
    pub corners: [Option<Point>; 4],
    pub bottom: Option<Point>,
    pub top: Option<Point>,
    pub vias: [Vec<Point>; 6],
}

impl Taps {
    pub fn at(&self, tap: Tap) -> Option<Point> {
        match tap {
            Tap::Mark(k) => self.marks.get(k).copied(),
            Tap::Pin(pin) => self.pins[pin as usize],
            Tap::Corner(corner) => self.corners[corner.index()],
            Tap::Bottom => self.bottom,
            Tap::Top => self.top,
            Tap::Via(run, k) => self.vias[run.index()].get(k).copied(),
        }
    }

    pub fn put(&mut self, tap: Tap, at: Point) {
        match tap {
            Tap::Mark(k) if k < self.marks.len() => self.marks[k] = at,
            Tap::Mark(_) => self.marks.push(at),
            Tap::Pin(pin) => self.pins[pin as usize] = Some(at),
            Tap::Corner(corner) => self.corners[corner.index()] = Some(at),
            Tap::Bottom => self.bottom = Some(at),
            Tap::Top => self.top = Some(at),
            Tap::Via(run, k) => {
                if let Some(via) = self.vias[run.index()].get_mut(k) {
                    *via = at;
                }
            }
        }
    }

    pub fn remove(&mut self, tap: Tap) {
        match tap {
            Tap::Mark(k) if k < self.marks.len() => {
                self.marks.remove(k);
            }
            Tap::Mark(_) => {}
            Tap::Pin(pin) => self.pins[pin as usize] = None,
            Tap::Corner(corner) => self.corners[corner.index()] = None,
            Tap::Bottom => self.bottom = None,
            Tap::Top => self.top = None,
            Tap::Via(run, k) => {
                let vias = &mut self.vias[run.index()];
                if k < vias.len() {
                    vias.remove(k);
                }
            }
        }
    }

    /// Every tap of a stage.
    pub fn all(&self, stage: Stage) -> Vec<(Tap, Point)> {
        let mut all = Vec::new();
        let mut add = |tap| all.extend(self.at(tap).map(|at| (tap, at)));
        match stage {
            Stage::Scale => (0..self.marks.len()).for_each(|k| add(Tap::Mark(k))),
            Stage::Line => {
                PinName::BOTH.into_iter().for_each(|pin| add(Tap::Pin(pin)));
                Corner::ALL.into_iter().for_each(|corner| add(Tap::Corner(corner)));
                add(Tap::Bottom);
                add(Tap::Top);
                for run in Run::ALL {
                    (0..self.vias[run.index()].len()).for_each(|k| add(Tap::Via(run, k)));
                }
            }
        }
        all
    }

    /// The taps along a run, its ends among them; nothing while an end is missing.
    pub fn along(&self, run: Run) -> Vec<Point> {
        let of = |corner: Corner| self.corners[corner.index()];
        let ends = match run.index() {
            0 => (self.bottom, of(Corner::LowerRight)),
            1 => (of(Corner::LowerRight), of(Corner::UpperRight)),
            2 => (of(Corner::UpperRight), self.top),
            3 => (self.top, of(Corner::UpperLeft)),
            4 => (of(Corner::UpperLeft), of(Corner::LowerLeft)),
            _ => (of(Corner::LowerLeft), self.bottom),
        };
        match ends {
            (Some(from), Some(to)) => {
                let vias = self.vias[run.index()].iter().copied();
                std::iter::once(from).chain(vias).chain([to]).collect()
            }
            _ => Vec::new(),
        }
    }
}
