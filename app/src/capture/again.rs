//! The ribs traced again later: this project's result over that of one saved earlier, and where they differ.

use crate::controls::{Choice, FilePicker, press};
use crate::drawing::path::outline_path;
use crate::number::{difference, figure};
use crate::words::capture::words;
use kurbo::Affine;
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::capture::{Retraced, retraced, traced_line};
use ribline_geometry::outline::Corner;
use ribline_geometry::project::{FILE_LIMIT, Project};
use ribline_geometry::reconcile::report::Reconciled;
use wasm_bindgen_futures::JsFuture;
use web_sys::File;

/// Both results, and how they differ.
#[derive(Clone, PartialEq)]
struct Laid {
    before: Reconciled,
    now: Reconciled,
    found: Retraced,
}

fn worked(project: &Project, mirrored: bool) -> Result<Reconciled, String> {
    let trace = if mirrored { project.trace.mirrored() } else { project.trace.clone() };
    traced_line(&trace, &project.recipe, &project.wish).map_err(|error| error.to_string())
}

#[component]
pub fn TracedAgain(project: Project) -> impl IntoView {
    let earlier = RwSignal::new(None::<Project>);
    let mirrored = RwSignal::new(false);
    let trouble = RwSignal::new(None::<String>);
    let now = StoredValue::new(project);
    let laid = Memo::new(move |_| {
        let earlier = earlier.get()?;
        Some(now.with_value(|now| {
            let (before, now) = (worked(&earlier, false)?, worked(now, mirrored.get())?);
            let found = retraced(&before, &now);
            Ok::<_, String>(Laid { before, now, found })
        }))
    });
    let chosen = move |files: Vec<File>| {
        let Some(file) = files.into_iter().next() else { return };
        spawn_local(async move {
            match opened(&file).await {
                Ok(project) => {
                    // Faces that look at the maker from opposite sides are one another's mirror image.
                    let this =
                        now.with_value(|now| now.face.string_side(ribline_geometry::outline::Side::Left));
                    mirrored.set(project.face.string_side(ribline_geometry::outline::Side::Left) != this);
                    earlier.set(Some(project));
                    trouble.set(None);
                }
                Err(why) => {
                    // What is told of an earlier file is not of this one.
                    earlier.set(None);
                    trouble.set(Some(why));
                }
            }
        });
    };
    let words = &words().again;
    let refused = move || laid.get().and_then(Result::err);
    let good = move || laid.get().and_then(Result::ok);
    let list = move || {
        let Some(Laid { found, .. }) = good() else { return Vec::new() };
        let runs =
            found.runs.iter().map(|r| (words.run)(r.run, &difference(r.mean, 2), &difference(r.most, 2)));
        let corners = Corner::ALL.into_iter().zip(found.corners);
        let corners =
            corners.map(|(corner, by)| (words.corner)(corner, &difference(by.x, 1), &difference(by.y, 1)));
        runs.chain(corners).map(|text| view! { <li>{text}</li> }).collect_view()
    };
    let summary = move || good().map_or(String::new(), |laid| (words.summary)(&figure(laid.found.rms, 2)));
    let view_box = move || {
        let bounds =
            good().map_or(kurbo::Rect::new(-110.0, -6.0, 110.0, 361.0), |l| l.before.edge.outline.bounds());
        let all = bounds.inflate(10.0, 10.0);
        format!("{:.1} {:.1} {:.1} {:.1}", all.x0, -all.y1, all.width(), all.height())
    };
    let onto = move || {
        let Some(Laid { found, .. }) = good() else { return String::new() };
        let motion = Affine::translate(found.onto.origin.to_vec2()) * Affine::rotate(found.onto.angle);
        let [a, b, c, d, e, f] = motion.as_coeffs();
        format!("matrix({a:.8} {b:.8} {c:.8} {d:.8} {e:.5} {f:.5})")
    };
    view! {
        <div class="sheet-bench">
            <div class="panel">
                <p class="lead">{words.lead}</p>
                <div class="actions">
                    <FilePicker label=words.open test="open-earlier" accept=".json" on_chosen=chosen />
                </div>
                <Choice
                    legend=words.seen
                    test="again"
                    options=vec![("same", words.same_face), ("mirrored", words.other_face)]
                    chosen=Signal::derive(move || Some(usize::from(mirrored.get())))
                    on_change=Callback::new(move |k: usize| mirrored.set(k == 1))
                />
                <p class="trouble" data-test="error-again" aria-live="assertive">{move || trouble.get().or_else(refused)}</p>
                <p data-test="again-summary" aria-live="polite">{summary}</p>
                <ul class="lines" data-test="again-differences">{list}</ul>
                {press("again-close", crate::words::capture::words().back, super::hand_over::close).view()}
            </div>
            <svg class="picture" role="img" aria-label=words.picture viewBox=view_box>
                <g transform="scale(1 -1)">
                    <path class="left-out" d=move || good().map_or(String::new(), |l| outline_path(&l.before.edge.outline)) />
                    <g transform=onto>
                        <path class="way" data-test="again-now" d=move || good().map_or(String::new(), |l| outline_path(&l.now.edge.outline)) />
                    </g>
                </g>
            </svg>
        </div>
    }
}

async fn opened(file: &File) -> Result<Project, String> {
    let words = &words().again;
    if file.size() > FILE_LIMIT as f64 {
        return Err(words.no_project.to_owned());
    }
    let text = JsFuture::from(file.text()).await.ok().and_then(|text| text.as_string());
    Project::from_json(&text.ok_or(words.no_project)?).map_err(|error| error.to_string())
}
