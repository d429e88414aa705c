use crate::arrival::forget_link;
use crate::controls::When;
use crate::drawing::Drawing;
use crate::parts::{Later, MissingParts, Part, use_parts};
use crate::results::use_results;
use crate::showing::{Step, use_showing};
use crate::storage::files::{accept_drops, save};
use crate::storage::kept;
use crate::store::use_store;
use crate::strip::Strip;
use crate::words::words;
use leptos::prelude::*;

/// The whole page: the strip of steps, the drawing, and the controls of the step at hand.
#[component]
pub fn Page() -> impl IntoView {
    let showing = use_showing();
    let over = RwSignal::new(false);
    accept_drops(use_store(), showing, use_parts(), over);
    let controls = NodeRef::<leptos::html::Main>::new();
    // Another step begins at its top.
    Effect::new(move |_| {
        showing.step.track();
        if let Some(controls) = controls.get() {
            controls.set_scroll_top(0);
            // On a phone it is the page that scrolls.
            window().scroll_to_with_x_and_y(0.0, 0.0);
        }
    });
    // What was said of a file holds until the work goes on, or another step is turned to.
    let project = use_store().project();
    Effect::new(move |earlier: Option<()>| {
        project.track();
        showing.step.track();
        if earlier.is_some() && showing.file_trouble.with_untracked(Option::is_some) {
            showing.file_trouble.set(None);
        }
    });
    let content = move || match showing.step.get() {
        Step::SetOut => view! { <Later part=Part::SetOut /> }.into_any(),
        Step::Ribs => view! { <Later part=Part::Ribs /> }.into_any(),
        Step::Edge => view! { <Later part=Part::Edge /> }.into_any(),
        Step::Bench => view! { <Later part=Part::Bench /> }.into_any(),
        Step::Teach => view! { <Later part=Part::Teach /> }.into_any(),
    };
    let sheet = Memo::new(move |_| (showing.step.get() == Step::Teach).then(|| showing.class.get()));
    let sheet = move || match sheet.get() {
        None => view! { <Drawing /> }.into_any(),
        Some(false) => taught(Part::Replay),
        Some(true) => taught(Part::Class),
    };
    view! {
        <Strip />
        {move || sheet()}
        <main
            class="controls"
            node_ref=controls
            data-test=move || format!("step-panel-{}", showing.step.get().key())
        >
            <Notices />
            {move || content()}
        </main>
        <When holds=move || showing.arrival.with(Option::is_some)>
            <Later part=Part::Arrival />
        </When>
        <When holds=move || over.get()>
            <div class="let-fall" aria-hidden="true"><p>{words().storage.let_fall}</p></div>
        </When>
    }
}

/// What Teach shows in the place of the drawing.
fn taught(part: Part) -> AnyView {
    let meanwhile = || view! { <section class="replay" aria-busy="true"></section> };
    view! { <Later part meanwhile=meanwhile.into() /> }.into_any()
}

/// What concerns the whole page rather than one field, at the head of the controls.
#[component]
fn Notices() -> impl IntoView {
    let showing = use_showing();
    let results = use_results();
    let refused = Memo::new(move |_| results.refused());
    // Where the recipe is at fault, its own step says so at the place.
    let said_there = Memo::new(move |_| {
        showing.step.get() == Step::SetOut
            && results.drawn.with(|drawn| drawn.whole.is_none() || !drawn.errors.is_empty())
    });
    let words = &words().storage;
    view! {
        <div class="notices">
            <MissingParts />
            <When holds=move || showing.file_trouble.with(Option::is_some)>
                <div class="notice" role="alert" data-test="error-file">
                    <p>{move || showing.file_trouble.get()}</p>
                    <button type="button" class="slight" on:click=move |_| showing.file_trouble.set(None)>
                        {words.understood}
                    </button>
                </div>
            </When>
            <When holds=move || showing.opening_link.get()>
                <div class="notice" role="status" data-test="opening-link">
                    <p>{crate::words::words().arrival().opening}</p>
                </div>
            </When>
            <When holds=move || showing.link_trouble.with(Option::is_some)>
                <div class="notice" role="alert" data-test="error-link">
                    <p>{move || showing.link_trouble.get()}</p>
                    <button
                        type="button"
                        class="slight"
                        on:click=move |_| {
                            forget_link(showing);
                            showing.link_trouble.set(None);
                        }
                    >
                        {words.understood}
                    </button>
                </div>
            </When>
            <When holds=move || refused.get() && !said_there.get()>
                <div class="notice" role="alert" data-test="error-reconcile">
                    <Later part=Part::Refusal />
                </div>
            </When>
            <When holds=move || showing.keeping_trouble.with(Option::is_some)>
                <div class="notice" role="alert" data-test="error-keeping">
                    <p>{move || showing.keeping_trouble.get()}</p>
                    <button type="button" class="slight" on:click=move |_| showing.keeping_trouble.set(None)>
                        {words.understood}
                    </button>
                </div>
            </When>
            <When holds=move || showing.damaged.with(Option::is_some)>
                <div class="notice" role="alert" data-test="error-damaged">
                    <p>{words.damaged}</p>
                    <span class="actions">
                        <button
                            type="button"
                            class="slight"
                            data-test="save-damaged"
                            on:click=move |_| {
                                if let Some(text) = showing.damaged.get_untracked() {
                                    save("ribline-set-aside.json", "application/json", &text);
                                }
                            }
                        >
                            {words.save_damaged}
                        </button>
                        <button
                            type="button"
                            class="slight"
                            data-test="forget-damaged"
                            on:click=move |_| {
                                kept::forget_damaged();
                                showing.damaged.set(None);
                            }
                        >
                            {words.forget_damaged}
                        </button>
                    </span>
                </div>
            </When>
        </div>
    }
}
