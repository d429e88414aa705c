//! What has been tapped on the photo, and what follows from it. The taps are all there is; what is followed between them and
//! how the photo is squared up is worked from them, so that taking back a tap takes back everything with it.

use super::opening::Turn;
use super::said::Said;
use super::taps::{Kind, Stage, Tap, Taps};
use crate::store::PinName;
use crate::words::capture::words;
use crate::worker::ask;
use crate::worker::requests::{FindMarks, Follow, Numbers};
use gloo::timers::callback::Timeout;
use kurbo::{Line, ParamCurveNearest, Point, Size};
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::capture::{
    Along, FrameSheet, Mark, Piece, Squared, Stretch, Taking, Tone, around, rectangle,
};
use ribline_geometry::outline::{Corner, Run};
use ribline_geometry::trace::Pins;
use std::collections::HashMap;

/// Between two letters that are typed there is less time than this.
const TYPED_MS: u32 = 400;

/// Where the scale comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    Frame,
    Rectangle,
    Pins,
    Scan,
}

impl Way {
    pub const ALL: [Way; 4] = [Way::Frame, Way::Rectangle, Way::Pins, Way::Scan];

    /// Marks that are tapped for it.
    pub fn marks(self) -> usize {
        match self {
            Way::Frame | Way::Rectangle => 4,
            Way::Pins | Way::Scan => 0,
        }
    }
}

/// Sizes that are typed in, mm, and dots to the inch. What only the maker can know is not there until it is typed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    pub frame: (f64, f64),
    pub rectangle: (f64, f64),
    pub diagonals: [Option<f64>; 2],
    pub pins: Option<f64>,
    pub dots: Option<f64>,
}

/// What the line looks like, as far as the maker says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Look {
    AsFound,
    Of(Tone),
    NotFollowed,
}

impl Look {
    pub const ALL: [Look; 5] =
        [Look::AsFound, Look::Of(Tone::Dark), Look::Of(Tone::Light), Look::Of(Tone::Edge), Look::NotFollowed];

    fn tone(self) -> Option<Tone> {
        match self {
            Look::Of(tone) => Some(tone),
            Look::AsFound | Look::NotFollowed => None,
        }
    }
}

/// The two ends of a piece and how it is to be followed: what its stretch is known by.
type Key = ([u64; 4], Look);

fn key(from: Point, to: Point, look: Look) -> Key {
    ([from.x, from.y, to.x, to.y].map(f64::to_bits), look)
}

type Answered = Result<Stretch, String>;

/// The taps, and the marks that were found near them.
type FoundMarks = (Vec<Point>, Result<Vec<Mark>, String>);

/// What is to be said of a stretch of a run: on how many parts it cannot be seen, or why it cannot be followed at all.
pub type SaidOfRun = (Run, Result<usize, String>);

#[derive(Clone, Copy)]
pub struct Session {
    /// Of the photo, pixels.
    pub size: RwSignal<Size>,
    pub way: RwSignal<Way>,
    pub sizes: RwSignal<Sizes>,
    pub stage: RwSignal<Stage>,
    pub look: RwSignal<Look>,
    pub taps: RwSignal<Taps>,
    /// How the taps stood before each change, and in which part it was made.
    earlier: RwSignal<Vec<(Taps, Stage)>>,
    /// The tap that keys and the button for removing are for.
    pub at_hand: RwSignal<Option<Tap>>,
    /// The frame's marks as they were found for these taps.
    found: RwSignal<Option<FoundMarks>>,
    stretches: RwSignal<HashMap<Key, Option<Answered>>>,
    pub squared: Memo<Option<Result<Squared, String>>>,
}

impl Session {
    pub fn new(frame: (f64, f64)) -> Session {
        let size = RwSignal::new(Size::ZERO);
        let way = RwSignal::new(Way::Frame);
        let sizes =
            RwSignal::new(Sizes { frame, rectangle: frame, diagonals: [None, None], pins: None, dots: None });
        let taps = RwSignal::new(Taps::default());
        let found = RwSignal::new(None::<FoundMarks>);
        let marks = Memo::new(move |_| taps.with(|taps| taps.marks.clone()));
        let pins = Memo::new(move |_| taps.with(|taps| taps.pins));
        let squared = Memo::new(move |_| {
            let (way, sizes, size) = (way.get(), sizes.get(), size.get());
            let marks = marks.get();
            if marks.len() < way.marks() || size == Size::ZERO {
                return None;
            }
            let told = |error: ribline_geometry::capture::SquareError| error.to_string();
            let roughly = |squared: Squared, marks: &[Point]| {
                let rough = taps.with(|taps| marks.iter().map(|at| taps.roughness(*at)).collect::<Vec<_>>());
                let squares: f64 = rough.iter().map(|sd| sd * sd).sum();
                if squares > 0.0 {
                    squared.roughly_tapped(marks, (squares / marks.len() as f64).sqrt())
                } else {
                    squared
                }
            };
            Some(match way {
                Way::Frame => {
                    let (tapped, found) = found.get().filter(|(of, _)| *of == marks)?;
                    // A mark that was not found is where it was tapped.
                    let places = |marks: &[Mark]| marks.iter().map(|mark| mark.photo).collect::<Vec<_>>();
                    found.and_then(|marks| {
                        let squared = Squared::by_frame_marks(&marks, &tapped, size).map_err(told)?;
                        Ok(roughly(squared, &places(&marks)))
                    })
                }
                Way::Rectangle => {
                    let four: [Point; 4] = marks[..].try_into().ok()?;
                    let (width, height) = sizes.rectangle;
                    let diagonals: Vec<f64> = sizes.diagonals.into_iter().flatten().collect();
                    rectangle(width, height)
                        .and_then(|board| {
                            let pairs = around(four).into_iter().zip(board);
                            let marks: Vec<Mark> =
                                pairs.map(|(photo, board)| Mark { photo, board }).collect();
                            Squared::by_marks(&marks, size, &diagonals)
                        })
                        .map(|squared| roughly(squared, &four))
                        .map_err(told)
                }
                Way::Pins => {
                    let [Some(lower), Some(upper)] = pins.get() else { return None };
                    match sizes.pins {
                        Some(mm) => Squared::by_pins(lower, upper, mm)
                            .map(|squared| roughly(squared, &[lower, upper]))
                            .map_err(told),
                        None => Err(words().photo.no_distance.to_owned()),
                    }
                }
                Way::Scan => match sizes.dots {
                    Some(dots) => Squared::by_resolution(dots, size).map_err(told),
                    None => Err(words().photo.no_dots.to_owned()),
                },
            })
        });
        let session = Session {
            size,
            way,
            sizes,
            stage: RwSignal::new(Stage::Scale),
            look: RwSignal::new(Look::AsFound),
            taps,
            earlier: RwSignal::new(Vec::new()),
            at_hand: RwSignal::new(None),
            found,
            stretches: RwSignal::new(HashMap::new()),
            squared,
        };
        session.find_marks(marks);
        session.follow_taps();
        session
    }

    /// Forgets everything that was tapped: there is another picture.
    pub fn afresh(self, size: Size) {
        self.taps.set(Taps::default());
        self.earlier.set(Vec::new());
        self.at_hand.set(None);
        self.stage.set(Stage::Scale);
        self.stretches.set(HashMap::new());
        self.found.set(None);
        self.size.set(size);
    }

    /// The same photo lies otherwise now, and is of this size: everything that was tapped goes with it.
    pub fn turned(self, turn: Turn, size: Size) {
        let before = self.size.get_untracked();
        self.taps.update(|taps| *taps = taps.turned(turn, before));
        self.earlier
            .update(|earlier| earlier.iter_mut().for_each(|(taps, _)| *taps = taps.turned(turn, before)));
        self.at_hand.set(None);
        self.stretches.set(HashMap::new());
        self.found.set(None);
        self.size.set(size);
    }

    pub fn said(self) -> Said {
        Said {
            way: self.way.get(),
            sizes: self.sizes.get(),
            stage: self.stage.get(),
            look: self.look.get(),
            taps: self.taps.get(),
        }
    }

    /// Goes on from there, on the same photo turned the same way.
    pub fn go_on(self, said: Said) {
        self.way.set(said.way);
        self.sizes.set(said.sizes);
        self.look.set(said.look);
        self.taps.set(said.taps);
        self.stage.set(said.stage);
    }

    fn find_marks(self, marks: Memo<Vec<Point>>) {
        let wanted = Memo::new(move |_| {
            let marks = marks.get();
            (self.way.get() == Way::Frame && marks.len() == 4).then(|| (marks, self.sizes.get().frame))
        });
        let waiting = StoredValue::new_local(None::<Timeout>);
        Effect::new(move |before: Option<Option<_>>| {
            let asked = wanted.get();
            let Some((marks, (width, height))) = asked.clone() else { return asked };
            self.found.set(None);
            let typed = before.flatten().is_some_and(|(earlier, _)| earlier == marks);
            let ask_now = move || {
                spawn_local(async move {
                    let asked = FindMarks { taps: Numbers::from(&marks[..]), width, height };
                    let answer = match ask(asked).await {
                        Ok(answer) => answer.map(|places| {
                            let pairs = places.points();
                            pairs
                                .chunks_exact(2)
                                .map(|pair| Mark { photo: pair[0], board: pair[1] })
                                .collect()
                        }),
                        Err(trouble) => Err(trouble.sentence().to_owned()),
                    };
                    // Of a size that was typed since, another answer is on its way.
                    if wanted.try_get_untracked().flatten() == Some((marks.clone(), (width, height))) {
                        self.found.set(Some((marks, answer)));
                    }
                });
            };
            // While a size is typed it is many sizes.
            waiting.set_value(Some(Timeout::new(if typed { TYPED_MS } else { 0 }, ask_now)));
            asked
        });
    }

    /// Has every stretch that is not yet known followed.
    fn follow_taps(self) {
        Effect::new(move |_| {
            let (Some(Ok(squared)), look) = (self.squared.get(), self.look.get()) else { return };
            if self.stage.get() != Stage::Line || look == Look::NotFollowed {
                return;
            }
            let pairs: Vec<(Point, Point)> = self.taps.with(|taps| {
                let runs = Run::ALL.into_iter().map(|run| taps.along(run));
                runs.flat_map(|along| along.windows(2).map(|w| (w[0], w[1])).collect::<Vec<_>>()).collect()
            });
            for (from, to) in pairs {
                let key = key(from, to, look);
                if self.stretches.with_untracked(|known| known.contains_key(&key)) {
                    continue;
                }
                self.stretches.update(|known| {
                    known.insert(key, None);
                });
                let px_per_mm = squared.scale_at(from.midpoint(to));
                spawn_local(async move {
                    let answer = match ask(Follow { from, to, px_per_mm, tone: look.tone() }).await {
                        Ok(answer) => answer,
                        Err(trouble) => Err(trouble.sentence().to_owned()),
                    };
                    self.stretches.update(|known| {
                        known.insert(key, Some(answer));
                    });
                });
            }
        });
    }

    /// What the next tap is of.
    pub fn wanted(self) -> Option<Tap> {
        self.taps.with(|taps| {
            let pin = PinName::BOTH.into_iter().find(|pin| taps.pins[*pin as usize].is_none());
            match (self.stage.get(), self.way.get()) {
                (Stage::Scale, Way::Pins) => pin.map(Tap::Pin),
                (Stage::Scale, way) => {
                    (taps.marks.len() < way.marks()).then_some(Tap::Mark(taps.marks.len()))
                }
                (Stage::Line, _) => pin
                    .filter(|_| !taps.without_pins)
                    .map(Tap::Pin)
                    .or_else(|| {
                        Corner::ALL.into_iter().find(|c| taps.corners[c.index()].is_none()).map(Tap::Corner)
                    })
                    .or_else(|| taps.bottom.is_none().then_some(Tap::Bottom))
                    .or_else(|| taps.top.is_none().then_some(Tap::Top)),
            }
        })
    }

    /// Whether there is a scale.
    pub fn is_squared(self) -> bool {
        self.squared.with(|squared| matches!(squared, Some(Ok(_))))
    }

    /// Every tap that is to be seen now.
    pub fn tapped(self) -> Vec<(Tap, Point)> {
        let kind = match (self.stage.get(), self.way.get()) {
            (Stage::Line, _) => Kind::Line,
            (Stage::Scale, Way::Pins) => Kind::Pins,
            (Stage::Scale, _) => Kind::Marks,
        };
        self.taps.with(|taps| taps.all(kind))
    }

    /// Takes a place that was tapped, `rough` pixels off, for whatever is wanted; once nothing is, for a place that the followed line
    /// is to pass.
    pub fn tap(self, at: Point, rough: f64) {
        match self.wanted() {
            Some(tap) => {
                self.change(|taps| {
                    taps.put(tap, at);
                    taps.note_rough(at, rough);
                });
                self.at_hand.set(Some(tap));
            }
            None if self.stage.get_untracked() == Stage::Line => self.pass(at, rough),
            None => {}
        }
    }

    /// The followed line is to pass here: the piece that is nearest is followed again in two.
    fn pass(self, at: Point, rough: f64) {
        let mut nearest = None::<(f64, Run, usize)>;
        for (run, k, way) in self.ways() {
            let off = way
                .windows(2)
                .map(|w| Line::new(w[0], w[1]).nearest(at, 0.1).distance_sq)
                .fold(f64::INFINITY, f64::min);
            if nearest.is_none_or(|(least, ..)| off < least) {
                nearest = Some((off, run, k));
            }
        }
        if let Some((_, run, k)) = nearest {
            self.change(|taps| {
                taps.vias[run.index()].insert(k, at);
                taps.note_rough(at, rough);
            });
            self.at_hand.set(Some(Tap::Via(run, k)));
        }
    }

    pub fn change(self, by: impl FnOnce(&mut Taps)) {
        let before = self.taps.get_untracked();
        self.earlier.update(|earlier| earlier.push((before, self.stage.get_untracked())));
        self.taps.update(by);
    }

    pub fn move_tap(self, tap: Tap, to: Point) {
        self.change(|taps| taps.put(tap, to));
        self.at_hand.set(Some(tap));
    }

    pub fn remove_at_hand(self) {
        if let Some(tap) = self.at_hand.get_untracked() {
            self.change(|taps| taps.remove(tap));
            self.at_hand.set(None);
        }
    }

    pub fn go_without_pins(self) {
        self.change(|taps| taps.without_pins = true);
    }

    pub fn can_take_back(self) -> bool {
        self.earlier.with(|earlier| !earlier.is_empty())
    }

    pub fn take_back(self) {
        if let Some((before, stage)) = self.earlier.try_update(Vec::pop).flatten() {
            self.taps.set(before);
            self.stage.set(stage);
            self.at_hand.set(None);
        }
    }

    pub fn to_line(self) {
        self.stage.set(Stage::Line);
        self.at_hand.set(None);
    }

    fn stretch(self, from: Point, to: Point) -> Option<Option<Answered>> {
        let look = self.look.get();
        self.stretches.with(|known| known.get(&key(from, to, look)).cloned())
    }

    /// The way of every piece, to be shown: followed where it was.
    pub fn ways(self) -> Vec<(Run, usize, Vec<Point>)> {
        let mut ways = Vec::new();
        for run in Run::ALL {
            let along = self.taps.with(|taps| taps.along(run));
            for (k, pair) in along.windows(2).enumerate() {
                let way = match self.stretch(pair[0], pair[1]) {
                    Some(Some(Ok(stretch))) => stretch.way,
                    _ => pair.to_vec(),
                };
                ways.push((run, k, way));
            }
        }
        ways
    }

    /// Stretches under way, and what is to be said of those that are done.
    pub fn progress(self) -> (usize, Vec<SaidOfRun>) {
        let (mut under_way, mut said) = (0, Vec::new());
        if self.look.get() == Look::NotFollowed || !self.is_squared() {
            return (0, said);
        }
        for run in Run::ALL {
            let along = self.taps.with(|taps| taps.along(run));
            for pair in along.windows(2) {
                match self.stretch(pair[0], pair[1]) {
                    None | Some(None) => under_way += 1,
                    Some(Some(Err(why))) => said.push((run, Err(why))),
                    Some(Some(Ok(stretch))) if !stretch.lost.is_empty() => {
                        said.push((run, Ok(stretch.lost.len())))
                    }
                    Some(Some(Ok(_))) => {}
                }
            }
        }
        (under_way, said)
    }

    /// What has been taken so far. `None` while a run has no ends or is still being followed.
    pub fn taking(self) -> Option<Taking> {
        let taps = self.taps.get();
        let mut runs: [Along; 6] = Default::default();
        for (run, along) in Run::ALL.into_iter().zip(&mut runs) {
            along.taps = taps.along(run);
            if along.taps.is_empty() {
                return None;
            }
            for pair in along.taps.windows(2) {
                along.pieces.push(match self.stretch(pair[0], pair[1]) {
                    _ if self.look.get() == Look::NotFollowed => Piece::Tapped,
                    Some(Some(Ok(stretch))) => Piece::Followed(stretch),
                    Some(Some(Err(_))) => Piece::Tapped,
                    None | Some(None) => return None,
                });
            }
        }
        let pins = Pins { lower: taps.pins[0], upper: taps.pins[1] };
        Some(Taking { pins, corners: taps.corners, runs, rough: taps.rough })
    }

    pub fn frame_sheet(self) -> Option<FrameSheet> {
        let (width, height) = self.sizes.get().frame;
        FrameSheet::new(width, height).ok()
    }
}
