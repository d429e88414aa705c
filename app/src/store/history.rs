use super::change::{ChangeKind, Subject};
use ribline_geometry::project::Project;
use std::collections::VecDeque;

/// Steps kept. A project of 200 points is some 20 kB, so that the whole way back stays within a few MB.
const KEPT: usize = 200;

#[derive(Debug, Clone)]
struct Step {
    project: Project,
    kind: ChangeKind,
}

/// The way back and the way forward again.
#[derive(Debug, Clone, Default)]
pub struct History {
    done: VecDeque<Step>,
    undone: Vec<Step>,
    /// What the change under way is a change of.
    open: Option<Subject>,
    /// The way forward that it cut off, should it come to nothing.
    cut_off: Vec<Step>,
}

impl History {
    /// Keeps `before`, unless the change under way is of the same subject and so has its step already.
    pub(super) fn note(&mut self, before: Project, subject: Option<Subject>, kind: ChangeKind) {
        let goes_on = subject.is_some() && self.open == subject;
        self.open = subject;
        if goes_on {
            return;
        }
        self.cut_off = std::mem::take(&mut self.undone);
        if self.done.len() == KEPT {
            self.done.pop_front();
        }
        self.done.push_back(Step { project: before, kind });
    }

    /// What came to nothing is no step. Returns whether there is one less.
    pub(super) fn settle(&mut self, now: &Project) -> bool {
        let nothing = self.open.is_some() && self.done.back().is_some_and(|step| step.project == *now);
        if nothing {
            self.give_up();
        }
        self.open = None;
        nothing
    }

    pub(super) fn give_up(&mut self) -> Option<Project> {
        self.open.take()?;
        self.undone = std::mem::take(&mut self.cut_off);
        self.done.pop_back().map(|step| step.project)
    }

    pub(super) fn undo(&mut self, now: Project) -> Option<Project> {
        self.open = None;
        let step = self.done.pop_back()?;
        self.undone.push(Step { project: now, kind: step.kind });
        Some(step.project)
    }

    pub(super) fn redo(&mut self, now: Project) -> Option<Project> {
        self.open = None;
        let step = self.undone.pop()?;
        self.done.push_back(Step { project: now, kind: step.kind });
        Some(step.project)
    }

    pub(super) fn last(&self) -> Option<ChangeKind> {
        self.done.back().map(|step| step.kind)
    }

    pub(super) fn next(&self) -> Option<ChangeKind> {
        self.undone.last().map(|step| step.kind)
    }
}
