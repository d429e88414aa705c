//! Preparing whole traces whose truth is known.

use super::simulated::{Dice, RibLines, Taking, outline_of, take, template};
use super::{AsideReason, Notice, TraceError, prepare};
use crate::arc::wrap_angle;
use crate::outline::{Corner, Run};
use kurbo::{Point, Vec2};

/// Rib lines of a violin, a viola and a cello, and each with its corners pulled 10 mm (at a violin's size) about.
fn bodies(seed: u64) -> Vec<(f64, RibLines)> {
    let mut dice = Dice(seed);
    let mut bodies = Vec::new();
    for (length, lower, upper, waist) in
        [(355.0, 1.0, 1.0, 1.0), (405.0, 1.01, 1.02, 0.97), (755.0, 0.98, 1.0, 0.95)]
    {
        let unit = length / 355.0;
        let ribs = RibLines::inside(&outline_of(length, lower, upper, waist), 2.5 * unit);
        let moves = [(); 4].map(|()| {
            let turn = dice.between(0.0, std::f64::consts::TAU);
            10.0 * unit * Vec2::new(turn.cos(), turn.sin())
        });
        bodies.push((unit, ribs.clone().with_corners_moved(moves, 25.0 * unit)));
        bodies.push((unit, ribs));
    }
    bodies
}

#[test]
fn named_points_with_pins_keep_their_names_and_meet_at_the_corners() {
    for (unit, ribs) in bodies(1) {
        let taken = take(&ribs, &Taking { named: true, ..Taking::plain(30, 1) });
        let prepared = prepare(&taken.trace, &template()).unwrap();
        assert!(prepared.set_aside.len() <= 1);
        for point in &prepared.points {
            assert!(point.named);
            assert_eq!(Some(point.run), taken.trace.points[point.index].run);
        }
        let pin = prepared.frame.origin;
        for corner in Corner::ALL {
            let found = prepared.corners[corner.index()].unwrap() + pin.to_vec2();
            assert!(found.distance(ribs.corners()[corner.index()]) < 4.0 * unit, "{corner}");
        }
    }
}

#[test]
fn unnamed_points_in_any_order_find_their_runs() {
    let (mut wrong, mut all) = (0, 0);
    for seed in 0..20 {
        for (unit, ribs) in bodies(seed) {
            let taken = take(&ribs, &Taking { mistaken: 0.04, ..Taking::plain(30, seed) });
            let prepared = prepare(&taken.trace, &template()).unwrap();
            for point in &prepared.points {
                let (run, _, at) = taken.truth[point.index];
                // Nearer to another run than 1 mm a point may belong to either.
                let others = Run::ALL.into_iter().filter(|r| *r != run).flat_map(|r| &ribs.0[r.index()]);
                let near_other = others.map(|q| q.distance(at)).fold(f64::MAX, f64::min) < unit;
                all += 1;
                wrong += usize::from(point.run != run && !near_other);
            }
        }
    }
    assert!(wrong * 100 < all, "{wrong} of {all}");
}

#[test]
fn without_pins_the_centreline_is_found_by_symmetry_however_the_trace_lies() {
    for seed in 0..10 {
        let mut dice = Dice(100 + seed);
        let ribs = RibLines::inside(&outline_of(360.0, 1.01, 0.99, 1.02), 2.5);
        let angle = dice.between(-3.1, 3.1);
        let taking = Taking {
            pins: false,
            angle,
            shift: Vec2::new(dice.between(-300.0, 300.0), 50.0),
            mistaken: 0.04,
            a_run: [40, 20, 30, 15, 25, 18],
            ..Taking::plain(30, seed)
        };
        let taken = take(&ribs, &taking);
        let prepared = prepare(&taken.trace, &template()).unwrap();
        assert!(prepared.centreline_estimated);
        assert!(prepared.notices.contains(&Notice::CentrelineEstimated));
        assert!(wrap_angle(prepared.frame.angle - angle).abs() < 0.2_f64.to_radians());
        let origin = taking.given(Point::new(0.0, 2.5));
        assert!(prepared.frame.origin.distance(origin) < 1.5);
    }
}

#[test]
fn mis_taken_points_are_set_aside_and_good_ones_are_not() {
    let (mut caught, mut mistaken, mut wronged, mut all) = (0, 0, 0, 0);
    for seed in 0..20 {
        let ribs = RibLines::inside(&outline_of(355.0, 1.0, 1.0, 1.0), 2.5);
        let taken = take(&ribs, &Taking { mistaken: 0.04, named: true, ..Taking::plain(30, seed) });
        let prepared = prepare(&taken.trace, &template()).unwrap();
        for aside in &prepared.set_aside {
            assert_eq!(aside.why, AsideReason::OffTheLine);
            caught += usize::from(taken.truth[aside.index].1);
            wronged += usize::from(!taken.truth[aside.index].1);
        }
        mistaken += taken.truth.iter().filter(|t| t.1).count();
        all += taken.truth.len();
    }
    assert!(caught * 10 > mistaken * 8, "{caught} of {mistaken}");
    assert!(wronged * 500 < all, "{wronged} of {all}");
}

#[test]
fn a_mirror_image_is_refused() {
    let ribs = RibLines::inside(&template(), 2.5);
    for pins in [true, false] {
        let mut trace = take(&ribs, &Taking { named: true, pins, ..Taking::plain(20, 1) }).trace;
        for point in &mut trace.points {
            point.at.x = -point.at.x;
        }
        assert!(matches!(prepare(&trace, &template()), Err(TraceError::MirrorImage { .. })));
    }
}

#[test]
fn pins_given_the_wrong_way_round_are_taken_as_meant() {
    let ribs = RibLines::inside(&template(), 2.5);
    for named in [true, false] {
        let mut trace = take(&ribs, &Taking { named, ..Taking::plain(20, 1) }).trace;
        let right = prepare(&trace, &template()).unwrap();
        std::mem::swap(&mut trace.pins.lower, &mut trace.pins.upper);
        let swapped = prepare(&trace, &template()).unwrap();
        assert_eq!(swapped.notices, [Notice::PinsSwapped]);
        assert!(swapped.frame.origin.distance(right.frame.origin) < 1e-9);
        assert_eq!(swapped.points.len(), right.points.len());
    }
}
