//! What is wrong or doubtful on one line of a stock list.

use std::{fmt, ops::Range, sync::Arc};

use super::{Column, record::Record};

/// One thing to say about one line.
///
/// As a [`miette::Diagnostic`] it carries its place but not the text: attach
/// the text of [`decode`](super::decode) as source code to have it underlined.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// The list's name as given.
    pub list: Arc<str>,
    /// Line on which the record begins, from 1.
    pub line: u64,
    /// Line on which it ends: larger where a quoted field holds line breaks.
    pub last_line: u64,
    /// The column, where it is about one.
    pub column: Option<Column>,
    /// Byte range in the decoded text; never empty in a text that isn't.
    pub span: Range<usize>,
    /// What is wrong.
    pub reason: Reason,
}

/// What is wrong, with the figures behind it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Reason {
    /// A quote is opened and never closed.
    #[error("found a quote that is never closed")]
    UnclosedQuote,
    /// Text between a closing quote and the separator.
    #[error("found text after a closing quote, expected the separator")]
    TextAfterQuote,
    /// More fields than the header has columns.
    #[error("found {found} fields, expected at most {expected}")]
    TooManyFields {
        /// Fields on the line.
        found: usize,
        /// Columns in the header.
        expected: usize,
    },
    /// The last line stops short and has no line end.
    #[error("found {found} of {expected} fields and no line end: the file may be cut off here")]
    CutOff {
        /// Fields on the line.
        found: usize,
        /// Columns in the header.
        expected: usize,
    },
    /// A required field holds nothing.
    #[error("found nothing, expected {0}")]
    Blank(&'static str),
    /// A character that belongs in no text.
    #[error("found the control character U+{:04X}", u32::from(*.0))]
    ControlCharacter(char),
    /// A character that part names can't have.
    #[error("found `{0}` in a part name")]
    NameCharacter(char),
    /// A name of absurd length.
    #[error("found a name of {found} characters, expected at most {most}")]
    LongName {
        /// Characters in the name.
        found: usize,
        /// Most that are taken.
        most: usize,
    },
    /// No such style.
    #[error("found `{found}`, expected can, axial, radial, snap-in or film")]
    UnknownStyle {
        /// The field, shortened where long.
        found: String,
        /// A style that may be meant.
        nearest: Option<&'static str>,
    },
    /// Not a number at all.
    #[error("found `{found}`, expected a number")]
    NotANumber {
        /// The field, shortened where long.
        found: String,
    },
    /// A number, but not a possible one.
    #[error("found `{found}`, expected {expected}")]
    OutOfRange {
        /// The field, shortened where long.
        found: String,
        /// The range in words.
        expected: String,
    },
    /// Not a tolerance.
    #[error("found `{found}`, expected a tolerance")]
    NotATolerance {
        /// The field, shortened where long.
        found: String,
    },
    /// Not the capacitance and volts of sections.
    #[error("found `{found}`, expected capacitance and volts of each section")]
    NotSections {
        /// The field, shortened where long.
        found: String,
    },
    /// More sections than a body can have.
    #[error("found {found} sections, expected at most {}", crate::can::MOST_SECTIONS)]
    TooManySections {
        /// Sections in the field.
        found: usize,
    },
    /// Capacitance at that voltage beyond anything made.
    #[error("found {microfarads} µF at {volts} V, which no part has")]
    Absurd {
        /// Capacitance in microfarads.
        microfarads: f64,
        /// Rated volts.
        volts: f64,
    },
    /// Ripple currents and sections differ in number.
    #[error("expected one figure for each of {sections} sections, found {found}")]
    RippleCount {
        /// Figures in the field.
        found: usize,
        /// Sections of the part.
        sections: usize,
    },
    /// Surge volts under the rated volts.
    #[error("found {surge} V surge, expected no less than the {rated} V rated")]
    SurgeBelowRated {
        /// Surge volts.
        surge: f64,
        /// The highest rated volts of the sections.
        rated: f64,
    },

    /// Notice: fewer fields than columns.
    #[error("found {found} of {expected} fields; the rest is taken as blank")]
    ShortRecord {
        /// Fields on the line.
        found: usize,
        /// Columns in the header.
        expected: usize,
    },
    /// Notice: a column that is not read.
    #[error("column `{found}` is not known and is not read")]
    UnknownColumn {
        /// Its name, shortened where long.
        found: String,
        /// A column that may be meant.
        nearest: Option<&'static str>,
    },
    /// Notice: a column without a name.
    #[error("column {place} has no name and is not read")]
    NamelessColumn {
        /// Its place, from 1.
        place: usize,
    },
    /// Notice: a part name that another line has too.
    #[error("part `{name}` is on line {first_line} already; both are kept")]
    SameName {
        /// The name.
        name: String,
        /// The first line with it.
        first_line: u64,
    },
    /// Notice: bytes that were not UTF-8.
    #[error(
        "bytes that are not UTF-8 ({count}) were read as Windows-1252; the first gives `{first}`"
    )]
    Windows1252 {
        /// How many bytes.
        count: usize,
        /// The first of them as read.
        first: String,
    },
    /// Notice: the file is UTF-16.
    #[error("the file is UTF-16 and was read as such")]
    Utf16,
    /// Notice: a header and nothing else.
    #[error("the list has a header and no parts")]
    NoParts,
}

impl Reason {
    /// Whether it makes its line bad; else it is a notice, and the line serves.
    #[must_use]
    pub fn is_bad(&self) -> bool {
        !matches!(
            self,
            Self::ShortRecord { .. }
                | Self::UnknownColumn { .. }
                | Self::NamelessColumn { .. }
                | Self::SameName { .. }
                | Self::Windows1252 { .. }
                | Self::Utf16
                | Self::NoParts
        )
    }

    fn help(&self, column: Option<Column>) -> Option<String> {
        let help = match self {
            Self::UnclosedQuote => {
                "close the quote, or write it twice where it belongs to the text"
            }
            Self::TextAfterQuote => "write a quote inside a quoted field twice",
            Self::TooManyFields { .. } => "put quotes round a field that holds the separator",
            Self::CutOff { .. } => "write the line whole, or end it with a line break",
            Self::Blank(_) => "`part`, `style` and `sections` can't be blank",
            Self::ControlCharacter(_) => "delete the character",
            Self::NameCharacter(_) => "name the part without `:`, `=` and `+`",
            Self::LongName { .. } => "shorten the name and put the rest in the note",
            Self::UnknownStyle { nearest, .. } => return nearest.map(|n| format!("write `{n}`")),
            Self::NotANumber { found } if found.contains(',') => "write a decimal point: `0.17`",
            Self::NotANumber { .. } | Self::OutOfRange { .. } => {
                return column.map(|c| match c {
                    Column::Sections => "write the sections as `40 µF 475 V; 20 µF 475 V`".into(),
                    Column::Quantity => "leave `quantity` blank where there are plenty".into(),
                    _ => format!("write the bare number, or leave `{}` blank", c.name()),
                });
            }
            Self::NotATolerance { .. } => "write `±20 %`, `-10/+50 %` or leave it blank",
            Self::NotSections { .. } | Self::Absurd { .. } => {
                "write the sections as `40 µF 475 V; 20 µF 475 V`"
            }
            Self::TooManySections { .. } => "write one line for each body",
            Self::RippleCount { .. } => "write one figure a section with `;` between, or none",
            Self::SurgeBelowRated { .. } => "leave `surge_v` blank where the maker prints none",
            Self::ShortRecord { .. } => "write every separator, also before blank fields",
            Self::UnknownColumn { nearest, .. } => {
                return nearest.map(|n| format!("a column `{n}` is known"));
            }
            Self::NamelessColumn { .. } => "give the column a name, or take it out",
            Self::SameName { .. } => "give each line a name of its own, so that it can be chosen",
            Self::Windows1252 { .. } | Self::Utf16 => "save the list as UTF-8",
            Self::NoParts => "write one line for each part",
        };
        Some(help.to_owned())
    }
}

impl Problem {
    /// On the lines of `record`.
    pub(super) fn new(
        list: &Arc<str>,
        record: &Record,
        column: Option<Column>,
        span: Range<usize>,
        reason: Reason,
    ) -> Self {
        Self { last_line: record.last_line, ..Self::at(list, record.line, column, span, reason) }
    }

    /// On one line.
    pub(super) fn at(
        list: &Arc<str>,
        line: u64,
        column: Option<Column>,
        span: Range<usize>,
        reason: Reason,
    ) -> Self {
        // An empty range draws no caret, so a blank field points at the
        // character before it.
        let span =
            if span.is_empty() { span.start.saturating_sub(1)..span.start.max(1) } else { span };
        Self { list: list.clone(), line, last_line: line, column, span, reason }
    }

    /// Whether it makes its line bad; else it is a notice, and the line serves.
    #[must_use]
    pub fn is_bad(&self) -> bool {
        self.reason.is_bad()
    }

    /// What to do about it, where there is something to say.
    #[must_use]
    pub fn help(&self) -> Option<String> {
        self.reason.help(self.column)
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} line", self.list)?;
        if self.last_line > self.line {
            write!(f, "s {} to {}", self.line, self.last_line)?;
        } else {
            write!(f, " {}", self.line)?;
        }
        if let Some(column) = self.column {
            write!(f, ", column {}", column.name())?;
        }
        write!(f, ": {}", self.reason)
    }
}

impl std::error::Error for Problem {}

impl miette::Diagnostic for Problem {
    fn severity(&self) -> Option<miette::Severity> {
        Some(if self.is_bad() { miette::Severity::Error } else { miette::Severity::Warning })
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Self::help(self).map(|h| Box::new(h) as Box<dyn fmt::Display>)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = miette::LabeledSpan> + '_>> {
        let label = miette::LabeledSpan::underline(self.span.clone());
        Some(Box::new(std::iter::once(label)))
    }
}

/// A field as shown in a message: its first 40 characters, on one line.
pub(super) fn excerpt(text: &str) -> String {
    const MOST: usize = 40;
    let mut shown: String =
        text.chars().take(MOST).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(MOST).is_some() {
        shown.push('…');
    }
    shown
}
