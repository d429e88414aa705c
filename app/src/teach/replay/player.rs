//! Which frame is shown, how far it is drawn, and whether the next follows by itself.

use super::scene::Scene;
use super::timing::Timing;
use crate::results::{Results, use_results};
use crate::showing::use_page_owner;
use gloo::render::{AnimationFrame, request_animation_frame};
use leptos::prelude::*;
use std::sync::Arc;

/// Seconds at an even pace that a complete frame is left standing before the next, for its sentence to be read.
const HOLD: f64 = 3.0;
/// Times as fast as an even pace.
pub const PACES: [f64; 5] = [0.4, 0.65, 1.0, 1.7, 3.0];
const EVEN: usize = 2;
/// A picture that was away for longer than this, in seconds, goes on where it was.
const LONGEST_TICK: f64 = 0.1;

#[derive(Clone, Copy)]
pub struct Player {
    pub scene: Memo<Option<Arc<Scene>>>,
    asked: RwSignal<usize>,
    /// The frame that is shown.
    pub at: Memo<usize>,
    pub timing: Memo<Timing>,
    /// Seconds since the frame began, at an even pace; beyond its timing's whole it is complete.
    pub clock: RwSignal<f64>,
    pub playing: RwSignal<bool>,
    /// By its place in [`PACES`].
    pub pace: RwSignal<usize>,
    /// Whether the view keeps near to what is being drawn.
    pub follow: RwSignal<bool>,
    /// Whether it is worked at the lengths found on these ribs.
    pub on_ribs: RwSignal<bool>,
    /// Whether it fills the screen.
    pub projecting: RwSignal<bool>,
    ticking: StoredValue<Option<AnimationFrame>, LocalStorage>,
    last_tick: StoredValue<Option<f64>>,
}

impl Player {
    pub fn new(results: Results) -> Self {
        let on_ribs = RwSignal::new(false);
        let recipe = results.recipe;
        let scene = Memo::new(move |_| {
            let found = on_ribs.get().then(|| found_lengths(results)).flatten();
            recipe.with(|recipe| {
                let at_found = found.and_then(|lengths| recipe.evaluate_at(&lengths).ok());
                let scene = match at_found {
                    Some(drawn) => Scene::of(recipe.clone(), &drawn),
                    None => results.drawn.with(|drawn| Scene::of_partial(recipe.clone(), drawn)),
                };
                (scene.len() > 0).then(|| Arc::new(scene))
            })
        });
        let asked = RwSignal::new(0);
        let at = Memo::new(move |_| {
            let last = scene.with(|scene| scene.as_ref().map_or(0, |scene| scene.len() - 1));
            asked.get().min(last)
        });
        let timing = Memo::new(move |_| {
            let frame = scene.with(|scene| scene.as_ref()?.frame(at.get()).map(Timing::of));
            frame.unwrap_or(Timing::NOTHING)
        });
        Player {
            scene,
            asked,
            at,
            timing,
            clock: RwSignal::new(f64::INFINITY),
            playing: RwSignal::new(false),
            pace: RwSignal::new(EVEN),
            follow: RwSignal::new(false),
            on_ribs,
            projecting: RwSignal::new(false),
            ticking: StoredValue::new_local(None),
            last_tick: StoredValue::new(None),
        }
    }

    pub fn count(self) -> usize {
        self.scene.with(|scene| scene.as_ref().map_or(0, |scene| scene.len()))
    }

    pub fn is_last(self) -> bool {
        self.at.get() + 1 >= self.count()
    }

    /// Something of the scene and the frame that is shown.
    pub fn with_frame<T>(self, of: impl FnOnce(&Scene, usize) -> T) -> Option<T> {
        let at = self.at.get();
        self.scene.with(|scene| scene.as_deref().map(|scene| of(scene, at)))
    }

    /// Shows a frame complete.
    pub fn show(self, frame: usize) {
        self.playing.set(false);
        self.asked.set(frame);
        self.complete();
    }

    pub fn first(self) {
        self.show(0);
    }

    pub fn last(self) {
        self.show(untrack(|| self.count()).saturating_sub(1));
    }

    pub fn back(self) {
        self.show(self.at.get_untracked().saturating_sub(1));
    }

    /// Draws the next frame.
    pub fn on(self) {
        self.playing.set(false);
        self.begin_next();
    }

    pub fn play_or_pause(self) {
        if self.playing.get_untracked() {
            self.playing.set(false);
            return;
        }
        self.playing.set(true);
        let at_end = untrack(|| self.is_last());
        if at_end && self.is_complete() {
            self.begin(0);
        } else if self.is_complete() {
            self.begin_next();
        } else {
            self.tick();
        }
    }

    /// The page no longer shows it.
    pub fn leave(self) {
        self.playing.set(false);
        self.complete();
    }

    fn is_complete(self) -> bool {
        self.clock.get_untracked() >= self.timing.with_untracked(|timing| timing.whole)
    }

    fn complete(self) {
        self.clock.set(f64::INFINITY);
        self.ticking.set_value(None);
    }

    fn begin_next(self) {
        if untrack(|| self.is_last()) {
            self.playing.set(false);
            self.complete();
        } else {
            self.begin(self.at.get_untracked() + 1);
        }
    }

    fn begin(self, frame: usize) {
        self.asked.set(frame);
        let whole = self.timing.with_untracked(|timing| timing.whole);
        if !is_motion_reduced() {
            self.clock.set(0.0);
        } else if self.playing.get_untracked() {
            // Nothing moves, yet there is time to look.
            self.clock.set(whole);
        } else {
            return self.complete();
        }
        self.tick();
    }

    fn tick(self) {
        self.last_tick.set_value(None);
        self.ask_for_tick();
    }

    fn ask_for_tick(self) {
        self.ticking.set_value(Some(request_animation_frame(move |now| self.ticked(now / 1000.0))));
    }

    fn ticked(self, now: f64) {
        let since = self.last_tick.get_value().map_or(0.0, |last| (now - last).clamp(0.0, LONGEST_TICK));
        self.last_tick.set_value(Some(now));
        let pace = PACES.get(self.pace.get_untracked()).copied().unwrap_or(1.0);
        let whole = self.timing.with_untracked(|timing| timing.whole);
        let playing = self.playing.get_untracked();
        let clock = self.clock.get_untracked() + pace * since;
        if clock < whole || (playing && clock < whole + HOLD) {
            // Where all is drawn the picture stays as it is.
            if clock < whole || self.clock.get_untracked() < whole {
                self.clock.set(clock);
            } else {
                self.clock.update_untracked(|standing| *standing = clock);
            }
            self.ask_for_tick();
        } else if playing {
            self.begin_next();
        } else {
            self.complete();
        }
    }
}

/// The measures as found on the ribs, where there are any.
pub fn found_lengths(results: Results) -> Option<Vec<f64>> {
    results.with_shown(|shown| shown.measures.iter().map(|measure| measure.found).collect())
}

pub fn is_motion_reduced() -> bool {
    let query = window().match_media("(prefers-reduced-motion: reduce)");
    query.ok().flatten().is_some_and(|query| query.matches())
}

/// The one player of the page, begun when it is first asked for; it stays where it is while other steps are shown.
pub fn use_player() -> Player {
    use_context::<Player>().unwrap_or_else(|| {
        let results = use_results();
        use_page_owner().with(|| {
            let player = Player::new(results);
            provide_context(player);
            player
        })
    })
}
