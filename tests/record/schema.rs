//! Records against the published schema.

use std::fs;

use recan::report::{
    json,
    record::{
        documents::{PredictionDoc, ReadingFigureDoc, RecordDoc},
        read, schema,
    },
};
use serde_json::Value;

use crate::{
    decided::decided,
    run::{recan, record, run},
};

fn value(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

/// What the schema finds wrong with a document, by a validator of draft 2020-12
/// that is not ours.
#[track_caller]
fn wrong(document: &Value) -> Vec<String> {
    let validator = jsonschema::draft202012::new(&value(schema::text())).unwrap();
    validator.iter_errors(document).map(|error| error.to_string()).collect()
}

/// A record with every part that may be null.
fn full() -> RecordDoc {
    let predicted = PredictionDoc {
        place: "B1".into(),
        what: "DC volts".into(),
        value: 301.25,
        low: Some(295.0),
        high: None,
        unit: "V".into(),
    };
    let taken = ReadingFigureDoc {
        place: "B1".into(),
        what: "DC volts".into(),
        value: 0.1 + 0.2,
        unit: "V".into(),
    };
    RecordDoc { predicted: Some(vec![predicted]), readings: Some(vec![taken]), ..decided("why") }
}

#[test]
fn the_schema_is_one_and_records_keep_to_it() {
    assert!(jsonschema::draft202012::meta::is_valid(&value(schema::text())));
    for record in [decided(""), full()] {
        assert_eq!(wrong(&value(&json::to_text(&record))), Vec::<String>::new());
    }
    let dir = tempfile::tempdir().unwrap();
    run(&mut record(dir.path()), 0);
    let text = fs::read_to_string(dir.path().join("records/0001/record.json")).unwrap();
    assert_eq!(wrong(&value(&text)), Vec::<String>::new());
}

#[test]
fn what_is_no_record_does_not_keep_to_it() {
    let right = value(&json::to_text(&full()));
    for (path, with) in [
        ("/number", Value::from("7")),
        ("/schema", Value::from("recan.record/1")),
        ("/can/sections/0/capacitance_uf", Value::Null),
        ("/predicted/0/unit", Value::Null),
        ("/inputs/stock_lines/0", Value::from("a line")),
    ] {
        let mut document = right.clone();
        *document.pointer_mut(path).unwrap() = with;
        assert_ne!(wrong(&document), Vec::<String>::new(), "{path}");
    }
    let mut more = right;
    more["more"] = Value::from(1);
    assert_eq!(wrong(&more).len(), 1);
}

#[test]
fn a_record_read_and_written_has_the_same_bytes() {
    for record in [decided(""), full()] {
        let text = json::to_text(&record);
        assert_eq!(json::to_text(&read::read("record.json", &text).unwrap()), text);
    }
}

#[test]
fn record_prints_the_schema() {
    for format in ["text", "json"] {
        let (stdout, _) = run(&mut recan(["record", "--schema", "--format", format]), 0);
        assert_eq!(value(&stdout), value(schema::text()));
    }
    run(&mut recan(["record", "--schema", "--choose", "1"]), 2);
}

/// What recan 0.1.0 wrote before records had folders and inputs.
#[test]
fn a_record_of_the_first_version_is_readable() {
    let text = include_str!("data/record-1.json");
    let record = read::read("record-1.json", text).unwrap();
    assert_eq!((record.number, record.chosen, record.inputs.is_none()), (1, 2, true));
    assert_eq!(record.reason.as_deref(), Some("From stock; owner wants no can."));
    assert!(record.facts.iter().any(|fact| fact.from == "handbook"));
    assert_eq!(wrong(&value(&json::to_text(&record))), Vec::<String>::new());
    let early = value(text);
    let now = value(&json::to_text(&record));
    for (key, was) in early.as_object().unwrap() {
        if !["schema", "facts"].contains(&key.as_str()) {
            let mut now = now[key].clone();
            without_new_keys(&mut now);
            assert_eq!(&now, was, "{key}");
        }
    }
}

/// Leaves out the keys that the first version had not, where they hold nothing.
fn without_new_keys(of: &mut serde_json::Value) {
    match of {
        serde_json::Value::Object(map) => {
            map.retain(|key, value| match key.as_str() {
                "working" => !value.is_null(),
                "or" => value.as_array().is_none_or(|all| !all.is_empty()),
                _ => true,
            });
            map.values_mut().for_each(without_new_keys);
        }
        serde_json::Value::Array(all) => all.iter_mut().for_each(without_new_keys),
        _ => {}
    }
}
