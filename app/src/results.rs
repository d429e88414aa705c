//! What follows from the project: worked again when, and only when, what it rests on changes.

use crate::store::Store;
use leptos::prelude::*;
use ribline_geometry::recipe::Recipe;
use ribline_geometry::recipe::construction::PartialConstruction;
use ribline_geometry::reconcile::report::Reconciled;
use ribline_geometry::reconcile::{ReconcileError, reconcile};
use std::sync::Arc;

/// What came of the trace, the recipe and the wishes as they are at present.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    NothingTraced,
    Good(Arc<Reconciled>),
    /// Why not.
    Refused(ReconcileError),
}

#[derive(Clone, Copy)]
pub struct Results {
    /// The recipe at hand.
    pub recipe: Memo<Recipe>,
    /// As much of the recipe as can be worked, whatever is wrong with the rest.
    pub drawn: Memo<Arc<PartialConstruction>>,
    pub outcome: Memo<Outcome>,
    /// The last good result: what the drawing shows, also while the present input has none.
    pub shown: Memo<Option<Arc<Reconciled>>>,
}

impl Results {
    /// The result of the present input. What is to leave the page, or to say something of the trace as it is, is never the last
    /// good one of an earlier input.
    pub fn present(self) -> Memo<Option<Arc<Reconciled>>> {
        Memo::new(move |_| {
            self.outcome.with(|outcome| match outcome {
                Outcome::Good(result) => Some(Arc::clone(result)),
                Outcome::NothingTraced | Outcome::Refused(_) => None,
            })
        })
    }

    pub fn of(store: Store) -> Self {
        let recipe = store.part(|project| project.recipe.clone());
        let drawn = Memo::new(move |_| recipe.with(|recipe| Arc::new(recipe.evaluate_partial())));
        let asked = store.part(|project| (project.trace.clone(), project.wish));
        let outcome = Memo::new(move |_| {
            asked.with(|(trace, wish)| {
                if trace.points.is_empty() {
                    return Outcome::NothingTraced;
                }
                match recipe.with(|recipe| reconcile(trace, recipe, wish)) {
                    Ok(good) => Outcome::Good(Arc::new(good)),
                    Err(error) => Outcome::Refused(error),
                }
            })
        });
        let shown = Memo::new(move |before: Option<&Option<Arc<Reconciled>>>| {
            outcome.with(|now| match now {
                Outcome::NothingTraced => None,
                Outcome::Good(good) => Some(Arc::clone(good)),
                Outcome::Refused(_) => before.cloned().flatten(),
            })
        });
        Results { recipe, drawn, outcome, shown }
    }

    /// Something that follows from the recipe, worked again when the recipe changes and told on when it does itself. One
    /// compiled form serves all that is of a kind.
    pub fn told<T: Clone + PartialEq + Send + Sync + 'static>(
        self,
        of: impl Fn(&Recipe) -> T + Send + Sync + 'static,
    ) -> Memo<T> {
        self.told_by(Box::new(of))
    }

    fn told_by<T: Clone + PartialEq + Send + Sync + 'static>(
        self,
        of: Box<dyn Fn(&Recipe) -> T + Send + Sync>,
    ) -> Memo<T> {
        Memo::new(move |_| self.recipe.with(|recipe| of(recipe)))
    }

    /// Whether the drawing is not of the present input: `Refusal` says why.
    pub fn refused(self) -> bool {
        self.outcome.with(|outcome| matches!(outcome, Outcome::Refused(_)))
    }

    /// Something of the shown result.
    pub fn with_shown<T>(self, of: impl FnOnce(&Reconciled) -> T) -> Option<T> {
        self.shown.with(|shown| shown.as_deref().map(of))
    }

    pub fn with_shown_untracked<T>(self, of: impl FnOnce(&Reconciled) -> T) -> Option<T> {
        self.shown.with_untracked(|shown| shown.as_deref().map(of))
    }
}

pub fn use_results() -> Results {
    expect_context::<Results>()
}
