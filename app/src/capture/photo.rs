//! The line from a photo: opened, squared up, tapped, followed, taken.

use super::hand_over;
use super::kept::{self, KeptPhoto};
use super::opening::{self, Turn, Turned};
use super::session::{Look, Session, Way};
use super::shown::Colours;
use super::stage::{Stage, StageView};
use super::taps::{Stage as Part, Tap};
use super::under_drawing::under_drawing;
use crate::controls::{Choice, FilePicker, NumberField, When, listed, place_of, press};
use crate::number::{Within, figure};
use crate::storage::files::{file_name, save_bytes};
use crate::store::PinName;
use crate::today::today;
use crate::words::capture::words;
use crate::worker::let_go;
use kurbo::Size;
use leptos::prelude::*;
use leptos::task::spawn_local;
use ribline_geometry::bench::print::lay_frame;
use ribline_geometry::capture::{Doubt, Squared, Taking, how_good};
use ribline_geometry::outline::Run;
use ribline_geometry::project::Project;
use ribline_geometry::trace::HowTaken;
use wasm_bindgen::JsCast;
use web_sys::File;

const SIDE: Within = Within::new(20.0, 3000.0);
const DOTS: Within = Within::new(20.0, 5000.0);
/// Taps that may be further off want placing under the loupe, mm.
const ROUGH: f64 = 0.6;
/// Fewer points make no plate.
const FEWEST: usize = 12;

#[derive(Clone, Copy)]
struct Opening {
    file: StoredValue<Option<File>, LocalStorage>,
    turned: RwSignal<Turned>,
    progress: RwSignal<Option<String>>,
    trouble: RwSignal<Option<String>>,
    opened: RwSignal<bool>,
    /// The browser has no room for the photo, or for what was tapped on it.
    not_kept: RwSignal<bool>,
    session: Session,
    view: StageView,
    project: StoredValue<Project>,
}

impl Opening {
    fn open(self, file: File) {
        self.draw(file, Turned::default(), Session::afresh);
    }

    fn go_on(self, kept: KeptPhoto) {
        self.draw(kept.file, kept.turned, move |session, size| {
            session.afresh(size);
            session.go_on(kept.said);
        });
    }

    fn turn(self, turn: Turn) {
        if let Some(file) = self.file.get_value() {
            let turned = self.turned.get_untracked().and(turn);
            self.draw(file, turned, move |session, size| session.turned(turn, size));
        }
    }

    /// Draws a picture and has the session take note of it. One that cannot be read leaves everything as it was.
    fn draw(self, file: File, turned: Turned, note: impl FnOnce(Session, Size) + 'static) {
        if self.progress.with_untracked(Option::is_some) {
            return;
        }
        let canvas = self.view.photo.get_value();
        self.trouble.set(None);
        self.progress.set(Some(words().photo.unpacking.to_owned()));
        spawn_local(async move {
            let done =
                opening::open(&file, turned, &canvas, |text| self.progress.try_set(Some(text)).is_none())
                    .await;
            // The bench was closed meanwhile, and what it knew is gone.
            if self.progress.try_set(None).is_some() {
                return;
            }
            match done {
                Ok(None) => {}
                Ok(Some(size)) => {
                    self.file.set_value(Some(file));
                    self.turned.set(turned);
                    note(self.session, size);
                    self.opened.set(true);
                    self.view.fit();
                }
                Err(why) => {
                    // What was open before is no longer on the canvas: it is there to be gone on with.
                    if why.drawn_over {
                        self.opened.set(false);
                        self.session.afresh(Size::ZERO);
                    }
                    self.trouble.set(Some(why.sentence));
                }
            }
        });
    }
}

#[component]
pub fn FromPhoto(frame: (f64, f64), project: Project) -> impl IntoView {
    let session = Session::new(frame);
    let view = StageView::new(session);
    let opening = Opening {
        file: StoredValue::new_local(None),
        turned: RwSignal::new(Turned::default()),
        progress: RwSignal::new(None),
        trouble: RwSignal::new(None),
        opened: RwSignal::new(false),
        not_kept: RwSignal::new(false),
        session,
        view,
        project: StoredValue::new(project),
    };
    let pasted = window_event_listener(leptos::ev::paste, move |event| {
        if let Some(file) = opening::picture_of(&listed(event.clipboard_data().and_then(|data| data.files())))
        {
            opening.open(file);
        }
    });
    let keys = window_event_listener(leptos::ev::keydown, move |event| {
        let target = event.target().and_then(|target| target.dyn_into::<web_sys::Element>().ok());
        let in_field = target.is_some_and(|element| element.matches("input[type=text]").unwrap_or(false));
        let back = event.key().eq_ignore_ascii_case("z") && !event.shift_key() && !event.alt_key();
        if back && (event.ctrl_key() || event.meta_key()) && !in_field {
            event.prevent_default();
            session.take_back();
        }
    });
    let photo = view.photo.get_value();
    on_cleanup(move || {
        pasted.remove();
        keys.remove();
        // What is kept is the file; what it was unpacked to is a lot for a page to hold unseen.
        opening::emptied(&photo);
        let_go();
    });
    let opened = opening.opened;
    Effect::new(move |_| {
        let (said, turned) = (session.said(), opening.turned.get());
        if let (true, Some(file)) = (opened.get(), opening.file.get_value()) {
            kept::keep_photo(KeptPhoto { file, turned, said }, move |kept| {
                // Whoever closed the bench meanwhile is told no more.
                let _ = opening.not_kept.try_set(!kept);
            });
        }
    });
    view! {
        <div
            class="photo-bench"
            class:empty=move || !opened.get()
            class:busy=move || opening.progress.with(Option::is_some)
            on:dragover=move |event| event.prevent_default()
            on:drop=move |event| {
                event.prevent_default();
                event.stop_propagation();
                if let Some(file) = opening::picture_of(&listed(event.data_transfer().and_then(|data| data.files()))) {
                    opening.open(file);
                }
            }
        >
            <Stage view />
            <div class="panel">
                <When holds=opened>
                    <Working opening />
                </When>
                <When holds=Signal::derive(move || !opened.get())>
                    <Welcome opening />
                </When>
                <p class="trouble" data-test="photo-not-kept" aria-live="polite">
                    {move || if opening.not_kept.get() { words().photo.not_kept } else { "" }}
                </p>
                <p class="note" data-test="photo-progress" aria-live="polite">{opening.progress}</p>
                <p class="trouble" data-test="error-photo" aria-live="assertive">{opening.trouble}</p>
            </div>
        </div>
    }
}

#[component]
fn Welcome(opening: Opening) -> impl IntoView {
    let words = &words().photo;
    let kept = RwSignal::new_local(kept::photo());
    let said = untrack(|| opening.session.said());
    spawn_local(async move {
        let _ = kept.try_set(kept::find_photo(said).await);
    });
    view! {
        <p class="lead">{words.lead}</p>
        <p class="note">{words.better}</p>
        <div class="actions">
            <Chooser opening label=words.open camera=false />
            <Chooser opening label=words.camera camera=true />
        </div>
        {move || kept.get().map(|kept| {
            press("photo-go-on", (words.go_on)(&kept.file.name()), move || opening.go_on(kept.clone())).view()
        })}
        <p class="note">{words.drop}</p>
    }
}

#[component]
fn Chooser(opening: Opening, label: &'static str, camera: bool) -> impl IntoView {
    let chosen = move |files: Vec<web_sys::File>| {
        if let Some(file) = opening::picture_of(&files) {
            opening.open(file);
        }
    };
    let test = if camera { "camera" } else { "open-photo" };
    view! { <FilePicker label test accept="image/*" camera on_chosen=chosen /> }
}

/// What is to be done next, and what has come of it.
#[component]
fn Working(opening: Opening) -> impl IntoView {
    let Opening { session, view, .. } = opening;
    let words = &words().photo;
    let at_line = Signal::derive(move || session.stage.get() == Part::Line);
    let asked = move || match session.wanted() {
        Some(Tap::Mark(k)) => (words.tap_mark)(k),
        Some(Tap::Pin(PinName::Lower)) => words.tap_lower_pin.to_owned(),
        Some(Tap::Pin(PinName::Upper)) => words.tap_upper_pin.to_owned(),
        Some(Tap::Corner(corner)) => (words.tap_corner)(corner),
        Some(Tap::Bottom) => words.tap_bottom.to_owned(),
        Some(Tap::Top) => words.tap_top.to_owned(),
        Some(Tap::Via(..)) | None if at_line.get() => words.tap_via.to_owned(),
        Some(Tap::Via(..)) | None => match session.squared.get() {
            None => words.squaring.to_owned(),
            Some(Ok(_)) if session.way.get() == Way::Scan => words.scan_ready.to_owned(),
            Some(Ok(_)) => words.scale_ready.to_owned(),
            Some(Err(_)) => String::new(),
        },
    };
    let asks_pin = Signal::derive(move || at_line.get() && matches!(session.wanted(), Some(Tap::Pin(_))));
    view! {
        <p class="asked" data-test="asked" aria-live="polite">{asked}</p>
        <div class="actions tools">
            {press("photo-take-back", words.take_back, move || session.take_back())
                .disabled(Signal::derive(move || !session.can_take_back()))
                .view()}
            {press("photo-remove", words.remove, move || session.remove_at_hand())
                .disabled(Signal::derive(move || session.at_hand.get().is_none()))
                .view()}
            {press("photo-smaller", "\u{2212}", move || view.zoom(1.0 / 1.5, None)).titled(words.smaller).view()}
            {press("photo-larger", "+", move || view.zoom(1.5, None)).titled(words.larger).view()}
            {press("photo-all", words.all, move || view.fit()).view()}
            <When holds=asks_pin>
                {press("without-pins", words.no_pins, move || session.go_without_pins()).view()}
            </When>
        </div>
        <When holds=Signal::derive(move || !at_line.get())>
            <ScalePart opening />
        </When>
        <When holds=at_line>
            <LinePart session view />
        </When>
    }
}

#[component]
fn ScalePart(opening: Opening) -> impl IntoView {
    let session = opening.session;
    let words = &words().photo;
    let way = session.way;
    let sizes = session.sizes;
    let is = move |which: Way| Signal::derive(move || way.get() == which);
    let good = Signal::derive(move || session.is_squared());
    let said = move || match session.squared.get() {
        Some(Ok(squared)) => told(&squared),
        _ => String::new(),
    };
    let trouble = move || match session.squared.get() {
        Some(Err(why)) => why,
        _ => String::new(),
    };
    let remarks = move || match session.squared.get() {
        Some(Ok(squared)) => {
            squared.remarks.iter().map(|r| view! { <li>{r.to_string()}</li> }).collect_view()
        }
        _ => Vec::new(),
    };
    let not_saved = RwSignal::new(None::<String>);
    let save_frame = move || {
        let Some(sheet) = session.frame_sheet() else { return };
        let pdf = opening.project.with_value(|project| lay_frame(project, &sheet)?.pdf(today()));
        match pdf {
            Ok(pdf) => save_bytes(&file_name(&[words.frame_file], "pdf"), "application/pdf", &pdf),
            Err(error) => not_saved.set(Some(error.to_string())),
        }
    };
    view! {
        <p class="figures" data-test="squared" aria-live="polite">{said}</p>
        <ul class="remarks" data-test="remarks">{remarks}</ul>
        <p class="trouble" data-test="error-squared" aria-live="polite">{trouble}</p>
        <When holds=good>
            <div class="actions">
                {press("to-line", words.to_line, move || session.to_line()).class("chief").view()}
            </div>
        </When>
        <Choice
            legend=words.scale_from
            test="scale"
            options=vec![
                ("frame", words.frame),
                ("rectangle", words.rectangle),
                ("pins", words.pins),
                ("scan", words.scan),
            ]
            chosen=Signal::derive(move || place_of(&Way::ALL, way.get()))
            on_change=Callback::new(move |k: usize| way.set(Way::ALL[k]))
        />
        <When holds=is(Way::Frame)>
            <div class="pair">
                <NumberField label=words.width unit="mm" test="frame-width" within=SIDE
                    value=Signal::derive(move || sizes.get().frame.0)
                    on_change=move |mm| sizes.update(|s| s.frame.0 = mm) />
                <NumberField label=words.height unit="mm" test="frame-height" within=SIDE
                    value=Signal::derive(move || sizes.get().frame.1)
                    on_change=move |mm| sizes.update(|s| s.frame.1 = mm) />
            </div>
            <p class="note">{words.frame_note}</p>
            {press("save-frame", words.frame_sheet, save_frame).class("slight").view()}
            <p class="trouble" aria-live="polite">{not_saved}</p>
        </When>
        <When holds=is(Way::Rectangle)>
            <div class="pair">
                <NumberField label=words.width unit="mm" test="rectangle-width" within=SIDE
                    value=Signal::derive(move || sizes.get().rectangle.0)
                    on_change=move |mm| sizes.update(|s| s.rectangle.0 = mm) />
                <NumberField label=words.height unit="mm" test="rectangle-height" within=SIDE
                    value=Signal::derive(move || sizes.get().rectangle.1)
                    on_change=move |mm| sizes.update(|s| s.rectangle.1 = mm) />
                <NumberField label=words.diagonal unit="mm" test="diagonal" within=SIDE
                    value=Signal::derive(move || sizes.get().diagonals[0])
                    on_change=move |mm| sizes.update(|s| s.diagonals[0] = Some(mm))
                    on_cleared=move || sizes.update(|s| s.diagonals[0] = None) />
                <NumberField label=words.other_diagonal unit="mm" test="other-diagonal" within=SIDE
                    value=Signal::derive(move || sizes.get().diagonals[1])
                    on_change=move |mm| sizes.update(|s| s.diagonals[1] = Some(mm))
                    on_cleared=move || sizes.update(|s| s.diagonals[1] = None) />
            </div>
        </When>
        <When holds=is(Way::Pins)>
            <NumberField label=words.distance unit="mm" test="pin-distance" within=SIDE
                value=Signal::derive(move || sizes.get().pins)
                on_change=move |mm| sizes.update(|s| s.pins = Some(mm))
                on_cleared=move || sizes.update(|s| s.pins = None) />
        </When>
        <When holds=is(Way::Scan)>
            <NumberField label=words.dots unit="dpi" test="dots" within=DOTS
                value=Signal::derive(move || sizes.get().dots)
                on_change=move |dots| sizes.update(|s| s.dots = Some(dots))
                on_cleared=move || sizes.update(|s| s.dots = None) />
        </When>
        <When holds=move || way.get() != Way::Scan>
            <p class="note">{words.move_keys}</p>
        </When>
        <div class="actions">
            {press("photo-turn", words.turn, move || opening.turn(Turn::Quarter)).view()}
            {press("photo-mirror", words.mirror, move || opening.turn(Turn::Mirror)).view()}
            <Chooser opening label=words.another camera=false />
        </div>
    }
}

fn told(squared: &Squared) -> String {
    let residual = squared.residual().map(|mm| figure(mm, 2));
    (words().photo.squared)(
        &figure(squared.px_per_mm, 1),
        &figure(squared.tilt.to_degrees(), 0),
        residual.as_deref(),
        &figure(squared.sd, 2),
    )
}

#[component]
fn LinePart(session: Session, view: StageView) -> impl IntoView {
    let words = &words().photo;
    let busy = RwSignal::new(false);
    let taking = Memo::new(move |_| session.taking());
    let misplaced = Memo::new(move |_| taking.with(|taking| taking.as_ref()?.misplaced()));
    let taken = Memo::new(move |_| match session.squared.get() {
        Some(Ok(squared)) => taking.with(|taking| Some(taking.as_ref()?.trace(&squared))),
        _ => None,
    });
    let ready = Signal::derive(move || {
        !busy.get()
            && misplaced.get().is_none()
            && taken.with(|t| t.as_ref().is_some_and(|trace| trace.points.len() >= FEWEST))
    });
    let progress = move || match session.progress().0 {
        0 => String::new(),
        count => (words.following)(count),
    };
    let said = move || {
        let said = session.progress().1.into_iter().map(|(run, what)| match what {
            Ok(count) => (words.lost)(run, count),
            Err(why) => (words.not_followed)(run, &why),
        });
        let doubtful = taking.with(|taking| taking.as_ref().map(Taking::doubtful)).unwrap_or_default();
        let doubts = [Doubt::OtherKind, Doubt::Faint].map(|doubt| {
            let runs: Vec<Run> =
                doubtful.iter().filter(|(_, why)| *why == doubt).map(|(run, _)| *run).collect();
            (!runs.is_empty()).then(|| (words.doubtful)(&runs, doubt))
        });
        let rough = taken.with(|trace| Some(how_good(trace.as_ref()?, HowTaken::Tapped)?.1 > ROUGH));
        let rough = rough.unwrap_or(false).then(|| words.rough.to_owned());
        let said = said.chain(doubts.into_iter().flatten()).chain(rough);
        said.map(|text| view! { <li>{text}</li> }).collect_view()
    };
    let state = move || {
        taken.with(|trace| {
            let told = |taken| {
                let (count, sd) = how_good(trace.as_ref()?, taken)?;
                Some((count, figure(sd, 2)))
            };
            (words.state)(told(HowTaken::Followed), told(HowTaken::Tapped))
        })
    };
    let accept = move || {
        let (Some(trace), Some(Ok(squared))) = (taken.get_untracked(), session.squared.get_untracked())
        else {
            return;
        };
        let (canvas, size) = (view.photo.get_value(), session.size.get_untracked());
        busy.set(true);
        spawn_local(async move {
            let under = under_drawing(Colours { canvas: &canvas, size }, &squared, &trace).await;
            // Whoever closed the bench meanwhile does not want the line.
            if busy.try_set(false).is_some() {
                return;
            }
            hand_over::take(&trace, under);
        });
    };
    view! {
        <p class="note" data-test="following" aria-live="polite">{progress}</p>
        <ul class="remarks" data-test="line-remarks">{said}</ul>
        <p class="trouble" data-test="error-corners" aria-live="polite">
            {move || misplaced.get().map(words.misplaced)}
        </p>
        <p class="trouble" data-test="error-scale" aria-live="polite">
            {move || (!session.is_squared()).then_some(words.no_scale)}
        </p>
        <p class="figures" data-test="line-state" aria-live="polite">{state}</p>
        <div class="actions">
            {press("take-line", words.accept, accept).class("chief").disabled(Signal::derive(move || !ready.get())).view()}
        </div>
        <Choice
            legend=words.tone
            test="tone"
            options=vec![
                ("found", words.tone_found),
                ("dark", words.tone_dark),
                ("light", words.tone_light),
                ("edge", words.tone_edge),
                ("none", words.tone_none),
            ]
            chosen=Signal::derive(move || place_of(&Look::ALL, session.look.get()))
            on_change=Callback::new(move |k: usize| session.look.set(Look::ALL[k]))
        />
        <p class="note">{move || if busy.get() { words.taking } else { words.move_keys }}</p>
        <div class="actions">
            {press("to-scale", words.to_scale, move || session.stage.set(Part::Scale)).view()}
        </div>
    }
}
