//! What is written where all goes well.

use std::fs;

use crate::run::{FILES, STAMPING, check_whole, names, recan, record, run};

#[test]
fn the_folder_is_made_and_records_are_numbered() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("a job/here");
    let (stdout, _) = run(&mut record(&folder), 0);
    for name in FILES.into_iter().chain(["0001", "job.toml"]) {
        assert!(stdout.contains(name), "{stdout}");
    }
    run(&mut record(&folder), 0);
    assert_eq!(names(&folder), ["job.toml", "records"]);
    let records = folder.join("records");
    assert_eq!(names(&records), ["0001", "0002"]);
    let first = check_whole(&folder, 1);
    assert_eq!(first.stamping, STAMPING);
    assert_eq!(first.chosen, 1);
    assert!(first.date.len() == 10 && first.date.starts_with("20"), "{}", first.date);
    check_whole(&folder, 2);
}

#[test]
fn nothing_is_written_over() {
    let dir = tempfile::tempdir().unwrap();
    run(&mut record(dir.path()), 0);
    let read = |name: &str| fs::read(dir.path().join(name)).unwrap();
    let mine = "# mine\n[[can]]\nstamping = \"40  450; 20 25\" # as typed\n";
    fs::write(dir.path().join("job.toml"), mine).unwrap();
    let (json, page) = (read("records/0001/record.json"), read("records/0001/record.md"));
    run(&mut record(dir.path()), 0);
    assert_eq!(read("records/0001/record.json"), json);
    assert_eq!(read("records/0001/record.md"), page);
    assert_eq!(read("job.toml"), mine.as_bytes());
    check_whole(dir.path(), 2);
}

/// Choosing N takes the set that `sets` shows as N with the same flags.
#[test]
fn ranks_are_those_of_sets() {
    let dir = tempfile::tempdir().unwrap();
    let flags = ["--show", "4", "--rectifier", "5Y3-GT", "--role", "1=reservoir"];
    let (stdout, _) = run(recan(["sets", STAMPING, "--format", "json"]).args(flags), 0);
    let mut answer: serde_json::Value = serde_json::from_str(&stdout).unwrap();
    // A study belongs to the answer, not to the record.
    for set in answer["sets"].as_array_mut().unwrap() {
        set.as_object_mut().unwrap().remove("study").unwrap();
    }
    let sets: Vec<recan::answer::set::SetDoc> =
        serde_json::from_value(answer["sets"].take()).unwrap();
    let count = sets.len();
    for rank in [1, count] {
        let rank_text = rank.to_string();
        let mut command = recan(["record", STAMPING, "--choose", &rank_text, "--job"]);
        run(command.arg(dir.path()).args(flags), 0);
    }
    for (number, rank) in [(1, 1), (2, count)] {
        let record = check_whole(dir.path(), number);
        assert_eq!(record.sets, sets);
        assert_eq!(record.chosen, rank);
        assert_eq!(record.typed.show, Some(4));
    }
    let too_many = (count + 1).to_string();
    let mut command = recan(["record", STAMPING, "--choose", &too_many, "--job"]);
    let (_, stderr) = run(command.arg(dir.path()).args(flags), 2);
    assert!(stderr.contains(&format!("set {too_many} of {count} is chosen")), "{stderr}");
    assert_eq!(names(&dir.path().join("records")).len(), 2);
}

#[test]
fn programs_get_a_document() {
    let dir = tempfile::tempdir().unwrap();
    let (stdout, _) = run(record(dir.path()).args(["--format", "json"]), 0);
    let written: recan::report::record::documents::WrittenDoc =
        serde_json::from_str(&stdout).unwrap();
    assert_eq!((written.schema.as_str(), written.number), ("recan.written/1", 1));
    assert!(fs::metadata(written.json).unwrap().is_file());
    for also in [written.markdown, written.html, written.parts] {
        assert!(fs::metadata(also).unwrap().is_file());
    }
    assert!(written.job.is_some());
    let (stdout, _) = run(record(dir.path()).args(["--format", "json"]), 0);
    let written: serde_json::Value = serde_json::from_str(&stdout).unwrap();
    assert_eq!(written["job"], serde_json::Value::Null);
}

#[test]
fn reason_and_flags_are_kept_as_typed() {
    let dir = tempfile::tempdir().unwrap();
    let reason = "- as the owner asked\n# and | cheap\u{1b}[31m";
    let flags = ["--load", "95mA", "--volts", "1=310", "--restuff", "--reason", reason];
    run(record(dir.path()).args(flags), 0);
    let record = check_whole(dir.path(), 1);
    assert_eq!(record.reason.as_deref(), Some("- as the owner asked\n# and | cheap[31m"));
    assert_eq!(record.typed.load.as_deref(), Some("95mA"));
    assert_eq!(record.typed.volts, ["1=310"]);
    assert!(record.typed.restuff);
    assert!(record.sets.iter().all(|set| set.kind == "separate"));
}
