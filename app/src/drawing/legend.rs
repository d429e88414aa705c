use super::ribbon::{Grade, exaggeration};
use super::view::use_view;
use crate::controls::When;
use crate::results::use_results;
use crate::showing::{Layer, use_showing};
use crate::words::words;
use leptos::prelude::*;

/// How to read the ribbon, and how many times as wide it is drawn.
#[component]
pub fn Legend() -> impl IntoView {
    let results = use_results();
    let recipe_drawn = use_view().recipe_drawn;
    let ribbon = use_showing().layer(Layer::Ribbon);
    let times = Memo::new(move |_| results.with_shown(exaggeration).unwrap_or(1.0));
    let of_ribs = Memo::new(move |_| results.with_shown(|shown| shown.overhang.is_of_ribs()) != Some(false));
    let swatches = || {
        [Grade::Full, Grade::Even, Grade::Thin]
            .map(|grade| {
                let mark = match grade {
                    Grade::Thin | Grade::RatherThin => {
                        Some("M-2 6l8 -8M2 10l10 -10M6 14l10 -10M10 18l10 -10M14 22l10 -10")
                    }
                    Grade::Full | Grade::RatherFull => {
                        Some("M4 3.5h0M10 3.5h0M16 3.5h0M22 3.5h0M4 9h0M10 9h0M16 9h0M22 9h0")
                    }
                    Grade::Even => None,
                };
                view! {
                    <li>
                        <svg class="swatch" viewBox="0 0 26 12" aria-hidden="true">
                            <rect class=format!("ribbon {}", grade.class()) width="26" height="12" />
                            {mark.map(|d| view! { <path class=format!("mark-{}", grade.class()) d=d /> })}
                        </svg>
                        <span>{(words().drawing.grade)(grade)}</span>
                    </li>
                }
            })
            .collect_view()
    };
    view! {
        <When holds=move || ribbon.get() && !recipe_drawn.get()>
            <div class="legend">
                <p>{move || (words().drawing.exaggerated)(of_ribs.get(), times.get())}</p>
                <ul>{swatches()}</ul>
            </div>
        </When>
    }
}
