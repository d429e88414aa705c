use crate::controls::When;
use crate::number::{entered, figure};
use crate::results::use_results;
use crate::showing::{Thing, use_showing};
use crate::store::{Change, use_store};
use crate::words::{sentence_of, words};
use leptos::prelude::*;
use ribline_geometry::outline::Side;
use ribline_geometry::reconcile::report::{Judged, PointReport, Reconciled, Warning};

/// What came of it, in words first: read out when it changes.
#[component]
pub fn Report() -> impl IntoView {
    let results = use_results();
    let sentence = Memo::new(move |_| results.with_shown(in_a_sentence).unwrap_or_default());
    let closer = Memo::new(move |_| results.with_shown(in_figures).unwrap_or_default());
    let warnings = Memo::new(move |_| results.with_shown(remarks).unwrap_or_default());
    let words = words().edge();
    let items = move || {
        warnings
            .get()
            .into_iter()
            .map(|(text, points)| {
                let named = |line| if points[1].is_some() { (words.of_line)(line) } else { String::new() };
                let of_point = |(index, line)| view! { <PutRight index named=named(line) /> };
                view! { <li>{text} {points[0].map(of_point)} {points[1].map(of_point)}</li> }
            })
            .collect_view()
    };
    view! {
        <section class="report" data-test="report">
            <p class="summary" aria-live="polite">{sentence}</p>
            <p class="note figures">{closer}</p>
            <When holds=move || !warnings.with(Vec::is_empty)>
                <h2>{words.look_at}</h2>
                <ul class="warnings" data-test="warnings">
                    {move || items()}
                </ul>
            </When>
        </section>
    }
}

/// Shows the point in the drawing, or takes it out of the trace; named where it is one of several.
#[component]
fn PutRight(index: usize, named: String) -> impl IntoView {
    let store = use_store();
    let showing = use_showing();
    let words = words().edge();
    view! {
        <span class="actions">
            {named}
            <button
                type="button"
                class="slight"
                data-test="show-point"
                on:click=move |_| showing.pick(Some(Thing::Point(index)))
            >
                {words.show_point}
            </button>
            <button
                type="button"
                class="slight"
                data-test="drop-point"
                on:click=move |_| store.change(Change::RemovePoint(index))
            >
                {words.remove_point}
            </button>
        </span>
    }
}

fn in_a_sentence(shown: &Reconciled) -> String {
    let words = words().edge();
    let overhang = &shown.overhang;
    // Evened out over neighbouring points, as the ribbon is: single points are as much the tracing as the ribs.
    let along = overhang.samples.iter().map(|sample| sample.overhang);
    let (least, most) = along.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, m), mm| (l.min(mm), m.max(mm)));
    let (least, most) = if least <= most { (least, most) } else { (overhang.min, overhang.max) };
    let range = (words.overhang_range)(overhang.traced, &figure(least, 1), &figure(most, 1));
    match overhang.stretches.first() {
        Some(worst) => format!("{range}{}", (words.and_worst)(worst, overhang.stretches.len() - 1)),
        None => format!("{range}{}", (words.all_within)(&entered(overhang.all_within(), 2))),
    }
}

fn in_figures(shown: &Reconciled) -> String {
    let overhang = &shown.overhang;
    (words().edge().closer)(
        &figure(overhang.min, 1),
        &figure(overhang.max, 1),
        &figure(overhang.mean, 2),
        &figure(overhang.rms_deviation, 2),
        &figure(shown.trace_sd, 2),
    )
}

/// A traced point that a remark is about: its place in the trace and its line.
type Named = (usize, usize);

/// What to look at, and the points that it is about: the result's own warnings, and every point left out that none of them names.
fn remarks(shown: &Reconciled) -> Vec<(String, [Option<Named>; 2])> {
    // A line of an offsets table is that of two points, one on either side.
    let named = |line: usize, is_it: &dyn Fn(&PointReport) -> bool| {
        Some((shown.points.iter().find(|p| p.line == line && is_it(p))?.index, line))
    };
    let on = |line, side| named(line, &|p| p.run.is_some_and(|run| run.side == side));
    let mut remarks = Vec::new();
    for warning in &shown.warnings {
        let points = match warning {
            Warning::LeftOut { line, .. } => [named(*line, &|p| p.judged == Judged::LeftOut), None],
            Warning::SidesPart { left, right, .. } => [on(*left, Side::Left), on(*right, Side::Right)],
            _ => [None; 2],
        };
        remarks.push((sentence_of(warning), points));
    }
    for point in shown.points.iter().filter(|point| point.judged == Judged::LeftOut) {
        let named = Some((point.index, point.line));
        if !remarks.iter().any(|(_, points)| points.contains(&named)) {
            let text = (words().edge().left_out)(point.line, &figure(point.overhang, 1));
            remarks.push((text, [named, None]));
        }
    }
    remarks
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::example::example;
    use ribline_geometry::outline::Bout;
    use ribline_geometry::reconcile::reconcile;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn of_two_points_of_one_line_of_an_offsets_table_the_one_that_is_meant_is_shown() {
        let example = example();
        let mut shown = reconcile(&example.trace, &example.recipe, &example.wish).expect("it reconciles");
        let left_out = shown.points.iter().find(|p| p.judged == Judged::LeftOut).expect("one left out").index;
        let on = |shown: &Reconciled, side| {
            let at = |p: &&PointReport| p.judged == Judged::Kept && p.run.is_some_and(|run| run.side == side);
            shown.points.iter().find(at).expect("a point of that side").index
        };
        let (left, right) = (on(&shown, Side::Left), on(&shown, Side::Right));
        shown.points.iter_mut().for_each(|point| point.line = 7);
        let (bout, corners) = (Bout::Upper, Bout::Upper);
        shown.warnings = vec![
            Warning::LeftOut { line: 7, by: 4.0 },
            Warning::SidesPart { bout, corners, left: 7, right: 7, by: 4.0 },
        ];
        let points: Vec<_> = remarks(&shown).into_iter().map(|(_, points)| points).collect();
        assert_eq!(points, [[Some((left_out, 7)), None], [Some((left, 7)), Some((right, 7))]]);
    }
}
