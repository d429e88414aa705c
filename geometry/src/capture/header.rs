//! How large a picture is, from the first bytes of its file: before the browser is asked to unpack it, which for a huge one would
//! take all the memory there is.

/// Width and height in pixels as the head of a PNG, JPEG, WebP, GIF or BMP file says. `None` where it says nothing that is
/// understood here; the browser may still know the file.
///
/// Sources: ISO/IEC 15948 (PNG), 11.2.2; ITU-T T.81 (JPEG), B.2.2; RFC 9649 (WebP); GIF89a, 18.
pub fn picture_size(head: &[u8]) -> Option<(u32, u32)> {
    let big = |at: usize| head.get(at..at + 4).map(|b| u32::from_be_bytes([b[0], b[1], b[2], b[3]]));
    let little = |at: usize, bytes: usize| {
        head.get(at..at + bytes).map(|b| b.iter().rev().fold(0u32, |sum, b| sum << 8 | u32::from(*b)))
    };
    match head {
        [0x89, b'P', b'N', b'G', ..] => Some((big(16)?, big(20)?)),
        [0xFF, 0xD8, ..] => jpeg_size(head),
        [b'G', b'I', b'F', b'8', ..] => Some((little(6, 2)?, little(8, 2)?)),
        [b'B', b'M', ..] => Some((little(18, 4)?, (little(22, 4)? as i32).unsigned_abs())),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => match head.get(12..16)? {
            b"VP8X" => Some((little(24, 3)? + 1, little(27, 3)? + 1)),
            b"VP8L" => {
                let bits = little(21, 4)?;
                Some(((bits & 0x3FFF) + 1, (bits >> 14 & 0x3FFF) + 1))
            }
            b"VP8 " => Some((little(26, 2)? & 0x3FFF, little(28, 2)? & 0x3FFF)),
            _ => None,
        },
        _ => None,
    }
}

fn jpeg_size(head: &[u8]) -> Option<(u32, u32)> {
    let mut at = 2;
    loop {
        // Markers may be preceded by any number of filling bytes.
        while *head.get(at)? == 0xFF && *head.get(at + 1)? == 0xFF {
            at += 1;
        }
        if *head.get(at)? != 0xFF {
            return None;
        }
        let marker = *head.get(at + 1)?;
        let word = |at: usize| Some(u32::from(*head.get(at)?) << 8 | u32::from(*head.get(at + 1)?));
        match marker {
            // Frames of every kind, but not the tables that lie among their numbers.
            0xC0..=0xCF if !matches!(marker, 0xC4 | 0xC8 | 0xCC) => {
                return Some((word(at + 7)?, word(at + 5)?));
            }
            0x01 | 0xD0..=0xD8 => at += 2,
            0xD9 | 0xDA => return None,
            _ => at += 2 + (word(at + 2)?.max(2)) as usize,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_size_stands_in_the_head_of_every_kind() {
        let png = [
            &[0x89, b'P', b'N', b'G', 13, 10, 26, 10, 0, 0, 0, 13][..],
            b"IHDR",
            &[0, 0, 0x4E, 0x20, 0, 0, 0x27, 0x10],
        ]
        .concat();
        assert_eq!(picture_size(&png), Some((20_000, 10_000)));
        let jpeg = [
            0xFF, 0xD8, 0xFF, 0xE0, 0, 4, 1, 2, 0xFF, 0xC4, 0, 3, 9, 0xFF, 0xFF, 0xC2, 0, 11, 8, 0x0B, 0xB8,
            0x0F, 0xA0,
        ];
        assert_eq!(picture_size(&jpeg), Some((4000, 3000)));
        assert_eq!(picture_size(b"GIF89a\x40\x01\xC8\x00"), Some((320, 200)));
        let webp = [&b"RIFF....WEBPVP8X........"[..], &[0x7F, 2, 0, 0xDF, 1, 0]].concat();
        assert_eq!(picture_size(&webp), Some((640, 480)));
        for broken in [&png[..18], &jpeg[..15], b"", b"BM", b"II*\0", &[0xFF, 0xD8, 0xFF, 0xD9]] {
            assert_eq!(picture_size(broken), None);
        }
    }

    proptest! {
        #[test]
        fn no_bytes_upset_it(mut bytes in prop::collection::vec(any::<u8>(), 0..80), kind in 0..5usize) {
            let start: &[u8] = [&[0xFF, 0xD8, 0xFF][..], b"RIFF0000WEBPVP8L", b"BM", b"\x89PNG", b"GIF8"][kind];
            bytes.splice(0..0, start.iter().copied());
            let _ = picture_size(&bytes);
        }
    }
}
