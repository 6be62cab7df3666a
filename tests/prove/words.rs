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

/// A bridge has no second plate, centre tap or socket.
#[test]
fn one_diode_pair_of_a_bridge() {
    let text = r#"
[[can]]
stamping = "50+50 µF 350 V"
negative = "chassis"
[mains]
volts = "226 V"
frequency = "50 Hz"
[rectifier]
circuit = "bridge"
device = "silicon"
winding = "210 V"
winding_at = "226 V"
winding_resistance = "40 Ω"
primary_resistance = "25 Ω"
[[node]]
section = "1"
load = "50 mA"
[[node]]
from = "B1"
resistor = "1 kΩ"
section = "2"
load = "20 mA"
[after]
dc = { B1 = "253.2 V", B2 = "233.2 V" }
hum = { B1 = "7 V", B2 = "0.3985 V" }
hum_frequency = "50 Hz"
"#;
    let found = proof(text);
    let says = &found.suspects[0].says;
    assert!(says.starts_with("one diode pair of the bridge gives nothing"), "{says}");
    assert!(!says.contains("plate") && !says.contains("tap"), "{says}");
}

#[test]
fn line_hum_at_two_lugs_with_dc_right() {
    let found = checks(
        "dc = { B1 = \"313 V\", B2 = \"295 V\", B3 = \"235 V\" }\n\
         hum = { B2 = \"0.8 V\", B3 = \"0.9 V\" }\nhum_frequency = \"60 Hz\"\n",
    );
    assert!(!found.contains("plate") && !found.contains("here alone"), "{found}");
    assert!(found.contains("DC right: heater-cathode leakage"), "{found}");
}

/// Both lugs of a field coil in the negative lead read from the chassis.
#[test]
fn a_field_coils_first_lug_read_from_the_chassis() {
    let whole = proof(&example("job3"));
    let due = |node: usize| {
        let is = |row: &&recan::prove::Row| {
            (row.expected.place, row.expected.what)
                == (recan::predict::Spot::Node(node), recan::predict::What::Dc)
        };
        whole.rows.iter().find(is).unwrap().expected.value
    };
    let found = |first: f64| {
        let dc = format!("dc = {{ B1 = \"{first:.1} V\", B2 = \"{:.1} V\" }}", due(1));
        proof(&format!("{}\n[after]\n{dc}\n", example("job3")))
    };
    assert!(found(due(1)).first.iter().any(|says| says.contains("its own negative")));
    assert!(found(due(0)).first.is_empty());
}

#[test]
fn a_capacitor_ahead_of_a_choke_input() {
    let text = r#"
[[can]]
stamping = "30 MFD 475 V"
negative = "chassis"
[mains]
volts = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave"
device = "5U4-GB"
winding = "420 V"
winding_at = "120 V"
winding_resistance = "70 Ω"
primary_resistance = "2 Ω"
[[node]]
name = "in"
[[node]]
name = "B1"
from = "in"
choke = "8 H"
choke_resistance = "140 Ω"
section = "1"
load = "112 mA"
bleeder = "20 kΩ"
[after]
dc = { in = "461.7 V", B1 = "442.9 V" }
"#;
    let found = proof(text);
    let off: Vec<_> = found.rows.iter().filter(|row| row.is_off()).collect();
    assert!(off.len() == 2, "{off:?}");
    for row in off {
        assert!(row.checks[0].contains("fitted ahead of the choke?"), "{:?}", row.checks);
    }
}
