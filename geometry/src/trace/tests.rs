//! Preparing whole traces whose truth is known.

use super::simulated::{Dice, RibLines, Taken, Taking, outline_of, take, template};
use super::{
    AsideReason, HowTaken, Notice, Pin, Pins, PreparedTrace, Trace, TraceError, TracedPoint, prepare, read,
};
use crate::arc::wrap_angle;
use crate::outline::{Bout, Corner, Outline, Run, Side};
use kurbo::{Point, Vec2};
use proptest::prelude::*;

fn violin() -> RibLines {
    RibLines::inside(&outline_of(355.0, 1.0, 1.0, 1.0), 2.5)
}

/// Rib lines of a violin, a viola and a cello with their size in violins, each with its corners up to `about` mm
/// (at a violin's size) from where the template has them.
fn bodies(seed: u64, about: f64) -> Vec<(f64, RibLines)> {
    let mut dice = Dice(seed);
    [(355.0, 1.0, 1.0, 1.0), (405.0, 1.01, 1.02, 0.97), (755.0, 0.98, 1.0, 0.95)]
        .into_iter()
        .map(|(length, lower, upper, waist)| {
            let unit = length / 355.0;
            let ribs = RibLines::inside(&outline_of(length, lower, upper, waist), 2.5 * unit);
            let moves = [(); 4].map(|()| {
                let turn = dice.between(0.0, std::f64::consts::TAU);
                about * unit * Vec2::new(turn.cos(), turn.sin())
            });
            (unit, ribs.with_corners_moved(moves, 25.0 * unit))
        })
        .collect()
}

/// How many points are on a run that is not theirs, nor within `within` mm of where they truly lie.
fn on_the_wrong_run(prepared: &PreparedTrace, taken: &Taken, ribs: &RibLines, within: f64) -> usize {
    let wrong = prepared.points.iter().filter(|point| {
        let (run, mistaken, at) = taken.truth[point.index];
        let other = &ribs.0[point.run.index()];
        point.run != run && !mistaken && other.iter().all(|q| q.distance(at) > within)
    });
    wrong.count()
}

#[test]
fn named_points_keep_their_names() {
    for (_, ribs) in bodies(1, 10.0) {
        let taken = take(&ribs, &Taking { named: true, mistaken: 0.04, ..Taking::plain(30, 1) });
        let prepared = prepare(&taken.trace, &template()).unwrap();
        assert!(prepared.points.len() > 160);
        for point in &prepared.points {
            assert!(point.named);
            assert_eq!(Some(point.run), taken.trace.points[point.index].run);
        }
    }
}

/// The body's shape is the template's here; unlike it, only near the corners.
#[test]
fn unnamed_points_in_any_order_find_their_runs() {
    for (about, in_a_thousand) in [(0.0, 2), (10.0, 8)] {
        let (mut wrong, mut all) = (0, 0);
        for seed in 0..25 {
            for (unit, ribs) in bodies(seed, about) {
                let taken = take(&ribs, &Taking { mistaken: 0.04, noise: 0.2, ..Taking::plain(30, seed) });
                let prepared = prepare(&taken.trace, &template()).unwrap();
                wrong += on_the_wrong_run(&prepared, &taken, &ribs, unit);
                all += prepared.points.len();
            }
        }
        assert!(wrong * 1000 <= all * in_a_thousand, "{about}: {wrong} of {all}");
    }
}

#[test]
fn sparse_and_dense_points_find_their_runs() {
    for (a_run, in_a_thousand) in [(10, 15), (60, 1), (330, 1)] {
        let (mut wrong, mut all) = (0, 0);
        for seed in 0..10 {
            for (unit, ribs) in bodies(seed, 3.0) {
                let taken = take(&ribs, &Taking { noise: 0.3, ..Taking::plain(a_run, seed) });
                let prepared = prepare(&taken.trace, &template()).unwrap();
                wrong += on_the_wrong_run(&prepared, &taken, &ribs, unit);
                all += prepared.points.len();
            }
        }
        assert!(wrong * 1000 <= all * in_a_thousand, "{a_run}: {wrong} of {all}");
    }
}

/// A line no recipe of arcs contains: bouts squarer on one side, leaning, the waist off by several mm.
#[test]
fn ribs_of_another_construction_find_their_runs() {
    let warped = violin().warped(|p| {
        let along = p.y / 355.0;
        let across = p.x / 100.0;
        Vec2::new(
            5.0 * (3.0 * along).sin() * across + 1.5 * along + 1.2 * (9.0 * along).cos(),
            4.0 * (2.5 * across).sin() * along,
        )
    });
    let (mut wrong, mut all) = (0, 0);
    for seed in 0..20 {
        let taken = take(&warped, &Taking { noise: 0.2, ..Taking::plain(30, seed) });
        let prepared = prepare(&taken.trace, &template()).unwrap();
        assert!(prepared.set_aside.is_empty());
        wrong += on_the_wrong_run(&prepared, &taken, &warped, 1.0);
        all += prepared.points.len();
    }
    assert!(wrong * 200 <= all, "{wrong} of {all}");
}

#[test]
fn the_traced_runs_meet_where_the_ribs_do() {
    let mut off = Vec::new();
    for named in [true, false] {
        for seed in 0..15 {
            for (unit, ribs) in bodies(seed, 6.0) {
                let taking = Taking { named, ..Taking::plain(30, seed) };
                let prepared = prepare(&take(&ribs, &taking).trace, &template()).unwrap();
                for (corner, truth) in prepared.corners.into_iter().zip(ribs.corners()) {
                    off.push(prepared.frame.to_given(corner.unwrap()).distance(truth) / unit);
                }
            }
        }
    }
    off.sort_by(f64::total_cmp);
    assert!(off[off.len() / 2] < 0.6, "{}", off[off.len() / 2]);
    assert!(off[off.len() * 9 / 10] < 2.0, "{}", off[off.len() * 9 / 10]);
}

#[test]
fn a_corner_that_was_not_traced_is_not_made_up() {
    let corner = violin().corners()[Corner::UpperLeft.index()];
    let mut trace = take(&violin(), &Taking::plain(40, 3)).trace;
    trace.points.retain(|p| p.at.distance(corner) > 50.0);
    let prepared = prepare(&trace, &template()).unwrap();
    let found = prepared.corners.map(|c| c.is_some());
    assert_eq!(found, [true, true, false, true]);
}

#[test]
fn without_pins_the_centreline_is_found_by_symmetry() {
    for seed in 0..20 {
        let mut dice = Dice(100 + seed);
        let ribs = RibLines::inside(&outline_of(360.0, 1.01, 0.99, 1.02), 2.5);
        let taking = Taking {
            pins: false,
            angle: dice.between(-3.1, 3.1),
            shift: Vec2::new(dice.between(-300.0, 300.0), 50.0),
            mistaken: 0.04,
            // One side much denser than the other, bout by bout.
            a_run: [40, 20, 30, 15, 25, 18],
            ..Taking::plain(30, seed)
        };
        let prepared = prepare(&take(&ribs, &taking).trace, &template()).unwrap();
        assert!(prepared.centreline_estimated);
        assert_eq!(prepared.notices, [Notice::CentrelineEstimated { through: None }]);
        let turn = wrap_angle(prepared.frame.angle - taking.angle).to_degrees();
        assert!(turn.abs() < 0.06, "{seed}: {turn}");
        let origin = prepared.frame.to_result(taking.given(Point::new(0.0, 2.5)));
        assert!(origin.x.abs() < 0.2, "{seed}: {origin}");
        let top = prepared.frame.to_result(taking.given(Point::new(0.0, 357.5)));
        assert!(top.x.abs() < 0.2, "{seed}: {top}");
    }
}

#[test]
fn a_missing_stretch_does_not_lean_the_centreline() {
    for seed in 0..10 {
        let taking = Taking { pins: false, angle: 2.0, ..Taking::plain(30, seed) };
        let mut trace = take(&violin(), &taking).trace;
        let inside_gap = |p: Point| p.x > 50.0 && p.y > 20.0 && p.y < 110.0;
        let back = Taking { angle: -taking.angle, ..taking.clone() };
        trace.points.retain(|p| !inside_gap(back.given(p.at)));
        let prepared = prepare(&trace, &template()).unwrap();
        assert!(wrap_angle(prepared.frame.angle - 2.0).to_degrees().abs() < 0.1);
        let gap = prepared.notices.iter().find_map(|n| match n {
            Notice::Gap { run, length, around } => Some((*run, *length, *around)),
            _ => None,
        });
        let (run, length, around) = gap.unwrap();
        assert_eq!(run, Run { bout: Bout::Lower, side: Side::Right });
        assert!((80.0..130.0).contains(&length));
        assert!(around.x > 85.0 && (30.0..100.0).contains(&around.y));
    }
}

#[test]
fn a_trace_moved_on_the_board_is_the_same_trace() {
    for (seed, (pins, named)) in
        (0..).zip([(true, true), (true, false), (false, true), (false, false), (false, false)])
    {
        for (_, ribs) in bodies(seed, 5.0) {
            let mut dice = Dice(seed);
            let still = Taking { pins, named, mistaken: 0.04, ..Taking::plain(25, seed) };
            let moved = Taking {
                angle: dice.between(-3.1, 3.1),
                shift: Vec2::new(dice.between(-500.0, 500.0), dice.between(-500.0, 500.0)),
                ..still.clone()
            };
            let [one, other] =
                [still, moved].map(|taking| prepare(&take(&ribs, &taking).trace, &template()).unwrap());
            assert_eq!(one.set_aside, other.set_aside);
            assert_eq!(one.points.len(), other.points.len());
            for (a, b) in one.points.iter().zip(&other.points) {
                assert_eq!((a.run, a.index), (b.run, b.index));
                assert!(a.at.distance(b.at) < 1e-9);
            }
            for (a, b) in one.corners.iter().flatten().zip(other.corners.iter().flatten()) {
                assert!(a.distance(*b) < 1e-6);
            }
        }
    }
}

#[test]
fn mis_taken_points_are_set_aside_and_good_ones_are_not() {
    for named in [true, false] {
        let (mut caught, mut mistaken, mut wronged, mut all) = (0, 0, 0, 0);
        for seed in 0..25 {
            let taken =
                take(&violin(), &Taking { mistaken: 0.04, named, noise: 0.2, ..Taking::plain(30, seed) });
            let prepared = prepare(&taken.trace, &template()).unwrap();
            for aside in &prepared.set_aside {
                assert_eq!(aside.why, AsideReason::OffTheLine);
                assert_eq!(aside.line, taken.trace.points[aside.index].line);
                caught += usize::from(taken.truth[aside.index].1);
                wronged += usize::from(!taken.truth[aside.index].1);
            }
            mistaken += taken.truth.iter().filter(|t| t.1).count();
            all += taken.truth.len();
        }
        assert!(caught * 10 > mistaken * 8, "{caught} of {mistaken}");
        assert!(wronged * 2000 < all, "{wronged} of {all}");
    }
}

#[test]
fn good_points_stay_though_sparse_and_the_recipe_other() {
    let (mut wronged, mut all) = (0, 0);
    for seed in 0..25 {
        for (_, ribs) in bodies(seed, 8.0) {
            let prepared =
                prepare(&take(&ribs, &Taking { noise: 0.3, ..Taking::plain(10, seed) }).trace, &template())
                    .unwrap();
            wronged += prepared.set_aside.len();
            all += 60;
        }
    }
    assert!(wronged * 1000 < all, "{wronged} of {all}");
}

#[test]
fn two_mis_taken_points_side_by_side_are_set_aside() {
    for (seed, by) in [(1, 5.0), (2, -5.0), (3, 5.0)] {
        let taking = Taking { shuffled: false, named: true, ..Taking::plain(30, seed) };
        let Taken { mut trace, truth } = take(&violin(), &taking);
        for k in [10, 11] {
            let along = truth[k + 1].2 - truth[k - 1].2;
            trace.points[k].at += by * along.turn_90() / along.hypot();
        }
        let prepared = prepare(&trace, &template()).unwrap();
        let aside: Vec<usize> = prepared.set_aside.iter().map(|a| a.index).collect();
        assert_eq!(aside, [10, 11]);
    }
}

#[test]
fn repeated_points_are_set_aside_but_not_the_corner_of_two_runs() {
    let lower = Run { bout: Bout::Lower, side: Side::Left };
    let waist = Run { bout: Bout::Waist, side: Side::Left };
    let mut trace = take(&violin(), &Taking { named: true, ..Taking::plain(20, 1) }).trace;
    let count = trace.points.len();
    let corner = violin().corners()[Corner::LowerLeft.index()];
    for (run, line) in [(lower, 900), (waist, 901)] {
        trace.points.push(TracedPoint {
            at: corner,
            run: Some(run),
            side: None,
            line,
            taken: HowTaken::Given,
            sd: None,
        });
    }
    let first = trace.points[0];
    trace.points.push(TracedPoint { at: first.at + Vec2::new(3e-7, 0.0), line: 902, ..first });
    trace.points.push(TracedPoint { run: None, line: 903, ..first });
    let prepared = prepare(&trace, &template()).unwrap();
    let aside: Vec<_> = prepared.set_aside.iter().map(|a| (a.line, a.why)).collect();
    assert_eq!(aside, [(902, AsideReason::Repeated), (903, AsideReason::Repeated)]);
    assert_eq!(prepared.points.len(), count + 2);
}

#[test]
fn a_mirror_image_is_refused() {
    for pins in [true, false] {
        // As from a photo, whose y grows downwards; with left taken for right; with the columns changed over.
        for mirror in [
            |p: Point| Point::new(p.x, -p.y),
            |p: Point| Point::new(-p.x, p.y),
            |p: Point| Point::new(p.y, p.x),
        ] {
            let mut trace = take(&violin(), &Taking { named: true, pins, ..Taking::plain(20, 1) }).trace;
            trace.points.iter_mut().for_each(|p| p.at = mirror(p.at));
            trace.pins = Pins { lower: trace.pins.lower.map(mirror), upper: trace.pins.upper.map(mirror) };
            let refused = prepare(&trace, &template()).unwrap_err();
            assert!(matches!(refused, TraceError::MirrorImage { .. }), "{refused}");
            let told = refused.to_string();
            assert!(told.contains("the mirror image of its names") && told.contains("each other's column"));
        }
    }
}

#[test]
fn names_of_two_runs_taken_for_each_other_are_refused() {
    let waist = |side| Run { bout: Bout::Waist, side };
    let mut trace = take(&violin(), &Taking { named: true, ..Taking::plain(20, 1) }).trace;
    for point in &mut trace.points {
        if let Some(run) = &mut point.run
            && run.bout == Bout::Waist
        {
            run.side = run.side.opposite();
        }
    }
    let refused = prepare(&trace, &template()).unwrap_err();
    assert_eq!(refused, TraceError::RunElsewhere { run: waist(Side::Right), lies: waist(Side::Left) });
}

#[test]
fn one_name_mistyped_is_one_point_set_aside() {
    let mut trace = take(&violin(), &Taking { named: true, shuffled: false, ..Taking::plain(20, 1) }).trace;
    trace.points[8].run = Some(Run { bout: Bout::Lower, side: Side::Left });
    let prepared = prepare(&trace, &template()).unwrap();
    assert_eq!(prepared.set_aside.len(), 1);
    assert_eq!(prepared.set_aside[0].index, 8);
}

#[test]
fn pins_given_the_wrong_way_round_are_taken_as_meant() {
    for named in [true, false] {
        let mut trace = take(&violin(), &Taking { named, ..Taking::plain(20, 1) }).trace;
        let right = prepare(&trace, &template()).unwrap();
        std::mem::swap(&mut trace.pins.lower, &mut trace.pins.upper);
        let swapped = prepare(&trace, &template()).unwrap();
        assert_eq!(swapped.notices, [Notice::PinsSwapped]);
        assert!(swapped.frame.origin.distance(right.frame.origin) < 1e-9);
        assert_eq!(swapped.points.len(), right.points.len());
        for (a, b) in swapped.points.iter().zip(&right.points) {
            assert!(a.run == b.run && a.at.distance(b.at) < 1e-9);
        }
    }
}

#[test]
fn pins_that_cannot_be_right_are_refused_or_remarked_on() {
    let trace = take(&violin(), &Taking::plain(20, 1)).trace;
    let with = |lower: (f64, f64), upper: (f64, f64)| {
        let pins = Pins { lower: Some(lower.into()), upper: Some(upper.into()) };
        prepare(&Trace { pins, ..trace.clone() }, &template())
    };
    assert_eq!(with((3.0, 5.0), (3.0, 5.0)), Err(TraceError::PinsTogether));
    assert!(matches!(with((0.0, 10.0), (35.0, 345.0)), Err(TraceError::PinOffCentreline { .. })));
    assert!(matches!(with((30.0, 10.0), (30.0, 345.0)), Err(TraceError::PinOffCentreline { .. })));
    let far = Err(Pin::Upper);
    for (upper, expected) in [(535.0, far), (34.5, far), (345.0, Ok(()))] {
        let found = match with((0.0, 10.0), (0.0, upper)) {
            Ok(_) => Ok(()),
            Err(TraceError::PinFarFromEnd { pin, .. }) => Err(pin),
            Err(other) => panic!("{other}"),
        };
        assert_eq!(found, expected, "{upper}");
    }
    let beside = with((6.0, 10.0), (6.0, 345.0)).unwrap().notices;
    let [
        Notice::PinBesideCentreline { pin: Pin::Lower, middle: lower },
        Notice::PinBesideCentreline { pin: Pin::Upper, middle: upper },
    ] = beside[..]
    else {
        panic!("{beside:?}")
    };
    assert!((lower + 6.0).abs() < 0.3 && (upper + 6.0).abs() < 0.3);
    assert!(beside[0].to_string().contains("6.0 mm to the left of pin-lower"));
}

#[test]
fn one_pin_holds_the_centreline_and_the_lower_one_the_origin() {
    let whole = take(&violin(), &Taking { angle: 0.4, ..Taking::plain(30, 2) }).trace;
    let Pins { lower: Some(lower), upper: Some(upper) } = whole.pins else { panic!("both pins") };
    let with_lower = Trace { pins: Pins { lower: Some(lower), upper: None }, ..whole.clone() };
    let prepared = prepare(&with_lower, &template()).unwrap();
    assert!(prepared.centreline_estimated);
    assert_eq!(prepared.notices, [Notice::CentrelineEstimated { through: Some(Pin::Lower) }]);
    assert!(prepared.frame.origin.distance(lower) < 1e-9);
    assert!((prepared.frame.angle - 0.4).to_degrees().abs() < 0.1);
    let with_upper = Trace { pins: Pins { lower: None, upper: Some(upper) }, ..whole };
    let prepared = prepare(&with_upper, &template()).unwrap();
    assert!(prepared.pins.upper.unwrap().x.abs() < 1e-9);
    assert!((prepared.frame.angle - 0.4).to_degrees().abs() < 0.1);
}

/// The rows a maker writes down: every 8 mm up the centreline, both sides, twice where a hook doubles back.
fn offsets_table(ribs: &RibLines, mark: &str) -> String {
    let mut rows = format!("y_mm{mark}left_mm{mark}right_mm\n");
    for (line, run) in ribs.0.iter().zip(Run::ALL) {
        for k in (3..line.len()).step_by(28) {
            let p = line[k];
            let number = |v: f64| {
                let text = format!("{v:.2}");
                if mark == ";" { text.replace('.', ",") } else { text }
            };
            let out = number(p.x.abs());
            rows += &match run.side {
                Side::Left => format!("{}{mark}{out}{mark}\n", number(p.y)),
                Side::Right => format!("{}{mark}{mark}{out}\n", number(p.y)),
            };
        }
    }
    rows
}

#[test]
fn an_offsets_table_has_its_centreline_at_nought_and_its_origin_at_the_bottom() {
    for mark in [",", ";", "\t"] {
        let trace = read(&offsets_table(&violin(), mark)).unwrap();
        let prepared = prepare(&trace, &template()).unwrap();
        assert!(!prepared.centreline_estimated);
        assert_eq!(prepared.frame.angle, 0.0);
        assert!(prepared.frame.origin.distance(Point::new(0.0, 2.5)) < 0.3);
        assert_eq!(prepared.notices, []);
        let mut wrong = 0;
        for point in &prepared.points {
            let traced = trace.points[point.index];
            assert_eq!(Some(point.run.side), traced.side);
            let near = |run: &Run| violin().0[run.index()].iter().any(|q| q.distance(traced.at) < 1.0);
            wrong += usize::from(!near(&point.run));
        }
        assert_eq!(wrong, 0);
    }
}

#[test]
fn an_offsets_table_measured_from_the_neck_is_refused() {
    let mut trace = read(&offsets_table(&violin(), ",")).unwrap();
    trace.points.iter_mut().for_each(|p| p.at.y = 357.0 - p.at.y);
    assert_eq!(prepare(&trace, &template()), Err(TraceError::TableUpsideDown));
}

#[test]
fn one_side_alone_is_remarked_on_without_pins_and_not_with_them() {
    for pins in [true, false] {
        let mut trace = take(&violin(), &Taking { named: true, pins, ..Taking::plain(30, 1) }).trace;
        trace.points.retain(|p| p.run.is_some_and(|run| run.side == Side::Left));
        let prepared = prepare(&trace, &template()).unwrap();
        let alone = prepared.notices.contains(&Notice::OneSideOnly(Side::Left));
        assert_eq!(alone, !pins);
        let estimated = |notice: &Notice| matches!(notice, Notice::CentrelineEstimated { .. });
        assert!(!prepared.notices.iter().any(estimated), "one estimate of the centreline is told of");
        for bout in Bout::ALL {
            let run = Run { bout, side: Side::Right };
            assert!(prepared.notices.contains(&Notice::RunWithoutPoints(run)));
        }
    }
}

#[test]
fn without_names_and_pins_half_a_body_leaves_the_neck_end_unclear() {
    let mut trace = take(&violin(), &Taking { pins: false, ..Taking::plain(40, 1) }).trace;
    trace.points.retain(|p| p.at.y > 125.0);
    let prepared = prepare(&trace, &template()).unwrap();
    assert!(prepared.notices.contains(&Notice::NeckEndUnclear));
    let named = take(&violin(), &Taking { pins: false, named: true, ..Taking::plain(40, 1) }).trace;
    assert!(!prepare(&named, &template()).unwrap().notices.contains(&Notice::NeckEndUnclear));
}

#[test]
fn few_points_on_a_run_are_remarked_on() {
    let run = Run { bout: Bout::Upper, side: Side::Right };
    let mut trace = take(&violin(), &Taking { named: true, ..Taking::plain(20, 1) }).trace;
    let mut left = 3;
    trace.points.retain(|p| {
        p.run != Some(run) || {
            left -= 1;
            left >= 0
        }
    });
    let prepared = prepare(&trace, &template()).unwrap();
    assert_eq!(prepared.notices, [Notice::FewPoints { run, count: 3 }]);
    assert!(prepared.notices[0].to_string().starts_with("There are only 3 points on the run upper-right"));
}

#[test]
fn points_that_make_no_plate_are_refused() {
    let points = |at: &dyn Fn(f64) -> Point| Trace {
        points: (0..30)
            .map(|k| TracedPoint {
                at: at(f64::from(k)),
                run: None,
                side: None,
                line: 0,
                taken: HowTaken::Given,
                sd: None,
            })
            .collect(),
        pins: Pins::default(),
    };
    let template = template();
    let refused = |trace: &Trace| prepare(trace, &template).unwrap_err();
    assert_eq!(refused(&Trace::default()), TraceError::TooFewPoints { found: 0, least: 12 });
    assert_eq!(refused(&points(&|_| Point::new(3.0, 4.0))), TraceError::TooFewPoints { found: 1, least: 12 });
    assert_eq!(refused(&points(&|k| Point::new(10.0 * k, 20.0 * k))), TraceError::OnALine);
    assert!(matches!(refused(&points(&|k| Point::new(1e7 * k, 0.0))), TraceError::OutOfReach { .. }));
    assert!(matches!(refused(&points(&|k| Point::new(f64::NAN, k))), TraceError::OutOfReach { .. }));
    assert!(matches!(refused(&points(&|k| Point::new(k, k * k / 30.0))), TraceError::SpanTooSmall { .. }));
    let empty = Outline {
        runs: template.runs.clone().map(|mut run| {
            run.pieces.clear();
            run
        }),
    };
    let trace = take(&violin(), &Taking::plain(10, 1)).trace;
    assert_eq!(prepare(&trace, &empty), Err(TraceError::NoOutline));
}

fn any_points() -> impl Strategy<Value = Trace> {
    let number = prop_oneof![
        6 => -400.0..400.0f64,
        1 => Just(0.0),
        1 => prop_oneof![Just(100.0), Just(1e-9), Just(-3.0)],
        1 => -1e6..1e6f64,
    ];
    let place = (number.clone(), number).prop_map(Point::from);
    let point =
        (place.clone(), prop::option::weighted(0.4, 0..6usize), prop::option::weighted(0.2, 0..2usize))
            .prop_map(|(at, run, side)| TracedPoint {
                at,
                run: run.map(|k| Run::ALL[k]),
                taken: HowTaken::Given,
                sd: None,
                side: side.map(|k| Side::BOTH[k]),
                line: 1,
            });
    let pin = prop::option::weighted(0.5, place);
    (prop::collection::vec(point, 0..80), pin.clone(), pin)
        .prop_map(|(points, lower, upper)| Trace { points, pins: Pins { lower, upper } })
}

fn is_sound(prepared: &PreparedTrace) -> bool {
    prepared.frame.angle.is_finite()
        && prepared.frame.origin.is_finite()
        && prepared.points.iter().all(|p| p.at.is_finite())
        && prepared.corners.iter().flatten().all(|p| p.is_finite())
        && prepared.notices.iter().all(|n| n.to_string().ends_with('.'))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_points_at_all_upset_the_preparing(trace in any_points()) {
        match prepare(&trace, &template()) {
            Ok(prepared) => prop_assert!(is_sound(&prepared)),
            Err(error) => prop_assert!(error.to_string().ends_with('.')),
        }
    }

    #[test]
    fn a_real_trace_with_anything_thrown_in_is_prepared_or_refused(
        extra in any_points(), seed in 0..1000u64, named in any::<bool>(), pins in any::<bool>(), keep in 0.0..1.0f64,
    ) {
        let mut dice = Dice(seed);
        let mut trace = take(&violin(), &Taking { named, pins, ..Taking::plain(12, seed) }).trace;
        trace.points.retain(|_| dice.between(0.0, 1.0) < keep);
        trace.points.extend(extra.points.into_iter().take(20));
        if let Ok(prepared) = prepare(&trace, &template()) {
            prop_assert!(is_sound(&prepared));
            prop_assert_eq!(prepared.points.len() + prepared.set_aside.len(), trace.points.len());
        }
    }
}
