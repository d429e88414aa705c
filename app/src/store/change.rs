//! Every way in which the project can change.

use super::bench::BenchChange;
use crate::words::words;
use kurbo::Point;
use ribline_geometry::bench::as_cut::Station;
use ribline_geometry::bench::setting::BenchSetting;
use ribline_geometry::edge::{CornerCut, CornerWish};
use ribline_geometry::mould::{MouldSetting, MouldWay, MouldWish};
use ribline_geometry::outline::{Bout, Corner, FaceUp, Plate, Run};
use ribline_geometry::project::{BoardPhoto, Project};
use ribline_geometry::recipe::{Edit, Part, Recipe, Size};
use ribline_geometry::reconcile::{Finish, Radii, Traced, Wish};
use ribline_geometry::trace::{Pins, Trace, TracedPoint};

#[derive(Debug, Clone)]
pub enum Change {
    Title(String),
    Notes(String),
    Plate(Plate),
    /// The other plate over the same ribs, seen from the same side.
    PlateOfSameRibs(Plate),
    FaceUp(FaceUp),

    Recipe(Box<Recipe>),
    BodyLength(f64),
    /// The recipe after one change by its author, and what that change was.
    Edited(Box<Recipe>, Edit),

    Trace(Trace),
    /// A trace with the photo from which it was taken, if it was.
    Captured(Trace, Option<BoardPhoto>),
    MovePoint {
        index: usize,
        to: Point,
    },
    NamePoint {
        index: usize,
        run: Option<Run>,
    },
    /// Every point by its index, put on a run or left to its place.
    NamePoints(Vec<(usize, Option<Run>)>),
    AddPoints(Vec<TracedPoint>),
    RemovePoint(usize),
    MovePin {
        pin: PinName,
        to: Option<Point>,
    },
    Pins(Pins),

    Traced(Traced),
    Overhang(Bout, f64),
    Tolerance(f64),
    PurflingDistance(f64),
    Finish(Finish),
    Radii(Radii),
    ExtraArcs(bool),
    Cut(Corner, CornerCut),
    Lean(Corner, f64),

    MouldWay(MouldWay),
    /// Whether holes are bored.
    MouldBored(bool),
    Mould(MouldSetting, f64),

    Bench(BenchChange),
    /// What was measured at a place of the cut plate, mm; `None` takes it out again.
    AsCut(Station, Option<f64>),
    Record(RecordText, String),

    /// Another project in place of this one.
    Open(Box<Project>),
    StartAfresh(Box<Project>),
    ShowExample(Box<Project>),
}

/// What only the maker can tell for the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RecordText {
    Why,
    TracedOn,
    CutOn,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PinName {
    Lower,
    Upper,
}

impl PinName {
    pub const BOTH: [PinName; 2] = [PinName::Lower, PinName::Upper];
}

/// What a change was a change of, as the way back names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ChangeKind {
    Title,
    Notes,
    Face,
    Recipe,
    BodyLength,
    Size,
    RecipeText,
    Customary,
    Added,
    Removed,
    Moved,
    Named,
    Placing,
    Outline,
    Trace,
    Point,
    Split,
    PointsAdded,
    PointRemoved,
    Pin,
    Traced,
    Overhang,
    Tolerance,
    PurflingDistance,
    Finish,
    Radii,
    ExtraArcs,
    Corner,
    Mould,
    Print,
    PrinterCorrection,
    CompassSheet,
    Purfling,
    Button,
    Files,
    AsCut,
    Record,
    Open,
    StartAfresh,
    ShowExample,
}

/// The very thing that changes: consecutive changes of one subject are one step back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Subject {
    Title,
    Notes,
    BodyLength,
    Point(usize),
    Pin(PinName),
    Overhang(Bout),
    Tolerance,
    PurflingDistance,
    Corner(Corner),
    Mould(MouldSetting),
    Bench(BenchSetting),
    PurflingAt(Corner),
    AsCut(Station),
    Record(RecordText),
    RecipeText(u8),
    MeasureTitle(usize),
    Looseness(Part),
    Customary,
}

impl Change {
    /// `None` for a change that is always a step of its own.
    pub(super) fn subject(&self) -> Option<Subject> {
        Some(match self {
            Change::Title(_) => Subject::Title,
            Change::Notes(_) => Subject::Notes,
            Change::BodyLength(_) => Subject::BodyLength,
            Change::MovePoint { index, .. } => Subject::Point(*index),
            Change::MovePin { pin, .. } => Subject::Pin(*pin),
            Change::Overhang(bout, _) => Subject::Overhang(*bout),
            Change::Tolerance(_) => Subject::Tolerance,
            Change::PurflingDistance(_) => Subject::PurflingDistance,
            Change::Cut(corner, _) | Change::Lean(corner, _) => Subject::Corner(*corner),
            Change::Mould(setting, _) => Subject::Mould(*setting),
            Change::Bench(change) => return change.subject(),
            Change::AsCut(station, _) => Subject::AsCut(*station),
            Change::Record(text, _) => Subject::Record(*text),
            Change::Edited(_, edit) => return typed(edit),
            _ => return None,
        })
    }

    pub fn kind(&self) -> ChangeKind {
        match self {
            Change::Title(_) => ChangeKind::Title,
            Change::Notes(_) => ChangeKind::Notes,
            Change::Plate(_) | Change::PlateOfSameRibs(_) | Change::FaceUp(_) => ChangeKind::Face,
            Change::Recipe(_) => ChangeKind::Recipe,
            Change::BodyLength(_) => ChangeKind::BodyLength,
            Change::Edited(_, edit) => edited(edit),
            Change::Trace(_) | Change::Captured(..) => ChangeKind::Trace,
            Change::MovePoint { .. } => ChangeKind::Point,
            Change::NamePoint { .. } | Change::NamePoints(_) => ChangeKind::Split,
            Change::AddPoints(_) => ChangeKind::PointsAdded,
            Change::RemovePoint(_) => ChangeKind::PointRemoved,
            Change::MovePin { .. } | Change::Pins(_) => ChangeKind::Pin,
            Change::Traced(_) => ChangeKind::Traced,
            Change::Overhang(..) => ChangeKind::Overhang,
            Change::Tolerance(_) => ChangeKind::Tolerance,
            Change::PurflingDistance(_) => ChangeKind::PurflingDistance,
            Change::Finish(_) => ChangeKind::Finish,
            Change::Radii(_) => ChangeKind::Radii,
            Change::ExtraArcs(_) => ChangeKind::ExtraArcs,
            Change::Cut(..) | Change::Lean(..) => ChangeKind::Corner,
            Change::MouldWay(_) | Change::MouldBored(_) | Change::Mould(..) => ChangeKind::Mould,
            Change::Bench(change) => change.kind(),
            Change::AsCut(..) => ChangeKind::AsCut,
            Change::Record(..) => ChangeKind::Record,
            Change::Open(_) => ChangeKind::Open,
            Change::StartAfresh(_) => ChangeKind::StartAfresh,
            Change::ShowExample(_) => ChangeKind::ShowExample,
        }
    }

    pub(super) fn apply(self, project: &mut Project) {
        match self {
            Change::Title(title) => project.title = title,
            Change::Notes(notes) => project.notes = notes,
            Change::Plate(plate) => project.face.plate = plate,
            Change::PlateOfSameRibs(plate) => project.face = project.face.of_plate(plate),
            Change::FaceUp(up) => project.face.up = up,

            Change::Recipe(recipe) | Change::Edited(recipe, _) => take_recipe(project, *recipe),
            Change::BodyLength(mm) => {
                let mut recipe = project.recipe.clone();
                if let Some(length) = recipe.measures.first_mut() {
                    length.size = Size::Mm(mm);
                }
                take_recipe(project, recipe);
            }

            Change::Trace(trace) => take_line(project, trace, None),
            Change::Captured(trace, photo) => take_line(project, trace, photo),
            Change::MovePoint { index, to } => {
                if let Some(point) = project.trace.points.get_mut(index) {
                    point.at = to;
                    point.taken = point.taken.moved();
                    // How well it was taken says nothing of where it is now.
                    point.sd = None;
                }
            }
            Change::NamePoint { index, run } => {
                if let Some(point) = project.trace.points.get_mut(index) {
                    point.run = run;
                }
            }
            Change::NamePoints(named) => {
                for (index, run) in named {
                    if let Some(point) = project.trace.points.get_mut(index) {
                        point.run = run;
                    }
                }
            }
            Change::Pins(pins) => project.trace.pins = pins,
            Change::AddPoints(points) => {
                let last = project.trace.points.iter().map(|point| point.line).max().unwrap_or(0);
                let numbered = points.into_iter().zip(last + 1..);
                project.trace.points.extend(numbered.map(|(point, line)| TracedPoint { line, ..point }));
            }
            Change::RemovePoint(index) => {
                if index < project.trace.points.len() {
                    project.trace.points.remove(index);
                }
            }
            Change::MovePin { pin, to } => match pin {
                PinName::Lower => project.trace.pins.lower = to,
                PinName::Upper => project.trace.pins.upper = to,
            },

            Change::Traced(traced) => project.wish.traced = traced,
            Change::Overhang(bout, mm) => match bout {
                Bout::Lower => project.wish.overhang.lower = mm,
                Bout::Waist => project.wish.overhang.waist = mm,
                Bout::Upper => project.wish.overhang.upper = mm,
            },
            Change::Tolerance(mm) => project.wish.tolerance = mm,
            Change::PurflingDistance(mm) => project.wish.purfling_distance = mm,
            Change::Finish(finish) => project.wish.finish = finish,
            Change::Radii(radii) => project.wish.radii = radii,
            Change::ExtraArcs(taken) => project.wish.extra_arcs = taken,
            Change::Cut(corner, cut) => corner_of(project, corner).cut = cut,
            Change::Lean(corner, radians) => corner_of(project, corner).lean = radians,

            Change::MouldWay(way) => mould_of(project).way = way,
            Change::MouldBored(bored) => mould_of(project).bored = bored,
            Change::Mould(setting, mm) => mould_of(project).set(setting, mm),

            Change::Bench(change) => change.apply(project),
            Change::AsCut(station, mm) => project.as_cut.measured[station.index()] = mm,
            Change::Record(text, words) => match text {
                RecordText::Why => project.record.why = words,
                RecordText::TracedOn => project.record.traced_on = words,
                RecordText::CutOn => project.record.cut_on = words,
            },

            Change::Open(other) | Change::StartAfresh(other) | Change::ShowExample(other) => {
                *project = *other
            }
        }
    }
}

/// What is typed letter by letter is one step back.
fn typed(edit: &Edit) -> Option<Subject> {
    Some(match edit {
        Edit::Title(_) => Subject::RecipeText(0),
        Edit::Author(_) => Subject::RecipeText(1),
        Edit::Note(_) => Subject::RecipeText(2),
        Edit::MeasureTitle(k, _) => Subject::MeasureTitle(*k),
        Edit::Looseness(part, _) => Subject::Looseness(*part),
        Edit::Customary(_) => Subject::Customary,
        _ => return None,
    })
}

fn edited(edit: &Edit) -> ChangeKind {
    match edit {
        Edit::Title(_) | Edit::Author(_) | Edit::Note(_) | Edit::Instrument(_) | Edit::Purpose(_) => {
            ChangeKind::RecipeText
        }
        Edit::Customary(_) => ChangeKind::Customary,
        Edit::AddMeasure { .. } | Edit::AddStep { .. } => ChangeKind::Added,
        Edit::Remove { .. } => ChangeKind::Removed,
        Edit::Move(..) => ChangeKind::Moved,
        Edit::Rename(..) | Edit::MeasureTitle(..) => ChangeKind::Named,
        Edit::Size { .. } | Edit::Offered(..) | Edit::Looseness(..) | Edit::Dimension(..) => ChangeKind::Size,
        Edit::Placing(..) => ChangeKind::Placing,
        Edit::Run(..) | Edit::Corner(..) => ChangeKind::Outline,
    }
}

fn corner_of(project: &mut Project, corner: Corner) -> &mut CornerWish {
    &mut project.wish.corners[corner.index()]
}

/// What is asked of the mould, no longer left to custom.
fn mould_of(project: &mut Project) -> &mut MouldWish {
    let custom = project.mould_wish();
    project.mould.get_or_insert(custom)
}

fn take_recipe(project: &mut Project, recipe: Recipe) {
    carry_customary(&project.recipe, &recipe, &mut project.wish);
    project.mould = project.mould.map(|mould| mould.carried(&project.recipe, &recipe));
    project.bench = project.bench.map(|bench| bench.carried(&project.recipe, &recipe));
    project.recipe = recipe;
}

/// A line that takes the place of the example's is no example, and is not called one.
fn take_line(project: &mut Project, trace: Trace, photo: Option<BoardPhoto>) {
    let example = words().example();
    for (text, invented) in [(&mut project.title, example.title), (&mut project.notes, example.notes)] {
        if text == invented {
            text.clear();
        }
    }
    (project.trace, project.photo) = (trace, photo);
}

/// What the maker left at the custom of the old recipe's instrument follows the custom of the new one.
fn carry_customary(old: &Recipe, new: &Recipe, wish: &mut Wish) {
    let (old, new) = (Wish::customary(old), Wish::customary(new));
    let carry = |now: &mut f64, old: f64, new: f64| {
        if *now == old {
            *now = new;
        }
    };
    carry(&mut wish.overhang.lower, old.overhang.lower, new.overhang.lower);
    carry(&mut wish.overhang.waist, old.overhang.waist, new.overhang.waist);
    carry(&mut wish.overhang.upper, old.overhang.upper, new.overhang.upper);
    carry(&mut wish.tolerance, old.tolerance, new.tolerance);
    carry(&mut wish.purfling_distance, old.purfling_distance, new.purfling_distance);
    for ((now, old), new) in wish.corners.iter_mut().zip(old.corners).zip(new.corners) {
        if now.cut == old.cut {
            now.cut = new.cut;
        }
    }
}
