//! The open page, and what a person does there with hand and eye.
//!
//! Every method that needs something of the page waits for it, up to [`PATIENCE`], and fails the test with a
//! sentence when it doesn't come. Elements are named by CSS selectors; [`by_test_id`] makes one from a test id.
//! Places are in CSS pixels from the viewport's upper left corner.

use std::cell::RefCell;
use std::fmt;
use std::future::Future;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use fantoccini::Locator;
use fantoccini::actions::{InputSource as _, MOUSE_BUTTON_LEFT, MouseActions, PointerAction};
use fantoccini::elements::Element;
use fantoccini::error::{CmdError, ErrorStatus};
pub use fantoccini::key::Key;
use kurbo::{Point, Rect, Size, Vec2};
use serde_json::{Value, json};

use crate::chromium::{Chromium, Pointer};
use crate::site;

/// How long something may take to appear. Nothing is judged by how long it took: this only ends a wait for what
/// will never come.
pub const PATIENCE: Duration = Duration::from_secs(20);
const GLANCE: Duration = Duration::from_millis(25);

/// The colours that the person's system asks pages for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scheme {
    Light,
    Dark,
}

impl fmt::Display for Scheme {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Light => "light",
            Self::Dark => "dark",
        })
    }
}

/// What the person looks at and points with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Screen {
    /// The size of the page's viewport, in CSS pixels, each one pixel of a screenshot.
    pub width: u32,
    pub height: u32,
    pub scheme: Scheme,
    /// A finger rather than a mouse.
    pub touch: bool,
}

impl Screen {
    pub const DESK: Self = Self { width: 1280, height: 800, scheme: Scheme::Light, touch: false };
    pub const TABLET: Self = Self { width: 820, height: 1180, scheme: Scheme::Light, touch: true };
    pub const PHONE: Self = Self { width: 390, height: 844, scheme: Scheme::Light, touch: true };

    pub const fn in_scheme(self, scheme: Scheme) -> Self {
        Self { scheme, ..self }
    }
}

/// A line on the browser's console.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ConsoleLine {
    /// `SEVERE`, `WARNING`, `INFO` or `DEBUG`, as chromedriver names them.
    pub level: String,
    pub text: String,
}

/// The selector of the element with this `data-test`.
pub fn by_test_id(id: &str) -> String {
    format!("[data-test={}]", Value::from(id))
}

/// The built page, open in a browser of its own.
///
/// A test that fails while a page is open leaves a picture of it in `screens/failed` of the target folder.
pub struct Page {
    chromium: Chromium,
    address: SocketAddr,
    touch: bool,
    console: RefCell<Vec<ConsoleLine>>,
}

impl Page {
    /// Serves the built page, opens it, and waits until there is something to read on it.
    #[track_caller]
    pub fn open(screen: Screen) -> Self {
        Self::open_at(screen, "")
    }

    /// As [`Page::open`], at a path of the site: a link's `?query` and `#fragment`.
    #[track_caller]
    pub fn open_at(screen: Screen, path: &str) -> Self {
        Self::open_folder(screen, &site::built(), path)
    }

    /// Opens a page from a folder other than the built one.
    #[track_caller]
    pub fn open_folder(screen: Screen, folder: &Path, path: &str) -> Self {
        let chromium = Chromium::start(if screen.touch { Pointer::Finger } else { Pointer::Mouse });
        let address = site::serve(chromium.runtime(), folder);
        let page = Self { chromium, address, touch: screen.touch, console: RefCell::default() };
        page.look_through(screen);
        page.go(path);
        page
    }

    /// Changes the screen's size and colours. What points at it stays as it was opened.
    #[track_caller]
    pub fn look_through(&self, screen: Screen) {
        assert_eq!(
            screen.touch, self.touch,
            "a page opened for a mouse cannot turn into one for a finger, or back"
        );
        self.chromium.devtools(
            "Emulation.setDeviceMetricsOverride",
            json!({
                "width": screen.width,
                "height": screen.height,
                "deviceScaleFactor": 1,
                "mobile": screen.touch,
            }),
        );
        self.chromium.devtools(
            "Emulation.setTouchEmulationEnabled",
            json!({ "enabled": screen.touch, "maxTouchPoints": if screen.touch { 5 } else { 1 } }),
        );
        self.chromium.devtools(
            "Emulation.setEmulatedMedia",
            json!({ "features": [{ "name": "prefers-color-scheme", "value": screen.scheme.to_string() }] }),
        );
    }

    /// Opens a path of the site, and waits until there is something to read.
    #[track_caller]
    pub fn go(&self, path: &str) {
        let url = format!("http://{}/{}", self.address, path.trim_start_matches('/'));
        self.done("open the page", self.chromium.client().goto(&url));
        self.wait_until_mounted();
    }

    #[track_caller]
    pub fn reload(&self) {
        self.done("reload the page", self.chromium.client().refresh());
        self.wait_until_mounted();
    }

    #[track_caller]
    fn wait_until_mounted(&self) {
        self.wait_until("the page to show its first words", |page| {
            page.js(
                "return document.readyState === 'complete' && document.body.innerText.trim() !== ''",
                vec![],
            ) == json!(true)
        });
    }

    /// Waits until the condition holds; `what` completes "waited for …".
    #[track_caller]
    pub fn wait_until(&self, what: &str, condition: impl Fn(&Self) -> bool) {
        self.wait_for(what, |page| condition(page).then_some(()));
    }

    /// Waits until the question has an answer; `what` completes "waited for …".
    #[track_caller]
    pub fn wait_for<T>(&self, what: &str, question: impl Fn(&Self) -> Option<T>) -> T {
        let begun = Instant::now();
        loop {
            if let Some(answer) = question(self) {
                return answer;
            }
            if begun.elapsed() > PATIENCE {
                self.give_up(&format!("waited for {what} for {PATIENCE:?}, in vain"));
            }
            thread::sleep(GLANCE);
        }
    }

    /// Waits until an element's text contains these words.
    #[track_caller]
    pub fn wait_for_words(&self, css: &str, words: &str) {
        self.wait_until(&format!("{words:?} in {css}"), |page| page.text(css).contains(words));
    }

    // Reading.

    /// The text that the element shows.
    #[track_caller]
    pub fn text(&self, css: &str) -> String {
        self.ask(css, |element| async move { element.text().await })
    }

    /// The texts of all elements that match, in the order of the page; none is no failure.
    #[track_caller]
    pub fn texts(&self, css: &str) -> Vec<String> {
        let read = self.js(
            "return [...document.querySelectorAll(arguments[0])].map(e => e.textContent.trim())",
            vec![json!(css)],
        );
        match read {
            Value::Array(texts) => {
                texts.iter().map(|text| text.as_str().unwrap_or_default().to_owned()).collect()
            }
            _ => Vec::new(),
        }
    }

    /// The content of a field.
    #[track_caller]
    pub fn value(&self, css: &str) -> String {
        self.ask(css, |element| async move { element.prop("value").await }).unwrap_or_default()
    }

    #[track_caller]
    pub fn attribute(&self, css: &str, name: &str) -> Option<String> {
        let name = name.to_owned();
        self.ask(css, move |element| {
            let name = name.clone();
            async move { element.attr(&name).await }
        })
    }

    /// How many elements match now.
    #[track_caller]
    pub fn count(&self, css: &str) -> usize {
        self.texts(css).len()
    }

    /// Whether an element that matches is there now and can be seen.
    #[track_caller]
    pub fn shows(&self, css: &str) -> bool {
        let script = "const e = document.querySelector(arguments[0]); return !!e && e.checkVisibility({ visibilityProperty: true, opacityProperty: true })";
        self.js(script, vec![json!(css)]) == json!(true)
    }

    /// Where the element is in the viewport.
    #[track_caller]
    pub fn place(&self, css: &str) -> Rect {
        self.wait_for(css, |page| {
            let script = "const e = document.querySelector(arguments[0]); if (!e) return null; \
                          const r = e.getBoundingClientRect(); return [r.x, r.y, r.width, r.height]";
            let read = page.js(script, vec![json!(css)]);
            let number = |at: usize| read.get(at).and_then(Value::as_f64);
            Some(Rect::from_origin_size((number(0)?, number(1)?), Size::new(number(2)?, number(3)?)))
        })
    }

    /// Runs JavaScript in the page; `arguments[0]` and on are the given values. A promise is waited for.
    #[track_caller]
    pub fn js(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.done("run a script", self.chromium.client().execute(script, arguments))
    }

    /// Runs JavaScript that calls its last argument with the answer when it has one.
    #[track_caller]
    pub fn js_later(&self, script: &str, arguments: Vec<Value>) -> Value {
        self.done("run a script", self.chromium.client().execute_async(script, arguments))
    }

    /// Everything written to the console since the page was opened.
    #[track_caller]
    pub fn console(&self) -> Vec<ConsoleLine> {
        let new = self.chromium.take_console();
        let field = |entry: &Value, name: &str| entry[name].as_str().unwrap_or_default().to_owned();
        let mut console = self.console.borrow_mut();
        console.extend(
            new.iter()
                .map(|entry| ConsoleLine { level: field(entry, "level"), text: field(entry, "message") }),
        );
        console.clone()
    }

    /// The errors among [`Page::console`]: panics, exceptions, files that could not be loaded.
    #[track_caller]
    pub fn console_errors(&self) -> Vec<ConsoleLine> {
        self.console().into_iter().filter(|line| line.level == "SEVERE").collect()
    }

    /// Saves what the viewport shows as a PNG.
    #[track_caller]
    pub fn screenshot(&self, file: &Path) {
        let picture = self.done("take a screenshot", self.chromium.client().screenshot());
        if let Some(folder) = file.parent() {
            std::fs::create_dir_all(folder).expect("a folder for the screenshot");
        }
        if let Err(error) = std::fs::write(file, picture) {
            self.give_up(&format!("the screenshot could not be saved as {}: {error}", file.display()));
        }
    }

    // Buttons and fields.

    /// Clicks in the middle of an element. Where the drawing, which stays on a phone's screen, lies over it, the page is first
    /// scrolled as a hand would, until it lies at the foot of the screen.
    #[track_caller]
    pub fn click(&self, css: &str) {
        let script = "const element = document.querySelector(arguments[0]); if (!element) return; \
                      const box = element.getBoundingClientRect(); \
                      const on_top = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2); \
                      if (on_top?.closest('svg.board') && !element.closest('svg.board')) \
                          element.scrollIntoView({ block: 'end', behavior: 'instant' });";
        self.js(script, vec![json!(css)]);
        self.ask(css, |element| async move { element.click().await });
    }

    /// Types at the end of what the element holds; [`Key`] has the keys without a character.
    #[track_caller]
    pub fn type_into(&self, css: &str, text: &str) {
        let text = text.to_owned();
        self.ask(css, move |element| {
            let text = text.clone();
            async move { element.send_keys(&text).await }
        });
    }

    /// Types in place of what the field holds.
    #[track_caller]
    pub fn fill(&self, css: &str, text: &str) {
        self.focus(css);
        self.js("document.activeElement.select()", vec![]);
        self.type_into(css, if text.is_empty() { "\u{e017}" } else { text });
    }

    /// Chooses an option of a select by its value.
    #[track_caller]
    pub fn choose(&self, css: &str, value: &str) {
        let value = value.to_owned();
        self.ask(css, move |element| {
            let value = value.clone();
            async move { element.select_by_value(&value).await }
        });
    }

    #[track_caller]
    pub fn focus(&self, css: &str) {
        self.ask(css, |_| async { Ok(()) });
        self.js("document.querySelector(arguments[0]).focus()", vec![json!(css)]);
    }

    /// Presses keys where the focus is.
    #[track_caller]
    pub fn press(&self, keys: &str) {
        let keys = keys.to_owned();
        let client = self.chromium.client();
        self.done("press keys", async move { client.active_element().await?.send_keys(&keys).await });
    }

    /// Pastes text at the element, as from the clipboard: the page may take the paste itself, else the field does.
    #[track_caller]
    pub fn paste(&self, css: &str, text: &str) {
        self.focus(css);
        let script = "const carried = new DataTransfer(); carried.setData('text/plain', arguments[0]); \
                      return document.activeElement.dispatchEvent(new ClipboardEvent('paste', \
                          { clipboardData: carried, bubbles: true, cancelable: true }))";
        if self.js(script, vec![json!(text)]) == json!(true) {
            self.chromium.devtools("Input.insertText", json!({ "text": text }));
        }
    }

    /// Gives a file to a file field.
    #[track_caller]
    pub fn upload(&self, css: &str, file: &Path) {
        let file = match file.canonicalize() {
            Ok(file) => file.to_string_lossy().into_owned(),
            Err(error) => self.give_up(&format!("{} cannot be uploaded: {error}", file.display())),
        };
        self.type_into(css, &file);
    }

    /// Gives a file of this name and content to a file field.
    #[track_caller]
    pub fn upload_as(&self, css: &str, name: &str, content: &[u8]) {
        let file = self.chromium.folder().join(name);
        std::fs::write(&file, content).expect("a file in the session's own folder");
        self.upload(css, &file);
    }

    /// Drops a file of this name and content on an element.
    #[track_caller]
    pub fn drop_file(&self, css: &str, name: &str, content: &[u8]) {
        self.ask(css, |_| async { Ok(()) });
        let script = "const [css, name, content] = arguments; \
                      const bytes = Uint8Array.from(atob(content), c => c.charCodeAt(0)); \
                      const carried = new DataTransfer(); carried.items.add(new File([bytes], name)); \
                      for (const kind of ['dragenter', 'dragover', 'drop']) \
                          document.querySelector(css).dispatchEvent(new DragEvent(kind, \
                              { dataTransfer: carried, bubbles: true, cancelable: true }))";
        self.js(script, vec![json!(css), json!(name), json!(BASE64.encode(content))]);
    }

    /// Waits until a file whose name ends so has been downloaded, and answers where it is.
    #[track_caller]
    pub fn downloaded(&self, ending: &str) -> PathBuf {
        self.wait_for(&format!("a downloaded file {ending}"), |page| {
            let files = std::fs::read_dir(page.chromium.downloads()).ok()?;
            files
                .filter_map(|file| Some(file.ok()?.path()))
                .find(|file| file.to_string_lossy().ends_with(ending))
                // Chromium lays an empty file of the name there first.
                .filter(|file| file.metadata().is_ok_and(|about| about.len() > 0))
        })
    }

    // Pointing.

    /// Drags from one place to another with the mouse, or with a finger on a touch screen, by way of `steps` places
    /// between them, so that the page sees the movement.
    #[track_caller]
    pub fn drag(&self, from: Point, to: Point, steps: u32) {
        self.begin_drag(from, to, steps);
        self.end_drag();
    }

    /// The first part of [`Page::drag`]: the button or the finger stays down.
    #[track_caller]
    pub fn begin_drag(&self, from: Point, to: Point, steps: u32) {
        let along = (1..=steps + 1).map(|step| from.lerp(to, f64::from(step) / f64::from(steps + 1)));
        if self.touch {
            self.fingers("touchStart", &[from]);
            along.for_each(|place| self.fingers("touchMove", &[place]));
        } else {
            let begin = [move_to(from), PointerAction::Down { button: MOUSE_BUTTON_LEFT }];
            self.mouse(begin.into_iter().chain(along.map(move_to)));
        }
    }

    /// Lets go.
    #[track_caller]
    pub fn end_drag(&self) {
        if self.touch {
            self.fingers("touchEnd", &[]);
        } else {
            self.mouse([PointerAction::Up { button: MOUSE_BUTTON_LEFT }]);
        }
    }

    /// Moves the mouse there.
    #[track_caller]
    pub fn point_at(&self, place: Point) {
        self.mouse([move_to(place)]);
    }

    /// Clicks or taps there.
    #[track_caller]
    pub fn click_at(&self, place: Point) {
        self.drag(place, place, 0);
    }

    /// Puts two fingers down on either side of a place and moves them, in so many steps, until they are `to` pixels
    /// apart.
    #[track_caller]
    pub fn pinch(&self, centre: Point, from: f64, to: f64, steps: u32) {
        let either_side = |apart: f64| {
            let half = Vec2::new(apart / 2.0, 0.0);
            [centre - half, centre + half]
        };
        self.fingers("touchStart", &either_side(from));
        for step in 1..=steps {
            let apart = from + (to - from) * f64::from(step) / f64::from(steps);
            self.fingers("touchMove", &either_side(apart));
        }
        self.fingers("touchEnd", &[]);
    }

    #[track_caller]
    fn mouse(&self, moves: impl IntoIterator<Item = PointerAction>) {
        let moves = moves.into_iter().fold(MouseActions::new("mouse".to_owned()), |all, one| all.then(one));
        self.done("move the mouse", self.chromium.client().perform_actions(moves));
    }

    /// The DevTools protocol's touch events rather than WebDriver's: chromedriver loses a finger that stays down from
    /// one request to the next.
    #[track_caller]
    fn fingers(&self, event: &str, places: &[Point]) {
        let points = places.iter().enumerate();
        let points = points.map(|(id, place)| json!({ "id": id, "x": place.x, "y": place.y }));
        let points = points.collect::<Vec<_>>();
        self.chromium.devtools("Input.dispatchTouchEvent", json!({ "type": event, "touchPoints": points }));
    }

    /// Turns the wheel at a place, by CSS pixels; down and right are positive. With `ctrl`, as a trackpad's pinch does.
    #[track_caller]
    pub fn wheel(&self, place: Point, by: Vec2, ctrl: bool) {
        /// The modifier's bit in the DevTools protocol's `Input.dispatchMouseEvent`.
        const CTRL: u32 = 2;
        self.chromium.devtools(
            "Input.dispatchMouseEvent",
            json!({
                "type": "mouseWheel",
                "x": place.x,
                "y": place.y,
                "deltaX": by.x,
                "deltaY": by.y,
                "modifiers": if ctrl { CTRL } else { 0 },
            }),
        );
    }

    /// Sends a Chrome DevTools Protocol command, for what has no method here.
    #[track_caller]
    pub fn devtools(&self, command: &str, parameters: Value) -> Value {
        self.chromium.devtools(command, parameters)
    }

    /// The folder of the browser's profile, made for this page and gone with it.
    pub fn profile(&self) -> PathBuf {
        self.chromium.profile()
    }

    /// The page's address, such as `127.0.0.1:41234`: no other host is ever asked.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Finds the element, waiting for it, and asks it something. A page that draws itself anew may take the element
    /// away in between, or cover it for a moment; then it is found and asked again.
    #[track_caller]
    fn ask<T, F>(&self, css: &str, question: impl Fn(Element) -> F) -> T
    where
        F: Future<Output = Result<T, CmdError>>,
    {
        let client = self.chromium.client();
        let begun = Instant::now();
        loop {
            let asked = self.chromium.runtime().block_on(async {
                let element = client.find(Locator::Css(css)).await?;
                question(element).await
            });
            match asked {
                Ok(answer) => return answer,
                Err(error) if passes(&error) && begun.elapsed() < PATIENCE => thread::sleep(GLANCE),
                Err(error) => self.give_up(&format!("{css}: {error}")),
            }
        }
    }

    #[track_caller]
    fn done<T>(&self, what: &str, action: impl Future<Output = Result<T, CmdError>>) -> T {
        match self.chromium.runtime().block_on(action) {
            Ok(answer) => answer,
            Err(error) => self.give_up(&format!("could not {what}: {error}")),
        }
    }

    #[track_caller]
    fn give_up(&self, why: &str) -> ! {
        let console = match self.chromium.take_console() {
            entries if entries.is_empty() => String::new(),
            entries => format!("\nthe console's last lines: {}", Value::Array(entries)),
        };
        panic!("{why}{console}")
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        if !thread::panicking() {
            return;
        }
        let Ok(picture) = self.chromium.runtime().block_on(self.chromium.client().screenshot()) else {
            return;
        };
        let folder = site::target_dir().join("screens/failed");
        let name = thread::current().name().unwrap_or("unnamed").replace("::", "-");
        let file = folder.join(format!("{name}.png"));
        if std::fs::create_dir_all(&folder).and_then(|()| std::fs::write(&file, picture)).is_ok() {
            eprintln!("What the page showed: {}", file.display());
        }
    }
}

fn move_to(place: Point) -> PointerAction {
    PointerAction::MoveTo { duration: Some(Duration::ZERO), x: place.x, y: place.y }
}

/// Whether the same request may well succeed in a moment.
fn passes(error: &CmdError) -> bool {
    match error {
        CmdError::Standard(refused) => matches!(
            refused.error,
            ErrorStatus::NoSuchElement
                | ErrorStatus::StaleElementReference
                | ErrorStatus::ElementClickIntercepted
                | ErrorStatus::ElementNotInteractable
        ),
        _ => false,
    }
}
