//! One whole record, as a technician reads it.

use recan::report::{json, record::markdown};

use crate::decided::decided;

const REASON: &str = "Owner wants the can for looks; 20 µF at 500 V is no longer made.\n\
    Two 47/300 in series clear 550 V.";

#[test]
fn the_whole_page() {
    insta::assert_snapshot!(markdown::page(&decided(REASON)));
}

#[test]
fn the_document_reads_back_and_equals() {
    let record = decided(REASON);
    let text = json::to_text(&record);
    assert_eq!(
        serde_json::from_str::<recan::report::record::documents::RecordDoc>(&text).unwrap(),
        record
    );
    assert_eq!(json::to_text(&decided(REASON)), text);
}

#[test]
fn unknown_fields_are_refused() {
    let text = json::to_text(&decided("")).replacen('{', "{\"more\": 1,", 1);
    let error = serde_json::from_str::<recan::report::record::documents::RecordDoc>(&text);
    assert!(error.unwrap_err().to_string().contains("unknown field `more`"));
}

#[test]
fn balance_resistors_are_bought() {
    let record = decided("");
    let resistor = record.buy.iter().find(|item| item.ohm.is_some()).unwrap();
    // 500 V stamped; two 47 µF ±20 %: the worse takes 0.6 of it.
    assert_eq!((resistor.ohm, resistor.least_v), (Some(220_000.0), Some(300.0)));
    assert_eq!((resistor.quantity, &resistor.sections), (2, &vec![2]));
}
