use kurbo::Point;

/// Breadth of a figure, in parts of its height.
const BREADTH: f64 = 0.56;

/// How broad a number of this height is, with what parts it from the next.
pub fn breadth(text: &str, height: f64) -> f64 {
    BREADTH * height * (text.len() + 1) as f64
}

/// Numbers that would stand in one another are moved down, one below the other. Places are where each begins, y down.
pub fn set_apart(mut labels: Vec<(Point, String)>, height: f64) -> Vec<(Point, String)> {
    labels.sort_unstable_by(|(a, _), (b, _)| a.y.total_cmp(&b.y));
    let mut placed: Vec<(Point, String)> = Vec::new();
    for (mut at, text) in labels {
        let in_the_way = |at: Point, placed: &[(Point, String)]| {
            let met = placed.iter().filter(|(other, theirs)| {
                (other.y - at.y).abs() < 0.95 * height
                    && at.x < other.x + breadth(theirs, height)
                    && other.x < at.x + breadth(&text, height)
            });
            met.map(|(other, _)| other.y).fold(None, |low: Option<f64>, y| Some(low.map_or(y, |l| l.max(y))))
        };
        while let Some(low) = in_the_way(at, &placed) {
            at.y = low + height;
        }
        placed.push((at, text));
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn numbers_in_one_place_stand_below_one_another_and_others_stay() {
        let label = |x: f64, y: f64, text: &str| (Point::new(x, y), text.to_owned());
        let apart = set_apart(vec![label(0.0, 0.0, "1"), label(2.0, 3.0, "2"), label(90.0, 0.0, "3")], 10.0);
        let place = |text: &str| apart.iter().find(|(_, t)| t == text).map(|(at, _)| *at);
        assert_eq!(place("1"), Some(Point::new(0.0, 0.0)));
        assert_eq!(place("2"), Some(Point::new(2.0, 10.0)));
        assert_eq!(place("3"), Some(Point::new(90.0, 0.0)));
    }
}
