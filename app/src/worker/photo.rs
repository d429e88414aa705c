//! What is asked about a photo or a drawing file. The photo's brightness is handed over once, some rows at a time;
//! the worker keeps it.

use super::parcel::{Carried, Parcel};
use super::requests::{Asked, Request};
use kurbo::Point;
use ribline_geometry::capture::{OnLine, Stretch, Tone, UnitTaken, VectorDrawing, VectorLine};

/// Many numbers, which cross as bytes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Numbers(pub Vec<f64>);

impl Carried for Numbers {
    fn pack(self, into: &mut Parcel) {
        self.0.iter().flat_map(|number| number.to_le_bytes()).collect::<Vec<u8>>().pack(into);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let bytes = Vec::<u8>::unpack(from)?;
        let numbers = bytes.chunks_exact(8).filter_map(|b| b.try_into().ok().map(f64::from_le_bytes));
        Some(Numbers(numbers.collect()))
    }
}

impl From<&[Point]> for Numbers {
    fn from(points: &[Point]) -> Self {
        Numbers(points.iter().flat_map(|p| [p.x, p.y]).collect())
    }
}

impl Numbers {
    pub fn points(&self) -> Vec<Point> {
        self.0.chunks_exact(2).map(|xy| Point::new(xy[0], xy[1])).collect()
    }
}

impl Carried for () {
    fn pack(self, _: &mut Parcel) {}

    fn unpack(_: &mut Parcel) -> Option<Self> {
        Some(())
    }
}

/// Some rows of a photo's brightness, to be kept and asked about once all have come, the uppermost first. The first of them take the
/// place of the photo before.
#[derive(Debug, Clone, PartialEq)]
pub struct Rows {
    /// Of the whole photo, pixels.
    pub width: usize,
    pub height: usize,
    /// The first of these rows.
    pub first: usize,
    pub grey: Vec<u8>,
}

impl From<Rows> for Request {
    fn from(asked: Rows) -> Request {
        Request::Rows(asked)
    }
}

impl Asked for Rows {
    type Answer = Result<(), String>;
}

impl Carried for Rows {
    fn pack(self, into: &mut Parcel) {
        into.put(self.width);
        into.put(self.height);
        into.put(self.first);
        self.grey.pack(into);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(Rows {
            width: from.take()?,
            height: from.take()?,
            first: from.take()?,
            grey: Vec::unpack(from)?,
        })
    }
}

/// Find the printed frame's marks on the photo, near four taps. The answer is of places on the photo and on the board by turns.
#[derive(Debug, Clone, PartialEq)]
pub struct FindMarks {
    pub taps: Numbers,
    /// Of the frame, mm.
    pub width: f64,
    pub height: f64,
}

impl From<FindMarks> for Request {
    fn from(asked: FindMarks) -> Request {
        Request::FindMarks(asked)
    }
}

impl Asked for FindMarks {
    type Answer = Result<Numbers, String>;
}

impl Carried for FindMarks {
    fn pack(self, into: &mut Parcel) {
        self.taps.pack(into);
        into.put(self.width);
        into.put(self.height);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(FindMarks { taps: Numbers::unpack(from)?, width: from.take()?, height: from.take()? })
    }
}

/// Follow the line between two taps.
#[derive(Debug, Clone, PartialEq)]
pub struct Follow {
    pub from: Point,
    pub to: Point,
    pub px_per_mm: f64,
    pub tone: Option<Tone>,
}

impl From<Follow> for Request {
    fn from(asked: Follow) -> Request {
        Request::Follow(asked)
    }
}

impl Asked for Follow {
    type Answer = Result<Stretch, String>;
}

const TONES: [Tone; 3] = [Tone::Dark, Tone::Light, Tone::Edge];

impl Carried for Follow {
    fn pack(self, into: &mut Parcel) {
        Numbers(vec![self.from.x, self.from.y, self.to.x, self.to.y, self.px_per_mm]).pack(into);
        into.put(TONES.iter().position(|tone| Some(*tone) == self.tone).unwrap_or(TONES.len()));
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let Numbers(numbers) = Numbers::unpack(from)?;
        let [x, y, u, v, px_per_mm] = numbers.try_into().ok()?;
        let tone = TONES.get(from.take::<usize>()?).copied();
        Some(Follow { from: Point::new(x, y), to: Point::new(u, v), px_per_mm, tone })
    }
}

impl Carried for Stretch {
    fn pack(self, into: &mut Parcel) {
        into.put(TONES.iter().position(|tone| *tone == self.tone).unwrap_or(0));
        Numbers::from(&self.way[..]).pack(into);
        Numbers(self.points.iter().flat_map(|p| [p.at.x, p.at.y, p.sd]).collect()).pack(into);
        Numbers(self.lost.iter().flat_map(|(a, b)| [a.x, a.y, b.x, b.y]).collect()).pack(into);
        into.put(self.strength);
        into.put(usize::from(self.outshone));
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let tone = *TONES.get(from.take::<usize>()?)?;
        let way = Numbers::unpack(from)?.points();
        let points = Numbers::unpack(from)?;
        let points =
            points.0.chunks_exact(3).map(|p| OnLine { at: Point::new(p[0], p[1]), sd: p[2] }).collect();
        let ends = Numbers::unpack(from)?.points();
        let lost = ends.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect();
        let (strength, outshone) = (from.take()?, from.take::<usize>()? > 0);
        Some(Stretch { tone, way, points, lost, strength, outshone })
    }
}

/// Read the lines of a drawing file.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    pub file: Vec<u8>,
    /// mm.
    pub spacing: f64,
}

impl From<Drawing> for Request {
    fn from(asked: Drawing) -> Request {
        Request::Drawing(asked)
    }
}

impl Asked for Drawing {
    type Answer = Result<Lines, String>;
}

impl Carried for Drawing {
    fn pack(self, into: &mut Parcel) {
        self.file.pack(into);
        into.put(self.spacing);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(Drawing { file: Vec::unpack(from)?, spacing: from.take()? })
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Lines(pub VectorDrawing);

impl Carried for Lines {
    fn pack(self, into: &mut Parcel) {
        into.put(match self.0.unit_taken {
            None => 0,
            Some(UnitTaken::Pixel) => 1,
            Some(UnitTaken::Millimetre) => 2,
        });
        into.put(self.0.lines.len());
        for line in self.0.lines {
            line.name.pack(into);
            into.put(line.closed);
            into.put(line.length);
            Numbers::from(&line.points[..]).pack(into);
        }
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let unit_taken = match from.take::<u8>()? {
            0 => None,
            1 => Some(UnitTaken::Pixel),
            _ => Some(UnitTaken::Millimetre),
        };
        let count: usize = from.take()?;
        let line = |_| {
            Some(VectorLine {
                name: String::unpack(from)?,
                closed: from.take()?,
                length: from.take()?,
                points: Numbers::unpack(from)?.points(),
            })
        };
        let lines = (0..count).map(line).collect::<Option<_>>()?;
        Some(Lines(VectorDrawing { lines, unit_taken }))
    }
}
