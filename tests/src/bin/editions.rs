//! Adds the built-in recipes of the day to the editions that links may differ from:
//! `cargo run -p ribline-tests --bin editions`. What is there stays as it is.

use ribline_geometry::recipe::built_in::built_in;
use ribline_geometry::share::editions;
use std::fs::OpenOptions;
use std::io::Write;
use std::path::Path;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../geometry/src/share/editions.txt");
    let mut file = OpenOptions::new().append(true).open(path)?;
    for recipe in built_in() {
        let text = editions::text_for(&recipe)?;
        if !editions::texts().any(|edition| edition == text) {
            writeln!(file, "# {}\n{text}", recipe.title)?;
            println!("{}: {} characters", recipe.title, text.len());
        }
    }
    Ok(())
}
