//! The replay on paper: every step numbered, its drawing small, its sentence below it.

use super::keys::is_dialog_open;
use super::lengths;
use super::pen::{Canvas, escaped};
use super::picture;
use super::player::Player;
use super::scene::Scene;
use crate::drawing::Placement;
use crate::number::figure;
use crate::today::today;
use crate::words::words;
use kurbo::{Size, Vec2};
use leptos::prelude::*;
use ribline_geometry::recipe::Size as Part;
use std::fmt::Write;

/// A drawing's size on paper, in its own pixels; the style sheet gives it its millimetres.
const DRAWING: Size = Size::new(320.0, 400.0);
const MARGIN: f64 = 12.0;
const TYPE_SIZE: f64 = 14.0;

/// Empty on the screen: it is made when the browser is about to print, and only then.
#[component]
pub fn Sequence(player: Player) -> impl IntoView {
    let place = NodeRef::<leptos::html::Div>::new();
    let fill = move |printing: bool| {
        let Some(place) = place.get_untracked() else { return };
        let scene = player.scene.get_untracked().filter(|_| printing);
        place.set_inner_html(&scene.map(|scene| sequence(&scene)).unwrap_or_default());
    };
    let before = window_event_listener_untyped("beforeprint", move |_| {
        // What lies over the page is printed by itself.
        fill(!is_dialog_open());
    });
    let after = window_event_listener_untyped("afterprint", move |_| fill(false));
    on_cleanup(move || {
        before.remove();
        after.remove();
    });
    view! { <div class="sequence" data-test="replay-sequence" node_ref=place></div> }.into_any()
}

fn sequence(scene: &Scene) -> String {
    let mut out = String::new();
    head(&mut out, scene);
    let room = Size::new(DRAWING.width - 2.0 * MARGIN, DRAWING.height - 2.0 * MARGIN);
    let place = Placement::fitting(scene.extent, room).shifted(Vec2::new(MARGIN, MARGIN));
    let canvas = Canvas { place, size: DRAWING, type_size: TYPE_SIZE };
    let replay = words().replay();
    out.push_str("<ol>");
    for (k, frame) in scene.replay.frames.iter().enumerate() {
        let _ = write!(
            out,
            "<li><svg class=\"replay-picture\" viewBox=\"0 0 {} {}\" style=\"--u:1px\" aria-hidden=\"true\">{}</svg><h2><span>{}</span> {}</h2><p>{}</p><p class=\"replay-how\">{}</p></li>",
            DRAWING.width,
            DRAWING.height,
            picture::complete(scene, k, &canvas),
            k + 1,
            escaped(&(replay.name)(&scene.recipe, frame.act)),
            escaped(&(replay.sentence)(&scene.recipe, frame)),
            escaped(&(replay.how)(&scene.recipe, frame)),
        );
    }
    let _ = write!(out, "</ol><p class=\"sequence-caution\">{}</p>", escaped(replay.caution));
    out
}

/// What it is of: title, author, the measures, the day.
fn head(out: &mut String, scene: &Scene) {
    let all = words();
    let replay = all.replay();
    let recipe = &scene.recipe;
    let instrument = (all.set_out().instrument_name)(recipe.instrument);
    let today = today();
    let today = (replay.printed_on)(&format!("{}-{:02}-{:02}", today.year, today.month, today.day));
    let about = [instrument, recipe.author.as_str(), today.as_str()].map(escaped);
    let about: Vec<&str> = about.iter().map(String::as_str).filter(|part| !part.is_empty()).collect();
    let _ = write!(
        out,
        "<header><h1>{}</h1><p>{}</p><p>{}</p><table class=\"figures\"><thead><tr>",
        escaped(&recipe.title),
        about.join(" \u{00B7} "),
        escaped(&recipe.note)
    );
    for heading in [all.edge().measure, all.edge().ratio, replay.millimetres] {
        let _ = write!(out, "<th>{}</th>", escaped(heading));
    }
    out.push_str("</tr></thead><tbody>");
    for (measure, mm) in recipe.measures.iter().zip(&scene.lengths) {
        let ratio = match &measure.size {
            Part::Mm(_) => String::new(),
            ratio => lengths::size(ratio),
        };
        let mm = mm.map(|mm| figure(mm, 1)).unwrap_or_default();
        let name = format!("{} {}", measure.title, measure.name);
        let cells = [name, ratio, mm].map(|cell| format!("<td>{}</td>", escaped(&cell)));
        let _ = write!(out, "<tr>{}</tr>", cells.concat());
    }
    out.push_str("</tbody></table></header>");
}
