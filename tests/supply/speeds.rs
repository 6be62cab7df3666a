//! The README's table of speeds names what the benches measure; nothing is timed.

#[path = "../../benches/table/rows.rs"]
mod rows;

use rows::{ROWS, rewritten};

const README: &str = include_str!("../../README.md");

/// The lines of the README between which the table stands.
const MARKS: [&str; 2] = ["<!-- speeds -->", "<!-- end of speeds -->"];

/// The table's lines in a README, head left out, each as its cells.
fn cells(readme: &str) -> Vec<Vec<&str>> {
    let inside = readme.split(MARKS[0]).nth(1).and_then(|rest| rest.split(MARKS[1]).next());
    let lines = inside.unwrap_or_default().trim().lines().skip(2);
    lines.map(|line| line.trim_matches('|').split('|').map(str::trim).collect()).collect()
}

#[test]
fn each_row_is_one_that_a_bench_knows() {
    let shown = cells(README);
    assert_eq!(shown.len(), ROWS.len());
    for (shown, row) in shown.iter().zip(&ROWS) {
        assert_eq!(shown[0], row.name);
        assert_eq!(shown[1], format!("`cargo bench --bench {}`", row.bench));
        assert!(!shown[2].is_empty(), "{}", row.name);
    }
}

#[test]
fn medians_get_into_their_rows() {
    let printed = "supply  fastest       │ slowest       │ median        │ mean  │ samples │ iters\n\
        ├─ starting                     │          │          │          │     │\n\
        │  ├─ choke input      1.1 ms   │ 4.302 ms │ 1.234 ms │ 319.5 µs │ 100 │ 100\n\
        │  ╰─ tube, four nodes  577 µs  │ 1 ms     │ 579.6 µs │ 581 µs   │ 100 │ 100\n\
        ╰─ steady_state                 │          │          │          │     │\n\
        \u{20}  ├─ choke input  151 µs      │ 4.302 ms │ 152.9 µs │ 319.5 µs │ 100 │ 100\n\
        \u{20}  ├─ full-wave doubler  43 µs │ 4.159 ms │ 44.51 µs │ 86.64 µs │ 100 │ 100\n\
        \u{20}  ├─ silicon, four nodes  5 µs │ 4.088 ms │ 5.126 µs │ 67.89 µs │ 100 │ 100\n\
        \u{20}  ╰─ tube, four nodes  31 µs  │ 78.5 µs  │ 32.12 µs │ 32.91 µs │ 100 │ 100\n";
    let text = rewritten(README, "supply", printed).expect("every row");
    let measured: Vec<&str> = cells(&text).iter().take(5).map(|row| row[2]).collect();
    assert_eq!(measured, ["32.1 µs", "5.13 µs", "153 µs", "44.5 µs", "580 µs"]);
    // Nothing but those cells has changed.
    assert_eq!(cells(&text)[5..], cells(README)[5..]);
    assert_eq!(text.lines().count(), README.lines().count());
}

#[test]
fn a_missing_median_leaves_the_table_alone() {
    assert_eq!(rewritten(README, "supply", "supply  fastest"), None);
}
