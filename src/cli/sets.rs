//! `recan sets`.

use clap::Args;
use recan::{
    answer::sets::{Searched, sets},
    next,
    render::{self, sets::Shown},
    report::json,
    spread::Study,
};

use super::{
    ANSWERED_NO, Failure, Format, Outcome, arguments::SetArguments, draws::studies, found::Found,
    screen::screen,
};

/// Heading of the options that say what to show.
const SHOWN: &str = "What to show besides";
/// Draws of each set where nobody told how many: shares to 2.5 %.
const FEW_DRAWS: u32 = 400;
/// Sets shown where nobody told how many: the best of each kind.
const A_KIND_EACH: usize = 3;

/// Ranks replacement sets from stock, each judged, and the nearest misses
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    sets: SetArguments,
    /// Draws of the tolerance study of each set, 0 for none; it informs and changes
    /// no verdict and no rank
    ///
    /// Absent, 400 draws of the best set; with a number, of each set shown. A supply
    /// must be known.
    #[arg(long, value_name = "N", help_heading = SHOWN)]
    draws: Option<u32>,
    /// Print each figure with its limits and its source
    #[arg(long, help_heading = SHOWN)]
    explain: bool,
}

pub(crate) fn run(arguments: &Arguments, format: Format) -> Result<Outcome, Failure> {
    // A program gets all that is ranked; a screen only what it shows.
    let shown = arguments.sets.show.map_or(A_KIND_EACH, usize::from);
    let wanted = if format == Format::Json { usize::MAX } else { shown };
    let found = Found::new(&arguments.sets, wanted)?;
    let case = found.case();
    let measure_next = next::readings(&case, found.sets.first());
    let cautions = found.cautions();
    let readings = found.readings()?;
    let studies = found_studies(&found, arguments.draws, shown)?;
    let document = sets(&Searched {
        readings: readings.as_deref(),
        studies: &studies,
        ..found.answer(&case, &measure_next, &cautions)
    });
    let shown = Shown { sets: arguments.sets.show.map(usize::from), explain: arguments.explain };
    Ok(Outcome {
        stdout: match format {
            Format::Text => render::sets::text(&document, shown, screen()),
            Format::Json => json::to_text(&document),
        },
        stderr: if format == Format::Text { found.remarks() } else { String::new() },
        code: if found.sets.is_empty() { ANSWERED_NO } else { 0 },
    })
}

/// The studies of the sets shown where draws are asked for, else of the best alone.
fn found_studies(found: &Found, draws: Option<u32>, shown: usize) -> Result<Vec<Study>, Failure> {
    let most = if draws.is_some() { shown } else { 1 };
    let sets = found.sets.get(..found.sets.len().min(most)).unwrap_or_default();
    studies(&found.case(), sets, found.given.tolerance(), draws.unwrap_or(FEW_DRAWS))
}
