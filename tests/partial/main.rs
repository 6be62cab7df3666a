//! Any subset of what can be known: the example jobs and ten more, with random facts
//! left out or changed, all through the real binary. By default a seeded sample;
//! `RECAN_PARTIAL_CASES=500` runs the whole of it.

mod facts;
mod program;

use std::{
    collections::BTreeMap,
    io::{self, Write},
};

use serde_json::Value;

use facts::{Draw, Fact, Job};
use program::{Bench, Ran};

/// Cases of each kind that run by default.
const SAMPLE: u64 = 90;
/// Every so many cases the other commands run as well.
const OTHERS_EVERY: u64 = 4;
/// Parts tried on every job: how much of the stamped microfarads and volts they have.
const FITS: [(f64, f64); 4] = [(1.0, 1.0), (1.0, 0.85), (1.0, 1.35), (2.4, 1.0)];
/// What decides whether anything can be solved.
const DECIDING: [&str; 3] = ["rectifier.winding", "rectifier.device", "rectifier.transformer"];
/// Where an answer lists the readings to take, by the keys of a job file.
const READINGS: &str = "next_readings";

fn cases() -> u64 {
    let told = std::env::var("RECAN_PARTIAL_CASES").ok();
    told.and_then(|told| told.parse().ok()).unwrap_or(SAMPLE)
}

/// What a run of cases came to.
#[derive(Default)]
struct Tally {
    problems: Vec<String>,
    runs: u64,
    slowest_s: f64,
    peak_kb: u64,
    compared: u64,
    better: u64,
    /// Better, and none of the missing facts stands among the readings to take.
    unlisted: u64,
    bare_possible: u64,
    warming: u64,
}

impl Tally {
    /// Takes a run in, with what is wrong in any answer whatever was told.
    fn take(&mut self, case: &str, ran: Result<Ran, String>, codes: &[i32]) -> Option<Ran> {
        self.runs += 1;
        let ran = match ran {
            Ok(ran) => ran,
            Err(problem) => {
                self.problems.push(format!("{case}: {problem}"));
                return None;
            }
        };
        self.slowest_s = self.slowest_s.max(ran.seconds);
        self.peak_kb = self.peak_kb.max(ran.peak_kb);
        for problem in ran.unsound(codes) {
            self.problems.push(format!("{case}: {problem}"));
        }
        Some(ran)
    }

    fn report(&self, what: &str) {
        let _ = writeln!(
            io::stderr(),
            "{what}: {} runs, slowest {:.2} s, most memory {} MB; {} compared with the full job, \
             {} better, {} of them unlisted, {} that could have been a bare pass, {} by the stamping behind an \
             indirectly heated rectifier",
            self.runs,
            self.slowest_s,
            self.peak_kb / 1024,
            self.compared,
            self.better,
            self.unlisted,
            self.bare_possible,
            self.warming
        );
    }

    fn hold(self, what: &str) {
        self.report(what);
        assert_eq!(self.unlisted, 0, "{what}: better, and no reading to take says so");
        let shown: Vec<&str> = self.problems.iter().take(60).map(String::as_str).collect();
        assert!(
            self.problems.is_empty(),
            "{what}: {} problems\n{}",
            self.problems.len(),
            shown.join("\n")
        );
    }
}

/// Told in full, each of them is answered: the rest compares with that.
#[test]
fn full_jobs_are_answered() {
    let mut tally = Tally::default();
    for job in facts::all() {
        let bench = Bench::of(&job, &job.text);
        for command in ["sets", "supply", "fault"] {
            let case = format!("{} {command}", job.name);
            let ran = tally.take(&case, bench.run(command, &[]), &[0, 1]);
            let Some(ran) = ran else { continue };
            let judged_by = ran.document["judged_by"].as_str();
            if command == "sets" && judged_by != Some("supply") {
                tally.problems.push(format!("{case}: judged by {judged_by:?}"));
            }
            if command == "supply" && ran.document["nodes"].as_array().is_none_or(Vec::is_empty) {
                tally.problems.push(format!("{case}: no node is solved"));
            }
        }
    }
    tally.hold("full jobs");
}

#[test]
fn facts_left_out() {
    let mut tally = Tally::default();
    let jobs = facts::all();
    let full: Vec<Full> = jobs.iter().map(|job| Full::of(job, &mut tally)).collect();
    for seed in 0..cases() {
        let at = usize::try_from(seed).unwrap_or(0) % jobs.len();
        let mut draw = Draw::of(seed);
        let (text, missing) = facts::left_out(&jobs[at], &mut draw);
        let case = format!("{} seed {seed} without {}", jobs[at].name, keys(&missing).join(", "));
        let bench = Bench::of(&jobs[at], &text);
        // A fact not told is never wrong input.
        let sets = tally.take(&case, bench.run("sets", &[]), &[0, 1]);
        for fit in &full[at].fits {
            let arguments = fit.arguments();
            let Some(part) = tally.take(&case, bench.run("check", &arguments), &[0, 1]) else {
                continue;
            };
            let Some(whole) = &fit.whole else { continue };
            let answers = [Some(&part), sets.as_ref()];
            compare(&case, (whole, full[at].device.as_deref()), answers, &missing, &mut tally);
        }
        if seed % OTHERS_EVERY == 0 {
            for command in ["supply", "fault"] {
                let case = format!("{case}: {command}");
                tally.take(&case, bench.run(command, &[]), &[0, 1]);
            }
        }
    }
    assert!(tally.compared > 0, "nothing was compared: {:?}", tally.problems);
    tally.hold("facts left out");
}

#[test]
fn facts_changed() {
    let mut tally = Tally::default();
    let jobs = facts::all();
    for seed in 0..cases() {
        let job = &jobs[usize::try_from(seed).unwrap_or(0) % jobs.len()];
        let mut draw = Draw::of(seed + 1_000_000);
        let (text, changed) = facts::changed(job, &mut draw);
        let case = format!("{} seed {seed} with {}", job.name, changed.join(", "));
        let bench = Bench::of(job, &text);
        // Changed, facts may well not be true together.
        tally.take(&case, bench.run("sets", &[]), &[0, 1, 2]);
        if seed % OTHERS_EVERY == 0 {
            for command in ["supply", "fault"] {
                let case = format!("{case}: {command}");
                tally.take(&case, bench.run(command, &[]), &[0, 1, 2]);
            }
        }
    }
    tally.hold("facts changed");
}

fn keys(facts: &[Fact]) -> Vec<&str> {
    facts.iter().map(|fact| fact.key.as_str()).collect()
}

/// The parts tried on a job, and what the job told in full says of them.
struct Full {
    fits: Vec<Fit>,
    device: Option<String>,
}

struct Fit {
    parts: BTreeMap<String, String>,
    whole: Option<String>,
}

impl Full {
    fn of(job: &Job, tally: &mut Tally) -> Self {
        let bench = Bench::of(job, &job.text);
        let sets = tally.take(&job.name, bench.run("sets", &[]), &[0, 1]);
        let sections = sets.map(|ran| ran.document["can"]["sections"].clone()).unwrap_or_default();
        let fits = FITS.iter().map(|factors| parts(&sections, *factors));
        let fits = fits.map(|parts| Fit { parts, whole: None }).collect();
        let mut full = Self { fits, device: job.fact("rectifier.device") };
        for at in 0..full.fits.len() {
            let arguments = full.fits[at].arguments();
            let ran = tally.take(&job.name, bench.run("check", &arguments), &[0, 1]);
            let verdict = ran.as_ref().and_then(Ran::verdict);
            if verdict.is_none() {
                tally.problems.push(format!("{}: no verdict of {arguments:?}", job.name));
            }
            full.fits[at].whole = verdict.map(str::to_owned);
        }
        full
    }
}

impl Fit {
    fn arguments(&self) -> Vec<String> {
        let each = self.parts.iter();
        each.flat_map(|(at, part)| ["--fit".to_owned(), format!("{at}={part}")]).collect()
    }
}

fn parts(sections: &Value, (capacitance, volts): (f64, f64)) -> BTreeMap<String, String> {
    let each = sections.as_array().map_or(&[][..], Vec::as_slice).iter();
    each.filter_map(|section| {
        let microfarads = section["capacitance_uf"].as_f64()? * capacitance;
        let rated = (section["rated_v"].as_f64()? * volts).round();
        let number = section["section"].as_u64()?;
        Some((number.to_string(), format!("{microfarads:.1}/{rated}")))
    })
    .collect()
}

fn grade(verdict: &str) -> u8 {
    match verdict {
        "pass" => 0,
        "caution" => 1,
        _ => 2,
    }
}

/// The same parts with facts left out, beside what the full job says of them.
fn compare(
    case: &str,
    (whole, device): (&str, Option<&str>),
    [part, sets]: [Option<&Ran>; 2],
    missing: &[Fact],
    tally: &mut Tally,
) {
    let Some(part) = part else { return };
    let Some(verdict) = part.verdict() else {
        tally.problems.push(format!("{case}: `check` gives no verdict"));
        return;
    };
    tally.compared += 1;
    if grade(verdict) >= grade(whole) {
        return;
    }
    tally.better += 1;
    let listed = |ran: &Ran| missing.iter().any(|fact| turns(&ran.document, &fact.key));
    if !listed(part) && !sets.is_some_and(listed) {
        tally.unlisted += 1;
        let _ = writeln!(
            io::stderr(),
            "{case}: {whole} became {verdict}, and none of that is among the readings to take"
        );
    }
    let missing_any = |keys: &[&str]| missing.iter().any(|fact| keys.contains(&fact.key.as_str()));
    if whole == "fail" && missing_any(&DECIDING) {
        tally.bare_possible += 1;
        let by_supply = part.document["judged_by"].as_str() == Some("supply");
        let told = device.filter(|_| !missing_any(&["rectifier.device"]));
        let by_stamping = told.is_some() && !part.judges("cold-start");
        if verdict == "pass" && (by_supply || by_stamping) {
            // Behind a cathode that warms with its loads the limits let the stamping
            // judge: counted, so that it is seen how often.
            if !by_supply && told.is_some_and(facts::warms_with_its_loads) {
                tally.warming += 1;
            } else {
                tally.problems.push(format!("{case}: a bare pass of what the full job fails"));
            }
        }
    }
}

/// A reading to take by that key, with what the verdict can turn to. DC may be told at
/// a node or among the readings.
fn turns(document: &Value, key: &str) -> bool {
    let readings = document[READINGS].as_array().map_or(&[][..], Vec::as_slice);
    let read = key.strip_prefix("measured.dc.").map(|node| format!("node.{node}.volts"));
    let wanted = read.as_deref().unwrap_or(key);
    readings.iter().any(|reading| {
        let keys = reading["key"].as_str().unwrap_or_default();
        let mut keys = keys.split(" and ").flat_map(|keys| keys.split(" or "));
        keys.any(|own| own == wanted) && reading.get("verdict").is_some_and(|to| !to.is_null())
    })
}
