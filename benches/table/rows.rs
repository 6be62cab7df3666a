//! The rows of the README's table of speeds, and how measured medians get in.

/// A row: its name, the bench program, and the function and argument there.
pub(crate) struct Row {
    pub(crate) name: &'static str,
    pub(crate) bench: &'static str,
    function: &'static str,
    argument: &'static str,
}

const fn row(
    bench: &'static str,
    function: &'static str,
    argument: &'static str,
    name: &'static str,
) -> Row {
    Row { name, bench, function, argument }
}

/// Every row, in the README's order.
pub(crate) const ROWS: [Row; 26] = [
    row("supply", "steady_state", "tube, four nodes", "steady state, tube, four nodes"),
    row("supply", "steady_state", "silicon, four nodes", "steady state, silicon, four nodes"),
    row("supply", "steady_state", "choke input", "steady state, choke input"),
    row("supply", "steady_state", "full-wave doubler", "steady state, full-wave doubler"),
    row("supply", "starting", "tube, four nodes", "switching on, tube, four nodes"),
    row("search", "supply_known_lines_10_000", "", "search, supply known, 10,000 lines"),
    row("search", "supply_known_all_caution", "", "search, supply known, all is caution"),
    row("search", "supply_known_nothing_passes", "", "search, supply known, nothing passes"),
    row("search", "supply_known_all_different", "", "search, supply known, no two alike"),
    row("search", "built_in_stock", "", "search without a supply, built-in stock"),
    row("search", "lines_10_000", "", "search without a supply, 10,000 lines"),
    row("search", "lines_10_000_nothing_fits", "", "search without a supply, nothing fits"),
    row("search", "lines_10_000_all_different", "", "search without a supply, no two alike"),
    row("spread", "ten_thousand_draws", "job1", "tolerance study, 10,000 draws, tube"),
    row("spread", "ten_thousand_draws", "job3", "tolerance study, 10,000 draws, field coil"),
    row("spread", "ten_thousand_draws", "job5", "tolerance study, 10,000 draws, silicon"),
    row("process", "read", "", "`recan read`, whole process"),
    row("process", "sets", "", "`recan sets`, whole process"),
    row("process", "sets_job1", "", "`recan sets`, tube console, with study"),
    row("process", "sets_job2", "", "`recan sets`, AC/DC set, with study"),
    row("process", "sets_job3", "", "`recan sets`, field coil, with study"),
    row("process", "sets_job4", "", "`recan sets`, 230 V radio, with study"),
    row("process", "sets_full-wave-doubler", "", "`recan sets`, doubler, with study"),
    row("process", "sets_choke-input", "", "`recan sets`, choke input, with study"),
    row("stock", "read_lines", "10000", "read a 10,000-line list"),
    row("stamping", "four_sections", "", "read a four-section stamping"),
];

/// The README with the medians of one bench's printed table in its rows; `None`
/// where a row or its median is missing.
pub(crate) fn rewritten(readme: &str, bench: &str, printed: &str) -> Option<String> {
    let mut text = readme.to_owned();
    for row in ROWS.iter().filter(|row| row.bench == bench) {
        let median = median(printed, row.function, row.argument)?;
        let old = text.lines().find(|line| line.starts_with(&format!("| {} |", row.name)))?;
        let mut cells: Vec<&str> = old.split(" |").collect();
        let new = format!(" {median}");
        *cells.get_mut(2)? = &new;
        let new = cells.join(" |");
        text = text.replace(&old.to_owned(), &new);
    }
    Some(text)
}

/// The median that a bench's printed table shows, to three figures.
fn median(printed: &str, function: &str, argument: &str) -> Option<String> {
    let mut within = false;
    for line in printed.lines() {
        let deep = line.starts_with([' ', '│']);
        let Some((_, rest)) = line.split_once("─ ") else { continue };
        let label = rest.split(['│']).next()?.split("  ").next()?.trim();
        if !deep {
            within = label == function;
        }
        if within && if deep { label == argument } else { argument.is_empty() } {
            return three_figures(rest.split('│').nth(2)?.trim());
        }
    }
    None
}

fn three_figures(median: &str) -> Option<String> {
    let (number, unit) = median.split_once(' ')?;
    let number: f64 = number.parse().ok()?;
    let places = usize::from(number < 10.0) + usize::from(number < 100.0);
    Some(format!("{number:.places$} {unit}"))
}
