//! The photo from which the line was taken, squared up and reduced, kept beside the line.

use crate::json::{Fault, Fields, Form, Map, Value};
use crate::trace::REACH_LIMIT;
use kurbo::Rect;
use std::sync::Arc;

/// Most characters of a photo's text: what a browser keeps for a page holds it, with room for the rest.
pub const PHOTO_LIMIT: usize = 2 << 20;
/// Longest file of a project, photo and all, in bytes: everything else in it is some 20 kB. What is longer is something else.
pub const FILE_LIMIT: usize = PHOTO_LIMIT + (2 << 20);
/// What every JPEG begins with, in base64. Source: ITU-T T.81, annex B: the marker SOI, and the first byte of the next.
const BEGINNING: &str = "/9j/";

/// The board as a JPEG, seen square on, and the part of it that is seen. Every step back of the work holds one, so it is
/// shared, not copied.
#[derive(Debug, Clone)]
pub struct BoardPhoto {
    base64: Arc<str>,
    extent: Rect,
}

/// A project was read without its photo; worded for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "The photo in this project is damaged and is left out; everything else is there. An older copy of the file may still have the photo, \
     or take the line from the photo again."
)]
pub struct PhotoDamaged;

impl PartialEq for BoardPhoto {
    fn eq(&self, other: &Self) -> bool {
        let same = Arc::ptr_eq(&self.base64, &other.base64) || self.base64 == other.base64;
        same && self.extent == other.extent
    }
}

impl BoardPhoto {
    /// A JPEG in base64, and the part of the board that it shows, mm in the frame of the traced points. `None` where it is none,
    /// is too long, or shows no part of a board.
    pub fn new(base64: &str, extent: Rect) -> Option<Self> {
        let written = |c: u8| c.is_ascii_alphanumeric() || matches!(c, b'+' | b'/' | b'=');
        let is_jpeg = base64.starts_with(BEGINNING) && base64.bytes().all(written);
        let Rect { x0, y0, x1, y1 } = extent;
        let on_a_board = [x0, y0, x1, y1].iter().all(|mm| mm.abs() <= REACH_LIMIT) && x1 > x0 && y1 > y0;
        (is_jpeg && base64.len() <= PHOTO_LIMIT && on_a_board)
            .then(|| BoardPhoto { base64: base64.into(), extent })
    }

    /// The part of the board that it shows, mm in the frame of the traced points.
    pub fn extent(&self) -> Rect {
        self.extent
    }

    /// As an address that holds the whole picture. Source: RFC 2397.
    pub fn address(&self) -> String {
        format!("data:image/jpeg;base64,{}", self.base64)
    }
}

impl Form for BoardPhoto {
    fn read(value: &Value) -> Result<Self, Fault> {
        let mut fields = Fields::of(value, "a photo in { }")?;
        let base64: String = fields.take("jpeg")?;
        let [x0, y0, x1, y1]: [f64; 4] = fields.take("extent_mm")?;
        BoardPhoto::new(&base64, Rect { x0, y0, x1, y1 }).ok_or_else(|| Fault::new("the photo is damaged"))
    }

    fn written(&self) -> Value {
        let Rect { x0, y0, x1, y1 } = self.extent;
        let entries = Map::new().with("extent_mm", &[x0, y0, x1, y1]);
        Value::Object(entries.with("jpeg", &String::from(&*self.base64)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::Project;
    use crate::recipe::violin;
    use crate::reconcile::Wish;
    use crate::trace::{HowTaken, Trace, TracedPoint};
    use kurbo::Point;

    fn project() -> Project {
        let recipe = violin();
        let wish = Wish::customary(&recipe);
        let taken = HowTaken::Followed;
        let point =
            TracedPoint { at: Point::new(1.0, 2.0), run: None, side: None, line: 1, taken, sd: Some(0.12) };
        Project::new(recipe, Trace { points: vec![point], ..Trace::default() }, wish)
    }

    #[test]
    fn a_photo_and_what_each_point_is_good_to_are_there_again_in_the_saved_project() {
        let mut project = project();
        project.photo = BoardPhoto::new("/9j/4AAQ+/==", Rect::new(-120.0, -20.0, 120.0, 380.0));
        assert!(project.photo.is_some());
        let again = Project::from_json(&project.to_json()).unwrap();
        assert_eq!(again, project);
        assert_eq!(again.trace.points[0].sd, Some(0.12));
        assert!(again.without_photo().photo.is_none());
        assert_eq!(again.photo.unwrap().address(), "data:image/jpeg;base64,/9j/4AAQ+/==");
    }

    #[test]
    fn a_project_whose_photo_is_damaged_is_read_without_it_and_says_so() {
        let mut project = project();
        project.photo = BoardPhoto::new("/9j/4AAQ", Rect::new(-120.0, -20.0, 120.0, 380.0));
        let text = project.to_json();
        assert_eq!(Project::open(&text), Ok((project.clone(), None)));
        let without = project.without_photo();
        assert_eq!(Project::open(&without.to_json()), Ok((without.clone(), None)));
        for (sound, damaged) in [
            ("\"/9j/4AAQ\"", "\"/9j/4A\\u0000Q\""),
            ("\"/9j/4AAQ\"", "\"iVBORw0K\""),
            ("\"/9j/4AAQ\"", "17"),
            ("-120.0", "\"far\""),
            ("-120.0", "1e9"),
            ("\"extent_mm\"", "\"extnet_mm\""),
        ] {
            assert!(text.contains(sound), "{text}");
            let opened = Project::open(&text.replacen(sound, damaged, 1));
            assert_eq!(opened, Ok((without.clone(), Some(PhotoDamaged))), "{damaged}");
        }
        // What is no longer JSON is no project.
        assert!(Project::open(&text[..text.find("/9j/").unwrap()]).is_err());
    }

    #[test]
    fn nothing_but_a_jpeg_of_a_board_is_a_photo() {
        let board = Rect::new(0.0, 0.0, 10.0, 10.0);
        let too_long = format!("/9j/{}", "A".repeat(PHOTO_LIMIT));
        for text in ["", "PHN2Zz4=", "/9j/\"><script>", too_long.as_str()] {
            assert!(BoardPhoto::new(text, board).is_none(), "{}", &text[..text.len().min(20)]);
        }
        for extent in [Rect::ZERO, Rect::new(0.0, 0.0, f64::NAN, 1.0), Rect::new(0.0, 0.0, 1e9, 1.0)] {
            assert!(BoardPhoto::new("/9j/4AAQ", extent).is_none());
        }
    }
}
