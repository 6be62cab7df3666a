//! Reads what is stamped on a can, as technicians type it.
//!
//! # What is read
//!
//! ```
//! use recan::{quantity::*, stamping::{Answers, read}};
//!
//! // Each text, and its sections as mark, microfarads, volts.
//! let forms = [
//!     ("40-20 MFD 450 WVDC", "40/450 20/450"),
//!     ("16 + 16 uF 450/525", "16/450 16/450"),          // working and surge volts
//!     ("40-20 MFD 450-25 V", "40/450 20/25"),           // volts by position
//!     ("40 MFD 450 V; 20 MFD 25 V", "40/450 20/25"),
//!     ("40/20 uF 350V + 25uF 25V", "40/350 20/350 25/25"),
//!     ("40 450 20 450 20 25", "40/450 20/450 20/25"),   // no units
//!     ("3 x 20 @ 475", "20/475 20/475 20/475"),
//!     ("2 x 50 µF 350/385 V–", "50/350 50/350"),
//!     ("40 40 20 MFD 450 V", "40/450 40/450 20/450"),   // the unit covers all before it
//!     ("50 + 2x25 µF 350 V", "50/350 25/350 25/350"),
//!     ("200+100+50 µF 350 V", "200/350 100/350 50/350"),
//!     ("12,5 + 12,5 µF 350 V", "12.5/350 12.5/350"),    // decimal commas
//!     ("450 WVDC\n40-20 MFD", "40/450 20/450"),        // volts first
//!     ("◗ 40 450  □ 20 450  — 20 25", "half-round 40/450 square 20/450 plain 20/25"),
//!     ("C 40 450\n[] 20 450\n/\\ 20 25", "half-round 40/450 square 20/450 triangle 20/25"),
//!     ("80 uF 150 V half moon\n40 uF 25 V", "half-round 80/150 40/25"),
//!     ("RED 20 MFD 150V\nBLACK COMMON NEG", "red 20/150"),
//!     ("16-24 mfd 450v, red dot = 16", "red 16/450 24/450"),
//!     ("TEMP. 85 C\n60 MFD 350 V -10 +50%\n235-5912", "60/350"),
//! ];
//! for (text, expected) in forms {
//!     let reading = read(text, &Answers::default())?;
//!     let section = |s: &recan::can::Section| {
//!         let mark = s.mark.map_or_else(String::new, |m| format!("{m} "));
//!         format!("{mark}{}/{}", in_microfarads(s.capacitance), in_volts(s.rated))
//!     };
//!     let sections: Vec<String> = reading.can.sections().iter().map(section).collect();
//!     assert_eq!(sections.join(" "), expected, "{text}");
//! }
//! # Ok::<(), recan::stamping::StampingError>(())
//! ```
//!
//! # Grammar
//!
//! ```text
//! stamping  = stretch { ( newline | ";" | "," ) stretch }
//! stretch   = { section | marks | surge | naming | wiring | noise }
//! section   = [ mark ] values [ "@" ] [ volts ] [ surge ] [ mark ]   ; either order of values and volts
//! values    = list [ capacitance-unit ] | count "x" figure [ unit ] | unit list
//! volts     = list [ volt-words ] | volt-words list
//! surge     = figure [ volt-words ] surge-word | surge-word figure   ; SURGE, PEAK, SV, PV, WKG/PEAK
//! list      = figure { sign figure }                ; one sign: - / + , & x, spaced or not
//! figure    = digits [ ( "." | "," | "µ" ) digits ] ; O, l, I beside digits; _ ? * # worn digits
//! mark      = word | symbol | colour | letter       ; half-round C D ) ◗, square [] □, triangle /\ ^ △, plain - —
//! naming    = colour [ "dot" ] [ "=" ] figure       ; names a section given elsewhere
//! wiring    = words of NEG, POS, COMMON, CAN, SEPARATE, INSULATED, LEADS and colours
//! noise     = dates, temperatures, tolerances, ripple, sizes, codes, patent and catalogue lines
//! ```
//!
//! Figures before a capacitance unit are values, whatever sign or space parts them.
//! One voltage covers every value before it that has none; several go by
//! position, and a count that fits neither is an error. A unit before its figures
//! heads them up to the next unit or the end of the line. Two rising voltages
//! (1.05 to 1.25 times) beside values joined by another sign are working and
//! surge volts. A surge figure below the working volts never lowers them: it is asked
//! about where the two fit swapped, else refused. A hyphen joins, parts or marks; it is never a minus sign. Where
//! marks stand before values, one section without a mark is asked about; where
//! they stand behind, it stays unnamed, with a notice, and so does a section whose
//! symbol is no mark that is known. What is no value is kept
//! in [`Reading::ignored`].
//!
//! Where two readings are honest, the question is listed with the can of each.
//! The one that is safe to go on with is taken and stated in
//! [`Reading::assumed`]; where none is, [`StampingError::Undecided`] carries the
//! question. [`Answers`] chooses.
//!
//! # Limits
//!
//! - 0.05 to 10,000 µF, 4 to 630 V, and no more than 110 J in a section.
//! - At most 8 sections, 6 questions, 4,096 characters and 64 lines.
//! - Bare figures are taken for volts from 150 up, where no unit covers them.
//! - Ranges, picofarads, three-digit codes, AC ratings and kilovolts are refused, and
//!   so are parts without polarity and cans that are said to be positive.
//! - Test voltages are skipped: they are no rating.
//! - Words are known in English, and the commonest in German and French.

mod act;
mod bare;
mod count;
mod counts;
mod cover;
mod date;
mod doubt;
mod excerpt;
mod figures;
mod finish;
mod group;
mod heat;
mod list;
mod mangled;
mod marks;
mod naming;
mod noise;
mod number;
mod phrase;
mod piece;
mod plausible;
mod polarity;
mod reader;
mod role;
mod rows;
mod strange;
mod stretch;
mod style;
mod token;
mod units;
mod ways;
mod wiring;
mod words;

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

/// Longest text that is read, in characters. No can has a tenth of it.
pub const MOST_CHARACTERS: usize = 4096;
/// Most lines that are read.
pub const MOST_LINES: usize = 64;

/// Answers to the questions of a stamping in their order, each the number of a
/// reading counted from 1; fewer answers than questions, or none, will do.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Answers(pub Vec<usize>);

/// Why a stamping gave no reading.
#[derive(Debug, Clone, PartialEq, thiserror::Error, miette::Diagnostic)]
pub enum StampingError {
    /// The text can't be accepted.
    #[error("{message}")]
    Refused {
        /// What was found and what was expected.
        message: String,
        /// The characters at fault, in `input`.
        #[label("here")]
        span: miette::SourceSpan,
        /// The characters at fault: byte range in the text as given.
        place: Range<usize>,
        /// What to do.
        #[help]
        help: String,
        /// The stamping as given, or the part around the fault where it is long.
        #[source_code]
        input: String,
        /// What else can't be accepted, each as a refusal of its own.
        #[related]
        more: Box<[Self]>,
    },
    /// A question is open that has no safe reading.
    #[error("{}", first_question(questions))]
    Undecided {
        /// All questions met, the open one last.
        questions: Vec<Question>,
        /// The readings of the open question, numbered.
        #[help]
        help: String,
        /// The characters in question, in `input`.
        #[label("in question")]
        span: miette::SourceSpan,
        /// The characters in question: byte range in the text as given.
        place: Range<usize>,
        /// The stamping as given, or the part around the question where it is long.
        #[source_code]
        input: String,
    },
}

impl StampingError {
    /// The characters at fault or in question: byte range in the text as given.
    #[must_use]
    pub fn place(&self) -> Range<usize> {
        match self {
            Self::Refused { place, .. } | Self::Undecided { place, .. } => place.clone(),
        }
    }

    /// The same with the places of what else can't be accepted, in the order of the
    /// text.
    #[must_use]
    pub fn places(&self) -> Vec<Range<usize>> {
        let more = match self {
            Self::Refused { more, .. } => &**more,
            Self::Undecided { .. } => &[],
        };
        std::iter::once(self).chain(more).map(Self::place).collect()
    }
}

fn first_question(questions: &[Question]) -> &str {
    questions.last().map_or("the stamping has more than one reading", |q| &q.asks)
}

/// Reads a stamping.
///
/// `\n` parts lines, as a character or as the two characters `\` and `n`.
/// Values are in microfarads (0.05 to 10,000 µF), volts in volts (4 to 630 V).
///
/// # Errors
/// [`StampingError::Refused`] where the text can't be accepted, with the
/// characters at fault; [`StampingError::Undecided`] where it has several
/// honest readings, none of them safe, and `answers` chooses none.
///
/// ```
/// use recan::{quantity::in_microfarads, stamping::{Answers, read}};
/// let reading = read("40-20 MFD 450 WVDC\nCOMMON NEG", &Answers::default())?;
/// assert_eq!(in_microfarads(reading.can.sections()[1].capacitance), 20.0);
/// # Ok::<(), recan::stamping::StampingError>(())
/// ```
pub fn read(text: &str, answers: &Answers) -> Result<Reading, StampingError> {
    ways::read(text, answers)
}
