use super::path::{circle_path, cross, outline_path};
use super::view::use_view;
use crate::results::use_results;
use kurbo::Point;
use leptos::prelude::*;

/// Arms of a marked point's cross, in pixels.
const MARK: f64 = 4.0;

/// The recipe itself: its circles on the half where they are struck, its marked points, and the outline they end in.
#[component]
pub fn RecipeDrawing() -> impl IntoView {
    let results = use_results();
    let scale = use_view().scale();
    let outline = Memo::new(move |_| {
        results.shown_construction.with(|c| c.as_ref().map(|c| outline_path(&c.outline)).unwrap_or_default())
    });
    let circles = Memo::new(move |_| {
        results.shown_construction.with(|c| {
            c.as_ref()
                .map(|c| {
                    c.circles
                        .iter()
                        .map(|circle| circle_path(circle.centre, circle.radius))
                        .collect::<String>()
                })
                .unwrap_or_default()
        })
    });
    let marks = Memo::new(move |_| {
        let arm = MARK / scale.get();
        results.shown_construction.with(|c| {
            let mut d = String::new();
            if let Some(c) = c {
                c.points.iter().for_each(|point| cross(&mut d, point.at, arm));
                c.circles.iter().for_each(|circle| cross(&mut d, circle.centre, arm));
            }
            d
        })
    });
    let centreline = Memo::new(move |_| {
        results.shown_construction.with(|c| {
            let bounds = c.as_ref().map(|c| c.outline.bounds()).unwrap_or_default();
            let (foot, head) = (Point::new(0.0, bounds.y0 - 12.0), Point::new(0.0, bounds.y1 + 12.0));
            format!("M0 {:.2}V{:.2}", foot.y, head.y)
        })
    });
    view! {
        <path class="plate" d=outline />
        <path class="centreline" d=centreline />
        <path class="recipe-circles" d=circles />
        <path class="centres" d=marks />
        <path class="edge" data-test="recipe-outline" d=outline />
    }
}
