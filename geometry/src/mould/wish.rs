//! What a maker asks of a mould, and what is customary.

use super::MouldError;
use crate::json::{Fault, Fields, Form, Map, Name, Named, Value};
use crate::recipe::{Instrument, Recipe, Size, built_in};

/// How the mould's outline is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum MouldWay {
    /// The plate's edge less overhang and rib: the same centres, each radius changed by so much.
    #[default]
    Parallel,
    /// The fewer arcs of the built-in mould recipe, at this plate's length and widths less overhang and rib.
    OwnArcs,
}

/// What the maker asks of the mould. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MouldWish {
    pub way: MouldWay,
    pub rib_thickness: f64,
    pub lower_corners: CornerBlock,
    pub upper_corners: CornerBlock,
    pub lower_block: EndBlock,
    pub upper_block: EndBlock,
    /// Whether holes are bored.
    pub bored: bool,
    pub holes: Holes,
    pub allowance: Allowance,
}

/// A corner block, the same on both sides, measured from the mould's own corner; its inner sides are along the centreline and square to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CornerBlock {
    /// Towards the centreline.
    pub across: f64,
    /// Along the centreline, towards the bout.
    pub along: f64,
}

/// The block at an end of the centreline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndBlock {
    /// Across the centreline.
    pub width: f64,
    /// Along the centreline, from the mould's end.
    pub depth: f64,
}

/// Holes for cord posts, cords or clamps: one behind each block, and more along each run.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holes {
    /// How many along each run, besides those behind the blocks.
    pub along: u8,
    pub diameter: f64,
    /// From the mould's edge to the middle of a hole.
    pub distance: f64,
}

/// What a rib is cut longer than it will be, at each end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Allowance {
    /// At an end that is feathered into a corner.
    pub corner: f64,
    /// At an end on the centreline.
    pub end: f64,
}

/// One of the numbers in a [`MouldWish`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MouldSetting {
    RibThickness,
    LowerCornerAcross,
    LowerCornerAlong,
    UpperCornerAcross,
    UpperCornerAlong,
    LowerWidth,
    LowerDepth,
    UpperWidth,
    UpperDepth,
    HolesAlong,
    HoleDiameter,
    HoleDistance,
    CornerAllowance,
    EndAllowance,
}

impl MouldSetting {
    pub const ALL: [MouldSetting; 14] = [
        MouldSetting::RibThickness,
        MouldSetting::LowerCornerAcross,
        MouldSetting::LowerCornerAlong,
        MouldSetting::UpperCornerAcross,
        MouldSetting::UpperCornerAlong,
        MouldSetting::LowerWidth,
        MouldSetting::LowerDepth,
        MouldSetting::UpperWidth,
        MouldSetting::UpperDepth,
        MouldSetting::HolesAlong,
        MouldSetting::HoleDiameter,
        MouldSetting::HoleDistance,
        MouldSetting::CornerAllowance,
        MouldSetting::EndAllowance,
    ];

    /// Least and most that anybody can mean, mm. The least block is no block: its corner or end of the mould stays whole.
    pub fn within(self) -> (f64, f64) {
        match self {
            MouldSetting::RibThickness => (0.3, 5.0),
            MouldSetting::LowerCornerAcross
            | MouldSetting::LowerCornerAlong
            | MouldSetting::UpperCornerAcross
            | MouldSetting::UpperCornerAlong => (0.0, 120.0),
            MouldSetting::LowerWidth | MouldSetting::UpperWidth => (0.0, 200.0),
            MouldSetting::LowerDepth | MouldSetting::UpperDepth => (0.0, 120.0),
            MouldSetting::HolesAlong => (0.0, 8.0),
            MouldSetting::HoleDiameter => (1.0, 60.0),
            MouldSetting::HoleDistance => (3.0, 150.0),
            MouldSetting::CornerAllowance | MouldSetting::EndAllowance => (0.0, 60.0),
        }
    }

    /// Its name in a project's file.
    pub fn key(self) -> &'static str {
        match self {
            MouldSetting::RibThickness => "rib_thickness",
            MouldSetting::LowerCornerAcross => "lower_corner_across",
            MouldSetting::LowerCornerAlong => "lower_corner_along",
            MouldSetting::UpperCornerAcross => "upper_corner_across",
            MouldSetting::UpperCornerAlong => "upper_corner_along",
            MouldSetting::LowerWidth => "lower_width",
            MouldSetting::LowerDepth => "lower_depth",
            MouldSetting::UpperWidth => "upper_width",
            MouldSetting::UpperDepth => "upper_depth",
            MouldSetting::HolesAlong => "holes_along",
            MouldSetting::HoleDiameter => "hole_diameter",
            MouldSetting::HoleDistance => "hole_distance",
            MouldSetting::CornerAllowance => "corner_allowance",
            MouldSetting::EndAllowance => "end_allowance",
        }
    }

    fn in_words(self) -> &'static str {
        match self {
            MouldSetting::RibThickness => "thickness of the ribs",
            MouldSetting::LowerCornerAcross => "lower corner blocks' size across",
            MouldSetting::LowerCornerAlong => "lower corner blocks' size along",
            MouldSetting::UpperCornerAcross => "upper corner blocks' size across",
            MouldSetting::UpperCornerAlong => "upper corner blocks' size along",
            MouldSetting::LowerWidth => "lower block's width",
            MouldSetting::LowerDepth => "lower block's depth",
            MouldSetting::UpperWidth => "upper block's width",
            MouldSetting::UpperDepth => "upper block's depth",
            MouldSetting::HolesAlong => "number of holes along each run",
            MouldSetting::HoleDiameter => "diameter of the holes",
            MouldSetting::HoleDistance => "distance of the holes from the edge",
            MouldSetting::CornerAllowance => "allowance at the corners",
            MouldSetting::EndAllowance => "allowance at the centreline",
        }
    }
}

/// Blocks and holes of one instrument at one body length, all from memory: what an inside mould commonly has.
struct Custom {
    body_length: f64,
    lower_corner: (f64, f64),
    upper_corner: (f64, f64),
    lower: (f64, f64),
    upper: (f64, f64),
    /// Diameter, distance.
    holes: (f64, f64),
}

fn custom(instrument: Instrument) -> Custom {
    match instrument {
        Instrument::Violin | Instrument::Viola => Custom {
            body_length: 355.0,
            lower_corner: (21.0, 26.0),
            upper_corner: (14.0, 24.0),
            lower: (46.0, 16.0),
            upper: (52.0, 18.0),
            holes: (16.0, 24.0),
        },
        Instrument::Cello => Custom {
            body_length: 755.0,
            lower_corner: (38.0, 46.0),
            upper_corner: (28.0, 42.0),
            lower: (80.0, 26.0),
            upper: (96.0, 32.0),
            holes: (30.0, 45.0),
        },
        Instrument::Viol => Custom {
            body_length: 690.0,
            lower_corner: (30.0, 34.0),
            upper_corner: (20.0, 32.0),
            lower: (60.0, 22.0),
            upper: (56.0, 40.0),
            holes: (26.0, 38.0),
        },
    }
}

impl MouldWish {
    /// What is customary for the recipe's instrument. Blocks and holes are as much smaller as the body is, to the half
    /// millimetre; ribs and allowances do not scale.
    pub fn customary(recipe: &Recipe) -> Self {
        let custom = custom(recipe.instrument);
        let length = match recipe.measures.first().map(|measure| &measure.size) {
            Some(Size::Mm(mm)) if mm.is_finite() && *mm > 0.0 => *mm,
            _ => custom.body_length,
        };
        let sized = |mm: f64, setting: MouldSetting| {
            let (least, most) = setting.within();
            (2.0 * mm * length / custom.body_length).round().clamp(2.0 * least, 2.0 * most) / 2.0
        };
        MouldWish {
            way: MouldWay::Parallel,
            rib_thickness: built_in::rib_thickness(recipe.instrument, length),
            lower_corners: CornerBlock {
                across: sized(custom.lower_corner.0, MouldSetting::LowerCornerAcross),
                along: sized(custom.lower_corner.1, MouldSetting::LowerCornerAlong),
            },
            upper_corners: CornerBlock {
                across: sized(custom.upper_corner.0, MouldSetting::UpperCornerAcross),
                along: sized(custom.upper_corner.1, MouldSetting::UpperCornerAlong),
            },
            lower_block: EndBlock {
                width: sized(custom.lower.0, MouldSetting::LowerWidth),
                depth: sized(custom.lower.1, MouldSetting::LowerDepth),
            },
            upper_block: EndBlock {
                width: sized(custom.upper.0, MouldSetting::UpperWidth),
                depth: sized(custom.upper.1, MouldSetting::UpperDepth),
            },
            bored: true,
            holes: Holes {
                along: 1,
                diameter: sized(custom.holes.0, MouldSetting::HoleDiameter),
                distance: sized(custom.holes.1, MouldSetting::HoleDistance),
            },
            // From memory: enough to trim a feathered end by.
            allowance: Allowance { corner: 10.0, end: 5.0 },
        }
    }

    pub fn get(&self, setting: MouldSetting) -> f64 {
        match setting {
            MouldSetting::RibThickness => self.rib_thickness,
            MouldSetting::LowerCornerAcross => self.lower_corners.across,
            MouldSetting::LowerCornerAlong => self.lower_corners.along,
            MouldSetting::UpperCornerAcross => self.upper_corners.across,
            MouldSetting::UpperCornerAlong => self.upper_corners.along,
            MouldSetting::LowerWidth => self.lower_block.width,
            MouldSetting::LowerDepth => self.lower_block.depth,
            MouldSetting::UpperWidth => self.upper_block.width,
            MouldSetting::UpperDepth => self.upper_block.depth,
            MouldSetting::HolesAlong => f64::from(self.holes.along),
            MouldSetting::HoleDiameter => self.holes.diameter,
            MouldSetting::HoleDistance => self.holes.distance,
            MouldSetting::CornerAllowance => self.allowance.corner,
            MouldSetting::EndAllowance => self.allowance.end,
        }
    }

    pub fn set(&mut self, setting: MouldSetting, to: f64) {
        let place = match setting {
            // A number of holes is a whole one; `as` holds what is out of bounds at the bound.
            MouldSetting::HolesAlong => {
                self.holes.along = to.round() as u8;
                return;
            }
            MouldSetting::RibThickness => &mut self.rib_thickness,
            MouldSetting::LowerCornerAcross => &mut self.lower_corners.across,
            MouldSetting::LowerCornerAlong => &mut self.lower_corners.along,
            MouldSetting::UpperCornerAcross => &mut self.upper_corners.across,
            MouldSetting::UpperCornerAlong => &mut self.upper_corners.along,
            MouldSetting::LowerWidth => &mut self.lower_block.width,
            MouldSetting::LowerDepth => &mut self.lower_block.depth,
            MouldSetting::UpperWidth => &mut self.upper_block.width,
            MouldSetting::UpperDepth => &mut self.upper_block.depth,
            MouldSetting::HoleDiameter => &mut self.holes.diameter,
            MouldSetting::HoleDistance => &mut self.holes.distance,
            MouldSetting::CornerAllowance => &mut self.allowance.corner,
            MouldSetting::EndAllowance => &mut self.allowance.end,
        };
        *place = to;
    }

    /// What was left at the custom of one recipe follows the custom of another.
    pub fn carried(mut self, from: &Recipe, to: &Recipe) -> Self {
        let (old, new) = (MouldWish::customary(from), MouldWish::customary(to));
        for setting in MouldSetting::ALL {
            if self.get(setting) == old.get(setting) {
                self.set(setting, new.get(setting));
            }
        }
        self
    }

    /// # Errors
    /// [`MouldError::Setting`] for a number that nobody can mean.
    pub fn check(&self) -> Result<(), MouldError> {
        for setting in MouldSetting::ALL {
            let (low, high) = setting.within();
            let given = self.get(setting);
            if !(low..=high).contains(&given) {
                return Err(MouldError::Setting { what: setting.in_words(), low, high, given });
            }
        }
        Ok(())
    }
}

impl Named for MouldWay {
    const NAMES: &'static [Name<Self>] = &[("parallel", MouldWay::Parallel), ("own-arcs", MouldWay::OwnArcs)];
}

impl Form for MouldWish {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a mould's settings in { }")?;
        let block = EndBlock { width: 0.0, depth: 0.0 };
        let corner = CornerBlock { across: 0.0, along: 0.0 };
        let mut wish = MouldWish {
            way: fields.take("way")?,
            bored: fields.take("bored")?,
            rib_thickness: 0.0,
            lower_corners: corner,
            upper_corners: corner,
            lower_block: block,
            upper_block: block,
            holes: Holes { along: 0, diameter: 0.0, distance: 0.0 },
            allowance: Allowance { corner: 0.0, end: 0.0 },
        };
        for setting in MouldSetting::ALL {
            wish.set(setting, fields.take(setting.key())?);
        }
        Ok(wish)
    }

    fn written(&self) -> Value {
        let entries = Map::new().with("way", &self.way).with("bored", &self.bored);
        let with_numbers =
            |entries: Map, setting: MouldSetting| entries.with(setting.key(), &self.get(setting));
        Value::Object(MouldSetting::ALL.into_iter().fold(entries, with_numbers))
    }
}
