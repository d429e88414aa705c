//! Where a new recipe, a new measure or a new step begins: with something that can be worked at once, to be changed from
//! there.

use super::{Action, Dimension, Line, Measure, OutlinePlan, Placing, Recipe, Size, Step, Toward};
use crate::json::Map;
use crate::ratio::Ratio;

/// Standard deviation in mm with which new measures and steps are expected to be kept, as the built-in recipes have it
/// for a violin.
const LOOSENESS: f64 = 2.0;

/// What is written into a recipe that begins anew. The page has it in its own language.
#[derive(Debug, Clone, Copy)]
pub struct BareWords {
    pub title: &'static str,
    pub body_length: &'static str,
    pub lower_width: &'static str,
    pub bottom: &'static str,
    pub top: &'static str,
}

impl Recipe {
    /// An almost empty recipe for the same instrument: its body length and lower width, the two ends of its centreline,
    /// and no outline yet.
    pub fn bare(&self, words: BareWords) -> Recipe {
        let measure = |name: &str, title: &str, size, dimension| Measure {
            name: name.to_owned(),
            title: title.to_owned(),
            size,
            choices: Vec::new(),
            looseness: 1.0,
            dimension: Some(dimension),
            unknown: Map::new(),
        };
        let mm = match self.measures.first().map(|measure| &measure.size) {
            Some(Size::Mm(mm)) => *mm,
            _ => 355.0,
        };
        // "One part less than double": common practice.
        let width = Size::Ratio { ratio: terms(4, 7), of: "L".to_owned() };
        Recipe {
            title: words.title.to_owned(),
            author: String::new(),
            note: String::new(),
            instrument: self.instrument,
            purpose: self.purpose,
            measures: vec![
                measure("L", words.body_length, Size::Mm(mm), Dimension::BodyLength),
                measure("W", words.lower_width, width, Dimension::LowerWidth),
            ],
            steps: vec![
                held(words.bottom, None),
                held(words.top, Some(Size::Ratio { ratio: Ratio::ONE, of: "L".to_owned() })),
            ],
            plan: OutlinePlan {
                lower: Vec::new(),
                waist: Vec::new(),
                upper: Vec::new(),
                lower_corner: String::new(),
                upper_corner: String::new(),
            },
            customary: self.customary,
            unknown: Map::new(),
        }
    }

    /// A measure to begin with: half of the last one, under the first free letter.
    pub fn new_measure(&self, title: &str) -> Measure {
        let taken = |name: &str| self.measures.iter().any(|measure| measure.name == name);
        let letter = ('A'..='Z').map(String::from).find(|letter| !taken(letter));
        let name = letter.unwrap_or_else(|| numbered("M", taken));
        let of = self.measures.last().map_or_else(|| "L".to_owned(), |measure| measure.name.clone());
        Measure {
            name,
            title: title.to_owned(),
            size: Size::Ratio { ratio: terms(1, 2), of },
            choices: Vec::new(),
            looseness: LOOSENESS,
            dimension: None,
            unknown: Map::new(),
        }
    }

    /// A point to begin with: half of the body length up, half of the second measure out; its name a number after `stem`.
    pub fn new_point(&self, stem: &str) -> Step {
        let half = |place: usize| {
            let of = self.measures.get(place).or(self.measures.first())?.name.clone();
            Some(Size::Ratio { ratio: terms(1, 2), of })
        };
        self.new_step(stem, Action::Point { up: half(0), out: half(1) })
    }

    /// A circle to begin with, as step `at`: half of the second measure, through the point marked last before it, with the
    /// centre on the centreline or, from a point off it, straight in; its name a number after `stem`.
    pub fn new_circle(&self, at: usize, stem: &str) -> Step {
        let of = self.measures.get(1).or(self.measures.first()).map_or("L", |measure| measure.name.as_str());
        let radius = Size::Ratio { ratio: terms(1, 2), of: of.to_owned() };
        let points = self.earlier(at, true);
        let point =
            points.last().and_then(|k| self.steps.get(*k)).map(|step| step.name.clone()).unwrap_or_default();
        let off_centreline = points
            .last()
            .and_then(|k| self.steps.get(*k))
            .is_some_and(|step| matches!(step.action, Action::Point { out: Some(_), .. }));
        // From a point out at the edge the centre is looked for straight inwards, from one on the centreline towards the middle.
        let placed = if off_centreline {
            let centre_on = Line::CrossAt { point: point.clone() };
            Placing::Through { point, centre_on, lies: Toward::In }
        } else {
            let drawn = self.evaluate_partial();
            let up =
                drawn.points.iter().find(|placed| placed.name == point).map_or(0.0, |placed| placed.at.y);
            let half = drawn.lengths.first().copied().flatten().unwrap_or(f64::INFINITY) / 2.0;
            let lies = if up > half { Toward::Bottom } else { Toward::Neck };
            Placing::Through { point, centre_on: Line::Centreline, lies }
        };
        self.new_step(stem, Action::Circle { radius, placed })
    }

    fn new_step(&self, stem: &str, action: Action) -> Step {
        let name = numbered(stem, |name| self.steps.iter().any(|step| step.name == name));
        Step { name, action, choices: Vec::new(), looseness: LOOSENESS, unknown: Map::new() }
    }

    /// A title that none of the others has: this recipe's own, or with a number after it.
    pub fn title_besides<'a>(&self, others: impl Iterator<Item = &'a str> + Clone) -> String {
        let taken = |title: &str| others.clone().any(|other| other == title);
        if taken(&self.title) { numbered(&self.title, taken) } else { self.title.clone() }
    }
}

fn held(name: &str, up: Option<Size>) -> Step {
    let action = Action::Point { up, out: None };
    Step { name: name.to_owned(), action, choices: Vec::new(), looseness: 0.0, unknown: Map::new() }
}

/// The stem with the first number that is free: from 1, or from 2 where something is called by the stem alone.
fn numbered(stem: &str, taken: impl Fn(&str) -> bool) -> String {
    let first = if taken(stem) { 2 } else { 1 };
    (first..).map(|n: usize| format!("{stem} {n}")).find(|name| !taken(name)).unwrap_or_default()
}

/// Terms written out in this file, within the bounds of a ratio.
fn terms(over: u16, under: u16) -> Ratio {
    Ratio::new(over, under).unwrap_or(Ratio::ONE)
}

#[cfg(test)]
mod tests {
    use super::super::built_in::built_in;
    use super::*;
    use crate::recipe::{Edit, Part};

    const WORDS: BareWords = BareWords {
        title: "New",
        body_length: "body length",
        lower_width: "lower width",
        bottom: "bottom",
        top: "top",
    };

    #[test]
    fn a_bare_recipe_marks_both_ends_of_its_centreline_and_lacks_only_an_outline() {
        for recipe in built_in() {
            let bare = recipe.bare(WORDS);
            let drawn = bare.evaluate_partial();
            assert_eq!(drawn.points.len(), 2);
            assert!(drawn.not_reached.is_empty());
            for fault in bare.faults() {
                assert_eq!(fault.place(), super::super::error::Place::Outline, "{fault}");
            }
        }
    }

    #[test]
    fn a_new_measure_point_and_circle_can_be_worked_as_they_are() {
        let mut recipe = built_in().swap_remove(0).bare(WORDS);
        for _ in 0..30 {
            let measure = recipe.new_measure("another");
            recipe = recipe.edited(&Edit::AddMeasure { at: 99, measure }).unwrap();
        }
        for _ in 0..3 {
            let (at, point) = (recipe.steps.len(), recipe.new_point("point"));
            recipe = recipe.edited(&Edit::AddStep { at, step: point }).unwrap();
            let at = recipe.steps.len();
            recipe = recipe.edited(&Edit::AddStep { at, step: recipe.new_circle(at, "circle") }).unwrap();
        }
        let drawn = recipe.evaluate_partial();
        // The letters ran out; lengths halved thirty times are too small, which is said and nothing else is.
        assert!(recipe.measures.iter().any(|measure| measure.name == "M 2"));
        assert_eq!((drawn.points.len(), drawn.circles.len()), (5, 3));
        let removed = recipe.edited(&Edit::Remove { part: Part::Step(2), with_resting: true }).unwrap();
        assert_eq!(removed.evaluate_partial().circles.len(), 2);
    }

    #[test]
    fn a_title_that_is_taken_gets_a_number() {
        let recipe = built_in().swap_remove(0).bare(WORDS);
        assert_eq!(recipe.title_besides(["Other"].into_iter()), "New");
        assert_eq!(recipe.title_besides(["New", "New 2"].into_iter()), "New 3");
    }
}
