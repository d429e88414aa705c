//! What the maker is looking at: which step of the job, which layers of the drawing, what is pointed at. None of it
//! belongs to the project, none of it is kept or taken back.

use crate::arrival::Arrival;
use crate::store::PinName;
use leptos::prelude::*;
use ribline_geometry::outline::{Bout, Corner, Run};
use ribline_geometry::share::address::{link_in, step_in};

/// What stands in the address after Teach while the class is looked at.
pub const CLASS: &str = "class";

/// The steps of the job that can be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Step {
    SetOut,
    Ribs,
    Edge,
    Bench,
    Teach,
}

impl Step {
    pub const ALL: [Step; 5] = [Step::SetOut, Step::Ribs, Step::Edge, Step::Bench, Step::Teach];

    pub fn from_key(key: &str) -> Option<Step> {
        Step::ALL.into_iter().find(|step| step.key() == key)
    }

    pub fn key(self) -> &'static str {
        match self {
            Step::SetOut => "set-out",
            Step::Ribs => "ribs",
            Step::Edge => "edge",
            Step::Bench => "bench",
            Step::Teach => "teach",
        }
    }
}

/// One arc of the edge: the run it lies on and its place there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ArcName {
    pub run: Run,
    pub piece: usize,
}

impl ArcName {
    /// Neighbouring arcs of a run are drawn in two inks by turns.
    pub fn in_second_ink(self) -> bool {
        self.piece % 2 == 1
    }

    /// A number of its own for each arc of an edge, in the order of the edge.
    pub fn number(self) -> usize {
        self.run.index() * PIECES + self.piece
    }

    pub fn of_number(number: usize) -> Option<ArcName> {
        Run::ALL.get(number / PIECES).map(|run| ArcName { run: *run, piece: number % PIECES })
    }
}

/// More arcs than any run has.
const PIECES: usize = 1000;

/// Something in the drawing that can be pointed at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Thing {
    Arc(ArcName),
    /// A traced point, by its place in the trace.
    Point(usize),
    Pin(PinName),
    Corner(Corner),
    /// A step of the recipe, by its place: what it marks or strikes.
    RecipeStep(usize),
    /// A run of the recipe's outline.
    RecipeRun(Bout),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Layer {
    Grid,
    Inks,
    Centres,
    Ribbon,
    Points,
    /// The photo from which the line was taken.
    Photo,
}

impl Layer {
    pub const ALL: [Layer; 6] =
        [Layer::Grid, Layer::Inks, Layer::Centres, Layer::Ribbon, Layer::Points, Layer::Photo];

    pub fn key(self) -> &'static str {
        match self {
            Layer::Grid => "grid",
            Layer::Inks => "inks",
            Layer::Centres => "centres",
            Layer::Ribbon => "ribbon",
            Layer::Points => "points",
            Layer::Photo => "photo",
        }
    }
}

#[derive(Clone, Copy)]
pub struct Showing {
    pub step: RwSignal<Step>,
    /// Whether the mould's panel is open, and the mould drawn.
    pub mould: RwSignal<bool>,
    /// Whether it is a class that is shown under Teach, rather than the construction.
    pub class: RwSignal<bool>,
    layers: [RwSignal<bool>; 6],
    /// What the pointer is over at the moment.
    hovered: RwSignal<Option<Thing>>,
    /// What was tapped, clicked or focused last.
    picked: RwSignal<Option<Thing>>,
    /// Why the file last dropped or opened was not taken, as a sentence.
    pub file_trouble: RwSignal<Option<String>>,
    /// What a link or a recipe file has brought, until its reader has chosen what becomes of it.
    pub arrival: RwSignal<Option<Arrival>>,
    /// Whether a link is being opened.
    pub opening_link: RwSignal<bool>,
    /// Why the link in the address was not opened, as a sentence.
    pub link_trouble: RwSignal<Option<String>>,
    /// Why the work is not being kept in this browser, as a sentence.
    pub keeping_trouble: RwSignal<Option<String>>,
    /// Stored work that could not be read, for the maker to take away.
    pub damaged: RwSignal<Option<String>>,
}

impl Showing {
    pub fn new() -> Self {
        Showing {
            step: RwSignal::new(Step::Edge),
            mould: RwSignal::new(false),
            class: RwSignal::new(false),
            layers: Layer::ALL.map(|_| RwSignal::new(true)),
            hovered: RwSignal::new(None),
            picked: RwSignal::new(None),
            file_trouble: RwSignal::new(None),
            arrival: RwSignal::new(None),
            opening_link: RwSignal::new(false),
            link_trouble: RwSignal::new(None),
            keeping_trouble: RwSignal::new(None),
            damaged: RwSignal::new(None),
        }
    }

    /// Keeps the step in the page's address, so that a reload opens it again and the browser's own way back goes
    /// from step to step.
    pub fn keep_step_in_address(self) {
        let in_address = || {
            let hash = window().location().hash().ok()?;
            // A step may keep a place of its own after a stroke.
            step_in(&hash).and_then(|step| Step::from_key(step.split('/').next()?))
        };
        let class_in_address = || {
            let hash = window().location().hash().ok()?;
            step_in(&hash)?.split_once('/').map(|(_, place)| place == CLASS)
        };
        let holds_link = || window().location().hash().is_ok_and(|hash| link_in(&hash).is_some());
        if let Some(step) = in_address() {
            self.step.set(step);
            self.class.set(class_in_address() == Some(true));
        }
        Effect::new(move |before: Option<Step>| {
            let step = self.step.get();
            if before.is_some() && in_address() != Some(step) {
                // Refused only for a page without an address of its own; then the step simply isn't kept.
                let _ = window().location().set_hash(step.key());
            }
            step
        });
        let _ = window_event_listener(leptos::ev::hashchange, move |_| {
            // A link that is put in the address has nothing to say of the step.
            let step = match in_address() {
                None if holds_link() => return,
                step => step.unwrap_or(Step::Edge),
            };
            if self.step.get_untracked() != step {
                self.step.set(step);
            }
            if class_in_address() == Some(true) {
                self.class.set(true);
            }
        });
    }

    /// Whether the class is on the screen.
    pub fn class_is_open(self) -> bool {
        self.class.get_untracked() && self.step.get_untracked() == Step::Teach
    }

    /// The mould is drawn while its panel is open.
    pub fn mould_drawn(self) -> bool {
        self.mould.get() && self.step.get() == Step::SetOut
    }

    pub fn layer(self, layer: Layer) -> RwSignal<bool> {
        self.layers[layer as usize]
    }

    pub fn hover(self, thing: Thing) {
        self.hovered.set(Some(thing));
    }

    pub fn hovered(self) -> Option<Thing> {
        self.hovered.get_untracked()
    }

    pub fn leave(self, thing: Thing) {
        if self.hovered.get_untracked() == Some(thing) {
            self.hovered.set(None);
        }
    }

    pub fn pick(self, thing: Option<Thing>) {
        if self.picked.get_untracked() != thing {
            self.picked.set(thing);
        }
    }

    pub fn picked(self) -> Option<Thing> {
        self.picked.get()
    }

    /// What is pointed at: under the pointer, or else picked.
    pub fn pointed(self) -> Option<Thing> {
        self.hovered.get().or(self.picked.get())
    }

    pub fn is_pointed(self, thing: Thing) -> Memo<bool> {
        Memo::new(move |_| self.pointed() == Some(thing))
    }
}

impl Default for Showing {
    fn default() -> Self {
        Showing::new()
    }
}

pub fn use_showing() -> Showing {
    expect_context::<Showing>()
}

/// What lives as long as the page does.
#[derive(Clone)]
struct PageOwner(Owner);

pub fn provide_page_owner() {
    if let Some(owner) = Owner::current() {
        provide_context(PageOwner(owner));
    }
}

/// What several parts of the page share and the first drawing does without: made when it is first asked for.
pub fn once_for_the_page<T: Clone + Send + Sync + 'static>(make: impl FnOnce() -> T) -> T {
    use_context().unwrap_or_else(|| {
        use_page_owner().with(|| {
            let made = make();
            provide_context(made.clone());
            made
        })
    })
}

/// For what a step begins and other steps are not to end.
pub fn use_page_owner() -> Owner {
    expect_context::<PageOwner>().0
}
