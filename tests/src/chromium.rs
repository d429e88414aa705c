//! A headless Chromium of one's own: started through chromedriver on a free port, with a fresh profile, and gone
//! again at the end however the test ends.

use std::env;
use std::io::{BufRead, BufReader, Read};
use std::marker::PhantomData;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Duration;

use fantoccini::wd::{Capabilities, WebDriverCompatibleCommand};
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tempfile::TempDir;
use tokio::runtime::Runtime;

use crate::site;

/// What a session may need to start on a busy machine.
const START_LIMIT: Duration = Duration::from_secs(60);
/// What closing may take before the processes are ended without being asked.
const CLOSE_LIMIT: Duration = Duration::from_secs(5);

/// What the browser tells pages is used to point at them. Left alone, headless Chromium finds neither on the machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pointer {
    Mouse,
    Finger,
}

/// A browser session and the processes behind it.
///
/// Dropping it ends them. They also end when the thread that opened it does, even if that is by a kill from
/// outside; so it cannot be sent to another thread.
pub struct Chromium {
    runtime: Runtime,
    client: Client,
    driver: Child,
    folder: TempDir,
    stays_on_its_thread: PhantomData<*const ()>,
}

impl Chromium {
    /// Starts chromedriver and one browser window, on an empty page.
    pub fn start(pointer: Pointer) -> Self {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(1)
            .enable_all()
            .build()
            .expect("a runtime for the browser's connection");
        // Inside the target folder: a Chromium installed as a snap sees no other process's /tmp.
        let scratch = site::target_dir().join("browser");
        std::fs::create_dir_all(&scratch).expect("a scratch folder in the target folder");
        let scratch = scratch.canonicalize().expect("the folder just made");
        let folder = TempDir::new_in(scratch).expect("a folder for a fresh profile");

        let (mut driver, port) = start_driver(folder.path());
        let connected = runtime.block_on(async {
            let mut builder = ClientBuilder::new(HttpConnector::new());
            builder.capabilities(capabilities(folder.path(), pointer));
            let address = format!("http://127.0.0.1:{port}");
            tokio::time::timeout(START_LIMIT, builder.connect(&address)).await
        });
        let client = match connected {
            Ok(Ok(client)) => client,
            Ok(Err(error)) => {
                end(&mut driver);
                panic!("Chromium did not start: {error}");
            }
            Err(_) => {
                end(&mut driver);
                panic!("Chromium did not start within {START_LIMIT:?}.");
            }
        };
        let chromium = Self { runtime, client, driver, folder, stays_on_its_thread: PhantomData };
        let downloads = chromium.downloads();
        std::fs::create_dir_all(&downloads).expect("a folder for downloads");
        chromium.devtools(
            "Browser.setDownloadBehavior",
            json!({ "behavior": "allow", "downloadPath": downloads }),
        );
        chromium
    }

    pub fn runtime(&self) -> &Runtime {
        &self.runtime
    }

    pub fn client(&self) -> &Client {
        &self.client
    }

    /// The folder of this session alone: its profile, its downloads, files made to be uploaded.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    pub fn profile(&self) -> PathBuf {
        self.folder().join("profile")
    }

    /// Where the browser puts what is downloaded.
    pub fn downloads(&self) -> PathBuf {
        self.folder().join("downloads")
    }

    /// Sends a Chrome DevTools Protocol command to the open page.
    #[track_caller]
    pub fn devtools(&self, command: &str, parameters: Value) -> Value {
        let request =
            DriverCommand { path: "goog/cdp/execute", body: json!({ "cmd": command, "params": parameters }) };
        match self.runtime.block_on(self.client.issue_cmd(request)) {
            Ok(answer) => answer,
            Err(error) => panic!("the browser refused {command}: {error}"),
        }
    }

    /// What the page and the browser wrote to the console since this was last asked, as chromedriver's log entries.
    #[track_caller]
    pub fn take_console(&self) -> Vec<Value> {
        let request = DriverCommand { path: "se/log", body: json!({ "type": "browser" }) };
        match self.runtime.block_on(self.client.issue_cmd(request)) {
            Ok(Value::Array(entries)) => entries,
            Ok(other) => panic!("the console's log is not a list: {other}"),
            Err(error) => panic!("the console's log could not be read: {error}"),
        }
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        let closing = self.client.clone().close();
        let _ = self.runtime.block_on(async { tokio::time::timeout(CLOSE_LIMIT, closing).await });
        end(&mut self.driver);
    }
}

/// The browser is tied to its driver by a pipe, so ending the driver ends both.
fn end(driver: &mut Child) {
    let _ = driver.kill();
    let _ = driver.wait();
}

/// Starts chromedriver on a port of its own choosing, and answers with that port.
fn start_driver(folder: &Path) -> (Child, u16) {
    let mut driver = Command::new("setpriv")
        .args(["--pdeathsig", "KILL", "chromedriver", "--port=0"])
        .env("TMPDIR", folder)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("setpriv, which belongs to Debian's util-linux");
    let mut lines = BufReader::new(driver.stdout.take().expect("the piped output"));
    let mut said = String::new();
    loop {
        let mut line = String::new();
        match lines.read_line(&mut line) {
            Ok(0) | Err(_) => {
                end(&mut driver);
                panic!("chromedriver did not start; tests/run installs it. It said: {said}");
            }
            Ok(_) => said.push_str(&line),
        }
        let port = line
            .trim_end()
            .trim_end_matches('.')
            .rsplit_once("on port ")
            .and_then(|(_, port)| port.parse::<u16>().ok())
            .filter(|port| *port != 0);
        if let Some(port) = port {
            // A driver whose output nobody reads would stop when the pipe is full.
            thread::spawn(move || lines.read_to_end(&mut Vec::new()));
            return (driver, port);
        }
    }
}

fn capabilities(folder: &Path, pointer: Pointer) -> Capabilities {
    let profile = folder.join("profile");
    let mut arguments = vec![
        "--headless".to_owned(),
        "--no-sandbox".to_owned(),
        "--disable-gpu".to_owned(),
        "--disable-dev-shm-usage".to_owned(),
        "--disable-background-networking".to_owned(),
        "--disable-component-update".to_owned(),
        "--disable-sync".to_owned(),
        "--no-first-run".to_owned(),
        "--hide-scrollbars".to_owned(),
        "--force-color-profile=srgb".to_owned(),
        // Chromium ends when this pipe closes, whatever became of its driver.
        "--remote-debugging-pipe".to_owned(),
    ];
    // The numbers are Blink's PointerType (coarse 2, fine 4) and HoverType (none 1, hover 2).
    let (precision, hover) = match pointer {
        Pointer::Mouse => (4, 2),
        Pointer::Finger => (2, 1),
    };
    arguments.push(format!(
        "--blink-settings=primaryPointerType={precision},availablePointerTypes={precision},\
         primaryHoverType={hover},availableHoverTypes={hover}"
    ));
    arguments.push(format!("--user-data-dir={}", profile.display()));
    let mut options = json!({ "args": arguments });
    if let Some(binary) = browser_binary() {
        options["binary"] = json!(binary);
    }
    let capabilities = json!({
        "browserName": "chrome",
        "goog:chromeOptions": options,
        "goog:loggingPrefs": { "browser": "ALL" },
    });
    match capabilities {
        Value::Object(map) => map,
        _ => Capabilities::new(),
    }
}

/// The first Chromium on the PATH, by the names that Debian, Ubuntu and others give it.
fn browser_binary() -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    let names = ["chromium", "chromium-browser", "google-chrome"];
    names
        .iter()
        .flat_map(|name| env::split_paths(&path).map(move |folder| folder.join(name)))
        .find(|file| file.is_file())
}

/// A command of chromedriver's own, beyond the WebDriver standard.
#[derive(Debug)]
struct DriverCommand {
    path: &'static str,
    body: Value,
}

impl WebDriverCompatibleCommand for DriverCommand {
    fn endpoint(&self, base_url: &url::Url, session_id: Option<&str>) -> Result<url::Url, url::ParseError> {
        base_url.join(&format!("session/{}/{}", session_id.unwrap_or_default(), self.path))
    }

    fn method_and_body(&self, _request_url: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(self.body.to_string()))
    }
}
