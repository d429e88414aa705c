//! Writes the trace of ribs that never were: `cargo run -p ribline-tests --bin simulate -- SEED [POINTS [NOISE]] > TRACE.csv`.

use ribline_geometry::recipe::built_in;
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};

fn main() {
    let number = |i: usize, or: f64| std::env::args().nth(i).and_then(|a| a.parse().ok()).unwrap_or(or);
    let seed = number(1, 1.0) as u64;
    let departures =
        Departures { points: number(2, 25.0) as usize, noise: number(3, 0.15), ..Departures::default() };
    let mut rng = StdRng::seed_from_u64(seed);
    let edge = true_edge(&built_in::violin(), &departures, &mut rng);
    print!("{}", traced(&edge, &departures, &mut rng).trace.to_csv());
}
