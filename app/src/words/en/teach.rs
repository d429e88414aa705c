//! English: sharing, and what arrives from others.

use super::count;
use crate::number::figure;
use crate::words::teach::{ArrivalWords, TeachWords};
use crate::words::words;
use ribline_geometry::share::Contents;

pub static TEACH: TeachWords = TeachWords {
    shown: "Shown here",
    construction: "The construction",
    class: "Results of a class",
    lead: "Show how it is constructed, one step after the other, and hand the recipe on: as a link, or as a symbol that others scan from the screen, a wall or a print.",
    share: "Share",
    share_note: "The link holds everything itself. It goes only where you send it: whoever opens it reads it on their own device, and no server sees what it holds.",
    title: "What the recipe is called",
    author: "Who made it",
    with_trace: "With the traced line, to try it on",
    as_result: "With my settings and title too, as a result to compare",
    no_trace: "No line is traced here that could go with it.",
    rounded: "Points go along rounded to 0.01 mm; your notes stay here.",
    link: "Link",
    copy: "Copy the link",
    copied: "Copied.",
    selected: "The browser does not let the page copy. The link is selected: copy it by hand.",
    making: "The link is being made\u{2026}",
    length: |characters, version| format!("{characters} characters, link version {version}"),
    faulty: |why| format!("The recipe cannot be worked as it is, and would be shared so. {why}."),
    symbol: "Symbol to scan",
    symbol_of: |title| format!("QR symbol of the link to \u{201C}{title}\u{201D}"),
    read_from: |widths| {
        let metres = figure(0.3 * widths, 1);
        format!(
            "A telephone reads it from about {} times its width: 30 cm wide, from {metres} m.",
            figure(widths, 0)
        )
    },
    show_large: "Show it large",
    print: "Print it",
    close: "Close",
    named_by: |title, author| {
        if author.is_empty() { title.to_string() } else { format!("{title}, by {author}") }
    },
};

pub static ARRIVAL: ArrivalWords = ArrivalWords {
    opening: "Opening the link\u{2026}",
    not_opened: |why| format!("{why} Your work is as it was."),
    from_link: |contents| match contents {
        Contents::Recipe => "This link brings a recipe",
        Contents::WithTrace => "This link brings a recipe and a traced line",
        Contents::Result => {
            "This link brings a result: a recipe, and what became of it on somebody\u{2019}s ribs"
        }
    },
    from_file: |name| format!("\u{201C}{name}\u{201D} brings a recipe"),
    untitled: "Without a name",
    by: |author| format!("by {author}"),
    by_nobody: "nobody is named as its author",
    instrument: "Instrument",
    draws: "Draws",
    body_length: "Body length",
    steps: "Steps",
    carries: "Brings along",
    carried: |contents, points, title, face| match contents {
        Contents::Recipe => "nothing but the recipe".to_string(),
        Contents::WithTrace => {
            format!(
                "a traced line: {}; {}",
                count(points, "point"),
                (words().drawing.face)(face).to_lowercase()
            )
        }
        Contents::Result => {
            let title = if title.is_empty() {
                (words().drawing.untitled).to_string()
            } else {
                format!("\u{201C}{title}\u{201D}")
            };
            format!(
                "a result, {title}: {}; {}",
                count(points, "point"),
                (words().drawing.face)(face).to_lowercase()
            )
        }
    },
    link: "Link",
    version: |version| format!("version {version}"),
    note: "Note",
    outline: "Outline of the recipe",
    faulty: |why| format!("It cannot be worked as it is. {why}."),
    nothing_yet: "Nothing here has changed yet. Whatever you choose can be taken back.",
    on_example: " The ribs at hand are the invented example\u{2019}s: bring in your own under Ribs.",
    work: "Work it on my ribs",
    open: "Open it with its trace",
    to_class: "Lay it beside the class",
    keep: "Keep it on the shelf",
    leave: "Leave it",
    kept: |title| format!("\u{201C}{title}\u{201D} is on the shelf, under Set out."),
};
