//! `recan supply`.

use std::path::PathBuf;

use clap::Args;
use miette::Diagnostic;
use recan::{
    chassis::{Chassis, Lacking},
    job,
    powered::{Powered, change},
    quantity::Voltage,
    report::{
        json,
        text::{self, supply::Shown},
    },
    safety,
    value::Value,
};
use thiserror::Error;

use super::{
    Failure, Reply,
    job::{Job, JobArguments},
};

/// Works out the supply with the can as stamped
///
/// DC, ripple, currents, cold start and discharge, from the job file.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Job folder or job file; the current folder where job.toml is there
    #[arg(long, value_name = "DIR", help_heading = "Job")]
    job: Option<PathBuf>,
    /// Line volts to work out, in place of those measured
    #[arg(long, value_name = "VOLTS")]
    line: Option<String>,
    /// Change one thing and show before and after: `device=silicon`,
    /// `plate_resistor=150R`, a node's load `B1=60mA`, a section `square=47uF`
    #[arg(long, value_name = "WHAT=VALUE")]
    what_if: Vec<String>,
    /// Print how each figure is found and what was assumed
    #[arg(long)]
    explain: bool,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let place = JobArguments { job: arguments.job.clone(), can: None };
    let found = Job::find(&place, false)?.ok_or_else(|| Failure::input(NoJob))?;
    let job = found.whole()?;
    let mut chassis = Chassis::of(&job).map_err(|missing| Failure::input(Missing::of(&missing)))?;
    if let Some(line) = &arguments.line {
        let line = Voltage::read(line).map_err(Failure::input)?;
        chassis = chassis.at_line(line);
    }
    let changed = change(&job, &chassis, &arguments.what_if).map_err(Failure::input)?;
    let stamped = chassis.stamped();
    let solve = |chassis, fitted| Powered::of(chassis, fitted).map_err(Failure::input);
    let before = if arguments.what_if.is_empty() { None } else { Some(solve(chassis, stamped)?) };
    let powered = solve(changed.chassis, changed.fitted)?;
    let cautions = cautions(&job, &powered);
    let shown = Shown {
        job: &job,
        powered: &powered,
        before: before.as_ref(),
        changes: &arguments.what_if,
        cautions: &cautions,
    };
    let mut page = text::supply::page(&shown);
    if arguments.explain {
        page.append(text::supply::explained(&shown));
    }
    let document =
        json::supply::supply(&job, &powered, before.as_ref(), &arguments.what_if, &cautions);
    Ok(Reply { page, json: json::to_text(&document), remarks: String::new(), code: 0 })
}

fn cautions(job: &job::Job, powered: &Powered) -> Vec<String> {
    safety::of_supply(job.chassis.may_be_live(), powered)
}

#[derive(Debug, Error, Diagnostic)]
#[error("no job to work out the supply of")]
#[diagnostic(help("name the folder with --job DIR, or start one with `recan open DIR`"))]
struct NoJob;

/// What the job leaves open that the supply needs.
#[derive(Debug, Error, Diagnostic)]
#[error("the supply can't be worked out: the job does not tell {says}")]
#[diagnostic(help("{advice}"))]
pub(super) struct Missing {
    says: String,
    advice: String,
}

impl Missing {
    pub(super) fn of(missing: &[Lacking]) -> Self {
        let says: Vec<String> = missing.iter().map(ToString::to_string).collect();
        let advice: Vec<&str> = missing.iter().map(Lacking::how).collect();
        Self { says: says.join("; "), advice: advice.join("\n") }
    }
}
