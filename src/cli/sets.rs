//! `recan sets`.

use clap::Args;
use recan::{
    judge::Case,
    next,
    report::{Answer, json, text},
    safety,
    search::{Wanted, search},
};

use super::{
    ANSWERED_NO, Failure, Reply,
    arguments::{FactArguments, StampingArguments, StockArguments},
    stamped::stamped,
    stock::list,
};

/// Ranks replacement sets from stock, each judged, and the nearest misses
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    stamping: StampingArguments,
    #[command(flatten)]
    stock: StockArguments,
    /// Show the best N sets, and N of each kind, in full
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=200))]
    show: Option<u16>,
    /// Only parts that go inside the old can, so that the set looks original
    #[arg(long)]
    restuff: bool,
    /// Print each figure with its limits and its source
    #[arg(long)]
    explain: bool,
    #[command(flatten)]
    facts: FactArguments,
}

pub(crate) fn run(arguments: &Arguments) -> Result<Reply, Failure> {
    let stamped = stamped(&arguments.stamping)?;
    let can = &stamped.reading.can;
    let facts = arguments.facts.typed().read(can)?;
    let mut list = list(arguments.stock.stock.as_deref())?;
    if arguments.restuff {
        list.parts.retain(recan::part::Part::goes_inside_a_can);
    }
    let case = Case::new(can, &facts);
    let found = search(&case, &list.parts, wanted(arguments.show));
    let answer = Answer {
        stamped: &stamped,
        facts: &facts,
        parts: &list.parts,
        stock: &list.source,
        sets: &found.sets,
        nearest_misses: &found.nearest_misses,
        measure_next: &next::readings(&case, found.sets.first()),
        cautions: &safety::cautions(can),
    };
    let mut page = text::sets::page(&answer, arguments.show.is_some());
    if arguments.explain
        && let Some(best) = found.sets.first()
    {
        page.append(text::explain::page(can, &list.parts, best));
    }
    Ok(Reply {
        page,
        json: json::to_text(&json::sets(&answer)),
        remarks: list.remarks,
        code: if found.sets.is_empty() { ANSWERED_NO } else { 0 },
    })
}

fn wanted(show: Option<u16>) -> Wanted {
    show.map_or_else(Wanted::default, |n| Wanted { overall: n.into(), of_each_kind: n.into() })
}
