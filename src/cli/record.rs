//! `recan record`.

use clap::Args;
use miette::Diagnostic;
use recan::{
    folder::records::{self, Forms, NewJob, Written},
    judge::Judged,
    next,
    record::{job_file, reason::Reason},
    report::{
        Answer, json,
        record::{
            Asked, Decision, Made, document,
            documents::{RecordDoc, WrittenDoc},
            markdown,
        },
        text,
    },
};
use thiserror::Error;

use super::{
    Failure, Reply,
    arguments::SetArguments,
    found::Found,
    hyphen,
    job::{Job, JobError},
};

/// Saves the decision: what was chosen, from what, why, and how to fit it
///
/// Writes records/0001.md and records/0001.json in the job folder, under the
/// next free number, and job.toml where there is none. The flags that `sets`
/// was given must be given again, so that the ranks agree.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    sets: SetArguments,
    /// Rank of the set that is chosen, as `sets` shows it with the same flags
    #[arg(long, value_name = "N")]
    choose: usize,
    /// Why this set
    #[arg(long, value_name = "TEXT", value_parser = hyphen::text)]
    reason: Option<String>,
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
    let reason = Reason::new(arguments.reason.as_deref().unwrap_or_default());
    let reason = reason.map_err(Failure::input)?;
    let found = Found::new(&arguments.sets)?;
    let job = found.given.job.as_ref().ok_or_else(|| Failure::input(JobError::NoFolder))?;
    let chosen = chosen(&found, arguments.choose).map_err(Failure::input)?;
    let measure_next = next::readings(&found.case(), Some(chosen));
    let cautions = found.cautions();
    let answer = found.answer(&measure_next, &cautions);
    let document = document(&Decision {
        answer: &answer,
        case: &found.case(),
        chosen,
        rank: arguments.choose,
        reason: &reason,
        typed: &found.typed,
        asked: &asked(&arguments.sets),
        made: &made(),
    });
    let written = write(job, &found, &document)?;
    Ok(reply(&answer, chosen, arguments.choose, &written, found.remarks()))
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
        stock: arguments.stock.stock.as_ref().map(|file| file.display().to_string()),
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
        Forms { json: json::to_text(&numbered), markdown: markdown::page(&numbered) }
    };
    records::append(&job.folder, new_job.as_ref(), &forms).map_err(Failure::file)
}

fn reply(
    answer: &Answer,
    chosen: &Judged,
    rank: usize,
    written: &Written,
    remarks: String,
) -> Reply {
    let shown = |path: &std::path::Path| path.display().to_string();
    let document = WrittenDoc {
        schema: "recan.written/1".into(),
        number: written.number,
        chosen: rank,
        markdown: shown(&written.markdown),
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
