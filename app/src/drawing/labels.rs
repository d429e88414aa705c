//! Figures on the drawing that must not lie on one another.

use kurbo::{Point, Rect, Size};

/// Free space around each, in pixels.
const CLEAR: f64 = 5.0;

#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// On the screen, in pixels.
    pub middle: Point,
    pub size: Size,
    pub text: String,
    pub class: &'static str,
}

impl Label {
    fn area(&self) -> Rect {
        Rect::from_center_size(self.middle, self.size).inflate(CLEAR, CLEAR)
    }
}

/// Takes them in the order given, leaving out each that would come upon one taken before.
pub fn without_overlaps(labels: impl Iterator<Item = Label>) -> Vec<Label> {
    let mut taken: Vec<Label> = Vec::new();
    for label in labels {
        let area = label.area();
        if taken.iter().all(|other| other.area().intersect(area).is_zero_area()) {
            taken.push(label);
        }
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(x: f64, text: &str) -> Label {
        Label { middle: Point::new(x, 0.0), size: Size::new(30.0, 15.0), text: text.into(), class: "even" }
    }

    #[test]
    fn the_first_of_two_that_overlap_is_kept() {
        let kept = without_overlaps([label(0.0, "a"), label(20.0, "b"), label(60.0, "c")].into_iter());
        assert_eq!(kept.iter().map(|l| l.text.as_str()).collect::<Vec<_>>(), ["a", "c"]);
    }
}
