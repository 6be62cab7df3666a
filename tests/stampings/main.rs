//! The stamping reader against two lists: `acceptance.csv` (the project's
//! reference list; its column `seen` says which rows stood on real cans) and
//! `variants.csv` (worked out by the rules in `format.md`, none seen).

mod expected;
mod properties;
mod surge;
mod wording;

use expected::{Row, judge, rows};

#[track_caller]
#[expect(clippy::print_stdout, reason = "the counts by kind are part of the test's answer")]
fn check_list(name: &str, text: &str) {
    let rows = rows(text);
    assert!(!rows.is_empty(), "{name} has no rows");
    let mut kinds: Vec<(String, usize, usize)> = Vec::new();
    let mut failures = Vec::new();
    for row in &rows {
        let verdict = judge(row);
        let slot = kinds.iter().position(|k| k.0 == row.kind).unwrap_or_else(|| {
            kinds.push((row.kind.clone(), 0, 0));
            kinds.len() - 1
        });
        kinds[slot].2 += 1;
        match verdict {
            Ok(()) => kinds[slot].1 += 1,
            Err(why) => failures.push(describe(row, &why)),
        }
    }
    for (kind, passed, all) in &kinds {
        println!("{name}: {kind}: {passed} of {all}");
    }
    assert!(failures.is_empty(), "{name}: {} rows differ\n{}", failures.len(), failures.join("\n"));
}

fn describe(row: &Row, why: &str) -> String {
    format!("{} {:?}\n  wanted: {}\n  {why}", row.id, row.text, row.expected)
}

#[test]
fn acceptance_list() {
    check_list("acceptance", include_str!("acceptance.csv"));
}

#[test]
fn variants_list() {
    check_list("variants", include_str!("variants.csv"));
}

/// Written from the rules alone, without a look at the reader. Three answers
/// were reworded afterwards: F074 says which sections the surge volts are for,
/// F136 and F160 name another part of the cause.
#[test]
fn blind_list() {
    check_list("blind", include_str!("blind.csv"));
}
