//! How a recipe's construction answers when its measures, points and compass settings are eased.

use super::ReconcileError;
use super::half::Half;
use crate::recipe::{Action, Ease, Plan, Recipe};

/// One thing that may be eased, and how loosely it is worked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Easing {
    what: Eased,
    /// Standard deviation in mm.
    pub looseness: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Eased {
    /// The length of a measure.
    Measure(usize),
    /// Up or out of a point, by its step.
    Place(usize, usize),
    /// The radius of a circle, by its step.
    Setting(usize),
}

impl Easing {
    /// Whether it is a compass setting, which both sides share where they share their radii.
    pub fn is_setting(&self) -> bool {
        matches!(self.what, Eased::Setting(_))
    }
}

/// A construction at given lengths, and what of it may be eased further.
#[derive(Debug, Clone)]
pub(super) struct Construction {
    plan: Plan,
    lengths: Vec<f64>,
    eased: Vec<Ease>,
    pub easings: Vec<Easing>,
}

impl Construction {
    pub fn new(recipe: &Recipe, plan: &Plan, lengths: &[f64], eased: &[Ease]) -> Self {
        let measures = recipe
            .measures
            .iter()
            .enumerate()
            .map(|(j, measure)| Easing { what: Eased::Measure(j), looseness: measure.looseness });
        let steps = recipe.steps.iter().enumerate().flat_map(|(j, step)| {
            let ways = match step.action {
                Action::Circle { .. } => vec![Eased::Setting(j)],
                Action::Point { .. } => vec![Eased::Place(j, 0), Eased::Place(j, 1)],
            };
            ways.into_iter().map(|what| Easing { what, looseness: step.looseness })
        });
        Construction {
            plan: plan.clone(),
            lengths: lengths.to_vec(),
            eased: eased.to_vec(),
            easings: measures.chain(steps).filter(|easing| easing.looseness != 0.0).collect(),
        }
    }

    /// The half outline with everything eased by so many mm, in the order of `easings`.
    ///
    /// # Errors
    /// The step that cannot be worked.
    pub fn half(&self, by: &[f64]) -> Result<Half, ReconcileError> {
        let (mut lengths, mut eased) = (self.lengths.clone(), self.eased.clone());
        for (easing, by) in self.easings.iter().zip(by) {
            match easing.what {
                Eased::Measure(j) => lengths[j] += by,
                Eased::Place(j, way) => eased[j][way] += by,
                Eased::Setting(j) => eased[j][0] += by,
            }
        }
        let half = Half::of(&self.plan.outline_eased(&lengths, &eased)?).ok_or(ReconcileError::EmptyRun)?;
        if half.arcs.iter().any(Vec::is_empty) { Err(ReconcileError::EmptyRun) } else { Ok(half) }
    }

    /// d [`Half::values`] / d easing about where everything is eased by so many mm and the half comes to `half`; easing by
    /// easing. Nought where the construction breaks down or changes its kind.
    pub fn answers(&self, by: &[f64], half: &Half) -> Vec<Vec<f64>> {
        // A step so small that the answer is a derivative, so large that rounding does not show.
        const STEP: f64 = 0.02;
        let base = half.values();
        let mut by = by.to_vec();
        (0..self.easings.len())
            .map(|k| {
                let at = by[k];
                let answer = [STEP, -STEP].into_iter().find_map(|step| {
                    by[k] = at + step;
                    let eased = self.half(&by).ok().filter(|eased| eased.is_like(half))?;
                    let answer: Vec<f64> =
                        eased.values().iter().zip(&base).map(|(e, b)| (e - b) / step).collect();
                    answer.iter().all(|v| v.is_finite()).then_some(answer)
                });
                by[k] = at;
                answer.unwrap_or_else(|| vec![0.0; base.len()])
            })
            .collect()
    }
}
