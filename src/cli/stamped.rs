//! From arguments to a stamping that was read, asking where that is possible.

use std::io::Read;

use miette::Diagnostic;
use recan::{
    report::answer::Stamped,
    stamping::{self, Answers, StampingError},
};
use thiserror::Error;

use super::{Failure, arguments::StampingArguments, ask};

/// Most bytes read from stdin; no can says so much.
const MOST_BYTES: u64 = 1 << 20;

/// Reads the stamping that the arguments give.
pub(crate) fn stamped(arguments: &StampingArguments) -> Result<Stamped, Failure> {
    let text = text(&arguments.stamping)?;
    let mut answers = Answers(arguments.reading.clone());
    loop {
        let result = stamping::read(&text, &answers);
        let open = match &result {
            Ok(reading) => reading.questions.get(answers.0.len()),
            Err(StampingError::Undecided { questions, .. }) => questions.get(answers.0.len()),
            Err(StampingError::Refused { .. }) => None,
        };
        let asked = open.filter(|_| !arguments.no_ask && ask::is_possible());
        let Some(answer) = asked.and_then(ask::reading) else {
            let reading = result.map_err(Failure::from)?;
            return Ok(Stamped { text, reading, answers: answers.0 });
        };
        // Each answer is one more, so this ends with the questions.
        answers.0.push(answer);
    }
}

#[derive(Debug, Error, Diagnostic)]
enum InputError {
    #[error("no stamping")]
    #[diagnostic(help(
        "type what the can says, such as recan sets \"40-40-20 MFD 450 WVDC / 20 MFD 25 WVDC\""
    ))]
    Nothing,
    #[error("stdin is no text")]
    #[diagnostic(help("give UTF-8, at most {MOST_BYTES} bytes"))]
    NotText,
}

#[derive(Debug, Error, Diagnostic)]
#[error("stdin can't be read: {0}")]
struct StdinError(std::io::Error);

fn text(arguments: &[String]) -> Result<String, Failure> {
    match arguments {
        [] => Err(Failure::input(InputError::Nothing)),
        [one] if one == "-" => stdin(),
        lines => Ok(lines.join("\n")),
    }
}

fn stdin() -> Result<String, Failure> {
    let mut bytes = Vec::new();
    let read = std::io::stdin().lock().take(MOST_BYTES + 1).read_to_end(&mut bytes);
    read.map_err(|error| Failure::file(StdinError(error)))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(Failure::input(InputError::NotText));
    }
    let text = String::from_utf8(bytes).map_err(|_| Failure::input(InputError::NotText))?;
    Ok(text.trim_end_matches(['\r', '\n']).to_owned())
}
