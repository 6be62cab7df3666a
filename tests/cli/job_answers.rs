//! What `sets` and `check` say of a job whose supply is known. Jobs are invented.

use serde_json::Value;

use super::{contract::keys, prove::FIT, recan};

const JOB_1: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/data/jobs/job1");
const JOB_5: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/data/jobs/job5");
fn sets(more: &[&str]) -> Value {
    recan(&[&["sets", "--job", JOB_1, "--format", "json"], more].concat()).json()
}

fn check(more: &[&str]) -> Value {
    recan(&[&["check", "--job", JOB_1, "--format", "json"], &FIT[..], more].concat()).json()
}

/// Every key of a near miss, of a study and of a reading.
#[test]
fn every_key() {
    let document = recan(&["sets", "--job", JOB_5, "--format", "json"]).json();
    let expected = [
        "assumed",
        "can",
        "cautions",
        "ignored",
        "measure_next",
        "nearest_misses",
        "next_readings",
        "notices",
        "questions",
        "schema",
        "sets",
        "stamping",
        "stock",
    ];
    assert_eq!(keys(&document), expected);
    let miss = &document["nearest_misses"][0];
    assert_eq!(keys(miss), ["by", "remedy", "rule", "section", "set", "unit"]);
    assert_eq!((&miss["rule"], &miss["unit"]), (&"bplus".into(), &"%".into()));
    // Silicon for a 5U4-GB: the remedy has ohms, and what they bring.
    assert!(miss["remedy"].as_str().unwrap().starts_with("150 Ω in each plate lead"));
    let reading = &document["next_readings"][0];
    let expected = [
        "best", "changes", "ends", "key", "needed", "reading", "settles", "turns_at", "verdict",
        "within",
    ];
    assert_eq!(keys(reading), expected);
    assert_eq!(keys(&reading["verdict"]), ["from", "now", "to"]);
    assert_eq!(keys(&reading["changes"][0]), ["from", "now", "rule", "section", "to"]);
    let study = &sets(&[])["sets"][0]["study"];
    let expected = [
        "draws",
        "hum_no_worse",
        "line_v",
        "load_share",
        "nodes",
        "rectifier_peak_a",
        "sections",
        "seed",
        "settled",
        "unsettled",
    ];
    assert_eq!(keys(study), expected);
    assert_eq!(keys(&study["hum_no_worse"]), ["standard_error", "value"]);
    let left = &study["sections"][0]["headroom_v"]["substitute"];
    assert_eq!(keys(left), ["p5", "p95"]);
    let checked = check(&[]);
    let expected = [
        "assumed",
        "cautions",
        "ignored",
        "measure_next",
        "next_readings",
        "notices",
        "original",
        "questions",
        "schema",
        "set",
        "stamping",
        "stock",
        "study",
        "supply",
    ];
    assert_eq!(keys(&checked), expected);
}

/// The study informs: the sets, their ranks and their verdicts are the same with
/// none, few and many draws.
#[test]
fn the_study_changes_no_verdict_and_no_rank() {
    let bare = |mut document: Value| {
        for set in document["sets"].as_array_mut().unwrap() {
            set["study"] = Value::Null;
        }
        document
    };
    let without = sets(&["--draws", "0"]);
    assert!(without["sets"].as_array().unwrap().iter().all(|set| set["study"].is_null()));
    let (few, more) = (sets(&["--draws", "100"]), sets(&["--draws", "700"]));
    assert_ne!(few["sets"][0]["study"]["hum_no_worse"], more["sets"][0]["study"]["hum_no_worse"]);
    assert_eq!(bare(few), without);
    assert_eq!(bare(more), without);
    let (without, with) = (check(&["--draws", "0"]), check(&["--draws", "100"]));
    assert!(without["study"].is_null() && !with["study"].is_null());
    assert_eq!(without["set"], with["set"]);
}

/// A set studied among others has the figures that it has alone.
#[test]
fn a_set_alone_and_among_others() {
    let parts = "part,style,sections\nA,radial,47 µF 475 V\nB,radial,22 µF 475 V\n\
                 C,radial,22 µF 50 V\n";
    let folder = tempfile::tempdir().unwrap();
    let stock = folder.path().join("stock.csv");
    std::fs::write(&stock, parts).unwrap();
    let stock = ["--stock", stock.to_str().unwrap(), "--draws", "200"];
    let listed = sets(&stock);
    let best = &listed["sets"][0];
    let fits = best["sections"].as_array().unwrap().iter().enumerate().map(|(i, section)| {
        let made_of = section["made_of"].as_array().unwrap();
        let names: Vec<&str> = made_of.iter().map(|of| of["part"].as_str().unwrap()).collect();
        format!("{}={}", i + 1, names.join("+"))
    });
    let fits: Vec<String> = fits.collect();
    let mut arguments = vec!["check", "--job", JOB_1, "--format", "json"];
    arguments.extend(fits.iter().flat_map(|fit| ["--fit", fit.as_str()]));
    arguments.extend(stock);
    let alone = recan(&arguments).json();
    assert_eq!(alone["study"], best["study"]);
    assert_eq!(alone["set"]["verdict"], best["verdict"]);
}

/// What a reading decides, with its place in the job file.
#[test]
fn what_to_measure_next() {
    let document = sets(&[]);
    let first = &document["next_readings"][0];
    assert_eq!(first["key"], "node.B2.resistor_rating");
    assert_eq!(
        (&first["verdict"]["from"], &first["verdict"]["to"]),
        (&"caution".into(), &"pass".into())
    );
    assert_eq!(first["changes"][0]["rule"], "resistor-watts");
    // 18 mA through 1 kΩ are 0.33 W, at high line and the upper ends more; twice
    // that passes.
    let turns = first["turns_at"].as_str().unwrap().strip_suffix(" W").unwrap();
    let turns: f64 = turns.parse().unwrap();
    assert!((0.65..0.80).contains(&turns), "{turns}");
    // Once that is told nothing of it is asked, and the next is asked for.
    let told = "resistor = \"1 kΩ\"\nresistor_rating = \"5 W\"";
    let text = std::fs::read_to_string(format!("{JOB_1}/job.toml")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("job.toml"), text.replace("resistor = \"1 kΩ\"", told))
        .unwrap();
    let after =
        recan(&["sets", "--job", folder.path().to_str().unwrap(), "--format", "json"]).json();
    let keys: Vec<&str> = after["next_readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| r["key"].as_str().unwrap())
        .collect();
    assert_eq!(keys[0], "node.B3.resistor_rating");
    assert!(!keys.contains(&"node.B2.resistor_rating"));
}

/// The first answer stays on one screen, with a line a study.
#[test]
fn one_screen() {
    for name in ["job1", "job2", "job3", "job4", "job5", "choke-input", "full-wave-doubler"] {
        let job = format!("{}/data/jobs/{name}", env!("CARGO_MANIFEST_DIR"));
        let text = recan(&["sets", "--job", &job]).stdout;
        assert!(text.lines().count() <= 24, "{name}:\n{text}");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{name}:\n{text}");
        assert!(text.contains("Measure   "), "{name}:\n{text}");
    }
}

/// The good answers of the five scenarios (`scenarios.md`), as they are fitted.
const GOOD: [(&str, &[&str]); 5] = [
    ("job1", &["square=22/450", "half-round=47/450", "triangle=22/450", "plain=22/50"]),
    ("job2", &["red=47/250", "blue=33/250", "yellow=22/25"]),
    ("job3", &["1=2x 22/450 in series", "2=2x 22/450 in series"]),
    ("job4", &["red=47/400", "2=47/400"]),
    ("job5", &["half-round=47/500", "square=47/500", "triangle=33/500", "plain=100/35"]),
];

fn checked(name: &str, fit: &[&str], more: &[&str]) -> super::Run {
    let job = format!("{}/data/jobs/{name}", env!("CARGO_MANIFEST_DIR"));
    let fit = fit.iter().flat_map(|of| ["--fit", of]);
    let arguments: Vec<&str> =
        ["check", "--job", &job].into_iter().chain(fit).chain(more.iter().copied()).collect();
    recan(&arguments)
}

/// The same with every run of spaces and line breaks one space.
fn unwrapped(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `check` answers on one screen, with the reason of every verdict whole but for
/// cautions; `--explain` has all of it.
#[test]
fn check_on_one_screen() {
    for (name, fit) in GOOD {
        let run = checked(name, fit, &[]);
        let text = &run.stdout;
        assert!(text.lines().count() <= 24, "{name}:\n{text}");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{name}:\n{text}");
        for part in ["Verdict   ", "Study     ", "Measure   ", "Caution   ", "original"] {
            assert!(text.contains(part), "{name}: no {part}\n{text}");
        }
        let full = checked(name, fit, &["--explain"]).stdout;
        assert!(full.contains("source: ") && full.contains("tolerance"), "{name}:\n{full}");
        insta::assert_snapshot!(format!("check_{name}"), run.screen());
    }
}

/// A bad one takes more than a screen, but never two.
#[test]
fn a_bad_one_stays_readable() {
    let parts = ["47/350", "47/350 + 22/200", "100/200", "10/16"];
    let marks = ["square", "half-round", "triangle", "plain"];
    let fit: Vec<String> = marks.iter().zip(parts).map(|(m, p)| format!("{m}={p}")).collect();
    let fit: Vec<&str> = fit.iter().map(String::as_str).collect();
    let run = checked("job1", &fit, &[]);
    assert_eq!(run.code, 1);
    assert!(run.stdout.lines().count() <= 40, "{}", run.stdout);
    insta::assert_snapshot!("check_much_fails", run.screen());
}

/// A job of one changed line, in a folder of its own.
fn changed(name: &str, from: &str, to: &str) -> tempfile::TempDir {
    let job = format!("{}/data/jobs/{name}/job.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(job).unwrap();
    assert!(text.contains(from), "{from}");
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("job.toml"), text.replace(from, to)).unwrap();
    folder
}

/// Told facts that can't be so stop every judgement; facts that are missing do not,
/// but are said on every result.
#[test]
fn a_supply_that_cannot_be() {
    let folder = changed("job1", "load = \"70 mA\"", "load = \"900 mA\"");
    let job = folder.path().to_str().unwrap();
    for command in [&["sets", "--job", job][..], &[&["check", "--job", job], &FIT[..]].concat()] {
        let run = recan(command);
        assert_eq!((run.code, run.stdout.as_str()), (2, ""));
        assert!(run.stderr.contains("B1 can't hold the 918 mA"), "{}", run.stderr);
        assert!(run.stderr.contains("load_resistance"), "{}", run.stderr);
    }
    let folder = changed("job1", "winding = \"300 V\"\nwinding_at = \"117 V\"\n", "");
    let job = folder.path().to_str().unwrap();
    let run = recan(&["sets", "--job", job, "--format", "json"]);
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
    let assumed = run.json()["assumed"].to_string();
    assert!(assumed.contains("judged without the supply"), "{assumed}");
    assert!(assumed.contains("rectifier.winding"), "{assumed}");
    assert!(recan(&["sets", "--job", job]).stdout.contains("judged without the supply"));
}

/// Assumptions of the supply are in every answer.
#[test]
fn what_the_supply_rests_on() {
    let folder = changed("job1", "construction = \"isolated\"\n", "");
    let job = folder.path().to_str().unwrap();
    let sets = recan(&["sets", "--job", job, "--format", "json"]).json();
    let check =
        recan(&[&["check", "--job", job, "--format", "json"], &FIT[..]].concat()).json();
    for assumed in [sets["assumed"].to_string(), check["assumed"].to_string()] {
        for part in ["esr that is not told", "126 V", "the chassis is taken as live"] {
            assert!(assumed.contains(part), "{part}: {assumed}");
        }
    }
    let text = recan(&["sets", "--job", job]).stdout;
    assert!(text.lines().count() <= 24, "{text}");
    let text = unwrapped(&text);
    assert!(text.contains("Assumed ") && text.contains("isolation transformer"), "{text}");
    let isolated = unwrapped(&recan(&["sets", "--job", JOB_1]).stdout);
    assert!(!isolated.contains("isolation transformer"), "{isolated}");
}

/// A reading that the supply does not give is said once, in text and in JSON; one
/// within meter and model is not.
#[test]
fn a_reading_that_the_supply_contradicts() {
    let said = |volts: &str| {
        let to = format!("volts = \"{volts}\"");
        let folder = changed("job1", "volts = \"313 V\"", &to);
        let job = folder.path().to_str().unwrap().to_owned();
        let text = recan(&["sets", "--job", &job]).stdout;
        let notices = recan(&["sets", "--job", &job, "--format", "json"]).json()["notices"].clone();
        (text.matches("Disagree").count(), notices.to_string())
    };
    // The supply gives 313 V.
    let (lines, notices) = said("400 V");
    assert!(lines >= 1 && notices.contains("B1 reads 400 V"), "{lines} {notices}");
    let (lines, notices) = said("320 V");
    assert!(!notices.contains("the supply gives"), "{lines} {notices}");
    let job = ["check", "--job", JOB_1, "--volts", "half-round=600V", "--format", "json"];
    let notices = recan(&[&job, &FIT[..]].concat()).json()["notices"].to_string();
    assert!(notices.contains("reads 600 V"), "{notices}");
    let can = ["sets", "40 MFD 450 V", "--volts", "1=460V", "--format", "json"];
    let notices = recan(&can).json()["notices"].to_string();
    assert!(notices.contains("over the 450 V stamped"), "{notices}");
    let can = ["sets", "40 MFD 450 V", "--volts", "1=440V", "--format", "json"];
    assert!(!recan(&can).json()["notices"].to_string().contains("stamped"));
}

/// Of several misses by one rule about the whole set, text shows the one of each
/// kind with least else against it; JSON has them all.
#[test]
fn nearest_misses_that_differ() {
    let document = recan(&["sets", "--job", JOB_5, "--format", "json"]).json();
    let misses = document["nearest_misses"].as_array().unwrap();
    assert_eq!(misses.len(), 3);
    let fails = |miss: &Value| {
        let sections = miss["set"]["sections"].as_array().unwrap().iter();
        let of_sections = sections.flat_map(|s| s["findings"].as_array().unwrap());
        let all = of_sections.chain(miss["set"]["findings"].as_array().unwrap());
        all.filter(|f| f["verdict"] == "fail").count()
    };
    assert_eq!(misses[0]["rule"], "bplus");
    assert!(misses.iter().all(|miss| fails(&misses[0]) <= fails(miss)));
    assert_ne!(misses[0]["set"]["kind"], misses[1]["set"]["kind"]);
    let text = recan(&["sets", "--job", JOB_5]).stdout;
    assert_eq!(text.matches("Nearest").count(), 2, "{text}");
}

/// Where the best set needs series pairs, the best without them is shown as well.
#[test]
fn beside_series_pairs_the_best_without() {
    let list = "part,style,sections,tolerance\nA,radial,22 µF 450 V,±20 %\n\
                B,radial,47 µF 450 V,±20 %\nC,radial,100 µF 450 V,±20 %\n\
                E,radial,22 µF 50 V,±20 %\n";
    let folder = tempfile::tempdir().unwrap();
    let stock = folder.path().join("stock.csv");
    std::fs::write(&stock, list).unwrap();
    let stock = ["--stock", stock.to_str().unwrap(), "--draws", "0"];
    let text = recan(&[&["sets", "--job", JOB_1], &stock[..]].concat()).stdout;
    assert!(text.contains("in series") && text.contains("no series pair"), "{text}");
    assert!(text.contains("cold-start"), "{text}");
    let sets = sets(&stock)["sets"].as_array().unwrap().clone();
    let is_plain = |set: &&Value| {
        set["sections"].as_array().unwrap().iter().all(|s| s["connection"] != "series")
    };
    let plain = sets.iter().find(is_plain).unwrap();
    assert_eq!((&plain["verdict"], &plain["bodies"]), (&"caution".into(), &4.into()));
    let sections = plain["sections"].as_array().unwrap().iter();
    let values: Vec<f64> = sections.map(|s| s["capacitance_uf"].as_f64().unwrap()).collect();
    assert_eq!(values, [47.0, 22.0, 22.0, 22.0]);
    let ranks: Vec<u64> = sets.iter().map(|set| set["rank"].as_u64().unwrap()).collect();
    assert_eq!(ranks, (1..=sets.len() as u64).collect::<Vec<_>>());
}

/// The limits that `supply` prints are those that `check` judges by.
#[test]
fn one_figure_for_each_limit() {
    for (name, fit) in GOOD {
        let job = format!("{}/data/jobs/{name}", env!("CARGO_MANIFEST_DIR"));
        let supply = recan(&["supply", "--job", &job, "--format", "json"]).json();
        let limits = &supply["rectifier"]["limits"];
        let check = checked(name, fit, &["--format", "json"]).json();
        let findings = check["set"]["findings"].as_array().unwrap();
        let limit = |rule: &str, side: &str| {
            findings.iter().find(|f| f["rule"] == rule).and_then(|f| f[side].as_f64())
        };
        let pairs = [
            ("rectifier-peak", "limit_high", "peak_a"),
            ("rectifier-dc", "limit_high", "dc_output_a"),
            ("rectifier-ac-volts", "limit_high", "ac_v"),
            ("source-resistance", "limit_low", "least_source_ohm"),
        ];
        for (rule, side, key) in pairs {
            let (judged, shown) = (limit(rule, side), limits[key].as_f64());
            let same = match (judged, shown) {
                (Some(judged), Some(shown)) => (judged - shown).abs() < 1e-5 * judged.abs(),
                (one, other) => one == other,
            };
            assert!(same, "{name} {rule}: {judged:?} judged, {shown:?} shown");
        }
    }
}

/// A can whose negative is not the chassis says where it goes, and how far below.
#[test]
fn where_negatives_go() {
    let text = |name: &str, fit: &[&str]| unwrapped(&checked(name, fit, &[]).stdout);
    let field = text("job3", GOOD[2].1);
    assert!(field.contains("72 V below the chassis") && field.contains("-72 V"), "{field}");
    let floating = text("job2", GOOD[1].1);
    assert!(floating.contains("negative to B-, never to the chassis"), "{floating}");
    assert!(floating.contains("isolation transformer"), "{floating}");
    assert!(!text("job1", GOOD[0].1).contains("Wiring"));
    let stacked = text("full-wave-doubler", &["half-round=100/400", "square=100/400"]);
    assert!(stacked.contains("half-round: negative to the middle of the doubler"), "{stacked}");
    assert!(stacked.contains("square: negative to B-"), "{stacked}");
    let full = unwrapped(&checked("job2", GOOD[1].1, &["--explain"]).stdout);
    assert!(full.contains("never left in parallel"), "{full}");
}
