//! Prints of invented plates, to be looked at: `cargo run -p ribline-tests --bin sheets -- FOLDER` writes each as a PDF, and its
//! pages as PNG where `pdftoppm` is installed.

use ribline_geometry::bench::print::record::{StepInWords, record};
use ribline_geometry::bench::print::wish::{Drawn, DrawnSet, Pages, Paper, Part};
use ribline_geometry::bench::print::{Day, lay_mould, lay_plate};
use ribline_geometry::mould::mould;
use ribline_geometry::outline::Side;
use ribline_geometry::reconcile::reconcile;
use ribline_tests::prints::{cello, violin};
use std::path::Path;
use std::process::Command;

fn main() {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("sheets FOLDER");
        std::process::exit(2);
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("a folder to write to");
    let day = Day { year: 2026, month: 3, day: 9 };
    let papers = [Paper::A4, Paper::A3, Paper::Letter, Paper::Tabloid].map(Pages::Sheets);
    for (name, project) in [("violin", violin()), ("cello", cello())] {
        let result = reconcile(&project.trace, &project.recipe, &project.wish).expect("an invented trace");
        for pages in papers.into_iter().chain([Pages::One]) {
            for (part_name, part) in
                [("whole", Part::Whole), ("right", Part::Half(Side::Right)), ("left", Part::Half(Side::Left))]
            {
                let mut project = project.clone();
                let mut bench = project.bench_wish();
                bench.print.pages = pages;
                bench.print.part = part;
                if part == Part::Half(Side::Left) {
                    bench.print.drawn = DrawnSet::of(Drawn::ALL);
                    bench.print.measured = [97.0, 97.2];
                }
                project.bench = Some(bench);
                let paper = match pages {
                    Pages::One => "one".to_owned(),
                    Pages::Sheets(paper) => paper.name().to_lowercase(),
                };
                let laid = lay_plate(&project, &result).expect("a print");
                write(folder, &format!("{name}-{part_name}-{paper}"), &laid.pdf(day).expect("a file"));
            }
        }
        let mut kept = project.clone();
        kept.as_cut.measured = [2.3, 2.2, 2.6, 1.7, 2.4, 2.5, 2.4, 2.2, 2.1, 2.3, 2.6, 2.9].map(Some);
        kept.record.why =
            "The lower bout came out narrow, so its large arc was taken at 3/4 rather than 4/5.".to_owned();
        (kept.record.traced_on, kept.record.cut_on) = ("3 March 2026".to_owned(), "9 March 2026".to_owned());
        let steps: Vec<StepInWords> = (1..14)
            .map(|k| StepInWords {
                name: format!("Step {k}"),
                sentence: "The recipe's own sentence stands here, as the page has it. ".repeat(k % 4 + 1),
            })
            .collect();
        write(folder, &format!("{name}-record"), &record(&kept, &result, &steps, day).expect("a record").0);
        let drawn = project.recipe.evaluate().expect("a sound recipe");
        let made =
            mould(&project.recipe, &drawn, project.wish.overhang, &project.mould_wish()).expect("a mould");
        let laid = lay_mould(&project, &made).expect("a print");
        write(folder, &format!("{name}-mould-a4"), &laid.pdf(day).expect("a file"));
    }
}

fn write(folder: &Path, name: &str, pdf: &[u8]) {
    let path = folder.join(format!("{name}.pdf"));
    std::fs::write(&path, pdf).expect("the folder can be written to");
    println!("{name}: {} kB", pdf.len().div_ceil(1000));
    let _ = Command::new("pdftoppm").args(["-r", "75", "-png"]).arg(&path).arg(folder.join(name)).status();
}
