use crate::controls::{Choice, place_of};
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::reconcile::{Finish, Radii};

const FINISHES: [Finish; 3] = [Finish::Ratio, Finish::Fitted, Finish::Recipe];

/// How the arcs are finished, and whether both sides are struck with one setting.
#[component]
pub fn FinishChoice() -> impl IntoView {
    let store = use_store();
    let finish = store.part(|project| project.wish.finish);
    let radii = store.part(|project| project.wish.radii);
    let extra = store.part(|project| project.wish.extra_arcs);
    let words = words().edge();
    let meaning = move || match finish.get() {
        Finish::Ratio => words.by_ratio_meaning,
        Finish::Fitted => words.fitted_meaning,
        Finish::Recipe => words.as_recipe_meaning,
    };
    view! {
        <Choice
            legend=words.finish
            test="finish"
            options=vec![
                ("ratio", words.by_ratio),
                ("fitted", words.fitted),
                ("recipe", words.as_recipe),
            ]
            chosen=Signal::derive(move || place_of(&FINISHES, finish.get()))
            on_change=Callback::new(move |place: usize| store.change(Change::Finish(FINISHES[place])))
            meaning=Signal::derive(meaning)
        />
        <div class="toggles">
            <label class="toggle">
                <input
                    type="checkbox"
                    data-test="shared-radii"
                    prop:checked=move || radii.get() == Radii::Shared
                    on:change=move |event| {
                        let shared = event_target_checked(&event);
                        store.change(Change::Radii(if shared { Radii::Shared } else { Radii::EachSide }));
                    }
                />
                <span>{words.shared_radii}</span>
            </label>
            <label class="toggle">
                <input
                    type="checkbox"
                    data-test="extra-arcs"
                    prop:checked=move || extra.get()
                    on:change=move |event| store.change(Change::ExtraArcs(event_target_checked(&event)))
                />
                <span>{words.extra_arcs}</span>
            </label>
        </div>
    }
}
