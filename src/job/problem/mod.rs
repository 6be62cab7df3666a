//! What is wrong with a job file, where, and what to write instead.

use std::{fmt, ops::Range, sync::Arc};

use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};

use super::Refused;
use crate::{rectifiers::UnknownRectifier, value::ValueError};

mod excerpt;
mod reading;
mod rectifier;
mod table;
mod tree;

pub use reading::ReadingProblem;
pub use rectifier::RectifierProblem;
pub use table::{Expected, TableProblem};
pub use tree::TreeProblem;

/// Most problems that are kept of one file; the rest are counted.
pub const MOST_PROBLEMS: usize = 100;

/// Everything that is wrong with a job file, in the order of the file.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{}", count(self.file.name(), self.errors.len(), self.more))]
pub struct JobErrors {
    file: Arc<NamedSource<String>>,
    errors: Vec<JobError>,
    more: usize,
}

/// One thing that is wrong with a job file.
#[derive(Debug, Clone, thiserror::Error)]
#[error("{problem}")]
pub struct JobError {
    problem: Box<Problem>,
    place: Place,
    /// The file, or a window of a line that is too long.
    file: Arc<NamedSource<String>>,
    /// The place in it.
    drawn: Place,
}

/// What is wrong, by what it is about.
#[derive(Debug, Clone, thiserror::Error, Diagnostic)]
#[non_exhaustive]
pub enum Problem {
    /// The text, its tables and keys, or the type of a value.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Table(#[from] TableProblem),
    /// A value that can't be read.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Value(#[from] ValueError),
    /// A stamping that can't be read.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Stamping(#[from] Refused),
    /// A rectifier type that is not in the table.
    #[error(transparent)]
    #[diagnostic(transparent)]
    UnknownRectifier(#[from] UnknownRectifier),
    /// How the rectifier is described or connected.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Rectifier(#[from] RectifierProblem),
    /// Cans, sections, nodes and how they feed each other.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Tree(#[from] TreeProblem),
    /// The line and what was read on the chassis.
    #[error(transparent)]
    #[diagnostic(transparent)]
    Reading(#[from] ReadingProblem),
}

/// The characters that a problem is about: byte ranges of the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Place {
    span: Range<usize>,
    /// What stands against it, with a label of its own.
    other: Option<(Range<usize>, &'static str)>,
}

impl From<Range<usize>> for Place {
    fn from(span: Range<usize>) -> Self {
        Self { span, other: None }
    }
}

impl Place {
    /// `span`, and `other` that it disagrees with.
    pub(super) fn against(span: Range<usize>, other: Range<usize>, label: &'static str) -> Self {
        Self { span, other: Some((other, label)) }
    }
}

impl JobErrors {
    /// The problems, in the order of the file; never empty.
    #[must_use]
    pub fn errors(&self) -> &[JobError] {
        &self.errors
    }

    /// How many more there are than [`JobErrors::errors`] keeps.
    #[must_use]
    pub fn more(&self) -> usize {
        self.more
    }

    /// The problems found in `text`, in the order of the file.
    pub(super) fn new(name: &str, text: &str, found: Vec<(Place, Problem)>) -> Self {
        let file = Arc::new(NamedSource::new(name, printable(text)));
        let mut found: Vec<(Place, Problem)> = found
            .into_iter()
            .map(|(place, problem)| (Place { span: visible(text, place.span), ..place }, problem))
            .collect();
        found.sort_by_key(|(place, _)| place.span.start);
        let more = found.len().saturating_sub(MOST_PROBLEMS);
        found.truncate(MOST_PROBLEMS);
        let error = |(place, problem): (Place, Problem)| {
            let (file, drawn) = match excerpt::excerpt(file.inner(), &place) {
                Some((shown, drawn)) => (Arc::new(NamedSource::new(name, shown)), drawn),
                None => (Arc::clone(&file), place.clone()),
            };
            JobError { place, problem: Box::new(problem), file, drawn }
        };
        let errors = found.into_iter().map(error).collect();
        Self { file, errors, more }
    }
}

impl JobError {
    /// What is wrong.
    #[must_use]
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// The characters in question: byte range of the file.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.place.span.clone()
    }

    /// What to do instead.
    #[must_use]
    pub fn advice(&self) -> Option<String> {
        self.problem.help().map(|help| help.to_string())
    }
}

impl Diagnostic for JobErrors {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new("mend the file; nothing was worked out from it"))
    }

    fn related<'a>(&'a self) -> Option<Box<dyn Iterator<Item = &'a dyn Diagnostic> + 'a>> {
        Some(Box::new(self.errors.iter().map(|error| error as &dyn Diagnostic)))
    }
}

impl Diagnostic for JobError {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        self.problem.help()
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let here = LabeledSpan::new_primary_with_span(Some("here".into()), self.drawn.span.clone());
        let other = self.drawn.other.clone();
        let other = other.map(|(span, label)| LabeledSpan::new_with_span(Some(label.into()), span));
        Some(Box::new(std::iter::once(here).chain(other)))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&*self.file)
    }
}

fn count(name: &str, kept: usize, more: usize) -> String {
    match kept + more {
        1 => format!("{name} has one error"),
        all if more == 0 => format!("{name} has {all} errors"),
        all => format!("{name} has {all} errors; the first {kept} follow"),
    }
}

/// A span that draws something: an empty one takes the character behind it, at
/// the end of the text the last one, since an empty one there draws no caret.
fn visible(text: &str, span: Range<usize>) -> Range<usize> {
    let start = floor(text, span.start);
    let end = floor(text, span.end.max(start));
    if start < end {
        return start..end;
    }
    let drawn = |&(_, c): &(usize, char)| !matches!(c, '\n' | '\r');
    let (before, after) = text.split_at_checked(start).unwrap_or((text, ""));
    let next = after.char_indices().next().filter(drawn);
    let last = || before.char_indices().rev().find(drawn);
    let later = || after.char_indices().find(drawn).map(|(at, c)| (at + start, c));
    let found = next.map(|(at, c)| (at + start, c)).or_else(last).or_else(later);
    found.map_or(0..0, |(at, c)| at..at + c.len_utf8())
}

fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// The text without characters that move a terminal's cursor or turn its writing
/// direction, byte for byte as long.
fn printable(text: &str) -> String {
    let mut shown = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match c {
            '\n' | '\t' => shown.push(c),
            '\r' if chars.peek() == Some(&'\n') => shown.push(' '),
            _ if is_hidden(c) => (0..c.len_utf8()).for_each(|_| shown.push('?')),
            _ => shown.push(c),
        }
    }
    shown
}

/// Whether a character must not reach a terminal.
pub(super) fn is_hidden(c: char) -> bool {
    c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The first characters of a text, for a sentence.
pub(super) fn short(text: &str) -> String {
    const LONGEST: usize = 40;
    let text = text.trim();
    let mut shown: String =
        text.chars().take(LONGEST).map(|c| if is_hidden(c) { '?' } else { c }).collect();
    if text.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}

/// Names for a sentence: `B1`, `B1 or B2`, `B1, B2 or B3`.
pub(super) fn either<S: AsRef<str>>(names: &[S]) -> String {
    const MOST: usize = 12;
    let quoted: Vec<String> =
        names.iter().take(MOST).map(|n| format!("`{}`", short(n.as_ref()))).collect();
    match quoted.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        _ => quoted.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, span: Range<usize>, expected: Range<usize>) {
        assert_eq!(visible(text, span), expected, "{text:?}");
    }

    #[test]
    fn draws_what_is_empty() {
        check("a = \"", 5..5, 4..5);
        check("a = µ\n", 4..4, 4..6);
        check("a = µ\n", 6..6, 4..6);
        check("a = µ", 5..9, 4..6);
        check("", 0..0, 0..0);
        check("\n\n", 1..1, 0..0);
        check("\r\r!", 0..0, 2..3);
    }

    #[test]
    fn shows_no_character_that_moves_the_cursor() {
        assert_eq!(printable("a\u{1b}[31m\u{85}\u{202e}b\n"), "a?[31m?????b\n");
        assert_eq!(printable("a\r\nb\rc"), "a \nb?c");
        assert_eq!(short("\u{1b}[2J"), "?[2J");
    }

    #[test]
    fn lists_names() {
        assert_eq!(either(&["B1"]), "`B1`");
        assert_eq!(either(&["B1", "B2", "B3"]), "`B1`, `B2` or `B3`");
    }
}
