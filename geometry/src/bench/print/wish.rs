//! What a maker asks of the printed sheets, and what is usual.

use crate::json::{Fault, Fields, Form, Map, Name, Named, Value};
use crate::outline::Side;

/// Everything asked of a print. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PrintWish {
    pub pages: Pages,
    pub part: Part,
    pub drawn: DrawnSet,
    /// How far neighbouring sheets repeat one another.
    pub overlap: f64,
    /// What the printer cannot print on at each side of the paper.
    pub margin: f64,
    /// What the two bars of 100 mm measured on the last print, across and up.
    pub measured: [f64; 2],
}

/// On what it is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pages {
    /// One page as large as the drawing.
    One,
    /// As many sheets as it takes.
    Sheets(Paper),
}

/// Sizes of paper. Source: ISO 216; ANSI/ASME Y14.1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Paper {
    A4,
    A3,
    Letter,
    Tabloid,
}

impl Paper {
    /// Width and height of an upright sheet, mm.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0, 297.0),
            Paper::A3 => (297.0, 420.0),
            Paper::Letter => (215.9, 279.4),
            Paper::Tabloid => (279.4, 431.8),
        }
    }

    pub fn name(self) -> &'static str {
        match self {
            Paper::A4 => "A4",
            Paper::A3 => "A3",
            Paper::Letter => "Letter",
            Paper::Tabloid => "Tabloid",
        }
    }
}

impl Pages {
    pub const ALL: [Pages; 5] = [
        Pages::Sheets(Paper::A4),
        Pages::Sheets(Paper::A3),
        Pages::Sheets(Paper::Letter),
        Pages::Sheets(Paper::Tabloid),
        Pages::One,
    ];
}

/// How much of the plate is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Part {
    Whole,
    /// One half, to be turned over on the centreline.
    Half(Side),
}

impl Part {
    pub const ALL: [Part; 3] = [Part::Whole, Part::Half(Side::Left), Part::Half(Side::Right)];
}

/// What can be drawn on a sheet or left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Drawn {
    /// The edge, with the button that belongs to it; of a mould, its line.
    Edge,
    LeftForTheFile,
    Ribs,
    /// The purfling and the two sides of its channel.
    Purfling,
    /// The corners' cuts with their widths.
    Corners,
    /// Centres, numbered as on the compass sheet.
    Centres,
    /// The centreline and the pins.
    Centreline,
    Traced,
    /// The corners enlarged, on a page of their own after the sheets.
    CornersEnlarged,
}

impl Drawn {
    pub const ALL: [Drawn; 9] = [
        Drawn::Edge,
        Drawn::LeftForTheFile,
        Drawn::Ribs,
        Drawn::Purfling,
        Drawn::Corners,
        Drawn::Centres,
        Drawn::Centreline,
        Drawn::Traced,
        Drawn::CornersEnlarged,
    ];
}

/// Some of [`Drawn`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DrawnSet(u16);

impl DrawnSet {
    pub fn of(all: impl IntoIterator<Item = Drawn>) -> Self {
        all.into_iter().fold(DrawnSet(0), |set, drawn| set.with(drawn, true))
    }

    pub fn has(self, drawn: Drawn) -> bool {
        self.0 & 1 << drawn as u8 != 0
    }

    #[must_use]
    pub fn with(self, drawn: Drawn, is: bool) -> Self {
        let bit = 1 << drawn as u8;
        DrawnSet(if is { self.0 | bit } else { self.0 & !bit })
    }

    pub fn all(self) -> impl Iterator<Item = Drawn> {
        Drawn::ALL.into_iter().filter(move |drawn| self.has(*drawn))
    }
}

impl Default for PrintWish {
    fn default() -> Self {
        let usual =
            [Drawn::Edge, Drawn::Ribs, Drawn::Purfling, Drawn::Corners, Drawn::Centres, Drawn::Centreline];
        PrintWish {
            pages: Pages::Sheets(Paper::A4),
            part: Part::Whole,
            drawn: DrawnSet::of(usual),
            overlap: 10.0,
            // Common practice, from memory: office printers leave 4 to 6 mm.
            margin: 6.0,
            measured: [BAR; 2],
        }
    }
}

/// Length of the bars by which a print is checked and corrected, mm.
pub const BAR: f64 = 100.0;

/// Why a print cannot be made; worded for a person.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum PrintError {
    #[error(
        "The bar printed {direction} can measure from {least} to {most} mm where it should be 100 mm; {given} mm was given. Measure again; beyond that, print at 100 % (\"actual size\") first"
    )]
    Measured { direction: &'static str, least: f64, most: f64, given: f64 },
    #[error("The {what} must be from {least} to {most} mm; it is {given} mm")]
    Setting { what: &'static str, least: f64, most: f64, given: f64 },
    #[error("Nothing is chosen to be drawn; choose at least the edge")]
    Nothing,
    #[error("This would take {sheets} sheets; choose larger paper or one large page")]
    TooManySheets { sheets: usize },
    #[error("A page of {mm:.0} mm is larger than a PDF can hold ({most:.0} mm); print on several sheets")]
    TooLarge { mm: f64, most: f64 },
    #[error(
        "With such margins and overlap nothing of the sheet is left to print on; choose less, or larger paper"
    )]
    NoRoom,
}

impl PrintWish {
    pub const OVERLAP: (f64, f64) = (4.0, 40.0);
    pub const MARGIN: (f64, f64) = (0.0, 30.0);
    pub const MEASURED: (f64, f64) = (90.0, 110.0);

    /// # Errors
    /// For a figure that nobody can mean.
    pub fn check(&self) -> Result<(), PrintError> {
        let within = |what, given: f64, (least, most): (f64, f64)| {
            if (least..=most).contains(&given) {
                Ok(())
            } else {
                Err(PrintError::Setting { what, least, most, given })
            }
        };
        within("overlap of the sheets", self.overlap, Self::OVERLAP)?;
        within("margin of the printer", self.margin, Self::MARGIN)?;
        for (direction, given) in ["across", "up"].into_iter().zip(self.measured) {
            let (least, most) = Self::MEASURED;
            if !(least..=most).contains(&given) {
                return Err(PrintError::Measured { direction, least, most, given });
            }
        }
        Ok(())
    }

    /// # Errors
    /// [`PrintError::Nothing`] where a sheet would stay empty: that can be wished for and kept, but not printed.
    pub fn check_drawn(&self) -> Result<(), PrintError> {
        let on_the_plate = self.drawn.with(Drawn::CornersEnlarged, false);
        on_the_plate.all().next().map(|_| ()).ok_or(PrintError::Nothing)
    }

    /// By how much the next print is enlarged, across and up.
    pub fn correction(&self) -> [f64; 2] {
        self.measured.map(|mm| BAR / mm)
    }
}

impl Named for Pages {
    const NAMES: &'static [Name<Self>] = &[
        ("a4", Pages::Sheets(Paper::A4)),
        ("a3", Pages::Sheets(Paper::A3)),
        ("letter", Pages::Sheets(Paper::Letter)),
        ("tabloid", Pages::Sheets(Paper::Tabloid)),
        ("one-page", Pages::One),
    ];
}

impl Named for Part {
    const NAMES: &'static [Name<Self>] = &[
        ("whole", Part::Whole),
        ("left-half", Part::Half(Side::Left)),
        ("right-half", Part::Half(Side::Right)),
    ];
}

impl Named for Drawn {
    const NAMES: &'static [Name<Self>] = &[
        ("edge", Drawn::Edge),
        ("left-for-the-file", Drawn::LeftForTheFile),
        ("ribs", Drawn::Ribs),
        ("purfling", Drawn::Purfling),
        ("corners", Drawn::Corners),
        ("centres", Drawn::Centres),
        ("centreline", Drawn::Centreline),
        ("traced", Drawn::Traced),
        ("corners-enlarged", Drawn::CornersEnlarged),
    ];
}

impl Form for DrawnSet {
    fn read(value: &Value) -> Result<Self, Fault> {
        Ok(DrawnSet::of(Vec::<Drawn>::read(value)?))
    }

    fn written(&self) -> Value {
        self.all().collect::<Vec<_>>().written()
    }
}

impl Form for PrintWish {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "settings of the print in { }")?;
        Ok(PrintWish {
            pages: fields.take("pages")?,
            part: fields.take("part")?,
            drawn: fields.take("drawn")?,
            overlap: fields.take("overlap_mm")?,
            margin: fields.take("margin_mm")?,
            measured: fields.take("bars_measured_mm")?,
        })
    }

    fn written(&self) -> Value {
        let entries = Map::new()
            .with("pages", &self.pages)
            .with("part", &self.part)
            .with("drawn", &self.drawn)
            .with("overlap_mm", &self.overlap)
            .with("margin_mm", &self.margin)
            .with("bars_measured_mm", &self.measured);
        Value::Object(entries)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_read_back_are_the_settings_written() {
        let mut wish = PrintWish::default();
        for pages in Pages::ALL {
            for part in Part::ALL {
                wish = PrintWish { pages, part, measured: [97.0, 100.5], ..wish };
                wish.drawn = wish.drawn.with(Drawn::Traced, pages == Pages::One);
                assert_eq!(PrintWish::read(&wish.written()), Ok(wish));
            }
        }
    }

    #[test]
    fn a_bar_that_nobody_measured_is_refused_by_its_direction() {
        for (measured, said) in
            [([97.0, 111.0], "up"), ([f64::NAN, 100.0], "across"), ([89.9, 100.0], "across")]
        {
            let wish = PrintWish { measured, ..PrintWish::default() };
            assert!(wish.check().unwrap_err().to_string().contains(said));
        }
    }
}
