//! Saves links of the present version for the tests to open ever after: `cargo run -p ribline-tests --bin links`. What is
//! there stays as it is.

use ribline_geometry::bench::wish::BenchWish;
use ribline_geometry::mould::MouldWish;
use ribline_geometry::outline::{Face, FaceUp, Plate};
use ribline_geometry::project::Project;
use ribline_geometry::recipe::{BareWords, Edit, Recipe, Size, built_in};
use ribline_geometry::reconcile::{Finish, Overhang, Traced, Wish};
use ribline_geometry::share::{Contents, Shared, version_of, write};
use ribline_geometry::trace::{HowTaken, Trace};
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};
use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("links");
    for (name, shared) in samples()? {
        let text = write(&shared)?;
        let version = version_of(&text).ok_or("a link without a version")?;
        let file = folder.join(format!("v{version}")).join(format!("{name}.link"));
        if !file.exists() {
            std::fs::create_dir_all(file.parent().ok_or("a folder")?)?;
            std::fs::write(&file, format!("{text}\n"))?;
            std::fs::write(file.with_extension("json"), shared.rounded().into_project().to_json())?;
            println!("{}: {} characters", file.display(), text.len());
        }
    }
    Ok(())
}

/// A link of each kind, each named for what it holds.
fn samples() -> Result<Vec<(&'static str, Shared)>, Box<dyn std::error::Error>> {
    let mut changed = built_in::viola().chosen("W", "7/12".parse()?)?;
    changed.measures[0].size = Size::Mm(412.25);
    changed.title = "Weir Lane viola, narrow below".into();
    changed.author = "Evening class (invented)".into();
    let mut from_scratch = built_in::violin().bare(BareWords {
        title: "Begun anew",
        body_length: "body length",
        lower_width: "lower width",
        bottom: "bottom",
        top: "top",
    });
    from_scratch = from_scratch.edited(&Edit::Note("Not yet an outline. \u{5c0f}".into()))?;
    let mut odd = built_in::violin();
    odd.steps[3].looseness = 0.1 + 0.2;
    odd.title = "With fields from elsewhere".into();

    let project = |recipe: Recipe, trace: Trace, title: &str| {
        let wish = Wish {
            traced: Traced::Purfling,
            overhang: Overhang { lower: 2.6, waist: 2.4, upper: 2.5 },
            finish: Finish::Fitted,
            ..Wish::customary(&recipe)
        };
        let face = Face { plate: Plate::Front, up: FaceUp::Outside };
        Project { title: title.into(), face, ..Project::new(recipe, trace, wish) }
    };
    let line = |recipe: &Recipe, points| {
        let mut rng = StdRng::seed_from_u64(11);
        let departures = Departures { points, ..Departures::default() };
        let edge = true_edge(recipe, &departures, &mut rng);
        traced(&edge, &departures, &mut rng).trace
    };
    let plain = project(built_in::violin(), line(&built_in::violin(), 20), "Bench seven (invented)");
    let mut set = plain.clone();
    for (k, point) in set.trace.points.iter_mut().enumerate() {
        point.taken = [HowTaken::Tapped, HowTaken::Followed, HowTaken::Moved][k % 3];
    }
    let mut mould = MouldWish::customary(&set.recipe);
    mould.rib_thickness = 1.15;
    set.mould = Some(mould);
    set.bench = Some(BenchWish { left_for_the_file: 0.35, ..BenchWish::customary(&set.recipe) });
    Ok(vec![
        ("recipe-violin", Shared::Recipe(built_in::violin())),
        ("recipe-viol", Shared::Recipe(built_in::built_in().pop().ok_or("a recipe")?)),
        ("recipe-changed", Shared::Recipe(changed)),
        ("recipe-from-scratch", Shared::Recipe(from_scratch)),
        ("recipe-odd", Shared::Recipe(odd)),
        ("trace-given", Shared::of(plain.clone(), Contents::WithTrace)),
        ("result-plain", Shared::of(plain, Contents::Result)),
        ("trace-tapped", Shared::of(set.clone(), Contents::WithTrace)),
        ("result-with-mould-and-bench", Shared::of(set, Contents::Result)),
    ])
}
