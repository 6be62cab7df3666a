//! `recan prove`.

use clap::Args;
use miette::Diagnostic;
use recan::{
    answer::{self, danger},
    chassis::Chassis,
    diagnose::{self, Agreement, GoodPart, Parts, Proof, ProofOutcome as Of},
    fit,
    folder::decided,
    job, render,
    report::json,
};
use thiserror::Error;

use super::{
    ANSWERED_NO, Failure, Format, Outcome,
    arguments::StockArguments,
    hyphen,
    job::{Job, JobArguments},
    screen::screen,
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
    #[error("the supply can't be worked out with these parts")]
    #[diagnostic(help("check loads, resistors and the rectifier in job.toml"))]
    Unsolved,
}

pub(crate) fn run(arguments: &Arguments, format: Format) -> Result<Outcome, Failure> {
    let files = Job::find(&arguments.job, false)?;
    let files = files.ok_or_else(|| Failure::input(ProveError::NoJob))?;
    let job = files.whole()?;
    let chassis = match Chassis::of(&job) {
        Ok(chassis) => chassis,
        // Too little known to say is an answer, and no wrong input.
        Err(lacks) => {
            let why = danger::lacking(&job, &lacks);
            let document = answer::prove::little_known(why, danger::of_the_can(&job));
            return Ok(shown(&document, arguments, format, String::new(), ANSWERED_NO));
        }
    };
    let stock = list(arguments.stock.stock.as_deref(), Some(&files))?;
    let parts = parts(arguments, &files, &job, Parts::stamped(&job, &chassis), &stock.parts)?;
    let proof = diagnose::prove(&job, &chassis, &parts, GoodPart::default());
    let proof = proof.ok_or_else(|| Failure::input(ProveError::Unsolved))?;
    let assumed = assumed(&job, &chassis, &parts);
    let danger = danger::of(&job, &chassis);
    let document = answer::prove::prove(&job, &parts, &proof, assumed, danger);
    Ok(shown(&document, arguments, format, stock.remarks, code(&proof)))
}

fn shown(
    document: &answer::prove::ProveDoc,
    arguments: &Arguments,
    format: Format,
    remarks: String,
    code: u8,
) -> Outcome {
    Outcome {
        stdout: match format {
            Format::Text => render::fault::proof(document, arguments.explain, screen()),
            Format::Json => json::to_text(document),
        },
        stderr: if format == Format::Text { remarks } else { String::new() },
        code,
    }
}

/// What was taken because nobody told: of the stamping, the supply and the parts.
fn assumed(job: &job::Job, chassis: &Chassis, parts: &Parts) -> Vec<String> {
    let stamped = job.cans.iter().flat_map(|can| can.reading.assumed.iter());
    let mut all: Vec<String> = stamped.map(|remark| remark.says.clone()).collect();
    all.extend(chassis.assumed().iter().cloned());
    all.extend(parts.assumed().iter().cloned());
    all
}

/// Anything but agreement is answered with no.
fn code(proof: &Proof) -> u8 {
    if proof.outcome == Of::Judged(Agreement::Agree) { 0 } else { ANSWERED_NO }
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
        let chosen = diagnose::chosen(number, &text).map_err(Failure::input)?;
        let Some(can) = chosen.can_of(job).filter(|can| open.contains(can)) else { continue };
        open.retain(|other| *other != can);
        parts = parts.with_record(can, &chosen, stock);
    }
    let Some(can) = typed.and_then(|can| Some((can, job.cans.get(can)?))) else { return Ok(parts) };
    let fit = fit::read(&can.1.reading.can, stock, &arguments.fit, None)?;
    Ok(parts.with_set(can.0, &fit.set, &fit.parts))
}
