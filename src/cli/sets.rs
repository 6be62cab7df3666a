//! `recan sets`.

use clap::Args;
use recan::{
    next,
    report::{Answer, json, text},
};

use super::{ANSWERED_NO, Failure, Reply, arguments::SetArguments, found::Found};

/// Ranks replacement sets from stock, each judged, and the nearest misses
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    sets: SetArguments,
    /// Print each figure with its limits and its source
    #[arg(long)]
    explain: bool,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let found = Found::new(&arguments.sets)?;
    let measure_next = next::readings(&found.case(), found.sets.first());
    let cautions = found.cautions();
    let readings = found.readings()?;
    let answer = Answer { readings: readings.as_deref(), ..found.answer(&measure_next, &cautions) };
    let mut page = text::sets::page(&answer, arguments.sets.show.is_some());
    if arguments.explain {
        let can = &answer.stamped.reading.can;
        if let Some(best) = answer.sets.first() {
            page.append(text::explain::page(can, answer.parts, best));
        }
        if let Some(readings) = answer.readings {
            page.append(text::readings::page(readings, can));
        }
    }
    Ok(Reply {
        page,
        json: json::to_text(&json::sets(&answer)),
        remarks: found.remarks(),
        code: if found.sets.is_empty() { ANSWERED_NO } else { 0 },
    })
}
