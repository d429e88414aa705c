//! What rests on what in a recipe, and what has to follow when something gets another name.

use super::{Action, Line, Part, Placing, Recipe, Size, Step};

impl Step {
    /// The names of the points and circles that this step rests on, each once.
    pub fn rests_on(&self) -> Vec<&str> {
        let Action::Circle { placed, .. } = &self.action else { return Vec::new() };
        let (one, other) = match placed {
            Placing::CentredOn { point } | Placing::Through { point, centre_on: Line::Centreline, .. } => {
                (point, point)
            }
            Placing::Through { point, centre_on: Line::CrossAt { point: at }, .. } => (point, at),
            Placing::TouchingTwo { one, other, .. } => (&one.circle, &other.circle),
            Placing::TouchingThrough { one, point, .. } => (&one.circle, point),
        };
        if one == other { vec![one] } else { vec![one, other] }
    }

    /// The sizes that this step is given.
    pub fn sizes(&self) -> impl Iterator<Item = &Size> {
        let (one, other) = match &self.action {
            Action::Point { up, out } => (up.as_ref(), out.as_ref()),
            Action::Circle { radius, .. } => (Some(radius), None),
        };
        one.into_iter().chain(other)
    }

    pub fn makes_a_point(&self) -> bool {
        matches!(self.action, Action::Point { .. })
    }

    fn names(&mut self) -> Vec<&mut String> {
        match &mut self.action {
            Action::Circle { placed, .. } => match placed {
                Placing::CentredOn { point }
                | Placing::Through { point, centre_on: Line::Centreline, .. } => {
                    vec![point]
                }
                Placing::Through { point, centre_on: Line::CrossAt { point: at }, .. } => vec![point, at],
                Placing::TouchingTwo { one, other, .. } => vec![&mut one.circle, &mut other.circle],
                Placing::TouchingThrough { one, point, .. } => vec![&mut one.circle, point],
            },
            Action::Point { .. } => Vec::new(),
        }
    }

    fn sizes_mut(&mut self) -> impl Iterator<Item = &mut Size> {
        let (one, other) = match &mut self.action {
            Action::Point { up, out } => (up.as_mut(), out.as_mut()),
            Action::Circle { radius, .. } => (Some(radius), None),
        };
        one.into_iter().chain(other)
    }
}

impl Recipe {
    /// The places of the earlier steps that make points, or those that make circles: what step `k` can rest on. With
    /// `k` beyond the last step, all of them.
    pub fn earlier(&self, k: usize, points: bool) -> Vec<usize> {
        let before = self.steps.iter().take(k).enumerate();
        before.filter(|(_, step)| step.makes_a_point() == points).map(|(place, _)| place).collect()
    }

    /// Everything that would go with a measure or a step if it were removed: the measures and steps that rest on it,
    /// and those that rest on these. In the order of the recipe; the part itself is not among them.
    pub fn resting_on(&self, part: Part) -> Vec<Part> {
        let mut gone = vec![part];
        let is_ratio_of = |size: &Size, gone: &[Part]| {
            match size {
            Size::Ratio { of, .. } => gone.iter().any(
                |part| matches!(part, Part::Measure(m) if self.measures.get(*m).is_some_and(|m| m.name == *of)),
            ),
            Size::Mm(_) => false,
        }
        };
        for (k, measure) in self.measures.iter().enumerate() {
            if !gone.contains(&Part::Measure(k)) && is_ratio_of(&measure.size, &gone) {
                gone.push(Part::Measure(k));
            }
        }
        // A recipe in the making may have its steps in the wrong order: until nothing more is found.
        loop {
            let before = gone.len();
            for (k, step) in self.steps.iter().enumerate() {
                let rests = |name: &str| {
                    gone.iter().any(
                        |part| matches!(part, Part::Step(s) if self.steps.get(*s).is_some_and(|s| s.name == name)),
                    )
                };
                if !gone.contains(&Part::Step(k))
                    && (step.sizes().any(|size| is_ratio_of(size, &gone))
                        || step.rests_on().into_iter().any(rests))
                {
                    gone.push(Part::Step(k));
                }
            }
            if gone.len() == before {
                break;
            }
        }
        gone.retain(|other| *other != part);
        gone.sort_unstable();
        gone
    }

    /// Whether the outline uses what this step makes.
    pub fn in_outline(&self, name: &str) -> bool {
        let plan = &self.plan;
        let runs = plan.lower.iter().chain(&plan.waist).chain(&plan.upper);
        runs.chain([&plan.lower_corner, &plan.upper_corner]).any(|used| used == name)
    }

    pub(super) fn rename_measure(&mut self, place: usize, name: &str) {
        let Some(measure) = self.measures.get_mut(place) else { return };
        let before = std::mem::replace(&mut measure.name, name.to_owned());
        let sizes = self.measures.iter_mut().map(|measure| &mut measure.size);
        let sizes = sizes.chain(self.steps.iter_mut().flat_map(Step::sizes_mut));
        for size in sizes {
            if let Size::Ratio { of, .. } = size
                && *of == before
            {
                name.clone_into(of);
            }
        }
    }

    pub(super) fn rename_step(&mut self, place: usize, name: &str) {
        let Some(step) = self.steps.get_mut(place) else { return };
        let before = std::mem::replace(&mut step.name, name.to_owned());
        let plan = &mut self.plan;
        let in_runs = plan.lower.iter_mut().chain(&mut plan.waist).chain(&mut plan.upper);
        let in_plan = in_runs.chain([&mut plan.lower_corner, &mut plan.upper_corner]);
        for used in in_plan.chain(self.steps.iter_mut().flat_map(Step::names)) {
            if *used == before {
                name.clone_into(used);
            }
        }
    }

    /// Takes the names of removed steps out of the outline.
    pub(super) fn forget_in_outline(&mut self, gone: &[String]) {
        let still = |name: &String| self.steps.iter().any(|step| step.name == *name);
        let gone: Vec<&String> = gone.iter().filter(|name| !still(name)).collect();
        let plan = &mut self.plan;
        for run in [&mut plan.lower, &mut plan.waist, &mut plan.upper] {
            run.retain(|name| !gone.contains(&name));
        }
        for corner in [&mut plan.lower_corner, &mut plan.upper_corner] {
            if gone.contains(&&*corner) {
                corner.clear();
            }
        }
    }
}
