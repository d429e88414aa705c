//! Prints what the built page weighs on its way to the browser: first the files that the first drawing needs, against their budget,
//! then those of the panel that is fetched to stand beside it, then those that are fetched when they are asked for. Ends with status 1
//! above the budget.
//!
//! `cargo run -p ribline-tests --bin weigh`

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::{fs, io};

use flate2::Compression;
use flate2::write::GzEncoder;
use ribline_tests::site;

/// Compressed wasm, js and css of the first load, in bytes: see "Checking" in DEVELOPERS.md.
const BUDGET: u64 = 350_000;

/// The step with which the page opens, as its part is called.
const FIRST_STEP: &str = "edge";

fn main() -> io::Result<ExitCode> {
    let site = site::built();
    let all = weighed(&site)?;
    let mut first = BTreeSet::new();
    reached(&site, Path::new("index.html"), &all, &mut first)?;
    let total = |files: &[&(PathBuf, u64)]| files.iter().map(|(_, bytes)| bytes).sum::<u64>();
    let beside = beside(&site, &first)?;
    let is_beside = |file: &Path| beside.contains(&*file.file_name().unwrap_or_default().to_string_lossy());
    let (now, rest): (Vec<_>, Vec<_>) = all.iter().partition(|(file, _)| first.contains(file));
    let (then, later): (Vec<_>, Vec<_>) = rest.into_iter().partition(|(file, _)| is_beside(file));
    for (title, files) in [("First", &now), ("Then, beside the first drawing", &then), ("Later", &later)] {
        println!("{title}");
        for (file, bytes) in files {
            println!("  {bytes:>8}  {}", file.display());
        }
        println!("  {:>8}  together", total(files));
    }
    let kilobytes = |bytes: u64| bytes as f64 / 1000.0;
    let first = total(&now);
    let told = if first > BUDGET { "too heavy" } else { "within the budget" };
    println!("First load {:.1} kB of {:.0} kB, compressed: {told}.", kilobytes(first), kilobytes(BUDGET));
    Ok(if first > BUDGET { ExitCode::FAILURE } else { ExitCode::SUCCESS })
}

/// Names of the files in which the first step's panel is: its own, and those that it shares with other parts. None for a page that is
/// all in one file.
fn beside(site: &Path, first: &BTreeSet<PathBuf>) -> io::Result<BTreeSet<String>> {
    let mut names = BTreeSet::new();
    for script in first.iter().filter(|file| file.ends_with("__wasm_split.js")) {
        let text = fs::read_to_string(site.join(script))?;
        let Some((_, loaded)) = text.split_once(&format!("__wasm_split_load_{FIRST_STEP} =")) else {
            continue;
        };
        names.insert(format!("split_{FIRST_STEP}.wasm"));
        let shared = loaded.split_once("\n, [").and_then(|(_, list)| list.split_once(']'));
        let shared = shared.map_or("", |(list, _)| list);
        names.extend(shared.split(", ").map(|name| format!("{}.wasm", name.trim_start_matches('_'))));
    }
    Ok(names)
}

/// Every wasm, js and css file of the site, and its size compressed as a server would, the heaviest first.
fn weighed(site: &Path) -> io::Result<Vec<(PathBuf, u64)>> {
    let mut found = Vec::new();
    let mut folders = vec![PathBuf::new()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(site.join(&folder))? {
            let entry = entry?;
            let file = folder.join(entry.file_name());
            if entry.file_type()?.is_dir() {
                folders.push(file);
            } else if file
                .extension()
                .is_some_and(|ending| ["wasm", "js", "css"].iter().any(|e| ending == *e))
            {
                let mut encoder = GzEncoder::new(Vec::new(), Compression::best());
                io::copy(&mut fs::File::open(entry.path())?, &mut encoder)?;
                found.push((file, encoder.finish()?.len() as u64));
            }
        }
    }
    found.sort_by_key(|(_, bytes)| std::cmp::Reverse(*bytes));
    Ok(found)
}

/// What a file has the browser fetch before anything else: what the page names, and what its scripts import.
fn reached(
    site: &Path,
    file: &Path,
    all: &[(PathBuf, u64)],
    found: &mut BTreeSet<PathBuf>,
) -> io::Result<()> {
    let text = fs::read_to_string(site.join(file))?;
    let is_script = file.extension().is_some_and(|ending| ending == "js");
    // A script names what it fetches later, too; that is no import.
    let named: String = text.lines().filter(|line| !is_script || line.starts_with("import ")).collect();
    for (other, _) in all {
        let name = other.file_name().unwrap_or_default().to_string_lossy();
        if named.contains(&format!("/{name}")) && found.insert(other.clone()) {
            let script = other.extension().is_some_and(|ending| ending == "js");
            if script {
                reached(site, other, all, found)?;
            }
        }
    }
    Ok(())
}
