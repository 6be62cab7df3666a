//! Records worked out again.

use std::{fs, path::Path};

use recan::report::record::check_documents::{ChangeDoc, RecordCheckDoc};

use crate::run::{names, recan, record, run};

const STOCK: &str = "part,style,sections,price\nR47,radial,47 uF 450 V,1.60\n\
    R22,radial,22 uF 450 V,1.20\nR25,radial,22 uF 25 V,0.20\nF1,film,1 uF 63 V,0.30\n";

/// Checks a record with more arguments; what is found, where the exit is `code`.
#[track_caller]
pub(crate) fn check(file: &Path, more: &[&str], code: i32) -> RecordCheckDoc {
    let mut command = recan(["record", "check"]);
    let (stdout, stderr) = run(command.arg(file).args(["--format", "json"]).args(more), code);
    assert!(stderr.is_empty(), "{stderr}");
    let found: RecordCheckDoc = serde_json::from_str(&stdout).unwrap();
    assert_eq!(found.same, code == 0);
    found
}

/// `what: of: was → is` of each change.
pub(crate) fn changes(found: &RecordCheckDoc) -> Vec<String> {
    let words = |text: &Option<String>| text.clone().unwrap_or_else(|| "-".into());
    let line = |c: &ChangeDoc| {
        format!("{} {} {}: {} → {}", c.against, c.what, c.of, words(&c.was), words(&c.is))
    };
    found.changes.iter().map(line).collect()
}

/// A job folder with stock of its own and one record.
fn job() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("stock.csv"), STOCK).unwrap();
    run(record(dir.path()).args(["--volts", "1=310", "--role", "1=reservoir"]), 0);
    dir
}

/// What the owner reads is held to what the record keeps.
#[test]
fn pages_that_do_not_follow_from_the_record() {
    let dir = job();
    let folder = dir.path().join("records/0001");
    fs::remove_file(folder.join("record.html")).unwrap();
    let parts = fs::read_to_string(folder.join("parts.csv")).unwrap();
    fs::write(folder.join("parts.csv"), parts.replacen(",R47", ",R22", 1) + " ").unwrap();
    let found = changes(&check(&folder, &[], 1));
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found[0].starts_with("record page record.html: as record.json gives it → -"));
    assert!(found[1].starts_with("record page parts.csv: "), "{found:?}");
    // The record by itself is whole.
    check(&folder.join("record.json"), &[], 0);
    // Pages of another version are named, not judged.
    let json = fs::read_to_string(folder.join("record.json")).unwrap();
    let older = json.replace("\"version\": \"0.1.0\"", "\"version\": \"0.0.9\"");
    assert_ne!(json, older);
    fs::write(folder.join("record.json"), older).unwrap();
    fs::write(folder.join("record.html"), "").unwrap();
    let found = check(&folder, &[], 0);
    assert!(found.not_compared.iter().any(|of| of.starts_with("parts.csv: ")), "{found:?}");
}

/// Figures of a set that were edited, of the chosen one and of another.
#[test]
fn figures_of_sets_that_were_edited() {
    let dir = job();
    let file = dir.path().join("records/0001/record.json");
    let kept = fs::read_to_string(&file).unwrap();
    let edited = |of: fn(&mut serde_json::Value)| {
        let mut record: serde_json::Value = serde_json::from_str(&kept).unwrap();
        of(&mut record);
        fs::write(&file, record.to_string()).unwrap();
        let found = changes(&check(&file, &[], 1));
        assert_eq!(found.len(), 1, "{found:?}");
        found[0].clone()
    };
    let says = edited(|r| r["sets"][0]["sections"][0]["capacitance_uf"] = 4.7.into());
    assert!(says.contains("what stands in for section 1: 4.7 µF"), "{says}");
    let says = edited(|r| r["sets"][0]["parts"][0]["quantity"] = 9.into());
    assert!(says.contains("takes from stock: 9 "), "{says}");
    let says = edited(|r| r["sets"][1]["findings"][0]["verdict"] = "fail".into());
    assert!(says.contains("findings otherwise: 1"), "{says}");
}

#[test]
fn the_same_from_the_record_and_from_its_folder() {
    let dir = job();
    let folder = dir.path().join("records/0001");
    for place in [folder.clone(), folder.join("record.json")] {
        let found = check(&place, &[], 0);
        assert_eq!((found.rank, found.rank_in_stock, found.stock), (Some(1), None, None));
    }
    let stock = dir.path().join("stock.csv");
    let found = check(&folder, &["--stock", stock.to_str().unwrap()], 0);
    assert_eq!((found.rank_in_stock, found.stock.as_deref()), (Some(1), Some("stock.csv")));
    let (page, _) = run(recan(["record", "check"]).arg(&folder), 0);
    assert!(page.contains("same, worked out again by recan"), "{page}");
}

/// The stock lines kept are enough for the ranks of every set shown, from the
/// built-in list and with every flag.
#[test]
fn kept_lines_give_the_same_ranks() {
    let dir = tempfile::tempdir().unwrap();
    let flags: [&[&str]; 4] =
        [&[], &["--show", "12"], &["--restuff"], &["--rectifier", "5Y3-GT", "--load", "95mA"]];
    for (i, flags) in flags.into_iter().enumerate() {
        run(record(dir.path()).args(flags), 0);
        check(&dir.path().join(format!("records/{:04}", i + 1)), &[], 0);
    }
}

/// The example jobs, whose supply is solved: each can that has a set to choose.
#[test]
fn records_of_the_example_jobs_are_the_same_again() {
    let jobs = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/data/jobs"));
    let mut checked = 0;
    for name in names(jobs) {
        for can in [None, Some("1"), Some("2")] {
            let dir = tempfile::tempdir().unwrap();
            fs::copy(jobs.join(&name).join("job.toml"), dir.path().join("job.toml")).unwrap();
            let mut command = recan(["record", "--choose", "1", "--job"]);
            command.arg(dir.path()).args(can.map(|can| ["--can", can]).into_iter().flatten());
            if command.output().unwrap().status.success() {
                let found = check(&dir.path().join("records/0001"), &[], 0);
                assert_eq!(found.rank, Some(1), "{name} {can:?}");
                checked += 1;
            }
        }
    }
    assert!(checked >= 5, "only {checked} records were made");
}

#[test]
fn stock_of_today_is_looked_at() {
    let dir = job();
    let folder = dir.path().join("records/0001");
    let today = dir.path().join("today.csv");
    let with = |text: &str| {
        fs::write(&today, text).unwrap();
        changes(&check(&folder, &["--stock", today.to_str().unwrap()], 1))
    };
    let dearer = with(&STOCK.replace("1.60", "9.99"));
    assert!(
        dearer
            .contains(&"stock line R47: R47,radial,47 uF 450 V,1.60 → otherwise, on line 2".into()),
        "{dearer:?}"
    );
    assert!(
        dearer.iter().any(|c| c.starts_with("stock figure price of the chosen set: 1.80 → 10.19")),
        "{dearer:?}"
    );
    let gone = with(&STOCK.replace("R47,radial,47 uF 450 V,1.60\n", ""));
    assert!(gone.contains(&"stock line R47: R47,radial,47 uF 450 V,1.60 → -".into()), "{gone:?}");
    assert!(
        gone.contains(&"stock rank the chosen set: rank 1 → not among the sets".into()),
        "{gone:?}"
    );
    let better = with(&format!("{STOCK}R40,radial,40 uF 450 V,1.00\n"));
    assert!(better.contains(&"stock rank the chosen set: rank 1 → rank 2".into()), "{better:?}");
    let none = with("part,style,sections\n");
    assert!(none.iter().all(|change| change.starts_with("stock ")), "{none:?}");
}

/// 60 µF for 40 µF is a caution, so the record has a near miss; another list has
/// another, and a list with 47 µF has none.
#[test]
fn nearest_misses_of_today_are_looked_at() {
    let dir = tempfile::tempdir().unwrap();
    let stock = "part,style,sections,price\nR60,radial,60 uF 450 V,1.60\n";
    fs::write(dir.path().join("stock.csv"), stock).unwrap();
    fs::write(dir.path().join("job.toml"), "[[can]]\nstamping = \"40 uF 450 V\"\n").unwrap();
    run(recan(["record", "--choose", "1", "--job"]).arg(dir.path()), 0);
    let folder = dir.path().join("records/0001");
    let today = dir.path().join("today.csv");
    let misses = |text: &str, code| {
        fs::write(&today, text).unwrap();
        let found = changes(&check(&folder, &["--stock", today.to_str().unwrap()], code));
        found.into_iter().filter(|c| c.starts_with("stock miss")).collect::<Vec<_>>()
    };
    assert_eq!(misses(stock, 0), Vec::<String>::new());
    let other = misses(&format!("{stock}R56,radial,56 uF 450 V,1.60\n"), 1);
    assert!(other.len() == 1, "one of a rule at a section: {other:?}");
    assert!(
        other[0].starts_with("stock miss nearest miss 1: R60: capacitance, section 1 by 8 µF; ")
    );
    assert!(other[0].contains(" → R56: capacitance, section 1 by 4 µF; "), "{other:?}");
    let none = misses(&format!("{stock}R47,radial,47 uF 450 V,1.60\n"), 1);
    assert!(none.len() == 1 && none[0].ends_with(" → -"), "{none:?}");
}

/// What a program with other rules would find, by records that say otherwise.
#[test]
fn what_came_out_otherwise_is_named() {
    let dir = job();
    let file = dir.path().join("records/0001/record.json");
    let text = fs::read_to_string(&file).unwrap();
    let with = |from: &str, to: &str| {
        assert!(text.contains(from), "{from}");
        let other = dir.path().join("other.json");
        fs::write(&other, text.replacen(from, to, 1)).unwrap();
        changes(&check(&other, &[], 1))
    };
    let verdict = with("\"verdict\": \"pass\"", "\"verdict\": \"fail\"");
    assert_eq!(verdict, ["record verdict the chosen set: fail → pass"]);
    let figure = with("\"limit_low\": 36.0", "\"limit_low\": 39.0");
    assert_eq!(
        figure,
        [
            "record finding capacitance, section 1: pass, 47 µF, 39 to 52 µF → pass, 47 µF, 36 to 52 µF"
        ]
    );
    let line = with("R47,radial,47 uF 450 V,1.60", "R47,radial,33 uF 450 V,1.60");
    assert!(line[0].starts_with("record inputs digest of the stock lines in the record: "));
    assert!(line.iter().any(|c| c.contains("rank the chosen set: rank 1 →")), "{line:?}");
    let stamping = with("\"stamping\": \"40 450; 20 25\"", "\"stamping\": \"40 450\"");
    assert!(
        stamping[0]
            .starts_with("record reading the stamping: 40 µF 450 V; 20 µF 25 V → 40 µF 450 V"),
        "{stamping:?}"
    );
    let nothing = with("\"stamping\": \"40 450; 20 25\"", "\"stamping\": \"\"");
    assert!(nothing[0].starts_with("record inputs what was typed: - → "), "{nothing:?}");
    let rank = with("\"chosen\": 1", "\"chosen\": 999");
    assert_eq!(rank.len(), 1, "{rank:?}");
}

/// A job whose supply is solved, invented, with the record of its first set.
pub(crate) fn supplied() -> tempfile::TempDir {
    let dir = tempfile::tempdir().unwrap();
    let job = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/data/jobs/job1/job.toml"));
    let text = fs::read_to_string(job).unwrap();
    let text = text + "\n[after]\nline = \"121 V\"\ndc = { B1 = \"305 V\" }\n";
    fs::write(dir.path().join("job.toml"), text).unwrap();
    run(recan(["record", "--choose", "1", "--reason", "it is there", "--job"]).arg(dir.path()), 0);
    dir
}

/// The value at a path of keys and positions.
pub(crate) fn at<'v>(value: &'v mut serde_json::Value, path: &[&str]) -> &'v mut serde_json::Value {
    path.iter().fold(value, |value, key| match key.parse::<usize>() {
        Ok(index) if value.get(index).is_some() => &mut value[index],
        // What is not there is as null.
        Ok(_) => &mut *value,
        Err(_) => &mut value[*key],
    })
}

/// Every kind of thing that a record says: where somebody wrote in it, that is
/// found, and nothing else is called changed.
#[test]
fn whatever_was_written_in_a_record_is_found() {
    let dir = supplied();
    let folder = dir.path().join("records/0001");
    check(&folder, &[], 0);
    let text = fs::read_to_string(folder.join("record.json")).unwrap();
    let whole: serde_json::Value = serde_json::from_str(&text).unwrap();
    let kinds: [(&[&str], &str); 16] = [
        (&["question"], "record about the question: "),
        (&["about", "chassis"], "record about the chassis: "),
        (&["facts", "0", "says"], "record fact construction: "),
        (&["findings", "0", "verdict"], "record finding "),
        (&["findings", "0", "value"], "record finding "),
        (&["cautions", "1"], "record caution caution 2: "),
        (&["discharge", "0", "says"], "record discharge discharge of section 1: "),
        (&["wiring", "before", "0"], "record wiring wiring, before, step 1: "),
        (&["wiring", "sections", "0", "steps", "0"], "record wiring wiring, section 1, step 1: "),
        (&["wiring", "after", "0"], "record wiring wiring, after, step 1: "),
        (&["buy", "0", "quantity"], "record part part "),
        (&["measure_next", "0"], "record measure what to measure next 1: "),
        (&["predicted", "0", "value"], "record prediction predicted "),
        (&["predicted", "0", "low"], "record prediction predicted "),
        (&["readings", "0", "value"], "record reading after "),
        (&["sets", "1", "sections", "0", "made_of", "0", "part_section"], "record sets "),
    ];
    for (path, says) in kinds {
        let mut other = whole.clone();
        let place = at(&mut other, path);
        if place.is_null() || place.is_array() {
            // Nothing is left to measure, or nobody tells the name.
            assert!(["measure_next", "about"].contains(&path[0]), "{path:?} is not there");
            continue;
        }
        *place = match &*place {
            serde_json::Value::String(text) if text == "pass" => "fail".into(),
            serde_json::Value::String(text) => format!("{text} otherwise").into(),
            number if number.is_u64() => (number.as_u64().unwrap() + 7).into(),
            number => (number.as_f64().unwrap() * 1.5 + 1.0).into(),
        };
        let file = dir.path().join("other.json");
        fs::write(&file, other.to_string()).unwrap();
        let found = changes(&check(&file, &[], 1));
        assert!(
            !found.is_empty() && found.iter().all(|c| c.starts_with(says)),
            "{path:?}: {found:?}"
        );
    }
    // A step that is gone is named too.
    let mut other = whole.clone();
    at(&mut other, &["cautions"]).as_array_mut().unwrap().pop();
    let file = dir.path().join("other.json");
    fs::write(&file, other.to_string()).unwrap();
    let found = changes(&check(&file, &[], 1));
    assert!(found.len() == 1 && found[0].contains(": - → "), "{found:?}");
}

/// What follows from another line, stamping or reading in the job of today.
#[test]
fn the_job_of_today_is_looked_at() {
    let dir = supplied();
    let folder = dir.path().join("records/0001");
    let file = dir.path().join("job.toml");
    let text = fs::read_to_string(&file).unwrap();
    let by_job = |text: &str, code: i32| {
        fs::write(&file, text).unwrap();
        changes(&check(&folder, &["--job", dir.path().to_str().unwrap()], code))
    };
    assert!(by_job(&text, 0).is_empty());
    // Readings that came later change nothing, nor does a remark.
    assert!(by_job(&(text.clone() + "hum = { B1 = \"1.2 V\" }\n# later\n"), 0).is_empty());
    let line =
        by_job(&text.replacen("[mains]\nvolts = \"122 V\"", "[mains]\nvolts = \"112 V\"", 1), 1);
    assert!(line.iter().all(|c| c.starts_with("job ")), "{line:?}");
    for says in [
        "job fact mains, AC volts rms at the bench: 122 V (measured) → 112 V (measured)",
        "job prediction predicted DC",
    ] {
        assert!(line.iter().any(|c| c.starts_with(says)), "{says}: {line:?}");
    }
    let stamping = by_job(&text.replacen("▲ 20 MFD", "▲ 30 MFD", 1), 1);
    assert!(stamping[0].starts_with("job reading the stamping: "), "{stamping:?}");
    let broken = by_job("[[can]]\n", 1);
    assert!(broken[0].starts_with("job inputs the job file: - → "), "{broken:?}");
    by_job(&text.replacen("122 V", "122 W", 1), 1);
    let mut command = recan(["record", "check"]);
    let (page, _) = run(command.arg(&folder).arg("--job").arg(dir.path()), 1);
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let says = "Job nothing was worked out by the job file of today the job file: job.toml has \
                one error: `W` is";
    assert!(page.contains(says) && !page.contains("the choice is"), "{page}");
    let away = dir.path().join("away");
    let output = recan(["record", "check"]).arg(&folder).arg("--job").arg(away).output().unwrap();
    assert_eq!(output.status.code(), Some(3));
}

/// What a record says otherwise by itself it says otherwise by the job of today too.
#[test]
fn a_change_is_told_once() {
    let dir = supplied();
    let record = dir.path().join("records/0001/record.json");
    let mut whole: serde_json::Value =
        serde_json::from_str(&fs::read_to_string(&record).unwrap()).unwrap();
    *at(&mut whole, &["wiring", "before", "0"]) = "photograph nothing".into();
    let file = dir.path().join("other.json");
    fs::write(&file, whole.to_string()).unwrap();
    let job = dir.path().join("job.toml");
    let text = fs::read_to_string(&job).unwrap();
    let page = || {
        let mut command = recan(["record", "check"]);
        run(command.arg(&file).arg("--job").arg(dir.path()), 1).0
    };
    let found = page();
    assert_eq!(found.matches("photograph nothing").count(), 1, "{found}");
    assert!(found.contains("1 thing changed"), "{found}");
    let of_both =
        "Alike     from its own inputs and by the job file of today:\n          wiring, before";
    assert!(found.contains(of_both) && !found.contains("Itself"), "{found}");
    // What only the job of today makes otherwise stands by itself.
    fs::write(&job, text.replacen("volts = \"122 V\"", "volts = \"121 V\"", 1)).unwrap();
    let found = page();
    assert_eq!(found.matches("photograph nothing").count(), 1, "{found}");
    let (alike, by_job) = found.split_once("Job       by the job file").unwrap();
    assert!(alike.contains(of_both) && by_job.contains("122 V"), "{found}");
    assert!(!by_job.contains("photograph"), "{found}");
}

#[test]
fn a_record_of_the_first_version_is_worked_out() {
    let file = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/record/data/record-1.json"));
    let mut command = recan(["record", "check"]);
    let output = command.arg(file).args(["--format", "json"]).output().unwrap();
    let found: RecordCheckDoc = serde_json::from_slice(&output.stdout).unwrap();
    // The rules may grow; what the early record lacks is told in any case.
    assert_eq!(output.status.code(), Some(i32::from(!found.same)));
    assert_eq!((found.number, found.made_by.as_str()), (1, "0.1.0"));
    assert_eq!(found.not_compared.len(), 1, "{:?}", found.not_compared);
    let of_facts = |c: &&ChangeDoc| ["fact", "reading", "prediction"].contains(&c.what.as_str());
    assert_eq!(found.changes.iter().filter(of_facts).count(), 0, "{found:?}");
}

#[test]
fn what_is_no_record_is_an_error() {
    let dir = tempfile::tempdir().unwrap();
    let (_, stderr) = run(recan(["record", "check"]).arg(dir.path()), 3);
    assert!(stderr.contains("record.json does not exist"), "{stderr}");
    let file = dir.path().join("x.json");
    for (text, says) in [
        ("", "EOF while parsing"),
        ("{}", "no schema, a record expected"),
        ("{\"schema\": \"recan.record/3\"}", "at most recan.record/2 expected"),
        ("{\"schema\": \"recan.record/2\", \"number\": -1}", "invalid value"),
        ("{\"schema\": \"recan.record/2\",\n \"x\u{1b}[31m\": \u{1b}}", "x.json"),
    ] {
        fs::write(&file, text).unwrap();
        let (_, stderr) = run(recan(["record", "check"]).arg(&file), 2);
        assert!(stderr.contains(says), "{text:?}: {stderr}");
        assert!(!stderr.contains('\u{1b}'), "{stderr:?}");
    }
    assert_eq!(names(dir.path()), ["x.json"]);
}
