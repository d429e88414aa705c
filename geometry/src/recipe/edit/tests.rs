use super::super::built_in::{built_in, violin};
use super::super::{Line, Toward};
use super::*;
use proptest::prelude::*;

fn place(recipe: &Recipe, name: &str) -> usize {
    recipe.steps.iter().position(|step| step.name == name).unwrap()
}

fn refused(recipe: &Recipe, edit: Edit) -> String {
    recipe.edited(&edit).unwrap_err().to_string()
}

#[test]
fn renaming_every_step_and_measure_changes_nothing_but_names() {
    for recipe in built_in() {
        let mut renamed = recipe.clone();
        for k in 0..recipe.steps.len() {
            renamed = renamed.edited(&Edit::Rename(Part::Step(k), format!("s{k}"))).unwrap();
        }
        for k in 0..recipe.measures.len() {
            renamed = renamed.edited(&Edit::Rename(Part::Measure(k), format!("measure {k}"))).unwrap();
        }
        let (before, after) = (recipe.evaluate().unwrap(), renamed.evaluate().unwrap());
        assert_eq!(after.outline, before.outline);
        assert_eq!(after.corners, before.corners);
        assert!(renamed.steps.iter().all(|step| step.rests_on().iter().all(|name| name.starts_with('s'))));
    }
}

#[test]
fn a_name_is_its_own_and_can_be_written() {
    let violin = violin();
    let named = |name: &str| Edit::Rename(Part::Step(3), name.into());
    assert!(refused(&violin, named("bottom")).contains("another step"));
    for bad in ["", " lower", "a \"b\"", "two\nlines", &"n".repeat(41)] {
        assert!(refused(&violin, named(bad)).contains("1 to 40 characters"), "{bad:?}");
    }
    assert!(refused(&violin, Edit::Rename(Part::Measure(1), "mm".into())).contains("not called mm"));
    assert!(refused(&violin, Edit::Rename(Part::Measure(1), "L".into())).contains("another measure"));
    // A step may be called what a measure is called, and keep its own name.
    assert!(violin.edited(&named("mm")).is_ok() && violin.edited(&named("lower 1")).is_ok());
}

#[test]
fn what_others_rest_on_goes_only_together_with_them() {
    let violin = violin();
    let part = Part::Step(place(&violin, "lower 1"));
    let why = refused(&violin, Edit::Remove { part, with_resting: false });
    assert_eq!(why, "\"lower 1\" is what \"lower 2\" rests on; they would have to go with it");
    let why = refused(&violin, Edit::Remove { part: Part::Measure(3), with_resting: false });
    assert!(why.contains("\"waist\"") && why.contains("\"waist 2\""), "{why}");

    let without = violin.edited(&Edit::Remove { part, with_resting: true }).unwrap();
    assert_eq!(without.steps.len(), violin.steps.len() - 2);
    assert_eq!(without.plan.lower, ["lower 3", "lower 4", "lower 5"]);
    // All that does not rest on it is still drawn.
    assert_eq!(without.evaluate_partial().circles.len(), violin.evaluate().unwrap().circles.len() - 2);
}

#[test]
fn a_removed_corner_leaves_the_outline_without_one_and_says_so() {
    let violin = violin();
    let part = Part::Step(place(&violin, "lower corner"));
    let without = violin.edited(&Edit::Remove { part, with_resting: true }).unwrap();
    assert_eq!(without.plan.lower_corner, "");
    let faults = without.faults();
    assert!(faults.iter().any(|fault| fault.to_string().starts_with("The lower corner is not chosen yet")));
    assert_eq!(without.evaluate_partial().whole, None);
}

#[test]
fn a_step_cannot_be_moved_before_what_it_rests_on() {
    let violin = violin();
    let (first, second) = (place(&violin, "lower 1"), place(&violin, "lower 2"));
    let why = refused(&violin, Edit::Move(Part::Step(second), first));
    // The nearer of the two that it rests on.
    assert!(why.starts_with("\"lower 2\" rests on \"lower"), "{why}");
    let why = refused(&violin, Edit::Move(Part::Step(first), second));
    assert_eq!(why, "\"lower 2\" rests on \"lower 1\" and so has to come after it");
    let moved = violin.edited(&Edit::Move(Part::Step(second), violin.steps.len() - 1)).unwrap();
    assert_eq!(moved.evaluate().unwrap().outline, violin.evaluate().unwrap().outline);
    assert!(refused(&violin, Edit::Move(Part::Measure(2), 0)).contains("first measure"));
    assert!(refused(&violin, Edit::Move(Part::Measure(2), 1)).contains("\"U\" rests on \"W\""));
}

#[test]
fn another_ratio_keeps_the_authors_own_among_those_offered() {
    let violin = violin();
    let k = place(&violin, "lower 1");
    let ratio = |text: &str| text.parse::<Ratio>().unwrap();
    let size = |text: &str| Some(Size::Ratio { ratio: ratio(text), of: "W".into() });
    let edit = |to: &str| Edit::Size { of: SizeOf::Radius(k), to: size(to), keep: Some(ratio("5/6")) };
    let chosen = violin.edited(&edit("3/4")).unwrap();
    let mut offered = chosen.steps[k].choices.clone();
    offered.sort_by_key(|r| r.largest_term());
    assert_eq!(offered, [ratio("4/5"), ratio("5/6"), ratio("7/8")]);
    // And back again, to the same recipe but for the order of what is offered.
    let back = chosen
        .edited(&Edit::Size { of: SizeOf::Radius(k), to: size("5/6"), keep: Some(ratio("3/4")) })
        .unwrap();
    assert_eq!(back.steps[k].choices.len(), violin.steps[k].choices.len());
    assert_eq!(back.evaluate().unwrap().outline, violin.evaluate().unwrap().outline);
}

#[test]
fn a_length_in_mm_is_offered_no_ratios_and_stays_within_what_can_be_struck() {
    let violin = violin();
    let k = place(&violin, "lower 1");
    let edit = |mm: f64| Edit::Size { of: SizeOf::Radius(k), to: Some(Size::Mm(mm)), keep: None };
    let in_mm = violin.edited(&edit(170.0)).unwrap();
    assert!(in_mm.steps[k].choices.is_empty());
    assert_eq!(in_mm.check(), Ok(()));
    for mm in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e9] {
        assert!(violin.edited(&edit(mm)).is_err(), "{mm}");
    }
    let of = SizeOf::Measure(1);
    assert!(refused(&violin, Edit::Size { of, to: Some(Size::Mm(206.0)), keep: None }).contains("ratio"));
    let of = SizeOf::Radius(k);
    assert!(refused(&violin, Edit::Size { of, to: None, keep: None }).contains("needs a size"));
}

#[test]
fn a_point_can_be_on_the_centreline_or_at_its_foot() {
    let mut recipe = violin();
    let k = place(&recipe, "waist");
    for of in [SizeOf::Out(k), SizeOf::Up(k)] {
        recipe = recipe.edited(&Edit::Size { of, to: None, keep: None }).unwrap();
    }
    assert_eq!(recipe.steps[k].action, Action::Point { up: None, out: None });
}

#[test]
fn a_step_can_rest_on_earlier_ones_of_the_right_kind() {
    let violin = violin();
    let k = place(&violin, "lower 2");
    let names = |places: Vec<usize>| -> Vec<&str> {
        places.into_iter().map(|k| violin.steps[k].name.as_str()).collect()
    };
    assert_eq!(names(violin.earlier(k, true)), ["bottom", "top", "widest lower"]);
    assert_eq!(names(violin.earlier(k, false)), ["lower 1", "lower 3"]);
    assert!(violin.earlier(0, true).is_empty());
}

fn any_edit() -> impl Strategy<Value = Edit> {
    let place = || 0usize..24;
    let part = || prop_oneof![(0usize..6).prop_map(Part::Measure), (0usize..24).prop_map(Part::Step)];
    let size_of = prop_oneof![
        (0usize..6).prop_map(SizeOf::Measure),
        place().prop_map(SizeOf::Radius),
        place().prop_map(SizeOf::Up),
        place().prop_map(SizeOf::Out),
    ];
    let ratio = || (1u16..20, 1u16..20).prop_map(|(over, under)| Ratio::new(over, under).unwrap());
    let name = || {
        prop::sample::select(vec![
            "L",
            "W",
            "bottom",
            "lower 1",
            "lower corner",
            "A",
            "new",
            "",
            "mm",
            "waist 2",
        ])
        .prop_map(str::to_owned)
    };
    let size = prop_oneof![
        (ratio(), prop::sample::select(vec!["L", "W", "U", "C"]))
            .prop_map(|(ratio, of)| Some(Size::Ratio { ratio, of: of.to_owned() })),
        (-5.0..900.0).prop_map(|mm| Some(Size::Mm(mm))),
        Just(None),
    ];
    let bout = || prop::sample::select(Bout::ALL.to_vec());
    let lies = prop::sample::select(vec![Toward::Neck, Toward::Bottom, Toward::Out, Toward::In]);
    prop_oneof![
        3 => (part(), name()).prop_map(|(part, name)| Edit::Rename(part, name)),
        3 => (part(), any::<bool>()).prop_map(|(part, with_resting)| Edit::Remove { part, with_resting }),
        4 => (part(), 0usize..24).prop_map(|(part, to)| Edit::Move(part, to)),
        6 => (size_of, size, prop::option::of(ratio())).prop_map(|(of, to, keep)| Edit::Size { of, to, keep }),
        1 => (part(), prop::collection::vec(ratio(), 0..60)).prop_map(|(part, ratios)| Edit::Offered(part, ratios)),
        3 => (place(), name(), lies).prop_map(|(k, point, lies)| {
            Edit::Placing(k, Placing::Through { point, centre_on: Line::Centreline, lies })
        }),
        2 => (bout(), prop::collection::vec(name(), 0..4)).prop_map(|(bout, names)| Edit::Run(bout, names)),
        1 => (bout(), name()).prop_map(|(bout, point)| Edit::Corner(bout, point)),
        // Standing in for what is added: a place.
        2 => place().prop_map(|at| Edit::AddStep { at, step: violin().new_point("p") }),
        2 => (place(), place()).prop_map(|(at, k)| Edit::AddStep { at, step: violin().new_circle(k, "c") }),
        1 => (0usize..6).prop_map(|at| Edit::AddMeasure { at, measure: violin().new_measure("more") }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Whatever is done to it, a recipe is a recipe: it is worked as far as can be, told from a good one by sentences, and
    /// read back as it was written.
    #[test]
    fn any_sequence_of_edits_leaves_a_recipe_that_is_worked_or_told_by_sentence(
        which in 0usize..built_in().len(), edits in prop::collection::vec(any_edit(), 1..25)
    ) {
        let mut recipe = built_in().swap_remove(which);
        for edit in &edits {
            match recipe.edited(edit) {
                Ok(edited) => recipe = edited,
                Err(why) => prop_assert!(why.to_string().len() > 15),
            }
            let drawn = recipe.evaluate_partial();
            prop_assert!(drawn.extent().is_finite());
            for fault in recipe.faults() {
                prop_assert!(fault.to_string().len() > 15);
                let _ = (fault.place(), fault.remedies());
            }
        }
        for k in 0..recipe.steps.len() {
            let _ = recipe.centres(k);
        }
        prop_assert_eq!(Recipe::from_json(&recipe.to_json()).unwrap(), recipe);
    }

    #[test]
    fn a_rename_keeps_what_is_drawn(
        which in 0usize..built_in().len(), edits in prop::collection::vec(any_edit(), 0..8),
        part in prop_oneof![(0usize..6).prop_map(Part::Measure), (0usize..24).prop_map(Part::Step)],
    ) {
        let mut recipe = built_in().swap_remove(which);
        for edit in &edits {
            recipe = recipe.edited(edit).unwrap_or(recipe);
        }
        if let Ok(renamed) = recipe.edited(&Edit::Rename(part, "quite another".into())) {
            let (before, after) = (recipe.evaluate_partial(), renamed.evaluate_partial());
            prop_assert_eq!(before.errors.len(), after.errors.len());
            prop_assert_eq!(before.whole.map(|whole| whole.outline), after.whole.map(|whole| whole.outline));
            let centres = |drawn: &[super::super::PlacedCircle]| drawn.iter().map(|c| (c.centre, c.radius)).collect::<Vec<_>>();
            prop_assert_eq!(centres(&before.circles), centres(&after.circles));
        }
    }

    /// Nothing is left that rests on what went.
    #[test]
    fn removing_with_what_rests_on_it_leaves_no_name_that_leads_nowhere(
        which in 0usize..built_in().len(), step in 0usize..24
    ) {
        let recipe = built_in().swap_remove(which);
        let part = Part::Step(step);
        let Ok(left) = recipe.edited(&Edit::Remove { part, with_resting: true }) else { return Ok(()) };
        prop_assert_eq!(left.steps.len() + recipe.resting_on(part).len() + 1, recipe.steps.len());
        prop_assert!(left.drafted_steps_are_whole());
    }

    #[test]
    fn the_value_offered_at_a_failed_step_does(
        which in 0usize..built_in().len(), step in 0usize..24, over in 1u16..12, under in 4u16..40
    ) {
        let recipe = built_in().swap_remove(which);
        let size = Size::Ratio { ratio: Ratio::new(over, under).unwrap(), of: "W".into() };
        let edit = Edit::Size { of: SizeOf::Radius(step), to: Some(size), keep: None };
        let Ok(failed) = recipe.edited(&edit) else { return Ok(()) };
        for error in failed.evaluate_partial().errors {
            let remedies = error.remedies();
            let super::super::error::Place::Step(at) = error.place() else { continue };
            for to in remedies {
                let mended = failed.edited(&Edit::Size { of: SizeOf::Radius(at.number - 1), to: Some(to.clone()), keep: None }).unwrap();
                let drawn = mended.evaluate_partial();
                let undecided = drawn.errors.iter().any(|e| e.place() == error.place() && e.to_string().contains("both possible centres"));
                prop_assert!(undecided || drawn.circles.iter().any(|c| c.step == at.number - 1), "{} {:?}", error, to);
            }
        }
    }
}

impl Recipe {
    fn drafted_steps_are_whole(&self) -> bool {
        self.drafted().steps.iter().all(Option::is_some)
    }
}
