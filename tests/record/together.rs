//! Runs at once.

use std::{
    collections::BTreeSet,
    process::{Child, Stdio},
};

use recan::report::record::documents::WrittenDoc;

use crate::run::{check_whole, names, record};

#[test]
fn eight_writers_at_once_get_eight_numbers() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("new");
    let start = |_| record(&folder).stdout(Stdio::null()).spawn().unwrap();
    let children: Vec<Child> = (0..8).map(start).collect();
    for mut child in children {
        assert!(child.wait().unwrap().success());
    }
    for number in 1..=8 {
        check_whole(&folder, number);
    }
    assert_eq!(names(&folder.join("records")).len(), 8);
    assert_eq!(names(&folder), ["job.toml", "records"]);
}

/// Each of two writers is told the number of its own record, and no number is
/// given twice or left out.
#[test]
fn two_writers_at_once_a_hundred_times() {
    let dir = tempfile::tempdir().unwrap();
    let start = |_| {
        let mut command = record(dir.path());
        command.args(["--format", "json"]).stdout(Stdio::piped()).spawn().unwrap()
    };
    let mut told = BTreeSet::new();
    for _ in 0..100 {
        let pair: Vec<Child> = (0..2).map(start).collect();
        for child in pair {
            let output = child.wait_with_output().unwrap();
            assert!(output.status.success());
            let written: WrittenDoc = serde_json::from_slice(&output.stdout).unwrap();
            assert!(told.insert(written.number), "{} was given twice", written.number);
        }
    }
    assert_eq!(told.into_iter().collect::<Vec<_>>(), (1..=200).collect::<Vec<_>>());
    assert_eq!(names(&dir.path().join("records")).len(), 200);
    (1..=200).for_each(|number| drop(check_whole(dir.path(), number)));
}
