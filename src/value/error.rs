//! What is wrong with a text that should be a value, where, and what to write.

use std::ops::Range;

use miette::{Diagnostic, LabeledSpan, SourceCode};

use super::dimension::Dimension;

/// A text that is not a value of the kind expected. Renders with the characters
/// underlined and advice where it is shown as a [`Diagnostic`].
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}", .0.problem.says(.0.expected))]
pub struct ValueError(Box<Detail>);

#[derive(Debug, Clone, PartialEq, Eq)]
struct Detail {
    input: String,
    span: Range<usize>,
    expected: Dimension,
    problem: Problem,
    help: String,
}

/// What is wrong. Texts are as typed, shortened where they are long.
#[derive(Debug, Clone, PartialEq, Eq)]
#[non_exhaustive]
pub enum Problem {
    /// No text, or only spaces.
    Empty,
    /// More bytes than any value has.
    TooLong {
        /// The length in bytes.
        bytes: usize,
    },
    /// Something other than a number stands where the number should.
    NotANumber {
        /// The text in question.
        found: String,
    },
    /// NaN or infinity.
    NotFinite {
        /// The text in question.
        found: String,
    },
    /// A fraction over zero, or a mixed number whose fraction is one or more.
    Fraction {
        /// The text in question.
        found: String,
    },
    /// A text with two honest readings.
    TwoWay {
        /// The text in question.
        found: String,
        /// One reading, written so that it reads one way.
        first: String,
        /// The other reading.
        second: String,
    },
    /// More than one value.
    Several {
        /// What follows the first value.
        found: String,
    },
    /// Zero where a size is expected.
    Zero,
    /// Below zero where a size is expected.
    Negative,
    /// Outside the dimension's range.
    OutOfRange {
        /// The value as typed.
        found: String,
    },
    /// No known unit.
    UnknownUnit {
        /// The text in question.
        found: String,
        /// The nearest accepted form of the whole value.
        nearest: Option<String>,
    },
    /// A unit of another dimension.
    WrongUnit {
        /// The unit as typed.
        found: String,
        /// What that unit measures.
        measures: Dimension,
    },
    /// AC volts where DC volts are expected.
    AlternatingVolts {
        /// The unit as typed.
        found: String,
    },
    /// DC volts where AC volts are expected.
    DirectVolts {
        /// The unit as typed.
        found: String,
    },
    /// A tolerance that can't be read.
    Tolerance {
        /// The text in question.
        found: String,
    },
    /// One side of a tolerance, such as `+50 %`.
    OneSided {
        /// The text in question.
        found: String,
    },
    /// A tolerance of 100 % and more below, or over 1000 % above.
    TooWide {
        /// The text in question.
        found: String,
    },
}

/// Longest text kept in an error.
const KEPT: usize = 100;

impl ValueError {
    pub(super) fn new(
        input: &str,
        span: Range<usize>,
        expected: Dimension,
        problem: Problem,
    ) -> Self {
        let help = problem.help(expected);
        let input = printable(input);
        let span = span.start.min(input.len())..span.end.min(input.len());
        Self(Box::new(Detail { input, span, expected, problem, help }))
    }

    /// The text that was read, control characters replaced byte for byte; its
    /// opening where it is very long.
    #[must_use]
    pub fn input(&self) -> &str {
        &self.0.input
    }

    /// The bytes in question, a range in the text that was read.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.0.span.clone()
    }

    /// What kind of value was expected.
    #[must_use]
    pub fn expected(&self) -> Dimension {
        self.0.expected
    }

    /// What is wrong.
    #[must_use]
    pub fn problem(&self) -> &Problem {
        &self.0.problem
    }

    /// What to write instead.
    #[must_use]
    pub fn advice(&self) -> &str {
        &self.0.help
    }
}

impl Diagnostic for ValueError {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        Some(Box::new(self.advice()))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        (!self.0.input.is_empty()).then_some(&self.0.input as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        if self.0.input.is_empty() {
            return None;
        }
        let label = LabeledSpan::new_with_span(Some("here".to_owned()), self.span());
        Some(Box::new(std::iter::once(label)))
    }
}

impl Problem {
    fn says(&self, expected: Dimension) -> String {
        let wanted = expected.with_article();
        match self {
            Self::Empty => format!("found nothing where {wanted} was expected"),
            Self::TooLong { bytes } => format!("found {bytes} bytes where {wanted} was expected"),
            Self::NotANumber { found } => {
                format!("found `{}` where {wanted} was expected", short(found))
            }
            Self::NotFinite { found } => {
                format!("found `{}` where {wanted} was expected: not a finite number", short(found))
            }
            Self::Fraction { found } => {
                format!("found `{}`, which is not a proper fraction", short(found))
            }
            Self::TwoWay { found, first, second } => {
                format!("`{}` may be `{}` or `{}`", short(found), short(first), short(second))
            }
            Self::Several { found } => {
                format!("expected one value, {wanted}, and found `{}` after it", short(found))
            }
            Self::Zero => format!("found zero where {wanted} was expected"),
            Self::Negative => format!("found a negative number where {wanted} was expected"),
            Self::OutOfRange { found } => {
                format!("`{}` is not within {}", short(found), expected.range_in_words())
            }
            Self::UnknownUnit { found, .. } => {
                format!("`{}` is not a unit of {}", short(found), expected.name())
            }
            Self::WrongUnit { found, measures } => format!(
                "`{}` is a unit of {}, and {wanted} was expected",
                short(found),
                measures.name()
            ),
            Self::AlternatingVolts { found } => {
                format!("`{}` is AC volts, and DC volts were expected", short(found))
            }
            Self::DirectVolts { found } => {
                format!("`{}` is DC volts, and AC volts were expected", short(found))
            }
            Self::Tolerance { found } => {
                format!("found `{}` where a tolerance was expected", short(found))
            }
            Self::OneSided { found } => {
                format!("`{}` gives one side of a tolerance", short(found))
            }
            Self::TooWide { found } => {
                format!("`{}` reaches -100 %, or over +1000 %", short(found))
            }
        }
    }

    fn help(&self, expected: Dimension) -> String {
        let example = expected.example();
        match self {
            Self::TwoWay { first, second, .. } => {
                format!("write `{}` or `{}`", short(first), short(second))
            }
            Self::Several { .. } if expected == Dimension::Voltage => {
                "give the working volts alone, such as `450 V`; working/surge volts such as \
                 `450/525` and lists of sections belong in a stamping"
                    .to_owned()
            }
            Self::Several { .. } if expected == Dimension::Capacitance => {
                "give one section, such as `40 µF`; several sections belong in a stamping"
                    .to_owned()
            }
            Self::Zero => {
                format!("leave it out where there is none, or write one such as `{example}`")
            }
            Self::Negative => "give the size without a sign; a minus is not part of it".to_owned(),
            Self::OutOfRange { .. } => "check the number and the unit: an extra zero, or a unit \
                                        such as m for µ?"
                .to_owned(),
            Self::UnknownUnit { nearest: Some(nearest), .. } => {
                format!("did you mean `{}`?", short(nearest))
            }
            Self::AlternatingVolts { .. } => {
                "a part rated in AC volts (motor-run, mains) is not a \
                                              DC filter capacitor; give DC volts, such as `450 V`"
                    .to_owned()
            }
            Self::DirectVolts { .. } => "give AC volts rms, such as `14 V` or `14 VAC`".to_owned(),
            Self::Tolerance { .. } => {
                "write it such as `±20 %`, `-10/+50 %`, or as a letter of IEC 60062 such as `M`"
                    .to_owned()
            }
            Self::OneSided { .. } => {
                "give both sides, such as `-10/+50 %`; write `±20 %` where they are equal, and \
                 `-0` or `+0` where a side is none"
                    .to_owned()
            }
            _ => format!("write it such as `{example}`"),
        }
    }
}

/// The first characters of a text, for a sentence.
fn short(text: &str) -> String {
    const LONGEST: usize = 32;
    let mut shown: String = text.trim().chars().take(LONGEST).map(visible).collect();
    if text.trim().chars().count() > LONGEST {
        shown.push('…');
    }
    shown
}

fn visible(c: char) -> char {
    if c.is_control() { '?' } else { c }
}

/// The text without control characters, byte for byte as long, cut where long.
fn printable(text: &str) -> String {
    let mut end = text.len().min(KEPT);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let mut shown = String::with_capacity(end);
    for c in text.get(..end).unwrap_or_default().chars() {
        if c.is_control() {
            (0..c.len_utf8()).for_each(|_| shown.push('?'));
        } else {
            shown.push(c);
        }
    }
    shown
}
