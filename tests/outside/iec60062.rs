//! IEC 60062 marking codes: every row of `data/iec60062.csv`, whose `source` and
//! `seen` columns say where each code was seen, and the tolerance letters.

use recan::quantity::{Capacitance, Resistance, Tolerance, in_microfarads, in_ohms};
use recan::value::{Read, Remark, Value, letter_tolerance};

struct Row {
    text: String,
    value: f64,
    note: String,
}

fn rows(kind: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(&include_bytes!("data/iec60062.csv")[..]);
    reader
        .records()
        .map(|record| record.expect("the table is well-formed"))
        .filter(|record| &record[1] == kind)
        .map(|record| Row {
            text: record[0].to_owned(),
            value: record[2].parse().expect("values are numbers"),
            note: record[4].to_owned(),
        })
        .collect()
}

#[track_caller]
fn check(row: &Row, found: f64, tolerance: Option<Tolerance>, remarks: &[Remark]) {
    let error = (found / row.value - 1.0).abs();
    assert!(error < 1e-12, "{}: {found} and not {}", row.text, row.value);
    let printed = tolerance.map(Tolerance::print);
    assert_eq!(printed.is_some(), row.note.contains("tolerance"), "{}", row.text);
    let Some((_, noted)) = row.note.split_once('=').filter(|(left, _)| left.contains("tolerance"))
    else {
        return;
    };
    if row.note.contains("absolute") {
        assert!(remarks.contains(&Remark::AbsoluteTolerance), "{}", row.text);
        return;
    }
    let noted = noted.split('%').next().unwrap_or_default().trim();
    let noted = Tolerance::read(&format!("{noted} %")).map(Tolerance::print).ok();
    // `K = +/-10 %: second letter` and the like name the band after the sign.
    assert_eq!(printed, noted, "{}", row.text);
}

#[test]
fn every_resistor_code() {
    let rows = rows("R");
    assert_eq!(rows.len(), 21);
    for row in &rows {
        let Read { value, tolerance, remarks } =
            Resistance::read_fully(&row.text).expect(&row.text);
        check(row, in_ohms(value), tolerance, &remarks);
    }
}

#[test]
fn every_capacitor_code() {
    let rows = rows("C");
    assert_eq!(rows.len(), 17);
    for row in &rows {
        let Read { value, tolerance, remarks } =
            Capacitance::read_fully(&row.text).expect(&row.text);
        check(row, in_microfarads(value) / 1e6, tolerance, &remarks);
    }
}

/// The row `4p7C`: ±0.25 pF on 4.7 pF.
#[test]
fn absolute_tolerance_under_ten_picofarads() {
    let read = Capacitance::read_fully("4p7C").expect("a code");
    let band = read.tolerance.expect("a tolerance");
    approx::assert_relative_eq!(band.plus() * 4.7, 0.25, max_relative = 1e-12);
    approx::assert_relative_eq!(band.minus() * 4.7, 0.25, max_relative = 1e-12);
}

/// IEC 60062 tolerance letters, from memory; K and M also seen in an
/// encyclopedia's article on electrolytic capacitors.
#[test]
fn every_tolerance_letter() {
    let letters = [
        ('L', "±0.01 %"),
        ('P', "±0.02 %"),
        ('W', "±0.05 %"),
        ('B', "±0.1 %"),
        ('C', "±0.25 %"),
        ('D', "±0.5 %"),
        ('F', "±1 %"),
        ('G', "±2 %"),
        ('H', "±3 %"),
        ('J', "±5 %"),
        ('K', "±10 %"),
        ('M', "±20 %"),
        ('N', "±30 %"),
        ('Q', "-10/+30 %"),
        ('T', "-10/+50 %"),
        ('S', "-20/+50 %"),
        ('Z', "-20/+80 %"),
    ];
    for letter in 'A'..='Z' {
        let expected = letters.iter().find(|(l, _)| *l == letter).map(|(_, band)| *band);
        assert_eq!(letter_tolerance(letter).map(Tolerance::print).as_deref(), expected, "{letter}");
    }
}
