//! Links in the long run: those that were made once still open and mean what they meant, whatever recipes there are
//! come back as they were, and none is longer than it may be.

use proptest::prelude::*;
use proptest::sample::Index;
use ribline_geometry::outline::Bout;
use ribline_geometry::project::Project;
use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::built_in::built_in;
use ribline_geometry::recipe::{
    Action, BareWords, Customary, Edit, Line, Part, Placing, Recipe, Size, SizeOf, Step, Touch, TouchFrom,
    Toward,
};
use ribline_geometry::share::{Contents, Shared, VERSION, address, read, version_of, write};
use std::path::{Path, PathBuf};

const PAGE: &str = "https://recipes.example.org/ribline/";

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("links")
}

/// Every link in `tests/links` is read as it was on the day it was made. A link is never changed there; those of a new
/// version are added by `cargo run -p ribline-tests --bin links`.
#[test]
fn every_link_that_was_ever_made_opens_and_means_what_it_meant() {
    for version in 1..=VERSION {
        let of_version = folder().join(format!("v{version}"));
        let mut tried = 0;
        for entry in std::fs::read_dir(&of_version).expect("links of every version") {
            let path = entry.expect("an entry").path();
            if path.extension().is_none_or(|ending| ending != "link") {
                continue;
            }
            let name = path.display().to_string();
            let text = std::fs::read_to_string(&path).expect("a link");
            assert_eq!(version_of(&text), Some(version), "{name}");
            let shared = read(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
            let meant = std::fs::read_to_string(path.with_extension("json")).expect("what it means");
            let meant = Project::from_json(&meant).unwrap_or_else(|error| panic!("{name}: {error}"));
            assert_eq!(shared.clone().into_project(), meant, "{name}");
            let contents = ["recipe", "trace", "result"][shared.contents() as usize];
            assert!(name.contains(&format!("{contents}-")), "{name} holds a {contents}");
            tried += 1;
        }
        assert!(tried > 0, "no link of version {version}");
    }
}

#[test]
fn a_built_in_recipe_with_changed_ratios_is_a_link_under_200_characters() {
    for mut recipe in built_in() {
        let parts =
            (0..recipe.measures.len()).map(Part::Measure).chain((0..recipe.steps.len()).map(Part::Step));
        for part in parts.collect::<Vec<_>>() {
            let name = match part {
                Part::Measure(k) => recipe.measures[k].name.clone(),
                Part::Step(k) => recipe.steps[k].name.clone(),
            };
            if let Some(choice) = part.choices(&recipe).first().copied() {
                recipe = recipe.chosen(&name, choice).expect("a ratio on offer");
            }
        }
        let link = address::link(PAGE, &write(&Shared::Recipe(recipe)).unwrap()).unwrap();
        assert!(link.len() < 200, "{} characters: {link}", link.len());
    }
}

/// Made in the page from an empty recipe, step by step as a maker would: every part of it is its own.
#[test]
fn a_full_recipe_made_from_scratch_is_a_link_under_2000_characters() {
    let violin = built_in().remove(0);
    let mut recipe = bare(&violin);
    let own = |edit: Edit, recipe: &mut Recipe| *recipe = recipe.edited(&edit).unwrap();
    own(Edit::Title("Quartett-Bratsche nach eigenem Riss".into()), &mut recipe);
    own(Edit::Author("Werkstatt am Wehr (erfunden)".into()), &mut recipe);
    own(
        Edit::Note("Die Zargen zuerst, dann von unten nach oben; die Ecken zuletzt. ".repeat(5)),
        &mut recipe,
    );
    for (k, step) in violin.steps.iter().enumerate() {
        let mut step = Step { name: format!("{} {k}", step.name), ..step.clone() };
        if let Action::Circle { radius, placed } = &mut step.action {
            *radius =
                Size::Ratio { ratio: Ratio::new(7 + k as u16, 31 + 2 * k as u16).unwrap(), of: "W".into() };
            *placed = Placing::CentredOn { point: recipe.steps[1].name.clone() };
        } else if let Action::Point { up, out } = &mut step.action {
            *up = Some(Size::Ratio { ratio: Ratio::new(3, 17 + k as u16).unwrap(), of: "L".into() });
            *out = Some(Size::Mm(1.5 * k as f64 + 0.25));
        }
        own(Edit::AddStep { at: recipe.steps.len(), step }, &mut recipe);
    }
    let circles: Vec<String> = recipe
        .steps
        .iter()
        .filter(|step| matches!(step.action, Action::Circle { .. }))
        .map(|step| step.name.clone())
        .collect();
    for (bout, of) in Bout::ALL.into_iter().zip(circles.chunks(5)) {
        own(Edit::Run(bout, of.to_vec()), &mut recipe);
    }
    assert!(recipe.steps.len() >= 20);
    let link = address::link(PAGE, &write(&Shared::Recipe(recipe)).unwrap()).unwrap();
    assert!(link.len() < 2000, "{} characters", link.len());
}

fn bare(of: &Recipe) -> Recipe {
    of.bare(BareWords {
        title: "New recipe",
        body_length: "body length",
        lower_width: "lower width",
        bottom: "bottom",
        top: "top",
    })
}

/// What is drawn by lot for one change: kinds and places are taken from it as they are needed.
#[derive(Debug, Clone)]
struct Lot {
    kind: u8,
    places: [Index; 4],
    ratio: (u16, u16),
    mm: f64,
    word: String,
}

fn any_lot() -> impl Strategy<Value = Lot> {
    let word = "[a-z \u{e4}\u{3a9}\u{5c0f}0-9]{1,14}";
    (0u8..14, any::<[Index; 4]>(), (1u16..60, 1u16..60), 0.05..400.0, word).prop_map(
        |(kind, places, ratio, mm, word)| Lot { kind, places, ratio, mm, word: word.trim().to_owned() },
    )
}

/// One change to a recipe, drawn by lot among all that an author can make.
fn change(recipe: &Recipe, lot: &Lot) -> Edit {
    let [a, b, c, d] = &lot.places;
    let (measures, steps) = (recipe.measures.len(), recipe.steps.len());
    let part = |index: &Index| {
        let k = index.index(measures + steps);
        if k < measures { Part::Measure(k) } else { Part::Step(k - measures) }
    };
    let ratio = Ratio::new(lot.ratio.0, lot.ratio.1).unwrap();
    let of = recipe.measures[b.index(measures)].name.clone();
    let size = if lot.mm < 60.0 { Size::Mm(lot.mm) } else { Size::Ratio { ratio, of } };
    let step = a.index(steps);
    let name = |index: &Index| recipe.steps[index.index(steps)].name.clone();
    let toward = [Toward::Neck, Toward::Bottom, Toward::Out, Toward::In][c.index(4)];
    let touch = |index: &Index, other: &Index| Touch {
        circle: name(index),
        from: [TouchFrom::Inside, TouchFrom::Outside][other.index(2)],
    };
    let placing = match d.index(5) {
        0 => Placing::CentredOn { point: name(b) },
        1 => Placing::Through { point: name(b), centre_on: Line::Centreline, lies: toward },
        2 => Placing::Through { point: name(b), centre_on: Line::CrossAt { point: name(c) }, lies: toward },
        3 => Placing::TouchingTwo { one: touch(b, a), other: touch(c, b), lies: toward },
        _ => Placing::TouchingThrough { one: touch(b, a), point: name(c), lies: toward },
    };
    match lot.kind {
        0 | 1 => {
            let of = match (&recipe.steps[step].action, c.index(3)) {
                (_, 0) => SizeOf::Measure(d.index(measures)),
                (Action::Circle { .. }, _) => SizeOf::Radius(step),
                (Action::Point { .. }, 1) => SizeOf::Up(step),
                (Action::Point { .. }, _) => SizeOf::Out(step),
            };
            Edit::Size { of, to: (lot.mm > 5.0).then_some(size), keep: Some(ratio) }
        }
        2 => Edit::Rename(part(a), lot.word.clone()),
        3 => Edit::Offered(part(a), vec![ratio, Ratio::new(lot.ratio.1, 61).unwrap()]),
        4 => Edit::Looseness(part(a), lot.mm / 100.0),
        5 => Edit::Placing(step, placing),
        6 => Edit::Move(part(a), b.index(measures.max(steps))),
        7 => Edit::Remove { part: part(a), with_resting: c.index(2) == 0 },
        8 => Edit::Run(Bout::ALL[a.index(3)], vec![name(b), name(c), name(d)]),
        9 => Edit::Corner([Bout::Lower, Bout::Upper][a.index(2)], name(b)),
        10 => Edit::AddMeasure { at: b.index(measures) + 1, measure: recipe.new_measure(&lot.word) },
        11 => {
            let action = match d.index(3) {
                0 => Action::Point { up: Some(size), out: (c.index(2) == 0).then_some(Size::Mm(lot.mm)) },
                _ => Action::Circle { radius: size, placed: placing },
            };
            let mut step = recipe.steps[step].clone();
            (step.name, step.action, step.looseness) = (lot.word.clone(), action, lot.mm / 50.0);
            Edit::AddStep { at: a.index(steps) + 1, step }
        }
        12 => match a.index(3) {
            0 => Edit::Title(lot.word.clone()),
            1 => Edit::Author(lot.word.clone()),
            _ => Edit::Note(lot.word.repeat(1 + b.index(20))),
        },
        _ => Edit::Customary(Customary { overhang: lot.mm / 100.0, ..recipe.customary }),
    }
}

/// A built-in recipe or an empty one, after so many changes of which those that are refused are left out.
fn any_recipe() -> impl Strategy<Value = Recipe> {
    let begins = built_in().len() + 1;
    // Few changes mostly leave it workable, many mostly do not; a link carries either.
    let lots = prop_oneof![prop::collection::vec(any_lot(), 0..4), prop::collection::vec(any_lot(), 0..40)];
    (0..begins, lots).prop_map(|(begin, lots)| {
        let all = built_in();
        let mut recipe = all.get(begin).cloned().unwrap_or_else(|| bare(&all[0]));
        for lot in &lots {
            // With everything taken out of it there is nothing left to change.
            if recipe.steps.is_empty() || recipe.measures.is_empty() {
                break;
            }
            if let Ok(edited) = recipe.edited(&change(&recipe, lot)) {
                recipe = edited;
            }
        }
        recipe
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// Whatever an author makes of a recipe comes back to the last bit, whether it can be worked yet or not.
    #[test]
    fn any_recipe_comes_back_from_its_link_as_it_was(recipe in any_recipe()) {
        let shared = Shared::Recipe(recipe);
        let text = write(&shared).expect("a link");
        prop_assert_eq!(read(&text), Ok(shared));
    }

    /// Cutting a link short, or another character in it, is noticed and never opens something else.
    #[test]
    fn a_link_changed_on_the_way_never_opens_something_else(
        recipe in any_recipe(), at in any::<Index>(), other in "[A-Za-z0-9_-]",
    ) {
        let shared = Shared::Recipe(recipe);
        let text = write(&shared).expect("a link");
        let place = at.index(text.len());
        prop_assert!(read(&text[..place]).is_err());
        let mut changed = text.clone();
        changed.replace_range(place..place + 1, &other);
        // The bits of the last character beyond the last byte mean nothing.
        prop_assert!(read(&changed).map_or(true, |back| changed == text || back == shared));
    }
}

#[test]
fn recipes_drawn_by_lot_differ_in_kind_and_some_can_be_worked() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::{Config, RngSeed, TestRunner};
    let mut runner = TestRunner::new(Config { rng_seed: RngSeed::Fixed(7), ..Config::default() });
    let drawn: Vec<Recipe> =
        (0..300).map(|_| any_recipe().new_tree(&mut runner).expect("a recipe").current()).collect();
    let workable = drawn.iter().filter(|recipe| recipe.check().is_ok()).count();
    let steps = drawn.iter().map(|recipe| recipe.steps.len());
    assert!(workable > 30, "{workable} of {}", drawn.len());
    let longest = built_in().iter().map(|recipe| recipe.steps.len()).max();
    let (most, fewest) = (steps.clone().max(), steps.min());
    assert!(most > longest && fewest < Some(6), "from {fewest:?} to {most:?} steps");
    assert_eq!(Contents::ALL.len(), 3);
}
