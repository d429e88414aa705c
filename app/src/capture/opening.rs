//! A picture from its file to pixels: looked at before it is unpacked, drawn turned as the maker wants it, and its brightness
//! handed to the worker in bands, so that no second copy of all its colours is ever held.

use crate::words::capture::words;
use crate::worker::ask;
use crate::worker::requests::Rows;
use futures_channel::oneshot;
use gloo::timers::callback::Timeout;
use kurbo::Size;
use leptos::prelude::*;
use ribline_geometry::capture::{MOST_PIXELS, picture_size};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, CanvasRenderingContext2d, File, HtmlCanvasElement, ImageBitmap, ImageData,
    js_sys::{Function, Reflect, Uint8Array},
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

/// Draws a picture on the canvas, once it is unpacked, and hands its brightness on. `progress` is told how far that is, and says whether it is still
/// wanted; `None` once it is not.
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
    let bitmap = unpacked(file).await.map_err(before)?;
    if !progress((words.handing)(0)) {
        bitmap.close();
        return Ok(None);
    }
    let pen = drawn(&bitmap, turned, canvas);
    bitmap.close();
    let pen = pen.ok_or_else(|| after(words.no_memory.to_owned()))?;
    let whole = hand_over(&pen, canvas, |percent| progress((words.handing)(percent))).await.map_err(after)?;
    Ok(whole.then(|| Size::new(f64::from(canvas.width()), f64::from(canvas.height()))))
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

/// Hands the brightness of the picture on the canvas to the worker, band by band. `false` once it is no longer wanted.
async fn hand_over(
    pen: &CanvasRenderingContext2d,
    canvas: &HtmlCanvasElement,
    progress: impl Fn(usize) -> bool,
) -> Result<bool, String> {
    let (width, height) = (canvas.width(), canvas.height());
    for first in (0..height).step_by(BAND as usize) {
        let band = band(pen, first, width, BAND.min(height - first)).ok_or(words().photo.no_memory)?;
        // Weights of the eye for red, green and blue. Source: ITU-R BT.601.
        let grey = band
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

fn drawn(
    bitmap: &ImageBitmap,
    turned: Turned,
    canvas: &HtmlCanvasElement,
) -> Option<CanvasRenderingContext2d> {
    let (width, height) = (f64::from(bitmap.width()), f64::from(bitmap.height()));
    let smaller = (DRAWN_PIXELS / (width * height)).sqrt().min(1.0);
    let (width, height) = ((width * smaller).floor(), (height * smaller).floor());
    let (across, up) = if turned.quarters.is_multiple_of(2) { (width, height) } else { (height, width) };
    // First what it had before goes.
    emptied(canvas);
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
