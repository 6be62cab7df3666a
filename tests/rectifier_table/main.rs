//! `data/rectifiers.csv` against `reference.csv` beside this file: the compiled
//! reference (handbooks and data sheets; each row names its source and says in
//! `seen` how sure it is), copied whole. The table must keep every row and
//! every cell of it, and what it adds must agree with the notes.

use std::collections::BTreeSet;

use csv::StringRecord;

const REFERENCE: &str = include_str!("reference.csv");

/// Columns that the table adds to the reference.
const ADDED: [&str; 7] = [
    "supply_resistance_pairs",
    "capacitor_pairs",
    "capacitor_limit",
    "dc_output_pairs",
    "peak_inverse_pairs",
    "same_as",
    "drop_as",
];

fn rows(text: &str) -> (StringRecord, Vec<StringRecord>) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().expect("a header").clone();
    (header, reader.records().map(|r| r.expect("a row")).collect())
}

#[test]
fn keeps_every_cell_of_the_reference() {
    let (header, reference) = rows(REFERENCE);
    let (wide, table) = rows(recan::rectifiers::text());
    let expected: Vec<_> = header.iter().chain(ADDED).collect();
    assert_eq!(wide.iter().collect::<Vec<_>>(), expected);
    assert_eq!((reference.len(), table.len()), (45, 45));
    let mut cells = 0;
    for (ours, theirs) in table.iter().zip(&reference) {
        for (column, cell) in theirs.iter().enumerate() {
            assert_eq!(
                ours.get(column),
                Some(cell),
                "{:?} {:?}",
                theirs.get(0),
                header.get(column)
            );
            cells += 1;
        }
    }
    assert_eq!(cells, 45 * 17);
}

/// Every figure of the added pairs stands in the row's own note or cells.
#[test]
fn every_added_figure_is_in_the_row() {
    let (header, _) = rows(REFERENCE);
    let (wide, table) = rows(recan::rectifiers::text());
    let place = |name: &str| wide.iter().position(|c| c == name).expect("a column");
    for row in &table {
        let figures: BTreeSet<&str> = row
            .iter()
            .take(header.len())
            .flat_map(|cell| cell.split(|c: char| !c.is_ascii_digit()))
            .collect();
        for column in
            ["supply_resistance_pairs", "capacitor_pairs", "dc_output_pairs", "peak_inverse_pairs"]
        {
            for figure in row[place(column)].split([':', ';']).filter(|f| !f.is_empty()) {
                assert!(figures.contains(figure), "{} {column}: {figure}", &row[0]);
            }
        }
    }
}

/// The words of the notes decide what kind of limit the capacitor is.
#[test]
fn kinds_of_limit_follow_the_notes() {
    let (wide, table) = rows(recan::rectifiers::text());
    let place = |name: &str| wide.iter().position(|c| c == name).expect("a column");
    for row in &table {
        let (note, kind) = (&row[place("note")], &row[place("capacitor_limit")]);
        for (words, expected) in [
            ("HARD limit", "hard"),
            ("stated limiting value", "stated"),
            ("soft", "typical"),
            ("uF is the typical capacitor", "typical"),
        ] {
            if note.contains(words) {
                assert_eq!(kind, expected, "{}", &row[0]);
            }
        }
        if row[place("max_input_capacitor_uf")].is_empty() {
            assert_eq!(kind, "", "{}", &row[0]);
        }
    }
}
