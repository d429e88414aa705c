use crate::controls::{NumberField, When};
use crate::number::Within;
use crate::store::{Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::outline::Bout;
use ribline_geometry::reconcile::Traced;

/// From ribs flush with the edge to more than any cello has, in mm.
const OVERHANG: Within = Within::new(0.0, 15.0);
/// Closer than a scriber's point nothing can be held; wider than this it is no overhang any more. In mm.
const TOLERANCE: Within = Within::new(0.05, 3.0);

/// The overhang wanted in each bout, and how far it may leave it.
#[component]
pub fn OverhangFields() -> impl IntoView {
    let store = use_store();
    let overhang = store.part(|project| project.wish.overhang);
    let tolerance = store.part(|project| project.wish.tolerance);
    let traced = store.part(|project| project.wish.traced);
    let words = words().edge();
    // From the top down, as the plate stands in the drawing.
    let bouts =
        [(Bout::Upper, "overhang-upper"), (Bout::Waist, "overhang-waist"), (Bout::Lower, "overhang-lower")]
            .map(|(bout, test)| {
                view! {
                    <NumberField
                        label=(words.bout_name)(bout)
                        unit="mm"
                        test=test
                        unit_hidden=true
                    value=Signal::derive(move || overhang.get().at(bout))
                        within=OVERHANG
                        on_change=move |mm| store.change(Change::Overhang(bout, mm))
                    />
                }
            })
            .collect_view();
    view! {
        <fieldset class="overhang">
            <legend>{words.overhang_wanted}</legend>
            <div class="row">
                {bouts}
                <NumberField
                    label=words.tolerance
                    unit="mm"
                    test="tolerance"
                    unit_hidden=true
                    value=tolerance
                    within=TOLERANCE
                    on_change=move |mm| store.change(Change::Tolerance(mm))
                />
            </div>
            <When holds=move || traced.get() != Traced::Ribs>
                <p class="note">{words.overhang_not_used}</p>
            </When>
        </fieldset>
    }
}
