//! A picture from its file to pixels: looked at before it is unpacked, its brightness handed to the worker in bands, turned as the
//! maker wants it, and its colours kept only as large as they are looked at.

use crate::words::capture::words;
use crate::worker::ask;
use crate::worker::requests::Rows;
use futures_channel::oneshot;
use gloo::timers::callback::Timeout;
use kurbo::{Rect, Size};
use leptos::prelude::*;
use ribline_geometry::capture::{MOST_PIXELS, picture_size};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, CanvasRenderingContext2d, File, HtmlCanvasElement, ImageBitmap, ImageData,
    js_sys::{Function, Reflect, Uint8Array},
};

/// Of what the line is followed on. Larger pictures are read smaller: 16 megapixels are over 8 pixels to the mm of any board.
const READ_PIXELS: f64 = 16_000_000.0;
/// Of what is looked at, which takes four times the memory.
const SEEN_PIXELS: f64 = 8_000_000.0;
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

/// What can be done to a picture as it is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn {
    /// A quarter, clockwise.
    Quarter,
    /// Left for right.
    Mirror,
}

impl Turned {
    pub fn and(self, turn: Turn) -> Turned {
        match turn {
            // It is mirrored after it is turned: a mirrored picture is seen to turn the other way.
            Turn::Quarter => {
                Turned { quarters: (self.quarters + if self.mirrored { 3 } else { 1 }) % 4, ..self }
            }
            Turn::Mirror => Turned { mirrored: !self.mirrored, ..self },
        }
    }
}

/// Why a picture cannot be opened, and whether the canvas has lost the one before.
pub struct NotOpened {
    pub sentence: String,
    pub drawn_over: bool,
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

/// Draws a picture on the canvas, once it is unpacked and its brightness handed on, and says how large it was read. `progress` is
/// told how far that is, and says whether it is still wanted; `None` once it is not.
///
/// # Errors
/// The sentence that says why it cannot be.
pub async fn open(
    file: &File,
    turned: Turned,
    canvas: &HtmlCanvasElement,
    progress: impl Fn(String) -> bool,
) -> Result<Option<Size>, NotOpened> {
    let before = |sentence: String| NotOpened { sentence, drawn_over: false };
    let after = |sentence: String| NotOpened { sentence, drawn_over: true };
    let words = &words().photo;
    if !progress(words.unpacking.to_owned()) {
        return Ok(None);
    }
    let picture = Picture { bitmap: unpacked(file).await.map_err(before)?, turned };
    if !progress((words.handing)(0)) {
        return Ok(None);
    }
    // What the canvas had before goes first: there may be no room for both.
    emptied(canvas);
    let whole = hand_over(&picture, |percent| progress((words.handing)(percent))).await.map_err(after)?;
    if !whole {
        return Ok(None);
    }
    let seen = picture.size(SEEN_PIXELS);
    picture.draw(canvas, seen, seen.to_rect()).ok_or_else(|| after(words.no_memory.to_owned()))?;
    Ok(Some(picture.size(READ_PIXELS)))
}

/// A picture that is unpacked, until it is no longer needed.
struct Picture {
    bitmap: ImageBitmap,
    turned: Turned,
}

impl Drop for Picture {
    fn drop(&mut self) {
        self.bitmap.close();
    }
}

impl Picture {
    /// Turned, and of no more pixels than that.
    fn size(&self, most: f64) -> Size {
        let (width, height) = (f64::from(self.bitmap.width()), f64::from(self.bitmap.height()));
        let smaller = (most / (width * height)).sqrt().min(1.0);
        let (width, height) = ((width * smaller).floor(), (height * smaller).floor());
        if self.turned.quarters.is_multiple_of(2) {
            Size::new(width, height)
        } else {
            Size::new(height, width)
        }
    }

    /// Draws part of it, were it drawn of that size, on a canvas that becomes as large as the part.
    fn draw(&self, canvas: &HtmlCanvasElement, whole: Size, part: Rect) -> Option<CanvasRenderingContext2d> {
        canvas.set_width(part.width() as u32);
        canvas.set_height(part.height() as u32);
        let pen = pen(canvas)?;
        pen.reset_transform().ok()?;
        pen.translate(whole.width / 2.0 - part.x0, whole.height / 2.0 - part.y0).ok()?;
        if self.turned.mirrored {
            pen.scale(-1.0, 1.0).ok()?;
        }
        pen.rotate(f64::from(self.turned.quarters) * std::f64::consts::FRAC_PI_2).ok()?;
        let Size { width, height } =
            if self.turned.quarters.is_multiple_of(2) { whole } else { Size::new(whole.height, whole.width) };
        pen.draw_image_with_image_bitmap_and_dw_and_dh(
            &self.bitmap,
            -width / 2.0,
            -height / 2.0,
            width,
            height,
        )
        .ok()?;
        Some(pen)
    }
}

/// Looks at the head of a file before it has the whole of it unpacked.
async fn unpacked(file: &File) -> Result<ImageBitmap, String> {
    let words = &words().photo;
    let head = file.slice_with_f64_and_f64(0.0, HEAD.min(file.size())).map_err(|_| words.not_a_picture)?;
    let head = bytes_of(&head).await.ok_or(words.cut_off)?;
    let told = picture_size(&head);
    if let Some((width, height)) = told {
        let pixels = u64::from(width) * u64::from(height);
        if pixels > MOST_PIXELS as u64 {
            return Err((words.too_many_pixels)((pixels / 1_000_000) as usize));
        }
        if pixels == 0 {
            return Err(words.cut_off.to_owned());
        }
    }
    let why = if told.is_some() { words.cut_off } else { words.not_a_picture };
    let promise = window().create_image_bitmap_with_blob(file).map_err(|_| why)?;
    let bitmap: ImageBitmap = JsFuture::from(promise).await.map_err(|_| why)?.dyn_into().map_err(|_| why)?;
    let pixels = f64::from(bitmap.width()) * f64::from(bitmap.height());
    if pixels > MOST_PIXELS as f64 {
        bitmap.close();
        return Err((words.too_many_pixels)((pixels / 1e6) as usize));
    }
    Ok(bitmap)
}

/// Hands the brightness of a picture to the worker, band by band. `false` once it is no longer wanted.
async fn hand_over(picture: &Picture, progress: impl Fn(usize) -> bool) -> Result<bool, String> {
    let no_memory = || words().photo.no_memory.to_owned();
    let canvas = new_canvas().ok_or_else(no_memory)?;
    let whole = picture.size(READ_PIXELS);
    let (width, height) = (whole.width as u32, whole.height as u32);
    for first in (0..height).step_by(BAND as usize) {
        let rows = BAND.min(height - first);
        let part = Rect::new(0.0, f64::from(first), whole.width, f64::from(first + rows));
        let pen = picture.draw(&canvas, whole, part).ok_or_else(no_memory)?;
        // Weights of the eye for red, green and blue. Source: ITU-R BT.601.
        let grey = band(&pen, 0, width, rows)
            .ok_or_else(no_memory)?
            .chunks_exact(4)
            .map(|p| ((u32::from(p[0]) * 77 + u32::from(p[1]) * 150 + u32::from(p[2]) * 29) >> 8) as u8)
            .collect();
        let rows = Rows { width: width as usize, height: height as usize, first: first as usize, grey };
        // The page stays in hand until the answer comes.
        ask(rows).await.map_err(|trouble| trouble.sentence().to_owned())??;
        if !progress((100 * first / height) as usize) {
            return Ok(false);
        }
    }
    emptied(&canvas);
    Ok(true)
}

/// Rows of a picture, four bytes a pixel.
pub fn band(context: &CanvasRenderingContext2d, first: u32, width: u32, rows: u32) -> Option<Vec<u8>> {
    let data = context.get_image_data(0.0, f64::from(first), f64::from(width), f64::from(rows)).ok()?;
    let bytes = data.data().0;
    give_back(&data);
    Some(bytes)
}

/// Gives back at once what image data have of memory, where the browser can: it would let the bands of a whole photo gather before
/// it looked for what nobody needs any more.
pub fn give_back(data: &ImageData) {
    let buffer = Reflect::get(data, &"data".into()).and_then(|data| Reflect::get(&data, &"buffer".into()));
    let Ok(buffer) = buffer else { return };
    if let Ok(Ok(transfer)) = Reflect::get(&buffer, &"transfer".into()).map(JsCast::dyn_into::<Function>) {
        // A buffer that cannot be handed over is collected in its time.
        let _ = transfer.call1(&buffer, &0.into());
    }
}

/// A canvas that is not itself shown.
pub fn new_canvas() -> Option<HtmlCanvasElement> {
    document().create_element("canvas").ok()?.dyn_into().ok()
}

/// A canvas gives back what it has of memory only once it has no size.
pub fn emptied(canvas: &HtmlCanvasElement) {
    canvas.set_width(1);
    canvas.set_height(1);
}

/// The canvas's pen. It is read from far more than it is drawn on.
pub fn pen(canvas: &HtmlCanvasElement) -> Option<CanvasRenderingContext2d> {
    let options = web_sys::js_sys::Object::new();
    Reflect::set(&options, &"willReadFrequently".into(), &JsValue::TRUE).ok()?;
    Reflect::set(&options, &"alpha".into(), &JsValue::FALSE).ok()?;
    canvas.get_context_with_context_options("2d", &options).ok()??.dyn_into().ok()
}

/// The first picture among files, or the first file at all.
pub fn picture_of(all: &[File]) -> Option<File> {
    all.iter().find(|file| file.type_().starts_with("image/")).or(all.first()).cloned()
}
