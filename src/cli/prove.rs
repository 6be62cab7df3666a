//! `recan prove`.

use clap::Args;
use miette::Diagnostic;
use recan::{
    chassis::Chassis,
    fit,
    folder::decided,
    job,
    powered::Fault,
    prove::{self, Names, Outcome, Parts, Proof, Unpredictable, Verdict},
    report::{answer::Proved, json, text},
};
use thiserror::Error;

use super::{
    ANSWERED_NO, Failure, Reply,
    arguments::StockArguments,
    hyphen,
    job::{Job, JobArguments},
    stock::list,
};

/// Holds readings after the repair against prediction, reading by reading
///
/// The readings stand under [after] in job.toml, in the keys of [measured], with
/// supply = "lamp 60 W" or "variac" where the set was fed so; without any, the
/// readings to expect are listed. The parts are those of --fit, else of the last
/// decision record of each can, else the can as stamped.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    job: JobArguments,
    /// What was fitted for a section of the can, in place of what the record says
    ///
    /// half-round=47/450; square="22/450 + 22/450"; triangle="2x 47/350 in
    /// series"; plain=CAN-A:2 is section 2 of a part in stock. Every section of
    /// the can is given.
    #[arg(long, value_name = "SECTION=PARTS", value_parser = hyphen::text)]
    fit: Vec<String>,
    #[command(flatten)]
    stock: StockArguments,
    /// Print what each range consists of, the parts, and all that was assumed
    #[arg(long)]
    explain: bool,
}

#[derive(Debug, Error, Diagnostic)]
enum ProveError {
    #[error("no job folder to prove")]
    #[diagnostic(help("add --job DIR, or run it in a folder with job.toml"))]
    NoJob,
    #[error("{0}")]
    #[diagnostic(help("check loads, resistors and the rectifier in job.toml"))]
    Unsolved(Unpredictable),
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let files = Job::find(&arguments.job, false)?;
    let files = files.ok_or_else(|| Failure::input(ProveError::NoJob))?;
    let job = files.whole()?;
    let chassis = Chassis::of(&job);
    let chassis = chassis.map_err(|lacks| Failure::input(Fault::lacking(&job, &lacks)))?;
    let stock = list(arguments.stock.stock.as_deref(), Some(&files))?;
    let parts = parts(arguments, &files, &job, Parts::stamped(&job, &chassis), &stock.parts)?;
    let proof = prove::prove(&job, &chassis, &parts);
    let proof = proof.map_err(|error| Failure::input(ProveError::Unsolved(error)))?;
    let answer = Proved { job: &job, names: Names::of(&job), parts: &parts, proof: &proof };
    let mut page = text::prove::page(&answer);
    if arguments.explain {
        page.append(text::prove::explain(&answer));
    }
    Ok(Reply {
        page,
        json: json::to_text(&json::prove::document(&answer)),
        remarks: stock.remarks,
        code: code(&proof),
    })
}

/// Readings that prove nothing, are doubtful or disagree are answered with no;
/// a list of readings to take is an answer.
fn code(proof: &Proof) -> u8 {
    match proof.outcome {
        Outcome::ToTake | Outcome::Judged(Verdict::Agree) => 0,
        Outcome::NoProof(_) | Outcome::Judged(_) => ANSWERED_NO,
    }
}

/// The parts of the records, then those that were typed.
fn parts(
    arguments: &Arguments,
    files: &Job,
    job: &job::Job,
    mut parts: Parts,
    stock: &[recan::part::Part],
) -> Result<Parts, Failure> {
    let typed = match arguments.fit.as_slice() {
        [] => None,
        _ => Some(files.can(arguments.job.can.as_deref())?),
    };
    // A can that is typed needs no record, so a broken one does not matter.
    let mut open: Vec<usize> = (0..job.cans.len()).filter(|can| Some(*can) != typed).collect();
    for (number, file) in decided::records(&files.folder).map_err(Failure::file)? {
        if open.is_empty() {
            break;
        }
        let text = decided::text(&file).map_err(Failure::file)?;
        let chosen = prove::chosen(number, &text).map_err(Failure::input)?;
        let Some(can) = chosen.can_of(job).filter(|can| open.contains(can)) else { continue };
        open.retain(|other| *other != can);
        parts = parts.with_record(can, &chosen, stock);
    }
    let Some(can) = typed.and_then(|can| Some((can, job.cans.get(can)?))) else { return Ok(parts) };
    let fit = fit::read(&can.1.reading.can, stock, &arguments.fit, None)?;
    Ok(parts.with_set(can.0, &fit.set, &fit.parts))
}
