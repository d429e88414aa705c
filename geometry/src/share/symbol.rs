//! A link as a QR symbol (ISO/IEC 18004), for others to scan from a screen, a wall or a print.

use fast_qr::qr::QRBuilder;
use fast_qr::{ECL, QRCode};
use std::fmt::Write;

/// Longest link in bytes for which a symbol is made: the largest symbol holds 2953.
pub const LONGEST: usize = 2_900;
/// Modules that have to stay light all around (ISO/IEC 18004, 6.3.8).
pub const QUIET_ZONE: usize = 4;

/// Common practice: a telephone reads a small symbol, 33 modules across with its quiet zone, from ten times its width;
/// of a finer one it has to be nearer by as much as its modules are smaller.
const WIDTHS_AWAY: f64 = 10.0;
const MODULES_THEN: f64 = 33.0;

#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "This link has {bytes} characters, and a symbol can hold {LONGEST}. Share it without the trace, or send the link itself."
)]
pub struct TooLongForSymbol {
    pub bytes: usize,
}

/// The dark and light modules of a symbol.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Symbol {
    side: usize,
    dark: Vec<bool>,
}

impl Symbol {
    /// The smallest symbol for a text, with as much correction of errors as fits into it.
    ///
    /// # Errors
    /// [`TooLongForSymbol`].
    pub fn of(text: &str) -> Result<Self, TooLongForSymbol> {
        let too_long = TooLongForSymbol { bytes: text.len() };
        if text.len() > LONGEST {
            return Err(too_long);
        }
        let with = |correction: ECL| QRBuilder::new(text).ecl(correction).build().ok();
        let smallest = with(ECL::L).ok_or(too_long)?;
        let better =
            [ECL::H, ECL::Q, ECL::M].into_iter().filter_map(with).find(|qr| qr.size == smallest.size);
        Ok(Symbol::from(&better.unwrap_or(smallest)))
    }

    /// Modules along a side, without the quiet zone.
    pub fn side(&self) -> usize {
        self.side
    }

    /// Modules along a side, quiet zone and all.
    pub fn across(&self) -> usize {
        self.side + 2 * QUIET_ZONE
    }

    /// Counted from the top left; beyond the symbol all is light.
    pub fn is_dark(&self, column: usize, row: usize) -> bool {
        column < self.side && self.dark.get(row * self.side + column).copied().unwrap_or(false)
    }

    /// The dark modules as the data of one SVG path, to be filled black on white in a square that goes from 0 to
    /// [`across`](Symbol::across) both ways.
    pub fn path(&self) -> String {
        let mut path = String::new();
        for row in 0..self.side {
            let mut column = 0;
            while column < self.side {
                let begins = column;
                while self.is_dark(column, row) {
                    column += 1;
                }
                let length = column - begins;
                if length > 0 {
                    let (x, y) = (begins + QUIET_ZONE, row + QUIET_ZONE);
                    let _ = write!(path, "M{x} {y}h{length}v1h-{length}z");
                }
                column += 1;
            }
        }
        path
    }

    /// From how far a telephone can be expected to read the symbol, in the unit in which its width, quiet zone and all,
    /// is given.
    pub fn read_from(&self, width: f64) -> f64 {
        width * WIDTHS_AWAY * (MODULES_THEN / self.across() as f64).min(1.0)
    }
}

impl From<&QRCode> for Symbol {
    fn from(qr: &QRCode) -> Self {
        let side = qr.size;
        let dark = (0..side).flat_map(|row| qr[row][..side].iter().map(|module| module.value())).collect();
        Symbol { side, dark }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_symbol_is_as_large_as_its_text_needs() {
        // ISO/IEC 18004, table 7: version 1 holds 17 bytes, version 2 holds 32, version 40 holds 2953.
        assert_eq!(Symbol::of(&"m".repeat(17)).unwrap().side(), 21);
        assert_eq!(Symbol::of(&"m".repeat(18)).unwrap().side(), 25);
        assert_eq!(Symbol::of(&"m".repeat(LONGEST)).unwrap().side(), 177);
        assert_eq!(Symbol::of(&"m".repeat(LONGEST + 1)), Err(TooLongForSymbol { bytes: LONGEST + 1 }));
    }

    #[test]
    fn the_path_is_dark_where_the_modules_are() {
        let symbol = Symbol::of("the edge of the plate").unwrap();
        let mut dark = 0;
        for run in symbol.path().split_terminator('z') {
            let length = run.rsplit("h-").next().unwrap();
            dark += length.parse::<usize>().unwrap();
        }
        assert_eq!(dark, symbol.dark.iter().filter(|dark| **dark).count());
        assert!(symbol.path().starts_with("M4 4h7v1h-7z"), "the finder pattern at the top left");
    }

    #[test]
    fn a_finer_symbol_is_read_from_nearer() {
        let (small, large) = (Symbol::of("m").unwrap(), Symbol::of(&"m".repeat(2000)).unwrap());
        assert_eq!(small.read_from(100.0), 1000.0);
        assert!(large.read_from(100.0) < 300.0);
    }
}
