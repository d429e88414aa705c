use crate::bench::field::field;
use crate::controls::press;
use crate::number::figure;
use crate::store::{BenchChange, Change, use_store};
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::bench::print::wish::BAR;
use ribline_geometry::bench::setting::BenchSetting;

/// What the bars measure, and what that does to the next print.
#[component]
pub fn Correction() -> impl IntoView {
    let store = use_store();
    let print = store.part(|project| project.bench_wish().print);
    let true_already = Memo::new(move |_| print.get().measured == [BAR; 2]);
    let words = &words().bench().print;
    let told = move || {
        if true_already.get() {
            words.no_correction.to_owned()
        } else {
            let [across, up] = print.get().correction();
            (words.correction)(&figure(across, 4), &figure(up, 4))
        }
    };
    let back = move || store.change(Change::Bench(BenchChange::AsPrinted));
    view! {
        <div class="row">
            {field(BenchSetting::MeasuredAcross, 2)}
            {field(BenchSetting::MeasuredUp, 2)}
        </div>
        <p class="correction" class:corrected=move || !true_already.get() data-test="correction" aria-live="polite">
            {told}
        </p>
        {press("as-printed", words.as_printed, back).class("slight").disabled(true_already.into()).view()}
    }
}
