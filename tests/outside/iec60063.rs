//! IEC 60063 preferred numbers: every row of `data/iec60063.csv`, whose `source`
//! and `seen` columns say where each was seen. E192 is not in that table: its
//! formula and one exception are checked beside the code.

use recan::quantity::Tolerance;
use recan::series::{Series, neighbours, smallest_series_with};
use recan::value::Value;

struct Row {
    series: String,
    index: usize,
    preferred: f64,
    tolerance: String,
}

fn rows() -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(&include_bytes!("data/iec60063.csv")[..]);
    reader
        .records()
        .map(|record| record.expect("the table is well-formed"))
        .map(|record| Row {
            series: record[0].to_owned(),
            index: record[1].parse().expect("an index"),
            preferred: record[2].parse().expect("a number"),
            tolerance: record[6].to_owned(),
        })
        .collect()
}

fn named(name: &str) -> Series {
    Series::ALL.into_iter().find(|series| series.name() == name).expect("a known series")
}

#[test]
fn every_value_stands_in_its_place() {
    let rows = rows();
    assert_eq!(rows.len(), 3 + 6 + 12 + 24 + 48 + 96);
    for row in &rows {
        let value = named(&row.series).values()[row.index];
        approx::assert_relative_eq!(f64::from(value) / 100.0, row.preferred, max_relative = 1e-12);
    }
    for series in Series::ALL.into_iter().filter(|series| *series != Series::E192) {
        let listed = rows.iter().filter(|row| row.series == series.name()).count();
        assert_eq!(series.values().len(), listed, "{series}");
    }
}

#[test]
fn every_value_is_found_in_its_series_in_every_decade() {
    for row in rows() {
        let series = named(&row.series);
        for decade in -13..=6 {
            let x: f64 = format!("{}e{decade}", row.preferred).parse().expect("a number");
            let near = neighbours(x, series).expect("in range");
            assert!(near.exact.is_some(), "{x} in {series}");
            assert!(near.below.value < x && x < near.above.value, "{x} in {series}");
            let smallest = smallest_series_with(x).expect("some series");
            assert!(smallest <= series, "{x}: {smallest} and not {series}");
        }
    }
}

#[test]
fn tied_tolerances() {
    for row in rows() {
        let tied = named(&row.series).tolerance().map(Tolerance::print);
        if row.tolerance.starts_with('>') {
            assert_eq!(tied, None, "{}", row.series);
        } else {
            let listed = Tolerance::read(&row.tolerance).map(Tolerance::print).ok();
            assert_eq!(tied, listed, "{}", row.series);
        }
    }
}
