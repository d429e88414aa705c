use super::arcs::Arcs;
use super::edge_line::{CornerDirections, EdgeLine};
use super::grid::{Grid, Scale};
use super::grips::{CornerGrips, Pins, TracedPoints};
use super::hand::Hand;
use super::overhang_ribbon::{OverhangRibbon, RibbonFigures, RibbonPatterns};
use super::photo::Photo;
use super::raw_points::RawPoints;
use super::rib_line::{Centreline, RibLine};
use super::sides::SideNames;
use super::size::follow_size;
use super::view::View;
use crate::controls::When;
use crate::parts::{Later, Part};
use crate::showing::{Step, use_showing};
use crate::words::words;
use kurbo::Vec2;
use leptos::prelude::*;
use wasm_bindgen::JsCast;

/// Pixels that an arrow key moves the board.
const PAN: f64 = 48.0;
/// How much a key or a button enlarges.
pub const ZOOM: f64 = 1.3;

/// The drawing board: the plate upright, neck end up, to scale.
#[component]
pub fn Board(view: View, hand: Hand) -> impl IntoView {
    follow_size(move || Some(hand.svg.get()?.unchecked_into()), view.size);
    let give_up = window_event_listener(leptos::ev::keydown, move |event| {
        if event.key() == "Escape" && (hand.give_up() || hand.stop_picking()) {
            event.prevent_default();
        }
    });
    on_cleanup(move || give_up.remove());
    let keys = move |event: web_sys::KeyboardEvent| {
        if event.ctrl_key() || event.meta_key() || event.alt_key() {
            return;
        }
        match event.key().as_str() {
            "+" | "=" => view.zoom(ZOOM, None),
            "-" => view.zoom(1.0 / ZOOM, None),
            "0" => view.fit(),
            "ArrowLeft" => view.shift(Vec2::new(PAN, 0.0)),
            "ArrowRight" => view.shift(Vec2::new(-PAN, 0.0)),
            "ArrowUp" => view.shift(Vec2::new(0.0, PAN)),
            "ArrowDown" => view.shift(Vec2::new(0.0, -PAN)),
            _ => return,
        }
        event.prevent_default();
    };
    let view_box = move || {
        let size = view.size.get();
        format!("0 0 {:.0} {:.0}", size.width, size.height)
    };
    let recipe = view.recipe_drawn;
    let plate = Signal::derive(move || !recipe.get());
    let showing = use_showing();
    let step = showing.step;
    let mould = Memo::new(move |_| showing.mould_drawn());
    let photo_shown = showing.layer(crate::showing::Layer::Photo);
    let has_photo = crate::store::use_store().part(|project| project.photo.is_some());
    let on_photo = move || photo_shown.get() && has_photo.get();
    let bench = Memo::new(move |_| step.get() == Step::Bench && plate.get());
    view! {
        <svg
            node_ref=hand.svg
            class="board"
            data-test="drawing"
            viewBox=view_box
            tabindex="0"
            role="group"
            aria-label=words().drawing.title
            aria-describedby="drawing-keys"
            on:pointerdown=move |event| hand.press(&event)
            on:pointermove=move |event| hand.motion(&event)
            on:pointerup=move |event| hand.release(&event)
            on:pointercancel=move |_| {
                hand.give_up();
            }
            on:wheel=move |event| hand.wheel(&event)
            on:keydown=keys
        >
            <RibbonPatterns />
            <Grid />
            <g class="result" class:with-mould=mould class:on-photo=on_photo transform=move || view.result_transform()>
                <When holds=recipe>
                    <Later part=Part::RecipeDrawing />
                </When>
                <When holds=mould>
                    <Later part=Part::MouldDrawing />
                </When>
                <When holds=Signal::derive(move || recipe.get() && step.get() != Step::SetOut)>
                    <RawPoints />
                </When>
                <When holds=plate>
                    <Photo />
                    <EdgeLine />
                    <Centreline />
                    <RibLine />
                    <OverhangRibbon />
                    <When holds=bench>
                        <Later part=Part::BenchLines />
                    </When>
                    <CornerDirections />
                    <Arcs />
                    <TracedPoints />
                    <Pins />
                    <CornerGrips />
                </When>
            </g>
            <Scale />
            <When holds=bench>
                <Later part=Part::CentreNumbers />
            </When>
            <When holds=plate>
                <RibbonFigures />
                <SideNames />
            </When>
        </svg>
        <p id="drawing-keys" class="unseen">{words().drawing.keys}</p>
    }
}
