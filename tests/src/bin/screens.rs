//! Saves what the built page shows at three sizes, light and dark, as six PNG files for a person to look at.
//!
//! `cargo run -p ribline-tests --bin screens -- FOLDER [--after JAVASCRIPT] [--at PATH]`

use std::path::PathBuf;
use std::process::ExitCode;
use std::{env, thread, time::Duration};

use ribline_tests::page::{Page, Scheme, Screen};

const USAGE: &str = "screens FOLDER [--after JAVASCRIPT] [--at PATH]
  FOLDER              where the six PNG files go
  --after JAVASCRIPT  run this in the page first, such as document.querySelector('button').click()
  --at PATH           open this path of the site, such as '#edge'";

fn main() -> ExitCode {
    let mut folder = None;
    let mut after = None;
    let mut at = String::new();
    let mut arguments = env::args().skip(1);
    while let Some(argument) = arguments.next() {
        match argument.as_str() {
            "--after" => after = arguments.next(),
            "--at" => at = arguments.next().unwrap_or_default(),
            _ if argument.starts_with('-') || folder.is_some() => {
                eprintln!("{USAGE}");
                return ExitCode::from(2);
            }
            _ => folder = Some(PathBuf::from(argument)),
        }
    }
    let Some(folder) = folder else {
        eprintln!("{USAGE}");
        return ExitCode::from(2);
    };

    let mut errors = 0;
    for (name, screen) in [("desk", Screen::DESK), ("tablet", Screen::TABLET), ("phone", Screen::PHONE)] {
        for scheme in [Scheme::Light, Scheme::Dark] {
            let page = Page::open_at(screen.in_scheme(scheme), &at);
            if let Some(script) = &after {
                page.js(script, vec![]);
            }
            // Let transitions and the drawing that follows a change come to rest.
            thread::sleep(Duration::from_millis(700));
            let file = folder.join(format!("{name}-{}x{}-{scheme}.png", screen.width, screen.height));
            page.screenshot(&file);
            println!("{}", file.display());
            for line in page.console_errors() {
                errors += 1;
                eprintln!("console: {}", line.text);
            }
        }
    }
    if errors == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
