//! `recan check`.

use std::slice;

use clap::Args;
use recan::{
    answer::check::{Tried, check},
    fit,
    judge::judge,
    next, render,
    report::json,
    rules::Grade,
    safety,
    spread::USUAL_DRAWS,
};

use super::{
    ANSWERED_NO, Failure, Format, Outcome,
    arguments::{FactArguments, StampingArguments, StockArguments},
    draws::studies,
    found::Supply,
    job::JobArguments,
    reading::InJob,
    screen::screen,
    stamped::given,
    stock::list,
};

/// Judges one substitute, section by section, beside the original
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    stamping: StampingArguments,
    #[command(flatten)]
    job: JobArguments,
    /// What is fitted for a section
    ///
    /// half-round=47/450; square="22/450 + 22/450"; triangle="2x 47/350 in
    /// series"; plain=CAN-A:2 is section 2 of a part in stock, and the same name
    /// is the same body; 47/450/525 has surge volts printed.
    #[arg(long, value_name = "SECTION=PARTS", required = true, value_parser = super::hyphen::text)]
    fit: Vec<String>,
    #[command(flatten)]
    stock: StockArguments,
    /// Draws of the tolerance study, 0 for none; it informs and changes no verdict
    #[arg(long, value_name = "N", default_value_t = USUAL_DRAWS)]
    draws: u32,
    /// Print each figure with its limits and its source
    #[arg(long)]
    explain: bool,
    #[command(flatten)]
    facts: FactArguments,
}

pub(crate) fn run(arguments: &Arguments, format: Format) -> Result<Outcome, Failure> {
    let given = given(&arguments.stamping, &arguments.job)?;
    let stamped = &given.stamped;
    let can = &stamped.reading.can;
    let typed = arguments.facts.typed();
    let mut facts = given.facts(&typed)?;
    let supply = Supply::new(&given, &typed, false)?;
    supply.tell_peaks(&mut facts);
    let list = list(arguments.stock.stock.as_deref(), given.job.as_ref())?;
    let ahead = given.told().and_then(|told| told.job.ahead_of_choke());
    let fit = fit::read(can, &list.parts, &arguments.fit, ahead)?;
    let case = supply.case(can, &facts);
    let mut judged = judge(&case, &fit.parts, fit.set);
    let mut besides = Vec::new();
    recan::rules::notes::quantity(&fit.parts, &judged.set, &mut besides);
    if fit.ahead_of_choke {
        recan::rules::rectifier::ahead_of_choke(&mut besides);
    }
    judged.add(besides);
    let in_job = InJob {
        given: &given,
        typed: &typed,
        restuffed: false,
        parts: &fit.parts,
        case: &case,
        set: &judged,
        sets: &[],
    };
    let readings = in_job.readings()?;
    let studies = studies(&case, slice::from_ref(&judged), given.tolerance(), arguments.draws)?;
    let document = check(&Tried {
        stamped,
        facts: &facts,
        parts: &fit.parts,
        stock: &list.source,
        set: &judged,
        study: studies.first(),
        chassis: &recan::rules::of_chassis(&case),
        readings: readings.as_deref(),
        measure_next: &next::readings(&case, Some(&judged)),
        cautions: &safety::cautions(can, &facts),
        around: &supply.around(&given, &case, &facts),
        case: &case,
    });
    Ok(Outcome {
        stdout: match format {
            Format::Text => render::check::text(&document, arguments.explain, screen()),
            Format::Json => json::to_text(&document),
        },
        stderr: if format == Format::Text { list.remarks } else { String::new() },
        code: if judged.standing.grade == Grade::Fail { ANSWERED_NO } else { 0 },
    })
}
