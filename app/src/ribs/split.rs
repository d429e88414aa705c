//! Straighten and split: the centreline, and where one run ends and the next begins, as they are found, and put right by hand.

use crate::controls::{When, press};
use crate::results::use_results;
use crate::showing::{Thing, use_showing};
use crate::store::{Change, PinName, use_store};
use crate::words::words;
use kurbo::Point;
use leptos::prelude::*;
use ribline_geometry::outline::Corner;
use ribline_geometry::reconcile::Parting;
use ribline_geometry::reconcile::report::PointReport;
use ribline_geometry::trace::Pins;

/// Pins that are put on a found centreline stand so far from the ends of the plate: in the end blocks, mm.
const IN_THE_BLOCK: f64 = 10.0;

#[component]
pub fn StraightenAndSplit() -> impl IntoView {
    let words = words().split();
    let corners = Corner::ALL.map(|corner| view! { <AtCorner corner /> }).collect_view();
    view! {
        <section class="split">
            <h2>{words.title}</h2>
            <p class="note">{words.note}</p>
            <CentrelineFrom />
            <ul class="partings">{corners}</ul>
            <Naming />
        </section>
    }
}

/// What the centreline rests on.
#[component]
fn CentrelineFrom() -> impl IntoView {
    let (store, present) = (use_store(), use_results().present());
    let pins = store.part(|project| project.trace.pins);
    let count = Signal::derive(move || {
        pins.with(|p| usize::from(p.lower.is_some()) + usize::from(p.upper.is_some()))
    });
    let of_offsets = store.part(|project| project.trace.is_of_offsets());
    let some = Signal::derive(move || count.get() > 0);
    let lacking = Signal::derive(move || count.get() < 2 && present.with(Option::is_some));
    let set = move || {
        let Some(result) = present.get_untracked() else { return };
        let (frame, bounds) = (result.frame, result.edge.outline.bounds());
        let there = pins.get_untracked();
        let on_centreline = |y: f64| Some(frame.to_given(Point::new(0.0, y)));
        store.change(Change::Pins(Pins {
            lower: there.lower.or_else(|| on_centreline(bounds.y0 + IN_THE_BLOCK)),
            upper: there.upper.or_else(|| on_centreline(bounds.y1 - IN_THE_BLOCK)),
        }));
    };
    let showing = use_showing();
    let look_at = move |pin: PinName| showing.pick(Some(Thing::Pin(pin)));
    let words = words().split();
    view! {
        <p data-test="centreline-from">{move || (words.centreline)(count.get(), of_offsets.get())}</p>
        <div class="actions">
            <When holds=lacking>{press("set-pins", words.set_pins, set).view()}</When>
            <When holds=some>
                {press("show-pin", words.show_pin, move || look_at(PinName::Lower)).view()}
                {press("no-pins", words.no_pins, move || store.change(Change::Pins(Pins::default()))).view()}
            </When>
        </div>
    }
}

/// Between which points the runs part at a corner, and giving one more to either.
#[component]
fn AtCorner(corner: Corner) -> impl IntoView {
    let (store, present, showing) = (use_store(), use_results().present(), use_showing());
    let parting = Memo::new(move |_| present.with(|result| result.as_ref()?.parting(corner)));
    let there = Signal::derive(move || parting.with(Option::is_some));
    let words = words().split();
    let told = move || {
        parting
            .get()
            .map_or(String::new(), |Parting { outer, waist }| (words.parting)(corner, outer.line, waist.line))
    };
    let give = move |from: fn(&Parting) -> PointReport, to: fn(&Parting) -> PointReport| {
        let Some(parting) = parting.get_untracked() else { return };
        let (given, run) = (from(&parting), to(&parting).run);
        showing.pick(Some(Thing::Point(given.index)));
        store.change(Change::NamePoints(vec![(given.index, run)]));
    };
    let label = move |text: &'static str| (words.at_corner)(corner, text);
    view! {
        <When holds=there>
            <li data-test=format!("parting-{corner}")>
                <span>{told}</span>
                <span class="actions">
                    {press(format!("more-outer-{corner}"), (words.more_outer)(corner), move || give(|p| p.waist, |p| p.outer))
                        .titled(label((words.more_outer)(corner)))
                        .view()}
                    {press(format!("more-waist-{corner}"), words.more_waist, move || give(|p| p.outer, |p| p.waist))
                        .titled(label(words.more_waist))
                        .view()}
                </span>
            </li>
        </When>
    }
}

/// All points at once: kept on the runs on which they were found, or left to the shape.
#[component]
fn Naming() -> impl IntoView {
    let (store, present) = (use_store(), use_results().present());
    let named = store.part(|project| {
        let named = project.trace.points.iter().filter(|point| point.run.is_some()).count();
        (named, project.trace.points.len())
    });
    let some = Signal::derive(move || named.get().0 > 0);
    let lacking = Signal::derive(move || named.get().0 < named.get().1 && present.with(Option::is_some));
    let keep = move || {
        if let Some(result) = present.get_untracked() {
            let found = result.points.iter().map(|point| (point.index, point.run));
            store.change(Change::NamePoints(found.filter(|(_, run)| run.is_some()).collect()));
        }
    };
    let leave = move || {
        let count = named.get_untracked().1;
        store.change(Change::NamePoints((0..count).map(|index| (index, None)).collect()));
    };
    let words = words().split();
    view! {
        <p data-test="named">{move || (words.named)(named.get().0, named.get().1)}</p>
        <div class="actions">
            <When holds=lacking>{press("keep-runs", words.keep, keep).view()}</When>
            <When holds=some>{press("leave-runs", words.leave, leave).view()}</When>
        </div>
    }
}
