//! What is tapped on a photo.

use super::opening::Turn;
use crate::store::PinName;
use kurbo::{Point, Size};
use ribline_geometry::outline::{Corner, Run};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    Scale,
    Line,
}

/// Taps that are seen together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Marks,
    Pins,
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
    /// Places that were tapped less closely than under the loupe, and the standard deviation of each, pixels. Some may be there no more.
    pub rough: Vec<(Point, f64)>,
}

impl Taps {
    /// Takes note of a place that may be so many pixels off, if it is any.
    pub fn note_rough(&mut self, at: Point, sd: f64) {
        if sd > 0.0 {
            self.rough.push((at, sd));
        }
    }

    /// How far a place may be off, pixels, beyond what the loupe allows.
    pub fn roughness(&self, at: Point) -> f64 {
        self.rough.iter().find(|(rough, _)| *rough == at).map_or(0.0, |(_, sd)| *sd)
    }

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

    /// The same places once the photo, of this size until then, is turned.
    pub fn turned(&self, turn: Turn, size: Size) -> Taps {
        let moved = |p: Point| match turn {
            Turn::Quarter => Point::new(size.height - p.y, p.x),
            Turn::Mirror => Point::new(size.width - p.x, p.y),
        };
        let mut taps = Taps {
            marks: self.marks.iter().copied().map(moved).collect(),
            pins: self.pins.map(|pin| pin.map(moved)),
            without_pins: self.without_pins,
            corners: self.corners.map(|corner| corner.map(moved)),
            bottom: self.bottom.map(moved),
            top: self.top.map(moved),
            vias: self.vias.clone().map(|vias| vias.into_iter().map(moved).collect()),
            rough: self.rough.iter().map(|(at, sd)| (moved(*at), *sd)).collect(),
        };
        // In the mirror left is right, and a run that was travelled upwards is travelled downwards.
        if turn == Turn::Mirror {
            taps.corners.reverse();
            taps.vias.reverse();
            taps.vias.iter_mut().for_each(|vias| vias.reverse());
        }
        taps
    }

    pub fn all(&self, kind: Kind) -> Vec<(Tap, Point)> {
        let mut all = Vec::new();
        let mut add = |tap| all.extend(self.at(tap).map(|at| (tap, at)));
        match kind {
            Kind::Marks => (0..self.marks.len()).for_each(|k| add(Tap::Mark(k))),
            Kind::Pins => PinName::BOTH.into_iter().for_each(|pin| add(Tap::Pin(pin))),
            Kind::Line => {
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

#[cfg(all(test, target_arch = "wasm32"))]
mod tests {
    use super::*;
    use wasm_bindgen_test::wasm_bindgen_test;

    fn tapped() -> Taps {
        let mut taps = Taps { marks: vec![Point::new(1.0, 2.0), Point::new(90.0, 3.0)], ..Taps::default() };
        taps.put(Tap::Pin(PinName::Lower), Point::new(50.0, 190.0));
        taps.put(Tap::Corner(Corner::LowerRight), Point::new(80.0, 150.0));
        taps.put(Tap::Corner(Corner::LowerLeft), Point::new(22.0, 151.0));
        taps.put(Tap::Bottom, Point::new(50.0, 195.0));
        taps.vias[0] = vec![Point::new(70.0, 185.0), Point::new(88.0, 170.0)];
        taps
    }

    #[wasm_bindgen_test]
    fn four_quarters_or_two_mirrors_bring_every_tap_back() {
        let (upright, lying) = (Size::new(100.0, 200.0), Size::new(200.0, 100.0));
        let mut taps = tapped();
        for size in [upright, lying, upright, lying] {
            taps = taps.turned(Turn::Quarter, size);
        }
        assert_eq!(taps, tapped());
        let mirrored = tapped().turned(Turn::Mirror, upright);
        assert_ne!(mirrored, tapped());
        assert_eq!(mirrored.turned(Turn::Mirror, upright), tapped());
    }

    #[wasm_bindgen_test]
    fn in_the_mirror_a_run_goes_by_its_taps_on_the_other_side() {
        let taps = tapped();
        let mirrored = taps.turned(Turn::Mirror, Size::new(100.0, 200.0));
        let mut along: Vec<Point> =
            taps.along(Run::ALL[0]).iter().map(|p| Point::new(100.0 - p.x, p.y)).collect();
        along.reverse();
        assert_eq!(mirrored.along(Run::ALL[5]), along);
        assert_eq!(along.len(), 4);
    }
}
