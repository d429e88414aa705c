//! Before scribing: the proportions as the ribs stand, and what brings them to those that the recipe allows.

use super::kept::{self, KeptMeasures};
use crate::controls::NumberField;
use crate::number::{Within, entered, figure};
use crate::words::capture::words;
use leptos::prelude::*;
use ribline_geometry::capture::before_scribing::{Halves, Measured, Proposal, before_scribing, gives};
use ribline_geometry::outline::{Bout, Run, Side};
use ribline_geometry::project::Project;
use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::Dimension;

const LENGTH: Within = Within::new(100.0, 1500.0);
const HALF: Within = Within::new(15.0, 500.0);
const OFF: Within = Within::new(-60.0, 60.0);
const GIVES: Within = Within::new(0.0, 10.0);
/// Proposals that are shown.
const SHOWN: usize = 6;
/// Less than this, mm, nobody eases.
const NOTHING: f64 = 0.05;

#[component]
pub fn BeforeScribing(project: Project) -> impl IntoView {
    let overhang = project.wish.overhang;
    let drawn = project.recipe.evaluate().ok();
    let dimension = |of, whole: f64| drawn.as_ref().map_or(whole, |drawn| drawn.dimension(of));
    let tenth = |mm: f64| (mm * 10.0).round() / 10.0;
    let half = |of, whole, bout| {
        let half = tenth(dimension(of, whole) / 2.0 - overhang.at(bout));
        Halves { left: half, right: half }
    };
    let length = dimension(Dimension::BodyLength, 355.0);
    let kept = kept::measures(&project.recipe);
    let measured = RwSignal::new(kept.as_ref().map_or(
        Measured {
            length: tenth(length - overhang.lower - overhang.upper),
            lower: half(Dimension::LowerWidth, 206.0, Bout::Lower),
            waist: half(Dimension::WaistWidth, 112.0, Bout::Waist),
            upper: half(Dimension::UpperWidth, 168.0, Bout::Upper),
            neck_off: 0.0,
        },
        |kept| kept.measured,
    ));
    let most = RwSignal::new(kept.map_or(gives(length), |kept| kept.gives));
    let recipe = StoredValue::new(project.recipe);
    let no_room = RwSignal::new(false);
    Effect::new(move |before: Option<(Measured, f64)>| {
        let now = (measured.get(), most.get());
        // What was merely proposed takes the place of nothing that was measured by another recipe.
        if before.is_some_and(|before| before != now) {
            let (measured, gives) = now;
            no_room.set(!kept::keep_measures(KeptMeasures { recipe: recipe.get_value(), measured, gives }));
        }
        now
    });
    let found = Memo::new(move |_| {
        recipe.with_value(|recipe| {
            before_scribing(&measured.get(), recipe, overhang).map_err(|e| e.to_string())
        })
    });
    let words = &words().before;
    let halves = move |bout: Bout, side: Side| {
        let name = match (bout, side) {
            (Bout::Lower, Side::Left) => "before-lower-left",
            (Bout::Lower, Side::Right) => "before-lower-right",
            (Bout::Waist, Side::Left) => "before-waist-left",
            (Bout::Waist, Side::Right) => "before-waist-right",
            (Bout::Upper, Side::Left) => "before-upper-left",
            (Bout::Upper, Side::Right) => "before-upper-right",
        };
        view! {
            <NumberField label=(words.half)(bout, side) unit="mm" test=name within=HALF
                value=Signal::derive(move || measured.get().bout(bout).on(side))
                on_change=move |mm| measured.update(|m| {
                    let halves = match bout {
                        Bout::Lower => &mut m.lower,
                        Bout::Waist => &mut m.waist,
                        Bout::Upper => &mut m.upper,
                    };
                    match side {
                        Side::Left => halves.left = mm,
                        Side::Right => halves.right = mm,
                    }
                }) />
        }
    };
    let fields = [Bout::Upper, Bout::Waist, Bout::Lower]
        .into_iter()
        .flat_map(|bout| Side::BOTH.map(|side| halves(bout, side)))
        .collect_view();
    let trouble = move || found.get().err();
    let turn = move || {
        let Ok(found) = found.get() else { return String::new() };
        let off = measured.get().neck_off;
        if off.abs() < NOTHING {
            return words.no_turn.to_owned();
        }
        (words.turn)(&figure(found.turn.to_degrees().abs(), 2), &entered(off.abs(), 1), off > 0.0)
    };
    let standing = move || {
        let Ok(found) = found.get() else { return Vec::new() };
        let told = |s: &ribline_geometry::capture::before_scribing::Standing| {
            let nearest = nearest(s.quotient);
            let (width, quotient) = (figure(s.width, 1), figure(s.quotient, 3));
            (words.standing)(&s.title, &s.of, &width, &quotient, nearest.as_deref(), &s.planned.to_string())
        };
        found.standing.iter().map(|s| view! { <li>{told(s)}</li> }).collect_view()
    };
    let of_plate = move || found.get().ok().map(|found| (words.of_plate)(&figure(found.body_length, 1)));
    let choices = move || {
        let Ok(found) = found.get() else { return Vec::new() };
        let own = found.proposals.iter().position(|p| p.chosen.iter().all(|c| c.planned));
        let shown = (0..found.proposals.len().min(SHOWN)).chain(own.filter(|own| *own >= SHOWN));
        shown.map(|k| one_choice(&found.proposals[k], k == 0, most.get())).collect::<Vec<_>>()
    };
    view! {
        <div class="sheet-bench">
            <div class="panel">
                <p class="lead">{words.lead}</p>
                <NumberField label=words.length unit="mm" test="before-length" within=LENGTH
                    value=Signal::derive(move || measured.get().length)
                    on_change=move |mm| measured.update(|m| m.length = mm) />
                <div class="pair">{fields}</div>
                <NumberField label=words.neck_off unit="mm" test="before-neck-off" within=OFF
                    value=Signal::derive(move || measured.get().neck_off)
                    on_change=move |mm| measured.update(|m| m.neck_off = mm) />
                <p class="note">{words.neck_note}</p>
                <NumberField label=words.gives unit="mm" test="before-gives" within=GIVES value=most
                    on_change=move |mm| most.set(mm) />
                <p class="trouble" aria-live="polite">{move || if no_room.get() { words.no_room } else { "" }}</p>
            </div>
            <div class="panel outcome">
                <p class="trouble" data-test="error-before" aria-live="polite">{trouble}</p>
                <p data-test="before-turn" aria-live="polite">{turn}</p>
                <h2>{words.stands}</h2>
                <p class="note" data-test="before-plate" aria-live="polite">{of_plate}</p>
                <ul data-test="before-standing">{standing}</ul>
                <h2>{words.choices}</h2>
                {choices}
            </div>
        </div>
    }
}

/// The simplest ratio that is no further off than half a hundredth, where there is one.
fn nearest(quotient: f64) -> Option<String> {
    let near = Ratio::simple_between(quotient * 0.995, quotient * 1.005, 24);
    near.first().map(ToString::to_string)
}

fn one_choice(proposal: &Proposal, least: bool, gives: f64) -> AnyView {
    let words = &words().before;
    let ratios: Vec<String> =
        proposal.chosen.iter().map(|c| (words.ratio)(&c.title, &c.ratio.to_string(), &c.of)).collect();
    let own = proposal.chosen.iter().all(|c| c.planned);
    let strained = proposal.strained(gives);
    let cell = |bout: Bout, side: Side| {
        let mm = proposal.ease[bout as usize][side as usize];
        let text = if mm.abs() < NOTHING {
            words.stays.to_owned()
        } else if mm > 0.0 {
            (words.outward)(&figure(mm, 1))
        } else {
            (words.inward)(&figure(-mm, 1))
        };
        view! { <td class="number" class:strained=strained.contains(&Run { bout, side })>{text}</td> }
    };
    let rows = [Bout::Upper, Bout::Waist, Bout::Lower]
        .map(|bout| {
            view! {
                <tr>
                    {cell(bout, Side::Left)}
                    <th scope="row">{(words.run)(bout, Side::Left).split(',').next().unwrap_or_default().to_owned()}</th>
                    {cell(bout, Side::Right)}
                </tr>
            }
        })
        .into_iter()
        .collect_view();
    view! {
        <article class="choice-card" class:least=least data-test="before-choice">
            <h3>{(words.choice)(&ratios.join(", "), own)}</h3>
            <table class="figures">{rows}</table>
            <p class="note">{(words.total)(&figure(proposal.total_to_the_tenth(), 1))}" \u{00B7} "{(words.strained)(strained.len(), &entered(gives, 2))}</p>
        </article>
    }
    .into_any()
}
