//! What is going on while a recipe is changed: which of its parts is open, what a tap in the drawing is meant for, and why
//! the last change was not made. None of it belongs to the project.

use crate::results::Results;
use crate::showing::{Showing, Thing};
use crate::store::{Change, Store};
use crate::words::words;
use kurbo::Point;
use leptos::prelude::*;
use ribline_geometry::outline::Bout;
use ribline_geometry::recipe::PartialConstruction;
use ribline_geometry::recipe::{Action, Edit, Part, Placing, Recipe, Slot};
use std::sync::Arc;

/// A part of the recipe that can be opened to be changed; one at a time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Open {
    Measure(usize),
    Step(usize),
    Run(Bout),
}

impl Open {
    /// What lights up in the drawing with it.
    pub fn thing(self) -> Option<Thing> {
        match self {
            Open::Measure(_) => None,
            Open::Step(k) => Some(Thing::RecipeStep(k)),
            Open::Run(bout) => Some(Thing::RecipeRun(bout)),
        }
    }

    /// What the recipe calls it; a run is called nothing.
    fn name(self, recipe: &Recipe) -> Option<&String> {
        match self {
            Open::Measure(k) => recipe.measures.get(k).map(|measure| &measure.name),
            Open::Step(k) => recipe.steps.get(k).map(|step| &step.name),
            Open::Run(_) => None,
        }
    }

    /// How many of its kind the recipe has, and the one of them that is called so.
    fn among(self, recipe: &Recipe, name: &str) -> (usize, Option<Open>) {
        match self {
            Open::Measure(_) => {
                let at = recipe.measures.iter().position(|measure| measure.name == name);
                (recipe.measures.len(), at.map(Open::Measure))
            }
            Open::Step(_) => {
                let at = recipe.steps.iter().position(|step| step.name == name);
                (recipe.steps.len(), at.map(Open::Step))
            }
            Open::Run(_) => (0, None),
        }
    }

    /// The id of its sentence, and its name for tests.
    pub fn key(self) -> String {
        match self {
            Open::Measure(k) => format!("measure-{}", k + 1),
            Open::Step(k) => format!("step-{}", k + 1),
            Open::Run(Bout::Lower) => "run-lower".to_string(),
            Open::Run(Bout::Waist) => "run-waist".to_string(),
            Open::Run(Bout::Upper) => "run-upper".to_string(),
        }
    }

    /// The id of the whole of it in the list.
    fn element(self) -> String {
        format!("recipe-{}", self.key())
    }
}

/// What the next tap in the drawing is meant for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Picking {
    /// What a step's circle is placed by.
    Slot(usize, Slot),
    /// The next circle of a run.
    Run(Bout),
    Corner(Bout),
}

impl Picking {
    pub fn takes_a_point(self) -> bool {
        match self {
            Picking::Slot(_, slot) => slot.takes_a_point(),
            Picking::Corner(_) => true,
            Picking::Run(_) => false,
        }
    }

    /// Only what comes before it can be picked for a step.
    pub fn before(self) -> usize {
        match self {
            Picking::Slot(step, _) => step,
            Picking::Run(_) | Picking::Corner(_) => usize::MAX,
        }
    }
}

/// A place on the board that is told of, and how many mm around it are meant. False where nothing lies there.
pub type Told = fn(Composing, at: Point, within: f64) -> bool;

/// What heeds the hand on the drawing of the recipe.
#[derive(Clone, Copy)]
pub struct Heeding {
    pub tap: Told,
    /// The pointer passes over it.
    pub pass: Told,
}

#[derive(Clone, Copy)]
pub struct Composing {
    store: Store,
    pub(super) results: Results,
    pub(super) showing: Showing,
    pub(super) open: RwSignal<Option<Open>>,
    /// Set by what draws the recipe: that is a part of the page which may not have come yet.
    pub heeding: StoredValue<Option<Heeding>>,
    pub picking: RwSignal<Option<Picking>>,
    /// Why the last change was not made, as a sentence.
    pub refusal: RwSignal<Option<String>>,
    /// What is to go once its author has agreed to what goes with it.
    pub doomed: RwSignal<Option<Part>>,
    /// A recipe to compare this one with, and how it is drawn.
    pub beside: RwSignal<Option<Recipe>>,
    pub beside_drawn: Memo<Option<Arc<PartialConstruction>>>,
}

impl Composing {
    pub fn new(store: Store, results: Results, showing: Showing) -> Self {
        let beside = RwSignal::new(None::<Recipe>);
        let beside_drawn = Memo::new(move |_| {
            beside.with(|other| other.as_ref().map(|other| Arc::new(other.evaluate_partial())))
        });
        let composing = Composing {
            store,
            results,
            showing,
            open: RwSignal::new(None),
            heeding: StoredValue::new(None),
            picking: RwSignal::new(None),
            refusal: RwSignal::new(None),
            doomed: RwSignal::new(None),
            beside,
            beside_drawn,
        };
        composing.follow_what_is_open();
        composing
    }

    /// What is open stays open where the way back gives it another number, and is closed where that takes it away.
    fn follow_what_is_open(self) {
        let recipe = self.results.recipe;
        Effect::new(move |before: Option<Option<(Open, String, usize)>>| {
            let open = self.open.get();
            recipe.with(|recipe| {
                let open = open?;
                let was = before.flatten().filter(|(was, ..)| *was == open);
                let stays = was.map_or(Some(open), |(_, name, count)| match open.among(recipe, &name) {
                    (_, Some(there)) => Some(there),
                    // As many as before: it goes by another name.
                    (now, None) => (now == count).then_some(open),
                });
                if stays != Some(open) {
                    self.picking.set(None);
                    self.open.set(stays);
                    self.showing.pick(stays.and_then(Open::thing));
                }
                let name = stays?.name(recipe)?.clone();
                let (count, _) = stays?.among(recipe, &name);
                Some((stays?, name, count))
            })
        });
    }

    /// Makes a change after which what is open stands where it stood on the screen.
    pub fn staying_in_place(self, change: impl FnOnce()) {
        let place = move || {
            let element = document().get_element_by_id(&self.open.get_untracked()?.element())?;
            let top = element.get_bounding_client_rect().top();
            Some((element, top))
        };
        let before = place();
        change();
        let Some((_, before)) = before else { return };
        // Once the list is drawn anew.
        request_animation_frame(move || {
            let Some((element, now)) = place() else { return };
            if let Ok(Some(panel)) = element.closest(".controls") {
                panel.set_scroll_top(panel.scroll_top() + (now - before).round() as i32);
            }
            // A panel that is as high as what it holds does not move; the page does.
            window().scroll_by_with_x_and_y(0.0, element.get_bounding_client_rect().top() - before);
            show_nearest(&element);
        });
    }

    pub fn with_recipe<T>(self, of: impl FnOnce(&Recipe) -> T) -> T {
        self.store.project().with_untracked(|project| of(&project.recipe))
    }

    /// The way in which every change of the recipe by its author is made. False where it cannot be: [`Composing::refusal`]
    /// then says why.
    pub fn edit(self, edit: Edit) -> bool {
        match self.with_recipe(|recipe| recipe.edited(&edit)) {
            Ok(recipe) => {
                self.refusal.set(None);
                self.doomed.set(None);
                self.store.change(Change::Edited(Box::new(recipe), edit));
                true
            }
            Err(why) => {
                self.refusal.set(Some((words().recipe().edit_refused)(&why.to_string())));
                false
            }
        }
    }

    pub fn opened(self) -> Option<Open> {
        self.open.get()
    }

    /// Opens one part and closes the one that was open.
    pub fn show(self, open: Option<Open>) {
        self.picking.set(None);
        self.refusal.set(None);
        self.doomed.set(None);
        self.store.settle();
        self.open.set(open);
        self.showing.pick(open.and_then(Open::thing));
    }

    pub fn toggle(self, open: Open) {
        let now = self.open.get_untracked();
        self.show((now != Some(open)).then_some(open));
    }

    pub fn add_step(self, at: usize, circle: bool) {
        let words = words().recipe();
        let step = self.with_recipe(|recipe| match circle {
            true => recipe.new_circle(at, words.circle_stem),
            false => recipe.new_point(words.point_stem),
        });
        if self.edit(Edit::AddStep { at, step }) {
            self.show(Some(Open::Step(at)));
            self.reveal(Open::Step(at));
        }
    }

    pub fn add_measure(self) {
        let measure = self.with_recipe(|recipe| recipe.new_measure(words().recipe().new_measure));
        let at = self.with_recipe(|recipe| recipe.measures.len());
        if self.edit(Edit::AddMeasure { at, measure }) {
            self.show(Some(Open::Measure(at)));
            self.reveal(Open::Measure(at));
        }
    }

    pub fn move_to(self, part: Part, to: usize) {
        let open = match part {
            Part::Measure(_) => Open::Measure(to),
            Part::Step(_) => Open::Step(to),
        };
        if self.edit(Edit::Move(part, to)) {
            self.open.set(Some(open));
            self.showing.pick(open.thing());
            self.reveal(open);
        }
    }

    /// Removes what nothing rests on; asks about anything else.
    pub fn remove(self, part: Part) {
        let needed = self.with_recipe(|recipe| {
            let in_outline = match part {
                Part::Step(k) => recipe.steps.get(k).is_some_and(|step| recipe.in_outline(&step.name)),
                Part::Measure(_) => false,
            };
            in_outline || !recipe.resting_on(part).is_empty()
        });
        if needed && self.doomed.get_untracked() != Some(part) {
            self.refusal.set(None);
            self.doomed.set(Some(part));
        } else if self.edit(Edit::Remove { part, with_resting: true }) {
            self.show(None);
        }
    }

    pub fn name_in(self, k: usize, slot: Slot, name: &str) {
        self.place(k, |recipe, placed| recipe.with_a_side(k, placed.naming(slot, name)));
    }

    /// Places step `k`'s circle otherwise.
    pub fn place(self, k: usize, otherwise: impl FnOnce(&Recipe, &Placing) -> Placing) {
        let placing =
            self.with_recipe(|recipe| placing_of(recipe, k).map(|placed| otherwise(recipe, placed)));
        if let Some(placing) = placing {
            self.edit(Edit::Placing(k, placing));
        }
    }

    /// Brings a part's sentence into view.
    pub(super) fn reveal(self, open: Open) {
        // Once the list has it.
        request_animation_frame(move || {
            if let Some(element) = document().get_element_by_id(&open.element()) {
                show_nearest(&element);
            }
        });
    }
}

fn show_nearest(element: &web_sys::Element) {
    let how = web_sys::ScrollIntoViewOptions::new();
    how.set_block(web_sys::ScrollLogicalPosition::Nearest);
    element.scroll_into_view_with_scroll_into_view_options(&how);
}

pub fn placing_of(recipe: &Recipe, k: usize) -> Option<&Placing> {
    match &recipe.steps.get(k)?.action {
        Action::Circle { placed, .. } => Some(placed),
        Action::Point { .. } => None,
    }
}

pub fn circles_of(recipe: &Recipe, bout: Bout) -> &Vec<String> {
    match bout {
        Bout::Lower => &recipe.plan.lower,
        Bout::Waist => &recipe.plan.waist,
        Bout::Upper => &recipe.plan.upper,
    }
}

pub fn use_composing() -> Composing {
    expect_context::<Composing>()
}
