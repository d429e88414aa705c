//! Pages put together to a PDF. Source: ISO 32000-1.

use super::canvas::Page;
use super::{Day, PrintError};
use pdf_writer::{Date, Filter, Finish, Name, Pdf, Rect, Ref, TextStr};

/// Largest side of a page, in points. Source: ISO 32000-1, annex C, table C.1.
pub const LARGEST_PAGE: f64 = 14_400.0;

/// What the document says of itself.
pub struct About<'a> {
    pub title: &'a str,
    pub subject: &'a str,
    pub language: &'a str,
    pub day: Day,
}

/// Writes the file. Viewers are asked to print it without scaling, on one side of the paper, and on paper of its size.
///
/// # Errors
/// [`PrintError::TooLarge`] for a page that a PDF cannot hold.
pub fn file(pages: &[Page], about: &About) -> Result<Vec<u8>, PrintError> {
    let largest = pages.iter().map(|p| p.size.0.max(p.size.1)).fold(0.0, f64::max);
    if largest.is_nan() || largest > LARGEST_PAGE {
        let mm = super::canvas::POINTS_PER_MM.recip();
        return Err(PrintError::TooLarge { mm: largest * mm, most: LARGEST_PAGE * mm });
    }
    let number = |k: usize| Ref::new(i32::try_from(k).unwrap_or(i32::MAX - 1).max(1));
    let (catalog, tree, plain, bold, info) = (number(1), number(2), number(3), number(4), number(5));
    let page = |k: usize| number(6 + 2 * k);
    let content = |k: usize| number(7 + 2 * k);
    let mut pdf = Pdf::new();
    pdf.set_version(1, 7);
    {
        let mut root = pdf.catalog(catalog);
        root.pages(tree).lang(TextStr(about.language));
        let mut viewer = root.viewer_preferences();
        viewer.display_doc_title(true);
        viewer.pair(Name(b"PrintScaling"), Name(b"None"));
        viewer.pair(Name(b"Duplex"), Name(b"Simplex"));
        viewer.pair(Name(b"PickTrayByPDFSize"), true);
        viewer.finish();
    }
    pdf.pages(tree).kids((0..pages.len()).map(page)).count(i32::try_from(pages.len()).unwrap_or(i32::MAX));
    for (id, name) in [(plain, "Helvetica"), (bold, "Helvetica-Bold")] {
        pdf.type1_font(id).base_font(Name(name.as_bytes())).encoding_predefined(Name(b"WinAnsiEncoding"));
    }
    for (k, drawn) in pages.iter().enumerate() {
        let (width, height) = drawn.size;
        let mut page = pdf.page(page(k));
        page.parent(tree).contents(content(k));
        page.media_box(Rect::new(0.0, 0.0, width as f32, height as f32));
        page.resources().fonts().pair(Name(b"F1"), plain).pair(Name(b"F2"), bold);
        page.finish();
        let packed = miniz_oxide::deflate::compress_to_vec_zlib(&drawn.content, 6);
        pdf.stream(content(k), &packed).filter(Filter::FlateDecode);
    }
    let Day { year, month, day } = about.day;
    pdf.document_info(info)
        .title(TextStr(about.title))
        .subject(TextStr(about.subject))
        .creator(TextStr("Ribline"))
        .creation_date(Date::new(year).month(month.clamp(1, 12)).day(day.clamp(1, 31)));
    Ok(pdf.finish())
}
