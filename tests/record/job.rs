//! Where the stamping comes from.

use std::fs;

use crate::run::{STAMPING, names, recan, record, run};

const TWO_CANS: &str = "[[can]]\nname = \"left\"\nstamping = \"40 450; 20 25\"\n[[can]]\nname = \"right\"\nstamping = \"8 475\"\n";

#[test]
fn the_stamping_comes_from_the_job() {
    let dir = tempfile::tempdir().unwrap();
    run(&mut record(dir.path()), 0);
    // What to read next is a key of the job where there is one.
    let answer = |says: String| says.split("\nNext ").next().unwrap_or_default().to_owned();
    let typed = answer(run(&mut recan(["sets", STAMPING]), 0).0);
    for place in [dir.path().to_owned(), dir.path().join("job.toml")] {
        let (from_job, _) = run(recan(["sets", "--job"]).arg(&place), 0);
        assert_eq!(answer(from_job), typed);
        run(recan(["record", "--choose", "2", "--job"]).arg(&place), 0);
    }
    let (here, _) = run(recan(["sets"]).current_dir(dir.path()), 0);
    assert_eq!(answer(here), typed);
    run(recan(["record", "--choose", "1"]).current_dir(dir.path()), 0);
    assert_eq!(names(&dir.path().join("records")).len(), 4);
    let fit = ["check", "--fit", "1=47/450", "--fit", "2=22/25", "--job"];
    let (checked, _) = run(recan(fit).arg(dir.path()), 0);
    assert!(checked.contains("47 µF"), "{checked}");
}

#[test]
fn another_stamping_is_refused() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("job.toml"), "[[can]]\nstamping = \"8 475\"\n").unwrap();
    let (_, stderr) = run(&mut record(dir.path()), 2);
    assert!(stderr.contains("the stamping typed differs from the one in"), "{stderr}");
    assert_eq!(names(dir.path()), ["job.toml"]);
}

#[test]
fn several_cans_ask_for_one() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("job.toml"), TWO_CANS).unwrap();
    let with = |can: &str| {
        let mut command = recan(["record", "--choose", "1", "--job"]);
        command.arg(dir.path());
        if !can.is_empty() {
            command.args(["--can", can]);
        }
        command
    };
    let (_, stderr) = run(&mut with(""), 2);
    assert!(stderr.contains("the job has 2 cans") && stderr.contains("left, right"), "{stderr}");
    let (_, stderr) = run(&mut with("middle"), 2);
    assert!(stderr.contains("no can is called middle"), "{stderr}");
    run(&mut with("right"), 0);
    let record = crate::run::check_whole(dir.path(), 1);
    assert_eq!((record.stamping.as_str(), record.typed.can.as_deref()), ("8 475", Some("right")));
}

#[test]
fn facts_of_the_job_are_used_and_flags_go_before_them() {
    let dir = tempfile::tempdir().unwrap();
    let text = "[[can]]\nstamping = \"20 450\"\n[rectifier]\ncircuit = \"full-wave\"\n\
        device = \"5Y3-GT\"\n[[node]]\nname = \"B1\"\nsection = \"1\"\nrole = \"reservoir\"\n";
    fs::write(dir.path().join("job.toml"), text).unwrap();
    let check = |arguments: &[&str], code| {
        let fit = ["check", "--fit", "1=47/450", "--job"];
        let (stdout, _) = run(recan(fit).arg(dir.path()).args(arguments), code);
        stdout.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(check(&["--explain"], 1).contains("a 5Y3-GT takes 20 µF as first capacitor"));
    let explained = check(&["--rectifier", "GZ34", "--explain"], 0);
    assert!(explained.contains("takes 60 µF as first capacitor"), "{explained}");
    fs::write(dir.path().join("job.toml"), text.replace("device", "devise")).unwrap();
    let (_, stderr) = run(recan(["sets", "--job"]).arg(dir.path()), 2);
    assert!(stderr.contains("device"), "{stderr}");
}

#[test]
fn the_folder_may_have_its_own_stock() {
    let dir = tempfile::tempdir().unwrap();
    let stock = "part,style,sections\nONLY,radial,47 uF 450 V\n";
    fs::write(dir.path().join("stock.csv"), stock).unwrap();
    run(&mut record(dir.path()), 0);
    let record = crate::run::check_whole(dir.path(), 1);
    assert!(record.stock.source.ends_with("stock.csv"), "{}", record.stock.source);
    let of_stock = |item: &str| item == "ONLY" || item == "balance resistor";
    assert!(record.buy.iter().all(|bought| of_stock(&bought.item)));
}

#[test]
fn bad_jobs_are_one_clear_error() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("job.toml");
    for (text, code, says) in [
        ("", 2, "no [[can]] in the job file"),
        ("[[can]]\n", 2, "missing field `stamping`"),
        ("can = 3\n", 2, "invalid type"),
        ("[[can]]\nstamping = \"8 475\n", 2, "job.toml"),
        ("[[can]]\nstamping = \"\\u001b[31m\"\n", 2, ""),
    ] {
        fs::write(&file, text).unwrap();
        let (_, stderr) = run(recan(["sets", "--job"]).arg(dir.path()), code);
        assert!(stderr.contains(says), "{text:?}: {stderr}");
        assert!(!stderr.contains('\u{1b}'), "{stderr:?}");
    }
    fs::write(&file, vec![b'#'; (1 << 20) + 1]).unwrap();
    let (_, stderr) = run(recan(["sets", "--job"]).arg(dir.path()), 3);
    assert!(stderr.contains("is larger than"), "{stderr}");
    fs::write(&file, [0xff, 0xfe]).unwrap();
    let (_, stderr) = run(recan(["sets", "--job"]).arg(dir.path()), 3);
    assert!(stderr.contains("is no text"), "{stderr}");
    fs::write(&file, "[".repeat(100_000)).unwrap();
    run(recan(["sets", "--job"]).arg(dir.path()), 2);
    fs::write(&file, format!("x = {}", "[".repeat(100_000))).unwrap();
    run(recan(["sets", "--job"]).arg(dir.path()), 2);
}

#[test]
fn what_is_missing_is_named() {
    let dir = tempfile::tempdir().unwrap();
    let (_, stderr) = run(recan(["record", "--choose", "1", "--job"]).arg(dir.path()), 3);
    assert!(stderr.contains("job.toml does not exist"), "{stderr}");
    let (_, stderr) = run(recan(["record", STAMPING, "--choose", "1"]).current_dir(dir.path()), 2);
    assert!(stderr.contains("no job folder to write to"), "{stderr}");
    let (_, stderr) = run(recan(["sets"]).current_dir(dir.path()), 2);
    assert!(stderr.contains("no stamping"), "{stderr}");
    let (_, stderr) = run(&mut recan(["sets", STAMPING, "--can", "x"]), 2);
    assert!(stderr.contains("no job to look for the can in"), "{stderr}");
    assert!(names(dir.path()).is_empty());
}
