//! Runs at once, and runs that are killed.

use std::{
    fs,
    path::Path,
    process::{Child, Stdio},
};

use crate::run::{check_whole, names, record, run};

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
    assert_eq!(names(&folder.join("records")).len(), 16);
    assert_eq!(names(&folder), ["job.toml", "records"]);
}

/// Kills runs at many moments of the writing. What has a record's name is
/// whole, and the next run goes on.
#[test]
fn a_kill_tears_nothing() {
    let dir = tempfile::tempdir().unwrap();
    run(&mut record(dir.path()), 0);
    let records = dir.path().join("records");
    let (mut killed, mut lone) = (0, 0);
    for round in 0..30 {
        let mut seen = names(&records);
        let mut child = record(dir.path()).stdout(Stdio::null()).spawn().unwrap();
        // Two files get a temporary name and then their own: each round waits
        // for another of these changes.
        let mut changes = 0;
        while changes < 1 + round % 4 && child.try_wait().unwrap().is_none() {
            let now = names(&records);
            changes += usize::from(now != seen);
            seen = now;
        }
        child.kill().unwrap();
        killed += usize::from(!child.wait().unwrap().success());
        lone += check_all(dir.path());
    }
    println!("{killed} of 30 runs were killed, {lone} times a document was without its page");
    assert!(killed > 0, "no run was killed in time");
    run(&mut record(dir.path()), 0);
    let last = names(&records).iter().filter_map(|n| n.strip_suffix(".md")?.parse().ok()).max();
    check_whole(dir.path(), last.unwrap());
}

/// Checks every record; how many have no page.
#[track_caller]
fn check_all(folder: &Path) -> usize {
    let records = folder.join("records");
    let all = names(&records);
    let mut lone = 0;
    for name in &all {
        if let Some(stem) = name.strip_suffix(".json") {
            if all.contains(&format!("{stem}.md")) {
                check_whole(folder, stem.parse().unwrap());
            } else {
                let text = fs::read_to_string(records.join(name)).unwrap();
                serde_json::from_str::<recan::report::record::documents::RecordDoc>(&text).unwrap();
                lone += 1;
            }
        } else if let Some(stem) = name.strip_suffix(".md") {
            assert!(all.contains(&format!("{stem}.json")), "{name} has no document");
        } else {
            assert!(name.starts_with(".recan-"), "{name}");
        }
    }
    lone
}
