//! `recan sets`.

use clap::Args;
use recan::{
    next,
    report::{Answer, json, text},
    spread::Study,
};

use super::{ANSWERED_NO, Failure, Reply, arguments::SetArguments, draws::studies, found::Found};

/// Heading of the options that say what to show.
const SHOWN: &str = "What to show besides";
/// Draws of each set where nobody told how many: shares to 2.5 %.
const FEW_DRAWS: u32 = 400;
/// Most sets that are drawn where nobody told how many draws.
const MOST_DRAWN: usize = 16;

/// Ranks replacement sets from stock, each judged, and the nearest misses
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    sets: SetArguments,
    /// Draws of the tolerance study of each set, 0 for none; it informs and changes
    /// no verdict and no rank
    ///
    /// Absent, 400 draws of each of the first 16 sets; a supply must be known.
    #[arg(long, value_name = "N", help_heading = SHOWN)]
    draws: Option<u32>,
    /// Print each figure with its limits and its source
    #[arg(long, help_heading = SHOWN)]
    explain: bool,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let found = Found::new(&arguments.sets)?;
    let measure_next = next::readings(&found.case(), found.sets.first());
    let cautions = found.cautions();
    let readings = found.readings()?;
    let studies = found_studies(&found, arguments.draws)?;
    let answer = Answer {
        readings: readings.as_deref(),
        studies: &studies,
        ..found.answer(&measure_next, &cautions)
    };
    let mut page = text::sets::page(&answer, arguments.sets.show.is_some());
    if arguments.explain {
        let can = &answer.stamped.reading.can;
        if let Some(best) = answer.sets.first() {
            page.append(text::explain::page(&found.case(), answer.parts, best));
        }
        page.append(text::explain::besides(answer.around));
        if let Some(study) = answer.studies.first() {
            page.append(text::spread::in_full(study));
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

/// The studies of the sets found, or of as many as are done at once.
fn found_studies(found: &Found, draws: Option<u32>) -> Result<Vec<Study>, Failure> {
    let most = if draws.is_some() { usize::MAX } else { MOST_DRAWN };
    let sets = &found.sets[..found.sets.len().min(most)];
    studies(&found.case(), sets, found.given.tolerance(), draws.unwrap_or(FEW_DRAWS))
}
