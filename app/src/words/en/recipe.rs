//! English: reading, changing and keeping recipes.

use super::{capital, count};
use crate::number::{entered, figure};
use crate::words::recipe::{RecipeWords, ShelfWords};
use ribline_geometry::outline::Bout;
use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::{
    Action, Dimension, Line, Measure, Part, Placing, PlacingKind, Purpose, Recipe, Size, Slot, Step, Touch,
    TouchFrom, Toward,
};

pub static RECIPE: RecipeWords = RecipeWords {
    measure: |recipe, measure, mm| {
        let size = match &measure.size {
            Size::Mm(mm) => format!("{} mm", entered(*mm, 2)),
            size => {
                let mm = mm.map(|mm| format!(": {} mm", figure(mm, 1))).unwrap_or_default();
                format!("{}{mm}", part(recipe, size))
            }
        };
        format!("The {} is {size}.", title_of(measure))
    },
    step,
    run,
    size: part,
    edit_refused: |why| format!("Not done: {why}."),

    measures: "Measures",
    steps: "Steps",
    outline: "Outline",
    about: "About this recipe",
    to_put_right: |n| match n {
        1 => "One thing to put right".to_string(),
        n => format!("{n} things to put right"),
    },

    ratio: "Ratio",
    over: "upper number",
    under: "lower number",
    more: |what| format!("One more, {what}"),
    less: |what| format!("One less, {what}"),
    part_of: "Part of",
    none_of: "nothing",
    in_mm: "a length in mm",
    departs: "A length in mm, not a ratio: it does not follow the body. As a ratio it would be near",
    typed_unlike: "Write a ratio such as 3/4 or 3:4, or a length such as 12.5 mm.",
    measure_in_mm: |mm, of| format!("A measure is a ratio. {mm} mm is near these of the {of}:"),
    offered: "Offered here",
    offer_this: "Keep this ratio on offer",
    offer_none: "Offer this ratio alone",
    up: "Up the centreline",
    out: "Out from the centreline",
    radius: "Compass setting",

    letter: "Letter",
    measure_title: "What it is",
    body_length_first: "The body length is the one measure in mm. Every other is a part of an earlier one.",
    dimension: "On the outline it is",
    dimension_name: |dimension| match dimension {
        None => "not measured",
        Some(Dimension::BodyLength) => "the body length",
        Some(Dimension::LowerWidth) => "the lower width",
        Some(Dimension::WaistWidth) => "the waist width",
        Some(Dimension::UpperWidth) => "the upper width",
    },
    looseness: "Looseness",
    looseness_note: "How far ribs may be expected to leave it.",
    add_measure: "Add a measure",
    new_measure: "new measure",

    name: "Name",
    placed: "Placed",
    kind: |kind| match kind {
        PlacingKind::CentredOn => "centred on a point",
        PlacingKind::OnCentreline => "through a point, centre on the centreline",
        PlacingKind::OnCrossLine => "through a point, centre on a cross line",
        PlacingKind::TouchingTwo => "touching two circles",
        PlacingKind::TouchingThrough => "touching a circle, through a point",
    },
    slot: |kind, slot| match (kind, slot) {
        (PlacingKind::CentredOn, _) => "Centre on",
        (_, Slot::Point) => "Through",
        (_, Slot::CrossLine) => "Cross line at",
        (_, Slot::One) => "Touching",
        (_, Slot::Other) => "and touching",
    },
    from: |from| match from {
        TouchFrom::Inside => "inside",
        TouchFrom::Outside => "outside",
    },
    which: "Which of the two centres",
    toward: |toward| match toward {
        Toward::Neck => "the upper",
        Toward::Bottom => "the lower",
        Toward::Out => "the outer",
        Toward::In => "the inner",
    },
    choose_none: "choose\u{2026}",
    tap: "Tap it in the drawing",
    tapping: |point| {
        if point {
            "Tap a point in the drawing."
        } else {
            "Tap a circle in the drawing, on its line or its centre."
        }
    },
    would_do: |size| format!("Take {size}"),
    earlier: "Earlier",
    later: "Later",
    add_point: "Add a point",
    add_circle: "Add a circle",
    point_stem: "point",
    circle_stem: "circle",
    insert_after: "After this one",
    remove: "Remove",
    remove_too: |recipe, of| {
        let names: Vec<String> = recipe
            .resting_on(of)
            .into_iter()
            .map(|part| match part {
                Part::Measure(k) => recipe.measures.get(k).map(|m| format!("the {}", title_of(m))),
                Part::Step(k) => recipe.steps.get(k).map(|step| step.name.clone()),
            })
            .map(Option::unwrap_or_default)
            .collect();
        match names.as_slice() {
            [] => "The outline uses it, and would be left open there.".to_string(),
            [one] => format!("{} rests on it and would go with it.", capital(one)),
            _ => format!("{} rest on it and would go with it.", capital(&listed(&names))),
        }
    },
    remove_all: |others| match others {
        0 => "Remove it".to_string(),
        n => format!("Remove all {}", n + 1),
    },
    leave: "Leave it",

    run_of: |bout| match bout {
        Bout::Lower => "From the bottom to the lower corner",
        Bout::Waist => "From the lower corner to the upper corner",
        Bout::Upper => "From the top to the upper corner",
    },
    tap_circles: "Tap the circles in order",
    tap_circles_note: "Tap in the drawing the circles that the line follows, one after the other. Tapping the last again takes it back.",
    done: "Done",
    remove_one: |name| format!("Take {name} out of the run"),
    add_circle_to_run: "add a circle\u{2026}",
    corner_point: |bout| match bout {
        Bout::Upper => "Upper corner",
        Bout::Lower | Bout::Waist => "Lower corner",
    },

    title: "Title",
    author: "Author",
    note: "Note",
    purpose: "It draws",
    purpose_name: |purpose| match purpose {
        Purpose::PlateEdge => "the plate\u{2019}s edge",
        Purpose::Mould => "the mould",
    },
    customary: "Customary, in mm",
    customary_note: "These do not grow with the body.",
    customary_names: [
        "Overhang",
        "Tolerance",
        "Corner width",
        "Edge to middle of purfling",
        "Purfling width",
    ],
    bare_title: "New recipe",
    body_length: "body length",
    lower_width: "lower width",
    bottom: "bottom",
    top: "top",
    instrument_name: super::instrument_name,
};

pub static SHELF: ShelfWords = ShelfWords {
    shelf: "Shelf",
    lead: "Recipes kept on this device.",
    empty: "Nothing is kept here yet.",
    keep: "Keep this recipe",
    kept: |title| format!("\u{201C}{title}\u{201D} is on the shelf."),
    copy: "Begin from a copy",
    bare: "Begin an almost bare one",
    open_file: "Open a recipe file\u{2026}",
    save_file: "Save as a file",
    recipe_file: "recipe",
    take: "Work with it",
    duplicate: "Duplicate",
    rename: "Name",
    remove: "Remove",
    save: "Save as a file",
    removed: |title| format!("\u{201C}{title}\u{201D} was taken off the shelf."),
    put_back: "Put it back",
    damaged: |why| {
        format!("This one cannot be read ({why}). It is left untouched: save it as a file, or remove it.")
    },
    not_kept: "This browser does not let the page keep it. Save the recipe as a file instead.",
    here: "the one at hand",
    by: |author| format!("by {author}"),

    compare: "Compare",
    compare_one: "One recipe",
    at_hand: |title| format!("the one at hand, \u{201C}{title}\u{201D}"),
    compare_with: "Beside",
    compare_none: "nothing",
    at_one_length: "Both at one body length",
    present: "first",
    other: "other",
    difference: "difference",
    alike: "The two are alike in all measures and steps.",
    differing: "Differing",
    outline: "Outline",
    arcs_of: |bout| format!("Arcs, {}", bout_name(bout)),
    only: "\u{2013}",
    legend: |title| format!("Dashed: {title}"),
    solid: |title| format!("Solid: {title}"),
    overlaid: "Both outlines over one another, the bottom in one place",
};

fn bout_name(bout: Bout) -> &'static str {
    match bout {
        Bout::Lower => "lower run",
        Bout::Waist => "waist run",
        Bout::Upper => "upper run",
    }
}

pub(super) fn title_of(measure: &Measure) -> &str {
    if measure.title.is_empty() { &measure.name } else { &measure.title }
}

fn part(recipe: &Recipe, size: &Size) -> String {
    match size {
        Size::Mm(mm) => format!("{} mm", entered(*mm, 2)),
        Size::Ratio { ratio, of } => {
            let whole =
                recipe.measures.iter().find(|measure| measure.name == *of).map_or(of.as_str(), title_of);
            if *ratio == Ratio::ONE {
                format!("the {whole}")
            } else if ratio.under() == 1 {
                format!("{ratio} times the {whole}")
            } else {
                format!("{ratio} of the {whole}")
            }
        }
    }
}

/// A step's name within a sentence: words that describe take an article, a letter or a number of the trade does not.
pub(super) fn the(name: &str) -> String {
    let described = name.chars().count() > 2
        && name.chars().next().is_some_and(|c| c.is_ascii_lowercase())
        && !name.chars().any(|c| c.is_ascii_digit());
    match name {
        "" => "\u{2026}".to_string(),
        _ if described => format!("the {name}"),
        _ => name.to_string(),
    }
}

fn listed(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn step(recipe: &Recipe, step: &Step) -> String {
    match &step.action {
        Action::Point { up: None, out: None } => "Mark it at the foot of the centreline.".to_string(),
        Action::Point { up: Some(up), out: None } => {
            format!("Mark it on the centreline, {} up.", part(recipe, up))
        }
        Action::Point { up, out: Some(out) } => {
            let up = up.as_ref().map_or("at the foot".to_string(), |up| format!("{} up", part(recipe, up)));
            format!("Mark it {up} and {} out.", part(recipe, out))
        }
        Action::Circle { radius, placed } => format!("Strike {} {}.", part(recipe, radius), placing(placed)),
    }
}

fn placing(placed: &Placing) -> String {
    match placed {
        Placing::CentredOn { point } => format!("centred on {}", the(point)),
        Placing::Through { point, centre_on: Line::Centreline, lies } => {
            let way = if *lies == Toward::Bottom { "below" } else { "above" };
            format!("through {}, centre on the centreline {way}", the(point))
        }
        Placing::Through { point, centre_on: Line::CrossAt { point: at }, lies } => {
            let way = if *lies == Toward::Out { "further out" } else { "further in" };
            if at == point {
                format!("through {}, centre level with it and {way}", the(point))
            } else {
                format!("through {}, centre level with {} and {way}", the(point), the(at))
            }
        }
        Placing::TouchingTwo { one, other, lies } => {
            let circles = if one.from == other.from {
                format!("touching {} and {} from {}", the(&one.circle), the(&other.circle), from(one))
            } else {
                format!(
                    "touching {} from {} and {} from {}",
                    the(&one.circle),
                    from(one),
                    the(&other.circle),
                    from(other)
                )
            };
            format!("{circles}, {} of the two centres", (RECIPE.toward)(*lies))
        }
        Placing::TouchingThrough { one, point, lies } => format!(
            "touching {} from {} and through {}, {} of the two centres",
            the(&one.circle),
            from(one),
            the(point),
            (RECIPE.toward)(*lies)
        ),
    }
}

fn from(touch: &Touch) -> &'static str {
    (RECIPE.from)(touch.from)
}

fn run(recipe: &Recipe, bout: Bout) -> String {
    let plan = &recipe.plan;
    let (circles, end) = match bout {
        Bout::Lower => (&plan.lower, Some(&plan.lower_corner)),
        Bout::Waist => (&plan.waist, None),
        Bout::Upper => (&plan.upper, Some(&plan.upper_corner)),
    };
    let whole = capital(bout_name(bout));
    if circles.is_empty() {
        return format!("The {} has no circles yet.", bout_name(bout));
    }
    let made = listed(&circles.iter().map(|name| the(name)).collect::<Vec<_>>());
    let arcs = count(circles.len(), "arc");
    match end {
        Some(corner) if corner.is_empty() => {
            format!("{whole}, {arcs}: {made}. Where it meets the waist is not chosen yet.")
        }
        Some(corner) => format!("{whole}, {arcs}: {made}. It meets the waist at {}.", the(corner)),
        None => format!("{whole}, {arcs}: {made}, from corner to corner."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ribline_geometry::recipe::Edit;
    use ribline_geometry::recipe::built_in::violin;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    fn said(recipe: &Recipe, name: &str) -> String {
        step(recipe, recipe.steps.iter().find(|step| step.name == name).expect("a step of that name"))
    }

    #[test]
    fn steps_are_said_as_one_would_say_them_at_the_bench() {
        let violin = violin();
        for (name, sentence) in [
            ("bottom", "Mark it at the foot of the centreline."),
            ("top", "Mark it on the centreline, the body length up."),
            ("widest lower", "Mark it 5/24 of the body length up and 1/2 of the lower width out."),
            ("lower 1", "Strike 5/6 of the lower width through the bottom, centre on the centreline above."),
            (
                "lower 3",
                "Strike 3/10 of the lower width through the widest lower, centre level with it and further in.",
            ),
            (
                "lower 2",
                "Strike 4/9 of the lower width touching lower 1 and lower 3 from inside, the lower of the two centres.",
            ),
            (
                "lower 5",
                "Strike 1/6 of the lower width touching lower 4 from outside and through the lower corner, \
                 the lower of the two centres.",
            ),
        ] {
            assert_eq!(said(&violin, name), sentence);
        }
    }

    #[test]
    fn measures_are_named_by_what_they_are() {
        let violin = violin();
        let sentence = |k: usize, mm| (RECIPE.measure)(&violin, &violin.measures[k], mm);
        assert_eq!(sentence(0, Some(355.0)), "The body length is 355 mm.");
        assert_eq!(sentence(1, Some(202.857)), "The lower width is 4/7 of the body length: 202.9 mm.");
        assert_eq!(sentence(1, None), "The lower width is 4/7 of the body length.");
    }

    #[test]
    fn a_run_says_its_circles_and_where_it_ends() {
        let violin = violin();
        assert_eq!(
            run(&violin, Bout::Lower),
            "Lower run, 5 arcs: lower 1, lower 2, lower 3, lower 4 and lower 5. It meets the waist at the lower corner."
        );
        let none = violin.edited(&Edit::Run(Bout::Waist, Vec::new())).expect("an edit");
        assert_eq!(run(&none, Bout::Waist), "The waist run has no circles yet.");
    }

    #[test]
    fn removing_says_what_goes_with_it() {
        let violin = violin();
        assert_eq!((RECIPE.remove_too)(&violin, Part::Step(3)), "Lower 2 rests on it and would go with it.");
        assert!((RECIPE.remove_too)(&violin, Part::Measure(3)).ends_with("rest on it and would go with it."));
    }
}
