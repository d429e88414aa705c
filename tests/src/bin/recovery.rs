//! How well known edges are found again, in a table:
//! `cargo run --release -p ribline-tests --bin recovery -- [SEEDS [PART OF A NAME [FIRST SEED]]]`.
//!
//! Every figure is over the noise but those of the ribs that wobble, which are mm. A star marks one beyond its limit.

use ribline_geometry::recipe::built_in;
use ribline_geometry::reconcile::{Finish, Overhang, Wish, reconcile};
use ribline_tests::constructions::{self, Construction};
use ribline_tests::simulate::{
    Departures, SeedableRng, Simulated, StdRng, furthest_overhang, misfit, traced, true_edge,
};
use std::ops::Range;
use std::time::Instant;

fn simulated(construction: &Construction, departures: &Departures, seed: u64) -> Simulated {
    let mut rng = StdRng::seed_from_u64(seed);
    let edge = true_edge(&construction.made_by, departures, &mut rng);
    traced(&edge, departures, &mut rng)
}

fn wish(finish: Finish, departures: &Departures) -> Wish {
    let mut wish = Wish::customary(&built_in::violin());
    wish.finish = finish;
    wish.overhang = Overhang::even(departures.overhang);
    wish
}

/// Over the seeds in order: the middle one and that in nineteen out of twenty.
fn middle_and_most(list: &[f64]) -> [f64; 2] {
    let mut list = list.to_vec();
    list.sort_by(f64::total_cmp);
    [0.5, 0.95].map(|part| {
        list.get(((list.len() as f64 - 1.0) * part).round() as usize).copied().unwrap_or(f64::NAN)
    })
}

fn told(figure: f64, limit: f64) -> String {
    format!("{figure:.2}{}", if figure > limit { '*' } else { ' ' })
}

/// What came of the ribs of some seeds.
#[derive(Default)]
struct Figures {
    rms: Vec<f64>,
    worst: Vec<f64>,
    times: Vec<f64>,
    furthest: Vec<f64>,
    failures: usize,
}

impl Figures {
    /// They are reconciled with their own recipe if it is built in, else with the one that suits them best.
    fn of(construction: &Construction, departures: &Departures, finish: Finish, seeds: Range<u64>) -> Self {
        let mut figures = Figures::default();
        for seed in seeds {
            let simulated = simulated(construction, departures, seed);
            let wish = wish(finish, departures);
            let recipe = if construction.built_in {
                construction.made_by.clone()
            } else {
                constructions::suited(&simulated.trace, &wish)
            };
            let started = Instant::now();
            let result = reconcile(&simulated.trace, &recipe, &wish);
            figures.times.push(started.elapsed().as_secs_f64() * 1e3);
            match result {
                Ok(found) => {
                    let outline = found.edge.outline.moved(found.frame.angle, found.frame.origin.to_vec2());
                    let off = misfit(&simulated.edge, &outline);
                    figures.rms.push(off.rms / departures.noise);
                    figures.worst.push(off.worst / departures.noise);
                    figures.furthest.push(furthest_overhang(&simulated, &found, departures.overhang));
                }
                Err(error) => {
                    figures.failures += 1;
                    eprintln!("{}, seed {seed}: {error}", construction.name);
                }
            }
        }
        figures
    }

    fn together(all: Vec<Figures>) -> Self {
        all.into_iter().fold(Figures::default(), |mut together, one| {
            together.rms.extend(one.rms);
            together.worst.extend(one.worst);
            together.times.extend(one.times);
            together.furthest.extend(one.furthest);
            together.failures += one.failures;
            together
        })
    }

    fn tell(&self, name: &str, noise: &str, departures: &Departures, finish: Finish) {
        let (half, most) = if departures.points >= 30 { (0.6, 0.9) } else { (0.8, 1.2) };
        let [time, _] = middle_and_most(&self.times);
        print!("{name:<36} {finish:?}  n={:<2} noise {noise:<10}  ", departures.points);
        if departures.wobble > 0.0 {
            let [middle, nearly_all] = middle_and_most(&self.furthest);
            print!("wobble {:.2}: overhang off {middle:.2} {}", departures.wobble, told(nearly_all, 0.5));
        } else {
            let [middle, nearly_all] = middle_and_most(&self.rms);
            let [_, at_worst] = middle_and_most(&self.worst);
            print!("rms {} {}  worst {}", told(middle, half), told(nearly_all, most), told(at_worst, 3.0));
            if departures.mistaken > 0.0 {
                print!("  with {:.0} % mistaken", departures.mistaken * 100.0);
            }
        }
        println!(
            "  {time:.1} ms{}",
            match self.failures {
                0 => String::new(),
                failures => format!("  {failures} failed"),
            }
        );
    }
}

fn row(construction: &Construction, departures: Departures, finish: Finish, seeds: Range<u64>) {
    let noise = format!("{:.2}", departures.noise);
    Figures::of(construction, &departures, finish, seeds).tell(
        construction.name,
        &noise,
        &departures,
        finish,
    );
}

fn main() {
    let argument = |n| std::env::args().nth(n);
    let count: u64 = argument(1).and_then(|a| a.parse().ok()).unwrap_or(50);
    let only = argument(2).unwrap_or_default();
    let first: u64 = argument(3).and_then(|a| a.parse().ok()).unwrap_or(1000);
    let seeds = first..first + count;
    println!("middle and 95 in 100 of the seeds {seeds:?}");
    for construction in constructions::all().into_iter().chain(constructions::viols()) {
        if !construction.name.contains(&only) {
            continue;
        }
        for points in [10, 30, 45] {
            let departures = Departures { points, ..Departures::default() };
            let each = [0.1, 0.2, 0.3].map(|noise| {
                let departures = Departures { noise, ..departures };
                let figures = Figures::of(&construction, &departures, Finish::Fitted, seeds.clone());
                figures.tell(construction.name, &format!("{noise:.1}"), &departures, Finish::Fitted);
                figures
            });
            let together = Figures::together(each.into());
            together.tell(construction.name, "all three", &departures, Finish::Fitted);
        }
        for noise in [0.1, 0.3] {
            row(&construction, Departures { noise, ..Departures::default() }, Finish::Ratio, seeds.clone());
        }
        let mistaken = Departures { mistaken: 0.04, ..Departures::default() };
        row(&construction, mistaken, Finish::Fitted, seeds.clone());
        let wobble = Departures { wobble: 0.45, noise: 0.1, ..Departures::default() };
        row(&construction, wobble, Finish::Fitted, seeds.clone());
    }
}
