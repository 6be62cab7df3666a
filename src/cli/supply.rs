//! `recan supply`.

use clap::Args;
use miette::Diagnostic;
use recan::{
    job::{Job, LINE_VOLTS},
    powered::{Asked, Powered, PoweredError},
    quantity::{Voltage, in_volts},
    report::{json, text},
    value::{self, Value},
};
use thiserror::Error;

use super::{
    ANSWERED_NO, Failure, Reply, hyphen,
    job::{JobArguments, read_job},
};

/// Heading of the options that say what to work out.
const WORK: &str = "What to work out";

/// Works out the supply: DC, ripple, currents, cold start, discharge
///
/// Every can stands as stamped. Readings of the job stand beside the figures.
/// JSON holds the supply as asked for at its top, and with --what-if the supply
/// as it is under `before`.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    job: JobArguments,
    /// AC volts on the line, such as 126V; absent = the job's
    #[arg(long, value_name = "VOLTS", help_heading = WORK, value_parser = hyphen::text)]
    line: Option<String>,
    /// What would change, before and after side by side; may be given again
    ///
    /// One of `device=silicon`; `square=47uF`, a section whose esr is kept;
    /// `plate_resistor=150`, in each plate lead; `load:B1=60mA`.
    #[arg(long, value_name = "NAME=VALUE", help_heading = WORK, value_parser = hyphen::text)]
    what_if: Vec<String>,
    /// Print each figure with its method, inputs and source
    #[arg(long, help_heading = WORK)]
    explain: bool,
}

#[derive(Debug, Error, Diagnostic)]
enum LineError {
    #[error("the line is {}, expected {} V to {} V", volts.print(), LINE_VOLTS.start(), LINE_VOLTS.end())]
    #[diagnostic(help("give what a meter reads at the outlet, such as --line 126V"))]
    OutOfRange { volts: Voltage },
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let job = read_job(&arguments.job)?;
    let line = arguments.line.as_deref().map(line).transpose()?;
    let can = can(&job, arguments.job.can.as_deref())?;
    let asked = Asked { line, changes: &arguments.what_if, can };
    let powered = match Powered::new(&job, asked) {
        Ok(powered) => powered,
        Err(PoweredError::Change(error)) => return Err(error.into()),
        // Too little known to say is an answer, and no wrong input.
        Err(PoweredError::Lacking { missing, how }) => {
            return Ok(Reply {
                page: text::supply::lacking(&missing, &how),
                json: json::to_text(&json::supply_lacking(&missing, &how)),
                remarks: String::new(),
                code: ANSWERED_NO,
            });
        }
        Err(other) => return Err(Failure::input(other)),
    };
    let mut page = text::supply::page(&powered);
    if arguments.explain {
        page.append(text::supply::explained(&powered));
    }
    let json = json::to_text(&json::supply(&powered));
    Ok(Reply { page, json, remarks: String::new(), code: 0 })
}

fn line(text: &str) -> Result<Voltage, Failure> {
    let volts = value::read_ac_volts(text).map_err(Failure::input)?;
    if LINE_VOLTS.contains(&in_volts(volts)) {
        Ok(volts)
    } else {
        Err(Failure::input(LineError::OutOfRange { volts }))
    }
}

/// The can that `--can` names, for sections in `--what-if`.
fn can(job: &Job, name: Option<&str>) -> Result<Option<usize>, Failure> {
    let cans: Vec<Option<&str>> = job.cans.iter().map(|can| can.name.as_deref()).collect();
    name.map(|name| super::job::find_named(&cans, name).map_err(Failure::input)).transpose()
}
