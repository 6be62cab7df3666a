//! What can't be written leaves nothing behind.

use std::fs;
#[cfg(unix)]
use std::{path::Path, process::Command};

use crate::run::{STAMPING, names, recan, record, run};

#[test]
fn wrong_choices_write_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("new");
    for (choice, says) in [("0", "set 0 of"), ("1000", "set 1000 of"), ("-1", ""), ("x", "")] {
        let mut command = recan(["record", STAMPING, "--choose", choice, "--job"]);
        let (_, stderr) = run(command.arg(&folder), 2);
        assert!(stderr.contains(says), "{stderr}");
    }
    let reason = "x".repeat(8_001);
    let (_, stderr) = run(record(&folder).args(["--reason", &reason]), 2);
    assert!(stderr.contains("a reason of 8001 characters"), "{stderr}");
    assert!(names(dir.path()).is_empty());
}

#[test]
fn nothing_acceptable_is_nothing_to_choose() {
    let dir = tempfile::tempdir().unwrap();
    let stock = dir.path().join("stock.csv");
    fs::write(&stock, "part,style,sections\nA,radial,1 uF 16 V\n").unwrap();
    let folder = dir.path().join("new");
    let (_, stderr) = run(record(&folder).arg("--stock").arg(&stock), 2);
    assert!(stderr.contains("there is no set to choose"), "{stderr}");
    assert_eq!(names(dir.path()), ["stock.csv"]);
}

#[test]
fn a_file_in_place_of_the_folder() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("file");
    fs::write(&file, "mine").unwrap();
    for folder in [file.clone(), file.join("below"), file.join("far/below")] {
        let (_, stderr) = run(&mut record(&folder), 3);
        assert!(stderr.contains("is a file, a folder is expected"), "{stderr}");
        let (stdout, stderr) = run(record(&folder).args(["--format", "json"]), 3);
        let error: serde_json::Value = serde_json::from_str(&stdout).unwrap();
        assert_eq!(error["schema"], "recan.error/1");
        assert!(stderr.is_empty(), "{stderr}");
    }
    assert_eq!(fs::read(&file).unwrap(), b"mine");
    assert_eq!(names(dir.path()), ["file"]);
}

#[test]
fn a_folder_in_place_of_the_job_file() {
    let dir = tempfile::tempdir().unwrap();
    fs::create_dir(dir.path().join("job.toml")).unwrap();
    let (_, stderr) = run(&mut record(dir.path()), 3);
    assert!(stderr.contains("is a folder"), "{stderr}");
    assert_eq!(names(dir.path()), ["job.toml"]);
}

#[test]
fn a_file_in_place_of_the_records() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("records"), "mine").unwrap();
    run(&mut record(dir.path()), 3);
    assert_eq!(names(dir.path()), ["records"]);
}

/// No permission bits hold the superuser back; the process table does.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_can_t_be_written_to() {
    let (_, stderr) = run(&mut record(Path::new("/proc/recan-job")), 3);
    assert!(stderr.contains("can't be made"), "{stderr}");
    let (_, stderr) = run(&mut record(Path::new("/proc/self")), 3);
    assert!(stderr.contains("can't be made"), "{stderr}");
}

#[cfg(unix)]
#[test]
fn a_folder_closed_by_its_permissions() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("closed");
    fs::create_dir(&folder).unwrap();
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).unwrap();
    // The superuser may write all the same, and then the record must be whole.
    if fs::write(folder.join("probe"), "").is_ok() {
        run(&mut record(&folder), 0);
        crate::run::check_whole(&folder, 1);
        #[cfg(target_os = "linux")]
        a_folder_mounted_read_only(dir.path());
    } else {
        let (_, stderr) = run(&mut record(&folder), 3);
        assert!(stderr.contains("can't be made"), "{stderr}");
        assert!(names(&folder).is_empty());
    }
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o755)).unwrap();
}

/// What holds the superuser back as well: a mount of its own that is read-only,
/// of a folder with a record in it.
#[cfg(target_os = "linux")]
#[track_caller]
fn a_folder_mounted_read_only(dir: &Path) {
    let folder = dir.join("mounted");
    run(&mut record(&folder), 0);
    let script = "mount --bind \"$1\" \"$1\" && mount -o remount,ro,bind \"$1\" || exit 99; \
        shift; exec \"$@\"";
    let mut shell = Command::new("unshare");
    shell.args(["-m", "sh", "-c", script, "sh"]).arg(&folder).arg(env!("CARGO_BIN_EXE_recan"));
    shell.args(["record", STAMPING, "--choose", "1", "--job"]).arg(&folder);
    let (_, stderr) = run(&mut shell, 3);
    assert!(stderr.contains("Read-only file system"), "{stderr}");
    assert!(stderr.contains("nothing was changed"), "{stderr}");
    assert_eq!(names(&folder.join("records")), ["0001"]);
    crate::run::check_whole(&folder, 1);
}

/// A limit on file sizes stands for the full disk: writes fail half-way. The
/// signal that comes with it is ignored, as a full disk sends none.
#[cfg(unix)]
#[track_caller]
fn limited(blocks: usize, folder: &Path, code: i32) -> String {
    let mut shell = Command::new("sh");
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$@\"");
    shell.args(["-c", &script, "sh", env!("CARGO_BIN_EXE_recan")]);
    shell.args(["record", STAMPING, "--choose", "1", "--job"]).arg(folder);
    run(&mut shell, code).1
}

#[cfg(unix)]
#[test]
fn a_full_disk_leaves_nothing_behind() {
    let dir = tempfile::tempdir().unwrap();
    let new = dir.path().join("a/new");
    let old = dir.path().join("old");
    run(&mut record(&old), 0);
    let before = names(&old.join("records"));
    // Of the four files the parts list is the shortest and the document the
    // longest, some 80 kB: the limits stop one after another.
    for blocks in [0, 1, 8, 16, 24, 40] {
        for folder in [&new, &old] {
            let stderr = limited(blocks, folder, 3);
            assert!(stderr.contains("can't be written"), "{stderr}");
            assert!(stderr.contains("nothing was changed"), "{stderr}");
        }
        assert_eq!(names(dir.path()), ["old"]);
        assert_eq!(names(&old.join("records")), before);
    }
    limited(4096, &old, 0);
    assert_eq!(names(&old.join("records")), ["0001", "0002"]);
    crate::run::check_whole(&old, 2);
}
