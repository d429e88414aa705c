//! Figures on the drawing that must not lie on one another or on a mark.

use kurbo::{Point, Rect, Size, Vec2};

/// Free space around each, in pixels.
const CLEAR: f64 = 4.0;
/// How far a label gives way outwards, in its own height, before it is left out.
const GIVES_WAY: [f64; 4] = [0.0, 0.6, 1.2, 1.8];

#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// On the screen, in pixels.
    pub middle: Point,
    /// The way in which it may give way.
    pub outward: Vec2,
    pub size: Size,
    pub text: String,
    pub class: &'static str,
}

impl Label {
    fn area(&self) -> Rect {
        Rect::from_center_size(self.middle, self.size).inflate(CLEAR, CLEAR)
    }
}

/// Takes them in the order given. One that would come upon a mark, another label or the rim of the screen gives way
/// outwards, and is left out where that does not help.
pub fn without_overlaps(labels: impl Iterator<Item = Label>, marks: &[Rect], screen: Size) -> Vec<Label> {
    let mut taken: Vec<Label> = Vec::new();
    for label in labels {
        let free = GIVES_WAY.into_iter().find_map(|by| {
            let moved =
                Label { middle: label.middle + by * label.size.height * label.outward, ..label.clone() };
            let area = moved.area();
            let clear = |other: Rect| other.intersect(area).is_zero_area();
            let on_screen = screen.to_rect().contains_rect(area);
            let good = on_screen
                && taken.iter().all(|other| clear(other.area()))
                && marks.iter().all(|mark| clear(*mark));
            good.then_some(moved)
        });
        taken.extend(free);
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    const SCREEN: Size = Size::new(400.0, 400.0);

    fn label(x: f64, text: &str) -> Label {
        Label {
            middle: Point::new(x, 200.0),
            outward: Vec2::new(0.0, 1.0),
            size: Size::new(30.0, 15.0),
            text: text.into(),
            class: "even",
        }
    }

    fn texts(kept: &[Label]) -> Vec<&str> {
        kept.iter().map(|l| l.text.as_str()).collect()
    }

    #[test]
    fn a_label_gives_way_to_one_taken_before() {
        let kept = without_overlaps([label(100.0, "a"), label(110.0, "b")].into_iter(), &[], SCREEN);
        assert_eq!(texts(&kept), ["a", "b"]);
        assert!(kept[0].area().intersect(kept[1].area()).is_zero_area());
    }

    #[test]
    fn a_label_without_room_is_left_out() {
        let wall = Rect::new(0.0, 0.0, 400.0, 400.0);
        let kept = without_overlaps([label(100.0, "a")].into_iter(), &[wall], SCREEN);
        assert!(kept.is_empty());
    }

    #[test]
    fn no_label_is_cut_by_the_rim_of_the_screen() {
        let kept = without_overlaps([label(5.0, "a"), label(60.0, "b")].into_iter(), &[], SCREEN);
        assert_eq!(texts(&kept), ["b"]);
    }
}
