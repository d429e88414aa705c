//! Figures on the drawing that must not lie on one another or on a mark.

use kurbo::{Point, Rect, Size, Vec2};
use ribline_geometry::arc::direction;

/// Free space around each, in pixels.
const CLEAR: f64 = 4.0;
/// Places that are tried for a label: outwards, each so much of its own height further than the one before.
const TRIED: usize = 4;
const OUTWARDS: f64 = 0.6;
/// Places that are tried for one that is needed: after those a spiral around its own, some four of its heights wide. Further off it
/// would be taken for another place's.
const TRIED_FOR_NEEDED: usize = 64;
const AROUND: f64 = 0.5;

#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// On the screen, in pixels.
    pub middle: Point,
    /// The way in which it may give way.
    pub outward: Vec2,
    /// Never left out.
    pub needed: bool,
    pub size: Size,
    pub text: String,
    pub class: &'static str,
}

impl Label {
    /// What it takes up, with its middle there.
    fn area(&self, middle: Point) -> Rect {
        Rect::from_center_size(middle, self.size).inflate(CLEAR, CLEAR)
    }

    /// The place of its middle that is tried after so many others.
    fn tried(&self, after: usize, screen: Size) -> Point {
        let away = if after < TRIED {
            OUTWARDS * after as f64 * self.outward
        } else {
            // Turned by the golden angle, so that no direction is tried twice.
            AROUND * (after as f64).sqrt() * direction(2.4 * after as f64)
        };
        let mut at = self.middle + self.size.height * away;
        if self.needed {
            let half = 0.5 * self.area(at).size();
            at.x = at.x.min(screen.width - half.width).max(half.width);
            at.y = at.y.min(screen.height - half.height).max(half.height);
        }
        at
    }
}

/// Takes them in the order given. One that would come upon a mark, another label or the rim of the screen gives way
/// outwards. Where that does not help, one that is needed stands where it is least in the way, and any other is left out.
pub fn without_overlaps(labels: impl Iterator<Item = Label>, marks: &[Rect], screen: Size) -> Vec<Label> {
    let mut kept: Vec<Label> = Vec::new();
    let mut taken = marks.to_vec();
    for label in labels {
        // Less than a pixel covered is none.
        let (mut least, tries) = if label.needed { (f64::INFINITY, TRIED_FOR_NEEDED) } else { (1.0, TRIED) };
        let mut best = None;
        for after in 0..tries {
            let tried = label.tried(after, screen);
            let area = label.area(tried);
            let on_screen = area.intersect(screen.to_rect()).area();
            let covered =
                area.area() - on_screen + taken.iter().map(|other| other.intersect(area).area()).sum::<f64>();
            if covered < least {
                (least, best) = (covered, Some(tried));
            }
            if least < 1.0 {
                break;
            }
        }
        if let Some(middle) = best {
            taken.push(label.area(middle));
            kept.push(Label { middle, ..label });
        }
    }
    kept
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
            needed: false,
            size: Size::new(30.0, 15.0),
            text: text.into(),
            class: "even",
        }
    }

    fn area(label: &Label) -> Rect {
        label.area(label.middle)
    }

    fn texts(kept: &[Label]) -> Vec<&str> {
        kept.iter().map(|l| l.text.as_str()).collect()
    }

    #[test]
    fn a_label_gives_way_to_one_taken_before() {
        let kept = without_overlaps([label(100.0, "a"), label(110.0, "b")].into_iter(), &[], SCREEN);
        assert_eq!(texts(&kept), ["a", "b"]);
        assert!(area(&kept[0]).intersect(area(&kept[1])).is_zero_area());
    }

    #[test]
    fn a_label_without_room_is_left_out() {
        let wall = Rect::new(0.0, 0.0, 400.0, 400.0);
        let kept = without_overlaps([label(100.0, "a")].into_iter(), &[wall], SCREEN);
        assert!(kept.is_empty());
    }

    #[test]
    fn a_label_that_is_needed_stands_on_a_mark_sooner_than_be_left_out_but_beside_other_labels() {
        let wall = Rect::new(0.0, 0.0, 400.0, 400.0);
        let needed = |x: f64, text: &str| Label { needed: true, ..label(x, text) };
        let kept = without_overlaps([needed(100.0, "a"), needed(104.0, "b")].into_iter(), &[wall], SCREEN);
        assert_eq!(texts(&kept), ["a", "b"]);
        assert!(area(&kept[0]).intersect(area(&kept[1])).is_zero_area());
        assert!(kept.iter().all(|one| one.middle.distance(Point::new(100.0, 200.0)) < 64.0));
    }

    #[test]
    fn a_label_that_is_needed_at_the_rim_of_the_screen_stands_within_it() {
        let kept = without_overlaps([Label { needed: true, ..label(399.0, "a") }].into_iter(), &[], SCREEN);
        assert!(SCREEN.to_rect().contains_rect(area(&kept[0])));
    }

    #[test]
    fn no_label_is_cut_by_the_rim_of_the_screen() {
        let kept = without_overlaps([label(5.0, "a"), label(60.0, "b")].into_iter(), &[], SCREEN);
        assert_eq!(texts(&kept), ["b"]);
    }
}
