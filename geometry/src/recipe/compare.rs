//! Two recipes beside one another: what each has that the other has not, and how far they differ where both have it.

use super::{Construction, Dimension, Measure, Recipe, Size, Step};
use crate::outline::Bout;

/// Something of two recipes: of either, or of both.
#[derive(Debug, Clone, PartialEq)]
pub struct Beside<T> {
    pub one: Option<T>,
    pub other: Option<T>,
}

/// How two recipes differ. Measures and steps are taken for the same where they have the same name.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Of the finished outlines, in mm; only those where either has an outline.
    pub dimensions: Vec<(Dimension, Beside<f64>)>,
    /// The arcs of each run of one side.
    pub arcs: Vec<(Bout, Beside<usize>)>,
    /// Measures that differ, with their length in mm where it is known.
    pub measures: Vec<Beside<(Measure, Option<f64>)>>,
    /// Steps that differ, with the compass setting in mm of one that strikes a circle.
    pub steps: Vec<Beside<(Step, Option<f64>)>>,
}

impl Comparison {
    /// Whether measures, steps and outline are the same.
    pub fn is_alike(&self) -> bool {
        self.measures.is_empty() && self.steps.is_empty() && self.arcs.iter().all(|(_, n)| n.one == n.other)
    }
}

/// Sets two recipes beside one another.
///
/// ```
/// use ribline_geometry::recipe::{Dimension, built_in, compare};
/// let found = compare(&built_in::violin(), &built_in::viola());
/// assert_eq!(found.dimensions[0].0, Dimension::BodyLength);
/// assert!((found.dimensions[0].1.other.unwrap() - 405.0).abs() < 1e-6);
/// ```
pub fn compare(one: &Recipe, other: &Recipe) -> Comparison {
    let drawn = [one.evaluate_partial(), other.evaluate_partial()];
    let [first, second] = drawn.each_ref().map(|drawn| drawn.whole.as_ref());
    let dimension =
        |whole: Option<&Construction>, of| whole.map(|whole| whole.dimension(of)).filter(|mm| mm.is_finite());
    let dimensions = Dimension::ALL
        .into_iter()
        .map(|of| (of, Beside { one: dimension(first, of), other: dimension(second, of) }))
        .filter(|(_, beside)| beside.one.is_some() || beside.other.is_some())
        .collect();
    let arcs = |recipe: &Recipe, bout| match bout {
        Bout::Lower => recipe.plan.lower.len(),
        Bout::Waist => recipe.plan.waist.len(),
        Bout::Upper => recipe.plan.upper.len(),
    };
    let arcs = Bout::ALL
        .into_iter()
        .map(|bout| (bout, Beside { one: Some(arcs(one, bout)), other: Some(arcs(other, bout)) }))
        .collect();

    let [first, second] = &drawn;
    let measures = beside(
        &one.measures,
        &other.measures,
        |measure| &measure.name,
        |one, other| one.size == other.size && one.title == other.title,
        |k| first.lengths.get(k).copied().flatten(),
        |k| second.lengths.get(k).copied().flatten(),
    );
    let setting = |of: &super::PartialConstruction, k: usize| {
        of.circles.iter().find(|circle| circle.step == k).map(|circle| circle.radius)
    };
    let steps = beside(
        &one.steps,
        &other.steps,
        |step| &step.name,
        |one, other| one.action == other.action,
        |k| setting(first, k),
        |k| setting(second, k),
    );
    Comparison { dimensions, arcs, measures, steps }
}

/// Those of the first list that the second lacks or has otherwise, in their order, then those that only the second has.
fn beside<T: Clone>(
    one: &[T],
    other: &[T],
    name: impl Fn(&T) -> &String,
    alike: impl Fn(&T, &T) -> bool,
    mm_of_one: impl Fn(usize) -> Option<f64>,
    mm_of_other: impl Fn(usize) -> Option<f64>,
) -> Vec<Beside<(T, Option<f64>)>> {
    let mut found = Vec::new();
    for (k, item) in one.iter().enumerate() {
        let same = other.iter().position(|candidate| name(candidate) == name(item));
        let counterpart = same.and_then(|place| Some((place, other.get(place)?)));
        match counterpart {
            Some((_, counterpart)) if alike(item, counterpart) => {}
            _ => found.push(Beside {
                one: Some((item.clone(), mm_of_one(k))),
                other: counterpart.map(|(place, item)| (item.clone(), mm_of_other(place))),
            }),
        }
    }
    for (k, item) in other.iter().enumerate() {
        if !one.iter().any(|candidate| name(candidate) == name(item)) {
            found.push(Beside { one: None, other: Some((item.clone(), mm_of_other(k))) });
        }
    }
    found
}

impl Dimension {
    pub const ALL: [Dimension; 4] =
        [Dimension::BodyLength, Dimension::UpperWidth, Dimension::WaistWidth, Dimension::LowerWidth];
}

impl Recipe {
    /// Whether it is the other recipe, at this or another body length.
    pub fn is_but_for_length(&self, other: &Recipe) -> bool {
        match other.measures.first().map(|length| &length.size) {
            Some(Size::Mm(mm)) => self.at_body_length(*mm) == *other,
            _ => self == other,
        }
    }

    /// The recipe at another body length, everything that is a ratio following it. What is in mm stays.
    pub fn at_body_length(&self, mm: f64) -> Recipe {
        let mut recipe = self.clone();
        if let Some(length) = recipe.measures.first_mut() {
            length.size = Size::Mm(mm);
        }
        recipe
    }
}

#[cfg(test)]
mod tests {
    use super::super::built_in::{built_in, viola, violin};
    use super::super::{Edit, Part, SizeOf};
    use super::*;

    #[test]
    fn a_recipe_beside_itself_is_alike() {
        for recipe in built_in() {
            let found = compare(&recipe, &recipe);
            assert!(found.is_alike());
            assert_eq!(found.dimensions.len(), 4);
            assert!(found.dimensions.iter().all(|(_, mm)| mm.one == mm.other));
        }
    }

    #[test]
    fn one_changed_ratio_is_one_difference_in_steps_and_none_in_measures() {
        let violin = violin();
        let k = violin.steps.iter().position(|step| step.name == "waist 2").unwrap();
        let to = Some(Size::Ratio { ratio: "3/7".parse().unwrap(), of: "W".into() });
        let changed = violin.edited(&Edit::Size { of: SizeOf::Radius(k), to, keep: None }).unwrap();
        let found = compare(&violin, &changed);
        assert!(found.measures.is_empty());
        let [Beside { one: Some((_, Some(before))), other: Some((step, Some(after))) }] = &found.steps[..]
        else {
            panic!("{:?}", found.steps)
        };
        assert_eq!(step.name, "waist 2");
        assert!(after < before);
    }

    #[test]
    fn what_only_one_has_stands_alone() {
        let violin = violin();
        let without = violin.edited(&Edit::Remove { part: Part::Step(18), with_resting: true }).unwrap();
        let found = compare(&without, &violin);
        assert_eq!(found.steps.len(), 1);
        assert!(found.steps[0].one.is_none() && found.steps[0].other.is_some());
        // The run that lost its circle makes no outline any more, and so has no dimensions.
        assert!(found.dimensions.iter().all(|(_, mm)| mm.one.is_none() && mm.other.is_some()));
    }

    #[test]
    fn at_one_body_length_a_viola_and_a_violin_are_as_long() {
        let found = compare(&violin(), &viola().at_body_length(355.0));
        let (of, mm) = &found.dimensions[0];
        assert_eq!(*of, Dimension::BodyLength);
        assert!(viola().at_body_length(355.0).is_but_for_length(&viola()));
        assert!(!violin().is_but_for_length(&viola()));
        assert!((mm.one.unwrap() - mm.other.unwrap()).abs() < 1e-9);
    }
}
