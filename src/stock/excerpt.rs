//! Some lines of a stock list as they stand, to be kept and read again.

use super::{column, decode, record::Record};

/// Lines of a stock list, word for word.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Excerpt {
    /// The header line.
    pub header: String,
    /// The lines with their number in the list, from 1, in the list's order.
    pub lines: Vec<(u64, String)>,
}

impl Excerpt {
    /// The lines of a list's bytes that begin on the numbers in `wanted`; an
    /// empty excerpt where the bytes are no stock list.
    #[must_use]
    pub fn of(bytes: &[u8], wanted: &[u64]) -> Self {
        let decoded = decode(bytes);
        let text: &str = &decoded.text;
        let Ok((layout, _, mut records)) = column::header(&"".into(), text, &mut Vec::new()) else {
            return Self::default();
        };
        let cut = |span: std::ops::Range<usize>| text.get(span).unwrap_or_default().to_owned();
        let mut excerpt = Self { header: cut(layout.span.clone()), lines: Vec::new() };
        let mut record = Record::default();
        while records.next_into(&mut record) {
            if wanted.contains(&record.line) {
                excerpt.lines.push((record.line, cut(record.span.clone())));
            }
        }
        excerpt
    }

    /// A list of these lines alone. Read again, it gives the same parts in the
    /// same order, under other line numbers.
    #[must_use]
    pub fn text(&self) -> String {
        let mut text = String::new();
        for line in std::iter::once(&self.header).chain(self.lines.iter().map(|(_, text)| text)) {
            text.push_str(line);
            text.push('\n');
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stock::read;

    /// The parts on `wanted` read the same from the excerpt.
    #[track_caller]
    fn check(bytes: &[u8], wanted: &[u64], names: &[&str]) {
        let whole = read("list", bytes).unwrap();
        let again = read("list", Excerpt::of(bytes, wanted).text().as_bytes()).unwrap();
        let kept: Vec<_> = whole.parts.iter().filter(|p| wanted.contains(&p.line)).collect();
        assert_eq!(again.parts.len(), kept.len());
        for (part, kept) in again.parts.iter().zip(kept) {
            assert_eq!(crate::part::Part { line: kept.line, ..part.clone() }, *kept);
        }
        assert_eq!(again.parts.iter().map(|p| p.name.as_str()).collect::<Vec<_>>(), names);
    }

    #[test]
    fn lines_read_the_same_again() {
        let plain = b"# mine\npart,style,sections\nA,radial,47 uF 450 V\n\nB,radial,22 uF 450 V\nC,radial,1 uF 5 V\n";
        check(plain, &[3, 5], &["A", "B"]);
        check(plain, &[6], &["C"]);
        let quoted = b"part;style;sections;note\r\nA;can;\"40 uF 450 V; 20 uF 25 V\";\"two\r\nlines\"\r\nB;radial;4,7 uF 450 V;\r\n";
        check(quoted, &[2, 4], &["A", "B"]);
        check(quoted, &[4], &["B"]);
        check(b"part\tstyle\tsections\rA\tradial\t47 \xB5F 450 V\r", &[2], &["A"]);
    }

    #[test]
    fn what_is_no_list_gives_nothing() {
        assert_eq!(Excerpt::of(b"", &[1]), Excerpt::default());
        assert_eq!(Excerpt::of(b"\x00\x01", &[1]), Excerpt::default());
    }
}
