use super::*;
use crate::recipe::built_in::{built_in, violin};
use crate::recipe::{Action, Customary, Size};

fn there_and_back(shared: &Shared) -> String {
    let text = write(shared).unwrap();
    assert_eq!(read(&text).unwrap(), *shared, "{text}");
    text
}

#[test]
fn a_built_in_recipe_is_a_few_characters() {
    for recipe in built_in() {
        let text = there_and_back(&Shared::Recipe(recipe));
        assert!(text.len() <= 24, "{text}");
    }
}

/// Other ratios for every measure and every circle, another length, another name and author: still under 200 characters,
/// address and all.
#[test]
fn a_built_in_recipe_with_every_ratio_changed_stays_short() {
    for mut recipe in built_in() {
        recipe.measures[0].size = Size::Mm(352.75);
        recipe.title = "After the class of spring".into();
        recipe.author = "M. Liutaio".into();
        let names = recipe.measures.iter().map(|m| &m.name).chain(recipe.steps.iter().map(|s| &s.name));
        for name in names.cloned().collect::<Vec<_>>() {
            let step = recipe.steps.iter().find(|step| step.name == name).map(|step| &step.choices);
            let measure = recipe.measures.iter().find(|m| m.name == name).map(|m| &m.choices);
            if let Some(choice) = step.or(measure).and_then(|choices| choices.last()).copied() {
                recipe = recipe.chosen(&name, choice).unwrap();
            }
        }
        let text = there_and_back(&Shared::Recipe(recipe));
        let link = address::link("https://recipes.example.org/ribline/", &text).unwrap();
        assert!(link.len() < 200, "{} characters: {link}", link.len());
    }
}

#[test]
fn a_full_recipe_of_ones_own_stays_under_two_thousand_characters() {
    let recipe = of_ones_own();
    let text = there_and_back(&Shared::Recipe(recipe));
    assert!(text.len() < 1900, "{} characters", text.len());
}

/// Twenty-five steps, none of them called or sized as in a built-in recipe, and a note of two hundred words.
fn of_ones_own() -> Recipe {
    let mut recipe = violin();
    let called = |name: &str, k: usize| format!("{} {k}", &name.chars().rev().collect::<String>());
    let names: Vec<(String, String)> =
        recipe.steps.iter().enumerate().map(|(k, step)| (step.name.clone(), called(&step.name, k))).collect();
    let mut json = recipe.to_json();
    // Those of one word are also words of the file's own.
    for (old, new) in names.into_iter().filter(|(old, _)| old.contains(' ')) {
        json = json.replace(&format!("\"{old}\""), &format!("\"{new}\""));
    }
    recipe = Recipe::from_json(&json).unwrap();
    for k in 0..5usize {
        let mut step = recipe.steps[2].clone();
        step.name = format!("sound hole mark {k}");
        step.looseness = 0.35 + k as f64;
        recipe.steps.push(step);
    }
    for (k, step) in recipe.steps.iter_mut().enumerate() {
        if let Action::Circle { radius: Size::Ratio { ratio, .. }, .. } = &mut step.action {
            *ratio = crate::ratio::Ratio::new(17 + k as u16, 40 + 3 * k as u16).unwrap();
        }
    }
    recipe.title = "Kleine Bratsche nach eigenem Riss, sechste Fassung".into();
    recipe.author = "Werkstatt am Wehr".into();
    recipe.note = (0..200).map(|k| ["rib ", "plate ", "swells ", "gently ", "towards "][k * k % 5]).collect();
    assert_eq!(recipe.steps.len(), 25);
    recipe
}

#[test]
fn what_is_new_in_a_recipe_and_not_known_here_is_shared_too() {
    let mut recipe = violin();
    recipe.unknown.insert("arching", serde_json::json!({"heights": [15.5, null, {"at": "bridge"}]}).into());
    recipe.steps[3].unknown.insert("colour", Value::String("ochre".into()));
    recipe.measures[1].unknown.insert("seen", serde_json::json!([1, -2, 3.0]).into());
    recipe.title = "Скрипка · ヴァイオリン · 🎻 · כינור".into();
    recipe.customary = Customary { overhang: 0.1 + 0.2, ..recipe.customary };
    there_and_back(&Shared::Recipe(recipe));
}

#[test]
fn what_is_shared_of_a_project_is_a_project_again() {
    let recipe = violin();
    let trace = crate::trace::read("run,x_mm,y_mm\npin-lower,0,0\nlower-left,-3.25,7.5\n").unwrap();
    let wish = Wish { traced: Traced::Purfling, tolerance: 0.75, ..Wish::customary(&recipe) };
    let face = Face { plate: crate::outline::Plate::Front, up: crate::outline::FaceUp::Outside };
    let (title, notes, unknown) = ("A front".to_owned(), "Mine alone".to_owned(), Default::default());
    let project = Project { title, notes, face, unknown, ..Project::new(recipe, trace, wish) };
    for contents in Contents::ALL {
        let shared = Shared::of(project.clone(), contents);
        assert_eq!((shared.contents(), Contents::numbered(contents as u8)), (contents, Some(contents)));
        there_and_back(&shared);
        let back = shared.into_project();
        assert_eq!((&back.recipe, &*back.notes), (&project.recipe, ""));
        let with_trace = contents != Contents::Recipe;
        assert_eq!((back.trace == project.trace, back.face == face), (with_trace, with_trace));
        assert_eq!(back.wish == wish, contents == Contents::Result);
        assert_eq!(back.wish.traced == Traced::Purfling, with_trace);
    }
}

#[test]
fn a_result_brings_mould_and_bench_along_in_a_link_of_the_second_version() {
    let recipe = violin();
    let trace = crate::trace::read("x_mm,y_mm\n-3.25,7.5\n4,8\n").unwrap();
    let plain = Project::new(recipe.clone(), trace, Wish::customary(&recipe));
    let version = |project: &Project, contents| {
        version_of(&there_and_back(&Shared::of(project.clone(), contents))).unwrap()
    };
    assert_eq!(version(&plain, Contents::Result), 1, "pages of then open it");

    let mut mould = MouldWish::customary(&recipe);
    mould.rib_thickness = 1.25;
    let mut bench = BenchWish::customary(&recipe);
    bench.left_for_the_file = 0.35;
    let set = Project { mould: Some(mould), bench: Some(bench), ..plain.clone() };
    assert_eq!(version(&set, Contents::Result), 2);
    assert_eq!(version(&set, Contents::WithTrace), 1, "a recipe to try leaves them out");
    let back = Shared::of(set, Contents::Result).into_project();
    assert_eq!((back.mould, back.bench), (Some(mould), Some(bench)));

    let mut tapped = plain;
    tapped.trace.points[1].taken = crate::trace::HowTaken::Tapped;
    for (contents, wanted) in [(Contents::Recipe, 1), (Contents::WithTrace, 2), (Contents::Result, 2)] {
        assert_eq!(version(&tapped, contents), wanted, "{contents:?}");
    }
}

#[test]
fn a_length_that_is_no_number_cannot_be_shared() {
    let mut recipe = violin();
    recipe.measures[0].size = Size::Mm(f64::NAN);
    assert_eq!(write(&Shared::Recipe(recipe)), Err(ShareError::NotExact));
}

#[test]
fn a_recipe_beyond_all_reason_cannot_be_shared() {
    let mut recipe = violin();
    recipe.note = "m".repeat(EXPANDED_LIMIT);
    assert_eq!(write(&Shared::Recipe(recipe)), Err(ShareError::TooLarge));
    let mut recipe = violin();
    // Letters that no compressor can make less of: the powers of a primitive root.
    recipe.note = (0..12_000)
        .scan(1u64, |power, _| {
            *power = *power * 16807 % 2_147_483_647;
            Some(char::from(b'!' + (*power >> 8) as u8 % 90))
        })
        .collect();
    assert!(matches!(write(&Shared::Recipe(recipe)), Err(ShareError::TooLong { .. })));
}

#[test]
fn every_character_missing_changed_or_added_is_noticed() {
    let mut recipe = violin();
    recipe.title = "One of many".into();
    let text = write(&Shared::Recipe(recipe.clone())).unwrap();
    for end in 1..text.len() {
        let error = read(&text[..end]).unwrap_err();
        assert!(matches!(error, LinkError::CutShort { .. }), "{end}: {error}");
    }
    for at in 0..text.len() {
        for other in ['A', '7', '_'] {
            let mut changed = text.clone();
            changed.replace_range(at..at + 1, &other.to_string());
            // The bits of the last character beyond the last byte mean nothing.
            assert!(changed == text || at + 1 == text.len() || read(&changed).is_err(), "{at}: {changed}");
        }
    }
    assert!(matches!(read(&format!("{text}AAAA")), Err(LinkError::Longer { .. })));
    assert_eq!(read(&format!("{text}ü")), Err(LinkError::Character { at: text.len() + 1, found: 'ü' }));
    let wrapped = format!(" {}\n{}). ", &text[..10], &text[10..]);
    assert_eq!(read(&wrapped), Ok(Shared::Recipe(recipe)), "what mail does to a link");
}

#[test]
fn links_of_another_version_kind_or_edition_are_told_from_damaged_ones() {
    let sealed = |kind: u8, body: &[u8]| envelope::sealed_as(1, kind, body);
    assert_eq!(read("AwAA"), Err(LinkError::NewerVersion { found: 3 }));
    assert_eq!(read("AAAA"), Err(LinkError::Damaged));
    assert_eq!(read(" \n"), Err(LinkError::Empty));
    assert_eq!(read(&sealed(9, &[0])), Err(LinkError::NewerKind));
    assert_eq!(read(&sealed(0, &[1, 1, 2, 3, 4])), Err(LinkError::UnknownEdition));
    assert_eq!(
        read(&sealed(0, &[0, 4, 1])),
        Err(LinkError::Recipe("found 1, expected a recipe in { }".into()))
    );
    assert!(matches!(read(&"A".repeat(LONGEST_LINK + 1)), Err(LinkError::TooLong { .. })));
}

#[test]
fn no_link_expands_beyond_64_kib() {
    let compressed = |body: &[u8]| {
        let body = miniz_oxide::deflate::compress_to_vec(body, 10);
        envelope::sealed_as(1, 0x10, &body)
    };
    let long = vec![0u8; EXPANDED_LIMIT + 1];
    assert!(compressed(&long).len() < 400, "a short link");
    assert_eq!(read(&compressed(&long)), Err(LinkError::ExpandsTooFar));
    // Just at the limit it is expanded, and then refused for what it says.
    assert_eq!(
        read(&compressed(&long[1..])),
        Err(LinkError::Recipe("found null, expected a recipe in { }".into()))
    );
}

#[test]
fn a_link_keeps_to_its_part_of_the_address() {
    use address::{link, link_in, step_in};
    let text = write(&Shared::Recipe(violin())).unwrap();
    let whole = link("http://127.0.0.1:8080/#edge", &text).unwrap();
    assert_eq!((link_in(&whole), step_in(&whole)), (Some(&*text), None));
    assert_eq!(step_in("http://127.0.0.1:8080/#edge"), Some("edge"));
    assert_eq!((link_in("#teach&r=AQ"), step_in("#teach&r=AQ")), (Some("AQ"), Some("teach")));
    assert_eq!((link_in(""), step_in("http://127.0.0.1:8080/")), (None, None));
    assert!(link(&"h".repeat(LONGEST_LINK), &text).is_err());
}
