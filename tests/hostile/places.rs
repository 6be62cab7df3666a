//! Names that are paths, and what else may stand where a job file should.

use std::{fs, path::Path, process::Command};

use super::{COMMANDS, every_command, files::GOOD, run};

/// Everything below a folder, as paths.
fn below(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            found.push(path.strip_prefix(folder).unwrap().display().to_string());
            if path.is_dir() {
                open.push(path);
            }
        }
    }
    found.sort();
    found
}

/// No name in a job file is a place on the disk: what is written goes to the job
/// folder and nowhere else.
#[test]
fn names_that_are_paths_are_only_names() {
    for name in ["../../x", "/etc/passwd", "..", "C:\\x", "~/x", "a/../../b", "\u{2215}x"] {
        let outer = tempfile::tempdir().unwrap();
        let job = outer.path().join("a/job");
        fs::create_dir_all(&job).unwrap();
        let quoted = name.replace('\\', "\\\\");
        let text = GOOD.replacen("\"Set\"", &format!("\"{quoted}\""), 1);
        fs::write(job.join("job.toml"), &text).unwrap();
        for arguments in COMMANDS {
            run(arguments, &job);
        }
        let written = below(outer.path());
        let inside = |path: &String| path == "a" || path.starts_with("a/job");
        assert!(written.iter().all(inside), "{name}: {written:?}");
        assert!(written.contains(&"a/job/records/0001/record.json".into()), "{name}: {written:?}");
        // A can or a node of that name is a name too, or refused.
        every_command(
            GOOD.replacen("[[can]]", &format!("[[can]]\nname = \"{quoted}\""), 1).as_bytes(),
            |_, _| {},
        );
        every_command(GOOD.replace("\"B2\"", &format!("\"{quoted}\"")).as_bytes(), |_, _| {});
    }
}

/// A folder, a pipe that nobody writes to, an endless device, a link to itself.
#[test]
fn what_is_no_file_is_told() {
    for (what, make) in [
        ("a folder", &["mkdir"][..]),
        ("a pipe", &["mkfifo"]),
        ("a device", &["ln", "-s", "/dev/zero"]),
        ("a ring", &["ln", "-s", "job.toml"]),
        ("a link to nothing", &["ln", "-s", "/nowhere/at/all"]),
    ] {
        for arguments in COMMANDS {
            let folder = tempfile::tempdir().unwrap();
            let file = folder.path().join("job.toml");
            let made = Command::new(make[0]).args(&make[1..]).arg(&file).status().unwrap();
            assert!(made.success(), "{what}");
            let ended = run(arguments, folder.path());
            let told = format!("{what} {arguments:?} {}: {}{}", ended.code, ended.out, ended.err);
            // `open` begins where there is no file, as behind a link to nothing.
            let begins = arguments[0] == "open" && what.ends_with("nothing");
            assert!(ended.code >= 1 || begins, "{told}");
            assert!(
                ended.code == 3
                    || ["open", "stock"].contains(&arguments[0])
                    || what.ends_with("nothing"),
                "{told}"
            );
        }
    }
}
