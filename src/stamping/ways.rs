//! Goes through a text once for the answer, and once more for every reading of
//! every question, so that each can be shown with its can.

use super::{
    Alternative, Answers, Assumption, Ignored, MOST_CHARACTERS, MOST_LINES, Notice, Question,
    Reading, StampingError, count,
    doubt::{Doubt, Doubts, Refusal, Stop},
    excerpt::{Excerpt, excerpt},
    finish,
    group::counted,
    mangled, noise,
    piece::{self, Piece},
    polarity,
    reader::Reader,
    strange, token,
};
use crate::can::Can;

/// Reads `text`; see [`super::read`].
pub(super) fn read(text: &str, answers: &Answers) -> Result<Reading, StampingError> {
    let choices = choices(answers).map_err(|r| refused(text, r))?;
    let prepared = prepare(text).map_err(|r| refused(text, r))?;
    let first = way(text, &prepared, choices.clone());
    let questions = questions(text, &prepared, &first);
    match first.outcome {
        Ok(gathered) => reading(text, gathered, questions, &choices).map_err(|r| refused(text, r)),
        Err(Stop::Refused(refusal)) => Err(refused(text, refusal)),
        Err(Stop::Several { first, more }) => Err(refused_all(text, first, more)),
        Err(Stop::Open) => {
            let span = questions.last().map_or(0..0, |q| q.span.clone());
            let help = questions.last().map_or_else(String::new, numbered);
            let Excerpt { input, span: within } = excerpt(text, span.clone());
            Err(StampingError::Undecided {
                questions,
                help,
                span: within.into(),
                place: span,
                input,
            })
        }
    }
}

/// The readings of a question with their numbers, a line each.
fn numbered(question: &Question) -> String {
    let reading = |(i, r): (usize, &Alternative)| format!("\n{:>3}  {}", i + 1, r.says);
    let readings: String = question.readings.iter().enumerate().map(reading).collect();
    format!("look at the can again, or answer with the number of a reading:{readings}")
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
    /// Where the value of each section stands.
    spans: Vec<std::ops::Range<usize>>,
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
    let mut tokens = token::tokens(text);
    mangled::check(text, &tokens)?;
    for i in strange::strange(text, &tokens) {
        if let Some(token) = tokens.get_mut(i) {
            token.kind = token::Kind::Strange;
        }
    }
    polarity::check(text, &tokens)?;
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
    let spans = reader.parts.all.iter().map(|p| p.span.clone()).collect();
    Ok(Gathered { can, spans, notices: reader.notices, ignored })
}

/// The questions met on `way`, each with the can of every reading.
fn questions(text: &str, prepared: &Prepared, taken_way: &Way) -> Vec<Question> {
    let taken =
        |i: usize, doubt: &Doubt| taken_way.choices.get(i).copied().or(doubt.safe).unwrap_or(0);
    let path: Vec<usize> = taken_way.met.iter().enumerate().map(|(i, d)| taken(i, d)).collect();
    let question = |(i, doubt): (usize, &Doubt)| {
        let reading = |(j, says): (usize, &String)| {
            let mut choices = path.get(..i).unwrap_or_default().to_vec();
            choices.push(j);
            let can = way(text, prepared, choices).outcome.ok().map(|g| g.can);
            Alternative { says: says.clone(), can }
        };
        Question {
            asks: doubt.asks.clone(),
            readings: doubt.says.iter().enumerate().map(reading).collect(),
            safe: doubt.safe,
            span: doubt.span.clone(),
        }
    };
    taken_way.met.iter().enumerate().map(question).collect()
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
                "{}, but the stamping raises {}",
                counted(choices.len(), "answer", "answers"),
                counted(questions.len(), "question", "questions")
            ),
            span: finish::last_character(text),
            help: "leave out the answers that no question asks for".to_owned(),
        });
    }
    let assume = |q: &Question| {
        let says = q.safe.and_then(|s| q.readings.get(s)).map_or("", |r| &r.says);
        let section = gathered.spans.iter().position(|s| *s == q.span);
        Assumption { says: says.to_owned(), section }
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
    refused_all(text, refusal, Vec::new())
}

fn refused_all(text: &str, refusal: Refusal, more: Vec<Refusal>) -> StampingError {
    let Excerpt { input, span } = excerpt(text, refusal.span.clone());
    StampingError::Refused {
        message: refusal.message,
        span: span.into(),
        place: refusal.span,
        help: refusal.help,
        input,
        more: more.into_iter().map(|refusal| refused(text, refusal)).collect(),
    }
}
