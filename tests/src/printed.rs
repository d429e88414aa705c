//! A PDF as programs see it that had no part in making it: poppler's `pdftoppm` draws it and `pdftotext` reads its words, `qpdf`
//! reads its structure. `app/tools.sh` (`need_pdf_tools`) installs them.

use crate::scan::Scan;
use kurbo::Rect;
use serde_json::Value;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::NamedTempFile;

/// A file of pages.
pub struct Printed {
    file: NamedTempFile,
}

/// A word and where it stands: in points of the page, from its upper left corner, y down.
#[derive(Debug, Clone, PartialEq)]
pub struct Word {
    pub text: String,
    pub place: Rect,
}

impl Printed {
    pub fn new(pdf: &[u8]) -> Self {
        let mut file = NamedTempFile::new().expect("a place for a file");
        file.write_all(pdf).expect("room for a file");
        Printed { file }
    }

    fn path(&self) -> &Path {
        self.file.path()
    }

    fn run(&self, program: &str, options: &[&str]) -> Output {
        let output = Command::new(program).args(options).arg(self.path()).arg("-").output();
        output.unwrap_or_else(|e| panic!("{program}: {e}. tests/run installs it"))
    }

    /// A page (from 1) at so many dots to the inch.
    pub fn scan(&self, page: usize, per_inch: u32) -> Scan {
        let (page, per_inch_text) = (page.to_string(), per_inch.to_string());
        let folder = tempfile::tempdir().expect("a folder");
        let name = folder.path().join("page");
        let done = Command::new("pdftoppm")
            .args(["-r", &per_inch_text, "-gray", "-singlefile", "-f", &page, "-l", &page])
            .args([self.path(), &name])
            .status()
            .unwrap_or_else(|e| panic!("pdftoppm: {e}. tests/run installs it"));
        assert!(done.success(), "pdftoppm refuses page {page}");
        let pgm = std::fs::read(name.with_extension("pgm")).expect("the page as a picture");
        Scan::from_pgm(&pgm, f64::from(per_inch) / 25.4)
    }

    /// The words of a page (from 1) in the order in which they were written, single spaces between them.
    pub fn text(&self, page: usize) -> String {
        let page = page.to_string();
        let out = self.run("pdftotext", &["-raw", "-f", &page, "-l", &page]);
        assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
        String::from_utf8(out.stdout).expect("UTF-8").split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// The words of a page (from 1), each with its place, and the page's width and height in points.
    pub fn words(&self, page: usize) -> (Vec<Word>, (f64, f64)) {
        let page = page.to_string();
        let out = self.run("pdftotext", &["-bbox", "-f", &page, "-l", &page]);
        // The title, as poppler repeats it there, is not always UTF-8.
        let text = String::from_utf8_lossy(&out.stdout);
        let number = |line: &str, name: &str| {
            let (_, rest) = line.split_once(&format!(" {name}=\"")).expect("an attribute");
            rest.split('"').next().and_then(|n| n.parse::<f64>().ok()).expect("a number")
        };
        let page = text.lines().find(|line| line.contains("<page ")).expect("a page");
        let size = (number(page, "width"), number(page, "height"));
        let words = text
            .lines()
            .filter(|line| line.contains("<word "))
            .map(|line| {
                let [x0, y0, x1, y1] = ["xMin", "yMin", "xMax", "yMax"].map(|name| number(line, name));
                let word = line.split_once('>').and_then(|(_, rest)| rest.strip_suffix("</word>"));
                Word { text: word.unwrap_or_default().to_owned(), place: Rect::new(x0, y0, x1, y1) }
            })
            .collect();
        (words, size)
    }

    /// The objects of the file, keyed `obj:7 0 R`; also that its syntax has no fault.
    pub fn objects(&self) -> Value {
        let checked = Command::new("qpdf").arg("--check").arg(self.path()).output();
        let checked = checked.unwrap_or_else(|e| panic!("qpdf: {e}. tests/run installs it"));
        assert!(checked.status.success(), "{}", String::from_utf8_lossy(&checked.stdout));
        let out = Command::new("qpdf").args(["--json=2", "--json-key=qpdf"]).arg(self.path()).output();
        let json: Value = serde_json::from_slice(&out.expect("qpdf").stdout).expect("JSON");
        json["qpdf"][1].clone()
    }

    /// The document's catalogue and its information. Source: ISO 32000-1, 7.7.2 and 14.3.3.
    pub fn catalog_and_info(&self) -> (Value, Value) {
        let objects = self.objects();
        let referred = |name: &str| {
            let reference = objects["trailer"]["value"][name].as_str().expect("a reference");
            objects[format!("obj:{reference}")]["value"].clone()
        };
        (referred("/Root"), referred("/Info"))
    }

    pub fn pages(&self) -> usize {
        let objects = self.objects();
        let all = objects.as_object().expect("objects").values();
        all.filter(|object| object["value"]["/Type"] == "/Page").count()
    }
}
