//! The two places where a circle's centre can be, to choose between.

use super::{Action, OutlinePlan, Placing, Recipe, Toward};
use kurbo::Point;

/// Centres nearer to one another than this, in mm, are one as far as anybody can point at them.
const APART: f64 = 0.05;

impl Recipe {
    /// The two centres that step `k` can have, each with the side that tells it from the other. `None` for a step without
    /// a choice: a point, a circle centred on one, a circle that cannot be struck, or one with both centres in one place.
    ///
    /// ```
    /// let violin = ribline_geometry::recipe::built_in::violin();
    /// let step = violin.steps.iter().position(|step| step.name == "lower 3").unwrap();
    /// let [inner, outer] = violin.centres(step).unwrap();
    /// assert!(inner.1.x < outer.1.x);
    /// assert_eq!(violin.evaluate().unwrap().circle("lower 3").unwrap().centre, inner.1);
    /// ```
    pub fn centres(&self, k: usize) -> Option<[(Toward, Point); 2]> {
        let Action::Circle { placed, .. } = &self.steps.get(k)?.action else { return None };
        let told = placed.lies()?;
        let none = || OutlinePlan {
            lower: Vec::new(),
            waist: Vec::new(),
            upper: Vec::new(),
            lower_corner: String::new(),
            upper_corner: String::new(),
        };
        let mut up_to_here = Recipe { plan: none(), ..self.clone() };
        up_to_here.steps.truncate(k + 1);
        let mut centre = |lies: Toward| {
            let Action::Circle { placed, .. } = &mut up_to_here.steps.get_mut(k)?.action else { return None };
            *placed.lies_mut()? = lies;
            let drawn = up_to_here.evaluate_partial();
            drawn.circles.iter().find(|circle| circle.step == k).map(|circle| circle.centre)
        };
        let mut pair = |one: Toward, other: Toward| Some([(one, centre(one)?), (other, centre(other)?)]);
        let across = pair(Toward::In, Toward::Out);
        let along = pair(Toward::Bottom, Toward::Neck);
        let apart = |pair: &[(Toward, Point); 2], of: fn(Point) -> f64| (of(pair[0].1) - of(pair[1].1)).abs();
        let across = across.filter(|pair| apart(pair, |p| p.x) > APART);
        let along = along.filter(|pair| apart(pair, |p| p.y) > APART);
        // As the recipe tells them apart already, unless that is by next to nothing; else by how they lie further apart.
        let (Some(across), Some(along)) = (across, along) else { return across.or(along) };
        let (wide, high) = (apart(&across, |p| p.x), apart(&along, |p| p.y));
        let told_across = matches!(told, Toward::In | Toward::Out);
        let by_width = if told_across { 4.0 * wide > high } else { wide > 4.0 * high };
        Some(if by_width { across } else { along })
    }
}

impl Placing {
    /// Which of the two centres is meant; `None` where there is but one.
    pub fn lies(&self) -> Option<Toward> {
        match self {
            Placing::CentredOn { .. } => None,
            Placing::Through { lies, .. }
            | Placing::TouchingTwo { lies, .. }
            | Placing::TouchingThrough { lies, .. } => Some(*lies),
        }
    }

    pub fn lies_mut(&mut self) -> Option<&mut Toward> {
        match self {
            Placing::CentredOn { .. } => None,
            Placing::Through { lies, .. }
            | Placing::TouchingTwo { lies, .. }
            | Placing::TouchingThrough { lies, .. } => Some(lies),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::built_in::built_in;
    use super::*;

    #[test]
    fn one_of_the_two_centres_is_the_one_that_the_recipe_means() {
        for recipe in built_in() {
            let drawn = recipe.evaluate().unwrap();
            let mut seen = 0;
            for circle in &drawn.circles {
                let Some(both) = recipe.centres(circle.step) else { continue };
                seen += 1;
                assert!(
                    both.iter().any(|(_, centre)| centre.distance(circle.centre) < 1e-9),
                    "{}",
                    circle.name
                );
                for (lies, centre) in both {
                    let mut other = recipe.clone();
                    if let Action::Circle { placed, .. } = &mut other.steps[circle.step].action {
                        *placed.lies_mut().unwrap() = lies;
                    }
                    let drawn = other.evaluate_partial();
                    let there = drawn.circles.iter().find(|c| c.step == circle.step).unwrap();
                    assert!(there.centre.distance(centre) < 1e-9);
                }
            }
            assert!(seen >= 6);
        }
    }

    #[test]
    fn a_point_has_no_two_centres() {
        let recipe = built_in().swap_remove(0);
        assert_eq!(recipe.centres(0), None);
        assert_eq!(recipe.centres(999), None);
    }
}
