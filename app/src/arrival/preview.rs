use super::{Arrival, Source, forget_link};
use crate::controls::press;
use crate::drawing::path::outline_path;
use crate::example::example;
use crate::number::figure;
use crate::showing::{Step, use_showing};
use crate::storage::shelf;
use crate::store::{Change, use_store};
use crate::words::words;
use kurbo::Vec2;
use leptos::prelude::*;
use ribline_geometry::recipe::{Purpose, Recipe};
use ribline_geometry::share::Contents;
use std::f64::consts::PI;

/// Room around the outline for the breadth of its line, mm.
const ROOM: f64 = 6.0;

/// What has arrived, over the whole page until its reader has chosen what becomes of it.
#[component]
pub fn Preview() -> impl IntoView {
    let showing = use_showing();
    move || showing.arrival.get().map(|arrival| view! { <Offer arrival /> }.into_any())
}

#[component]
fn Offer(arrival: Arrival) -> impl IntoView {
    let (store, showing) = (use_store(), use_showing());
    let dialog = NodeRef::<leptos::html::Dialog>::new();
    Effect::new(move |_| {
        // Refused only for one that is open already.
        let _ = dialog.get().map(|dialog| dialog.show_modal());
    });
    let Arrival { project, contents, source } = arrival;
    let done = move |step: Option<Step>| {
        forget_link(showing);
        showing.file_trouble.set(None);
        showing.arrival.set(None);
        if let Some(step) = step {
            showing.pick(None);
            showing.step.set(step);
        }
    };
    let work = {
        let recipe = project.recipe.clone();
        move || {
            let traced = store.project().with_untracked(|project| !project.trace.points.is_empty());
            let on_ribs = traced && recipe.purpose == Purpose::PlateEdge;
            store.change(Change::Recipe(Box::new(recipe.clone())));
            done(Some(if on_ribs { Step::Edge } else { Step::SetOut }));
        }
    };
    let open = {
        let project = project.clone();
        move || {
            store.change(Change::Open(Box::new(project.clone())));
            done(Some(Step::Edge));
        }
    };
    let room = crate::teach::class::use_room();
    let to_class = {
        let project = project.clone();
        move || {
            room.enter();
            room.take_project(&project);
            done(Some(Step::Teach));
            showing.class.set(true);
        }
    };
    let keep = {
        let recipe = project.recipe.clone();
        move || {
            let told = match shelf::put(recipe.clone()) {
                Ok(title) => (words().arrival().kept)(&title),
                Err(shelf::NoRoom) => words().shelf().not_kept.to_string(),
            };
            done(None);
            showing.file_trouble.set(Some(told));
        }
    };
    let leave = move || done(None);

    // Whoever comes by a link has, as a rule, no ribs here yet.
    let of_example = store.project().with_untracked(|at_hand| at_hand.trace == example().trace);
    let recipe = &project.recipe;
    let words = words().arrival();
    let heading = match &source {
        Source::Link { .. } => (words.from_link)(contents).to_string(),
        Source::File(name) => (words.from_file)(name),
    };
    let title = if recipe.title.is_empty() { words.untitled.to_string() } else { recipe.title.clone() };
    let author =
        if recipe.author.is_empty() { words.by_nobody.to_string() } else { (words.by)(&recipe.author) };
    let fault = recipe.check().err().map(|error| (words.faulty)(&error.to_string()));
    let note = (!recipe.note.is_empty()).then(|| recipe.note.clone());
    let with_trace = contents != Contents::Recipe && !project.trace.points.is_empty();
    let carried = (words.carried)(contents, project.trace.points.len(), &project.title, project.face);
    let version = match source {
        Source::Link { version } => Some(fact(words.link, (words.version)(version), "arrival-version")),
        Source::File(_) => None,
    };
    view! {
        <dialog
            class="arrival"
            node_ref=dialog
            aria-labelledby="arrival-heading"
            data-test="arrival"
            on:cancel=move |event: web_sys::Event| {
                event.prevent_default();
                leave();
            }
        >
            <p class="meaning">{heading}</p>
            <h2 id="arrival-heading" data-test="arrival-title">{title}</h2>
            <p class="author" data-test="arrival-author">{author}</p>
            <div class="offered">
                {outline(recipe)}
                <dl>
                    {fact(words.instrument, (crate::words::words().set_out().instrument_name)(recipe.instrument), "arrival-instrument")}
                    {fact(words.draws, (crate::words::words().recipe().purpose_name)(recipe.purpose), "arrival-draws")}
                    {fact(words.body_length, body_length(recipe), "arrival-length")}
                    {fact(words.steps, recipe.steps.len().to_string(), "arrival-steps")}
                    {fact(words.carries, carried, "arrival-carries")}
                    {version}
                    {note.map(|note| fact(words.note, note, "arrival-note"))}
                </dl>
            </div>
            {fault.map(|fault| view! { <p class="trouble" data-test="arrival-fault">{fault}</p> }.into_any())}
            <p class="note">{words.nothing_yet} {of_example.then_some(words.on_example)}</p>
            <div class="actions">
                {press("arrival-work", words.work, work).class("chief").view()}
                {with_trace.then(|| press("arrival-open", words.open, open).view())}
                {with_trace.then(|| press("arrival-class", words.to_class, to_class).view())}
                {press("arrival-keep", words.keep, keep).view()}
                {press("arrival-leave", words.leave, leave).view()}
            </div>
        </dialog>
    }
}

fn fact(name: &'static str, value: impl Into<String>, test: &'static str) -> AnyView {
    let value: String = value.into();
    view! {
        <div>
            <dt>{name}</dt>
            <dd data-test=test>{value}</dd>
        </div>
    }
    .into_any()
}

fn body_length(recipe: &Recipe) -> String {
    use ribline_geometry::recipe::Size;
    match recipe.measures.first().map(|measure| &measure.size) {
        Some(Size::Mm(mm)) => (words().readout.mm)(&figure(*mm, 1)),
        _ => "\u{2013}".to_string(),
    }
}

/// The outline that the recipe ends in, neck end up.
fn outline(recipe: &Recipe) -> Option<AnyView> {
    let drawn = recipe.evaluate().ok()?;
    let bounds = drawn.outline.bounds().inflate(ROOM, ROOM);
    // y runs up in the outline and down on the screen; turned about the middle both are the same.
    let d = outline_path(&drawn.outline.moved(PI, Vec2::new(0.0, bounds.y0 + bounds.y1)));
    let view_box = format!("{:.1} {:.1} {:.1} {:.1}", bounds.x0, bounds.y0, bounds.width(), bounds.height());
    let picture = view! {
        <svg class="outline" viewBox=view_box role="img" aria-label=words().arrival().outline data-test="arrival-outline">
            <path d=d />
        </svg>
    };
    Some(picture.into_any())
}
