use super::labels::{Label, without_overlaps};
use super::ribbon::{Grade, exaggeration, figures, ribbon_of, wanted_line};
use super::view::use_view;
use crate::controls::When;
use crate::number::figure;
use crate::results::use_results;
use crate::showing::{Layer, Step, use_showing};
use crate::words::words;
use kurbo::{Point, Rect, Size, Vec2};
use leptos::prelude::*;

/// From the ribbon's rim to the middle of its figure, in pixels.
const STAND_OFF: f64 = 15.0;
const FIGURE_HEIGHT: f64 = 15.0;
/// Width of a letter of a figure, in pixels, generously.
const LETTER: f64 = 7.4;
/// What a centre takes up, in pixels: its cross alone, and with the number that stands beside it at the bench.
const CROSS: Rect = Rect::new(-5.0, -5.0, 5.0, 5.0);
const CROSS_AND_NUMBER: Rect = Rect::new(-5.0, -20.0, 26.0, 5.0);

#[component]
pub fn OverhangRibbon() -> impl IntoView {
    let results = use_results();
    let shown = use_showing().layer(Layer::Ribbon);
    let times = Memo::new(move |_| results.with_shown(exaggeration).unwrap_or(1.0));
    let grades = Grade::ALL
        .map(|grade| {
            let d = Memo::new(move |_| {
                results.with_shown(|r| ribbon_of(&r.overhang, grade, times.get())).unwrap_or_default()
            });
            let pattern = match grade {
                Grade::Thin | Grade::RatherThin => Some("pattern-thin"),
                Grade::Full | Grade::RatherFull => Some("pattern-full"),
                Grade::Even => None,
            };
            view! {
                <path class=format!("ribbon {}", grade.class()) d=d />
                {pattern.map(|id| view! {
                    <path class=format!("ribbon-pattern {}", grade.class()) d=d fill=format!("url(#{id})") />
                })}
            }
        })
        .collect_view();
    let wanted =
        Memo::new(move |_| results.with_shown(|r| wanted_line(&r.overhang, times.get())).unwrap_or_default());
    view! {
        <g data-test="ribbon" class:hidden=move || !shown.get() aria-hidden="true">
            {grades}
            <path class="wanted-line" d=wanted />
        </g>
    }
}

/// Two patterns that tell thin from full without colour: slanting strokes, and dots.
#[component]
pub fn RibbonPatterns() -> impl IntoView {
    let scale = use_view().scale();
    // Patterns are laid in board units; divided by the scale they keep their size on the screen.
    let transform = move |turn: f64| format!("rotate({turn}) scale({:.5})", 1.0 / scale.get());
    view! {
        <defs>
            <pattern
                id="pattern-thin"
                width="6"
                height="6"
                patternUnits="userSpaceOnUse"
                patternTransform=move || transform(45.0)
            >
                <path class="hatch-thin" d="M0 3H6" />
            </pattern>
            <pattern
                id="pattern-full"
                width="6"
                height="6"
                patternUnits="userSpaceOnUse"
                patternTransform=move || transform(0.0)
            >
                <circle class="hatch-full" cx="3" cy="3" r="1.3" />
            </pattern>
        </defs>
    }
}

/// The overhang in figures at about a dozen places, none over another.
#[component]
pub fn RibbonFigures() -> impl IntoView {
    let results = use_results();
    let view = use_view();
    let showing = use_showing();
    let shown = showing.layer(Layer::Ribbon);
    let centres_shown = showing.layer(Layer::Centres);
    // Where crosses, pins and the names of the sides stand already.
    let marks = move || {
        let at_centre = if showing.step.get() == Step::Bench { CROSS_AND_NUMBER } else { CROSS };
        let around = |at: Point, mark: Rect| mark + view.to_screen(at).to_vec2();
        let mut marks = results
            .with_shown(|r| {
                let pins = [r.pins.lower, r.pins.upper].into_iter().flatten().map(|at| around(at, CROSS));
                let centres = r.arcs.iter().filter(|_| centres_shown.get());
                pins.chain(centres.map(|arc| around(arc.arc.centre, at_centre))).collect::<Vec<_>>()
            })
            .unwrap_or_default();
        let width = view.size.get().width;
        marks.push(Rect::new(30.0, 6.0, 125.0, 30.0));
        marks.push(Rect::new(width - 112.0, 6.0, width, 30.0));
        marks
    };
    let labels = move || {
        let screen = view.size.get();
        let times = results.with_shown(exaggeration).unwrap_or(1.0);
        let all = results.with_shown(|r| figures(&r.overhang, times)).unwrap_or_default();
        let placed = all.into_iter().map(|f| {
            let text = (words().drawing.overhang_figure)(&figure(f.overhang, 1), f.grade);
            let out = Vec2::new(f.outward.x, -f.outward.y);
            let size = Size::new(LETTER * text.chars().count() as f64, FIGURE_HEIGHT);
            // Wider than high: a figure beside the ribbon stands further off than one above it.
            let stand_off = STAND_OFF + 0.5 * (size.width - FIGURE_HEIGHT).max(0.0) * out.x.abs();
            let rim = view.to_screen(f.rim);
            Label {
                middle: rim + stand_off * out,
                outward: out,
                needed: f.worst && screen.to_rect().contains(rim),
                size,
                text,
                class: f.grade.class(),
            }
        });
        without_overlaps(placed, &marks(), screen)
            .into_iter()
            .map(|label| {
                view! {
                    <text
                        class=format!("figure {}", label.class)
                        x=format!("{:.1}", label.middle.x)
                        y=format!("{:.1}", label.middle.y)
                    >
                        {label.text}
                    </text>
                }
            })
            .collect_view()
    };
    view! {
        <When holds=move || shown.get()>
            <g class="figures" data-test="overhang-figures">{move || labels()}</g>
        </When>
    }
}
