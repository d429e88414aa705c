use super::fullscreen;
use super::player::{PACES, Player};
use crate::controls::press;
use crate::words::words;
use leptos::prelude::*;

/// Forwards and back, and how fast.
#[component]
pub fn Bar(player: Player, dark: RwSignal<bool>, sheet: NodeRef<leptos::html::Section>) -> impl IntoView {
    let words = words().replay();
    let button =
        |test: &'static str, label: Signal<&'static str>, icon: Signal<&'static str>, act: fn(Player)| {
            view! {
                <button
                    type="button"
                    data-test=test
                    aria-label=move || label.get()
                    title=move || label.get()
                    on:click=move |_| act(player)
                >
                    <svg viewBox="0 0 20 20" aria-hidden="true"><path d=move || icon.get() /></svg>
                </button>
            }
            .into_any()
        };
    let plain = |test, label: &'static str, icon: &'static str, act| {
        button(test, Signal::stored(label), Signal::stored(icon), act)
    };
    let playing = player.playing;
    let pace_name = move || (words.pace_name)(player.pace.get());
    let full = move || if player.projecting.get() { words.leave_full } else { words.full }.to_owned();
    let full = press("replay-full", "", move || {
        if player.projecting.get_untracked() {
            fullscreen::leave(player);
        } else {
            dark.set(fullscreen::is_dark());
            fullscreen::enter(player, sheet.get_untracked().map(fullscreen::as_element));
        }
    })
    .labelled(Signal::derive(full));
    let board = move || if dark.get() { words.light_board } else { words.dark_board }.to_owned();
    let board = press("replay-dark", "", move || dark.update(|dark| *dark = !*dark))
        .class("in-full-screen")
        .labelled(Signal::derive(board));
    view! {
        <div class="replay-bar" role="group" aria-label=words.controls>
            <div class="replay-way">
                {plain("replay-first", words.first, "M5 4v12M16 4 8 10l8 6z", Player::first)}
                {plain("replay-back", words.back, "M14 4 6 10l8 6z", Player::back)}
                {button(
                    "replay-play",
                    Signal::derive(move || if playing.get() { words.pause } else { words.play }),
                    Signal::derive(move || if playing.get() { "M7 4v12M13 4v12" } else { "M6 3.5v13l10-6.5z" }),
                    Player::play_or_pause,
                )}
                {plain("replay-on", words.on, "M6 4l8 6-8 6z", Player::on)}
                {plain("replay-last", words.last, "M15 4v12M4 4l8 6-8 6z", Player::last)}
            </div>
            <label class="replay-pace">
                <span>{words.pace}</span>
                <input
                    type="range"
                    min="0"
                    max=(PACES.len() - 1).to_string()
                    step="1"
                    data-test="replay-pace"
                    aria-valuetext=pace_name
                    prop:value=move || player.pace.get().to_string()
                    on:input=move |event| {
                        if let Ok(pace) = event_target_value(&event).parse() {
                            player.pace.set(pace);
                        }
                    }
                />
            </label>
            <label class="toggle">
                <input
                    type="checkbox"
                    data-test="replay-follow"
                    prop:checked=move || player.follow.get()
                    on:change=move |event| player.follow.set(event_target_checked(&event))
                />
                {words.follow}
            </label>
            <div class="replay-screen">
                {board.view()}
                {full.view()}
            </div>
        </div>
    }
    .into_any()
}
