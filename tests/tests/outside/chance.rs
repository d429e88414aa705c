//! Ratios, and what a match is worth.

use super::edges::reconciled;
use ribline_geometry::arc::Arc;
use ribline_geometry::ratio::Ratio;
use ribline_geometry::recipe::built_in;
use ribline_geometry::reconcile::report::{EdgeArc, Reconciled};
use ribline_geometry::reconcile::{Finish, Overhang, Wish, reconcile};
use ribline_tests::simulate::{Departures, RngExt, SeedableRng, StdRng, traced, true_edge};

/// OEIS A005728: number of terms of the Farey sequence F_n, and the terms of F_5 in order (Hardy, Wright, "An introduction
/// to the theory of numbers", chapter III).
#[test]
fn simple_ratios_up_to_one_are_the_farey_sequence() {
    for (n, terms) in [(1, 2), (2, 3), (3, 5), (4, 7), (5, 11), (6, 13), (7, 19), (8, 23)] {
        // The sequence begins with 0/1, which is no ratio of two lengths.
        assert_eq!(Ratio::simple_between(0.0, 1.0, n).len() + 1, terms, "F_{n}");
    }
    let mut five = Ratio::simple_between(0.0, 1.0, 5);
    five.sort_by(|a, b| a.value().total_cmp(&b.value()));
    let five: Vec<String> = five.iter().map(ToString::to_string).collect();
    assert_eq!(five, ["1/5", "1/4", "1/3", "2/5", "1/2", "3/5", "2/3", "3/4", "4/5", "1"]);
    // Neighbours a/b < c/d of a Farey sequence have bc - ad = 1 (the same chapter, theorem 28).
    for n in [5, 12, 36] {
        let mut terms = Ratio::simple_between(0.0, 1.0, n);
        terms.sort_by(|a, b| a.value().total_cmp(&b.value()));
        for pair in terms.windows(2) {
            let [a, b] = [pair[0].over(), pair[0].under()].map(i32::from);
            let [c, d] = [pair[1].over(), pair[1].under()].map(i32::from);
            assert_eq!(b * c - a * d, 1, "{} and {} in F_{n}", pair[0], pair[1]);
        }
    }
}

/// The share of lengths drawn at random, evenly by their logarithm within a factor of 1.5 of the one found, that lie
/// within `reach` of some ratio whose terms are no larger than those of `ratio`.
fn drawn_by_lot(rng: &mut StdRng, log: f64, reach: f64, ratio: Ratio) -> f64 {
    const DRAWS: usize = 20_000;
    let largest = ratio.largest_term();
    let logs: Vec<f64> = (1..=largest)
        .flat_map(|over| (1..=largest).map(move |under| (f64::from(over) / f64::from(under)).ln()))
        .collect();
    let spread = 1.5_f64.ln();
    let matched = (0..DRAWS).filter(|_| {
        let drawn = log + rng.random_range(-spread..spread);
        logs.iter().any(|r| (r - drawn).abs() <= reach)
    });
    matched.count() as f64 / DRAWS as f64
}

/// The measure that a reading is a ratio of, as found, and its standard deviation.
fn base(result: &Reconciled, name: &str) -> (f64, f64) {
    let measure = result.measures.iter().find(|m| m.name == name).expect("the reading's own measure");
    (measure.found, measure.sd)
}

/// The logarithm of the quotient and bounds on its standard deviation: nothing is told of how the errors of the radius and
/// of the measure hang together, so they may add up or cancel.
fn quotient(result: &Reconciled, arc: &EdgeArc, of: &str) -> (f64, [f64; 2]) {
    let (whole, whole_sd) = base(result, of);
    let (own, other) = (arc.radius_sd / arc.arc.radius, whole_sd / whole);
    ((arc.arc.radius / whole).ln(), [(own - other).abs(), own + other])
}

/// The chance told with a reading against lengths drawn by lot. The radius of an arc is known to some standard deviation;
/// a ratio matches it within 1.96 of them (the 95 % interval of a normal distribution), never less than a tenth of a mm,
/// and never less than how far off the ratio found is. 20000 draws are good to 0.0035, one standard deviation.
#[test]
fn the_chance_of_a_match_is_what_drawing_by_lot_gives() {
    let mut rng = StdRng::seed_from_u64(17);
    let mut tried = 0;
    for case in reconciled().iter().filter(|case| case.wish.finish == Finish::Fitted) {
        let mut seen: Vec<Arc> = Vec::new();
        for arc in &case.result.arcs {
            let Some(reading) = &arc.reading else { continue };
            if seen.iter().any(|a| (a.radius - arc.arc.radius).abs() < 1e-9) {
                continue;
            }
            seen.push(arc.arc);
            let (log, sds) = quotient(&case.result, arc, &reading.of);
            let off = (reading.ratio.value().ln() - log).abs();
            let [least, most] = sds.map(|sd| (1.96 * sd).max(0.1 / arc.arc.radius).min(0.4).max(off));
            let [least, most] = [least, most].map(|reach| drawn_by_lot(&mut rng, log, reach, reading.ratio));
            let place = format!("{}, {} of {}: {reading}", case.name, arc.circle, arc.run);
            assert!(
                reading.chance > least - 0.015,
                "{place}: told {}, drawn {least} to {most}",
                reading.chance
            );
            assert!(
                reading.chance < most + 0.015,
                "{place}: told {}, drawn {least} to {most}",
                reading.chance
            );
            tried += 1;
        }
    }
    assert!(tried > 40, "{tried}");
}

/// A ratio that the recipe holds although the ribs plainly have another: how far it is off is then all the reach there is,
/// and the draws leave no room.
#[test]
fn the_chance_of_a_poor_match_is_what_drawing_by_lot_gives() {
    let violin = built_in::violin();
    let departures = Departures { points: 40, noise: 0.02, radii: 6.0, ..Departures::default() };
    let mut rng = StdRng::seed_from_u64(4);
    let edge = true_edge(&violin, &departures, &mut rng);
    let trace = traced(&edge, &departures, &mut rng).trace;
    let in_finish = |finish| {
        let wish = Wish { finish, overhang: Overhang::even(departures.overhang), ..Wish::customary(&violin) };
        reconcile(&trace, &violin, &wish).expect("a simulated trace")
    };
    let (fitted, held) = (in_finish(Finish::Fitted), in_finish(Finish::Recipe));
    let mut tried = 0;
    for arc in &fitted.arcs {
        let Some(of) = arc.reading.as_ref().map(|r| r.of.clone()) else { continue };
        let (log, sds) = quotient(&fitted, arc, &of);
        let planned = held.arcs.iter().find(|a| a.circle == arc.circle).and_then(|a| a.reading.clone());
        let Some(planned) = planned else { continue };
        let off = (planned.ratio.value().ln() - log).abs();
        if off < (1.96 * sds[1]).max(0.1 / arc.arc.radius) {
            continue;
        }
        let drawn = drawn_by_lot(&mut rng, log, off, planned.ratio);
        assert!(
            (planned.chance - drawn).abs() < 0.015,
            "{}: told {}, drawn {drawn}",
            arc.circle,
            planned.chance
        );
        tried += 1;
    }
    assert!(tried > 4, "{tried}");
}
