//! A picture from its file to pixels: looked at before it is unpacked, drawn turned as the maker wants it, and its brightness
//! handed to the worker in bands, so that no second copy of all its colours is ever held.

use crate::words::capture::words;
use crate::worker::ask;
use crate::worker::requests::Picture;
use futures_channel::oneshot;
use gloo::timers::callback::Timeout;
use kurbo::Size;
use leptos::prelude::*;
use ribline_geometry::capture::{MOST_PIXELS, picture_size};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, CanvasRenderingContext2d, File, HtmlCanvasElement, ImageBitmap,
    js_sys::{Reflect, Uint8Array},
};

/// Larger pictures are drawn smaller: phones refuse larger canvases, and 16 megapixels are over 8 pixels to the mm of any board.
const DRAWN_PIXELS: f64 = 16_000_000.0;
/// The head of a file, in which its size stands; a JPEG may have a preview before it.
const HEAD: f64 = 512.0 * 1024.0;
/// Rows of a band.
pub const BAND: u32 = 128;

/// How a picture is turned before it is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Turned {
    /// Quarters, clockwise.
    pub quarters: u32,
    pub mirrored: bool,
}

/// Lets the browser do whatever else waits.
pub async fn breathe() {
    let (done, waiting) = oneshot::channel();
    Timeout::new(0, move || {
        let _ = done.send(());
    })
    .forget();
    let _ = waiting.await;
}

async fn bytes_of(blob: &Blob) -> Option<Vec<u8>> {
    let buffer = JsFuture::from(blob.array_buffer()).await.ok()?;
    Some(Uint8Array::new(&buffer).to_vec())
}

/// Draws a picture on the canvas and hands its brightness on. `progress` is told how far that is, and says whether it is still
/// wanted; `None` once it is not.
///
/// # Errors
/// The sentence that says why it cannot be.
pub async fn open(
    file: &File,
    turned: Turned,
    canvas: &HtmlCanvasElement,
    progress: impl Fn(String) -> bool,
) -> Result<Option<Size>, String> {
    let words = &words().photo;
    let head = file.slice_with_f64_and_f64(0.0, HEAD.min(file.size())).map_err(|_| words.not_a_picture)?;
    let head = bytes_of(&head).await.ok_or(words.cut_off)?;
    if let Some((width, height)) = picture_size(&head) {
        let pixels = u64::from(width) * u64::from(height);
        if pixels > MOST_PIXELS as u64 {
            return Err((words.too_many_pixels)((pixels / 1_000_000) as usize));
        }
        if pixels == 0 {
            return Err(words.cut_off.to_owned());
        }
    }
    if !progress(words.unpacking.to_owned()) {
        return Ok(None);
    }
    let told = picture_size(&head).is_some();
    let bitmap = unpacked(file).await.ok_or(if told { words.cut_off } else { words.not_a_picture })?;
    if !progress((words.handing)(0)) {
        bitmap.close();
        return Ok(None);
    }
    let (width, height) = (f64::from(bitmap.width()), f64::from(bitmap.height()));
    if width * height > MOST_PIXELS as f64 {
        bitmap.close();
        return Err((words.too_many_pixels)((width * height / 1e6) as usize));
    }
    let smaller = (DRAWN_PIXELS / (width * height)).sqrt().min(1.0);
    let (width, height) = ((width * smaller).floor(), (height * smaller).floor());
    let drawn = drawn(&bitmap, (width, height), turned, canvas);
    bitmap.close();
    let context = drawn.ok_or(words.no_memory)?;

    let (width, height) = (canvas.width(), canvas.height());
    let mut grey = Vec::with_capacity((width * height) as usize);
    for first in (0..height).step_by(BAND as usize) {
        let rows = BAND.min(height - first);
        let band = band(&context, first, width, rows).ok_or(words.no_memory)?;
        // Weights of the eye for red, green and blue. Source: ITU-R BT.601.
        grey.extend(
            band.chunks_exact(4)
                .map(|p| ((u32::from(p[0]) * 77 + u32::from(p[1]) * 150 + u32::from(p[2]) * 29) >> 8) as u8),
        );
        if (first / BAND).is_multiple_of(4) {
            // The page stays in hand meanwhile.
            breathe().await;
            if !progress((words.handing)((100 * first / height) as usize)) {
                return Ok(None);
            }
        }
    }
    let size = Size::new(f64::from(width), f64::from(height));
    let picture = Picture { width: width as usize, height: height as usize, grey };
    match ask(picture).await {
        Ok(answer) => answer.map(|()| Some(size)),
        Err(trouble) => Err(trouble.sentence().to_owned()),
    }
}

async fn unpacked(file: &File) -> Option<ImageBitmap> {
    let promise = window().create_image_bitmap_with_blob(file).ok()?;
    JsFuture::from(promise).await.ok()?.dyn_into().ok()
}

/// Rows of a picture, four bytes a pixel.
pub fn band(context: &CanvasRenderingContext2d, first: u32, width: u32, rows: u32) -> Option<Vec<u8>> {
    let data = context.get_image_data(0.0, f64::from(first), f64::from(width), f64::from(rows)).ok()?;
    Some(data.data().0)
}

/// The canvas's pen. It is read from far more than it is drawn on.
pub fn pen(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    let options = web_sys::js_sys::Object::new();
    Reflect::set(&options, &"willReadFrequently".into(), &JsValue::TRUE).ok()?;
    Reflect::set(&options, &"alpha".into(), &JsValue::FALSE).ok()?;
    canvas.get_context_with_context_options("2d", &options).ok()??.dyn_into().ok()
}

fn drawn(
    bitmap: &ImageBitmap,
    (width, height): (f64, f64),
    turned: Turned,
    canvas: &HtmlCanvasElement,
) -> Option<CanvasRenderingContext2d> {
    let (across, up) = if turned.quarters.is_multiple_of(2) { (width, height) } else { (height, width) };
    canvas.set_width(across as u32);
    canvas.set_height(up as u32);
    let pen = pen(canvas)?;
    pen.reset_transform().ok()?;
    pen.translate(across / 2.0, up / 2.0).ok()?;
    if turned.mirrored {
        pen.scale(-1.0, 1.0).ok()?;
    }
    pen.rotate(f64::from(turned.quarters) * std::f64::consts::FRAC_PI_2).ok()?;
    pen.draw_image_with_image_bitmap_and_dw_and_dh(bitmap, -width / 2.0, -height / 2.0, width, height)
        .ok()?;
    pen.reset_transform().ok()?;
    Some(pen)
}

/// The first picture among files, or the first file at all.
pub fn picture_of(all: &[File]) -> Option<File> {
    all.iter().find(|file| file.type_().starts_with("image/")).or(all.first()).cloned()
}
