//! Edges and traces that the other files check.

use ribline_geometry::outline::Outline;
use ribline_geometry::recipe::Recipe;
use ribline_geometry::reconcile::report::Reconciled;
use ribline_geometry::reconcile::{Finish, Overhang, Wish, reconcile};
use ribline_geometry::trace::Trace;
use ribline_tests::constructions::{all, suited};
use ribline_tests::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};

/// Edges known exactly, their corners where the runs meet: from every construction, with several seeds.
pub fn true_edges() -> Vec<(String, Outline)> {
    let mut edges = Vec::new();
    for construction in all() {
        for seed in 0..3 {
            let mut rng = StdRng::seed_from_u64(seed);
            let edge = true_edge(&construction.made_by, &Departures::default(), &mut rng);
            edges.push((format!("{}, seed {seed}", construction.name), edge));
        }
    }
    assert!(edges.len() >= 20);
    edges
}

/// A trace simulated and what was reconciled from it.
pub struct Case {
    pub name: String,
    pub trace: Trace,
    pub recipe: Recipe,
    pub wish: Wish,
    pub result: Reconciled,
}

/// Edges as they are reconciled, their corners cut: every construction in every finish.
pub fn reconciled() -> Vec<Case> {
    let mut cases = Vec::new();
    for (construction, seed) in all().into_iter().zip(10..) {
        let departures = Departures { points: 15, ..Departures::default() };
        let mut rng = StdRng::seed_from_u64(seed);
        let edge = true_edge(&construction.made_by, &departures, &mut rng);
        let trace = traced(&edge, &departures, &mut rng).trace;
        let mut wish = Wish::customary(&construction.made_by);
        wish.overhang = Overhang::even(departures.overhang);
        let recipe = suited(&trace, &wish);
        for finish in [Finish::Fitted, Finish::Ratio, Finish::Recipe] {
            wish.finish = finish;
            let result = reconcile(&trace, &recipe, &wish).expect("a simulated trace");
            let name = format!("{}, {finish:?}", construction.name);
            cases.push(Case { name, trace: trace.clone(), recipe: recipe.clone(), wish, result });
        }
    }
    cases
}
