//! Text as the standard fonts of a PDF have it: letters in WinAnsi encoding, their widths, and lines broken to a measure.
//!
//! Sources: ISO 32000-1, annex D (WinAnsiEncoding) and 9.6.2.2 (the standard 14 fonts); widths from the published metrics of
//! Helvetica, in thousandths of the size.

/// The two fonts in which everything is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    Plain,
    Bold,
}

/// What stands at 0x80 to 0x9F; U+FFFD where nothing does.
const HIGH: [char; 32] = [
    '€', '\u{fffd}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{fffd}', 'Ž', '\u{fffd}',
    '\u{fffd}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{fffd}', 'ž', 'Ÿ',
];

/// From 0x20 on, as [`HIGH`] and Latin-1 go on.
#[rustfmt::skip]
const PLAIN: [u16; 224] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
    333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
    556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, 350,
    556, 350, 222, 556, 333, 1000, 556, 556, 333, 1000, 667, 333, 1000, 350, 611, 350,
    350, 222, 222, 333, 333, 350, 556, 1000, 333, 1000, 500, 333, 944, 350, 500, 667,
    278, 333, 556, 556, 556, 556, 260, 556, 333, 737, 370, 556, 584, 333, 737, 333,
    400, 584, 333, 333, 333, 556, 537, 278, 333, 333, 365, 556, 834, 834, 834, 611,
    667, 667, 667, 667, 667, 667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
    722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
    556, 556, 556, 556, 556, 556, 889, 500, 556, 556, 556, 556, 278, 278, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 584, 611, 556, 556, 556, 556, 500, 556, 500,
];

#[rustfmt::skip]
const BOLD: [u16; 224] = [
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278,
    556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611,
    975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778,
    667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556,
    333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611,
    611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584, 350,
    556, 350, 278, 556, 500, 1000, 556, 556, 333, 1000, 667, 333, 1000, 350, 611, 350,
    350, 278, 278, 500, 500, 350, 556, 1000, 333, 1000, 556, 333, 944, 350, 500, 667,
    278, 333, 556, 556, 556, 556, 280, 556, 333, 737, 370, 556, 584, 333, 737, 333,
    400, 584, 333, 333, 333, 611, 556, 278, 333, 333, 365, 556, 834, 834, 834, 611,
    722, 722, 722, 722, 722, 722, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,
    722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722, 722, 722, 667, 667, 611,
    556, 556, 556, 556, 556, 556, 889, 556, 556, 556, 556, 556, 278, 278, 278, 278,
    611, 611, 611, 611, 611, 611, 611, 584, 611, 611, 611, 611, 611, 556, 611, 556,
];

/// The text in WinAnsi encoding. Letters of other scripts are given by Latin ones that sound alike, pictures by their
/// names: it can be read, and the document's properties have the title as it was written.
pub fn encoded(text: &str) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(text.len());
    for c in text.chars() {
        match one(c) {
            Some(byte) => bytes.push(byte),
            None => bytes.extend(
                deunicode::deunicode_char(c).unwrap_or("?").bytes().filter(|b| (0x20..0x7f).contains(b)),
            ),
        }
    }
    bytes
}

fn one(c: char) -> Option<u8> {
    match c {
        ' '..='~' | '\u{a1}'..='\u{ff}' => u8::try_from(u32::from(c)).ok(),
        c if c.is_control() || c.is_whitespace() => Some(b' '),
        // The minus of print has no place of its own; the hyphen's is too short to be seen.
        '\u{2212}' => Some(0x96),
        '\u{fffd}' => Some(b'?'),
        c => HIGH.iter().position(|h| *h == c).and_then(|k| u8::try_from(0x80 + k).ok()),
    }
}

/// Width of encoded text at a size, in the unit of the size.
pub fn width_of(bytes: &[u8], face: Face, size: f64) -> f64 {
    let widths = match face {
        Face::Plain => &PLAIN,
        Face::Bold => &BOLD,
    };
    let sum: u32 = bytes
        .iter()
        .map(|b| u32::from(widths.get(usize::from(b.wrapping_sub(0x20))).copied().unwrap_or(0)))
        .sum();
    f64::from(sum) / 1000.0 * size
}

pub fn width(text: &str, face: Face, size: f64) -> f64 {
    width_of(&encoded(text), face, size)
}

/// Encoded lines no wider than `measure`, broken at spaces; a word wider than that is broken where it must be. What goes
/// beyond `most` lines is cut off and its last line ends in an ellipsis.
pub fn lines(text: &str, face: Face, size: f64, measure: f64, most: usize) -> Vec<Vec<u8>> {
    const ELLIPSIS: u8 = 0x85;
    let bytes = encoded(text);
    let wide = |line: &[u8]| width_of(line, face, size) > measure;
    let mut lines: Vec<Vec<u8>> = Vec::new();
    let mut line: Vec<u8> = Vec::new();
    for word in bytes.split(|b| *b == b' ').filter(|word| !word.is_empty()) {
        let longer = if line.is_empty() { word.to_vec() } else { [&line[..], b" ", word].concat() };
        if !wide(&longer) {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for byte in word {
            line.push(*byte);
            if line.len() > 1 && wide(&line) {
                line.pop();
                lines.push(std::mem::replace(&mut line, vec![*byte]));
            }
        }
        if lines.len() > most {
            break;
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            last.push(ELLIPSIS);
            while last.len() > 1 && wide(last) {
                last.remove(last.len() - 2);
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn western_letters_keep_their_place_and_others_can_be_read() {
        assert_eq!(encoded("Größe – “7”"), b"Gr\xf6\xdfe \x96 \x937\x94");
        assert_eq!(encoded("Скрипка"), b"Skripka");
        assert_eq!(encoded("\u{1F3BB}"), b"violin ");
        assert!(!encoded("\u{05DB}\u{05D9}\u{05E0}\u{05D5}\u{05E8}").is_empty());
        assert_eq!(encoded("a\n\u{0}b"), b"a  b");
    }

    #[test]
    fn lines_keep_to_their_measure_whatever_the_text() {
        let long = "word ".repeat(80) + &"unbroken".repeat(60);
        for measure in [1.0, 12.0, 60.0] {
            for line in lines(&long, Face::Bold, 4.0, measure, 5) {
                assert!(width_of(&line, Face::Bold, 4.0) <= measure || line.len() == 1);
            }
        }
        assert_eq!(lines(&long, Face::Plain, 3.0, 40.0, 3).len(), 3);
        assert!(lines("   ", Face::Plain, 3.0, 40.0, 3).is_empty());
    }
}
