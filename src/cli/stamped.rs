//! From arguments to a stamping that was read, asking where that is possible.

use std::io::Read;

use miette::Diagnostic;
use recan::{
    answer::Stamped,
    diagnose::cold,
    facts::{Facts, Typed},
    quantity::Tolerance,
    record::{again::supply_of, job_file::same_stamping},
    rules::supply::{NoSupply, SupplyCase},
    stamping::{self, Answers, StampingError},
};
use thiserror::Error;

use super::{
    Failure,
    arguments::StampingArguments,
    ask,
    job::{Job, JobArguments, JobError, Told},
};

/// Most bytes read from stdin; no can says so much.
const MOST_BYTES: u64 = 1 << 20;

/// A stamping that was read, and where it came from.
pub(crate) struct Given {
    pub(crate) stamped: Stamped,
    /// What the job file tells.
    told: Option<Told>,
    pub(crate) job: Option<Job>,
}

impl Given {
    /// What is known: the flags, and what they leave open from the job file.
    pub(crate) fn facts(&self, typed: &Typed) -> Result<Facts, Failure> {
        let typed = typed.read(&self.stamped.reading.can)?;
        Ok(match self.told.as_ref().and_then(Told::facts) {
            Some(told) => typed.over(told),
            None => typed,
        })
    }

    /// What the job file tells, where there is one.
    pub(crate) fn told(&self) -> Option<&Told> {
        self.told.as_ref()
    }

    /// What the job's cold readings say of lugs that are low, a line each.
    pub(crate) fn shorts(&self) -> String {
        let Some(told) = &self.told else { return String::new() };
        let Some(readings) = &told.job.measured else { return String::new() };
        let found = cold::readings(&told.job, readings);
        found.iter().filter(|of| of.is_low()).map(|of| of.says() + "\n").collect()
    }

    /// Tolerance of the can, where the job tells it.
    pub(crate) fn tolerance(&self) -> Option<Tolerance> {
        let told = self.told.as_ref()?;
        told.job.cans.get(told.can)?.tolerance
    }

    /// The supply that the can stands in; `None` where there is no job file, and
    /// within it why there is none to judge by. What was typed goes before the file.
    /// Facts that are all told and can't be so are an error.
    pub(crate) fn supply(
        &self,
        typed: &Typed,
        restuffed: bool,
    ) -> Result<Option<Result<SupplyCase, NoSupply>>, Failure> {
        let Some(told) = &self.told else { return Ok(None) };
        let supply = supply_of(&told.job, told.can, typed, restuffed).map_err(Failure::input)?;
        if let Err(NoSupply::Unsolved(error)) = supply {
            return Err(Failure::input(told.unsolved(typed, error)));
        }
        Ok(Some(supply))
    }
}

/// Reads the stamping that the arguments give.
pub(crate) fn stamped(arguments: &StampingArguments) -> Result<Stamped, Failure> {
    let text = typed(&arguments.stamping)?.ok_or_else(|| Failure::input(InputError::Nothing))?;
    answered(text, arguments)
}

/// Reads the stamping typed, or else the one of the job.
pub(crate) fn given(
    arguments: &StampingArguments,
    job_arguments: &JobArguments,
) -> Result<Given, Failure> {
    let typed = typed(&arguments.stamping)?;
    let job = Job::find(job_arguments, typed.is_some())?;
    let text = match (typed, &job) {
        (None, None) => return Err(Failure::input(InputError::Nothing)),
        (Some(text), None) => text,
        (typed, Some(job)) => of_job(typed, job, job_arguments.can.as_deref())?,
    };
    let stamped = answered(text, arguments)?;
    let told = match &job {
        Some(job) => job.told(job_arguments.can.as_deref(), &stamped.reading)?,
        None => None,
    };
    Ok(Given { stamped, told, job })
}

/// The stamping of the job, which what was typed must not contradict.
fn of_job(typed: Option<String>, job: &Job, can: Option<&str>) -> Result<String, Failure> {
    match (typed, job.stamping(can)?) {
        (None, Some(written)) => Ok(written.to_owned()),
        (None, None) => Err(job.missing()),
        (Some(typed), None) => Ok(typed),
        (Some(typed), Some(written)) if same_stamping(&typed, written) => Ok(typed),
        (Some(_), Some(_)) => {
            Err(Failure::input(JobError::OtherStamping { file: job.file.clone() }))
        }
    }
}

/// The reading of `text`, questions put where a person is there to answer.
fn answered(text: String, arguments: &StampingArguments) -> Result<Stamped, Failure> {
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

fn typed(arguments: &[String]) -> Result<Option<String>, Failure> {
    match arguments {
        [] => Ok(None),
        [one] if one == "-" => stdin().map(Some),
        lines => Ok(Some(lines.join("\n"))),
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
