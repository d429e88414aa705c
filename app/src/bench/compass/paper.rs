//! The compass sheet on paper, by the browser's own print.

use super::picture::picture;
use super::table::StrikeText;
use super::{Sheet, effect, origin};
use crate::number::figure;
use crate::results::use_results;
use crate::store::use_store;
use crate::teach::replay::escaped;
use crate::today::today;
use crate::words::words;
use leptos::prelude::*;
use ribline_geometry::bench::compass_sheet::CompassSheet;
use ribline_geometry::project::Project;
use std::fmt::Write;

/// Empty on the screen: it is made when the browser is about to print, and only then.
#[component]
pub fn CompassPaper(sheet: Sheet, inches: Memo<bool>) -> impl IntoView {
    let store = use_store();
    let present = use_results().present();
    let place = NodeRef::<leptos::html::Div>::new();
    let fill = move |printing: bool| {
        let Some(place) = place.get_untracked() else { return };
        let sheet = sheet.get_untracked().filter(|_| printing);
        let text = sheet.zip(present.get_untracked()).map(|(sheet, result)| {
            let drawing = picture(&sheet, &result);
            store.project().with_untracked(|project| paper(project, &sheet, &drawing, inches.get_untracked()))
        });
        place.set_inner_html(&text.unwrap_or_default());
    };
    let before = window_event_listener_untyped("beforeprint", move |_| fill(true));
    let after = window_event_listener_untyped("afterprint", move |_| fill(false));
    on_cleanup(move || {
        before.remove();
        after.remove();
    });
    view! { <div class="compass-paper" data-test="compass-paper" node_ref=place></div> }
}

fn paper(project: &Project, sheet: &CompassSheet, drawing: &str, inches: bool) -> String {
    let all = words();
    let words = &all.bench().compass;
    let title = if project.title.is_empty() { all.drawing.untitled } else { &project.title };
    let what = escaped(&format!("{title}. {}", (all.drawing.face)(project.face)));
    let mut out = String::new();
    let _ = write!(
        out,
        "<header><div><h1>{}</h1><p class=\"face\">{what}</p><p>{} \u{B7} {} \u{B7} {}</p><p>{}</p><p>{}</p><p>{} {}</p></div>{drawing}</header>",
        escaped(words.heading),
        escaped(&(words.recipe)(&project.recipe.title)),
        escaped(&(words.day)(today())),
        escaped(words.not_to_scale),
        escaped(&origin(sheet)),
        escaped(&effect(sheet)),
        escaped(words.order),
        if sheet.strikes.iter().any(|s| s.off_board.is_some()) {
            escaped(words.scrap)
        } else {
            String::new()
        },
    );
    strikes(&mut out, &what, sheet, inches);
    cuts(&mut out, &what, sheet);
    out
}

/// What the sheet is of stands in the heads of its tables, which are repeated on every page: one that lies by itself at the bench
/// still tells which face it is for.
fn head_of(what: &str, columns: usize) -> String {
    format!("<tr><th class=\"of-what\" colspan=\"{columns}\">{what}</th></tr>")
}

fn strikes(out: &mut String, what: &str, sheet: &CompassSheet, inches: bool) {
    let words = &words().bench().compass;
    let over = |title: &str| format!("<th colspan=\"2\">{}</th>", escaped(title));
    let _ = write!(
        out,
        "<table><thead>{}<tr><th colspan=\"{}\"></th>{}<th></th>{}{}</tr><tr>",
        head_of(what, if inches { 12 } else { 11 }),
        if inches { 5 } else { 4 },
        over(words.centre),
        over(words.begins),
        over(words.ends)
    );
    let mut heads = vec![words.number, words.arc, words.setting];
    if inches {
        heads.push(words.setting_inches);
    }
    let pair = [words.up, words.across];
    heads.push(words.ratio);
    heads.extend(pair);
    heads.push(words.check);
    heads.extend(pair);
    heads.extend(pair);
    heads.iter().for_each(|head| {
        let _ = write!(out, "<th>{}</th>", escaped(head));
    });
    out.push_str("</tr></thead><tbody>");
    for text in StrikeText::all(sheet) {
        let mut cells = vec![text.number, text.arc, text.setting];
        if inches {
            cells.push(text.inches);
        }
        let checks = text.checks.into_iter().chain(text.off_board_short).collect::<Vec<_>>().join("; ");
        cells.extend([text.ratio, text.up, text.across, checks]);
        cells.extend(text.begins);
        cells.extend(text.ends);
        out.push_str("<tr>");
        cells.iter().for_each(|cell| {
            let _ = write!(out, "<td>{}</td>", escaped(cell));
        });
        out.push_str("</tr>");
    }
    out.push_str("</tbody></table>");
}

fn cuts(out: &mut String, what: &str, sheet: &CompassSheet) {
    let all = words();
    let words = &all.bench().compass;
    let mm = |value: f64| figure(value, sheet.digits());
    let _ = write!(
        out,
        "<table><thead>{}<tr><th></th><th colspan=\"2\">{}</th><th colspan=\"2\">{}</th><th></th></tr><tr>",
        head_of(what, 6),
        escaped(words.outer),
        escaped(words.waist)
    );
    for head in [words.corner, words.up, words.across, words.up, words.across, words.wide] {
        let _ = write!(out, "<th>{}</th>", escaped(head));
    }
    out.push_str("</tr></thead><tbody>");
    for cut in &sheet.cuts {
        let name = (all.corner_short)(cut.at);
        let _ = write!(out, "<tr><td>{}</td>", escaped(&name));
        for value in [cut.outer.y, cut.outer.x, cut.waist.y, cut.waist.x, cut.width] {
            let _ = write!(out, "<td>{}</td>", mm(value));
        }
        out.push_str("</tr>");
    }
    // In the table, so that it never comes to lie on a page without a head.
    let _ = write!(
        out,
        "</tbody><tbody><tr><td class=\"paper-caution\" colspan=\"6\">{}</td></tr></tbody></table>",
        escaped(words.caution)
    );
}
