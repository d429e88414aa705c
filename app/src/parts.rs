//! Parts of the page that are not needed for the first drawing: each is in a file of its own, fetched when it is first wanted.
//!
//! `main.rs` names the files. Whatever only a part needs is in its file, down to the words that only it says and the geometry that
//! only it calls. So nothing of a part may be named elsewhere but here.

use crate::controls::When;
use crate::reading::Reading;
use crate::words::words;
use leptos::prelude::*;
use std::future::{Future, ready};
use std::pin::Pin;

/// What makes a part's view.
pub type Make = fn() -> AnyView;

/// A part under way; nothing in the end where it could not be fetched.
pub type Fetching<T> = Pin<Box<dyn Future<Output = Option<T>>>>;

/// How parts are fetched.
#[derive(Clone, Copy)]
pub struct Fetch {
    pub view: fn(Part) -> Fetching<Make>,
    pub reading: fn() -> Fetching<Reading>,
}

/// For a page that is all in one file.
pub fn at_hand() -> Fetch {
    Fetch { view: view_at_hand, reading: || Box::pin(ready(Some(crate::reading::reading()))) }
}

macro_rules! parts {
    ($($part:ident by $name:ident: $view:expr;)+) => {
        /// A part of the page.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Part {
            $($part),+
        }

        $(
            pub fn $name() -> AnyView {
                $view.into_any()
            }
        )+

        fn view_at_hand(part: Part) -> Fetching<Make> {
            Box::pin(ready(Some(match part {
                $(Part::$part => $name),+
            })))
        }
    };
}

parts! {
    SetOut by set_out: view! { <crate::set_out::SetOut /> };
    RecipeDrawing by recipe_drawing: view! { <crate::drawing::RecipeDrawing /> };
    MouldDrawing by mould_drawing: view! { <crate::drawing::MouldDrawing /> };
    Ribs by ribs: view! { <crate::ribs::Ribs /> };
    Edge by edge: view! { <crate::edge::EdgeStep /> };
    Bench by bench: view! { <crate::bench::Bench /> };
    BenchLines by bench_lines: view! { <crate::drawing::BenchLines /> };
    CentreNumbers by centre_numbers: view! { <crate::drawing::CentreNumbers /> };
    Teach by teach: view! { <crate::teach::Teach /> };
    Replay by replay: view! { <crate::teach::replay::ReplaySheet /> };
    Class by class: view! { <crate::teach::class::ClassSheet /> };
    Refusal by refusal: view! { <crate::refusal::Refusal /> };
    Arrival by arrival: view! { <crate::arrival::Preview /> };
}

#[derive(Clone, Copy)]
enum State {
    Coming,
    Here(Make),
    Missing,
}

/// The way to the parts, and those that were wanted and could not be fetched.
#[derive(Clone, Copy)]
pub struct Parts {
    fetch: Fetch,
    missing: RwSignal<Vec<Part>>,
    again: Trigger,
}

impl Parts {
    pub fn new(fetch: Fetch) -> Self {
        Parts { fetch, missing: RwSignal::new(Vec::new()), again: Trigger::new() }
    }

    pub fn reading(self) -> Fetching<Reading> {
        (self.fetch.reading)()
    }

    fn miss(self, part: Part) {
        self.missing.update(|missing| missing.push(part));
    }

    fn forget(self, part: Part) {
        self.missing.update(|missing| missing.retain(|other| *other != part));
    }
}

pub fn use_parts() -> Parts {
    expect_context::<Parts>()
}

/// Shows a part as soon as it is there, and until then what stands in its place.
#[component]
pub fn Later(part: Part, #[prop(optional)] meanwhile: ViewFn) -> impl IntoView {
    let parts = use_parts();
    let state = RwSignal::new(State::Coming);
    Effect::new(move |_| {
        parts.again.track();
        if !matches!(state.get_untracked(), State::Here(_)) {
            let fetching = (parts.fetch.view)(part);
            leptos::task::spawn_local(async move {
                // By then the place where it was wanted may be gone.
                state.try_set(fetching.await.map_or(State::Missing, State::Here));
            });
        }
    });
    Effect::new(move |_| {
        if matches!(state.get(), State::Missing) {
            parts.miss(part);
        }
    });
    on_cleanup(move || parts.forget(part));
    move || match state.get() {
        State::Here(make) => make(),
        State::Coming | State::Missing => meanwhile.run(),
    }
}

/// Says that a part could not be fetched, while it is wanted. Nothing that was entered depends on it.
#[component]
pub fn MissingParts() -> impl IntoView {
    let parts = use_parts();
    let words = words();
    view! {
        <When holds=move || parts.missing.with(|missing| !missing.is_empty())>
            <div class="notice" role="alert" data-test="error-part">
                <p>{words.part_missing}</p>
                <button
                    type="button"
                    class="slight"
                    data-test="fetch-again"
                    on:click=move |_| {
                        parts.missing.set(Vec::new());
                        parts.again.notify();
                    }
                >
                    {words.fetch_again}
                </button>
            </div>
        </When>
    }
}
