use super::super::pictured::{Line, Pictured};
use super::*;
use kurbo::Circle;
use proptest::prelude::*;

fn off_circle(points: &[OnLine], circle: Circle) -> f64 {
    let squares: f64 = points.iter().map(|p| (p.at.distance(circle.center) - circle.radius).powi(2)).sum();
    (squares / points.len() as f64).sqrt()
}

#[test]
fn a_dark_or_a_light_line_and_an_edge_are_followed_round_a_circle() {
    let circle = Circle::new((300.0, 310.0), 240.0);
    for (line, tone) in [(Line::Dark, Tone::Dark), (Line::Light, Tone::Light), (Line::Edge, Tone::Edge)] {
        let photo = Pictured::circle(circle, 600, 620, line, 8.0).taken();
        let from = circle.center + Vec2::new(circle.radius, 0.0);
        let to = circle.center - Vec2::new(0.0, circle.radius);
        let wanted = (tone == Tone::Edge).then_some(Tone::Edge);
        let stretch = follow(&photo, from, to, 8.0, wanted).unwrap();
        assert_eq!(stretch.tone, tone);
        assert!(stretch.points.len() > 10 && stretch.lost.is_empty(), "{}", stretch.points.len());
        let off = off_circle(&stretch.points, circle);
        assert!(off < 0.5, "{tone:?}: {off}");
        assert_eq!((stretch.way.first(), stretch.way.last()), (Some(&from), Some(&to)));
    }
}

#[test]
fn a_line_taken_for_the_other_kind_is_noticed() {
    let circle = Circle::new((300.0, 310.0), 240.0);
    let from = circle.center + Vec2::new(circle.radius, 0.0);
    let to = circle.center - Vec2::new(0.0, circle.radius);
    for (line, is, is_not) in [(Line::Dark, Tone::Dark, Tone::Light), (Line::Light, Tone::Light, Tone::Dark)]
    {
        let photo = Pictured::circle(circle, 600, 620, line, 8.0).taken();
        for wanted in [None, Some(is)] {
            let stretch = follow(&photo, from, to, 8.0, wanted).unwrap();
            assert!(!stretch.outshone && stretch.strength > 10.0, "{is:?}: {}", stretch.strength);
        }
        // Its halo is followed, not the line.
        if let Ok(stretch) = follow(&photo, from, to, 8.0, Some(is_not)) {
            assert!(stretch.outshone, "{is:?} as {is_not:?}: {}", stretch.strength);
        }
    }
}

#[test]
fn a_line_that_breaks_off_is_told_where() {
    let circle = Circle::new((300.0, 310.0), 240.0);
    let mut pictured = Pictured::circle(circle, 600, 620, Line::Dark, 8.0);
    // Rubbed out about 45 degrees, over some 12 mm.
    let gap = circle.center + circle.radius * Vec2::new(0.7, -0.714);
    pictured.rub_out(gap, 45.0);
    let photo = pictured.taken();
    let from = circle.center + Vec2::new(circle.radius, 0.0);
    let to = circle.center - Vec2::new(0.0, circle.radius);
    let stretch = follow(&photo, from, to, 8.0, None).unwrap();
    assert_eq!(stretch.lost.len(), 1, "{:?}", stretch.lost);
    let (a, b) = stretch.lost[0];
    assert!(a.midpoint(b).distance(gap) < 20.0);
    assert!(stretch.points.iter().all(|p| p.at.distance(gap) > 35.0));
    assert!(off_circle(&stretch.points, circle) < 0.6);
}

#[test]
fn where_there_is_nothing_to_follow_it_is_said() {
    let blank = Photo::new(200, 200, vec![180; 40_000]).unwrap();
    let (a, b) = (Point::new(20.0, 20.0), Point::new(150.0, 160.0));
    assert_eq!(follow(&blank, a, b, 8.0, None), Err(FollowError::NoLine));
    assert_eq!(follow(&blank, a, a, 8.0, None), Err(FollowError::Together));
    assert_eq!(follow(&blank, a, Point::new(900.0, 20.0), 8.0, None), Err(FollowError::Outside));
    assert_eq!(follow(&blank, a, Point::new(f64::NAN, 20.0), 8.0, None), Err(FollowError::Outside));
    assert_eq!(follow(&blank, a, b, f64::NAN, None), Err(FollowError::Outside));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    #[test]
    fn no_picture_upsets_it(
        grey in prop::collection::vec(any::<u8>(), 40 * 30),
        (x, y, u, v) in (-5.0..45.0f64, -5.0..35.0f64, -5.0..45.0f64, -5.0..35.0f64),
        scale in 0.01..60.0f64,
    ) {
        let photo = Photo::new(40, 30, grey).unwrap();
        for tone in [None, Some(Tone::Edge)] {
            if let Ok(stretch) = follow(&photo, Point::new(x, y), Point::new(u, v), scale, tone) {
                prop_assert!(stretch.points.iter().all(|p| p.at.x.is_finite() && p.at.y.is_finite() && p.sd.is_finite()));
            }
        }
        for tiny in [Photo::new(1, 1, vec![9]).unwrap(), Photo::new(4, 1, vec![1, 200, 3, 4]).unwrap()] {
            let _ = follow(&tiny, Point::new(0.1, 0.2), Point::new(3.9, 0.8), scale, None);
        }
    }
}
