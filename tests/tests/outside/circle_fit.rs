//! Circles fitted to points.

use ribline_geometry::arc::{nearest_circle, quick_circle};
use ribline_geometry::kurbo::Point;

/// Gander, Golub, Strebel, "Least-squares fitting of circles and ellipses", BIT 34 (1994), worked example, geometric fit:
/// centre (4.7398, 2.9835), radius 4.7142.
#[test]
fn the_geometric_fit_gives_the_published_circle() {
    let points = [(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)].map(Point::from);
    let circle = nearest_circle(&points).expect("a circle");
    assert!((circle.centre.x - 4.7398).abs() < 1e-4, "{circle:?}");
    assert!((circle.centre.y - 2.9835).abs() < 1e-4, "{circle:?}");
    assert!((circle.radius - 4.7142).abs() < 1e-4, "{circle:?}");
}

/// The same example as an algebraic fit with the coefficient of x² + y² held at 1. (The paper's own holds the norm of all
/// four coefficients instead, and so has another answer.) Against a general least-squares solver: nalgebra's singular
/// value decomposition of the 6 x 3 system that the definition gives.
#[test]
fn the_algebraic_fit_is_the_least_squares_solution_of_its_equation() {
    use nalgebra::{DMatrix, DVector};
    let points = [(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)].map(Point::from);
    let rows = DMatrix::from_fn(6, 3, |i, j| [points[i].x, points[i].y, 1.0][j]);
    let right = DVector::from_fn(6, |i, _| -points[i].to_vec2().hypot2());
    let found = rows.svd(true, true).solve(&right, 1e-12).expect("full rank");
    let centre = Point::new(-0.5 * found[0], -0.5 * found[1]);
    let radius = (centre.to_vec2().hypot2() - found[2]).sqrt();
    let circle = quick_circle(&points).expect("a circle");
    assert!(circle.centre.distance(centre) < 1e-10 && (circle.radius - radius).abs() < 1e-10, "{circle:?}");
}

/// Any three points lie on one circle; Euclid, Elements III.25, completes it. Here (3, 4, 5) triangles moved about.
#[test]
fn both_fits_give_back_a_circle_whose_points_they_get() {
    let centre = Point::new(-31.0, 212.0);
    let on = [(5.0, 0.0), (3.0, 4.0), (-4.0, 3.0), (0.0, -5.0), (4.0, -3.0)];
    for count in [3, 4, 5] {
        let points: Vec<Point> = on[..count].iter().map(|(x, y)| centre + (20.0 * x, 20.0 * y)).collect();
        for circle in [quick_circle(&points), nearest_circle(&points)] {
            let circle = circle.expect("a circle");
            assert!(
                circle.centre.distance(centre) < 1e-9 && (circle.radius - 100.0).abs() < 1e-9,
                "{circle:?}"
            );
        }
    }
    let in_line = [(0.0, 0.0), (1.0, 2.0), (2.0, 4.0)].map(Point::from);
    assert_eq!(nearest_circle(&in_line), None);
}
