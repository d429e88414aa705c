use super::*;

const PHOTO: Size = Size::new(4000.0, 3000.0);

/// A board seen by a pinhole camera that stands `tilt` degrees off square, the board's middle on its axis.
fn view(tilt: f64, focal: f64, distance: f64) -> Homography {
    let (sin, cos) = tilt.to_radians().sin_cos();
    // Board mm about (200, 150), turned about the x axis, then seen at `distance` mm.
    let (cx, cy) = (PHOTO.width / 2.0, PHOTO.height / 2.0);
    let third = [0.0, -sin, distance + 150.0 * sin];
    let first = [focal, cx * third[1], -focal * 200.0 + cx * third[2]];
    let second = [0.0, -focal * cos + cy * third[1], focal * 150.0 * cos + cy * third[2]];
    Homography::from_rows([first, second, third].concat().try_into().unwrap()).unwrap()
}

fn eight() -> Vec<Point> {
    [(0., 0.), (400., 0.), (400., 300.), (0., 300.), (200., 0.), (400., 150.), (200., 300.), (0., 150.)]
        .map(Point::from)
        .to_vec()
}

fn marks(view: &Homography, board: &[Point], mut by: impl FnMut(Point) -> Vec2) -> Vec<Mark> {
    board
        .iter()
        .map(|p| {
            let seen = view.at(*p);
            Mark { photo: seen + by(seen), board: *p }
        })
        .collect()
}

struct Dice(u64);

impl Dice {
    /// Normally distributed with standard deviation 1: the sum of twelve even numbers.
    fn normal(&mut self) -> f64 {
        (0..12)
            .map(|_| {
                self.0 =
                    self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
                (self.0 >> 33) as f64 / (1u64 << 31) as f64 - 0.5
            })
            .sum()
    }
}

#[test]
fn the_tilt_is_read_whatever_the_focal_length() {
    for focal in [2500.0, 4000.0, 9000.0] {
        for tilt in [0.0, 10.0, 25.0, 40.0] {
            let marks = marks(&view(tilt, focal, focal / 8.0), &eight(), |_| Vec2::ZERO);
            let squared = Squared::by_marks(&marks, PHOTO, &[]).unwrap();
            assert!((squared.tilt.to_degrees() - tilt).abs() < 0.1, "{tilt} {}", squared.tilt.to_degrees());
            let oblique = squared.remarks.iter().any(|r| matches!(r, Remark::TooOblique { .. }));
            assert_eq!(oblique, tilt > 30.0);
        }
    }
}

#[test]
fn sides_that_the_picture_does_not_have_are_told_from_a_camera_held_askew() {
    let told = |tilt: f64, focal: f64, distance: f64, size: (f64, f64)| {
        let mut dice = Dice(5);
        let seen =
            marks(&view(tilt, focal, distance), &eight(), |_| Vec2::new(dice.normal(), dice.normal()) * 0.3);
        let typed = |p: Point| Point::new(p.x * size.0 / 400.0, p.y * size.1 / 300.0);
        let marks: Vec<Mark> = seen.iter().map(|m| Mark { board: typed(m.board), ..*m }).collect();
        Squared::by_marks(&marks, PHOTO, &[]).unwrap().remarks
    };
    // A telephone's lens, and one five times as long as the picture.
    for (focal, distance) in [(3000.0, 420.0), (20_000.0, 2800.0)] {
        for tilt in [0.0, 5.0, 12.0, 20.0, 28.0, 40.0] {
            let remarks = told(tilt, focal, distance, (400.0, 300.0));
            let sides = |r: &Remark| matches!(r, Remark::ChangedOver | Remark::SidesUnlike { .. });
            let oblique = remarks.iter().any(|r| matches!(r, Remark::TooOblique { .. }));
            assert!(!remarks.iter().any(sides) && oblique == (tilt > 30.0), "{focal} {tilt}: {remarks:?}");
        }
        for tilt in [0.0, 4.0, 9.0] {
            assert_eq!(told(tilt, focal, distance, (300.0, 400.0)), [Remark::ChangedOver], "{focal} {tilt}");
        }
        for size in [(440.0, 300.0), (400.0, 270.0), (400.0, 340.0)] {
            let remarks = told(0.0, focal, distance, size);
            assert!(
                matches!(remarks[..], [Remark::SidesUnlike { part }] if part > 0.08),
                "{size:?}: {remarks:?}"
            );
        }
    }
}

#[test]
fn a_coarse_picture_is_remarked_on() {
    let coarse = marks(&view(0.0, 3000.0, 1000.0), &eight(), |_| Vec2::ZERO);
    let squared = Squared::by_marks(&coarse, PHOTO, &[]).unwrap();
    assert!((squared.px_per_mm - 3.0).abs() < 1e-6);
    assert_eq!(squared.remarks, [Remark::TooSmall { px_per_mm: squared.px_per_mm }]);
}

#[test]
fn a_bent_lens_is_told_from_a_badly_tapped_mark() {
    let view = view(12.0, 4000.0, 550.0);
    let middle = PHOTO.to_rect().center();
    let barrel = |p: Point| (p - middle) * (-0.03 * (p - middle).hypot2() / 2500.0_f64.powi(2));
    let squared = Squared::by_marks(&marks(&view, &eight(), barrel), PHOTO, &[]).unwrap();
    assert!(matches!(squared.remarks[..], [Remark::BentByTheLens { .. }]), "{:?}", squared.remarks);
    let mut count = 0;
    let slip = |_| {
        count += 1;
        if count == 6 { Vec2::new(20.0, 9.0) } else { Vec2::ZERO }
    };
    let squared = Squared::by_marks(&marks(&view, &eight(), slip), PHOTO, &[]).unwrap();
    assert!(matches!(squared.remarks[..], [Remark::MarkOff { mark: 6, .. }]), "{:?}", squared.remarks);
    let mut dice = Dice(5);
    for _ in 0..40 {
        let steady = marks(&view, &eight(), |_| Vec2::new(dice.normal(), dice.normal()));
        assert_eq!(Squared::by_marks(&steady, PHOTO, &[]).unwrap().remarks, []);
    }
}

/// Marks tapped with so much noise, many times: the places among them are off by as much as is stated.
#[test]
fn the_stated_standard_deviation_is_what_noise_does() {
    for (count, noise) in [(8, 1.0), (4, 0.8)] {
        let view = view(15.0, 4000.0, 550.0);
        let mut dice = Dice(17);
        let (mut squares, mut stated) = (0.0, 0.0);
        let board = &eight()[..count];
        let places: Vec<Point> =
            [(100., 90.), (200., 150.), (330., 70.), (60., 250.), (310., 240.)].map(Point::from).to_vec();
        const TIMES: usize = 300;
        for _ in 0..TIMES {
            let tapped = marks(&view, board, |_| noise * Vec2::new(dice.normal(), dice.normal()));
            let squared = Squared::by_marks(&tapped, PHOTO, &[]).unwrap();
            stated += squared.sd;
            for p in &places {
                squares += (squared.to_board.at(view.at(*p)) - *p).hypot2() / 2.0;
            }
        }
        let (found, stated) = ((squares / (TIMES * places.len()) as f64).sqrt(), stated / TIMES as f64);
        assert!((found / 1.5..found * 1.5).contains(&stated), "{count}: {found} found, {stated} stated");
    }
}

#[test]
fn diagonals_that_do_not_close_are_told_and_counted_in() {
    let corners = rectangle(400.0, 300.0).unwrap();
    let marks = marks(&view(5.0, 4000.0, 550.0), &corners, |_| Vec2::ZERO);
    let good = Squared::by_marks(&marks, PHOTO, &[500.1, 499.9]).unwrap();
    assert_eq!((good.residual(), &good.remarks[..]), (None, &[][..]));
    let bad = Squared::by_marks(&marks, PHOTO, &[502.0, 498.0]).unwrap();
    assert!(matches!(bad.remarks[..], [Remark::NotARectangle { .. }]));
    assert!(bad.sd > good.sd + 0.5);
    assert!(rectangle(2.0, 300.0).is_err() && rectangle(f64::NAN, 300.0).is_err());
}

#[test]
fn pins_and_a_resolution_give_the_scale() {
    let pins = Squared::by_pins((1000.0, 2500.0).into(), (1000.0, 500.0).into(), 250.0).unwrap();
    assert!((pins.px_per_mm - 8.0).abs() < 1e-9);
    assert!(pins.to_board.at((1080.0, 1700.0).into()).distance((10.0, 100.0).into()) < 1e-9);
    let scan = Squared::by_resolution(300.0, PHOTO).unwrap();
    let inch = scan.to_board.at((300.0, 0.0).into()) - scan.to_board.at((0.0, 0.0).into());
    assert!((inch - Vec2::new(25.4, 0.0)).hypot() < 1e-9);
    assert!(Squared::by_resolution(5.0, PHOTO).is_err());
    assert_eq!(Squared::by_pins(Point::ORIGIN, Point::ORIGIN, 300.0), Err(SquareError::PinsTogether));
}

#[test]
fn taps_in_any_order_go_around_the_board() {
    let seen = [(100., 900.), (850., 950.), (800., 120.), (150., 80.)].map(Point::from);
    for order in [[0, 1, 2, 3], [2, 0, 3, 1], [3, 2, 1, 0]] {
        assert_eq!(around(order.map(|k| seen[k])), seen);
    }
}

#[test]
fn marks_tapped_roughly_say_how_far_off_the_board_may_be() {
    // 200 by 300 mm at 4 pixels to the millimetre, each tap off by 8 pixels (2 mm) in both directions.
    let board = rectangle(200.0, 300.0).unwrap();
    let seen = board.map(|p| Point::new(100.0 + 4.0 * p.x, 1300.0 - 4.0 * p.y));
    let mut squares = 0.0;
    let mut count = 0.0;
    let mut stated = 0.0;
    for signs in 0..256 {
        let off = |k: usize| if signs >> k & 1 == 0 { 8.0 } else { -8.0 };
        let mut marks: Vec<Mark> =
            board.iter().zip(seen).map(|(board, photo)| Mark { board: *board, photo }).collect();
        for (k, mark) in marks.iter_mut().enumerate() {
            mark.photo += Vec2::new(off(2 * k), off(2 * k + 1));
        }
        let taps: Vec<Point> = marks.iter().map(|mark| mark.photo).collect();
        let squared = Squared::by_marks(&marks, PHOTO, &[]).unwrap().roughly_tapped(&taps, 8.0);
        assert!(squared.remarks.contains(&Remark::RoughlyTapped { mm: 8.0 / squared.px_per_mm }));
        stated = squared.sd;
        for at in [(60.0, 60.0), (140.0, 60.0), (100.0, 150.0), (60.0, 240.0), (140.0, 240.0)] {
            let at = Point::from(at);
            let truly = Point::new(100.0 + 4.0 * at.x, 1300.0 - 4.0 * at.y);
            squares += (squared.to_board.at(truly) - at).hypot2() / 2.0;
            count += 1.0;
        }
    }
    let true_sd = (squares / count).sqrt();
    assert!((stated / true_sd - 1.0).abs() < 0.3, "{stated} mm is stated, {true_sd} mm it is");
    let pins = Squared::by_pins((0.0, 400.0).into(), (0.0, 0.0).into(), 100.0).unwrap();
    let rough = pins.clone().roughly_tapped(&[(0.0, 400.0).into(), (0.0, 0.0).into()], 4.0);
    assert!((rough.sd - pins.sd.hypot(1.0)).abs() < 1e-12);
    assert_eq!(pins.clone().roughly_tapped(&[], 4.0), pins);
}

#[test]
fn every_remark_is_a_sentence() {
    for remark in [
        Remark::TooOblique { degrees: 33.0 },
        Remark::TooSmall { px_per_mm: 2.0 },
        Remark::ChangedOver,
        Remark::SidesUnlike { part: 0.1 },
        Remark::BentByTheLens { mm: 0.5 },
        Remark::MarkOff { mark: 3, mm: 1.0 },
        Remark::NotARectangle { mm: 2.0 },
        Remark::MarksNotFound { found: 4 },
        Remark::RoughlyTapped { mm: 1.5 },
        Remark::PinsOnly,
    ] {
        assert!(remark.to_string().ends_with('.'));
    }
}
