use crate::number::figure;
use crate::results::use_results;
use crate::showing::{ArcName, Thing, use_showing};
use crate::words::words;
use leptos::prelude::*;

/// Every arc of the edge: the compass setting, the ratio it is read as, where the compass point stands.
#[component]
pub fn ArcTable() -> impl IntoView {
    let results = use_results();
    let names = Memo::new(move |_| {
        results
            .with_shown(|shown| {
                shown.arcs.iter().map(|arc| ArcName { run: arc.run, piece: arc.piece }).collect::<Vec<_>>()
            })
            .unwrap_or_default()
    });
    let words = &words().edge;
    let origin = move || match results.with_shown(|shown| shown.pins.lower.is_some()) {
        Some(false) => words.from_bottom,
        _ => words.from_pin,
    };
    view! {
        <section>
            <h2>{words.arcs}</h2>
            <p class="note">{move || origin()} " " {words.chance_note}</p>
            <div class="wide-table">
                <table class="figures" data-test="arc-table">
                    <thead>
                        <tr>
                            <td class="over" colspan="5"></td>
                            <th class="over" scope="colgroup" colspan="2">{words.centre}</th>
                            <td class="over"></td>
                        </tr>
                        <tr>
                            <th scope="col">{words.arc}</th>
                            <th scope="col" class="number">{words.radius}</th>
                            <th scope="col" class="number">{words.sd}</th>
                            <th scope="col">{words.ratio}</th>
                            <th scope="col" class="number">{words.chance}</th>
                            <th scope="col" class="number">{words.up}</th>
                            <th scope="col" class="number">{words.across}</th>
                            <th scope="col" class="number">{words.sweep}</th>
                        </tr>
                    </thead>
                    <tbody>
                        <For each=move || names.get() key=|name| *name let:name>
                            <ArcRow name />
                        </For>
                    </tbody>
                </table>
            </div>
        </section>
    }
}

#[component]
fn ArcRow(name: ArcName) -> impl IntoView {
    let results = use_results();
    let showing = use_showing();
    let thing = Thing::Arc(name);
    let pointed = showing.is_pointed(thing);
    let arc = Memo::new(move |_| {
        results
            .with_shown(|shown| {
                shown.arcs.iter().find(|a| a.run == name.run && a.piece == name.piece).cloned()
            })
            .flatten()
    });
    let of = move |decimals: usize, what: fn(&ribline_geometry::reconcile::report::EdgeArc) -> f64| {
        arc.with(|arc| arc.as_ref().map(|arc| figure(what(arc), decimals)))
    };
    let reading = move || {
        arc.with(|arc| {
            arc.as_ref().and_then(|arc| arc.reading.as_ref()).map(|reading| {
                if reading.held { reading.to_string() } else { (words().edge.near)(&reading.to_string()) }
            })
        })
    };
    let chance = move || {
        arc.with(|arc| {
            arc.as_ref()
                .and_then(|arc| arc.reading.as_ref())
                .map(|reading| (words().edge.chance_figure)(reading.chance))
        })
    };
    view! {
        <tr
            class:pointed=move || pointed.get()
            data-test="arc-row"
            on:pointerenter=move |_| showing.hover(thing)
            on:pointerleave=move |_| showing.leave(thing)
        >
            <th scope="row">
                <button
                    type="button"
                    class="row-name"
                    class:second-ink=name.piece % 2 == 1
                    on:click=move |_| showing.pick(Some(thing))
                    on:focus=move |_| showing.pick(Some(thing))
                >
                    {(words().readout.arc_name)(name.run, name.piece)}
                </button>
            </th>
            <td class="number">{move || of(1, |arc| arc.arc.radius)}</td>
            <td class="number">{move || of(1, |arc| arc.radius_sd)}</td>
            <td class="nowrap">{move || reading()}</td>
            <td class="number nowrap">{move || chance()}</td>
            <td class="number">{move || of(1, |arc| arc.arc.centre.y)}</td>
            <td class="number">{move || of(1, |arc| arc.arc.centre.x)}</td>
            <td class="number">{move || of(1, |arc| arc.arc.sweep.abs().to_degrees())}</td>
        </tr>
    }
}
