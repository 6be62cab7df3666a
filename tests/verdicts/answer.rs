//! Runs the program on one side of a case and compares what it answers.

use std::{
    fmt::Write as _,
    fs::{self, File},
    path::Path,
    process::{Command, Stdio},
    thread,
    time::{Duration, Instant},
};

use serde_json::Value;
use tempfile::TempDir;

use super::row::{Expect, First, Side, Stock, Table};

/// Ends what hangs; how fast a command is, the benches measure.
const PATIENCE: Duration = Duration::from_secs(20);
/// The search's bound, the study apart.
const MOST_SOLVES: u64 = 2000;
const HEADER: &str = "part,style,sections,tolerance,ripple_current_a,tan_delta,esr_ohm,max_temperature_c,life_hours,surge_v,diameter_mm,length_mm,quantity,price,note\n";

/// What a side's answer has that it must not have, or lacks.
pub(crate) fn problems(table: &Table, side: &Side) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let arguments = arguments(table, side, &folder);
    let expect = &side.expect;
    let mut problems = Vec::new();
    match run(&arguments, &["--format", "json"], &folder) {
        Err(problem) => return vec![problem],
        Ok((code, stdout)) => match serde_json::from_str::<Value>(&stdout) {
            Err(error) => return vec![format!("exit {code}, no JSON: {error}")],
            Ok(document) => {
                if expect.exit.is_some_and(|right| right != code) {
                    problems.push(format!("exit {code}{}", reason(&document)));
                }
                compare(&document, side, &mut problems);
            }
        },
    }
    if !expect.text.is_empty() || !expect.text_not.is_empty() {
        match run(&arguments, &[], &folder) {
            Err(problem) => problems.push(problem),
            Ok((_, stdout)) => compare_text(&stdout, expect, &mut problems),
        }
    }
    if !problems.is_empty() {
        problems.push(format!("recan {}", arguments.join(" ")));
    }
    problems
}

fn reason(document: &Value) -> String {
    document
        .get("says")
        .and_then(Value::as_str)
        .map_or_else(String::new, |says| format!(": {says}"))
}

fn arguments(table: &Table, side: &Side, folder: &TempDir) -> Vec<String> {
    let stock = stock(side, folder.path());
    let mut arguments = vec![side.run.clone()];
    if let Some((text, can)) = table.job(side) {
        let path = folder.path().join("job.toml");
        fs::write(&path, text).expect("the job can be written");
        arguments.extend(["--job".to_owned(), path.display().to_string()]);
        if let Some(can) = can.filter(|_| !side.args.iter().any(|given| given == "--can")) {
            arguments.extend(["--can".to_owned(), can.to_owned()]);
        }
    }
    for given in &side.args {
        let given = given
            .replace("{309 nines}", &"9".repeat(309))
            .replace("{data}", concat!(env!("CARGO_MANIFEST_DIR"), "/data/jobs"))
            .replace("{stock}", stock.as_deref().unwrap_or_default());
        arguments.push(given);
    }
    for (section, parts) in side.fit.iter().filter(|(_, parts)| !parts.is_empty()) {
        arguments.extend(["--fit".to_owned(), format!("{section}={parts}")]);
    }
    if side.run == "check" || side.run == "sets" {
        arguments.extend(["--draws", "0", "--no-ask"].map(str::to_owned));
        if let Some(stock) = stock {
            arguments.extend(["--stock".to_owned(), stock]);
        }
    }
    arguments
}

fn stock(side: &Side, folder: &Path) -> Option<String> {
    let text = match &side.stock {
        Stock::Named(name) => match name.as_str() {
            "built-in" => return None,
            "unlike-10000" => unlike(10_000),
            _ => include_str!("stock.csv").to_owned(),
        },
        Stock::Lines(lines) => {
            lines.iter().fold(HEADER.to_owned(), |text, line| text + line + "\n")
        }
    };
    let path = folder.join("stock.csv");
    fs::write(&path, text).expect("the list can be written");
    Some(path.display().to_string())
}

/// Lines of which no two have a value, a rating and a price alike.
fn unlike(lines: u32) -> String {
    const VOLTS: [u32; 7] = [25, 160, 350, 450, 475, 500, 600];
    let mut text = HEADER.to_owned();
    for line in 0..lines {
        let volts = VOLTS[line as usize % VOLTS.len()];
        let microfarads = 8.0 + f64::from(line) * 0.009;
        let ripple = 0.2 + f64::from(line) * 0.0002;
        let price = 0.2 + f64::from(line) * 0.001;
        let _ = writeln!(
            text,
            "U{line},axial,{microfarads:.3} µF {volts} V,,{ripple:.4},,,105,2000,,,,,{price:.3},"
        );
    }
    text
}

fn run(arguments: &[String], more: &[&str], folder: &TempDir) -> Result<(i32, String), String> {
    let path = folder.path().join("stdout");
    let stdout = File::create(&path).expect("a file can be made");
    let mut child = Command::new(env!("CARGO_BIN_EXE_recan"))
        .args(arguments)
        .args(more)
        .current_dir(folder.path())
        .env("LC_ALL", "C.UTF-8")
        .env("NO_COLOR", "1")
        .stdin(Stdio::null())
        .stdout(stdout)
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().expect("a child can be waited for") {
            break status;
        }
        if begun.elapsed() > PATIENCE {
            let _ = child.kill();
            let _ = child.wait();
            return Err(format!("no end within {PATIENCE:?}: recan {}", arguments.join(" ")));
        }
        thread::sleep(Duration::from_millis(3));
    };
    let code =
        status.code().ok_or_else(|| format!("ended by a signal: {}", arguments.join(" ")))?;
    Ok((code, fs::read_to_string(&path).map_err(|error| error.to_string())?))
}

fn compare(document: &Value, side: &Side, problems: &mut Vec<String>) {
    let expect = &side.expect;
    if side.run == "sets" && document.get("sets").is_some() {
        match document.pointer("/search/solves").and_then(Value::as_u64) {
            Some(solves) if solves <= MOST_SOLVES => {}
            Some(solves) => problems.push(format!("{solves} solves, over {MOST_SOLVES}")),
            None => problems.push("search.solves is not told".to_owned()),
        }
    }
    let set = document.get("set").or_else(|| document.pointer("/sets/0")).unwrap_or(&Value::Null);
    one_of("verdict", set.get("verdict"), expect.verdict.as_deref(), problems);
    one_of("judged_by", document.get("judged_by"), expect.judged_by.as_deref(), problems);
    for (key, right) in &expect.rules {
        let state = state(document, set, key);
        if !right.split('|').any(|right| right == state) {
            let says = findings(set, key).into_iter().filter_map(|of| of["says"].as_str());
            let says: Vec<&str> = says.collect();
            problems.push(format!("{key} is {state}, not {right} ({})", says.join("; ")));
        }
    }
    for (key, [right, within]) in &expect.values {
        let values: Vec<f64> =
            findings(set, key).iter().filter_map(|of| of["value"].as_f64()).collect();
        if !values.iter().any(|value| (value - right).abs() <= *within) {
            problems.push(format!("{key} gives {values:?}, not {right} within {within}"));
        }
    }
    for (key, factor) in &expect.working {
        let found = findings(set, key);
        let workings: Vec<&str> = found.iter().filter_map(|of| of["working"].as_str()).collect();
        if !workings.iter().any(|working| has_figure(working, factor)) {
            problems.push(format!("the working of {key} is {workings:?}, without {factor}"));
        }
    }
    for rule in &expect.chassis {
        if !of_chassis(document, rule) {
            problems.push(format!("{rule} is not said of the chassis"));
        }
    }
    for rule in &expect.not_chassis {
        if of_chassis(document, rule) {
            problems.push(format!("{rule} is said of the chassis"));
        }
    }
    compare_sets(document, expect, problems);
    for (pointer, right) in &expect.json {
        let found = document.pointer(pointer).and_then(Value::as_f64);
        if found != Some(*right) {
            problems.push(format!("{pointer} is {found:?}, not {right}"));
        }
    }
    let has_any =
        |keys: &[&str]| keys.iter().any(|key| document.get(key).is_some_and(is_something));
    if expect.asks && !has_any(&["next_readings", "measure_next", "next", "readings"]) {
        problems.push("it names no reading to take".to_owned());
    }
    if expect.says_so && !has_any(&["questions", "assumed", "ignored", "notices", "says"]) {
        problems.push("it says nothing of what it took".to_owned());
    }
}

/// A whole figure, so that 1.1 is not found in 1.15 (1.10 is 1.1).
fn has_figure(text: &str, figure: &str) -> bool {
    let right = figure.parse::<f64>().ok();
    text.split(|c: char| !c.is_ascii_digit() && c != '.')
        .any(|word| right.is_some() && word.parse().ok() == right)
}

fn is_something(value: &Value) -> bool {
    match value {
        Value::Null => false,
        Value::Array(of) => !of.is_empty(),
        Value::String(of) => !of.is_empty(),
        _ => true,
    }
}

fn one_of(what: &str, found: Option<&Value>, right: Option<&str>, problems: &mut Vec<String>) {
    let Some(right) = right else { return };
    let found = found.and_then(Value::as_str).unwrap_or("not there");
    if !right.split('|').any(|right| right == found) {
        problems.push(format!("{what} is {found}, not {right}"));
    }
}

fn compare_sets(document: &Value, expect: &Expect, problems: &mut Vec<String>) {
    let sets = list(document, "sets");
    let doing: Vec<&Value> = sets
        .iter()
        .filter(|set| matches!(set["verdict"].as_str(), Some("pass" | "caution")))
        .collect();
    match expect.sets {
        Some(0) if !doing.is_empty() => {
            problems.push(format!("{} sets do, where none does", doing.len()));
        }
        Some(least) if doing.len() < least => {
            problems.push(format!("{} sets do, not {least} or more", doing.len()));
        }
        _ => {}
    }
    if expect.answers && sets.is_empty() && list(document, "nearest_misses").is_empty() {
        problems.push("neither a set nor a nearest miss".to_owned());
    }
    let has = |kind: &String| doing.iter().any(|set| set["kind"].as_str() == Some(kind));
    for kind in expect.kinds.iter().filter(|kind| !has(kind)) {
        problems.push(format!("no set of kind {kind}"));
    }
    for kind in expect.no_kinds.iter().filter(|kind| has(kind)) {
        problems.push(format!("a set of kind {kind}"));
    }
    compare_first(sets.first().unwrap_or(&Value::Null), &expect.first, problems);
}

fn compare_first(set: &Value, first: &First, problems: &mut Vec<String>) {
    one_of("kind of the first", set.get("kind"), first.kind.as_deref(), problems);
    let rated = |name: &str| {
        let section = list(set, "sections").iter().find(|section| is_called(section, name));
        section.and_then(|section| section["rated_v"].as_f64())
    };
    for (name, least) in &first.min_rated {
        if !rated(name).is_some_and(|rated| rated >= *least) {
            problems
                .push(format!("the first has {:?} V at {name}, not {least} or more", rated(name)));
        }
    }
    for (name, most) in &first.max_rated {
        if !rated(name).is_some_and(|rated| rated <= *most) {
            problems
                .push(format!("the first has {:?} V at {name}, not {most} or less", rated(name)));
        }
    }
}

fn compare_text(stdout: &str, expect: &Expect, problems: &mut Vec<String>) {
    let words = stdout.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let has = |text: &&String| words.contains(&text.to_lowercase());
    for text in expect.text.iter().filter(|text| !has(text)) {
        problems.push(format!("the screen has no \"{text}\""));
    }
    for text in expect.text_not.iter().filter(has) {
        problems.push(format!("the screen has \"{text}\""));
    }
}

fn list<'v>(of: &'v Value, key: &str) -> &'v [Value] {
    of.get(key).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

fn is_called(section: &Value, name: &str) -> bool {
    let number = section["section"].as_u64().map(|number| number.to_string());
    section["mark"].as_str() == Some(name)
        || section["section"].as_str() == Some(name)
        || number.as_deref() == Some(name)
}

/// The findings of a rule ("bplus"), or of a rule at a section ("hum square").
fn findings<'v>(set: &'v Value, key: &str) -> Vec<&'v Value> {
    let (rule, section) = key.split_once(' ').map_or((key, None), |(rule, at)| (rule, Some(at)));
    let sections = list(set, "sections").iter();
    let wanted = sections.filter(|of| section.is_none_or(|name| is_called(of, name)));
    let mut found: Vec<&Value> = wanted.clone().flat_map(|of| list(of, "findings")).collect();
    let numbers: Vec<&Value> = wanted.map(|of| &of["section"]).collect();
    let of_set = list(set, "findings").iter();
    found.extend(of_set.filter(|of| section.is_none() || numbers.contains(&&of["section"])));
    found.retain(|finding| finding["rule"].as_str() == Some(rule));
    found
}

/// The worst of a rule for the parts; else whether it is said of the chassis.
fn state(document: &Value, set: &Value, key: &str) -> &'static str {
    const WORST_FIRST: [&str; 5] = ["fail", "caution", "not-judged", "pass", "note"];
    let found = findings(set, key);
    let worst = WORST_FIRST
        .into_iter()
        .find(|state| found.iter().any(|of| of["verdict"].as_str() == Some(state)));
    let rule = key.split(' ').next().unwrap_or(key);
    worst.unwrap_or(if of_chassis(document, rule) { "chassis" } else { "absent" })
}

fn of_chassis(document: &Value, rule: &str) -> bool {
    list(document, "chassis")
        .iter()
        .any(|of| of.pointer("/finding/rule").and_then(Value::as_str) == Some(rule))
}
