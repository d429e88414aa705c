use crate::number::{difference, figure};
use crate::results::use_results;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::reconcile::report::FoundMeasure;

/// The length and widths as these ribs have them, against the recipe.
#[component]
pub fn MeasureTable() -> impl IntoView {
    let results = use_results();
    let measures = Memo::new(move |_| results.with_shown(|shown| shown.measures.clone()).unwrap_or_default());
    let count = Memo::new(move |_| measures.with(Vec::len));
    let words = &words().edge;
    view! {
        <section>
            <h2>{words.measures}</h2>
            <div class="wide-table">
                <table class="figures" data-test="measure-table">
                    <thead>
                        <tr>
                            <th scope="col">{words.measure}</th>
                            <th scope="col" class="number">{words.found}</th>
                            <th scope="col" class="number">{words.sd}</th>
                            <th scope="col" class="number">{words.planned}</th>
                            <th scope="col" class="number">{words.difference}</th>
                            <th scope="col">{words.ratio}</th>
                            <th scope="col" class="number">{words.chance}</th>
                        </tr>
                    </thead>
                    <tbody>
                        <For each=move || 0..count.get() key=|place| *place let:place>
                            <MeasureRow measures place />
                        </For>
                    </tbody>
                </table>
            </div>
        </section>
    }
}

#[component]
fn MeasureRow(measures: Memo<Vec<FoundMeasure>>, place: usize) -> impl IntoView {
    let measure = Memo::new(move |_| measures.with(|all| all.get(place).cloned()));
    let of = move |what: fn(&FoundMeasure) -> String| measure.with(|m| m.as_ref().map(what));
    view! {
        <tr>
            <th scope="row">
                {move || of(|m| m.title.clone())} "\u{00A0}" <span class="letter">{move || of(|m| m.name.clone())}</span>
            </th>
            <td class="number">{move || of(|m| figure(m.found, 1))}</td>
            <td class="number">{move || of(|m| figure(m.sd, 2))}</td>
            <td class="number">{move || of(|m| figure(m.planned, 1))}</td>
            <td class="number">{move || of(|m| difference(m.found - m.planned, 1))}</td>
            <td class="nowrap">{move || of(|m| m.reading.as_ref().map(ToString::to_string).unwrap_or_default())}</td>
            <td class="number nowrap">
                {move || of(|m| m.reading.as_ref().map(|r| (words().edge.chance_figure)(r.chance)).unwrap_or_default())}
            </td>
        </tr>
    }
}
