//! The ribs traced again later: this project's result over that of one saved earlier, and where they differ.

use crate::controls::{Choice, FilePicker, When, press};
use crate::drawing::path::outline_path;
use crate::number::{difference, figure};
use crate::words::capture::words;
use crate::words::words as page_words;
use kurbo::Affine;
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::capture::{CornerMoved, Retraced, retraced, traced_line};
use ribline_geometry::outline::Side;
use ribline_geometry::project::{FILE_LIMIT, Project};
use ribline_geometry::reconcile::report::Reconciled;
use wasm_bindgen_futures::JsFuture;
use web_sys::File;

/// Of the ring where the two differ most, and of its figure, mm on the plate.
const RING: f64 = 5.0;
const LETTERS: f64 = 11.0;

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
                    let this = now.with_value(|now| now.face.string_side(Side::Left));
                    mirrored.set(project.face.string_side(Side::Left) != this);
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
    let runs = move || {
        let Some(Laid { found, .. }) = good() else { return Vec::new() };
        let told =
            found.runs.iter().map(|r| (words.run)(r.run, &difference(r.mean, 2), &difference(r.most, 2)));
        told.enumerate().map(|(k, text)| view! { <li class:greatest=(k == 0)>{text}</li> }).collect_view()
    };
    let corners = move || {
        let Some(Laid { found, .. }) = good() else { return Vec::new() };
        let told = |c: &CornerMoved| (words.corner)(c.corner, &difference(c.by.x, 1), &difference(c.by.y, 1));
        found.corners.iter().map(|c| view! { <li>{told(c)}</li> }).collect_view()
    };
    // The frame is the one in which the earlier was seen.
    let face = Memo::new(move |_| {
        laid.with(|laid| matches!(laid, Some(Ok(_))))
            .then(|| earlier.with(|earlier| earlier.as_ref().map(|project| project.face)))
            .flatten()
    });
    let has_face = Signal::derive(move || face.with(Option::is_some));
    let face_word = move || face.get().map(|face| (page_words().drawing.face)(face));
    let side_word =
        move |side: Side| face.get().map(|face| (page_words().drawing.side)(face.string_side(side)));
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
    let mark = move || {
        let most = good()?.found.runs.first().copied()?;
        let y = -most.at.y;
        let figure = format!("{} mm", difference(most.most, 2));
        // Beside the line, on the side where there is room: within.
        let (anchor, x) = match most.run.side {
            Side::Left => ("start", most.at.x + 2.0 * RING),
            Side::Right => ("end", most.at.x - 2.0 * RING),
        };
        Some(view! {
            <circle class="mark" data-test="again-mark" cx=most.at.x cy=y r=RING />
            <text x=x y=y + 0.35 * LETTERS text-anchor=anchor font-size=LETTERS>{figure}</text>
        })
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
                <When holds=has_face>
                    <h2>{words.greatest}</h2>
                    <ul class="lines" data-test="again-differences">{runs}</ul>
                    <h2>{words.corners}</h2>
                    <ul class="lines" data-test="again-corners">{corners}</ul>
                </When>
                {press("again-close", crate::words::capture::words().back, super::hand_over::close).view()}
            </div>
            <figure class="laid-over">
                <When holds=has_face>
                    <figcaption>
                        <p class="face" data-test="again-face">{face_word}</p>
                        <p class="sides"><span>{move || side_word(Side::Left)}</span><span>{move || side_word(Side::Right)}</span></p>
                    </figcaption>
                </When>
                <svg class="picture" role="img" aria-label=words.picture viewBox=view_box>
                    <g transform="scale(1 -1)">
                        <path class="then" d=move || good().map_or(String::new(), |l| outline_path(&l.before.edge.outline)) />
                        <g transform=onto>
                            <path class="way" data-test="again-now" d=move || good().map_or(String::new(), |l| outline_path(&l.now.edge.outline)) />
                        </g>
                    </g>
                    {mark}
                </svg>
                <When holds=has_face>
                    <ul class="key" data-test="again-key">
                        {[("then", "M1 6H35", words.before), ("way", "M1 6H35", words.now)].map(|(class, d, word)| view! {
                            <li><svg viewBox="0 0 36 12" aria-hidden="true"><path class=class d=d /></svg>{word}</li>
                        }).into_iter().collect_view()}
                        <li><svg viewBox="0 0 36 12" aria-hidden="true"><circle class="mark" cx="18" cy="6" r="5" /></svg>{words.mark}</li>
                    </ul>
                </When>
            </figure>
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
