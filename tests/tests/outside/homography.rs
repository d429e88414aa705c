//! The map from four marks against a general image library's.

use imageproc::geometric_transformations::Projection;
use proptest::prelude::*;
use ribline_geometry::capture::Homography;
use ribline_geometry::kurbo::Point;

fn corner(x: f64, y: f64) -> impl Strategy<Value = (f32, f32)> {
    (x - 0.2..x + 0.2, y - 0.2..y + 0.2).prop_map(|(x, y)| (x as f32, y as f32))
}

proptest! {
    /// imageproc solves for the eight coefficients in another way, and hands them on as single floats. In units in which the
    /// board is 1 across those are good to 1e-6 of it.
    #[test]
    fn four_marks_give_the_map_that_an_image_library_finds(
        a in corner(0.0, 0.0), b in corner(1.0, 0.0), c in corner(1.0, 1.0), d in corner(0.0, 1.0),
        (x, y) in (0.0..1.0f32, 0.0..1.0f32),
    ) {
        let square = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)];
        let seen = [a, b, c, d];
        let theirs = Projection::from_control_points(square, seen).expect("a projection");
        let place = |p: (f32, f32)| Point::new(f64::from(p.0), f64::from(p.1));
        let ours = Homography::through(&square.map(place), &seen.map(place)).expect("a map");
        let (one, other) = (ours.at(place((x, y))), place(theirs * (x, y)));
        prop_assert!(one.distance(other) < 1e-6, "{one:?} {other:?}");
    }
}
