//! Turns a file's bytes into text: UTF-8 first, with the encodings that
//! spreadsheets still write taken as a second chance.

use std::{borrow::Cow, ops::Range};

/// The text of a file and how it was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Decoded<'b> {
    /// The text without its byte order mark.
    pub text: Cow<'b, str>,
    /// How the bytes were read.
    pub encoding: Encoding,
}

/// How bytes were read as text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Encoding {
    /// All of it was UTF-8.
    Utf8,
    /// UTF-8 but for `count` bytes, which were read as Windows-1252. `first` is
    /// the first such character in the text.
    Windows1252 {
        /// Bytes that were not UTF-8, one or more.
        count: usize,
        /// Byte range of the first of them in the decoded text.
        first: Range<usize>,
    },
    /// UTF-16 by its byte order mark.
    Utf16,
}

/// Reads bytes as text; never fails, for a byte that is not UTF-8 is read as
/// Windows-1252, where it most often is the `µ` or `±` of a spreadsheet's export.
///
/// ```
/// let decoded = recan::stock::decode(b"\x34\x30 \xB5F");
/// assert_eq!(decoded.text, "40 µF");
/// ```
#[must_use]
pub fn decode(bytes: &[u8]) -> Decoded<'_> {
    if let Some(text) = utf16(bytes) {
        return Decoded { text: Cow::Owned(text), encoding: Encoding::Utf16 };
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => Decoded { text: Cow::Borrowed(text), encoding: Encoding::Utf8 },
        Err(_) => mixed(bytes),
    }
}

/// Only the bytes that can't be UTF-8 are replaced, so a file pasted together
/// from two encodings comes out right as well.
fn mixed(bytes: &[u8]) -> Decoded<'_> {
    let mut text = String::with_capacity(bytes.len() + bytes.len() / 16);
    let (mut count, mut first) = (0, None);
    for chunk in bytes.utf8_chunks() {
        text.push_str(chunk.valid());
        for &byte in chunk.invalid() {
            let start = text.len();
            text.push(windows_1252(byte));
            count += 1;
            first.get_or_insert(start..text.len());
        }
    }
    let encoding = match first {
        Some(first) => Encoding::Windows1252 { count, first },
        None => Encoding::Utf8,
    };
    Decoded { text: Cow::Owned(text), encoding }
}

/// The five bytes that Windows-1252 leaves empty become control characters,
/// which the line reader refuses by name.
fn windows_1252(byte: u8) -> char {
    const HIGH: [char; 32] = [
        '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8D}', 'Ž',
        '\u{8F}', '\u{90}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{9D}',
        'ž', 'Ÿ',
    ];
    match byte {
        0x80..=0x9F => HIGH[usize::from(byte - 0x80)],
        _ => char::from(byte),
    }
}

fn utf16(bytes: &[u8]) -> Option<String> {
    let (rest, join): (_, fn([u8; 2]) -> u16) = match bytes {
        [0xFF, 0xFE, rest @ ..] => (rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => (rest, u16::from_be_bytes),
        _ => return None,
    };
    let (pairs, _) = rest.as_chunks::<2>();
    let units = pairs.iter().map(|&pair| join(pair));
    Some(char::decode_utf16(units).map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(bytes: &[u8], text: &str) {
        assert_eq!(decode(bytes).text, text);
    }

    #[test]
    fn reads_utf_8_and_drops_its_mark() {
        check("40 µF ±20 %".as_bytes(), "40 µF ±20 %");
        check("\u{FEFF}part".as_bytes(), "part");
        check(b"", "");
    }

    #[test]
    fn reads_windows_1252_where_utf_8_fails() {
        check(b"40 \xB5F \xB120 % \x80", "40 µF ±20 % €");
        // One line in each encoding.
        check(b"40 \xC2\xB5F\n20 \xB5F", "40 µF\n20 µF");
        assert_eq!(
            decode(b"40 \xB5F \xB1").encoding,
            Encoding::Windows1252 { count: 2, first: 3..5 }
        );
    }

    #[test]
    fn reads_utf_16_by_its_mark() {
        check(b"\xFF\xFEp\0\xB5\0", "pµ");
        check(b"\xFE\xFF\0p\0\xB5", "pµ");
        check(b"\xFF\xFEp\0\xB5", "p");
    }
}
