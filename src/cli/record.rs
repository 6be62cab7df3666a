//! `recan record`.

use std::path::{Path, PathBuf};

use clap::{Args, Subcommand};
use miette::Diagnostic;
use recan::{
    answer::{StockSource, sets::Searched},
    folder::{
        self,
        records::{self, Forms, NewJob, Written},
    },
    judge::Judged,
    next,
    record::{
        again::{Question, Understood},
        job_file,
        kept::Kept,
        reason::Reason,
    },
    report::{
        json,
        record::{
            Asked, Decision, Made, again, document,
            documents::{RecordDoc, WrittenDoc},
            pages, read, schema,
        },
        text,
    },
};
use thiserror::Error;

use super::{
    ANSWERED_NO, Failure, Reply,
    arguments::SetArguments,
    found::Found,
    hyphen,
    job::{Job, JobError, split},
};

/// Saves the decision: what was chosen, from what, why, and how to fit it
///
/// Writes a folder records/0001 in the job folder, under the next free number,
/// with record.html and record.md for people, parts.csv for a spreadsheet and
/// record.json for programs, and job.toml where there is none. The flags that
/// `sets` was given must be given again, so that the ranks agree.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, subcommand_negates_reqs = true)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    sets: SetArguments,
    /// Rank of the set that is chosen, as `sets` shows it with the same flags
    #[arg(long, value_name = "N", required_unless_present = "schema")]
    choose: Option<usize>,
    /// Why this set
    #[arg(long, value_name = "TEXT", value_parser = hyphen::text)]
    reason: Option<String>,
    /// Print the JSON Schema of record.json and write nothing
    #[arg(long, conflicts_with_all = ["choose", "reason"])]
    schema: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    Check(CheckArguments),
}

/// Works a record out again and says `same`, or what changed
///
/// From what the record itself keeps: stamping, facts, job file and stock lines.
/// With --stock also from that list as it is today, with --job also from that
/// job file. Sets, findings, nearest misses, facts, cautions, discharge, wiring,
/// parts and readings are compared; of a folder, its pages with record.json too.
/// Exit 0 is same, 1 changed.
#[derive(Debug, Args)]
struct CheckArguments {
    /// record.json, or the folder of the record
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Stock list of today (CSV) to look at as well
    #[arg(long, value_name = "FILE")]
    stock: Option<PathBuf>,
    /// Job folder or job file of today to look at as well
    #[arg(long, value_name = "DIR")]
    job: Option<PathBuf>,
}

#[derive(Debug, Error, Diagnostic)]
enum ChoiceError {
    #[error("set {rank} of {count} is chosen")]
    #[diagnostic(help("choose 1 to {count}, or show more with --show N; sets lists them"))]
    OutOfRange { rank: usize, count: usize },
    #[error("nothing in this stock will do, so there is no set to choose")]
    #[diagnostic(help("recan sets shows the nearest misses and what would mend them"))]
    Nothing,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    if let Some(Command::Check(arguments)) = &arguments.command {
        return check(arguments);
    }
    if arguments.schema {
        let page = text::record::schema(schema::text());
        return Ok(Reply { page, json: schema::text().into(), remarks: String::new(), code: 0 });
    }
    decide(arguments, arguments.choose.unwrap_or_default())
}

fn check(arguments: &CheckArguments) -> Result<Reply, Failure> {
    let text = records::read_record(&arguments.file).map_err(Failure::file)?;
    let name = arguments.file.display().to_string();
    let record = read::read(&name, &text).map_err(Failure::input)?;
    let stock = arguments.stock.as_deref();
    let bytes = stock.map(folder::read).transpose().map_err(Failure::file)?;
    let stock = stock.map(file_name).unwrap_or_default();
    let today = bytes.as_deref().map(|bytes| again::Today { name: &stock, bytes });
    let job = arguments.job.as_deref().map(job_text).transpose()?;
    let version = env!("CARGO_PKG_VERSION");
    let mut checked = again::check(&record, today, job.as_deref(), version);
    if arguments.file.is_dir() {
        let kept = |name: &str| {
            let text = folder::read_text(&arguments.file.join(name), records::MOST_RECORD_BYTES);
            text.ok().flatten()
        };
        checked.add(pages::otherwise(&record, version, kept));
    }
    Ok(Reply {
        page: text::record::checked(&checked),
        json: json::to_text(&checked),
        remarks: String::new(),
        code: if checked.same { 0 } else { ANSWERED_NO },
    })
}

/// The text of a job file of today.
fn job_text(place: &Path) -> Result<String, Failure> {
    let (_, file) = split(place.into());
    let text = folder::read_text(&file, records::MOST_JOB_BYTES).map_err(Failure::file)?;
    text.ok_or_else(|| Failure::file(folder::FolderError::Missing { path: file }))
}

fn decide(arguments: &Arguments, rank: usize) -> Result<Reply, Failure> {
    let reason = Reason::new(arguments.reason.as_deref().unwrap_or_default());
    let reason = reason.map_err(Failure::input)?;
    let found = Found::new(&arguments.sets, usize::MAX)?;
    let job = found.given.job.as_ref().ok_or_else(|| Failure::input(JobError::NoFolder))?;
    let chosen = chosen(&found, rank).map_err(Failure::input)?;
    let measure_next = next::readings(&found.case(), Some(chosen));
    let cautions = found.cautions();
    let source = StockSource {
        source: file_name(Path::new(&found.list.source.source)),
        ..found.list.source.clone()
    };
    let case = found.case();
    let answer = Searched { stock: &source, ..found.answer(&case, &measure_next, &cautions) };
    let question = question(&arguments.sets, &found, job);
    // What could not be understood was refused above.
    let understood = question.understood().ok();
    let understood = understood.and_then(|Understood { job, own, .. }| Some((job?, own)));
    let list = &found.list;
    let considered = found.sets.iter().chain(found.nearest_misses.iter().map(|miss| &miss.set));
    let document = document(&Decision {
        answer: &answer,
        chosen,
        rank,
        reason: &reason,
        typed: &found.typed,
        asked: &asked(&arguments.sets),
        job: understood.as_ref().map(|(job, _)| job),
        own: understood.as_ref().map_or(0, |(_, own)| *own),
        kept: &Kept::new(job.text(), &list.raw, &list.parts, considered),
        made: &made(),
    });
    let written = write(job, &found, &document)?;
    Ok(reply(&answer, chosen, rank, &written, found.remarks()))
}

fn question(arguments: &SetArguments, found: &Found, job: &Job) -> Question {
    Question {
        stamping: found.given.stamped.text.clone(),
        answers: found.given.stamped.answers.clone(),
        job: job.text().map(Into::into),
        can: arguments.job.can.clone(),
        typed: found.typed.clone(),
        restuff: arguments.restuff,
        show: arguments.show,
    }
}

fn chosen(found: &Found, rank: usize) -> Result<&Judged, ChoiceError> {
    let count = found.sets.len();
    match rank.checked_sub(1).and_then(|i| found.sets.get(i)) {
        Some(set) => Ok(set),
        None if count == 0 => Err(ChoiceError::Nothing),
        None => Err(ChoiceError::OutOfRange { rank, count }),
    }
}

fn asked(arguments: &SetArguments) -> Asked {
    Asked {
        can: arguments.job.can.clone(),
        stock: arguments.stock.stock.as_deref().map(file_name),
        show: arguments.show,
        restuff: arguments.restuff,
    }
}

/// The day is that of this machine's clock and time zone.
fn made() -> Made {
    let date = jiff::ZonedDateTime::now().date().to_string();
    Made { number: 0, date, version: env!("CARGO_PKG_VERSION").into() }
}

fn write(job: &Job, found: &Found, document: &RecordDoc) -> Result<Written, Failure> {
    let new_job = (!job.is_written())
        .then(|| NewJob { path: job.file.clone(), text: job_file::new(&found.given.stamped.text) });
    let forms = |number| {
        let numbered = RecordDoc { number, ..document.clone() };
        let [html, markdown, parts] = pages::of(&numbered).map(|(_, text)| text);
        Forms { json: json::to_text(&numbered), markdown, html, parts }
    };
    records::append(&job.folder, new_job.as_ref(), &forms).map_err(Failure::file)
}

fn reply(
    answer: &Searched,
    chosen: &Judged,
    rank: usize,
    written: &Written,
    remarks: String,
) -> Reply {
    let shown = |path: &Path| path.display().to_string();
    let document = WrittenDoc {
        schema: "recan.written/1".into(),
        number: written.number,
        chosen: rank,
        markdown: shown(&written.markdown),
        html: shown(&written.html),
        parts: shown(&written.parts),
        json: shown(&written.json),
        job: written.job.as_deref().map(shown),
    };
    Reply {
        page: text::record::page(answer, chosen, &document),
        json: json::to_text(&document),
        remarks,
        code: 0,
    }
}

/// The name without the folders before it: a record may be moved elsewhere.
fn file_name(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}
