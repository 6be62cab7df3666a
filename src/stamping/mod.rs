//! Reads what is stamped on a can.

mod act;
mod bare;
mod count;
mod counts;
mod date;
mod doubt;
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
mod reader;
mod role;
mod stretch;
mod style;
mod token;
mod units;
mod wiring;
mod words;

use std::ops::Range;

use self::{
    doubt::{Doubt, Doubts, Refusal, Stop},
    piece::Piece,
    reader::Reader,
};
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
        /// The characters at fault.
        #[label("here")]
        span: miette::SourceSpan,
        /// What to do.
        #[help]
        help: String,
        /// The stamping as given.
        #[source_code]
        input: String,
    },
    /// A question is open that has no safe reading.
    #[error("{}", first_question(questions))]
    #[diagnostic(help("answer with the number of a reading, or look at the can again"))]
    Undecided {
        /// All questions met, the open one last.
        questions: Vec<Question>,
        /// The characters in question.
        #[label("in question")]
        span: miette::SourceSpan,
        /// The stamping as given.
        #[source_code]
        input: String,
    },
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
    let choices = choices(answers).map_err(|r| refused(text, r))?;
    let pieces = prepare(text).map_err(|r| refused(text, r))?;
    let first = way(text, &pieces, choices.clone());
    let questions = questions(text, &pieces, &first);
    match first.outcome {
        Ok(gathered) => reading(text, gathered, questions, &choices).map_err(|r| refused(text, r)),
        Err(Stop::Refused(refusal)) => Err(refused(text, refusal)),
        Err(Stop::Open) => {
            let span = questions.last().map_or(0..0, |q| q.span.clone());
            Err(StampingError::Undecided { questions, span: span.into(), input: text.to_owned() })
        }
    }
}

/// Pieces of a text, and what was skipped.
struct Prepared {
    pieces: Vec<Piece>,
    ignored: Vec<Ignored>,
    count: Option<count::Count>,
}

/// One way through a text: the questions met and what came out.
struct Way {
    choices: Vec<usize>,
    met: Vec<Doubt>,
    outcome: Result<Gathered, Stop>,
}

/// What a way gave.
struct Gathered {
    can: Can,
    notices: Vec<Notice>,
    ignored: Vec<Ignored>,
}

/// Answers counted from 0.
fn choices(answers: &Answers) -> Result<Vec<usize>, Refusal> {
    let from_one = |n: &usize| {
        n.checked_sub(1).ok_or_else(|| Refusal {
            message: "reading 0 asked for: readings are counted from 1".to_owned(),
            span: 0..0,
            help: "answer with the number of a reading".to_owned(),
        })
    };
    answers.0.iter().map(from_one).collect()
}

fn prepare(text: &str) -> Result<Prepared, Refusal> {
    limits(text)?;
    let tokens = token::tokens(text);
    mangled::check(text, &tokens)?;
    let labels = noise::has_letter_labels(&tokens);
    let count = count::count(&tokens);
    let kept = noise::scrub(text, tokens);
    Ok(Prepared { pieces: piece::pieces(text, &kept.tokens, labels), ignored: kept.ignored, count })
}

fn limits(text: &str) -> Result<(), Refusal> {
    let refuse = |message: String, help: &str| {
        let span = finish::last_character(text);
        Err(Refusal { message, span, help: help.to_owned() })
    };
    if text.trim().is_empty() {
        return refuse(
            "the stamping is empty".to_owned(),
            "type what the can says, such as 40-20 MFD 450 WVDC",
        );
    }
    // Bytes first: counting the characters of a huge text would take its time.
    if text.len() > 4 * MOST_CHARACTERS || text.chars().count() > MOST_CHARACTERS {
        return refuse(
            format!(
                "the stamping is longer than {MOST_CHARACTERS} characters, expected the few lines of one can"
            ),
            "type only what stands on the can",
        );
    }
    let lines = text.matches('\n').count() + text.matches("\\n").count() + 1;
    if lines > MOST_LINES {
        return refuse(
            format!("{lines} lines, expected at most {MOST_LINES}"),
            "type only what stands on the can",
        );
    }
    Ok(())
}

fn way(text: &str, prepared: &Prepared, choices: Vec<usize>) -> Way {
    let mut doubts = Doubts::new(choices.clone());
    let outcome = gather(text, prepared, &mut doubts);
    Way { choices, met: doubts.met, outcome }
}

fn gather(text: &str, prepared: &Prepared, doubts: &mut Doubts) -> Result<Gathered, Stop> {
    let mut reader = Reader::read(text, &prepared.pieces, doubts)?;
    if let Some(count) = &prepared.count {
        count::compare(&mut reader, count)?;
    }
    let mut ignored = prepared.ignored.clone();
    ignored.append(&mut reader.ignored);
    reader.ignored.clone_from(&ignored);
    ignored.sort_by_key(|i| i.span.start);
    let can = finish::can(&mut reader)?;
    Ok(Gathered { can, notices: reader.notices, ignored })
}

/// The questions met on `way`, each with the can of every reading.
fn questions(text: &str, prepared: &Prepared, way: &Way) -> Vec<Question> {
    let taken = |i: usize, doubt: &Doubt| way.choices.get(i).copied().or(doubt.safe).unwrap_or(0);
    let path: Vec<usize> = way.met.iter().enumerate().map(|(i, d)| taken(i, d)).collect();
    let question = |(i, doubt): (usize, &Doubt)| {
        let reading = |(j, says): (usize, &String)| {
            let mut choices = path.get(..i).unwrap_or_default().to_vec();
            choices.push(j);
            let can = self::way(text, prepared, choices).outcome.ok().map(|g| g.can);
            Alternative { says: says.clone(), can }
        };
        Question {
            asks: doubt.asks.clone(),
            readings: doubt.says.iter().enumerate().map(reading).collect(),
            safe: doubt.safe,
            span: doubt.span.clone(),
        }
    };
    way.met.iter().enumerate().map(question).collect()
}

fn reading(
    text: &str,
    gathered: Gathered,
    questions: Vec<Question>,
    choices: &[usize],
) -> Result<Reading, Refusal> {
    if choices.len() > questions.len() {
        return Err(Refusal {
            message: format!(
                "{} answers, but the stamping raises {} questions",
                choices.len(),
                questions.len()
            ),
            span: finish::last_character(text),
            help: "leave out the answers that no question asks for".to_owned(),
        });
    }
    let assume = |q: &Question| {
        let says = q.safe.and_then(|s| q.readings.get(s)).map_or("", |r| &r.says);
        Assumption { says: format!("assumed: {says}"), section: None }
    };
    let assumed = questions.iter().skip(choices.len()).map(assume).collect();
    Ok(Reading {
        can: gathered.can,
        questions,
        assumed,
        ignored: gathered.ignored,
        notices: gathered.notices,
    })
}

fn refused(text: &str, refusal: Refusal) -> StampingError {
    StampingError::Refused {
        message: refusal.message,
        span: refusal.span.into(),
        help: refusal.help,
        input: text.to_owned(),
    }
}
