use super::drops::take_files;
use super::room::use_room;
use crate::controls::{FilePicker, When, press};
use crate::example::example;
use crate::store::use_store;
use crate::words::words;
use crate::worker::ask;
use crate::worker::requests::Invent;
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::class::INVENTED;

/// How results come in: links pasted, files chosen or let fall, the present plate, or an invented class.
#[component]
pub fn BringIn() -> impl IntoView {
    let (room, store) = (use_room(), use_store());
    let text = RwSignal::new(String::new());
    let take = move || {
        room.begin();
        let pasted = text.get_untracked();
        room.take_and(pasted.clone(), None, move |looked_at| {
            // More may have been pasted meanwhile, or the panel be gone.
            if looked_at && text.try_get_untracked() == Some(pasted) {
                text.set(String::new());
            }
        });
    };
    let chosen = move |files: Vec<web_sys::File>| {
        room.begin();
        take_files(files, room);
    };
    let present = move || {
        room.begin();
        store.project().with_untracked(|project| room.take_project(project));
    };
    let invent = move || {
        room.begin();
        spawn_local(async move {
            let names = (0..INVENTED).map(words().class().invented_name).collect();
            let made = ask(Invent { project: example().to_json(), names }).await;
            match made {
                Ok(projects) => projects.0.into_iter().for_each(|project| room.take(project, None)),
                Err(trouble) => room.troubles.update(|all| all.push(trouble.sentence().to_owned())),
            }
        });
    };
    let nothing_traced = store.part(|project| project.trace.points.is_empty());
    let empty = Signal::derive(move || text.with(|text| text.trim().is_empty()));
    let troubles = move || room.troubles.get().into_iter().map(|why| view! { <p>{why}</p> }).collect_view();
    let words = words().class();
    let told =
        move || room.taken.with(|names| if names.is_empty() { String::new() } else { (words.taken)(names) });
    view! {
        <section class="bring">
            <div class="field paste">
                <label for="class-paste">{words.paste}</label>
                <textarea
                    id="class-paste"
                    data-test="class-paste"
                    rows="3"
                    spellcheck="false"
                    autocomplete="off"
                    placeholder=words.paste_example
                    prop:value=text
                    on:input=move |event| text.set(event_target_value(&event))
                ></textarea>
            </div>
            <div class="actions">
                {press("class-take", words.take, take).class("chief").disabled(empty).view()}
                <FilePicker label=words.choose test="class-files" accept=".json,.txt" several=true on_chosen=chosen />
                {press("class-present", words.present, present).disabled(nothing_traced.into()).view()}
                <When holds=Signal::derive(move || room.all.with(Vec::is_empty))>
                    {press("class-invent", words.invent, invent).view()}
                </When>
            </div>
            <p class="note">{words.bring_note}</p>
            <When holds=Signal::derive(move || room.opening.get() > 0)>
                <p class="note" role="status" data-test="class-opening">{words.opening}</p>
            </When>
            <p class="note" role="status" data-test="class-told">{told}</p>
            <When holds=Signal::derive(move || room.troubles.with(|all| !all.is_empty()))>
                <div class="notice" role="alert" data-test="error-class">
                    {move || troubles()}
                    {press("class-understood", crate::words::words().storage.understood, move || room.troubles.set(Vec::new())).class("slight").view()}
                </div>
            </When>
        </section>
    }
}
