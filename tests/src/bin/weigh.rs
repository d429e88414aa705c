//! Prints what the built page weighs on its way to the browser: first the files that the first drawing needs, against their budget,
//! then those that are fetched later.
//!
//! `cargo run -p ribline-tests --bin weigh`

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::{fs, io};

use flate2::Compression;
use flate2::write::GzEncoder;
use ribline_tests::site;

/// Compressed wasm, js and css of the first load, in bytes: see "Checking" in DEVELOPERS.md.
const BUDGET: u64 = 350_000;

fn main() -> io::Result<()> {
    let site = site::built();
    let all = weighed(&site)?;
    let mut first = BTreeSet::new();
    reached(&site, Path::new("index.html"), &all, &mut first)?;
    let total = |files: &[&(PathBuf, u64)]| files.iter().map(|(_, bytes)| bytes).sum::<u64>();
    let (now, later): (Vec<_>, Vec<_>) = all.iter().partition(|(file, _)| first.contains(file));
    for (title, files) in [("First", &now), ("Later", &later)] {
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
    Ok(())
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
