//! Changes of what is asked of the bench's sheets and files.

use super::change::{ChangeKind, Subject};
use ribline_geometry::bench::print::wish::{BAR, Drawn, Pages, Part};
use ribline_geometry::bench::setting::{BenchSetting, ButtonKind};
use ribline_geometry::outline::Corner;
use ribline_geometry::project::Project;

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BenchChange {
    Number(BenchSetting, f64),
    /// How far the point of the purfling is from both flanks of a corner, mm; the rest of the line's distance leaves it to that.
    PurflingAt(Corner, f64),
    Inches(bool),
    Pages(Pages),
    Part(Part),
    Drawn(Drawn, bool),
    /// The printer is trusted again.
    AsPrinted,
    Button(ButtonKind),
}

impl BenchChange {
    pub(super) fn subject(self) -> Option<Subject> {
        match self {
            BenchChange::Number(setting, _) => Some(Subject::Bench(setting)),
            BenchChange::PurflingAt(corner, _) => Some(Subject::PurflingAt(corner)),
            _ => None,
        }
    }

    pub(super) fn kind(self) -> ChangeKind {
        match self {
            BenchChange::Number(setting, _) => kind_of(setting),
            BenchChange::PurflingAt(..) => ChangeKind::Purfling,
            BenchChange::Inches(_) => ChangeKind::CompassSheet,
            BenchChange::Pages(_) | BenchChange::Part(_) | BenchChange::Drawn(..) => ChangeKind::Print,
            BenchChange::AsPrinted => ChangeKind::PrinterCorrection,
            BenchChange::Button(_) => ChangeKind::Button,
        }
    }

    pub(super) fn apply(self, project: &mut Project) {
        // No longer left to custom.
        let mut bench = project.bench_wish();
        match self {
            BenchChange::Number(setting, mm) => bench.set(setting, mm),
            BenchChange::PurflingAt(corner, mm) => {
                let own = mm != project.wish.purfling_distance;
                bench.purfling_corners[corner.index()].distance = own.then_some(mm);
            }
            BenchChange::Inches(shown) => bench.compass.inches = shown,
            BenchChange::Pages(pages) => bench.print.pages = pages,
            BenchChange::Part(part) => bench.print.part = part,
            BenchChange::Drawn(what, is) => bench.print.drawn = bench.print.drawn.with(what, is),
            BenchChange::AsPrinted => bench.print.measured = [BAR; 2],
            BenchChange::Button(kind) => bench.choose_button(kind, &project.recipe),
        }
        project.bench = Some(bench);
    }
}

fn kind_of(setting: BenchSetting) -> ChangeKind {
    match setting {
        BenchSetting::CompassStep | BenchSetting::WoodAround => ChangeKind::CompassSheet,
        BenchSetting::PurflingWidth | BenchSetting::PurflingLean(_) => ChangeKind::Purfling,
        BenchSetting::ButtonWidth
        | BenchSetting::ButtonHeight
        | BenchSetting::ButtonFlank
        | BenchSetting::NeckOff
        | BenchSetting::ButtonRoot => ChangeKind::Button,
        BenchSetting::LeftForTheFile | BenchSetting::PointSpacing => ChangeKind::Files,
        BenchSetting::Overlap | BenchSetting::Margin => ChangeKind::Print,
        BenchSetting::MeasuredAcross | BenchSetting::MeasuredUp => ChangeKind::PrinterCorrection,
    }
}
