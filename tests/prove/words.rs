//! What to check, as a technician reads it.

use super::bench::{example, proof};

/// The checks of the readings that are off, of the first example job with this
/// under `[after]`.
fn checks(text: &str) -> String {
    let proof = proof(&format!("{}\n[after]\n{text}", example("job1")));
    let off = proof.rows.iter().filter(|row| row.is_off());
    let all = off.flat_map(|row| {
        row.checks
            .iter()
            .map(move |check| format!("{} {}: {check}", row.name(), row.verdict.unwrap().name()))
    });
    all.collect::<Vec<_>>().join("\n")
}

#[test]
fn a_meter_that_shows_the_dc() {
    let found = checks("dc = { B1 = \"313 V\" }\nhum = { B1 = \"347 V\" }\n");
    assert!(
        found.starts_with(
            "B1 square hum disagree: the meter shows the DC: put 0.1 µF film in series"
        ),
        "{found}"
    );
}

#[test]
fn a_dead_node() {
    let found = checks("dc = { B1 = \"318 V\", B2 = \"4 V\" }\n");
    let expected = "B2 half-round DC disagree: B2 half-round: next to no volts: switch off; resistor from \
        B1 open, or a short behind it: measure ohms from lug to negative, new capacitor's polarity first";
    assert!(found.starts_with(expected), "{found}");
}

#[test]
fn cathode_volts_alone() {
    insta::assert_snapshot!(checks("dc = { B1 = \"313 V\", B2 = \"295 V\", B3 = \"235 V\", plain = \"28 V\" }\n"), @"plain DC disagree: plain: higher than before: the tube and its bias, the resistor across it (measure it, set unplugged), leakage of the new part");
}

#[test]
fn line_hum_with_volts_right() {
    let found = checks(
        "dc = { B1 = \"313 V\", B2 = \"295 V\" }\nhum = { B1 = \"6.7 V\", B2 = \"0.2 V\" }\n\
         hum_frequency = \"60 Hz\"\n",
    );
    assert!(found.contains("heater-cathode leakage"), "{found}");
}

#[test]
fn no_hum_at_all() {
    let found = checks("dc = { B1 = \"313 V\" }\nhum = { B1 = \"1 mV\" }\n");
    assert!(found.contains("hum low: meter on its AC range"), "{found}");
}
