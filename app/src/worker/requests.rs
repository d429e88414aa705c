//! What the page can ask of the worker, and what it gets.

pub mod bench;

use super::parcel::{Carried, Parcel};
pub use super::photo::{Drawing, FindMarks, Follow, Lines, Numbers, Rows};
use bench::Bench;
use ribline_geometry::class::Which;
use ribline_geometry::share::Contents;

/// Everything that can be asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Request {
    Share(Share),
    Open(Open),
    Rows(Rows),
    FindMarks(FindMarks),
    Follow(Follow),
    Drawing(Drawing),
    Bench(Bench),
    Bring(Bring),
    Invent(Invent),
}

/// What one can ask for, and what comes of it.
pub trait Asked: Into<Request> {
    type Answer: Carried;
}

const SHARE: &str = "share";
const OPEN: &str = "open";
const ROWS: &str = "rows";
const FIND_MARKS: &str = "find marks";
const FOLLOW: &str = "follow";
const DRAWING: &str = "drawing";

fn put(into: &mut Parcel, kind: &str, asked: impl Carried) {
    into.put(kind);
    asked.pack(into);
}
const BENCH: &str = "bench";
const BRING: &str = "bring";
const INVENT: &str = "invent";

impl Carried for Request {
    fn pack(self, into: &mut Parcel) {
        match self {
            Request::Share(Share { project, page }) => {
                into.put(SHARE);
                project.pack(into);
                page.pack(into);
            }
            Request::Open(Open { text }) => {
                into.put(OPEN);
                text.pack(into);
            }
            Request::Rows(asked) => put(into, ROWS, asked),
            Request::FindMarks(asked) => put(into, FIND_MARKS, asked),
            Request::Follow(asked) => put(into, FOLLOW, asked),
            Request::Drawing(asked) => put(into, DRAWING, asked),
            Request::Bench(asked) => {
                into.put(BENCH);
                asked.pack(into);
            }
            Request::Bring(Bring { text }) => {
                into.put(BRING);
                text.pack(into);
            }
            Request::Invent(Invent { project, names }) => {
                into.put(INVENT);
                project.pack(into);
                Texts(names).pack(into);
            }
        }
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let kind = String::unpack(from)?;
        let mut text = || String::unpack(from);
        Some(match &*kind {
            SHARE => Request::Share(Share { project: text()?, page: text()? }),
            OPEN => Request::Open(Open { text: text()? }),
            ROWS => Request::Rows(Carried::unpack(from)?),
            FIND_MARKS => Request::FindMarks(Carried::unpack(from)?),
            FOLLOW => Request::Follow(Carried::unpack(from)?),
            DRAWING => Request::Drawing(Carried::unpack(from)?),
            BENCH => Request::Bench(Bench::unpack(from)?),
            BRING => Request::Bring(Bring { text: text()? }),
            INVENT => Request::Invent(Invent { project: text()?, names: Texts::unpack(from)?.0 }),
            _ => return None,
        })
    }
}

/// Make links of a project.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// The project's file.
    pub project: String,
    /// The page's own address.
    pub page: String,
}

impl From<Share> for Request {
    fn from(asked: Share) -> Request {
        Request::Share(asked)
    }
}

impl Asked for Share {
    type Answer = Links;
}

/// A link for each of [`Contents::ALL`], or the sentence why there can be none.
#[derive(Debug, Clone, PartialEq)]
pub struct Links(pub [Result<Link, String>; 3]);

impl Carried for Links {
    fn pack(self, into: &mut Parcel) {
        self.0.into_iter().for_each(|link| link.pack(into));
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let mut link = || Result::unpack(from);
        Some(Links([link()?, link()?, link()?]))
    }
}

#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    pub address: String,
    /// The version of the link.
    pub version: u8,
    /// Or the sentence why there can be none.
    pub symbol: Result<Symbol, String>,
}

impl Carried for Link {
    fn pack(self, into: &mut Parcel) {
        self.address.pack(into);
        into.put(self.version);
        self.symbol.pack(into);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(Link { address: String::unpack(from)?, version: from.take()?, symbol: Result::unpack(from)? })
    }
}

/// A QR symbol, to be filled black on white.
#[derive(Debug, Clone, PartialEq)]
pub struct Symbol {
    /// Modules along a side, quiet zone and all: the size of the path's square.
    pub across: usize,
    pub path: String,
    /// From how many times its width it can be read.
    pub widths_away: f64,
}

impl Carried for Symbol {
    fn pack(self, into: &mut Parcel) {
        into.put(self.across);
        self.path.pack(into);
        into.put(self.widths_away);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(Symbol { across: from.take()?, path: String::unpack(from)?, widths_away: from.take()? })
    }
}

/// See what is in the text of a link.
#[derive(Debug, Clone, PartialEq)]
pub struct Open {
    pub text: String,
}

impl From<Open> for Request {
    fn from(asked: Open) -> Request {
        Request::Open(asked)
    }
}

impl Asked for Open {
    type Answer = Result<Opened, String>;
}

/// What a link holds, as a project: without a trace where it carries none.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    /// The project's file.
    pub project: String,
    pub contents: Contents,
    /// The version of the link.
    pub version: u8,
}

impl Carried for Opened {
    fn pack(self, into: &mut Parcel) {
        self.project.pack(into);
        self.contents.pack(into);
        into.put(self.version);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(Opened {
            project: String::unpack(from)?,
            contents: Contents::unpack(from)?,
            version: from.take()?,
        })
    }
}

/// Work the results in a text, a project's file or several links, for a class.
#[derive(Debug, Clone, PartialEq)]
pub struct Bring {
    pub text: String,
}

impl From<Bring> for Request {
    fn from(asked: Bring) -> Request {
        Request::Bring(asked)
    }
}

impl Asked for Bring {
    type Answer = Seats;
}

/// One for each link, in their order, or for the file.
#[derive(Debug, Clone, PartialEq)]
pub struct Seats(pub Vec<Result<Seat, Unseated>>);

impl Carried for Seats {
    fn pack(self, into: &mut Parcel) {
        into.put(self.0.len());
        self.0.into_iter().for_each(|seat| seat.pack(into));
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let count: usize = from.take()?;
        (0..count).map(|_| Result::unpack(from)).collect::<Option<_>>().map(Seats)
    }
}

/// A result for a class.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// The project's file.
    pub project: String,
    /// What it is compared by, as JSON.
    pub member: String,
}

impl Carried for Seat {
    fn pack(self, into: &mut Parcel) {
        self.project.pack(into);
        self.member.pack(into);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        Some(Seat { project: String::unpack(from)?, member: String::unpack(from)? })
    }
}

/// What could not be taken, and why not, as a sentence.
#[derive(Debug, Clone, PartialEq)]
pub struct Unseated {
    pub which: Which,
    pub why: String,
}

impl Carried for Unseated {
    fn pack(self, into: &mut Parcel) {
        match self.which {
            Which::Whole => into.put(0),
            Which::Link { number, of, beside, ending } => {
                into.put(1);
                into.put(number);
                into.put(of);
                beside.pack(into);
                ending.pack(into);
            }
            Which::LinksBeyond { from, to } => {
                into.put(2);
                into.put(from);
                into.put(to);
            }
        }
        self.why.pack(into);
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let which = match from.take::<u8>()? {
            0 => Which::Whole,
            1 => Which::Link {
                number: from.take()?,
                of: from.take()?,
                beside: String::unpack(from)?,
                ending: String::unpack(from)?,
            },
            2 => Which::LinksBeyond { from: from.take()?, to: from.take()? },
            _ => return None,
        };
        Some(Unseated { which, why: String::unpack(from)? })
    }
}

/// Make a class that never was of one project, a result for each name.
#[derive(Debug, Clone, PartialEq)]
pub struct Invent {
    /// The project's file.
    pub project: String,
    pub names: Vec<String>,
}

impl From<Invent> for Request {
    fn from(asked: Invent) -> Request {
        Request::Invent(asked)
    }
}

impl Asked for Invent {
    /// The projects' files.
    type Answer = Texts;
}

#[derive(Debug, Clone, PartialEq)]
pub struct Texts(pub Vec<String>);

impl Carried for Texts {
    fn pack(self, into: &mut Parcel) {
        into.put(self.0.len());
        self.0.into_iter().for_each(|text| text.pack(into));
    }

    fn unpack(from: &mut Parcel) -> Option<Self> {
        let count: usize = from.take()?;
        (0..count).map(|_| String::unpack(from)).collect::<Option<_>>().map(Texts)
    }
}
