//! The budgets that can be timed without a browser: `cargo bench -p ribline-tests`. Earlier figures are kept in `target/criterion`
//! and compared with.

use criterion::{Criterion, criterion_group, criterion_main};
use ribline_geometry::bench::print::wish::{Drawn, DrawnSet, Pages, Paper};
use ribline_geometry::bench::print::{Day, lay_plate};
use ribline_geometry::capture::{Photo, follow};
use ribline_geometry::kurbo::Point;
use ribline_geometry::recipe::built_in;
use ribline_geometry::reconcile::{Finish, Wish, reconcile};
use ribline_geometry::trace;
use ribline_tests::prints;
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
    // Ribs of which the left waist wobbles: there arcs are struck in two.
    let example = trace::read(include_str!("../../app/src/example.csv")).expect("the page's own example");
    let wish = Wish::customary(&recipe);
    criterion.bench_function("reconcile the page's example (budget 5 ms)", |b| {
        b.iter(|| reconcile(black_box(&example), &recipe, &wish));
    });
    let text = simulated.trace.to_csv();
    criterion.bench_function("read 180 points", |b| b.iter(|| trace::read(black_box(&text))));
    let plan = recipe.prepared().expect("a sound recipe");
    criterion
        .bench_function("work the violin recipe", |b| b.iter(|| plan.evaluate_at(black_box(plan.lengths()))));
}

/// A line of 250 mm on a 12-megapixel photo at 10 pixels to the mm, on wood with some grain.
fn following(criterion: &mut Criterion) {
    let (width, height) = (4000, 3000);
    let centre = Point::new(1900.0, 3400.0);
    let radius = 2400.0;
    let mut grey = Vec::with_capacity(width * height);
    for j in 0..height {
        for i in 0..width {
            let p = Point::new(i as f64 + 0.5, j as f64 + 0.5);
            let line = (3.0 - (p.distance(centre) - radius).abs()).clamp(0.0, 1.0);
            let grain = (p.x / 2.3 + 4.0 * (p.y / 300.0).sin()).sin();
            grey.push((180.0 - 60.0 * line + 8.0 * grain + ((i * 7 + j * 13) % 11) as f64) as u8);
        }
    }
    let photo = Photo::new(width, height, grey).expect("a photo");
    let at = |angle: f64| centre + radius * Point::new(angle.sin(), -angle.cos()).to_vec2();
    criterion.bench_function("follow a stretch of 250 mm on 12 megapixels (budget 100 ms)", |b| {
        b.iter(|| follow(black_box(&photo), at(-0.52), at(0.52), 10.0, None).expect("a stretch"));
    });
}

/// A violin's print, from the reconciled edge to the file's last byte.
fn printing(criterion: &mut Criterion) {
    let mut project = prints::violin();
    let result = reconcile(&project.trace, &project.recipe, &project.wish).expect("an invented trace");
    let day = Day { year: 2026, month: 3, day: 9 };
    for (name, pages) in [("A4", Pages::Sheets(Paper::A4)), ("one page", Pages::One)] {
        let mut bench = project.bench_wish();
        bench.print.pages = pages;
        bench.print.drawn = DrawnSet::of(Drawn::ALL);
        project.bench = Some(bench);
        criterion.bench_function(&format!("a violin's print, {name} (budget 200 ms in the browser)"), |b| {
            b.iter(|| lay_plate(black_box(&project), &result).expect("a print").pdf(day));
        });
    }
}

criterion_group!(benches, budgets, following, printing);
criterion_main!(benches);
