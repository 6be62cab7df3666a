//! Readings that are no proof, and readings that say nothing.

use recan::{
    prove::{NoProof, Outcome, Verdict},
    quantity::in_volts,
};

use super::bench::{example, proof};

/// The first example job with this under `[after]`.
fn after(text: &str) -> Outcome {
    proof(&format!("{}\n[after]\n{text}", example("job1"))).outcome
}

const READINGS: &str = "dc = { B1 = \"313 V\" }\n";

#[track_caller]
fn check(keys: &str, expected: &str) {
    let outcome = after(&format!("{keys}\n{READINGS}"));
    let found = match outcome {
        Outcome::NoProof(why) => why.to_string(),
        other => other.name().to_owned(),
    };
    assert_eq!(found, expected);
}

#[test]
fn a_lamp_is_no_proof() {
    check(
        "supply = \"lamp 60 W\"",
        "read behind a series lamp of 60 W: it takes volts from the set",
    );
    check("supply = \"lamp\"", "read behind a series lamp: it takes volts from the set");
    check(
        "supply = \"lamp 60 W\"\nline = \"122 V\"",
        "read behind a series lamp of 60 W: it takes volts from the set",
    );
}

/// What a variac gives follows from nothing else that is told.
#[test]
fn a_variac_of_unknown_volts_is_no_proof() {
    check(
        "supply = \"variac\"",
        "read behind a variac, and the line behind it is not told: read it there (`line`)",
    );
    check("supply = \"variac\"\nline = \"122 V\"", "agree");
}

/// 90 % of 122 V is 109.8 V.
#[test]
fn low_line_is_no_proof() {
    check(
        "supply = \"variac\"\nline = \"109 V\"",
        "read at 109 V on the line, less than 90 % of 122 V: tubes are not warm and draw less",
    );
    check(
        "line = \"60 V\"",
        "read at 60 V on the line, less than 90 % of 122 V: tubes are not warm and draw less",
    );
    let outcome = after("supply = \"variac\"\nline = \"110 V\"\ndc = { B1 = \"278 V\" }\n");
    assert_eq!(outcome, Outcome::Judged(Verdict::Agree), "a variac at 90 % or more");
}

#[test]
fn the_old_can_is_no_proof() {
    check(
        "can = \"faulty\"",
        "read with the faulty can in circuit: [after] is for the parts that replace it",
    );
    check(
        "can = \"bridged\"",
        "read with capacitors clipped across the parts, which hide what the parts do",
    );
    check("can = \"disconnected\"", "agree");
}

/// Predictions are then those of the full line, and nothing is judged.
#[test]
fn no_proof_shows_what_to_expect_at_full_line() {
    let text =
        format!("{}\n[after]\nline = \"60 V\"\ndc = {{ B1 = \"150 V\" }}\n", example("job1"));
    let proof = proof(&text);
    assert!(matches!(proof.outcome, Outcome::NoProof(NoProof::LowLine { .. })));
    assert!((in_volts(proof.line) - 122.0).abs() < 1e-9);
    assert!((in_volts(proof.read_at) - 60.0).abs() < 1e-9);
    assert!((proof.rows[0].expected.value / 313.0 - 1.0).abs() < 0.02);
    assert!(proof.rows.iter().all(|row| row.verdict.is_none() && row.checks.is_empty()));
}

#[test]
fn without_readings_they_are_to_take() {
    assert_eq!(proof(&example("job1")).outcome, Outcome::ToTake);
    assert_eq!(after("line = \"122 V\"\n"), Outcome::ToTake);
    assert_eq!(after("line = \"60 V\"\n"), Outcome::ToTake);
}

#[test]
fn hum_at_a_cathode_is_not_judged() {
    let text = format!(
        "{}\n[after]\ndc = {{ B1 = \"313 V\" }}\nhum = {{ plain = \"0.1 V\" }}\n",
        example("job1")
    );
    let proof = proof(&text);
    assert_eq!(proof.outcome, Outcome::Judged(Verdict::Agree));
    assert_eq!(proof.unjudged.len(), 1);
    assert_eq!(proof.unjudged[0].name, "plain hum");
}

#[test]
fn a_coarse_meter_proves_nothing() {
    let found = |meter: &str| {
        let text = format!("[after]\nmeter = \"true-rms {meter}\"\ndc = {{ B1 = \"313 V\" }}\n");
        proof(&format!("{}\n{text}", example("job1")))
    };
    let coarse = found("50 %");
    assert_eq!(coarse.outcome, Outcome::Judged(Verdict::Doubtful));
    assert!(coarse.suspects.is_empty());
    let says = "a meter good to 50 % proves nothing: read again with one good to 10 % or better";
    assert_eq!(coarse.first, [says]);
    let fine = found("10 %");
    assert_eq!(fine.outcome, Outcome::Judged(Verdict::Agree));
    assert!(fine.first.is_empty());
}

/// A floating B- read from the chassis: half of what is due.
#[test]
fn dc_from_the_chassis_of_a_floating_set() {
    let whole = proof(&example("job2"));
    let due = |half: f64| {
        let dc = whole.rows.iter().find(|row| row.expected.what == recan::predict::What::Dc);
        let dc = dc.unwrap().expected.value * half;
        proof(&format!("{}\n[after]\ndc = {{ B1 = \"{dc:.1} V\" }}\n", example("job2")))
    };
    assert!(due(0.5).first.iter().any(|first| first.contains("measure from B-")));
    assert!(due(1.0).first.is_empty());
}
