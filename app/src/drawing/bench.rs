//! What the bench adds to the plate: purfling, button, and the numbers of the compass sheet at the centres.

use super::path::shape_path;
use super::view::use_view;
use crate::bench::{breadth, set_apart, sheet_of};
use crate::results::use_results;
use crate::showing::{ArcName, Layer, Thing, use_showing};
use crate::store::use_store;
use kurbo::Vec2;
use leptos::prelude::*;
use ribline_geometry::bench::plate::plate_drawing;
use ribline_geometry::bench::shapes;

/// From a centre to its number, and height of a number, in pixels.
const BESIDE: Vec2 = Vec2::new(5.0, -5.0);
const NUMBER: f64 = 14.0;

/// Purfling and button, in the frame of the result.
#[component]
pub fn BenchLines() -> impl IntoView {
    let store = use_store();
    let present = use_results().present();
    let shapes = Memo::new(move |_| {
        present.with(|present| {
            let result = present.as_ref()?;
            Some(store.project().with(|project| plate_drawing(project, result).shapes))
        })
    });
    let on = move |layer: shapes::Layer| {
        Memo::new(move |_| {
            let mut d = String::new();
            shapes.with(|shapes| {
                if let Some(shapes) = shapes {
                    shapes.on(layer).for_each(|path| shape_path(&mut d, path));
                }
            });
            d
        })
    };
    view! {
        <path class="bench-button" data-test="button-line" d=on(shapes::Layer::Button) />
        <path class="channel" data-test="purfling-channel" d=on(shapes::Layer::PurflingChannel) />
        <path class="purfling-line" data-test="purfling-line" d=on(shapes::Layer::Purfling) />
    }
}

/// The numbers of the compass sheet, on the screen.
#[component]
pub fn CentreNumbers() -> impl IntoView {
    let (view, showing) = (use_view(), use_showing());
    let sheet = sheet_of(use_results().present());
    let shown = showing.layer(Layer::Centres);
    let labels = Memo::new(move |_| {
        let Some(sheet) = sheet.get() else { return Vec::new() };
        let screen = view.size.get().to_rect();
        let labels = sheet.numbered_centres().into_iter().map(|(at, numbers)| {
            let text = numbers.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
            let centre = view.to_screen(at);
            let mut at = centre + BESIDE;
            // Cut by the rim, another number would be read: it stands within where its centre does, and else without.
            if screen.contains(centre) {
                at.x = at.x.min(screen.x1 - breadth(&text, NUMBER));
                at.y = at.y.max(NUMBER);
            } else if centre.x < 0.0 {
                at.x = at.x.min(-breadth(&text, NUMBER));
            }
            (at, text)
        });
        set_apart(labels.collect(), NUMBER)
    });
    // Among the numbers, that of the arc pointed at.
    let pointed = Memo::new(move |_| match showing.pointed() {
        Some(Thing::Arc(ArcName { run, piece })) => sheet.with(|sheet| {
            let strikes = &sheet.as_ref()?.strikes;
            strikes.iter().find(|s| s.run == run && s.piece == piece).map(|s| s.number.to_string())
        }),
        _ => None,
    });
    let texts = move || {
        let pointed = pointed.get();
        labels
            .get()
            .into_iter()
            .map(|(at, text)| {
                let is_pointed = pointed.as_ref().is_some_and(|one| text.split(", ").any(|n| n == one));
                view! {
                    <text
                        class:pointed=is_pointed
                        x=format!("{:.1}", at.x)
                        y=format!("{:.1}", at.y)
                    >
                        {text}
                    </text>
                }
            })
            .collect_view()
    };
    view! {
        <g class="centre-numbers" class:hidden=move || !shown.get() data-test="centre-numbers" aria-hidden="true">
            {texts}
        </g>
    }
}
