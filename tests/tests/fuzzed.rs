//! Every input that the fuzzer once broke something with, and those it starts from. See `tests/fuzz`.

#[path = "../fuzz/inputs.rs"]
mod inputs;

use std::path::Path;

/// Goes through a folder of inputs; those that fail are named together.
fn all_hold(target: &str, holds: impl Fn(&[u8]) + std::panic::RefUnwindSafe) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz");
    let mut tried = 0;
    let mut failed = Vec::new();
    for kind in ["seeds", "found"] {
        let Ok(files) = std::fs::read_dir(folder.join(kind).join(target)) else { continue };
        for file in files {
            let path = file.expect("an entry of the folder").path();
            let bytes = std::fs::read(&path).expect("an input");
            if std::panic::catch_unwind(|| holds(&bytes)).is_err() {
                failed.push(path);
            }
            tried += 1;
        }
    }
    assert!(tried > 0, "no inputs for {target}");
    assert!(failed.is_empty(), "{failed:#?}");
}

#[test]
fn traces_from_anywhere_are_refused_or_reconciled() {
    all_hold("trace", inputs::trace);
}

#[test]
fn recipes_from_anywhere_are_refused_or_worked() {
    all_hold("recipe", inputs::recipe);
}

#[test]
fn projects_from_anywhere_are_refused_or_reconciled() {
    all_hold("project", inputs::project);
}

#[test]
fn points_anywhere_are_refused_or_reconciled() {
    all_hold("points", inputs::points);
}

#[test]
fn links_from_anywhere_are_refused_or_opened() {
    all_hold("link", inputs::link);
}

#[test]
fn drawings_from_anywhere_are_refused_or_sampled() {
    all_hold("drawing", inputs::drawing);
}

#[test]
fn photos_of_anything_are_refused_or_squared_up() {
    all_hold("photo", inputs::photo);
}
