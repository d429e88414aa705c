use super::lit::{LitPart, TwoCentres};
use super::path::{circle_path, cross, outline_path};
use super::view::use_view;
use crate::controls::When;
use crate::recipe::{use_composing, use_last_construction};
use crate::results::use_results;
use crate::showing::{Step, use_showing};
use leptos::prelude::*;

/// Arms of a marked point's cross, in pixels.
const MARK: f64 = 4.0;

/// The recipe itself, as far as it can be worked: its circles on the half where they are struck, its marked points, and
/// the outline they end in; the last outline that went, faintly, while there is none.
#[component]
pub fn RecipeDrawing() -> impl IntoView {
    let (results, composing) = (use_results(), use_composing());
    composing.heed_the_hand();
    let last = use_last_construction();
    let scale = use_view().scale();
    let outline = Memo::new(move |_| {
        results
            .drawn
            .with(|drawn| drawn.whole.as_ref().map(|whole| outline_path(&whole.outline)).unwrap_or_default())
    });
    let before = Memo::new(move |_| {
        // Asked for also while it is not drawn: else it would not be remembered.
        let last = last.get();
        last.filter(|_| outline.with(String::is_empty)).map(|c| outline_path(&c.outline)).unwrap_or_default()
    });
    let circles = Memo::new(move |_| {
        results.drawn.with(|drawn| {
            drawn.circles.iter().map(|circle| circle_path(circle.centre, circle.radius)).collect::<String>()
        })
    });
    let marks = Memo::new(move |_| {
        let arm = MARK / scale.get();
        results.drawn.with(|drawn| {
            let mut d = String::new();
            drawn.points.iter().for_each(|point| cross(&mut d, point.at, arm));
            drawn.circles.iter().for_each(|circle| cross(&mut d, circle.centre, arm));
            d
        })
    });
    let centreline = Memo::new(move |_| {
        results.drawn.with(|drawn| {
            let extent = drawn.extent();
            format!("M0 {:.2}V{:.2}", extent.y0 - 12.0, extent.y1 + 12.0)
        })
    });
    let beside = Memo::new(move |_| {
        composing.beside_drawn.with(|other| {
            let whole = other.as_ref().and_then(|other| other.whole.as_ref());
            whole.map(|whole| outline_path(&whole.outline)).unwrap_or_default()
        })
    });
    let step = use_showing().step;
    view! {
        <path class="plate" d=outline />
        <path class="centreline" d=centreline />
        <path class="recipe-circles" data-test="recipe-circles" d=circles />
        <path class="centres" d=marks />
        <path class="edge before" d=before />
        <path class="edge" data-test="recipe-outline" d=outline />
        <path class="beside" data-test="beside-outline" d=beside />
        <When holds=move || step.get() == Step::SetOut>
            <LitPart />
            <TwoCentres />
        </When>
    }
}
