//! An interview and the job file that it is written to.

use std::path::{Path, PathBuf};

use miette::Diagnostic;
use recan::{
    folder::{self, job_file::Saved, records::MOST_JOB_BYTES},
    interview::{Interview, Refusal, Target},
    job::JobErrors,
};

use super::super::{Failure, job};

/// How often another hand may change the file while one answer is written.
const MOST_TRIES: usize = 5;

/// An interview with its file.
pub(super) struct Session {
    pub(super) interview: Interview,
    file: PathBuf,
    /// What the file holds, as far as this run knows.
    saved: Option<String>,
}

/// What became of an answer.
pub(super) enum Taken {
    /// It is in the file.
    Written,
    /// It is in the file, which another hand had changed meanwhile.
    Merged,
}

/// Why an answer is not in the file.
pub(super) enum Stopped {
    /// It can be given anew.
    Refused(Box<dyn Diagnostic>),
    /// The file can't be written.
    Failed(Failure),
}

impl From<Refusal> for Stopped {
    fn from(refusal: Refusal) -> Self {
        Self::Refused(Box::new(refusal))
    }
}

impl From<Failure> for Stopped {
    fn from(failure: Failure) -> Self {
        Self::Failed(failure)
    }
}

impl Session {
    pub(super) fn open(place: &Path, again: bool) -> Result<Self, Failure> {
        let (_, file) = job::split(place.into());
        let saved = folder::read_text(&file, MOST_JOB_BYTES).map_err(Failure::file)?;
        let name = file.display().to_string();
        let text = saved.as_deref().unwrap_or_default();
        let interview = Interview::open(&name, text, again);
        let mut interview = interview.map_err(|errors| Failure::input(*errors))?;
        // A folder of records that can't be read is no reason to ask less.
        let decided = file.parent().map(folder::decided::records);
        if decided.is_some_and(|found| found.is_ok_and(|records| !records.is_empty())) {
            interview = interview.repaired();
        }
        Ok(Self { interview, file, saved })
    }

    /// What the file is called.
    pub(super) fn name(&self) -> String {
        self.file.display().to_string()
    }

    /// Takes an answer and writes it.
    pub(super) fn answer(&mut self, target: &Target, typed: &str) -> Result<Taken, Stopped> {
        let before = self.interview.clone();
        self.interview.answer(target, typed)?;
        let mut taken = Taken::Written;
        for _ in 0..MOST_TRIES {
            match self.save()? {
                Saved::Written => return Ok(taken),
                Saved::Changed(other) => {
                    if let Err(broken) = self.reopen(other) {
                        self.interview = before;
                        return Err(Stopped::Refused(Box::new(broken)));
                    }
                }
            }
            self.interview.answer(target, typed)?;
            taken = Taken::Merged;
        }
        Err(Stopped::Failed(Failure::file(Busy { file: self.file.clone() })))
    }

    /// Writes the file, unless another hand changed it.
    pub(super) fn save(&mut self) -> Result<Saved, Failure> {
        let text = self.interview.text();
        let saved = folder::job_file::save(&self.file, self.saved.as_deref(), &text);
        let saved = saved.map_err(Failure::file)?;
        if saved == Saved::Written {
            self.saved = Some(text);
        }
        Ok(saved)
    }

    fn reopen(&mut self, other: Option<String>) -> Result<(), Broken> {
        let text = other.as_deref().unwrap_or_default();
        self.interview.reopen(text).map_err(|errors| Broken::of(&self.file, text, &errors))?;
        self.saved = other;
        Ok(())
    }
}

/// Another hand left the file such that it can't be read.
#[derive(Debug, thiserror::Error, miette::Diagnostic)]
#[error("{} was changed meanwhile and can't be read now: line {line}: {says}", file.display())]
#[diagnostic(help("mend it there, save it, and answer again; this answer was not written"))]
pub(super) struct Broken {
    file: PathBuf,
    line: usize,
    says: String,
}

impl Broken {
    fn of(file: &Path, text: &str, errors: &JobErrors) -> Self {
        let first = errors.errors().first();
        let before = first.and_then(|first| text.get(..first.span().start)).unwrap_or_default();
        let says = first.map_or_else(|| errors.to_string(), ToString::to_string);
        Self { file: file.into(), line: before.matches('\n').count() + 1, says }
    }
}

/// Another run writes faster than this one.
#[derive(Debug, thiserror::Error, miette::Diagnostic)]
#[error("{} changes faster than it can be written", file.display())]
#[diagnostic(help("is another run at work on this folder? the last answer was not written"))]
pub(super) struct Busy {
    pub(super) file: PathBuf,
}
