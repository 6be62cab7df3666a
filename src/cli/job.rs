//! Which job a command is about: its folder, its file, the can in it.

use std::path::{Path, PathBuf};

use clap::Args;
use miette::Diagnostic;
use recan::{
    facts::{Facts, Typed},
    folder::{self, FolderError, records::MOST_JOB_BYTES},
    job,
    powered::PoweredError,
    record::job_file::{self, JobCan, JobText},
    rectifiers,
    stamping::Reading,
    supply::SupplyError,
};
use thiserror::Error;

use super::Failure;

/// Name of the job file in a job folder.
const JOB_FILE: &str = "job.toml";
/// Name of the stock list in a job folder.
const STOCK_FILE: &str = "stock.csv";

/// The job folder.
#[derive(Debug, Args)]
#[command(next_help_heading = "Job")]
pub(crate) struct JobArguments {
    /// Job folder or job file; the current folder where job.toml is there and
    /// no STAMPING is given
    #[arg(long, value_name = "DIR")]
    pub(crate) job: Option<PathBuf>,
    /// Which can, where the job has several
    #[arg(long, value_name = "NAME")]
    pub(crate) can: Option<String>,
}

/// A job as its file tells it, and the can that is asked about.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    pub(crate) job: job::Job,
    pub(crate) can: usize,
}

impl Told {
    pub(crate) fn facts(&self) -> Option<Facts> {
        self.job.facts(self.can)
    }

    /// Why the supply can't be worked out with the cans as stamped, in the words of
    /// the job.
    pub(crate) fn unsolved(&self, typed: &Typed, error: SupplyError) -> PoweredError {
        let mut job = self.job.clone();
        let device = typed.rectifier.as_deref().and_then(|name| rectifiers::find(name).ok());
        job.rectifier.device = device.map(job::Device::Type).or(job.rectifier.device);
        PoweredError::unsolved(&job, error)
    }
}

/// A job folder with its file, which need not be there yet.
#[derive(Debug)]
pub(crate) struct Job {
    pub(crate) folder: PathBuf,
    pub(crate) file: PathBuf,
    /// What is in the file, where it is there.
    text: Option<JobText>,
}

impl Job {
    /// The job that the arguments name; `None` where they name none and there
    /// is none here, or a stamping is typed.
    pub(crate) fn find(arguments: &JobArguments, typed: bool) -> Result<Option<Self>, Failure> {
        let here = || (!typed && folder::is_file(Path::new(JOB_FILE))).then(|| PathBuf::from("."));
        let Some(place) = arguments.job.clone().or_else(here) else {
            return match arguments.can {
                Some(_) => Err(Failure::input(JobError::CanWithoutJob)),
                None => Ok(None),
            };
        };
        let (folder, file) = split(place);
        let text = folder::read_text(&file, MOST_JOB_BYTES).map_err(Failure::file)?;
        let read = |text: String| {
            job_file::read(&file.display().to_string(), &text).map_err(Failure::input)
        };
        let text = text.map(read).transpose()?;
        Ok(Some(Self { folder, file, text }))
    }

    /// The text of the job file, where it is there.
    pub(crate) fn text(&self) -> Option<&str> {
        self.text.as_ref().map(|text| text.text.as_str())
    }

    /// Whether the job file is there.
    pub(crate) fn is_written(&self) -> bool {
        self.text.is_some()
    }

    /// The stamping in the job file of the can called `name`; `None` where the
    /// file is not there.
    pub(crate) fn stamping(&self, name: Option<&str>) -> Result<Option<&str>, Failure> {
        let Some(text) = &self.text else {
            return match name {
                Some(_) => Err(Failure::input(JobError::CanWithoutJob)),
                None => Ok(None),
            };
        };
        let found = find_can(&text.cans, name).map_err(|error| self.not_found(text, error))?;
        Ok(Some(&found.stamping))
    }

    /// Why no can was found: what is wrong with the file goes before that, since a name
    /// may be wrong. A stamping alone is no reason, its question may be answered yet.
    fn not_found(&self, text: &JobText, error: JobError) -> Failure {
        let is_of_file =
            |error: &job::JobError| !matches!(error.problem(), job::Problem::Stamping(_));
        match job::read_safely(&self.file.display().to_string(), &text.text, None) {
            Err(errors) if errors.errors().iter().any(is_of_file) => Failure::input(errors),
            _ => Failure::input(error),
        }
    }

    /// What the file has no stamping for.
    pub(crate) fn missing(&self) -> Failure {
        Failure::file(FolderError::Missing { path: self.file.clone() })
    }

    /// The stock list of the folder, where it has one.
    pub(crate) fn stock(&self) -> Option<PathBuf> {
        let file = self.folder.join(STOCK_FILE);
        folder::is_file(&file).then_some(file)
    }

    /// The whole job, each stamping read with its safe readings.
    pub(crate) fn whole(&self) -> Result<job::Job, Failure> {
        let text = self.text.as_ref().ok_or_else(|| self.missing())?;
        let file = self.file.display().to_string();
        job::read_safely(&file, &text.text, None).map_err(Failure::input)
    }

    /// Index of the can called `name`.
    pub(crate) fn can(&self, name: Option<&str>) -> Result<usize, Failure> {
        let text = self.text.as_ref().ok_or_else(|| self.missing())?;
        let found = find_can(&text.cans, name).map_err(|error| self.not_found(text, error))?;
        Ok(text.cans.iter().position(|can| std::ptr::eq(can, found)).unwrap_or(0))
    }

    /// What the job file tells, and which of its cans is called `name`, whose
    /// stamping was read as `reading`; `None` where there is no file.
    pub(crate) fn told(
        &self,
        name: Option<&str>,
        reading: &Reading,
    ) -> Result<Option<Told>, Failure> {
        let Some(text) = &self.text else { return Ok(None) };
        let own = find_can(&text.cans, name).map_err(Failure::input)?;
        let own = text.cans.iter().position(|can| std::ptr::eq(can, own)).unwrap_or(0);
        let file = self.file.display().to_string();
        let job = job::read_safely(&file, &text.text, Some((own, reading)));
        let job = job.map_err(Failure::input)?;
        Ok(Some(Told { job, can: own }))
    }
}

/// The whole job that the arguments name, or the one here; questions of its
/// stampings take their safe readings.
pub(crate) fn read_job(arguments: &JobArguments) -> Result<job::Job, Failure> {
    let here = || folder::is_file(Path::new(JOB_FILE)).then(|| PathBuf::from("."));
    let place = arguments.job.clone().or_else(here);
    let (_, file) = split(place.ok_or_else(|| Failure::input(JobError::NoJob))?);
    let text = folder::read_text(&file, MOST_JOB_BYTES).map_err(Failure::file)?;
    let missing = || Failure::file(FolderError::Missing { path: file.clone() });
    let text = text.ok_or_else(missing)?;
    job::read_safely(&file.display().to_string(), &text, None).map_err(Failure::input)
}

/// The can called `name`, or at that position from 1.
pub(crate) fn find_named(cans: &[Option<&str>], name: &str) -> Result<usize, JobError> {
    let names = called(cans);
    let found = names.iter().position(|n| n == name.trim());
    let by_place = || name.trim().parse::<usize>().ok()?.checked_sub(1);
    found
        .or_else(by_place)
        .filter(|i| *i < cans.len())
        .ok_or_else(|| JobError::NoCan { name: name.into(), names: shown(&names) })
}

/// A name that ends in `.toml` is a job file, any other a folder.
pub(super) fn split(place: PathBuf) -> (PathBuf, PathBuf) {
    let is_file =
        place.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml")) && !place.is_dir();
    if !is_file {
        let file = place.join(JOB_FILE);
        return (place, file);
    }
    let folder = place.parent().filter(|p| !p.as_os_str().is_empty());
    (folder.unwrap_or(Path::new(".")).into(), place)
}

fn find_can<'j>(cans: &'j [JobCan], name: Option<&str>) -> Result<&'j JobCan, JobError> {
    let names: Vec<Option<&str>> = cans.iter().map(|can| can.name.as_deref()).collect();
    let found = match (name, cans) {
        (None, [_]) => 0,
        (None, _) => {
            return Err(JobError::WhichCan { count: cans.len(), names: shown(&called(&names)) });
        }
        (Some(name), _) => find_named(&names, name)?,
    };
    cans.get(found).ok_or_else(|| JobError::NoCan {
        name: name.unwrap_or_default().into(),
        names: shown(&called(&names)),
    })
}

/// What people call each can: its name, else its position from 1.
fn called(cans: &[Option<&str>]) -> Vec<String> {
    let name = |(i, can): (usize, Option<&str>)| {
        can.map_or_else(|| (i + 1).to_string(), ToOwned::to_owned)
    };
    cans.iter().copied().enumerate().map(name).collect()
}

fn shown(names: &[String]) -> String {
    const MOST: usize = 12;
    let first = names.iter().take(MOST).map(|name| name.escape_debug().to_string());
    let shown = first.collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(MOST) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

#[derive(Debug, Error, Diagnostic)]
pub(crate) enum JobError {
    #[error("no job to look for the can in")]
    #[diagnostic(help("--can names a can of a job file: add --job DIR, or leave --can out"))]
    CanWithoutJob,
    #[error("the job has {count} cans, one is expected")]
    #[diagnostic(help("choose one with --can NAME: {names}"))]
    WhichCan { count: usize, names: String },
    #[error("no can is called {name}")]
    #[diagnostic(help("the cans are {names}"))]
    NoCan { name: String, names: String },
    #[error("the stamping typed differs from the one in {}", file.display())]
    #[diagnostic(help(
        "leave STAMPING out to use the job's, correct the file, or name another folder; nothing was written"
    ))]
    OtherStamping { file: PathBuf },
    #[error("no job: --job is not given and there is no job.toml here")]
    #[diagnostic(help("give --job DIR: a job folder, or a job file that ends in .toml"))]
    NoJob,
    #[error("no job folder to write to")]
    #[diagnostic(help("add --job DIR: the folder is made where it is absent"))]
    NoFolder,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cans(names: &[Option<&str>]) -> Vec<JobCan> {
        let can = |(i, name): (usize, Option<&str>)| JobCan {
            name: name.map(Into::into),
            stamping: format!("can {}", i + 1),
        };
        names.iter().copied().enumerate().map(can).collect()
    }

    #[track_caller]
    fn check(names: &[Option<&str>], wanted: Option<&str>, expected: Result<&str, &str>) {
        let cans = cans(names);
        let found = find_can(&cans, wanted).map(|c| c.stamping.as_str()).map_err(|e| e.to_string());
        assert_eq!(found, expected.map_err(Into::into));
    }

    #[test]
    fn a_can_is_found_by_name_or_place() {
        check(&[None], None, Ok("can 1"));
        check(&[Some("A"), None], Some("A"), Ok("can 1"));
        check(&[Some("A"), None], Some("2"), Ok("can 2"));
        check(&[Some("2"), Some("1")], Some("1"), Ok("can 2"));
        check(&[Some("A"), None], None, Err("the job has 2 cans, one is expected"));
        check(&[Some("A")], Some("B"), Err("no can is called B"));
        check(&[Some("A")], Some("0"), Err("no can is called 0"));
    }

    #[test]
    fn a_toml_name_is_a_file() {
        let shown = |place: &str| {
            let (folder, file) = split(place.into());
            (folder.display().to_string(), file.display().to_string())
        };
        assert_eq!(shown("a/b"), ("a/b".into(), "a/b/job.toml".into()));
        assert_eq!(shown("a/x.toml"), ("a".into(), "a/x.toml".into()));
        assert_eq!(shown("job.toml"), (".".into(), "job.toml".into()));
    }
}
