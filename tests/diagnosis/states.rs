//! Named states, each with the twin in which one reading turns the answer, through the
//! binary: `states.py` simulated them, and says in `states.csv` what tells each from its
//! neighbour. Pairs of circuits that give the same readings stand in `pairs.csv`.

use std::{fs, path::Path};

use assert_cmd::Command;
use serde_json::Value;

fn rows(name: &str) -> Vec<csv::StringRecord> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/diagnosis").join(name);
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader.records().map(Result::unwrap).collect()
}

fn answer(folder: &Path, command: &str, job: &str) -> Value {
    let file = folder.join("job.toml");
    fs::write(&file, job).unwrap();
    let mut run = Command::cargo_bin("recan").unwrap();
    run.args([command, "--format", "json", "--job"]).arg(&file);
    if command == "prove" {
        // The parts fitted are what is stamped: `40-20-20 MFD 450 V`.
        let line = job.lines().find(|line| line.starts_with("stamping")).unwrap();
        let (values, rest) = line.split('"').nth(1).unwrap().split_once(" MFD ").unwrap();
        let volts = rest.split(' ').next().unwrap();
        for (name, value) in ["A", "B", "C", "D"].iter().zip(values.split('-')) {
            run.args(["--fit", &format!("{name}={value}/{volts}")]);
        }
    }
    let output = run.output().unwrap();
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&output.stderr)))
}

/// Whether a value is one that is wanted: `failed|suspect`, `!replace`.
fn is(value: &str, wanted: &str) -> bool {
    match wanted.strip_prefix('!') {
        Some(not) => value != not,
        None => wanted.split('|').any(|one| one == value),
    }
}

/// `A=replace B=read leakage`.
fn pairs(text: &str) -> Vec<(String, String)> {
    let mut found: Vec<(String, String)> = Vec::new();
    for word in text.split_whitespace() {
        match (word.split_once('='), found.last_mut()) {
            (Some((key, value)), _) => found.push((key.into(), value.into())),
            (None, Some(last)) => last.1.extend([" ", word]),
            (None, None) => panic!("{text}"),
        }
    }
    found
}

/// `section:worn:A` of the first cause; `none` where nothing is said to be wrong.
fn first(document: &Value) -> String {
    let says = document["says"].as_str().unwrap();
    if says.starts_with("can't tell: ") {
        return "misread".into();
    }
    let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let causes = document["causes"].as_array().unwrap();
    match causes.first() {
        Some(cause) if !says.starts_with("none") || causes[0]["weight"].as_f64() > Some(0.2) => {
            format!("{}:{}:{}", text(&cause["kind"]), text(&cause["fault"]), text(&cause["where"]))
        }
        _ => "none".into(),
    }
}

fn is_first(document: &Value, wanted: &str) -> bool {
    let found = first(document);
    let causes = document["causes"].as_array().unwrap();
    wanted.split('|').any(|one| {
        let alike = |found: &str| {
            found == one || one.ends_with("::") && found.starts_with(one.trim_end_matches(':'))
        };
        let unlikely = causes.first().map(|cause| {
            format!(
                "{}:{}:{}",
                cause["kind"].as_str().unwrap_or_default(),
                cause["fault"].as_str().unwrap_or_default(),
                cause["where"].as_str().unwrap_or_default()
            )
        });
        alike(&found) || unlikely.is_some_and(|found| alike(&found))
    })
}

/// `read:A:DC`, `bridge:B`, as the table has them; nodes by the section there.
fn settles(document: &Value) -> Vec<String> {
    let each = document["settle"].as_array().unwrap().iter().map(|of| {
        let says = of["says"].as_str().unwrap();
        let kinds = [
            ("DC volts", ":DC"),
            ("AC volts at", ":hum"),
            ("leakage", ":leakage"),
            ("the frequency", ":frequency"),
        ];
        let kind = kinds.iter().find(|(start, _)| says.starts_with(start)).map_or("", |of| of.1);
        format!("{}:{}{kind}", of["do"].as_str().unwrap(), of["place"].as_str().unwrap())
    });
    each.collect()
}

fn mismatches(row: &csv::StringRecord, document: &Value) -> Vec<String> {
    let [expected, states, services, settle, outcome] =
        [5, 6, 7, 8, 10].map(|column| row.get(column).unwrap_or_default());
    let mut wrong = Vec::new();
    if !expected.is_empty() && !is_first(document, expected) {
        wrong.push(format!("first {}, not {expected}", first(document)));
    }
    let section = |name: &str, key: &str| {
        let sections = document["sections"].as_array().unwrap().iter();
        let mut sections = sections.filter(|of| of["name"] == name);
        sections.next().unwrap()[key].as_str().unwrap_or("-").to_owned()
    };
    for (list, key) in [(states, "state"), (services, "service")] {
        for (name, wanted) in pairs(list) {
            let found = section(&name, key);
            if !is(&found, &wanted) {
                wrong.push(format!("{name} is {found}, not {wanted}"));
            }
        }
    }
    let at = |wanted: &str| {
        let nodes = [("B1", "A"), ("B2", "B"), ("B3", "C")];
        nodes.iter().fold(wanted.to_owned(), |text, (node, section)| text.replace(node, section))
    };
    let told = settles(document);
    if !settle.is_empty() && !settle.split('|').any(|one| told.contains(&at(one))) {
        wrong.push(format!("settle {told:?}, not {settle}"));
    }
    if !outcome.is_empty() && !is(document["outcome"].as_str().unwrap(), outcome) {
        wrong.push(format!("outcome {}, not {outcome}", document["outcome"]));
    }
    wrong
}

#[test]
fn named_states_and_their_twins() {
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = Vec::new();
    let rows = rows("states.csv");
    assert!(rows.len() >= 70, "{}", rows.len());
    for row in &rows {
        let document = answer(folder.path(), &row[9], &row[11]);
        let found = mismatches(row, &document);
        if !found.is_empty() {
            wrong.push(format!("{} ({}): {}", &row[0], &row[2], found.join("; ")));
        }
    }
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), rows.len(), wrong.join("\n"));
}

/// Where two circuits give the same readings nothing is condemned that is sound in one of
/// them.
#[test]
fn two_circuits_with_the_same_readings() {
    let folder = tempfile::tempdir().unwrap();
    let rows = rows("pairs.csv");
    for pair in rows.chunks(2) {
        let [one, other] = pair else { panic!("{pair:?}") };
        assert_eq!(&one[0], &other[0]);
        let documents = [one, other].map(|row| answer(folder.path(), "fault", &row[3]));
        let states = documents.each_ref().map(|document| {
            let sections = document["sections"].as_array().unwrap().iter();
            sections.map(|of| of["state"].as_str().unwrap().to_owned()).collect::<Vec<_>>()
        });
        for states in &states {
            assert!(!states.contains(&"failed".into()), "{}: {states:?}", &one[0]);
        }
    }
}
