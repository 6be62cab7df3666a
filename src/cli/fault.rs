//! `recan fault`.

use std::path::PathBuf;

use clap::Args;
use miette::Diagnostic;
use recan::{
    fault::{
        GoodPart,
        cold::{self, Cold},
        diagnose,
    },
    job::Job,
    powered::{Asked, Fault, Powered},
    quantity::{Capacitance, Voltage},
    report::{json, text},
    safety,
    value::Value,
};
use thiserror::Error;

use super::{
    ANSWERED_NO, Failure, Reply, hyphen,
    job::{JobArguments, read_job},
};

/// Finds which section has failed, from AC volts at the lugs
///
/// Reads `[measured]` of the job file: cold ohms, hum, its frequency, dc, line
/// and meter.
/// Exit 0: no section has failed; 1: one has, or the readings don't tell.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Job folder or job file; the current folder where job.toml is there
    #[arg(long, value_name = "DIR", help_heading = "Job")]
    job: Option<PathBuf>,
    /// Known good part that suspects would be bridged with, such as 22/450;
    /// that is the default
    #[arg(long, value_name = "VALUE", value_parser = hyphen::text)]
    bridge: Option<String>,
    /// Print how each figure is found, how to read and how to bridge
    #[arg(long)]
    explain: bool,
}

#[derive(Debug, Error, Diagnostic)]
#[error("--bridge says {text}, expected capacitance and rated volts")]
#[diagnostic(help("write it as 22/450 or \"22 µF/450 V\""))]
struct BadPart {
    text: String,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let job = read_job(&JobArguments { job: arguments.job.clone(), can: None })?;
    let good = arguments.bridge.as_deref().map_or_else(|| Ok(GoodPart::default()), part)?;
    let asked = Asked { line: None, changes: &[], can: None };
    let cold = job.measured.as_ref().map(|read| cold::readings(&job, read)).unwrap_or_default();
    let powered = match Powered::new(&job, asked) {
        Ok(powered) => powered,
        // Too little known to say is an answer, and no wrong input.
        Err(fault) if cold.is_empty() && !matches!(fault, Fault::Lacking { .. }) => {
            return Err(Failure::input(fault));
        }
        Err(fault) => return Ok(cold_alone(&job, &cold, &fault)),
    };
    let found = match diagnose(&job, &powered.now.chassis, good) {
        Ok(found) => found,
        Err(fault) => return Ok(cold_alone(&job, &cold, &fault)),
    };
    let live = job.is_live();
    let is_short = cold.iter().any(Cold::is_low);
    let cautions = safety::of_supply(powered.lethal(), powered.charged(), live);
    let mut page = text::fault::page(&found, &cold, &cautions);
    if arguments.explain {
        page.append(text::fault::explained(&found, &cautions));
    }
    Ok(Reply {
        page,
        json: json::to_text(&json::fault::fault(&found, &cold, &cautions)),
        remarks: String::new(),
        code: if found.all_sound() && !is_short { 0 } else { ANSWERED_NO },
    })
}

/// What cold lugs say where nothing else was read, or the supply is not known.
fn cold_alone(job: &Job, cold: &[Cold], why: &dyn Diagnostic) -> Reply {
    let next = why.help().map(|help| help.to_string());
    let why = why.to_string();
    let first = job.cans.first().map(|can| &can.reading.can);
    let cautions = first.zip(job.facts(0)).map(|(can, facts)| safety::cautions(can, &facts));
    let cautions = cautions.unwrap_or_default();
    Reply {
        page: text::fault::cold_page(cold, (&why, next.as_deref()), &cautions),
        json: json::to_text(&json::fault::cold_alone(cold, (&why, next.as_deref()), &cautions)),
        remarks: String::new(),
        // Without hum nobody can say that no section has failed.
        code: ANSWERED_NO,
    }
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
