//! Reads what is stamped on a can.

use std::ops::Range;

use crate::can::Can;

/// A stamping that was understood, with everything the user must be told.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The can as read, or as assumed where a question was left open.
    pub can: Can,
    /// Questions that the text leaves open; shown even where an assumption was made.
    pub questions: Vec<Question>,
    /// What was assumed in place of an answer, repeated on every result and record.
    pub assumed: Vec<Assumption>,
    /// Text that gave no value (dates, temperatures, catalogue lines).
    pub ignored: Vec<Ignored>,
    /// Remarks on how a word was read (`MF` is microfarad, letter O taken as zero).
    pub notices: Vec<Notice>,
}

/// A text with two or more honest readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The question in one sentence, ending in a question mark.
    pub asks: String,
    /// The honest readings, at least two, in the order `--reading N` counts.
    pub readings: Vec<Alternative>,
    /// The reading taken where nobody answers (index in `readings`), if one is safe.
    pub safe: Option<usize>,
    /// The characters in question: byte range in the text as given.
    pub span: Range<usize>,
}

/// One honest reading of a text in question.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// The reading in words.
    pub says: String,
    /// The can under this reading; `None` where figures are still missing.
    pub can: Option<Can>,
}

/// Something taken as true without being told.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// What is assumed, one sentence.
    pub says: String,
    /// The section it is about (index), or `None` for the whole can.
    pub section: Option<usize>,
}

/// Text that was skipped.
#[derive(Debug, Clone, PartialEq)]
pub struct Ignored {
    /// The text skipped, as typed.
    pub text: String,
    /// Byte range in the text as given.
    pub span: Range<usize>,
    /// Why it is not a value.
    pub why: String,
}

/// A remark on how something was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// One sentence.
    pub says: String,
    /// The section it is about (index), or `None` for the whole can.
    pub section: Option<usize>,
}

/// STUB until the reader is merged.
#[derive(Debug, Clone, Default)]
pub struct Answers(pub Vec<usize>);
/// STUB.
#[derive(Debug, thiserror::Error, miette::Diagnostic)]
#[error("stub")]
pub struct StampingError;
impl StampingError {
    /// STUB.
    pub fn questions(&self) -> &[Question] {
        &[]
    }
}
/// STUB: `40 450; 20 25`.
pub fn read(text: &str, _: &Answers) -> Result<Reading, StampingError> {
    use crate::{
        can::Section,
        quantity::{microfarads, volts},
    };
    let section = |s: &str| {
        let mut w = s.split_whitespace();
        let mut n = || w.next()?.parse::<f64>().ok();
        Some(Section {
            mark: None,
            capacitance: microfarads(n()?),
            rated: volts(n()?),
            surge: None,
        })
    };
    let sections: Option<Vec<Section>> = text.split(';').map(section).collect();
    let can = Can::new(sections.ok_or(StampingError)?).map_err(|_| StampingError)?;
    Ok(Reading { can, questions: vec![], assumed: vec![], ignored: vec![], notices: vec![] })
}
