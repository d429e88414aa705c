//! The one store: the project, and the way back. Every change to the project passes through [`Store::change`], so that
//! going back, keeping and redrawing follow from it and nothing else needs to know of them.

mod bench;
mod change;
mod history;

pub use bench::BenchChange;
pub use change::{Change, ChangeKind, PinName, RecordText};
pub use history::History;

use crate::storage::kept;
use leptos::prelude::*;
use ribline_geometry::project::Project;

#[derive(Clone, Copy)]
pub struct Store {
    project: RwSignal<Project>,
    history: RwSignal<History>,
}

impl Store {
    pub fn new(project: Project) -> Self {
        Store { project: RwSignal::new(project), history: RwSignal::new(History::default()) }
    }

    /// The project, to read.
    pub fn project(self) -> ReadSignal<Project> {
        self.project.read_only()
    }

    /// Part of the project, told apart from the rest: it is worked again only when that part changes.
    pub fn part<T: Clone + PartialEq + Send + Sync + 'static>(
        self,
        part: impl Fn(&Project) -> T + Send + Sync + 'static,
    ) -> Memo<T> {
        Memo::new(move |_| self.project.with(|project| part(project)))
    }

    /// The only way to change the project. Changes of one thing in a row (a point that is dragged, a number being
    /// typed) are one step back, until [`Store::settle`].
    pub fn change(self, change: Change) {
        let before = self.project.get_untracked();
        let subject = change.subject();
        let kind = change.kind();
        let mut after = before.clone();
        change.apply(&mut after);
        if after == before {
            return;
        }
        put_by_if_replaced(Some(kind), &before);
        self.history.update(|history| history.note(before, subject, kind));
        self.project.set(after);
    }

    /// The change under way is complete: another of the same thing is a step of its own.
    pub fn settle(self) {
        self.project.with_untracked(|now| self.history.maybe_update(|history| history.settle(now)));
    }

    /// Gives up the change under way, as if it had not begun.
    pub fn give_up(self) {
        if let Some(before) = self.history.try_update(History::give_up).flatten() {
            self.project.set(before);
        }
    }

    pub fn undo(self) {
        let now = self.project.get_untracked();
        put_by_if_replaced(self.history.with_untracked(History::last), &now);
        if let Some(before) = self.history.try_update(|history| history.undo(now)).flatten() {
            self.project.set(before);
        }
    }

    pub fn redo(self) {
        let now = self.project.get_untracked();
        put_by_if_replaced(self.history.with_untracked(History::next), &now);
        if let Some(after) = self.history.try_update(|history| history.redo(now)).flatten() {
            self.project.set(after);
        }
    }

    /// What the next step back would take back.
    pub fn can_undo(self) -> Option<ChangeKind> {
        self.history.with(History::last)
    }

    pub fn can_redo(self) -> Option<ChangeKind> {
        self.history.with(History::next)
    }
}

/// A project that another takes the place of is not lost with the steps back.
fn put_by_if_replaced(kind: Option<ChangeKind>, project: &Project) {
    if let Some(ChangeKind::Open | ChangeKind::StartAfresh | ChangeKind::ShowExample) = kind {
        kept::put_by(project);
    }
}

/// The store of the page, from the context.
pub fn use_store() -> Store {
    expect_context::<Store>()
}
