use super::*;

fn forms(number: u32) -> Forms {
    Forms {
        json: format!("{{{number}}}"),
        markdown: format!("# {number}"),
        html: format!("<p>{number}"),
        parts: format!("{number}\n"),
    }
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn job(folder: &Path) -> NewJob {
    NewJob { path: folder.join("job.toml"), text: "[[can]]\n".into() }
}

#[test]
fn numbers_follow_each_other() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("a/b");
    let first = append(&folder, Some(&job(&folder)), &forms).unwrap();
    assert_eq!((first.number, first.job), (1, Some(folder.join("job.toml"))));
    let second = append(&folder, None, &forms).unwrap();
    assert_eq!((second.number, second.job), (2, None));
    assert_eq!(names(&folder), ["job.toml", "records"]);
    assert_eq!(names(&folder.join(RECORDS)), ["0001", "0002"]);
    assert_eq!(
        names(&folder.join("records/0002")),
        ["parts.csv", "record.html", "record.json", "record.md"]
    );
    assert_eq!(fs::read_to_string(second.markdown).unwrap(), "# 2");
}

#[test]
fn a_number_of_an_early_record_is_taken() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join(RECORDS);
    fs::create_dir(&records).unwrap();
    for name in ["0007.md", "12345.json", "99999999999999.md", "x.md", "20000.txt", "+9.md"] {
        fs::write(records.join(name), "old").unwrap();
    }
    assert_eq!(append(dir.path(), None, &forms).unwrap().number, 12346);
}

#[test]
fn the_last_number_is_the_last() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join(RECORDS);
    fs::create_dir(&records).unwrap();
    fs::write(records.join("4294967295.md"), "old").unwrap();
    let error = append(dir.path(), None, &forms).unwrap_err();
    assert!(matches!(error, FolderError::NoNumber { .. }), "{error}");
    assert_eq!(names(&records), ["4294967295.md"]);
}

#[test]
fn a_number_taken_meanwhile_is_passed_over() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join(RECORDS);
    let racing = |number| {
        if number == 1 {
            for name in ["0001", "0002"] {
                fs::create_dir(records.join(name)).unwrap();
                fs::write(records.join(name).join(JSON), "theirs").unwrap();
            }
        }
        forms(number)
    };
    assert_eq!(append(dir.path(), None, &racing).unwrap().number, 3);
    assert_eq!(names(&records), ["0001", "0002", "0003"]);
    assert_eq!(fs::read_to_string(records.join("0002").join(JSON)).unwrap(), "theirs");
    assert_eq!(fs::read_to_string(records.join("0003").join(JSON)).unwrap(), "{3}");
}

#[test]
fn a_job_file_that_appears_meanwhile_must_say_the_same() {
    for (theirs, right) in [("[[can]]\n", true), ("[[can]] # other\n", false)] {
        let dir = tempfile::tempdir().unwrap();
        let racing = |number| {
            fs::write(dir.path().join("job.toml"), theirs).unwrap();
            forms(number)
        };
        let written = append(dir.path(), Some(&job(dir.path())), &racing);
        assert_eq!(written.is_ok(), right, "{written:?}");
        assert_eq!(fs::read_to_string(dir.path().join("job.toml")).unwrap(), theirs);
        assert_eq!(dir.path().join(RECORDS).exists(), right);
    }
}

#[test]
fn a_file_on_the_way_is_named() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("file");
    fs::write(&file, "").unwrap();
    for folder in [file.clone(), file.join("under/it")] {
        let error = append(&folder, None, &forms).unwrap_err();
        let expected = format!("{} is a file, a folder is expected", file.display());
        assert_eq!(error.to_string(), expected);
    }
    assert_eq!(names(dir.path()), ["file"]);
}

#[test]
fn records_may_be_a_file_too() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join(RECORDS), "mine").unwrap();
    let error = append(dir.path(), Some(&job(dir.path())), &forms).unwrap_err();
    assert!(matches!(error, FolderError::NotAFolder { .. }), "{error}");
    assert_eq!(names(dir.path()), [RECORDS]);
}

#[test]
fn only_abandoned_temporary_files_are_removed() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join(RECORDS);
    fs::create_dir(&records).unwrap();
    let now = fs::metadata(&records).unwrap().modified().unwrap();
    for (name, age) in [(".recan-old.tmp", 7200), (".recan-live.tmp", 60), ("old.tmp", 7200)] {
        let file = File::create(records.join(name)).unwrap();
        file.set_modified(now - Duration::from_secs(age)).unwrap();
    }
    fs::create_dir(records.join(".recan-half.tmp")).unwrap();
    fs::write(records.join(".recan-half.tmp/record.md"), "half").unwrap();
    let half = File::open(records.join(".recan-half.tmp")).unwrap();
    half.set_modified(now - Duration::from_hours(2)).unwrap();
    append(dir.path(), None, &forms).unwrap();
    assert_eq!(names(&records), [".recan-live.tmp", "0001", "old.tmp"]);
}

#[cfg(unix)]
#[test]
fn records_are_as_open_as_the_mask_allows() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let written = append(dir.path(), None, &forms).unwrap();
    let plain = dir.path().join("plain");
    fs::write(&plain, "").unwrap();
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
    assert_eq!(mode(&written.json), mode(&plain));
}
