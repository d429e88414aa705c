use super::composing::{Open, Picking, circles_of, use_composing};
use super::item::{Item, Sentence};
use super::picker::Picker;
use super::worked::use_faults;
use crate::controls::{Rows, Select, When, press};
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::Bout;
use ribline_geometry::recipe::Edit;
use ribline_geometry::recipe::error::Place;
use std::sync::Arc;

/// Which circles the line follows, run by run, and where the corners are.
#[component]
pub fn OutlineRuns() -> impl IntoView {
    let everything_wrong = use_faults();
    let recipe = use_results().recipe;
    let sentences = Memo::new(move |_| {
        recipe.with(|recipe| {
            everything_wrong.with(|faults| {
                let runs = Bout::ALL.into_iter().map(|bout| Sentence {
                    text: (words().recipe().run)(recipe, bout),
                    faulty: faults.iter().any(|fault| fault.bout() == Some(bout)),
                    ..Sentence::default()
                });
                runs.collect::<Vec<_>>()
            })
        })
    });
    let make = Arc::new(move |k: usize| {
        let bout = Bout::ALL.get(k).copied().unwrap_or(Bout::Lower);
        view! { <Item open=Open::Run(bout) sentences at=k editor=run_editor /> }.into_any()
    });
    view! {
        <section class="recipe-part">
            <h2>{words().recipe().outline}</h2>
            <ul class="items" data-test="runs">
                <Rows numbers=Signal::stored(vec![0, 1, 2]) make />
            </ul>
        </section>
    }
}

fn run_editor(k: usize) -> AnyView {
    let bout = Bout::ALL.get(k).copied().unwrap_or(Bout::Lower);
    let composing = use_composing();
    let everything_wrong = use_faults();
    let recipe = use_results().recipe;
    let circles = use_results().told(move |recipe| circles_of(recipe, bout).clone());
    let others = Memo::new(move |_| {
        recipe.with(|recipe| {
            let all = recipe.earlier(usize::MAX, false).into_iter().filter_map(|k| recipe.steps.get(k));
            all.map(|step| step.name.clone()).collect::<Vec<String>>()
        })
    });
    let faults = move || {
        let told = everything_wrong.with(|faults| {
            let here = faults
                .iter()
                .filter(|fault| fault.place() == Place::Outline && fault.bout().is_none_or(|b| b == bout));
            here.map(|fault| format!("{fault}.")).collect::<Vec<String>>()
        });
        told.into_iter().map(|text| view! { <p class="fault" data-test="fault">{text}</p> }).collect_view()
    };
    let without = move |at: usize| {
        let mut circles = circles.get_untracked();
        if at < circles.len() {
            circles.remove(at);
            composing.edit(Edit::Run(bout, circles));
        }
    };
    let chips = move || {
        let named = circles.get().into_iter().enumerate().map(|(at, name)| {
            let label = (words().recipe().remove_one)(&name);
            let remove = press("run-without", "\u{00D7}", move || without(at)).titled(label);
            view! { <li><span>{name}</span>{remove.view()}</li> }
        });
        named.collect_view()
    };
    let add = move |place: usize| {
        let name = others.with_untracked(|all| all.get(place.wrapping_sub(1)).cloned());
        if let Some(name) = name {
            let mut circles = circles.get_untracked();
            circles.push(name);
            composing.edit(Edit::Run(bout, circles));
        }
    };
    let options = move || {
        let first = std::iter::once(words().recipe().add_circle_to_run.to_string());
        first.chain(others.get()).collect::<Vec<String>>()
    };
    // Chosen anew after each circle that was added.
    let nothing_chosen = move || {
        circles.track();
        Some(0)
    };
    let tapping = Memo::new(move |_| composing.picking.get() == Some(Picking::Run(bout)));
    let toggle = move || composing.picking.set((!tapping.get_untracked()).then_some(Picking::Run(bout)));
    let corner = (bout != Bout::Waist).then(|| {
        let chosen = move || {
            recipe.with(|recipe| match bout {
                Bout::Upper => recipe.plan.upper_corner.clone(),
                Bout::Lower | Bout::Waist => recipe.plan.lower_corner.clone(),
            })
        };
        view! {
            <Picker
                label=(words().recipe().corner_point)(bout)
                picking=Picking::Corner(bout)
                test="corner-point"
                chosen=Signal::derive(chosen)
                on_change=move |name: String| {
                    composing.edit(Edit::Corner(bout, name));
                }
            />
        }
    });
    let words = words().recipe();
    let label = move || if tapping.get() { words.done } else { words.tap_circles };
    let tap = press("tap-circles", "", toggle)
        .labelled(Signal::derive(move || label().to_string()))
        .pressed(tapping.into())
        .view();
    view! {
        {move || faults()}
        <p class="trouble" role="alert">{move || composing.refusal.get()}</p>
        <p class="note">{(words.run_of)(bout)}</p>
        <ol class="run-circles">{move || chips()}</ol>
        <div class="actions">
            {tap}
            <Select
                label=words.add_circle_to_run
                label_hidden=true
                test="run-add"
                options=Signal::derive(options)
                chosen=Signal::derive(nothing_chosen)
                on_change=add
            />
        </div>
        <When holds=tapping>
            <p class="note" role="status">{words.tap_circles_note}</p>
        </When>
        {corner}
    }
    .into_any()
}
