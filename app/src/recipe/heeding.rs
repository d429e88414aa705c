//! The hand on the drawing of the recipe.

use super::composing::{Composing, Heeding, Open, Picking, circles_of, placing_of};
use crate::showing::Thing;
use kurbo::Point;
use leptos::prelude::*;
use ribline_geometry::recipe::{Edit, Wanted};

impl Composing {
    /// From now on.
    pub fn heed_the_hand(self) {
        self.heeding.set_value(Some(Heeding { tap: Composing::tap, pass: Composing::pass }));
    }

    /// A tap in the drawing of the recipe, with what lies within `within` mm of it. False where nothing does.
    fn tap(self, at: Point, within: f64) -> bool {
        let drawn = self.results.drawn.get_untracked();
        if let Some(picking) = self.picking.get_untracked() {
            let wanted = if picking.takes_a_point() { Wanted::Point } else { Wanted::Circle };
            let found = drawn.nearest(at, within, wanted, picking.before());
            if let Some(step) = found {
                self.picked(picking, step);
            }
            // A tap beside it is tried again, and lets nothing go.
            return true;
        }
        if let Some(Open::Step(k)) = self.open.get_untracked()
            && let Some(both) = self.with_recipe(|recipe| recipe.centres(k))
            && let Some((lies, _)) = both.iter().find(|(_, centre)| centre.distance(at) <= within)
            && self.with_recipe(|recipe| placing_of(recipe, k).and_then(|placed| placed.lies()))
                != Some(*lies)
        {
            self.place(k, |_, placed| placed.lying(*lies));
            return true;
        }
        let found = drawn.nearest(at, within, Wanted::Either, usize::MAX);
        if let Some(step) = found {
            self.showing.pick(Some(Thing::RecipeStep(step)));
            self.reveal(Open::Step(step));
        }
        found.is_some()
    }

    fn pass(self, at: Point, within: f64) -> bool {
        let drawn = self.results.drawn.get_untracked();
        let (wanted, before) = match self.picking.get_untracked() {
            Some(picking) if picking.takes_a_point() => (Wanted::Point, picking.before()),
            Some(picking) => (Wanted::Circle, picking.before()),
            None => (Wanted::Either, usize::MAX),
        };
        let found = drawn.nearest(at, within, wanted, before).map(Thing::RecipeStep);
        match (found, self.showing.hovered()) {
            (Some(thing), now) if now != Some(thing) => self.showing.hover(thing),
            (None, Some(thing @ Thing::RecipeStep(_))) => self.showing.leave(thing),
            _ => {}
        }
        true
    }

    fn picked(self, picking: Picking, step: usize) {
        let name = self.with_recipe(|recipe| recipe.steps.get(step).map(|step| step.name.clone()));
        let Some(name) = name else { return };
        match picking {
            Picking::Slot(k, slot) => {
                self.picking.set(None);
                self.name_in(k, slot, &name);
            }
            Picking::Run(bout) => {
                let mut circles = self.with_recipe(|recipe| circles_of(recipe, bout).clone());
                // The last again takes it back.
                if circles.last() == Some(&name) {
                    circles.pop();
                } else {
                    circles.push(name);
                }
                self.edit(Edit::Run(bout, circles));
            }
            Picking::Corner(bout) => {
                self.picking.set(None);
                self.edit(Edit::Corner(bout, name));
            }
        }
    }
}
