//! JSON contracts, streams and exit codes of design §3 and §9.

use super::{recan, recan_with};

pub(super) fn keys(value: &serde_json::Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

#[test]
fn sets_document() {
    let run = recan(&["sets", "40-40-20 MFD 450 WVDC / 20 MFD 25 WVDC", "--format", "json"]);
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
    let document = run.json();
    assert_eq!(document["schema"], "recan.sets/1");
    assert_eq!(document["stock"]["source"], "built-in");
    let set = &document["sets"][0];
    assert_eq!(
        keys(set),
        [
            "bodies",
            "closeness",
            "findings",
            "kind",
            "parts",
            "price",
            "rank",
            "sections",
            "study",
            "verdict"
        ]
    );
    // No supply is known: nothing to draw and no reading to weigh.
    assert!(set["study"].is_null() && document["next_readings"].is_null());
    assert_eq!(
        keys(&set["sections"][0]),
        [
            "balance",
            "capacitance_uf",
            "connection",
            "findings",
            "made_of",
            "mark",
            "rated_v",
            "section"
        ]
    );
    assert_eq!(
        keys(&set["sections"][0]["findings"][0]),
        [
            "limit_high",
            "limit_low",
            "rule",
            "says",
            "section",
            "source",
            "unit",
            "value",
            "verdict",
            "working"
        ]
    );
    let made_of = &set["sections"][0]["made_of"][0];
    assert_eq!(keys(made_of), ["or", "part", "part_section"]);
    assert_eq!(document["judged_by"], "stamping");
    assert_eq!(keys(&document["search"]), ["complete", "looked_at", "solves"]);
    assert!(document["chassis"].is_array());
    let can = &document["can"];
    assert_eq!(keys(can), ["insulated", "negative", "positive", "sections"]);
    assert_eq!(can["sections"][0]["capacitance_uf"], 40.0);
    assert_eq!(can["sections"][3]["rated_v"], 25.0);
}

/// Ranks, kinds and the order of the list hang together.
#[test]
fn sets_are_in_order() {
    let arguments = ["sets", "20-20 MFD 450 V", "--show", "20", "--format", "json"];
    let document = recan(&arguments).json();
    let sets = document["sets"].as_array().unwrap();
    assert!(sets.len() >= 20);
    let key = |set: &serde_json::Value| {
        ["pass", "caution"].iter().position(|v| set["verdict"] == *v).unwrap()
    };
    // The best of each kind stand first, among themselves by price.
    for (i, pair) in sets.windows(2).enumerate() {
        assert_eq!(pair[0]["rank"], i + 1);
        assert!(i < 3 || key(&pair[0]) <= key(&pair[1]), "{i}");
    }
}

/// The closeness of design §9, worked out here from the document's own figures.
#[test]
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 10^8")]
fn closeness_is_what_the_design_says() {
    let document = recan(&["sets", "30-16 MFD 450 V", "--format", "json"]).json();
    for set in document["sets"].as_array().unwrap() {
        let old = document["can"]["sections"].as_array().unwrap();
        let new = set["sections"].as_array().unwrap();
        let each = old.iter().zip(new).map(|(old, new)| {
            let ratio =
                new["capacitance_uf"].as_f64().unwrap() / old["capacitance_uf"].as_f64().unwrap();
            (1e6 * ratio.log2().abs()).round() as u64
        });
        assert_eq!(set["closeness"].as_u64().unwrap(), each.sum::<u64>());
    }
}

#[test]
fn read_document() {
    let document =
        recan(&["read", "RED 20 MFD 150V\\nBLACK COMMON NEG", "--format", "json"]).json();
    assert_eq!(document["schema"], "recan.read/1");
    assert_eq!(document["can"]["negative"], "common");
    assert_eq!(document["can"]["sections"][0]["mark"], "red");
    assert_eq!(document["can"]["sections"][0]["surge_v"], serde_json::Value::Null);
}

#[test]
fn check_document() {
    let run = recan(&["check", "40 MFD 450 V", "--fit", "1=47/400", "--format", "json"]);
    assert_eq!(run.code, 1);
    let document = run.json();
    assert_eq!(document["schema"], "recan.check/1");
    assert_eq!(document["set"]["verdict"], "fail");
    let findings = document["set"]["sections"][0]["findings"].as_array().unwrap();
    let rated = findings.iter().find(|f| f["rule"] == "rated-volts").unwrap();
    assert_eq!((&rated["verdict"], &rated["limit_low"]), (&"fail".into(), &450.0.into()));
    assert_eq!(document["original"]["sections"][0]["rated_v"], 450.0);
}

/// Exits 2 and 3 print one error document on stdout and nothing on stderr.
#[test]
fn errors_as_json() {
    let cases: [(&[&str], i32); 6] = [
        (&["read", "", "--format", "json"], 2),
        (&["read", "25/25", "--format=json"], 2),
        (&["sets", "40 MFD 450 V", "--stock", "no such file.csv", "--format", "json"], 3),
        (&["sets", "40 MFD 450 V", "--role", "5=reservoir", "--format", "json"], 2),
        (&["check", "40 MFD 450 V", "--format", "json"], 2),
        (&["nonsense", "--format", "json"], 2),
    ];
    for (arguments, code) in cases {
        let run = recan(arguments);
        assert_eq!((run.code, run.stderr.as_str()), (code, ""), "{arguments:?}");
        let document = run.json();
        assert_eq!(keys(&document), ["help", "questions", "says", "schema", "where"]);
        assert_eq!(document["schema"], "recan.error/1");
    }
}

/// A job file's own errors are in the document: the first as `says`, all under `errors`.
#[test]
fn errors_of_a_job_file_as_json() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.toml");
    std::fs::write(&file, "[[can]]\nstamping = 7\n[mains]\nvolts = \"117 A\"\n").unwrap();
    let run = recan(&["supply", "--job", file.to_str().unwrap(), "--format", "json"]);
    assert_eq!((run.code, run.stderr.as_str()), (2, ""));
    let document = run.json();
    assert_eq!(keys(&document), ["errors", "help", "questions", "says", "schema", "where"]);
    let errors = document["errors"].as_array().unwrap();
    assert_eq!(errors.len(), 2, "{document}");
    let first = errors[0]["says"].as_str().unwrap();
    assert_eq!(document["says"], format!("{first} (and 1 more, see `errors`)"));
    assert_eq!((&document["where"]["line"], &errors[1]["where"]["line"]), (&2.into(), &4.into()));
}

#[test]
fn results_go_to_stdout_and_errors_to_stderr() {
    let run = recan(&["read", "40 MFD 450 V"]);
    assert_eq!((run.code, run.stderr.as_str()), (0, ""));
    let run = recan(&["read", "nothing here"]);
    assert_eq!((run.code, run.stdout.as_str()), (2, ""));
}

#[test]
fn several_lines_stdin_and_a_literal_line_break_are_one() {
    let lines = ["half-round 40 MFD 450 V", "plain 20 MFD 25 V"];
    let several = recan(&["read", lines[0], lines[1]]).stdout;
    assert_eq!(recan_with(&["read", "-"], &lines.join("\n"), None).stdout, several);
    assert_eq!(recan(&["read", &lines.join("\\n")]).stdout, several);
}

#[test]
fn text_that_begins_with_a_hyphen_is_text() {
    let run = recan(&["sets", "- 20 MFD 25 V", "--show", "1", "--format", "json"]);
    assert_eq!(run.code, 0, "{}", run.stdout);
    assert_eq!(run.json()["can"]["sections"][0]["mark"], "plain");
}

#[test]
fn quantity_is_said_in_check_and_binds_in_sets() {
    let folder = tempfile::tempdir().unwrap();
    let list = "part,style,sections,quantity\nONE,radial,47 uF 450 V,1\n";
    std::fs::write(folder.path().join("one.csv"), list).unwrap();
    let fit = [
        "check",
        "40-40 MFD 450 V",
        "--fit",
        "1=ONE",
        "--fit",
        "2=ONE",
        "--stock",
        "one.csv",
        "--format",
        "json",
    ];
    let run = recan_with(&fit, "", Some(folder.path()));
    assert_eq!(run.code, 0);
    let findings = run.json()["set"]["findings"].clone();
    assert!(findings.as_array().unwrap().iter().any(|f| f["rule"] == "quantity"), "{findings}");
    let sets = ["sets", "40-40 MFD 450 V", "--stock", "one.csv", "--format", "json"];
    let run = recan_with(&sets, "", Some(folder.path()));
    assert_eq!(run.code, 1);
    assert_eq!(run.json()["nearest_misses"][0]["rule"], "quantity");
}

/// No colour without a terminal, and the same answer every time.
#[test]
fn output_is_plain_and_stable() {
    let run = recan(&["sets", "40 MFD 450 V"]);
    assert!(!run.stdout.contains('\u{1b}'));
    assert_eq!(run.stdout, recan(&["sets", "40 MFD 450 V"]).stdout);
}
