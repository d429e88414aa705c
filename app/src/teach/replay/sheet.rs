use super::bar::Bar;
use super::labels::{Label, labels};
use super::pen::Canvas;
use super::player::{Player, use_player};
use super::timing::eased;
use super::{address, fullscreen, keys, lengths, picture, sequence};
use crate::drawing::{Placement, follow_size};
use crate::showing::use_showing;
use crate::words::words;
use kurbo::{Point, Rect, Size};
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// Seconds in which the view moves to the next place when it follows the compass.
const MOVE: f64 = 0.8;
/// What the view shows at least of the board when it follows, in parts of the whole.
const LEAST_SHOWN: f64 = 0.4;
/// How far a finger is drawn across, in pixels, to go forwards or back.
const SWIPE: f64 = 40.0;

/// The drawing of the replay with the present step's words beside it and the bar below.
#[component]
pub fn ReplaySheet() -> impl IntoView {
    let (player, showing) = (use_player(), use_showing());
    let sheet = NodeRef::<leptos::html::Section>::new();
    let dark = RwSignal::new(false);
    address::keep_frame_in_address(player, showing);
    keys::listen(player);
    fullscreen::follow_browser(player);
    on_cleanup(move || {
        fullscreen::leave(player);
        player.leave();
    });
    let words = words().replay();
    let class = move || {
        let projecting = if player.projecting.get() { " projecting" } else { "" };
        let board = if dark.get() { " dark-board" } else { " light-board" };
        format!("replay{projecting}{}", if projecting.is_empty() { "" } else { board })
    };
    view! {
        <section class=class data-test="replay" aria-label=words.heading node_ref=sheet>
            <Caption player />
            <Board player />
            <Bar player dark sheet />
        </section>
        <sequence::Sequence player />
    }
    .into_any()
}

/// What is done in the present step: its number, its sentence, and the lengths it takes.
#[component]
fn Caption(player: Player) -> impl IntoView {
    let replay = words().replay();
    let text = Memo::new(move |_| -> [String; 5] {
        let told = player.with_frame(|scene, at| {
            let frame = scene.frame(at)?;
            Some([
                (replay.stage)(frame.act).to_owned(),
                (replay.name)(&scene.recipe, frame.act),
                (replay.sentence)(&scene.recipe, frame),
                (replay.how)(&scene.recipe, frame),
                lengths::lines(scene, frame),
            ])
        });
        told.flatten().unwrap_or_else(|| {
            let nothing = replay.nothing.to_owned();
            [String::new(), String::new(), nothing, String::new(), String::new()]
        })
    });
    let part = move |which: usize| text.with(|text| text.get(which).cloned().unwrap_or_default());
    view! {
        <div class="replay-caption">
            <p class="replay-number figures" data-test="replay-number">
                {move || (replay.step_of)(player.at.get() + 1, player.count())}
                <span class="replay-stage">{move || part(0)}</span>
            </p>
            <div class="replay-words" aria-live="polite">
                <h2 data-test="replay-name">{move || part(1)}</h2>
                <p class="replay-sentence" data-test="replay-sentence">{move || part(2)}</p>
                <p class="replay-how" data-test="replay-how">{move || part(3)}</p>
            </div>
            <ul class="taken figures" data-test="replay-taken" inner_html=move || part(4)></ul>
        </div>
    }
    .into_any()
}

#[component]
fn Board(player: Player) -> impl IntoView {
    let svg = NodeRef::<leptos::html::Div>::new();
    let size = RwSignal::new(Size::new(560.0, 640.0));
    follow_size(move || Some(svg.get()?.unchecked_into()), size);
    let canvas = Memo::new(move |_| {
        let size = size.get();
        let type_size = (0.023 * size.width.min(size.height)).clamp(12.5, 34.0);
        let margin = 1.2 * type_size;
        let extent = player.scene.with(|scene| scene.as_ref().map(|scene| scene.extent)).unwrap_or_default();
        let shown = if player.follow.get() { followed(player, extent) } else { extent };
        let room = Size::new((size.width - 2.0 * margin).max(1.0), (size.height - 2.0 * margin).max(1.0));
        let place = Placement::fitting(shown, room).shifted(kurbo::Vec2::new(margin, margin));
        Canvas { place, size, type_size }
    });
    let with = move |draw: fn(&super::scene::Scene, usize, &Canvas) -> String| {
        player.with_frame(|scene, at| canvas.with(|canvas| draw(scene, at, canvas))).unwrap_or_default()
    };
    let placed = Memo::new(move |_| -> Vec<Label> {
        player.with_frame(|scene, at| canvas.with(|canvas| labels(scene, at, canvas))).unwrap_or_default()
    });
    let at_work = move || {
        let clock = player.clock.get();
        let draw = |scene: &super::scene::Scene, at: usize| {
            player.timing.with(|timing| {
                placed.with(|labels| {
                    canvas.with(|canvas| picture::at_work(scene, at, timing, clock, labels, canvas))
                })
            })
        };
        player.with_frame(draw).unwrap_or_default()
    };
    let begun = StoredValue::new(None::<Point>);
    let release = move |event: web_sys::PointerEvent| {
        let Some(from) = begun.try_update_value(Option::take).flatten() else { return };
        let across = f64::from(event.client_x()) - from.x;
        let along = f64::from(event.client_y()) - from.y;
        if across.abs() > SWIPE && across.abs() > 2.0 * along.abs() {
            if across < 0.0 { player.on() } else { player.back() }
        }
    };
    view! {
        <div
            class="replay-board"
            node_ref=svg
            on:pointerdown=move |event| {
                begun.set_value(Some(Point::new(event.client_x().into(), event.client_y().into())));
            }
            on:pointerup=release
            on:pointercancel=move |_| begun.set_value(None)
        >
            <svg
                class="replay-picture"
                data-test="replay-drawing"
                role="img"
                aria-label=words().replay().drawing
                data-complete=move || {
                    (player.clock.get() >= player.timing.with(|timing| timing.whole)).to_string()
                }
                style=move || canvas.with(|canvas| format!("--u:{:.3}px", canvas.type_size / 14.0))
            >
                <g inner_html=move || with(picture::standing)></g>
                <g inner_html=at_work></g>
            </svg>
        </div>
    }
    .into_any()
}

/// The part of the board where the present frame is drawn, and on the way there from the one before.
fn followed(player: Player, whole: Rect) -> Rect {
    let near = |scene: &super::scene::Scene, at: usize| {
        let drawn = scene.frame(at).and_then(|frame| frame.extent()).unwrap_or(whole);
        let room = Size::new(
            drawn.width().max(LEAST_SHOWN * whole.width()),
            drawn.height().max(LEAST_SHOWN * whole.height()),
        );
        Rect::from_center_size(drawn.center(), room).inflate(0.04 * whole.width(), 0.04 * whole.width())
    };
    let moving = Memo::new(move |_| eased(player.clock.get() / MOVE));
    let shown = player.with_frame(|scene, at| {
        let (to, t) = (near(scene, at), moving.get());
        if at == 0 || t >= 1.0 {
            return to;
        }
        let from = near(scene, at - 1);
        let between = |a: f64, b: f64| a + t * (b - a);
        Rect::new(
            between(from.x0, to.x0),
            between(from.y0, to.y0),
            between(from.x1, to.x1),
            between(from.y1, to.y1),
        )
    });
    shown.unwrap_or(whole)
}
