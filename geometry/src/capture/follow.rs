//! Following a scribed or pencilled line on a photo from one tap to the next.
//!
//! A way of least cost finds the line among the grain ([`super::corridor`], [`super::path`]); then the line's middle is placed
//! across it, to a part of a pixel, every half millimetre; and what is passed on are means over some of those.

use super::corridor::Corridor;
use super::path::least_cost;
use super::photo::Photo;
use crate::order::{median, sort_values};
use kurbo::{Point, Vec2};

/// What the line looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Tone {
    /// Darker than the wood to both sides: a pencil, a scribe's shadow, ink.
    Dark,
    /// Lighter than the wood to both sides: a scratch in raw light, chalk.
    Light,
    /// Where one tone meets another: the border of a template or of the wood itself.
    Edge,
}

/// A place on the followed line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnLine {
    /// On the photo, pixels.
    pub at: Point,
    /// Its standard deviation across the line, pixels.
    pub sd: f64,
}

/// What was followed between two taps.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    pub tone: Tone,
    /// The way from tap to tap, pixels, to be shown.
    pub way: Vec<Point>,
    /// Places on the line, evenly, some way from the taps themselves; none where it could not be followed.
    pub points: Vec<OnLine>,
    /// Parts of the way on which there is no line to be followed: places are to be tapped there. From and to, pixels.
    pub lost: Vec<(Point, Point)>,
    /// How plain the line is in the middle of its places, in brightness, of 255.
    pub strength: f64,
    /// Whether a line of the other kind, dark for light, lies there and is plainer.
    pub outshone: bool,
}

impl Stretch {
    /// Standard deviation across the line of the points as a whole, pixels.
    pub fn sd(&self) -> f64 {
        let n = self.points.len();
        if n == 0 { 0.0 } else { (self.points.iter().map(|p| p.sd * p.sd).sum::<f64>() / n as f64).sqrt() }
    }
}

/// Why there is nothing to follow; worded for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum FollowError {
    #[error("A tap lies beyond the picture. Tap on the line.")]
    Outside,
    #[error("The two taps are at one place. Tap further along the line.")]
    Together,
    #[error(
        "No line can be seen between the two taps. Tap the points yourself there, or choose another kind of line."
    )]
    NoLine,
}

/// All lengths here in mm on the board.
mod mm {
    /// Between the places at which the line is placed.
    pub const STEP: f64 = 0.5;
    /// How far across the line it is looked for, first and then.
    pub const REACH: [f64; 2] = [1.3, 0.7];
    /// Half of the breadth, along the line, over which the brightness is averaged.
    pub const HALF_BREADTH: f64 = 0.25;
    /// Over which the brightness is smoothed across the line: lines of 0.3 to 0.8 mm answer best with a maximum in their middle.
    /// Source: Steger, "An unbiased detector of curvilinear structures", PAMI 20 (1998): not below the line's width by √12.
    pub const SMOOTHING: f64 = 0.24;
    /// Between the points that are passed on.
    pub const POINTS: f64 = 3.0;
    /// Nearer to a tap there is often another line: at a corner two meet.
    pub const FROM_TAP: f64 = 1.5;
    /// Within which of a tap the line must be seen.
    pub const ABOUT_TAP: f64 = 3.5;
    /// A shorter piece that cannot be seen is bridged.
    pub const BRIDGED: f64 = 4.0;
}
/// Places to either side of one that are taken with it for a mean: a parabola through seven has a third of the variance of
/// one in its middle.
const BESIDE: usize = 3;
const MEAN_OF_PARABOLA: f64 = 1.0 / 3.0;
/// A line below this part of its middling strength cannot be seen.
const FAINT: f64 = 0.3;
/// The strongest second derivative at the taps is an exception: a plain line has this much of it.
const PLAIN: f32 = 0.7;
/// A ridge this weak (brightness, of 255) is the picture's noise.
const NOISE: f32 = 1.5;

/// Follows the line between two taps on it, `px_per_mm` being the photo's resolution there. Without a `tone`, what is plainer
/// at the taps of a dark and a light line is followed.
///
/// # Errors
/// Taps beyond the photo or at one place, or no line between them.
pub fn follow(
    photo: &Photo,
    from: Point,
    to: Point,
    px_per_mm: f64,
    tone: Option<Tone>,
) -> Result<Stretch, FollowError> {
    let apart = from.distance(to);
    if !apart.is_finite() {
        return Err(FollowError::Outside);
    }
    if apart < 2.0 * mm::STEP * px_per_mm || apart < 3.0 {
        return Err(FollowError::Together);
    }
    let tones: &[Tone] = match &tone {
        Some(tone) => std::slice::from_ref(tone),
        None => &[Tone::Dark, Tone::Light],
    };
    let mut best: Option<(f32, Tone, Corridor)> = None;
    for tone in tones {
        let corridor = Corridor::about(photo, from, to, px_per_mm, *tone).ok_or(FollowError::Outside)?;
        let about = mm::ABOUT_TAP * px_per_mm;
        let full = PLAIN * corridor.strongest(from, about).min(corridor.strongest(to, about));
        if best.as_ref().is_none_or(|(before, ..)| full > *before) {
            best = Some((full, *tone, corridor));
        }
    }
    let Some((full, tone, corridor)) = best.filter(|(full, ..)| *full > NOISE) else {
        return Err(FollowError::NoLine);
    };
    let cells = least_cost(&corridor, from, to, full);
    if cells.len() < 2 {
        return Err(FollowError::NoLine);
    }
    let rough = evenly(&smooth_way(&cells, 3), mm::STEP * px_per_mm);
    let first = placed(photo, &rough, px_per_mm, tone, mm::REACH[0]);
    let settled = settle(&rough, &first);
    let again = placed(photo, &settled, px_per_mm, tone, mm::REACH[1]);
    let mut stretch = passed_on(from, to, px_per_mm, tone, &settled, &again);
    let other = match tone {
        Tone::Dark => Some(Tone::Light),
        Tone::Light => Some(Tone::Dark),
        Tone::Edge => None,
    };
    stretch.outshone = other.is_some_and(|other| {
        middling(&placed(photo, &settled, px_per_mm, other, mm::REACH[1])) > stretch.strength
    });
    Ok(stretch)
}

/// How much of a line there is at the middle one of its places.
fn middling(found: &[Found]) -> f64 {
    median(&found.iter().map(|f| f.strength).collect::<Vec<_>>()).unwrap_or(0.0)
}

/// Places along a way, evenly so many pixels apart.
fn evenly(way: &[Point], step: f64) -> Vec<Point> {
    let Some(first) = way.first() else { return Vec::new() };
    let mut places = vec![*first];
    let mut left = step;
    for pair in way.windows(2) {
        let (mut at, to) = (pair[0], pair[1]);
        while at.distance(to) >= left && left > 0.0 {
            at = at.lerp(to, left / at.distance(to));
            places.push(at);
            left = step;
        }
        left -= at.distance(to);
    }
    if let (Some(last), Some(end)) = (places.last(), way.last())
        && last.distance(*end) > 0.3 * step
    {
        places.push(*end);
    }
    places
}

/// The steps of the cells' grid taken out by a running mean, the ends kept.
fn smooth_way(way: &[Point], beside: usize) -> Vec<Point> {
    (0..way.len())
        .map(|k| {
            let reach = beside.min(k).min(way.len() - 1 - k);
            let around = &way[k - reach..=k + reach];
            (around.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2()) / around.len() as f64).to_point()
        })
        .collect()
}

/// Where the line was found at a place on the way.
#[derive(Clone, Copy)]
struct Found {
    /// Across the way, to its left as seen on the photo, pixels.
    off: f64,
    /// How much of a line there is; noughts where there is none.
    strength: f64,
    normal: Vec2,
}

/// Places the line across the way at each of its places.
fn placed(photo: &Photo, way: &[Point], px_per_mm: f64, tone: Tone, reach: f64) -> Vec<Found> {
    let filter = Filter::new(tone, (mm::SMOOTHING * px_per_mm).max(0.9));
    let reach = (reach * px_per_mm / filter.step).round().max(3.0) as isize;
    let beside = (mm::HALF_BREADTH * px_per_mm).max(0.5);
    let margin = filter.half() as isize;
    let mut profile = vec![0.0f32; (2 * (reach + margin) + 1) as usize];
    let mut answers = vec![0.0f64; (2 * reach + 1) as usize];
    let polarity = if tone == Tone::Edge { edge_polarity(photo, way, px_per_mm) } else { 1.0 };
    (0..way.len())
        .map(|k| {
            let tangent = way[(k + 2).min(way.len() - 1)] - way[k.saturating_sub(2)];
            let length = tangent.hypot();
            let nothing = Found { off: 0.0, strength: 0.0, normal: Vec2::new(0.0, 1.0) };
            if length < 1e-9 {
                return nothing;
            }
            let tangent = tangent / length;
            let normal = Vec2::new(-tangent.y, tangent.x);
            for (slot, u) in profile.iter_mut().zip(-(reach + margin)..) {
                let at = way[k] + normal * (u as f64 * filter.step);
                *slot = [-1.0, -0.5, 0.0, 0.5, 1.0]
                    .iter()
                    .map(|b| photo.at(at + tangent * (b * beside)))
                    .sum::<f32>()
                    / 5.0;
            }
            for (slot, around) in answers.iter_mut().zip(profile.windows(filter.weights.len())) {
                *slot =
                    polarity * filter.weights.iter().zip(around).map(|(w, v)| w * f64::from(*v)).sum::<f64>();
            }
            // Far from the way only a plainly stronger line is meant.
            let likely =
                |u: usize| answers[u] * (1.0 - 0.5 * ((u as isize - reach) as f64 / reach as f64).powi(2));
            let mut best = None;
            for u in 1..answers.len() - 1 {
                if answers[u] > 0.0
                    && answers[u] >= answers[u - 1]
                    && answers[u] > answers[u + 1]
                    && best.is_none_or(|b| likely(u) > likely(b))
                {
                    best = Some(u);
                }
            }
            let Some(u) = best else { return Found { normal, ..nothing } };
            let (a, b, c) = (answers[u - 1], answers[u], answers[u + 1]);
            let bend = a - 2.0 * b + c;
            let part = if bend < 0.0 { (0.5 * (a - c) / bend).clamp(-0.5, 0.5) } else { 0.0 };
            Found { off: ((u as isize - reach) as f64 + part) * filter.step, strength: b, normal }
        })
        .collect()
}

/// Which way the brightness steps along most of the way: +1 where it rises to the left as seen on the photo.
fn edge_polarity(photo: &Photo, way: &[Point], px_per_mm: f64) -> f64 {
    let rise: f64 = way
        .windows(2)
        .map(|pair| {
            let along = pair[1] - pair[0];
            let normal = Vec2::new(-along.y, along.x) / along.hypot().max(1e-9) * (0.6 * px_per_mm);
            f64::from(photo.at(pair[0] + normal) - photo.at(pair[0] - normal))
        })
        .sum();
    if rise < 0.0 { -1.0 } else { 1.0 }
}

/// The derivative of a Gaussian by which a line (the second) or an edge (the first) answers with a maximum in its middle.
struct Filter {
    /// Pixels from weight to weight.
    step: f64,
    weights: Vec<f64>,
}

impl Filter {
    fn new(tone: Tone, sigma: f64) -> Filter {
        let step = (sigma / 3.0).clamp(0.3, 1.0);
        let half = (4.0 * sigma / step).ceil() as i32;
        let mut weights: Vec<f64> = (-half..=half)
            .map(|k| {
                let t = f64::from(k) * step / sigma;
                let bell = (-0.5 * t * t).exp();
                match tone {
                    Tone::Dark => (t * t - 1.0) * bell,
                    Tone::Light => (1.0 - t * t) * bell,
                    Tone::Edge => t * bell,
                }
            })
            .collect();
        // An even brightness answers with nothing.
        let mean = weights.iter().sum::<f64>() / weights.len() as f64;
        let size: f64 = weights.iter().map(|w| (w - mean).abs()).sum();
        weights.iter_mut().for_each(|w| *w = (*w - mean) / size);
        Filter { step, weights }
    }

    fn half(&self) -> usize {
        self.weights.len() / 2
    }
}

/// The way moved to where the line was found, as far as the neighbours agree.
fn settle(way: &[Point], found: &[Found]) -> Vec<Point> {
    let full = middling(found);
    let last = way.len().saturating_sub(1);
    let off: Vec<f64> = (0..way.len())
        .map(|k| {
            let around = k.saturating_sub(4)..=(k + 4).min(last);
            let near: Vec<f64> =
                found[around].iter().filter(|f| f.strength > FAINT * full).map(|f| f.off).collect();
            median(&near).unwrap_or(0.0)
        })
        .collect();
    let moved: Vec<Point> =
        way.iter().zip(found).zip(&off).map(|((p, f), off)| *p + f.normal * *off).collect();
    smooth_way(&moved, 2)
}

/// The points that are passed on: means of neighbours by a parabola, and what could not be followed.
fn passed_on(from: Point, to: Point, px_per_mm: f64, tone: Tone, way: &[Point], found: &[Found]) -> Stretch {
    let full = middling(found);
    let step = mm::STEP * px_per_mm;
    let seen: Vec<bool> = found.iter().map(|f| f.strength > FAINT * full && f.strength > 0.0).collect();
    let at: Vec<Point> = way.iter().zip(found).map(|(p, f)| *p + f.normal * f.off).collect();
    let inner = |k: usize| {
        let clear = mm::FROM_TAP * px_per_mm;
        at[k].distance(from) > clear && at[k].distance(to) > clear
    };

    let lost_parts = lost(way, &seen, (mm::BRIDGED / mm::STEP) as usize);
    // How far single places stray from the parabola of their neighbours: what one of them is worth.
    let mut middles: Vec<(usize, Point, f64)> = Vec::new();
    for k in BESIDE..at.len().saturating_sub(BESIDE) {
        let window = k - BESIDE..=k + BESIDE;
        if !window.clone().all(|i| seen[i] && inner(i)) {
            continue;
        }
        // Along the normal the offsets of the neighbours from the tangent through this one.
        let normal = found[k].normal;
        let offs: Vec<f64> = window.map(|i| (at[i] - way[k]).dot(normal)).collect();
        let (middle, squares) = parabola(&offs);
        middles.push((k, way[k] + normal * middle, squares));
    }
    let mut strays: Vec<f64> = middles.iter().map(|(.., squares)| *squares).collect();
    sort_values(&mut strays);
    // The upper tenth are where a grain line was taken for the line.
    strays.truncate(strays.len() - strays.len() / 10);
    let mean = strays.iter().sum::<f64>() / strays.len().max(1) as f64;
    let free = (2 * BESIDE + 1 - 3) as f64;
    let single = (mean / free).sqrt();

    let every = ((mm::POINTS / mm::STEP) as usize).max(1);
    let mut points = Vec::new();
    let mut next = 0;
    for (k, middle, squares) in &middles {
        // A place whose neighbours are all over is none.
        if *k < next || (squares / free).sqrt() > (4.0 * single).max(0.5 * step) {
            continue;
        }
        let own = (squares / free + 3.0 * single * single) / 4.0;
        points.push(OnLine { at: *middle, sd: (own * MEAN_OF_PARABOLA).sqrt() });
        next = k + every;
    }
    let mut shown: Vec<Point> =
        (0..at.len()).map(|k| if seen[k] && inner(k) { at[k] } else { way[k] }).collect();
    if let (Some(first), true) = (shown.first_mut(), !way.is_empty()) {
        *first = from;
    }
    if let Some(last) = shown.last_mut() {
        *last = to;
    }
    Stretch { tone, way: smooth_way(&shown, 1), points, lost: lost_parts, strength: full, outshone: false }
}

/// The value in the middle of the parabola of least squares through values evenly apart, and the sum of the squares left over.
fn parabola(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let half = (values.len() / 2) as f64;
    let place = |k: usize| k as f64 - half;
    let square: f64 = (0..values.len()).map(|k| place(k).powi(2)).sum();
    let fourth: f64 = (0..values.len()).map(|k| place(k).powi(4)).sum();
    let sum: f64 = values.iter().sum();
    let first: f64 = values.iter().enumerate().map(|(k, v)| place(k) * v).sum();
    let second: f64 = values.iter().enumerate().map(|(k, v)| place(k).powi(2) * v).sum();
    let determinant = n * fourth - square * square;
    let (a, c) = ((fourth * sum - square * second) / determinant, (n * second - square * sum) / determinant);
    let b = first / square;
    let left =
        values.iter().enumerate().map(|(k, v)| (v - a - b * place(k) - c * place(k).powi(2)).powi(2)).sum();
    (a, left)
}

/// The parts of the way, longer than can be bridged, on which the line is not seen.
fn lost(way: &[Point], seen: &[bool], bridged: usize) -> Vec<(Point, Point)> {
    let mut parts = Vec::new();
    let mut since = None;
    for k in 0..=way.len() {
        let hidden = k < way.len() && !seen[k];
        match (hidden, since) {
            (true, None) => since = Some(k),
            (false, Some(start)) => {
                if k - start > bridged {
                    parts.push((way[start], way[k - 1]));
                }
                since = None;
            }
            _ => {}
        }
    }
    parts
}

#[cfg(test)]
#[path = "follow_tests.rs"]
mod tests;
