//! How long it takes to read stampings; each bench checks what it times.

mod table;

use divan::{Bencher, black_box};
use recan::stamping::{Answers, read};

fn main() {
    table::main("stamping");
}

/// The texts of the reference list.
fn texts() -> Vec<String> {
    let list = include_str!("../tests/stampings/acceptance.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(list.as_bytes());
    reader.records().filter_map(|r| r.ok()?.get(1).map(str::to_owned)).collect()
}

#[divan::bench]
fn seventy_rows(bencher: Bencher) {
    let texts = texts();
    assert_eq!(texts.len(), 70);
    bencher.bench(|| {
        let read = |t: &String| read(black_box(t), &Answers::default()).is_ok();
        let good = texts.iter().filter(|t| read(t)).count();
        // 12 rows are refused and 4 leave a question without a safe reading.
        assert_eq!(good, 54);
    });
}

#[divan::bench]
fn stock_line() -> usize {
    let reading = read(black_box("40 µF 475 V; 20 µF 475 V"), &Answers::default());
    let count = reading.map_or(0, |r| r.can.sections().len());
    assert_eq!(count, 2);
    count
}

#[divan::bench]
fn four_sections() -> usize {
    let text = "◗ 40 MFD 450 V\n■ 20 MFD 450 V\n▲ 20 MFD 450 V\n— 20 MFD 25 V\nCOMMON NEG. TO CAN\n235-5412";
    let count = read(black_box(text), &Answers::default()).map_or(0, |r| r.can.sections().len());
    assert_eq!(count, 4);
    count
}

#[divan::bench]
fn longest_text() -> bool {
    let refused = read(black_box(&"40-".repeat(1365)), &Answers::default()).is_err();
    assert!(refused);
    refused
}

#[divan::bench]
fn too_long_text() -> bool {
    let refused = read(black_box(&"40-".repeat(3334)), &Answers::default()).is_err();
    assert!(refused);
    refused
}
