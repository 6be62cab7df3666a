//! Records of an earlier program, worked out again by this one.

use std::fs;

use recan::report::record::check_documents::{ChangeDoc, RecordCheckDoc};

use crate::{
    again::{at, changes, check, supplied},
    run::recan,
};

/// What an earlier program listed among the facts of a record: no key of the job
/// file under its own name, and nothing that was assumed of the supply. Where the job
/// file tells of the whole set, it stood under the names that flags have.
fn as_early(record: &mut serde_json::Value) {
    let facts = record["facts"].as_array_mut().unwrap();
    let fact = |what: &str, says: &str, from: &str| serde_json::json!({ "what": what, "section": null, "says": says, "from": from });
    facts.retain(|fact| {
        fact["section"].is_u64()
            || ["construction", "negative", "rectifier circuit", "first capacitor"]
                .contains(&fact["what"].as_str().unwrap())
    });
    for of in facts.iter_mut().filter(|of| of["what"] == "role") {
        of["from"] = "told".into();
    }
    facts.push(fact("rectifier", "5Y3-GT", "told"));
    facts.push(fact("line frequency", "60 Hz", "told"));
    facts.push(fact("line", "122 V", "measured"));
    for key in ["assumed", "notices"] {
        record[key] = serde_json::json!([]);
    }
}

/// A record as an earlier program wrote it: made from a present one by taking away
/// what is newly listed ([`as_early`]), since no such program is kept.
#[test]
fn what_an_earlier_record_does_not_list_is_no_change() {
    let dir = supplied();
    let folder = dir.path().join("records/0001");
    let text = fs::read_to_string(folder.join("record.json")).unwrap();
    let mut early: serde_json::Value = serde_json::from_str(&text).unwrap();
    let count = |record: &serde_json::Value| record["facts"].as_array().unwrap().len();
    let now = count(&early);
    as_early(&mut early);
    assert!(count(&early) + 10 < now, "{} of {now}", count(&early));
    let file = dir.path().join("early.json");
    let job = dir.path().to_str().unwrap();
    fs::write(&file, early.to_string()).unwrap();
    for more in [&[][..], &["--job", job]] {
        let found = check(&file, more, 0);
        assert_eq!(found.not_compared.len(), 1, "{found:?}");
        let says = &found.not_compared[0];
        assert!(says.contains("facts (") && says.contains("assumption"), "{says}");
    }
    // A value that it does list and that came out otherwise is a change.
    let fact = |what: &str| {
        let facts = early["facts"].as_array().unwrap();
        facts.iter().position(|fact| fact["what"] == what).unwrap().to_string()
    };
    for (what, says) in [("line", "111 V"), ("rectifier", "5U4-G"), ("role", "decoupling")] {
        let mut other = early.clone();
        *at(&mut other, &["facts", &fact(what), "says"]) = says.into();
        fs::write(&file, other.to_string()).unwrap();
        let found = changes(&check(&file, &[], 1));
        assert!(
            found.len() == 1
                && found[0].starts_with(&format!("record fact {what}"))
                && found[0].contains(&format!(": {says} (")),
            "{found:?}"
        );
    }
    // So is an assumption that is not made any more, and a key of today's job.
    let mut other = early.clone();
    other["assumed"] = serde_json::json!([{ "says": "line taken as 90 V", "section": null }]);
    fs::write(&file, other.to_string()).unwrap();
    let found = changes(&check(&file, &[], 1));
    assert!(found.len() == 1 && found[0].contains("line taken as 90 V → "), "{found:?}");
    fs::write(&file, early.to_string()).unwrap();
    let text = fs::read_to_string(dir.path().join("job.toml")).unwrap();
    fs::write(
        dir.path().join("job.toml"),
        text.replacen("[mains]\nvolts = \"122 V\"", "[mains]\nvolts = \"121.9 V\"", 1),
    )
    .unwrap();
    let found = changes(&check(&file, &["--job", job], 1));
    let says = "job fact mains, AC volts rms at the bench: 122 V (measured) → 121.9 V (measured)";
    assert!(found.iter().any(|c| c == says), "{found:?}");
}

/// A record that was kept: job 1 with the facts and remarks taken away that an
/// earlier program did not list. Its rules may have changed since, its facts not.
#[test]
fn a_kept_record_of_an_earlier_program() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/record/data/record-2-early.json");
    let mut command = recan(["record", "check"]);
    let output = command.arg(file).args(["--format", "json"]).output().unwrap();
    let found: RecordCheckDoc = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(output.status.code(), Some(i32::from(!found.same)));
    let of_facts = |c: &&ChangeDoc| ["fact", "reading"].contains(&c.what.as_str());
    assert_eq!(found.changes.iter().filter(of_facts).count(), 0, "{found:?}");
    assert_eq!(found.not_compared.len(), 1, "{found:?}");
}
