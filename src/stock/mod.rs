//! Reads a stock list: a CSV file with one line for each part.
//!
//! | accepted | rule |
//! | --- | --- |
//! | separator | comma, semicolon or tab, whichever the header line uses |
//! | decimal sign | point; also the comma where commas don't separate fields |
//! | line ends | LF, CR LF, a lone CR; each counts as one line |
//! | quotes | `"…"` may hold separators and line breaks; `""` inside is one quote |
//! | encoding | UTF-8, with or without a byte order mark; UTF-16 with one; else Windows-1252, with a notice |
//! | columns | in any order; case, spaces, hyphens and underscores don't count |
//! | blank lines, lines that begin with `#` | passed over |
//! | fields missing at the end of a line | blank, with a notice; an error on a last line without a line end |
//! | fields too many | an error unless they are blank |
//! | one part name on several lines | all are kept, with a notice |
//!
//! [`read`] gives every good line as a [`Part`], and for every bad one what is
//! wrong with each of its fields.

use std::{
    collections::{HashMap, hash_map::Entry},
    ops::Range,
    sync::Arc,
};

use crate::part::Part;

mod column;
mod decode;
mod error;
mod excerpt;
mod line;
mod number;
mod problem;
mod record;
mod sections;
mod summary;
mod tolerance;

pub use column::Column;
pub use decode::{Decoded, Encoding, decode};
pub use error::StockError;
pub use excerpt::Excerpt;
pub use problem::{Problem, Reason};
pub use summary::{Extent, Summary};

use line::LineReader;
use record::Record;

/// A stock list as read.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// The list's name as given to [`read`].
    pub list: Arc<str>,
    /// The good lines in the list's order.
    pub parts: Vec<Part>,
    /// What is wrong or doubtful, by line.
    pub problems: Vec<Problem>,
    /// Lines that hold a part, good or bad; header, blanks and comments not counted.
    pub lines: usize,
    /// Lines among them that are bad.
    pub bad: usize,
}

/// Reads a stock list from a file's bytes; `list` names it in messages.
///
/// Time and memory grow with the length of the list and with nothing else.
///
/// # Errors
/// The file is empty or no text, or its header line lacks a required column
/// or names a column twice. Bad lines are no error: they are in
/// [`Stock::problems`].
///
/// ```
/// let stock = recan::stock::read("mine.csv", b"part,style,sections\nA,radial,47 uF 450 V\nB,radial,0 uF 450 V\n")?;
/// assert_eq!(stock.parts.len(), 1);
/// assert_eq!(
///     stock.problems[0].to_string(),
///     "mine.csv line 3, column sections: found `0`, expected more than 0 and at most 1000000 µF",
/// );
/// # Ok::<(), recan::stock::StockError>(())
/// ```
pub fn read(list: &str, bytes: &[u8]) -> Result<Stock, StockError> {
    let list: Arc<str> = list.into();
    let decoded = decode(bytes);
    let text: &str = &decoded.text;
    let mut problems = Vec::new();
    let (layout, separator, mut records) = column::header(&list, text, &mut problems)?;
    problems.extend(encoding_notice(&list, &decoded));
    let reader = LineReader { list: list.clone(), layout, decimal_comma: separator != b',' };
    let (mut parts, mut names) = (Vec::new(), Vec::new());
    let (mut lines, mut bad) = (0, 0);
    let mut record = Record::default();
    while records.next_into(&mut record) {
        lines += 1;
        match reader.read(&record, &mut problems) {
            Some(part) => {
                parts.push(part);
                names.push(reader.span(&record, Column::Part));
            }
            None => bad += 1,
        }
    }
    problems.extend(same_names(&list, &parts, &names));
    if lines == 0 {
        let (line, span) = (reader.layout.line, reader.layout.span.clone());
        problems.push(Problem::at(&list, line, None, span, Reason::NoParts));
    }
    problems.sort_by_key(|p| p.line);
    Ok(Stock { list, parts, problems, lines, bad })
}

/// The built-in stock list, as CSV. Every part in it is invented and generic.
#[must_use]
pub fn builtin() -> &'static str {
    include_str!("../../data/stock.csv")
}

impl Stock {
    /// What the list holds, in figures.
    #[must_use]
    pub fn summary(&self) -> Summary {
        Summary::of(self)
    }
}

/// A notice for each part whose name an earlier line has; `names` are the
/// places of the parts' names in the text.
fn same_names(list: &Arc<str>, parts: &[Part], names: &[Range<usize>]) -> Vec<Problem> {
    let mut first_lines: HashMap<&str, u64> = HashMap::with_capacity(parts.len());
    let mut found = Vec::new();
    for (part, span) in parts.iter().zip(names) {
        match first_lines.entry(&part.name) {
            Entry::Vacant(place) => {
                place.insert(part.line);
            }
            Entry::Occupied(place) => {
                let (name, first_line) = (problem::excerpt(&part.name), *place.get());
                let reason = Reason::SameName { name, first_line };
                found.push(Problem::at(list, part.line, Some(Column::Part), span.clone(), reason));
            }
        }
    }
    found
}

fn encoding_notice(list: &Arc<str>, decoded: &Decoded) -> Option<Problem> {
    let (span, reason) = match &decoded.encoding {
        Encoding::Utf8 => return None,
        Encoding::Utf16 => (0..0, Reason::Utf16),
        Encoding::Windows1252 { count, first } => {
            let shown = problem::excerpt(decoded.text.get(first.clone()).unwrap_or_default());
            (first.clone(), Reason::Windows1252 { count: *count, first: shown })
        }
    };
    let before = decoded.text.get(..span.start).unwrap_or_default();
    Some(Problem::at(list, line_of(before), None, span, reason))
}

/// The line, from 1, on which the text after `before` begins.
fn line_of(before: &str) -> u64 {
    let bytes = before.as_bytes();
    let breaks = bytes.iter().enumerate().filter(|&(i, &b)| match b {
        b'\n' => true,
        b'\r' => bytes.get(i + 1) != Some(&b'\n'),
        _ => false,
    });
    breaks.map(|_| 1).sum::<u64>() + 1
}

#[cfg(test)]
mod tests;
