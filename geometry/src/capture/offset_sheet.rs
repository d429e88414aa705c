//! A blank sheet for offsets from the centreline, to be filled in at the bench.

use std::fmt::Write;

/// A4, mm. Source: ISO 216.
const PAGE: (f64, f64) = (210.0, 297.0);
const MARGIN: f64 = 12.0;
/// Of a row: a pencilled figure needs this.
const ROW: f64 = 6.0;
const HEAD: f64 = 14.0;
const GAP: f64 = 6.0;

/// An SVG page, or several one below the other, with a row for each height; `columns` are the words over the height and the two sides.
/// Heights that are left empty are written in at the bench.
pub fn offset_sheet(heights: &[String], columns: [&str; 3], title: &str) -> String {
    let rows_high = ((PAGE.1 - 2.0 * MARGIN - HEAD) / ROW) as usize - 1;
    let blocks = heights.chunks(rows_high).collect::<Vec<_>>();
    let pages = blocks.len().div_ceil(2).max(1);
    let (wide, high) = (PAGE.0, PAGE.1 * pages as f64);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{wide}mm\" height=\"{high}mm\" viewBox=\"0 0 {wide} {high}\" font-family=\"sans-serif\" font-size=\"3.4\">\n<rect width=\"{wide}\" height=\"{high}\" fill=\"#fff\"/>\n"
    );
    let block_wide = (PAGE.0 - 2.0 * MARGIN - GAP) / 2.0;
    for (k, rows) in blocks.iter().enumerate() {
        let left = MARGIN + (k % 2) as f64 * (block_wide + GAP);
        let top = MARGIN + (k / 2) as f64 * PAGE.1;
        if k % 2 == 0 {
            let _ = writeln!(
                svg,
                "<text x=\"{left}\" y=\"{}\" font-size=\"4.6\">{}</text>",
                top + 4.0,
                escaped(title)
            );
        }
        let third = block_wide / 3.0;
        let y = |row: usize| top + HEAD + row as f64 * ROW;
        for (c, word) in columns.iter().enumerate() {
            let _ = writeln!(
                svg,
                "<text x=\"{:.2}\" y=\"{:.2}\">{}</text>",
                left + c as f64 * third + 1.5,
                y(0) - 1.5,
                escaped(word)
            );
        }
        let mut d = String::new();
        for row in 0..=rows.len() {
            let _ = write!(d, "M{left:.2} {:.2}h{block_wide:.2}", y(row));
        }
        for c in 0..=3 {
            let _ = write!(d, "M{:.2} {:.2}v{:.2}", left + c as f64 * third, y(0), rows.len() as f64 * ROW);
        }
        let _ = writeln!(svg, "<path d=\"{d}\" fill=\"none\" stroke=\"#444\" stroke-width=\"0.2\"/>");
        for (row, height) in rows.iter().enumerate() {
            let _ = writeln!(
                svg,
                "<text x=\"{:.2}\" y=\"{:.2}\">{}</text>",
                left + 1.5,
                y(row) + 4.4,
                escaped(height)
            );
        }
    }
    svg.push_str("</svg>\n");
    svg
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_height_has_its_row_and_many_go_on_to_another_page() {
        let heights: Vec<String> = (1..=100).map(|k| format!("{}", 10 * k)).collect();
        let sheet = offset_sheet(&heights, ["Height", "Left", "Right"], "Offsets <1>");
        let page = roxmltree::Document::parse(&sheet).unwrap();
        let texts: Vec<&str> =
            page.descendants().filter(|n| n.has_tag_name("text")).filter_map(|n| n.text()).collect();
        assert!(heights.iter().all(|height| texts.contains(&height.as_str())));
        assert_eq!(page.root_element().attribute("height"), Some("594mm"));
        assert!(roxmltree::Document::parse(&offset_sheet(&[], ["a", "b", "c"], "")).is_ok());
    }
}
