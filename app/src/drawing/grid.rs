use super::view::use_view;
use crate::controls::When;
use crate::showing::{Layer, use_showing};
use kurbo::Point;
use leptos::prelude::*;
use std::fmt::Write;

/// From this many pixels to the millimetre, single millimetres are drawn too: closer together they would be a grey.
const MILLIMETRES_FROM: f64 = 6.0;
/// No figure of the scale within this many pixels of the drawing's own edge, where it would be cut.
const FIGURE_ROOM: f64 = 12.0;

/// Least room for a figure of the scale and what parts it from the next, in pixels.
const FIGURE_STEP: f64 = 36.0;

/// How many mm the figures of the scale are apart: with the strong lines, or with so many of them as leave each its room.
fn figures_every(scale: f64) -> i64 {
    if scale >= MILLIMETRES_FROM {
        return 10;
    }
    let mut every = 50;
    while (every as f64) * scale < FIGURE_STEP {
        every *= 2;
    }
    every
}

/// Millimetre paper: every 10 mm, every 50 mm stronger.
#[component]
pub fn Grid() -> impl IntoView {
    let view = use_view();
    let shown = use_showing().layer(Layer::Grid);
    let in_view = Memo::new(move |_| view.placement.get().in_view(view.size.get()));
    let lines = move |every: i64, unless: i64| {
        let area = in_view.get();
        let steps = |from: f64, to: f64| {
            let first = (from / every as f64).floor() as i64;
            let last = (to / every as f64).ceil() as i64;
            (first..=last).map(move |k| k * every).filter(move |v| unless == 0 || v % unless != 0)
        };
        let mut d = String::new();
        for x in steps(area.x0, area.x1) {
            let _ = write!(d, "M{x} {:.2}V{:.2}", area.y0, area.y1);
        }
        for y in steps(area.y0, area.y1) {
            let _ = write!(d, "M{:.2} {y}H{:.2}", area.x0, area.x1);
        }
        d
    };
    let scale = view.scale();
    let close = Memo::new(move |_| scale.get() >= MILLIMETRES_FROM);
    view! {
        <When holds=move || shown.get()>
            <g class="grid" transform=move || view.board_transform() aria-hidden="true">
                <When holds=move || close.get()>
                    <path class="finest" d=move || lines(1, 10) />
                </When>
                <path class="fine" d=move || lines(10, 50) />
                <path class="strong" d=move || lines(50, 0) />
            </g>
        </When>
    }
}

/// The figures of the scale along the left and the foot, above what is drawn so that they can be read over the plate too.
#[component]
pub fn Scale() -> impl IntoView {
    let view = use_view();
    let shown = use_showing().layer(Layer::Grid);
    let figures = move || {
        let (placement, size) = (view.placement.get(), view.size.get());
        let area = placement.in_view(size);
        let every = figures_every(placement.scale);
        let steps = |from: f64, to: f64| {
            let first = (from / every as f64).ceil() as i64;
            let last = (to / every as f64).floor() as i64;
            (first..=last).map(move |k| k * every)
        };
        let upward = steps(area.y0, area.y1).filter_map(|y| {
            let at = placement.to_screen(Point::new(0.0, y as f64)).y;
            (at > FIGURE_ROOM && at < size.height - 2.0 * FIGURE_ROOM).then(|| {
                let at = format!("{:.1}", at - 3.0);
                view! { <text x="4" y=at>{y}</text> }.into_any()
            })
        });
        let across = steps(area.x0, area.x1).filter_map(|x| {
            let at = placement.to_screen(Point::new(x as f64, 0.0)).x;
            (at > 2.0 * FIGURE_ROOM && at < size.width - 2.0 * FIGURE_ROOM).then(|| {
                let foot = format!("{:.1}", size.height - 4.0);
                view! { <text x=format!("{:.1}", at + 3.0) y=foot>{x}</text> }.into_any()
            })
        });
        upward.chain(across).collect_view()
    };
    view! {
        <When holds=move || shown.get()>
            <g class="scale" aria-hidden="true">{move || figures()}</g>
        </When>
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn figures_of_the_scale_have_their_room_at_every_scale_of_the_drawing() {
        for scale in [0.2, 0.35, 0.65, 0.72, 1.0, 1.6, 5.9, 6.0, 20.0, 60.0] {
            assert!(figures_every(scale) as f64 * scale >= FIGURE_STEP, "{scale}");
        }
        assert_eq!([0.3, 0.5, 0.8, 5.9, 6.0].map(figures_every), [200, 100, 50, 50, 10]);
    }
}
