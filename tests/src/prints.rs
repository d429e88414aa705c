//! Projects that are printed, invented.

use crate::simulate::{Departures, SeedableRng, StdRng, traced, true_edge};
use ribline_geometry::project::Project;
use ribline_geometry::recipe::{Recipe, built_in};
use ribline_geometry::reconcile::{Overhang, Wish};

/// A violin's back from simulated ribs.
pub fn violin() -> Project {
    project(built_in::violin(), "Invented violin no. 7", Departures { points: 20, ..Departures::default() })
}

/// A cello's back from simulated ribs.
pub fn cello() -> Project {
    let departures = Departures { points: 30, overhang: 4.0, dimensions: 2.0, ..Departures::default() };
    project(built_in::cello(), "Invented cello no. 2", departures)
}

fn project(recipe: Recipe, title: &str, departures: Departures) -> Project {
    let mut rng = StdRng::seed_from_u64(21);
    let edge = true_edge(&recipe, &departures, &mut rng);
    let trace = traced(&edge, &departures, &mut rng).trace;
    let mut wish = Wish::customary(&recipe);
    wish.overhang = Overhang::even(departures.overhang);
    let notes = "Invented for a check.".to_owned();
    Project { title: title.to_owned(), notes, ..Project::new(recipe, trace, wish) }
}
