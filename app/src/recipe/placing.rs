use super::composing::{Picking, placing_of, use_composing};
use super::picker::Picker;
use crate::controls::{Select, press};
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::recipe::{Placing, PlacingKind, Slot, TouchFrom, Toward};

/// What a step's circle is placed by, and which of two possible centres is meant.
#[component]
pub fn PlacingFields(k: usize) -> impl IntoView {
    let composing = use_composing();
    let placing = use_results().told(move |recipe| placing_of(recipe, k).cloned());
    let kind = Memo::new(move |_| placing.with(|placing| placing.as_ref().map(Placing::kind)));
    let names = || PlacingKind::ALL.map(|kind| (words().recipe().kind)(kind).to_string()).to_vec();
    let place = move || PlacingKind::ALL.iter().position(|one| Some(*one) == kind.get());
    let choose = move |place: usize| {
        if let Some(kind) = PlacingKind::ALL.get(place) {
            composing.place(k, |recipe, placed| recipe.placed_by(k, placed, *kind));
        }
    };
    let slots = move || {
        let kind = kind.get()?;
        let fields = kind.slots().iter().map(|slot| slot_field(k, kind, *slot, placing)).collect_view();
        Some(fields.into_any())
    };
    view! {
        <Select label=words().recipe().placed test="placed" options=Signal::derive(names) chosen=Signal::derive(place) on_change=choose />
        <div class="slots">{move || slots()}</div>
        <WhichCentre k placing />
    }
}

fn slot_field(k: usize, kind: PlacingKind, slot: Slot, placing: Memo<Option<Placing>>) -> AnyView {
    let composing = use_composing();
    let chosen = move || {
        placing.with(|placing| placing.as_ref().and_then(|p| p.named(slot)).unwrap_or_default().to_string())
    };
    let from =
        Memo::new(move |_| placing.with(|placing| placing.as_ref().and_then(|p| p.touched_from(slot))));
    let test = match slot {
        Slot::Point => "slot-point",
        Slot::CrossLine => "slot-cross",
        Slot::One => "slot-one",
        Slot::Other => "slot-other",
    };
    let sides = (!slot.takes_a_point()).then(|| {
        let sides = [TouchFrom::Inside, TouchFrom::Outside].map(|side| {
            let key = if side == TouchFrom::Inside { "inside" } else { "outside" };
            let choose = move || {
                composing.place(k, |recipe, placed| recipe.with_a_side(k, placed.touching(slot, side)))
            };
            press(format!("{test}-{key}"), (words().recipe().from)(side), choose)
                .class("chip")
                .pressed(Signal::derive(move || from.get() == Some(side)))
                .view()
        });
        view! { <div class="chips">{sides.collect_view()}</div> }
    });
    view! {
        <div class="slot">
            <Picker
                label=(words().recipe().slot)(kind, slot)
                picking=Picking::Slot(k, slot)
                test
                chosen=Signal::derive(chosen)
                on_change=move |name: String| composing.name_in(k, slot, &name)
            />
            {sides}
        </div>
    }
    .into_any()
}

/// The two centres, by the side on which they lie; in the drawing both can be tapped.
#[component]
fn WhichCentre(k: usize, placing: Memo<Option<Placing>>) -> impl IntoView {
    let composing = use_composing();
    let both = use_results().told(move |recipe| recipe.centres(k).map(|both| both.map(|(lies, _)| lies)));
    let now = move || placing.with(|placing| placing.as_ref().and_then(Placing::lies));
    let buttons = move || {
        let both = both.get()?;
        let buttons = both.map(|lies| {
            let key = match lies {
                Toward::Neck => "neck",
                Toward::Bottom => "bottom",
                Toward::Out => "out",
                Toward::In => "in",
            };
            let choose = move || composing.place(k, |_, placed| placed.lying(lies));
            press(format!("lies-{key}"), (words().recipe().toward)(lies), choose)
                .class("chip")
                .pressed(Signal::derive(move || now() == Some(lies)))
                .view()
        });
        Some(
            view! {
                <fieldset>
                    <legend>{words().recipe().which}</legend>
                    <div class="chips">{buttons.collect_view()}</div>
                </fieldset>
            }
            .into_any(),
        )
    };
    move || buttons()
}
