//! What is replayed.

use kurbo::Rect;
use ribline_geometry::recipe::replay::{Act, Frame, Replay};
use ribline_geometry::recipe::{Construction, PartialConstruction, Recipe};

/// A recipe and the work of it, at the lengths that were asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Scene {
    pub recipe: Recipe,
    /// Of every measure, in mm.
    pub lengths: Vec<Option<f64>>,
    pub replay: Replay,
    /// Everything ever drawn lies within, in mm.
    pub extent: Rect,
}

impl Scene {
    pub fn of(recipe: Recipe, drawn: &Construction) -> Self {
        let lengths = drawn.lengths.iter().copied().map(Some).collect();
        Scene::new(Replay::of(&recipe, drawn), lengths, recipe)
    }

    pub fn of_partial(recipe: Recipe, drawn: &PartialConstruction) -> Self {
        Scene::new(Replay::of_partial(&recipe, drawn), drawn.lengths.clone(), recipe)
    }

    fn new(replay: Replay, lengths: Vec<Option<f64>>, recipe: Recipe) -> Self {
        let extent = replay.extent().unwrap_or_default();
        Scene { recipe, lengths, replay, extent }
    }

    pub fn len(&self) -> usize {
        self.replay.frames.len()
    }

    pub fn frame(&self, at: usize) -> Option<&Frame> {
        self.replay.frames.get(at)
    }

    /// The name of the step that a frame is of.
    pub fn name_of(&self, frame: usize) -> Option<&str> {
        match self.frame(frame)?.act {
            Act::Point(step) | Act::Circle(step) => {
                self.recipe.steps.get(step).map(|step| step.name.as_str())
            }
            _ => None,
        }
    }
}
