//! What of the photo is drawn on the screen: as much as the stage has room for, and what is under the finger.

use super::opening::pen;
use super::placed::{LARGEST, Placed};
use kurbo::{Point, Rect, Size, Vec2};
use leptos::prelude::window;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, js_sys::Reflect};

/// Across the loupe, pixels of the screen; and how much it enlarges, at least and beyond the view.
pub const LOUPE: f64 = 144.0;
const LOUPE_LEAST: f64 = 1.6;
const LOUPE_TIMES: f64 = 2.5;
/// Around the photo, as in the styles; and in the loupe.
const GROUND: &str = "#3a342e";
const GROUND_OF_LOUPE: &str = "#777";
/// Pixels of a screen to one of its layout, beyond which nobody sees more of a photo.
const MOST_DOTS: f64 = 2.0;

/// The colours of a photo, which may be drawn smaller than the photo was read.
#[derive(Clone, Copy)]
pub struct Colours<'a> {
    pub canvas: &'a HtmlCanvasElement,
    /// Of the photo as it was read, pixels.
    pub size: Size,
}

/// Draws a photo as it is placed on a stage of this size, at the screen's own resolution.
pub fn draw(shown: &HtmlCanvasElement, photo: Colours, placed: Placed, stage: Size) {
    let dots = window().device_pixel_ratio().clamp(1.0, MOST_DOTS);
    let pixels = (stage * dots).round();
    if (f64::from(shown.width()), f64::from(shown.height())) != (pixels.width, pixels.height) {
        shown.set_width(pixels.width as u32);
        shown.set_height(pixels.height as u32);
    }
    let Some(pen) = pen(shown) else { return };
    pen.set_fill_style_str(GROUND);
    pen.fill_rect(0.0, 0.0, pixels.width, pixels.height);
    // Thin lines would break up where the photo is made smaller.
    let _ = Reflect::set(&pen, &"imageSmoothingQuality".into(), &"medium".into());
    let end = placed.on_photo(stage.to_vec2().to_point());
    let seen = Rect::from_points(placed.on_photo(Point::ORIGIN), end).intersect(photo.size.to_rect());
    let end = placed.on_stage(Point::new(seen.x1, seen.y1));
    let at = Rect::from_points(placed.on_stage(seen.origin()), end);
    copy(&pen, photo, seen, at.scale_from_origin(dots));
}

/// Draws what is about a place of the photo, enlarged beyond this scale of the view.
pub fn enlarge(loupe: &HtmlCanvasElement, photo: Colours, at: Point, scale: f64) {
    let times = (LOUPE_TIMES * scale).clamp(LOUPE_LEAST, LARGEST);
    let whole = Size::new(LOUPE, LOUPE);
    if let Some(pen) = pen(loupe) {
        pen.set_fill_style_str(GROUND_OF_LOUPE);
        pen.fill_rect(0.0, 0.0, LOUPE, LOUPE);
        copy(&pen, photo, Rect::from_center_size(at, whole / times), whole.to_rect());
    }
}

fn copy(pen: &CanvasRenderingContext2d, photo: Colours, seen: Rect, at: Rect) {
    let smaller = Vec2::new(
        f64::from(photo.canvas.width()) / photo.size.width,
        f64::from(photo.canvas.height()) / photo.size.height,
    );
    // Fails only where there is nothing to draw.
    let _ = pen.draw_image_with_html_canvas_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
        photo.canvas,
        seen.x0 * smaller.x,
        seen.y0 * smaller.y,
        seen.width() * smaller.x,
        seen.height() * smaller.y,
        at.x0,
        at.y0,
        at.width(),
        at.height(),
    );
}
