//! `recan fault`.

use std::path::PathBuf;

use clap::Args;
use miette::Diagnostic;
use recan::{
    answer::{
        danger,
        fault::{self, FaultDoc},
    },
    chassis::Chassis,
    diagnose::{
        GoodPart,
        cold::{self, Cold},
        diagnose,
    },
    job::Job,
    quantity::{Capacitance, Voltage},
    render,
    report::json,
    value::Value,
};
use thiserror::Error;

use super::{
    ANSWERED_NO, Failure, Format, Outcome, hyphen,
    job::{JobArguments, read_job},
    screen::screen,
};

/// Finds which section has failed, or what else it is, from volts at the lugs
///
/// Reads `[measured]` of the job file: AC volts, DC volts, cold ohms, the hum's
/// frequency, line and meter.
/// Exit 0: a cause is named, or all sections are sound; 1: the readings don't tell.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Job folder or job file; the current folder where job.toml is there
    #[arg(long, value_name = "DIR", help_heading = "Job")]
    job: Option<PathBuf>,
    /// Known good part that suspects would be bridged with, such as 22/450;
    /// that is the default
    #[arg(long, value_name = "VALUE", value_parser = hyphen::text)]
    bridge: Option<String>,
    /// Print every cause, what to read next, ranges, and how they are found
    #[arg(long)]
    explain: bool,
}

#[derive(Debug, Error, Diagnostic)]
#[error("--bridge says {text}, expected capacitance and rated volts")]
#[diagnostic(help("write it as 22/450 or \"22 µF/450 V\""))]
struct BadPart {
    text: String,
}

pub(crate) fn run(arguments: &Arguments, format: Format) -> Result<Outcome, Failure> {
    let job = read_job(&JobArguments { job: arguments.job.clone(), can: None })?;
    let good = arguments.bridge.as_deref().map_or_else(|| Ok(GoodPart::default()), part)?;
    let document = answer(&job, good);
    Ok(Outcome {
        stdout: match format {
            Format::Text => render::fault::text(&document, arguments.explain, screen()),
            Format::Json => json::to_text(&document),
        },
        stderr: String::new(),
        code: if document.words.answers { 0 } else { ANSWERED_NO },
    })
}

fn answer(job: &Job, good: GoodPart) -> FaultDoc {
    let cold = job.measured.as_ref().map(|read| cold::readings(job, read)).unwrap_or_default();
    let chassis = match Chassis::of(job) {
        Ok(chassis) => chassis,
        // Too little known to say is an answer, and no wrong input.
        Err(lacks) => {
            return little_known(job, danger::lacking(job, &lacks), &cold);
        }
    };
    if cold.iter().any(|of| of.is_low() && cold::node_of(job, of.lug).is_some()) {
        let why = "a short has to be found before hum and DC tell anything".into();
        return little_known(job, (why, Vec::new()), &cold);
    }
    match diagnose(job, &chassis, good) {
        Ok(found) => fault::fault(job, &chassis, &found, danger::of(job, &chassis)),
        Err(why) => little_known(job, fault::nothing_to_say(&why), &cold),
    }
}

/// What cold lugs say where nothing else was read, or the supply is not known.
fn little_known(job: &Job, why: (String, Vec<String>), cold: &[Cold]) -> FaultDoc {
    fault::little_known(job, why, cold, danger::of_the_can(job))
}

/// `22/450`: capacitance and rated volts, with or without units.
fn part(text: &str) -> Result<GoodPart, Failure> {
    let bad = || Failure::input(BadPart { text: recan::report::text::page::fit(text, 40) });
    let (capacitance, rated) = text.split_once('/').ok_or_else(bad)?;
    let capacitance = Capacitance::read(capacitance.trim()).map_err(Failure::input)?;
    let rated = rated.trim();
    let bare = rated.chars().all(|c| c.is_ascii_digit() || c == '.');
    let rated = if bare { format!("{rated} V") } else { rated.to_owned() };
    let rated = Voltage::read(&rated).map_err(Failure::input)?;
    Ok(GoodPart { capacitance, rated })
}
