//! How long each stroke takes to be drawn: unhurried, and longer the further the compass turns.

use ribline_geometry::recipe::replay::{Frame, Mark, Role, Stroke};

/// Seconds in which the compass is lifted and stood on its next centre.
pub const TRAVEL: f64 = 0.45;
/// Seconds in which what is done with fades.
pub const FADE: f64 = 0.9;
/// Before the first stroke, for the eye to find the place.
const LEAD: f64 = 0.35;
/// A frame of many strokes is drawn faster rather than take longer than this.
const LONGEST: f64 = 9.0;

/// When each stroke of a frame begins and ends, in seconds from the frame's beginning.
#[derive(Debug, Clone, PartialEq)]
pub struct Timing {
    spans: Vec<(f64, f64)>,
    pub whole: f64,
}

impl Timing {
    pub const NOTHING: Timing = Timing { spans: Vec::new(), whole: 0.0 };

    pub fn of(frame: &Frame) -> Self {
        let mut now = LEAD;
        let mut spans = Vec::with_capacity(frame.strokes.len());
        let mut last: Option<&Stroke> = None;
        for stroke in &frame.strokes {
            let takes = takes(stroke);
            // Centres are carried across all together.
            let together = last.is_some_and(|last| last.role == stroke.role)
                && matches!(stroke.role, Role::Carried | Role::Centre | Role::LineOfCentres | Role::Contact);
            if together && let Some((start, end)) = spans.last().copied() {
                spans.push((start, end));
            } else {
                if matches!(stroke.mark, Mark::Arc(_)) && stroke.role != Role::Step {
                    now += TRAVEL;
                }
                spans.push((now, now + takes));
                now += takes;
            }
            last = Some(stroke);
        }
        let hurried = (LONGEST / now).min(1.0);
        for (start, end) in &mut spans {
            *start *= hurried;
            *end *= hurried;
        }
        Timing { spans, whole: now * hurried }
    }

    pub fn span(&self, stroke: usize) -> (f64, f64) {
        self.spans.get(stroke).copied().unwrap_or((0.0, 0.0))
    }

    /// How much of a stroke is drawn, 0 to 1. It begins and ends at rest, as a hand does.
    pub fn progress(&self, stroke: usize, clock: f64) -> f64 {
        let (start, end) = self.span(stroke);
        eased((clock - start) / (end - start).max(1e-9))
    }
}

/// From rest to rest.
pub fn eased(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * (3.0 - 2.0 * t)
}

fn takes(stroke: &Stroke) -> f64 {
    let turned = match stroke.mark {
        Mark::Arc(arc) => arc.sweep.abs(),
        _ => 0.0,
    };
    match stroke.role {
        Role::Struck => 1.0 + 0.7 * turned,
        Role::Ink => 0.6 + 0.7 * turned,
        Role::SetOff | Role::Touching => 0.9,
        Role::Step => 0.22,
        Role::Parallel | Role::Slant => 0.4,
        Role::Centreline | Role::Part | Role::Up | Role::Out => 0.8,
        Role::Whole | Role::CrossLine | Role::LineOfCentres | Role::Carried => 0.7,
        Role::Marked | Role::Centre | Role::Contact | Role::Corner => 0.3,
        Role::Joint => 0.15,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ribline_geometry::recipe::{built_in::built_in, replay::Replay};
    #[cfg(target_arch = "wasm32")]
    use wasm_bindgen_test::wasm_bindgen_test as test;

    #[test]
    fn strokes_follow_one_another_and_all_are_drawn_when_the_frame_is_over() {
        for recipe in built_in() {
            let Ok(drawn) = recipe.evaluate() else { panic!("{} is not worked", recipe.title) };
            for frame in &Replay::of(&recipe, &drawn).frames {
                let timing = Timing::of(frame);
                assert!(timing.whole <= LONGEST + 1e-9);
                let starts: Vec<f64> = (0..frame.strokes.len()).map(|k| timing.span(k).0).collect();
                assert!(starts.is_sorted());
                for k in 0..frame.strokes.len() {
                    assert_eq!(timing.progress(k, 0.0), 0.0);
                    assert_eq!(timing.progress(k, timing.whole), 1.0);
                }
            }
        }
    }
}
