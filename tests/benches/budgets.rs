//! The budgets that can be timed without a browser: `cargo bench -p ribline-tests`. Earlier figures are kept in `target/criterion`
//! and compared with.

use criterion::{Criterion, criterion_group, criterion_main};
use ribline_geometry::recipe::built_in;
use ribline_geometry::reconcile::{Finish, Wish, reconcile};
use ribline_geometry::trace;
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};
use std::hint::black_box;

fn budgets(criterion: &mut Criterion) {
    let recipe = built_in::violin();
    let departures = Departures::default();
    let mut rng = StdRng::seed_from_u64(3);
    let edge = true_edge(&recipe, &departures, &mut rng);
    let simulated = traced(&edge, &departures, &mut rng);
    let mut wish = Wish::customary(&recipe);
    for (name, finish) in [("by ratio", Finish::Ratio), ("as fitted", Finish::Fitted)] {
        wish.finish = finish;
        criterion.bench_function(&format!("reconcile 180 points, {name} (budget 5 ms)"), |b| {
            b.iter(|| reconcile(black_box(&simulated.trace), &recipe, &wish));
        });
    }
    let mut unnamed = simulated.trace.clone();
    for point in &mut unnamed.points {
        point.run = None;
    }
    criterion.bench_function("reconcile 180 points without names of runs (budget 5 ms)", |b| {
        b.iter(|| reconcile(black_box(&unnamed), &recipe, &wish));
    });
    let text = simulated.trace.to_csv();
    criterion.bench_function("read 180 points", |b| b.iter(|| trace::read(black_box(&text))));
    let plan = recipe.prepared().expect("a sound recipe");
    criterion
        .bench_function("work the violin recipe", |b| b.iter(|| plan.evaluate_at(black_box(plan.lengths()))));
}

criterion_group!(benches, budgets);
criterion_main!(benches);
