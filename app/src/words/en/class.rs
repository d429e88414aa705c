//! English: the results of a class.

use super::{capital, count, end, whole_sentence};
use crate::number::entered;
use crate::words::class::ClassWords;
use ribline_geometry::class::{Alignment, CornerOf, Key, OverhangOf, SidesOf};
use ribline_geometry::outline::{Bout, Corner, Side};

pub static CLASS: ClassWords = ClassWords {
    heading: "Results of a class",
    lead: "What several people made of one recipe on their own ribs. Each sends the link \u{201C}as a result\u{201D} from Teach, or the project\u{2019}s file from Bench. They are kept on this device until you remove them, and your own work stays as it is.",
    title: |results, recipe, alike| {
        let results = count(results, "result");
        if alike {
            format!("{results} of \u{201C}{recipe}\u{201D}, bass side on the left")
        } else {
            format!("{results}, not all of one recipe, bass side on the left")
        }
    },
    nothing: "Nothing has been brought yet. Paste the links your class sends, or let their files fall here.",

    paste: "Links, as many as you like; a name before a link is taken along",
    paste_example: "Bench 1: https://\u{2026}#r=\u{2026}\nBench 2: https://\u{2026}#r=\u{2026}",
    take: "Open the links",
    choose: "Choose files\u{2026}",
    present: "Add the plate at hand",
    invent: "Show an invented class",
    invented_name: |place| format!("Bench {} (invented)", place + 1),
    bring_note: "Files can also be let fall anywhere on this page.",
    opening: "Being worked\u{2026}",
    taken: |names| match names {
        [one] => format!("\u{201C}{one}\u{201D} is there."),
        _ => format!("{} results are there.", names.len()),
    },
    not_taken: |which, why| {
        format!("{which} was not taken. {} The others are as they were.", whole_sentence(why))
    },
    the_file: |name| format!("\u{201C}{name}\u{201D}"),
    the_text: "What was pasted",
    the_link: |number, of, beside, ending, file| {
        let place = if of == 1 { "The link".to_string() } else { format!("Link {number} of {of}") };
        let file = inside(file);
        let beside = if beside.is_empty() { String::new() } else { format!(", \u{201C}{beside}\u{201D}") };
        format!("{place}{file}{beside} (ending in {ending})")
    },
    links_beyond: |from, to, file| {
        let file = inside(file);
        if from == to {
            format!("Link {to}, the last{file},")
        } else {
            format!("What is in links {from} to {to}{file}")
        }
    },
    there_already: |name| {
        format!("One of them is there already, as \u{201C}{name}\u{201D}; it was not taken twice.")
    },
    full: |most| format!("There are {most} results, which is as many as this page holds. Remove some first."),
    not_kept: |name| {
        format!(
            "The browser has no more room to keep \u{201C}{name}\u{201D}. It is shown, but gone when the page is closed."
        )
    },
    nameless: |number| format!("Result {number}"),

    name: "Name",
    about: |recipe, length, least, most, turned, left_out| {
        let turned = if turned { "; turned over" } else { "" };
        let left_out = match left_out {
            0 => String::new(),
            n => format!("; {} left out", count(n, "point")),
        };
        format!("{recipe}; {length} mm long, overhang {least} to {most} mm{turned}{left_out}")
    },
    other_recipe: |recipe| format!("Made from another recipe than the first: \u{201C}{recipe}\u{201D}."),
    remove: "Remove",
    removed: |name| format!("\u{201C}{name}\u{201D} was removed."),
    put_back: "Put it back",

    way: "Show them",
    over: "Over one another",
    beside: "Side by side",
    table: "As a table",
    brought_together: "Brought together",
    alignment: |at| match at {
        Alignment::Bottom => "at the bottom",
        Alignment::Middle => "half-way up",
        Alignment::Top => "at the top",
        Alignment::Pin => "at the lower pin",
    },
    times: "Differences drawn",
    times_as_large: |times| {
        if times == 1.0 { "as they are".to_string() } else { format!("{} times as large", entered(times, 0)) }
    },
    over_label: "The edges of all results over one another",
    over_note: |times| {
        if times == 1.0 {
            "Thin dots: the mean of all. Point at a line or a name to bring it out.".to_string()
        } else {
            format!(
                "Thin dots: the mean of all. Each line\u{2019}s distance from it is drawn {} times as large. Point at a line or a name to bring it out.",
                entered(times, 0)
            )
        }
    },
    beside_note: |times| {
        let larger = if times == 1.0 {
            String::new()
        } else {
            format!(", its distance {} times as large", entered(times, 0))
        };
        format!("All to one scale, each against the mean of all (thin dots){larger}.")
    },
    beside_figures: |length, [least, mean, most], sides| {
        format!("{length} mm; overhang {least} \u{2013} {mean} \u{2013} {most}; sides up to {sides} apart")
    },

    most_different: "What differs most",
    figure: "Figure",
    unit: "Unit",
    apart: "differ by",
    from: "least",
    to: "most",
    order_note: "In mm and degrees. The most different stands first, each measured by what is noticeable in its kind: 0.1 mm of overhang, 0.2 mm of a corner\u{2019}s width or between the sides, 0.5 mm of a length, 1\u{b0} of direction, 1 % of a radius.",
    key,
    degrees: |figure| format!("{figure}\u{b0}"),
    save: "Save the table (CSV)",
    file: "class",
};

fn key(key: &Key) -> String {
    let text = match key {
        Key::Measure { title, name } => if title.is_empty() { name } else { title }.clone(),
        Key::Overhang(of) => match of {
            OverhangOf::Least => "least overhang",
            OverhangOf::Mean => "mean overhang",
            OverhangOf::Most => "most overhang",
            OverhangOf::OffWanted => "overhang, off what was wanted (rms)",
        }
        .to_string(),
        Key::Sides(of) => match of {
            SidesOf::Most => "sides apart, at most".to_string(),
            SidesOf::Mean => "sides apart (rms)".to_string(),
            SidesOf::HalfWidth(bout) => format!("treble half of the {} wider by", bout_name(*bout)),
        },
        Key::Corner { at, of } => {
            let what = match of {
                CornerOf::Up => "up from the bottom",
                CornerOf::Out => "out from the centreline",
                CornerOf::Width => "width",
                CornerOf::Direction => "direction",
                CornerOf::Beyond => "beyond the ribs' corner",
            };
            format!("{}, {what}", corner(*at))
        }
        Key::Radius { circle, .. } => format!("radius of {circle}"),
        Key::Chosen { name } => format!("the recipe\u{2019}s ratio for {name}"),
    };
    capital(&text)
}

fn inside(file: &str) -> String {
    if file.is_empty() { String::new() } else { format!(" in \u{201C}{file}\u{201D}") }
}

fn corner(at: Corner) -> String {
    let side = match at.side() {
        Side::Left => "bass",
        Side::Right => "treble",
    };
    format!("{} {side} corner", end(at))
}

fn bout_name(bout: Bout) -> &'static str {
    match bout {
        Bout::Lower => "lower bout",
        Bout::Waist => "waist",
        Bout::Upper => "upper bout",
    }
}
