//! The photo as it is laid under the drawing: squared up, cut out around the line, in a file of its own.

use super::hand_over::UnderDrawing;
use super::opening;
use super::shown::Colours;
use futures_channel::oneshot;
use gloo::file::callbacks::read_as_data_url;
use kurbo::{Rect, Size};
use ribline_geometry::capture::{Homography, Squared, Warp};
use ribline_geometry::trace::Trace;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Blob, HtmlCanvasElement, ImageData};

/// Beyond the line, of the photo that is laid under the drawing, mm.
const AROUND: f64 = 14.0;
/// Of the photo that is kept with the project: a browser keeps some five million characters for a page.
const KEPT_CHARACTERS: usize = 1_200_000;
/// Of a JPEG, the best that fits; below the last, wood is all blocks.
const QUALITIES: [f64; 4] = [0.85, 0.7, 0.5, 0.3];

/// The photo squared up, as far as the line and a little more, in a file of its own.
pub async fn under_drawing(
    Colours { canvas, size }: Colours<'_>,
    squared: &Squared,
    trace: &Trace,
) -> Option<UnderDrawing> {
    let points = trace.points.iter().map(|point| point.at);
    let extent = points.map(|p| Rect::from_points(p, p)).reduce(|a, b| a.union(b))?.inflate(AROUND, AROUND);
    let (width, height) = (canvas.width(), canvas.height());
    let to_photo = Homography::between(Size::new(width.into(), height.into()), size)?;
    let mut warp = Warp::of(&to_photo.then(&squared.to_board)?, extent)?;
    let pen = opening::pen(canvas)?;
    for first in (0..height).step_by(opening::BAND as usize) {
        let rows = opening::BAND.min(height - first);
        warp.fill(&opening::band(&pen, first, width, rows)?, first as usize, width as usize);
        opening::breathe().await;
    }
    let flat = opening::new_canvas()?;
    flat.set_width(warp.width as u32);
    flat.set_height(warp.height as u32);
    let image = ImageData::new_with_u8_clamped_array_and_sh(
        wasm_bindgen::Clamped(&warp.pixels),
        warp.width as u32,
        warp.height as u32,
    )
    .ok()?;
    opening::pen(&flat)?.put_image_data(&image, 0.0, 0.0).ok()?;
    opening::give_back(&image);
    drop(warp);
    opening::breathe().await;
    let base64 = as_jpeg(&flat).await;
    opening::emptied(&flat);
    Some(UnderDrawing { base64: base64?, extent })
}

/// As good a JPEG as is not too long to be kept, in base64. The browser makes it aside, while the page goes on.
async fn as_jpeg(canvas: &HtmlCanvasElement) -> Option<String> {
    for quality in QUALITIES {
        let blob = jpeg(canvas, quality).await?;
        // Three bytes are four characters.
        if 4 * (blob.size() as usize).div_ceil(3) <= KEPT_CHARACTERS {
            return base64_of(blob).await;
        }
    }
    None
}

async fn jpeg(canvas: &HtmlCanvasElement, quality: f64) -> Option<Blob> {
    let (done, waiting) = oneshot::channel();
    let take = Closure::once_into_js(move |blob: Option<Blob>| {
        let _ = done.send(blob);
    });
    canvas.to_blob_with_type_and_encoder_options(take.unchecked_ref(), "image/jpeg", &quality.into()).ok()?;
    waiting.await.ok().flatten()
}

async fn base64_of(blob: Blob) -> Option<String> {
    let (done, waiting) = oneshot::channel();
    let reading = read_as_data_url(&blob.into(), move |read| {
        let _ = done.send(read.ok());
    });
    let address = waiting.await.ok().flatten()?;
    drop(reading);
    address.strip_prefix("data:image/jpeg;base64,").map(str::to_owned)
}
