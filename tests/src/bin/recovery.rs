//! How well known edges are found again, in a table: `cargo run --release -p ribline-tests --bin recovery -- [SEEDS [PART OF A NAME]]`.

use ribline_geometry::recipe::{Recipe, built_in};
use ribline_geometry::reconcile::{Finish, Overhang, Wish, reconcile};
use ribline_tests::constructions;
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, misfit, traced, true_edge};
use std::time::Instant;

fn row(name: &str, made_by: &Recipe, departures: Departures, finish: Finish, seeds: u64) {
    let (mut rms, mut worst, mut times, mut deviations) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut failures = 0;
    for seed in 0..seeds {
        let mut rng = StdRng::seed_from_u64(seed);
        let edge = true_edge(made_by, &departures, &mut rng);
        let simulated = traced(&edge, &departures, &mut rng);
        let mut wish = Wish::customary(&built_in::violin());
        wish.finish = finish;
        wish.overhang = Overhang::even(departures.overhang);
        let fitted_by = &constructions::suited(&simulated.trace, &wish);
        let started = Instant::now();
        let result = reconcile(&simulated.trace, fitted_by, &wish);
        times.push(started.elapsed().as_secs_f64() * 1e3);
        match result {
            Ok(found) => {
                // The pins stand 10 mm up from the bottom of the true edge, which is at 0.
                let shift = simulated.trace.pins.lower.unwrap().to_vec2();
                let off = misfit(&edge, &found.edge.outline.moved(0.0, shift));
                rms.push(off.rms / departures.noise);
                worst.push(off.worst / departures.noise);
                let far =
                    found.points.iter().map(|p| (p.overhang - departures.overhang).abs()).fold(0.0, f64::max);
                deviations.push(far);
            }
            Err(error) => {
                failures += 1;
                eprintln!("{name}, seed {seed}: {error}");
            }
        }
    }
    for list in [&mut rms, &mut worst, &mut times, &mut deviations] {
        list.sort_by(f64::total_cmp);
    }
    let at = |list: &[f64], part: f64| {
        list.get(((list.len() as f64 - 1.0) * part).round() as usize).copied().unwrap_or(f64::NAN)
    };
    println!(
        "{name:<44} {finish:?} n={:<2} noise {:.2}  rms/noise {:.2} {:.2}   worst/noise {:.2} {:.2}   overhang off {:.2} {:.2}  {:.1} ms  failed {failures}",
        departures.points,
        departures.noise,
        at(&rms, 0.5),
        at(&rms, 0.95),
        at(&worst, 0.5),
        at(&worst, 0.95),
        at(&deviations, 0.5),
        at(&deviations, 0.95),
        at(&times, 0.5),
    );
}

fn main() {
    let only = std::env::args().nth(2);
    let seeds = std::env::args().nth(1).and_then(|a| a.parse().ok()).unwrap_or(50);
    println!("median and 95th percentile over {seeds} seeds");
    for constructions::Construction { name, made_by, .. } in constructions::all() {
        if only.as_ref().is_some_and(|part| !name.contains(part)) {
            continue;
        }
        for finish in [Finish::Fitted, Finish::Ratio] {
            for points in [10, 30, 45] {
                for noise in [0.1, 0.3] {
                    let departures = Departures { points, noise, ..Departures::default() };
                    row(name, &made_by, departures, finish, seeds);
                }
            }
        }
    }
}
