use super::letter::{class, dashes, letter};
use super::room::{Brought, Worked, use_room};
use crate::controls::{Rows, TextField, When, press};
use crate::number::figure;
use crate::words::words;
use leptos::prelude::*;
use std::sync::Arc;

/// Everything that was brought: the key to the lines, names to change, and the way out.
#[component]
pub fn List() -> impl IntoView {
    let room = use_room();
    let numbers = Memo::new(move |_| {
        room.all.with(|all| all.iter().map(|brought| brought.number as usize).collect::<Vec<_>>())
    });
    let make = Arc::new(|number: usize| view! { <OfClass number=number as u32 /> }.into_any());
    let removed = move || room.removed.with(|removed| removed.as_ref().map(|brought| brought.name.clone()));
    let words = words().class();
    view! {
        <ul class="class-list" data-test="class-list">
            <Rows numbers make />
        </ul>
        <When holds=Signal::derive(move || room.removed.with(Option::is_some))>
            <div class="actions">
                <span class="note">{move || removed().map(|name| (words.removed)(&name))}</span>
                {press("class-put-back", words.put_back, move || room.put_back()).view()}
            </div>
        </When>
    }
}

#[component]
fn OfClass(number: u32) -> impl IntoView {
    let room = use_room();
    let place = Memo::new(move |_| room.all.with(|all| all.iter().position(|b| b.number == number)));
    let of = move |said: fn(&Brought) -> Option<String>| {
        room.all.with(|all| all.iter().find(|brought| brought.number == number).and_then(said))
    };
    let name = Signal::derive(move || of(|brought| Some(brought.name.clone())).unwrap_or_default());
    let refused = Memo::new(move |_| {
        of(|brought| match &brought.worked {
            Worked::Refused(why) => Some(why.clone()),
            _ => None,
        })
    });
    let about = move || of(about);
    // Another construction than the first's cannot be compared step by step.
    let stranger = Memo::new(move |_| {
        room.with_good(|good| {
            let (_, _, first) = good.first()?;
            let (_, _, own) = good.iter().find(|(_, brought, _)| brought.number == number)?;
            (own.construction != first.construction).then(|| (words().class().other_recipe)(&own.recipe))
        })
    });
    let at = move || place.get().unwrap_or_default();
    let words = words().class();
    view! {
        <li
            class="of-list"
            class:pointed=move || room.pointed.get() == Some(number)
            data-test="class-result"
            on:pointerenter=move |_| room.point_at(Some(number))
            on:pointerleave=move |_| room.point_at(None)
            on:focusin=move |_| room.point_at(Some(number))
            on:focusout=move |_| room.point_at(None)
        >
            <span class="key">
                <b>{move || letter(at())}</b>
                <svg viewBox="0 0 40 10" aria-hidden="true">
                    <path class=move || class(at()) stroke-dasharray=move || dashes(at()) d="M1 5H39" />
                </svg>
            </span>
            <TextField label=words.name test=format!("class-name-{number}") value=name on_change=move |text: String| room.rename(number, &text) />
            {press("class-remove", words.remove, move || room.remove(number)).class("slight").view()}
            <p class="note">{move || about()}</p>
            <p class="note" data-test="class-stranger">{move || stranger.get()}</p>
            <p class="trouble" data-test="class-refused">{move || refused.get()}</p>
        </li>
    }
}

fn about(brought: &Brought) -> Option<String> {
    use ribline_geometry::class::{Key, OverhangOf};
    let words = words().class();
    let member = match &brought.worked {
        Worked::NotYet => return Some(words.opening.to_owned()),
        Worked::Refused(_) => return None,
        Worked::Good(member) => member,
    };
    let value = |key: Key| member.figures.iter().find(|f| f.key == key).map(|f| figure(f.value, 1));
    let least = value(Key::Overhang(OverhangOf::Least))?;
    let most = value(Key::Overhang(OverhangOf::Most))?;
    let length = figure(member.top.y - member.bottom.y, 1);
    Some((words.about)(&member.recipe, &length, &least, &most, member.turned, member.left_out))
}
