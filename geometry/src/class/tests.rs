use super::*;
use crate::json::Form;
use crate::outline::{Bout, Corner, Face, FaceUp, Plate};
use crate::recipe::built_in::violin;
use crate::reconcile::Wish;
use crate::share::{Contents, Shared, address, write};
use crate::trace::{HowTaken, Pins, Trace, TracedPoint};
use std::f64::consts::PI;

/// Ribs exactly so far inside the recipe's own edge, each run's points taken along it.
fn traced(overhang: f64) -> Project {
    let recipe = violin();
    let edge = recipe.evaluate().unwrap().outline;
    let mut points = Vec::new();
    for run in Run::ALL {
        let chain = edge.run(run).offset(overhang).expect("a parallel");
        let places = chain.sampled(9.0);
        for (at, _) in &places[1..places.len() - 1] {
            let line = points.len() + 1;
            points.push(TracedPoint {
                at: *at,
                run: Some(run),
                side: None,
                line,
                taken: HowTaken::Given,
                sd: None,
            });
        }
    }
    let wish = Wish::customary(&recipe);
    let pins = Pins { lower: Some(Point::new(0.0, 12.0)), upper: Some(Point::new(0.0, 340.0)) };
    Project { title: "Plate".into(), ..Project::new(recipe, Trace { points, pins }, wish) }
}

fn mirrored(project: &Project) -> Project {
    let mut project = project.clone();
    for point in &mut project.trace.points {
        point.at.x = -point.at.x;
        point.run = point.run.map(|run| Run { side: run.side.opposite(), ..run });
    }
    project
}

fn value(member: &Member, key: Key) -> f64 {
    member.figures.iter().find(|figure| figure.key == key).unwrap_or_else(|| panic!("{key:?}")).value
}

#[test]
fn an_edge_of_two_like_sides_has_no_asymmetry_and_the_overhang_of_its_ribs() {
    let mut project = traced(2.5);
    project.wish.overhang = crate::reconcile::Overhang::even(2.5);
    project.wish.finish = crate::reconcile::Finish::Fitted;
    let member = member(&project).unwrap();
    assert!(value(&member, Key::Sides(SidesOf::Most)) < 0.1);
    for bout in Bout::ALL {
        assert!(value(&member, Key::Sides(SidesOf::HalfWidth(bout))).abs() < 0.1, "{bout:?}");
    }
    assert!((value(&member, Key::Overhang(OverhangOf::Mean)) - 2.5).abs() < 0.05);
    for bout in [Bout::Lower, Bout::Upper] {
        let [left, right] = Side::BOTH.map(|side| Corner::of(bout, side).unwrap());
        for of in [CornerOf::Up, CornerOf::Out, CornerOf::Width, CornerOf::Direction, CornerOf::Beyond] {
            let apart =
                value(&member, Key::Corner { at: left, of }) - value(&member, Key::Corner { at: right, of });
            assert!(apart.abs() < 0.2, "{bout:?} {of:?}: {apart}");
        }
    }
    // Every corner points outwards.
    for at in Corner::ALL {
        assert!(value(&member, Key::Corner { at, of: CornerOf::Direction }).abs() < PI / 2.0);
    }
}

/// The treble half of the lower bout moved out by a known amount: so much wider, and nothing else is.
#[test]
fn a_side_that_is_wider_by_so_much_is_told_as_wider_by_so_much() {
    let mut project = traced(2.5);
    project.wish.finish = crate::reconcile::Finish::Fitted;
    project.wish.radii = crate::reconcile::Radii::EachSide;
    let plain = member(&project).unwrap();
    for point in &mut project.trace.points {
        if point.at.x > 0.0 {
            let t = (point.at.y / 355.0).clamp(0.0, 1.0);
            point.at.x *= 1.0 + 0.02 * (1.0 - t) * (1.0 - t);
        }
    }
    let wide = member(&project).unwrap();
    let by = |member: &Member, bout| value(member, Key::Sides(SidesOf::HalfWidth(bout)));
    // At the widest, 71 mm up, 101 mm out less the overhang: 2 % of 98.5 mm by (1 - 1/5) squared.
    let wanted = 0.02 * 98.9 * 0.64;
    let got = by(&wide, Bout::Lower) - by(&plain, Bout::Lower);
    assert!((got - wanted).abs() < 0.25, "{got} for {wanted}");
    assert!(by(&wide, Bout::Upper).abs() < 0.25);
    assert!(value(&wide, Key::Sides(SidesOf::Most)) > 0.8);
    let lines = table(&[&plain, &wide]);
    assert!(lines.windows(2).all(|pair| pair[0].weight >= pair[1].weight), "the most different first");
    let first = lines.iter().take(8).any(|line| matches!(line.key, Key::Sides(_)));
    assert!(first, "{:?}", lines.iter().take(8).map(|line| &line.key).collect::<Vec<_>>());
}

#[test]
fn a_plate_traced_with_the_other_face_up_is_turned_over() {
    let mut project = traced(2.5);
    // One side fuller, so that the sides can be told apart.
    for point in &mut project.trace.points {
        if point.at.x < 0.0 {
            point.at.x -= 1.5;
        }
    }
    project.face = Face { plate: Plate::Back, up: FaceUp::Inside };
    let as_it_is = member(&project).unwrap();
    let mut other = mirrored(&project);
    other.face.up = FaceUp::Outside;
    let turned = member(&other).unwrap();
    assert_eq!((as_it_is.turned, turned.turned), (false, true));
    for line in table(&[&as_it_is, &turned]) {
        assert!(line.spread.is_some_and(|spread| spread < 0.02), "{:?}: {:?}", line.key, line.spread);
    }
    for (one, other) in as_it_is.edge.iter().flatten().zip(turned.edge.iter().flatten()) {
        assert!(one.distance(*other) < 0.02, "{one} {other}");
    }
}

#[test]
fn what_sets_lines_apart_is_drawn_so_many_times_as_large() {
    let base = member(&traced(2.5)).unwrap();
    let mut wide = base.clone();
    for point in wide.edge.iter_mut().flatten() {
        point.x *= 1.01;
    }
    for times in [1.0, 10.0] {
        let over = laid_over(&[&base, &wide], Alignment::Bottom, times);
        assert_eq!(over.lines.len(), 2);
        for ((one, other), mean) in over.lines[0].iter().zip(&over.lines[1]).zip(&over.mean) {
            let wanted = times * 0.01 * (mean.x / 1.005).abs();
            assert!((one.distance(*other) - wanted).abs() < 1e-6);
        }
    }
}

#[test]
fn lines_are_brought_together_where_it_is_said() {
    let base = member(&traced(2.5)).unwrap();
    let mut long = base.clone();
    for point in long.edge.iter_mut().flatten().chain([&mut long.bottom, &mut long.top]) {
        point.y = 1.02 * point.y + 30.0;
    }
    let (mut with_pin, mut higher) = (base.clone(), long.clone());
    with_pin.lower_pin = Some(base.bottom + kurbo::Vec2::new(0.0, 5.0));
    higher.lower_pin = Some(long.bottom + kurbo::Vec2::new(0.0, 7.0));
    let lowest = |line: &[Point]| line.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    let highest = |line: &[Point]| line.iter().map(|p| p.y).fold(f64::NEG_INFINITY, f64::max);
    let of = |members: [&Member; 2], at| {
        let over = laid_over(&members, at, 1.0);
        let apart = |of: fn(&[Point]) -> f64| of(&over.lines[1]) - of(&over.lines[0]);
        (
            apart(|l| l.iter().map(|p| p.y).fold(f64::INFINITY, f64::min)),
            highest(&over.lines[1]) - highest(&over.lines[0]),
            lowest(&over.lines[0]),
        )
    };
    assert!(of([&base, &long], Alignment::Bottom).0.abs() < 0.01);
    assert!(of([&base, &long], Alignment::Top).1.abs() < 0.01);
    let (below, above, _) = of([&base, &long], Alignment::Middle);
    assert!((below + above).abs() < 0.01 && above > 3.0);
    assert!((of([&with_pin, &higher], Alignment::Pin).0 + 2.0).abs() < 0.01);
}

#[test]
fn a_result_crosses_over_as_it_is() {
    let member = member(&traced(2.5)).unwrap();
    let text = crate::json::Layout::OPEN.text_of(&member.written());
    let back = Member::read(&crate::json::parse(&text).unwrap()).unwrap();
    assert_eq!((&back.figures, &back.name, back.turned), (&member.figures, &member.name, member.turned));
    for (one, other) in back.edge.iter().flatten().zip(member.edge.iter().flatten()) {
        assert!(one.distance(*other) < 0.001);
    }
}

#[test]
fn several_links_are_found_in_what_is_pasted_and_a_bad_one_is_named() {
    let project = traced(2.5);
    let link = |contents| {
        let text = write(&Shared::of(project.clone(), contents)).unwrap();
        address::link("https://recipes.example.org/", &text).unwrap()
    };
    let (result, trace, recipe) = (link(Contents::Result), link(Contents::WithTrace), link(Contents::Recipe));
    let mut damaged = result.clone();
    let at = damaged.len() - 30;
    damaged.replace_range(at..at + 1, if damaged[at..].starts_with('A') { "B" } else { "A" });
    // As mail breaks a long link.
    let broken = format!("{}\n{}", &trace[..80], &trace[80..]);
    let text = format!(
        "The class of spring:\nBench 1: {result}\nBench 2 - <{broken}>\n{damaged}\nand {recipe} too."
    );
    let found = brought(&text);
    assert_eq!(found.len(), 4);
    assert_eq!(found[0].as_ref().unwrap().which.beside(), "Bench 1");
    assert_eq!(found[0].as_ref().unwrap().project.title, "Plate");
    assert_eq!(found[1].as_ref().unwrap().which.beside(), "Bench 2");
    assert_eq!(found[1].as_ref().unwrap().project.trace.points.len(), project.trace.points.len());
    let NotBrought { which, why } = found[2].as_ref().unwrap_err();
    assert!(matches!(which, Which::Link { number: 3, of: 4, .. }), "{which:?}");
    assert!(why.contains("damaged"), "{why}");
    let alone = &found[3].as_ref().unwrap().project;
    assert_eq!(member(alone), Err(NoMember::NothingTraced));
}

#[test]
fn more_links_than_are_looked_at_are_said() {
    let text = write(&Shared::of(traced(2.5), Contents::Recipe)).unwrap();
    let link = address::link("https://recipes.example.org/", &text).unwrap();
    let found = brought(&format!("{link}\n").repeat(75));
    assert_eq!(found.len(), 61);
    assert!(found[..60].iter().all(Result::is_ok));
    let NotBrought { which, .. } = found[60].as_ref().unwrap_err();
    assert_eq!(which, &Which::LinksBeyond { from: 61, to: 75 });
    assert!(matches!(found[59].as_ref().unwrap().which, Which::Link { number: 60, of: 75, .. }));
}

#[test]
fn files_that_hold_no_result_say_what_they_are() {
    let project = traced(2.5);
    let one = |text: &str| brought(text).remove(0);
    assert_eq!(one(&project.to_json()).unwrap().project, project);
    assert!(one(&violin().to_json()).unwrap_err().why.contains("no traced line"));
    assert!(one("x_mm,y_mm\n1,2\n").unwrap_err().why.contains("without a recipe"));
    assert!(one("Dear class").unwrap_err().why.contains("no link"));
    assert!(one("{\"format\": 3").unwrap_err().why.contains("not a Ribline project"));
    assert!(one("").unwrap_err().why.contains("no link"));
}

#[test]
fn the_invented_class_can_be_worked_and_differs() {
    let names: Vec<String> = (0..INVENTED).map(|k| format!("Bench {k}")).collect();
    let members: Vec<Member> =
        invented(&traced(2.5), &names).iter().map(|project| member(project).unwrap()).collect();
    assert_eq!(members.len(), INVENTED);
    assert_eq!(members.iter().filter(|member| member.turned).count(), 1);
    assert!(members.iter().all(|member| member.construction == members[0].construction));
    let lines = table(&members.iter().collect::<Vec<_>>());
    assert!(lines[0].weight > 2.0, "{:?}", lines[0]);
    assert!(lines.iter().any(|line| matches!(line.key, Key::Chosen { .. })), "one took another ratio");
}
