//! `check` on one screen, and what stands beside every answer of a job.

use super::{job_answers::JOB_1, prove::FIT, recan};

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
        let run = checked(name, fit, &["--draws", "200"]);
        let text = &run.stdout;
        assert!(text.lines().count() <= 30, "{name}:\n{text}");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{name}:\n{text}");
        for part in ["Will it do?   ", "Next  ", "Danger  ", "stamped"] {
            assert!(text.contains(part), "{name}: no {part}\n{text}");
        }
        let full = checked(name, fit, &["--explain", "--draws", "200"]).stdout;
        assert!(full.contains("source: ") && full.contains("tolerance"), "{name}:\n{full}");
        insta::assert_snapshot!(format!("check_{name}"), run.screen());
    }
}

/// A bad one keeps to one screen as well.
#[test]
fn a_bad_one_stays_readable() {
    let parts = ["47/350", "47/350 + 22/200", "100/200", "10/16"];
    let marks = ["square", "half-round", "triangle", "plain"];
    let fit: Vec<String> = marks.iter().zip(parts).map(|(m, p)| format!("{m}={p}")).collect();
    let fit: Vec<&str> = fit.iter().map(String::as_str).collect();
    let run = checked("job1", &fit, &["--draws", "200"]);
    assert_eq!(run.code, 1);
    assert!(run.stdout.lines().count() <= 30, "{}", run.stdout);
    insta::assert_snapshot!("check_much_fails", run.screen());
}

/// Parts of which the list has too few stand on a line of their own.
#[test]
fn a_shortage_has_its_line() {
    let folder = tempfile::tempdir().unwrap();
    let stock = folder.path().join("stock.csv");
    std::fs::write(&stock, "part,style,sections,quantity\nR,axial,22 µF 500 V,1\n").unwrap();
    let fit = ["half-round=47/500", "square=R", "triangle=R", "plain=22/50"];
    let more = ["--draws", "0", "--stock", stock.to_str().unwrap()];
    let text = checked("job1", &fit, &more).stdout;
    assert!(text.lines().any(|line| line == "Too few       2 of R needed, 1 in stock"), "{text}");
}

/// One figure of lethal volts for one supply, whoever shows it.
#[test]
fn lethal_volts_agree() {
    for name in ["job1", "job2", "job3", "job4", "job5", "choke-input"] {
        let folder = format!("{}/data/jobs/{name}", env!("CARGO_MANIFEST_DIR"));
        let volts = |command: &str| {
            let text = recan(&[command, "--job", &folder]).stdout;
            let (_, rest) = text.split_once("p to ").unwrap_or_else(|| panic!("{text}"));
            rest.split_once(" V").unwrap().0.to_owned()
        };
        assert_eq!(volts("supply"), volts("sets"), "{name}");
    }
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
    assert!(
        recan(&["sets", "--job", job]).stdout.starts_with("With care: switch-on volts not known")
    );
}

/// Assumptions of the supply are in every answer.
#[test]
fn what_the_supply_rests_on() {
    let folder = changed("job1", "construction = \"isolated\"\n", "");
    let job = folder.path().to_str().unwrap();
    let sets = recan(&["sets", "--job", job, "--format", "json"]).json();
    let check = recan(&[&["check", "--job", job, "--format", "json"], &FIT[..]].concat()).json();
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
        assert!(text.lines().count() <= 24, "{text}");
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

/// The limits that `supply` prints are those that `check` judges by.
#[test]
fn one_figure_for_each_limit() {
    for (name, fit) in GOOD {
        let job = format!("{}/data/jobs/{name}", env!("CARGO_MANIFEST_DIR"));
        let supply = recan(&["supply", "--job", &job, "--format", "json"]).json();
        let limits = &supply["rectifier"]["limits"];
        let check = checked(name, fit, &["--format", "json", "--draws", "0"]).json();
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
    let text = |name: &str, fit: &[&str]| unwrapped(&checked(name, fit, &["--draws", "0"]).stdout);
    let field = text("job3", GOOD[2].1);
    assert!(field.contains("72 V below the chassis") && field.contains("-72 V"), "{field}");
    let floating = text("job2", GOOD[1].1);
    assert!(floating.contains("negative to B-, never to the chassis"), "{floating}");
    assert!(floating.contains("isolation transformer"), "{floating}");
    assert!(!text("job1", GOOD[0].1).contains("Wiring"));
    let stacked = text("full-wave-doubler", &["half-round=100/400", "square=100/400"]);
    assert!(stacked.contains("half-round: negative to the middle of the doubler"), "{stacked}");
    assert!(stacked.contains("square: negative to B-"), "{stacked}");
    let full = unwrapped(&checked("job2", GOOD[1].1, &["--explain", "--draws", "0"]).stdout);
    assert!(full.contains("never left in parallel"), "{full}");
}

/// Hum is worst at one line of the two; where that is not the one of the table, the
/// finding says so, and else its figures are the table's.
#[test]
fn hum_names_its_line() {
    let mut named = 0;
    for (name, fit) in GOOD {
        let check = checked(name, fit, &["--format", "json", "--draws", "0"]).json();
        let nodes = check["supply"]["substitute"]["nodes"].as_array().unwrap().clone();
        for section in check["set"]["sections"].as_array().unwrap() {
            let findings = section["findings"].as_array().unwrap();
            let Some(hum) = findings.iter().find(|f| f["rule"] == "hum") else { continue };
            let says = hum["says"].as_str().unwrap();
            let node = nodes.iter().find(|node| node["section"] == section["section"]).unwrap();
            let volts = node["ripple_rms_v"].as_f64().unwrap();
            let (figure, rest) = says.split_once(" of hum at ").unwrap();
            if rest.contains("V line") {
                named += 1;
                continue;
            }
            let (figure, unit) = figure.split_once(' ').unwrap();
            let scale = match unit {
                "V" => 1.0,
                "mV" => 1e-3,
                "µV" => 1e-6,
                other => panic!("{other}"),
            };
            let said = scale * figure.parse::<f64>().unwrap();
            assert!((said / volts - 1.0).abs() < 5e-3, "{name}: {says}, table {volts}");
        }
    }
    assert!(named > 0, "no hum is worst at high line");
}

/// A what-if above what the rectifier's sheet allows behind it says so.
#[test]
fn a_ceiling_in_what_if() {
    let says = |change: &str| {
        recan(&["supply", "--job", JOB_1, "--what-if", change]).stdout.contains("Ceiling")
    };
    assert!(says("square=47uF"));
    assert!(!says("square=22uF"));
    assert!(!says("half-round=100uF"));
}
