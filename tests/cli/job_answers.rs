//! What `sets` and `check` say of a job whose supply is known. Jobs are invented.

use serde_json::Value;

use super::{contract::keys, prove::FIT, recan};

pub(super) const JOB_1: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/data/jobs/job1");
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
        "chassis",
        "ignored",
        "judged_by",
        "measure_next",
        "nearest_misses",
        "next_readings",
        "notices",
        "questions",
        "schema",
        "search",
        "sets",
        "stamping",
        "stock",
    ];
    assert_eq!(keys(&document), expected);
    let miss = &document["nearest_misses"][0];
    assert_eq!(keys(miss), ["by", "remedy", "rule", "section", "set", "unit"]);
    assert_eq!((&miss["rule"], &miss["unit"]), (&"winding-rms".into(), &"%".into()));
    // Silicon for a 5U4-GB: the remedy has ohms, and what they bring.
    assert!(miss["remedy"].as_str().unwrap().starts_with("150 Ω in each plate lead"));
    let reading = &document["next_readings"][0];
    let expected = [
        "best", "changes", "ends", "key", "needed", "reading", "settles", "turns_at", "verdict",
        "within",
    ];
    assert_eq!(keys(reading), expected);
    assert_eq!(keys(&reading["verdict"]), ["from", "now", "to"]);
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
        "beside",
        "cautions",
        "chassis",
        "ignored",
        "judged_by",
        "measure_next",
        "next_readings",
        "notices",
        "original",
        "questions",
        "remedies",
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
        (&"pass".into(), &"pass".into())
    );
    // What the resistor runs at is the chassis's own whatever is fitted.
    assert!(first["changes"].as_array().unwrap().is_empty());
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
        assert!(text.contains("Next   ") && text.contains("Danger   "), "{name}:\n{text}");
    }
}

/// Where all miss by the same rule about the whole set, text tells it once, with what
/// mends it.
#[test]
fn nearest_misses_that_differ() {
    let document = recan(&["sets", "--job", JOB_5, "--format", "json"]).json();
    let misses = document["nearest_misses"].as_array().unwrap();
    assert!(!misses.is_empty());
    let fails = |miss: &Value| {
        let sections = miss["set"]["sections"].as_array().unwrap().iter();
        let of_sections = sections.flat_map(|s| s["findings"].as_array().unwrap());
        let all = of_sections.chain(miss["set"]["findings"].as_array().unwrap());
        all.filter(|f| f["verdict"] == "fail").count()
    };
    assert_eq!(misses[0]["rule"], "winding-rms");
    assert!(misses.iter().all(|miss| fails(&misses[0]) <= fails(miss)));
    let text = recan(&["sets", "--job", JOB_5]).stdout;
    // One remedy mends them all, and is told once.
    assert!(misses.iter().all(|miss| miss["remedy"].as_str().unwrap().starts_with("150 Ω")));
    assert_eq!(text.matches("150 Ω").count(), 1, "{text}");
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
    assert!(text.contains("in series") && text.contains("across each"), "{text}");
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
