//! `recan stock`, and the stock list that other commands use.

use std::borrow::Cow;
use std::path::{Path, PathBuf};

use clap::Args;
use miette::Diagnostic;
use recan::{
    answer::StockSource,
    folder,
    part::Part,
    report::{json, text},
    stock::{self, Stock},
};

use super::{ANSWERED_NO, Failure, Reply, job::Job, progress};

/// Checks a stock list line by line and sums it up
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The list (CSV); with --cover the built-in one where none is given
    #[arg(value_name = "FILE", required_unless_present = "cover")]
    file: Option<PathBuf>,
    /// Find the fewest values in the list that would have served every section of
    /// all jobs in these folders, each by one part alone
    #[arg(long, value_name = "FOLDER", num_args = 1..)]
    cover: Vec<PathBuf>,
}

/// A stock list ready to search.
pub(crate) struct List {
    pub(crate) parts: Vec<Part>,
    pub(crate) source: StockSource,
    /// The file as it stands.
    pub(crate) raw: Cow<'static, [u8]>,
    /// Length of the file.
    pub(crate) bytes: usize,
    /// What to tell people beside the answer.
    pub(crate) remarks: String,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    match &arguments.file {
        Some(file) if arguments.cover.is_empty() => check(file),
        file => super::cover::run(file.as_deref(), &arguments.cover),
    }
}

fn check(file: &Path) -> Result<Reply, Failure> {
    let bytes = folder::read(file).map_err(Failure::file)?;
    let stock = read(&name(file), &bytes)?;
    Ok(Reply {
        page: text::stock::page(&stock),
        json: json::to_text(&json::stock(&stock)),
        remarks: String::new(),
        code: if stock.bad > 0 { ANSWERED_NO } else { 0 },
    })
}

/// The list in `file`, else that of the job folder, else the built-in one.
pub(crate) fn list(file: Option<&Path>, job: Option<&Job>) -> Result<List, Failure> {
    let of_job = if file.is_none() { job.and_then(Job::stock) } else { None };
    let (name, raw): (String, Cow<'static, [u8]>) = match file.or(of_job.as_deref()) {
        Some(file) => (name(file), Cow::from(folder::read(file).map_err(Failure::file)?)),
        None => (StockSource::BUILT_IN.to_owned(), Cow::from(stock::builtin().as_bytes())),
    };
    let stock = read(&name, &raw)?;
    let source = StockSource { source: stock.list.to_string(), lines: stock.lines, bad: stock.bad };
    let remarks = text::stock::bad_lines(&stock).into_text();
    Ok(List { parts: stock.parts, source, bytes: raw.len(), raw, remarks })
}

fn read(name: &str, bytes: &[u8]) -> Result<Stock, Failure> {
    progress::shown(format!("reading {name}"), bytes.len(), || stock::read(name, bytes))
        .map_err(|error| Failure::input(Listed { error, text: text_of(name, bytes) }))
}

fn text_of(name: &str, bytes: &[u8]) -> miette::NamedSource<String> {
    miette::NamedSource::new(name, stock::decode(bytes).text.into_owned())
}

/// A stock error with the list's text, so that the place can be shown.
#[derive(Debug, thiserror::Error)]
#[error("{error}")]
struct Listed {
    error: stock::StockError,
    text: miette::NamedSource<String>,
}

impl Diagnostic for Listed {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        self.error.help()
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = miette::LabeledSpan> + '_>> {
        self.error.labels()
    }

    fn source_code(&self) -> Option<&dyn miette::SourceCode> {
        Some(&self.text)
    }
}

fn name(file: &Path) -> String {
    file.display().to_string()
}
