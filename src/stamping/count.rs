//! How many sections the can says it has (`4 SECTION`, `DUAL`), against how many were read.

use std::ops::Range;

use super::{
    doubt::{Doubt, Stop},
    plausible,
    reader::Reader,
    token::{Kind, Token},
    wiring::say,
    words::Word,
};
use crate::can::MOST_SECTIONS;

/// A count of sections as printed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Count {
    sections: usize,
    span: Range<usize>,
}

/// The first count of sections among `tokens`.
pub(super) fn count(tokens: &[Token]) -> Option<Count> {
    let kind = |i: usize| tokens.get(i).map(|t| t.kind);
    (0..tokens.len()).find_map(|i| {
        let before_section = kind(i + 1) == Some(Kind::Word(Word::Section));
        let (sections, end) = match kind(i)? {
            Kind::Word(Word::Manifold(n)) => (usize::from(n), i),
            Kind::Word(Word::Count(n)) if before_value(tokens, i + 1) => (usize::from(n), i),
            Kind::Word(Word::Count(n)) if before_section => (usize::from(n), i + 1),
            Kind::Number(n) if before_section && n.fraction == 0 && joins_nothing(tokens, i) => {
                (plausible::count(n.value)?, i + 1)
            }
            _ => return None,
        };
        let span = tokens.get(i)?.start..tokens.get(end)?.end;
        (1..=MOST_SECTIONS).contains(&sections).then_some(Count { sections, span })
    })
}

/// `TWO 40 MFD`.
fn before_value(tokens: &[Token], i: usize) -> bool {
    let kind = |i: usize| tokens.get(i).map(|t| t.kind);
    matches!(kind(i), Some(Kind::Number(_)))
        && matches!(kind(i + 1), Some(Kind::Word(Word::Farads(_))))
}

fn joins_nothing(tokens: &[Token], i: usize) -> bool {
    let before = i.checked_sub(1).and_then(|j| tokens.get(j)).map(|t| t.kind);
    !matches!(before, Some(Kind::Sign('-' | '/' | '+') | Kind::Word(Word::Section)))
}

/// Compares the count with the sections read: one value may stand for all.
///
/// # Errors
/// An answer out of range.
pub(super) fn compare(reader: &mut Reader<'_>, count: &Count) -> Result<(), Stop> {
    let read = reader.parts.all.len();
    if read == count.sections || read == 0 {
        return Ok(());
    }
    if read > 1 {
        say(
            &mut reader.notices,
            &format!(
                "the can says {} sections, but {read} were read: look for another line",
                count.sections
            ),
        );
        return Ok(());
    }
    let value = reader.parts.all.first().map_or(0.0, |p| p.uf);
    let choice = reader.doubts().ask(Doubt {
        asks: format!("does the can have {} sections of {value} µF each, or one?", count.sections),
        says: vec![
            format!("{} sections of {value} µF each", count.sections),
            format!("one section of {value} µF"),
        ],
        safe: Some(0),
        span: count.span.clone(),
    })?;
    if choice == 0
        && let Some(part) = reader.parts.all.first().cloned()
    {
        reader.parts.all = vec![part; count.sections];
    }
    Ok(())
}
