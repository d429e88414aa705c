//! The recipe's measures as these ribs have them.

use super::model::{Model, Slot};
use crate::outline::{Bout, Run, Side};
use crate::recipe::{Dimension, Recipe, Size};
use nalgebra::DMatrix;

/// A measure found, with its derivatives by the parameters.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct FoundLength {
    pub mm: f64,
    pub by: Vec<(Slot, f64)>,
}

impl FoundLength {
    pub fn variance(&self, covariance: &DMatrix<f64>) -> f64 {
        self.by
            .iter()
            .map(|(i, a)| self.by.iter().map(|(j, b)| a * b * covariance[(*i, *j)]).sum::<f64>())
            .sum()
    }
}

/// Every measure of the recipe in the order of the recipe: those that are dimensions of the outline as measured on it,
/// the others by their ratios of those.
pub(super) fn found_lengths(recipe: &Recipe, model: &Model, values: &[f64]) -> Vec<FoundLength> {
    let placed = model.placed(values);
    let width = |bout: Bout| -> Option<FoundLength> {
        let mut total = FoundLength { mm: 0.0, by: Vec::new() };
        for side in Side::BOTH {
            let run = &placed[Run { bout, side }.index()];
            let (half, by) = run.half_width()?;
            total.mm += half;
            total.by.extend(run.slots.iter().copied().zip(by));
        }
        Some(total)
    };
    let mut found: Vec<FoundLength> = Vec::new();
    for measure in &recipe.measures {
        let dimension = match measure.dimension {
            Some(Dimension::BodyLength) => Some(FoundLength {
                mm: values[model.top] - values[model.bottom],
                by: vec![(model.top, 1.0), (model.bottom, -1.0)],
            }),
            Some(Dimension::LowerWidth) => width(Bout::Lower),
            Some(Dimension::WaistWidth) => width(Bout::Waist),
            Some(Dimension::UpperWidth) => width(Bout::Upper),
            None => None,
        };
        let derived = || match &measure.size {
            Size::Mm(mm) => FoundLength { mm: *mm, by: Vec::new() },
            Size::Ratio { ratio, of } => {
                let base = recipe.measures.iter().position(|m| m.name == *of).and_then(|i| found.get(i));
                base.map_or(FoundLength { mm: 0.0, by: Vec::new() }, |base| FoundLength {
                    mm: ratio.of(base.mm),
                    by: base.by.iter().map(|(slot, by)| (*slot, ratio.of(*by))).collect(),
                })
            }
        };
        let length = dimension.unwrap_or_else(derived);
        found.push(length);
    }
    found
}
