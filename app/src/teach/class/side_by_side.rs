use super::letter::{class, dashes, letter};
use super::overlaid::{bounds, closed};
use super::room::{Brought, Room, use_room};
use crate::number::figure;
use crate::words::words;
use kurbo::Rect;
use leptos::prelude::*;
use ribline_geometry::class::{Key, Member, OverhangOf, SidesOf};

/// Room around the lines, mm.
const MARGIN: f64 = 8.0;

/// Each edge by itself, all to one scale, against the mean of all.
#[component]
pub fn SideBySide() -> impl IntoView {
    let room = use_room();
    let pictures = move || {
        let overlay = room.overlay();
        let Rect { x0, y0, x1, y1 } = bounds(&overlay).inflate(MARGIN, MARGIN);
        let view_box = format!("{x0:.1} {:.1} {:.1} {:.1}", -y1, x1 - x0, y1 - y0);
        let mean = closed(&overlay.mean);
        room.with_good(|good| {
            good.iter()
                .zip(&overlay.lines)
                .map(|((place, brought, member), line)| {
                    picture(room, *place, brought, member, &view_box, &mean, &closed(line))
                })
                .collect_view()
        })
    };
    view! {
        <div class="side-by-side" data-test="class-beside">{pictures}</div>
        <p class="note class-note">{move || (words().class().beside_note)(room.times.get())}</p>
    }
    .into_any()
}

fn picture(
    room: Room,
    place: usize,
    brought: &Brought,
    member: &Member,
    view_box: &str,
    mean: &str,
    line: &str,
) -> AnyView {
    let number = brought.number;
    let value = |key: Key| {
        member.figures.iter().find(|f| f.key == key).map_or("\u{2013}".to_owned(), |f| figure(f.value, 1))
    };
    let overhang = [OverhangOf::Least, OverhangOf::Mean, OverhangOf::Most].map(|of| value(Key::Overhang(of)));
    let words = words().class();
    let figures = (words.beside_figures)(
        &figure(member.top.y - member.bottom.y, 1),
        &overhang,
        &value(Key::Sides(SidesOf::Most)),
    );
    view! {
        <figure
            data-test="class-picture"
            class:pointed=move || room.pointed.get() == Some(number)
            on:pointerenter=move |_| room.point_at(Some(number))
            on:pointerleave=move |_| room.point_at(None)
        >
            <svg viewBox=view_box.to_owned() role="img" aria-label=brought.name.clone()>
                <path class="between" d=format!("{mean}{line}") />
                <path class="mean" d=mean.to_owned() />
                <path class=class(place) stroke-dasharray=dashes(place) d=line.to_owned() />
            </svg>
            <figcaption>
                <span><b>{letter(place)}</b>" "{brought.name.clone()}</span>
                <span class="note figures">{figures}</span>
            </figcaption>
        </figure>
    }
    .into_any()
}
