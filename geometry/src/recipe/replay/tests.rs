use super::proportion::divided;
use super::sweep::reversed;
use super::*;
use crate::arc::wrap_angle;
use crate::outline::Side;
use crate::recipe::built_in::{built_in, violin};
use crate::recipe::{Action, Placing};
use proptest::prelude::*;

fn replays() -> Vec<(Recipe, Construction, Replay)> {
    built_in()
        .into_iter()
        .map(|recipe| {
            let drawn = recipe.evaluate().unwrap();
            let replay = Replay::of(&recipe, &drawn);
            (recipe, drawn, replay)
        })
        .collect()
}

fn arcs(frame: &Frame, role: Role) -> Vec<Arc> {
    let of_role = frame.strokes.iter().filter(|stroke| stroke.role == role);
    of_role
        .map(|stroke| match stroke.mark {
            Mark::Arc(arc) => arc,
            other => panic!("{role:?} is {other:?}"),
        })
        .collect()
}

fn lines(frame: &Frame, role: Role) -> Vec<Line> {
    let of_role = frame.strokes.iter().filter(|stroke| stroke.role == role);
    of_role
        .map(|stroke| match stroke.mark {
            Mark::Line(line) => line,
            other => panic!("{role:?} is {other:?}"),
        })
        .collect()
}

fn off_line(line: Line, point: Point) -> f64 {
    let along = line.p1 - line.p0;
    (along.cross(point - line.p0) / along.hypot()).abs()
}

fn on_arc(arc: &Arc, point: Point) -> bool {
    let t = arc.parameter_of(point);
    (point.distance(arc.centre) - arc.radius).abs() < 1e-7 && (-1e-9..=1.0 + 1e-9).contains(&t)
}

/// Whether all of the shorter arc is part of the longer.
fn covers(longer: &Arc, shorter: &Arc) -> bool {
    let same = longer.centre.distance(shorter.centre) < 1e-7 && (longer.radius - shorter.radius).abs() < 1e-7;
    let within = |k: u32| {
        let angle = shorter.start + shorter.sweep * f64::from(k) / 20.0;
        let middle = longer.start + longer.sweep / 2.0;
        wrap_angle(angle - middle).abs() <= longer.sweep.abs() / 2.0 + 1e-9
    };
    same && (0..=20).all(within)
}

/// What every replay of a whole construction keeps.
fn assert_sound(recipe: &Recipe, drawn: &Construction, replay: &Replay) {
    let expected = recipe.measures.len() + recipe.steps.len() + 3 + 6 + 1;
    assert_eq!(replay.frames.len(), expected);

    let struck = |side: Side| {
        let frames = replay.frames.iter().filter(move |frame| match frame.act {
            Act::Circle(_) => side == Side::Right,
            Act::LeftSide(_) => side == Side::Left,
            _ => false,
        });
        frames.flat_map(|frame| arcs(frame, Role::Struck)).collect::<Vec<_>>()
    };
    let inked: Vec<Arc> = replay.frames.iter().flat_map(|frame| arcs(frame, Role::Ink)).collect();
    let outline: Vec<Arc> = drawn.outline.arcs().into_iter().map(|(_, arc)| arc).collect();
    assert_eq!(inked, outline, "the ink is the outline");
    for (run, arc) in drawn.outline.arcs() {
        assert!(
            struck(run.side).iter().any(|pencil| covers(pencil, &arc)),
            "{run} is inked on a pencil line"
        );
    }

    for (now, frame) in replay.frames.iter().enumerate() {
        for stroke in &frame.strokes {
            assert!(stroke.until.is_none_or(|until| (now..replay.frames.len()).contains(&until)));
            let extent = stroke.mark.extent();
            assert!(extent.is_finite());
        }
        let Act::Circle(step) = frame.act else { continue };
        let circle = drawn.circles.iter().find(|circle| circle.step == step).unwrap();
        let [pencil] = arcs(frame, Role::Struck)[..] else { panic!("one arc is struck") };
        for contact in &circle.contacts {
            assert!(on_arc(&pencil, contact.at), "{} reaches its contacts", circle.name);
        }
        // Whatever it rests on is still on the board.
        for rest in &circle.rests_on {
            let there = replay.standing(now).any(|(drawn_in, stroke)| {
                matches!(replay.frames[drawn_in].act, Act::Point(s) | Act::Circle(s) if s == *rest)
                    && matches!(stroke.role, Role::Marked | Role::Struck)
            });
            assert!(there, "{} rests on step {rest}", circle.name);
        }
        for earlier in &circle.contacts {
            let there = replay.standing(now).any(|(_, stroke)| match stroke.mark {
                Mark::Arc(arc) => {
                    stroke.role == Role::Struck && arc.centre == earlier.centre && on_arc(&arc, earlier.at)
                }
                _ => false,
            });
            assert!(there, "the circle that {} touches is drawn as far as the contact", circle.name);
        }
    }
}

#[test]
fn every_built_in_recipe_is_replayed_soundly() {
    for (recipe, drawn, replay) in replays() {
        assert_sound(&recipe, &drawn, &replay);
    }
}

/// Euclid, Elements III.11 (circles touching inside) and III.12 (outside): both centres and the contact in one line.
#[test]
fn a_line_of_centres_goes_through_both_centres_and_the_contact() {
    for (_, drawn, replay) in replays() {
        let mut seen = 0;
        for frame in &replay.frames {
            let Act::Circle(step) = frame.act else { continue };
            let circle = drawn.circles.iter().find(|circle| circle.step == step).unwrap();
            let (drawn_lines, contacts) = (lines(frame, Role::LineOfCentres), contacts(frame));
            assert_eq!(drawn_lines.len(), contacts.len());
            for (line, at) in drawn_lines.iter().zip(contacts) {
                let touched = drawn.circles.iter().find(|other| {
                    other.step < step
                        && (other.centre.distance(at) - other.radius).abs() < 1e-7
                        && off_line(*line, other.centre) < 1e-7
                });
                assert!(touched.is_some(), "{} touches an earlier circle there", circle.name);
                assert!(off_line(*line, circle.centre) < 1e-7 && off_line(*line, at) < 1e-7);
                assert!((circle.centre.distance(at) - circle.radius).abs() < 1e-7);
                seen += 1;
            }
        }
        assert!(seen >= 6);
    }
}

fn contacts(frame: &Frame) -> Vec<Point> {
    let of_role = frame.strokes.iter().filter(|stroke| stroke.role == Role::Contact);
    of_role
        .map(|stroke| match stroke.mark {
            Mark::Point(at) => at,
            other => panic!("a contact is {other:?}"),
        })
        .collect()
}

#[test]
fn a_centre_lies_where_the_strokes_that_look_for_it_cross() {
    for (recipe, drawn, replay) in replays() {
        for frame in &replay.frames {
            let Act::Circle(step) = frame.act else { continue };
            let circle = drawn.circles.iter().find(|circle| circle.step == step).unwrap();
            let (touching, set_off) = (arcs(frame, Role::Touching), arcs(frame, Role::SetOff));
            assert!(touching.iter().chain(&set_off).all(|arc| on_arc(arc, circle.centre)));
            let Action::Circle { placed, .. } = &recipe.steps[step].action else { unreachable!() };
            let expected = match placed {
                Placing::CentredOn { .. } => (0, 0),
                Placing::Through { .. } => (0, 1),
                Placing::TouchingTwo { .. } => (2, 0),
                Placing::TouchingThrough { .. } => (1, 1),
            };
            assert_eq!((touching.len(), set_off.len()), expected, "{}", circle.name);
            for stroke in &frame.strokes {
                if let (Mark::Arc(arc), Some(taken)) = (stroke.mark, &stroke.taken) {
                    assert!((arc.radius - taken.mm).abs() < 1e-7, "the compass is set to what is said");
                }
            }
        }
    }
}

#[test]
fn a_setting_is_what_its_sizes_make() {
    let (recipe, drawn) = (violin(), violin().evaluate().unwrap());
    let mm = |size: &Size| match size {
        Size::Mm(mm) => *mm,
        Size::Ratio { ratio, of } => {
            ratio.of(drawn.lengths[recipe.measures.iter().position(|m| m.name == *of).unwrap()])
        }
    };
    let mut sums = 0;
    for stroke in Replay::of(&recipe, &drawn).frames.iter().flat_map(|frame| &frame.strokes) {
        let Some(taken) = &stroke.taken else { continue };
        let made = match &taken.opening {
            Opening::Size(size) => mm(size),
            Opening::Sum(one, other) => {
                sums += 1;
                mm(one) + mm(other)
            }
            Opening::Difference(one, other) => mm(one) - mm(other),
        };
        assert!((taken.mm - made).abs() < 1e-9, "{stroke:?}");
    }
    assert_eq!(sums, 2, "one hook of each corner touches its bout from outside");
}

#[test]
fn the_left_side_is_struck_about_mirrored_centres_with_the_settings_of_the_right() {
    for (_, drawn, replay) in replays() {
        let left = replay.frames.iter().filter(|frame| matches!(frame.act, Act::LeftSide(_)));
        for arc in left.flat_map(|frame| arcs(frame, Role::Struck)) {
            let mirrored = Point::new(-arc.centre.x, arc.centre.y);
            assert!(
                drawn.circles.iter().any(|circle| circle.centre.distance(mirrored) < 1e-7
                    && (circle.radius - arc.radius).abs() < 1e-7)
            );
        }
    }
}

#[test]
fn when_all_is_done_only_the_centreline_and_the_ink_are_left() {
    for (_, _, replay) in replays() {
        let last = replay.frames.len() - 1;
        let left: Vec<Role> = replay.standing(last).map(|(_, stroke)| stroke.role).collect();
        let expected = [Role::Centreline, Role::Ink, Role::Joint, Role::Corner];
        assert!(left.iter().all(|role| expected.contains(role)), "{left:?}");
        assert_eq!(left.iter().filter(|role| **role == Role::Corner).count(), 4);
    }
}

#[test]
fn a_tick_stands_square_across_every_joint() {
    let drawn = violin().evaluate().unwrap();
    let replay = Replay::of(&violin(), &drawn);
    let ticks: Vec<Line> = replay.frames.iter().flat_map(|frame| lines(frame, Role::Joint)).collect();
    assert_eq!(ticks.len(), 2 * drawn.joints.len());
    for joint in &drawn.joints {
        let at = ticks.iter().find(|tick| tick.midpoint().distance(joint.at) < 1e-7).unwrap();
        assert!(off_line(*at, drawn.circles[joint.from].centre) < 1e-6);
    }
}

/// Euclid, Elements VI.9: a line parallel to one side of a triangle cuts the other two in the same ratio (VI.2).
#[test]
fn a_measure_is_cut_off_by_equal_steps_and_parallels() {
    for (over, under) in [(4, 7), (5, 6), (13, 20), (3, 2), (1, 2), (7, 1)] {
        let ratio = Ratio::new(over, under).unwrap();
        let strokes = divided(200.0, ratio);
        let steps: Vec<Arc> = strokes
            .iter()
            .filter_map(|(mark, role)| match mark {
                Mark::Arc(arc) if *role == Role::Step => Some(*arc),
                _ => None,
            })
            .collect();
        assert_eq!(steps.len(), usize::from(over.max(under)));
        assert!(steps.iter().all(|step| (step.radius - steps[0].radius).abs() < 1e-9));
        let parallels: Vec<Line> = strokes
            .iter()
            .filter_map(|(mark, role)| match mark {
                Mark::Line(line) if *role == Role::Parallel => Some(*line),
                _ => None,
            })
            .collect();
        let (first, last) = (parallels[0], *parallels.last().unwrap());
        assert!(first.p1.distance(Point::new(0.0, 200.0)) < 1e-9, "the first goes to the end of the whole");
        assert!((last.p1.y - ratio.of(200.0)).abs() < 1e-9, "the last cuts off the part");
        for line in &parallels {
            assert!((line.p1 - line.p0).cross(first.p1 - first.p0).abs() < 1e-6);
        }
    }
}

#[test]
fn a_length_in_mm_is_taken_from_the_rule() {
    let mut recipe = violin();
    let waist = recipe.steps.iter().position(|step| step.name == "waist 2").unwrap();
    if let Action::Circle { radius, .. } = &mut recipe.steps[waist].action {
        *radius = Size::Mm(90.0);
    }
    recipe.steps[waist].choices.clear();
    let replay = Replay::of(&recipe, &recipe.evaluate().unwrap());
    let first: Vec<Role> = replay.frames[0].strokes.iter().map(|stroke| stroke.role).collect();
    assert_eq!(first, [Role::Centreline, Role::Part]);
    let frame = replay.frames.iter().find(|frame| frame.act == Act::Circle(waist)).unwrap();
    let struck = frame.strokes.iter().find(|stroke| stroke.role == Role::Struck).unwrap();
    assert_eq!(struck.taken, Some(Taken { mm: 90.0, opening: Opening::Size(Size::Mm(90.0)) }));
}

#[test]
fn a_measure_found_on_ribs_is_laid_off_as_it_is() {
    let recipe = violin();
    let mut lengths = recipe.lengths().unwrap();
    lengths[1] += 1.3;
    let replay = Replay::of(&recipe, &recipe.evaluate_at(&lengths).unwrap());
    let roles =
        |frame: usize| replay.frames[frame].strokes.iter().map(|stroke| stroke.role).collect::<Vec<_>>();
    assert_eq!(roles(1), [Role::Part]);
    assert_eq!(
        replay.frames[1].strokes[0].taken,
        Some(Taken { mm: lengths[1], opening: Opening::Size(Size::Mm(lengths[1])) })
    );
    assert_eq!(roles(2), [Role::Part], "the upper width is no longer five sixths of it");
    assert!(roles(3).contains(&Role::Parallel), "the waist still is its part of the upper width");
}

#[test]
fn a_frame_names_the_frames_it_rests_on() {
    let (recipe, drawn) = (violin(), violin().evaluate().unwrap());
    let replay = Replay::of(&recipe, &drawn);
    for (now, frame) in replay.frames.iter().enumerate() {
        assert!(frame.rests_on.iter().all(|earlier| *earlier < now));
        let expected = match frame.act {
            Act::Circle(step) => {
                drawn.circles.iter().find(|circle| circle.step == step).unwrap().rests_on.len()
            }
            Act::LeftSide(bout) | Act::Ink(Run { bout, .. }) => {
                if bout == Bout::Waist {
                    3
                } else {
                    5
                }
            }
            _ => 0,
        };
        assert_eq!(frame.rests_on.len(), expected, "{:?}", frame.act);
    }
}

#[test]
fn a_recipe_with_a_fault_is_replayed_as_far_as_it_goes() {
    let mut recipe = violin();
    let lower_3 = recipe.steps.iter_mut().find(|step| step.name == "waist 1").unwrap();
    if let Action::Circle { radius, .. } = &mut lower_3.action {
        *radius = Size::Mm(1.0);
    }
    let partial = recipe.evaluate_partial();
    assert!(!partial.errors.is_empty() && partial.whole.is_none());
    let replay = Replay::of_partial(&recipe, &partial);
    assert_eq!(replay.frames.len(), recipe.measures.len() + recipe.steps.len() - 1);
    assert!(!replay.frames.iter().any(|frame| matches!(frame.act, Act::Ink(_))));
    assert!(replay.extent().unwrap().height() > 355.0);
}

#[test]
fn a_circle_is_swept_from_where_it_is_known_to_pass() {
    let (recipe, drawn) = (violin(), violin().evaluate().unwrap());
    for frame in &Replay::of(&recipe, &drawn).frames {
        let Act::Circle(step) = frame.act else { continue };
        let circle = drawn.circles.iter().find(|circle| circle.step == step).unwrap();
        let Some(known) = circle.contacts.first().map(|contact| contact.at).or(circle.point) else {
            continue;
        };
        let [arc] = arcs(frame, Role::Struck)[..] else { panic!() };
        assert!(arc.parameter_of(known) <= 0.5 + 1e-9, "{}", circle.name);
        assert!(on_arc(&reversed(&arc), known));
        assert!(arc.sweep.abs() < 3.5, "{}: no more than is needed", circle.name);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Any built-in recipe, moulds too, with any ratio that its author offers and at other lengths.
    #[test]
    fn any_offered_ratio_and_length_is_replayed_soundly(
        which in any::<prop::sample::Index>(),
        choice in any::<prop::sample::Index>(),
        place in any::<prop::sample::Index>(),
        scale in 0.8..1.3,
    ) {
        let all = built_in();
        let mut recipe = which.get(&all).clone();
        let count = recipe.measures.len() + recipe.steps.len();
        let place = place.index(count);
        if let Some(measure) = recipe.measures.get_mut(place) {
            if let (Size::Ratio { ratio, .. }, false) = (&mut measure.size, measure.choices.is_empty()) {
                *ratio = *choice.get(&measure.choices);
            }
        } else {
            let step = &mut recipe.steps[place - 4];
            if let Action::Circle { radius: Size::Ratio { ratio, .. }, .. } = &mut step.action
                && !step.choices.is_empty()
            {
                *ratio = *choice.get(&step.choices);
            }
        }
        let lengths: Vec<f64> = recipe.lengths().unwrap().iter().map(|mm| mm * scale).collect();
        let drawn = recipe.evaluate_at(&lengths).unwrap();
        assert_sound(&recipe, &drawn, &Replay::of(&recipe, &drawn));
    }
}
