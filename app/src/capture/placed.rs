use kurbo::{Point, Size, Vec2};

/// Pixels of the screen to one of the photo, at most.
pub const LARGEST: f64 = 12.0;

/// Where the photo lies on the stage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    pub scale: f64,
    pub shift: Vec2,
}

impl Placed {
    pub fn fitting(photo: Size, stage: Size) -> Placed {
        let scale = (stage.width / photo.width.max(1.0)).min(stage.height / photo.height.max(1.0));
        let shift = (stage.to_vec2() - photo.to_vec2() * scale) / 2.0;
        Placed { scale, shift }
    }

    pub fn on_photo(self, screen: Point) -> Point {
        ((screen - self.shift).to_vec2() / self.scale).to_point()
    }

    pub fn on_stage(self, photo: Point) -> Point {
        (photo.to_vec2() * self.scale + self.shift).to_point()
    }

    pub fn zoomed(self, by: f64, about: Point, least: f64) -> Placed {
        let scale = (self.scale * by).clamp(least, LARGEST);
        let about = about.to_vec2();
        Placed { scale, shift: about + (self.shift - about) * (scale / self.scale) }
    }

    pub fn moved(self, by: Vec2) -> Placed {
        Placed { shift: self.shift + by, ..self }
    }
}
