use super::letter::{class, dashes, letter};
use super::room::{Room, use_room};
use crate::drawing::path::polyline;
use crate::words::words;
use kurbo::{Point, Rect};
use leptos::prelude::*;
use ribline_geometry::class::Overlay;

/// Room around the lines, mm.
const MARGIN: f64 = 12.0;

/// All edges over one another about their mean.
#[component]
pub fn Overlaid() -> impl IntoView {
    let room = use_room();
    let drawn = Memo::new(move |_| Drawn(room.overlay()));
    let view_box = move || {
        let Rect { x0, y0, x1, y1 } = drawn.with(|drawn| bounds(&drawn.0)).inflate(MARGIN, MARGIN);
        format!("{x0:.1} {:.1} {:.1} {:.1}", -y1, x1 - x0, y1 - y0)
    };
    let sizes = Memo::new(move |_| drawn.with(|drawn| bounds(&drawn.0)).height());
    let mean = move || drawn.with(|drawn| closed(&drawn.0.mean));
    let centreline = move || {
        let bounds = drawn.with(|drawn| bounds(&drawn.0));
        format!("M0 {:.1}V{:.1}", -bounds.y0 + 8.0, -bounds.y1 - 8.0)
    };
    let lines = move || {
        drawn.with(|drawn| {
            room.with_good(|good| {
                good.iter()
                    .zip(&drawn.0.lines)
                    .map(|((place, brought, _), line)| {
                        one(room, *place, brought.number, &brought.name, line, good.len(), sizes.get())
                    })
                    .collect_view()
            })
        })
    };
    view! {
        <svg class="overlaid" viewBox=view_box role="img" aria-label=words().class().over_label data-test="class-overlaid">
            <path class="centreline" d=centreline />
            <path class="mean" d=mean data-test="class-mean" />
            {lines}
        </svg>
        <p class="note class-note">{move || (words().class().over_note)(room.times.get())}</p>
    }
    .into_any()
}

/// Told on only when something moves.
#[derive(Clone, PartialEq)]
struct Drawn(Overlay);

fn one(
    room: Room,
    place: usize,
    number: u32,
    name: &str,
    line: &[Point],
    count: usize,
    height: f64,
) -> AnyView {
    let pointed = move || match room.pointed.get() {
        Some(other) if other == number => " pointed",
        Some(_) => " faded",
        None => "",
    };
    // Each has its letter at another place of its line, on both sides in turn.
    let at = line.get((line.len() * (2 * place + 1)) / (2 * count.max(place + 1)));
    let mark = at.map(|at| {
        view! {
            <text x=format!("{:.2}", at.x) y=format!("{:.2}", -at.y) font-size=format!("{:.2}", 0.022 * height)>{letter(place)}</text>
        }
        .into_any()
    });
    view! {
        <g
            class=move || format!("result{}", pointed())
            data-test="class-line"
            on:pointerenter=move |_| room.point_at(Some(number))
            on:pointerleave=move |_| room.point_at(None)
        >
            <title>{format!("{}: {name}", letter(place))}</title>
            <path class="grip" d=closed(line) />
            <path class=class(place) stroke-dasharray=dashes(place) d=closed(line) />
            {mark}
        </g>
    }
    .into_any()
}

/// A closed line as it stands on the screen, where y runs down.
pub fn closed(line: &[Point]) -> String {
    let down: Vec<Point> = line.iter().map(|point| Point::new(point.x, -point.y)).collect();
    let mut d = polyline(&down);
    d.push('Z');
    d
}

pub fn bounds(overlay: &Overlay) -> Rect {
    let mut all = overlay.lines.iter().chain([&overlay.mean]).flatten();
    let Some(first) = all.next() else { return Rect::new(-100.0, 0.0, 100.0, 355.0) };
    all.fold(Rect::from_points(*first, *first), |bounds, point| bounds.union_pt(*point))
}
