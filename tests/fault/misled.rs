//! Readings that mislead: of the wrong place, of the wrong volts, of the meter itself.

use recan::{
    chassis::Chassis,
    fault::{Ask, Beside, Diagnosis, FaultError, GoodPart, Service, diagnose},
    quantity::volts,
    report::fault::{ask, beside, whole},
};

use crate::bench::{example, job};

/// What comes of `readings` under `[measured]` of a job's text.
fn looked(text: &str, readings: &str) -> Result<Diagnosis, FaultError> {
    let head = "[measured]\ncan = \"faulty\"\nmeter = \"true-rms 1 %\"";
    let job = job(&format!("{text}\n{head}\n{readings}\n"));
    diagnose(&job, &Chassis::of(&job).unwrap(), GoodPart::default())
}

/// The same of a set that can be looked at; all sets are invented.
fn look(text: &str, readings: &str) -> Diagnosis {
    looked(text, readings).unwrap()
}

/// What the can does not explain, in words.
fn says(found: &Diagnosis) -> String {
    found.beside.iter().map(|of| beside(of, found.bridge) + "\n").collect()
}

/// Nothing is explained, cleared or condemned, and `first` is asked.
#[track_caller]
fn nothing_follows(found: &Diagnosis, first: Ask) {
    assert_eq!(found.asks, [first]);
    assert!(found.unexplained && whole(found).contains("not explained"), "{}", whole(found));
    assert!(found.sections.iter().all(|s| s.service == Service::Doubtful), "{found:?}");
}

fn full_wave() -> String {
    r#"
[[can]]
stamping = "half-round 30 MFD 450 V\nsquare 20 MFD 450 V\ntriangle 15 MFD 400 V"
negative = "chassis"
[chassis]
construction = "isolated"
heaters = "parallel"
[mains]
volts = "118 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave"
device = "5Y3-GT"
winding = "310 V"
winding_at = "118 V"
winding_resistance = "130 Ω"
primary_resistance = "5 Ω"
[[node]]
name = "B1"
section = "half-round"
load = "42 mA"
[[node]]
name = "B2"
from = "B1"
resistor = "820 Ω"
section = "square"
load = "17 mA"
[[node]]
name = "B3"
from = "B2"
resistor = "15 kΩ"
section = "triangle"
load = "3 mA"
"#
    .into()
}

const BRIDGE: &str = r#"
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
"#;

const CHOKE_INPUT: &str = r#"
[[can]]
stamping = "half-round 30 MFD 475 V\nsquare 30 MFD 475 V"
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
section = "half-round"
load = "100 mA"
bleeder = "20 kΩ"
[[node]]
name = "B2"
from = "B1"
resistor = "3.3 kΩ"
section = "square"
load = "12 mA"
"#;

const FIELD_COIL: &str = r#"
[[can]]
name = "one"
stamping = "16 MFD 475 V"
negative = "centre tap"
[[can]]
name = "two"
stamping = "16 MFD 450 V"
negative = "chassis"
[mains]
volts = "116 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave"
device = "80"
winding = "340 V"
winding_at = "116 V"
winding_resistance = "170 Ω"
primary_resistance = "6 Ω"
[[node]]
name = "B1"
section = "one/1"
[[node]]
name = "B2"
from = "B1"
choke = "15 H"
choke_resistance = "1.2 kΩ"
in_lead = "negative"
section = "two/1"
negative = "chassis"
load = "62 mA"
"#;

const HALF_WAVE: &str = r#"
[[can]]
stamping = "40-40 MFD 250 V"
negative = "B-"
[mains]
volts = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "half-wave"
device = "silicon"
supply_resistance = "1 Ω"
plate_resistor = "10 Ω"
[[node]]
section = "1"
load = "40 mA"
[[node]]
from = "B1"
choke = "2 H"
choke_resistance = "80 Ω"
section = "2"
load = "50 mA"
"#;

#[test]
fn behind_a_variac_the_line_must_be_told() {
    let half = "supply = \"variac\"\ndc = { B1 = \"157 V\" }\nhum = { B1 = \"3.3 V\" }";
    assert_eq!(looked(&example("job1"), half), Err(FaultError::BehindAVariac));
    let told = looked(&example("job1"), &format!("{half}\nline = \"61 V\""));
    assert!(told.is_ok(), "{told:?}");
}

#[test]
fn no_dc_though_it_hums() {
    let found = look(&full_wave(), "dc = { B1 = \"0 V\", B2 = \"0 V\" }\nhum = { B1 = \"3.3 V\" }");
    nothing_follows(&found, Ask::ZeroDc);
    assert!(found.beside.is_empty(), "{:?}", found.beside);
    assert!(ask(Ask::ZeroDc, false).contains("rectifier gives nothing"));
    assert_eq!(found.lugs[0].dc, Some(volts(0.0)));
}

#[test]
fn zero_hum_is_shown_as_it_was_read() {
    let found = look(
        &full_wave(),
        "dc = { B1 = \"328 V\" }\nhum = { B1 = \"3.3 V\", B2 = \"0 V\" }\nhum_frequency = \"120 Hz\"",
    );
    let hum: Vec<_> = found.lugs.iter().map(|lug| lug.hum).collect();
    assert_eq!(hum, [Some(volts(3.3)), Some(volts(0.0)), None]);
}

#[test]
fn what_was_not_read_stands_behind_no_verdict() {
    let found = look(
        &full_wave(),
        "dc = { B1 = \"328.5 V\" }\nhum = { B1 = \"3.251 V\" }\nhum_frequency = \"120 Hz\"",
    );
    let expected = "nothing read speaks against half-round; not judged: square, triangle";
    assert_eq!(whole(&found), expected);
    let all = look(
        BRIDGE,
        "dc = { B1 = \"269 V\" }\nhum = { B1 = \"3.22 V\", B2 = \"95.7 mV\" }\n\
         hum_frequency = \"100 Hz\"",
    );
    assert_eq!(whole(&all), "no section has failed");
}

/// The mean of the DC by the form factor of a sine, and 2.2 times the DC.
#[test]
fn a_meter_that_does_not_keep_dc_out() {
    for hum in [
        "{ B1 = \"364 V\", B2 = \"346 V\", B3 = \"296 V\" }",
        "{ B1 = \"728 V\", B2 = \"692 V\", B3 = \"593 V\" }",
    ] {
        for frequency in ["", "hum_frequency = \"120 Hz\""] {
            let dc = "dc = { B1 = \"328 V\", B2 = \"312 V\" }";
            let found = look(&full_wave(), &format!("{dc}\nhum = {hum}\n{frequency}"));
            nothing_follows(&found, Ask::ShowsDc);
            assert!(found.beside.is_empty(), "{:?}", found.beside);
        }
    }
}

#[test]
fn more_hum_than_ahead_is_not_the_same_hum() {
    let same =
        |found: &Diagnosis| found.beside.iter().any(|of| matches!(of, Beside::SameHum { .. }));
    let far = look(
        HALF_WAVE,
        "dc = { B1 = \"146 V\", B2 = \"142 V\" }\nhum = { B1 = \"12.2 V\", B2 = \"24.8 V\" }\n\
         hum_frequency = \"60 Hz\"",
    );
    assert!(!same(&far), "{:?}", far.beside);
    let dc = "dc = { B1 = \"328.5 V\", B2 = \"312.1 V\", B3 = \"267.1 V\" }";
    let stray = |hum: &str| {
        look(
            &full_wave(),
            &format!("{dc}\nhum = {{ B1 = \"3.3 V\", {hum} }}\nhum_frequency = \"60 Hz\""),
        )
    };
    // Of the heaters, and not alike: the section is not what lets it through.
    assert!(!same(&stray("B2 = \"0.653 V\", B3 = \"0.7 V\"")));
    assert!(same(&stray("B2 = \"0.653 V\", B3 = \"0.65 V\"")));
}

#[test]
fn a_bridge_has_diode_pairs() {
    let readings = |dc: &str| {
        format!(
            "dc = {{ {dc} }}\nhum = {{ B1 = \"7 V\", B2 = \"0.3985 V\" }}\nhum_frequency = \"50 Hz\""
        )
    };
    let found = look(BRIDGE, &readings("B1 = \"253.2 V\", B2 = \"233.2 V\""));
    let all = format!("{}\n{}", whole(&found), says(&found));
    assert!(all.contains("one diode pair of the bridge passes nothing"), "{all}");
    assert!(!all.contains("plate") && !all.contains("winding"), "{all}");
    assert!(!all.contains("DC is as it should be"), "{all}");
    // DC as due is not called low.
    let due = look(BRIDGE, &readings("B1 = \"264 V\", B2 = \"244 V\""));
    assert!(!says(&due).contains("DC low"), "{}", says(&due));
    let not_read = look(BRIDGE, &readings(""));
    let asked: Vec<&str> = not_read.asks.iter().map(|of| ask(*of, not_read.bridge)).collect();
    assert!(!asked.concat().contains("plate"), "{asked:?}");
}

#[test]
fn a_lug_ahead_of_a_coil_in_the_negative_lead_read_from_the_chassis() {
    let read = |ahead: &str| {
        look(
            FIELD_COIL,
            &format!(
                "dc = {{ B1 = \"{ahead}\", B2 = \"274.4 V\" }}\n\
                 hum = {{ B1 = \"0.04374 V\", B2 = \"0.04374 V\" }}\nhum_frequency = \"120 Hz\""
            ),
        )
    };
    nothing_follows(&read("274.4 V"), Ask::OwnNegative);
    assert_ne!(read("349 V").asks, [Ask::OwnNegative]);
}

#[test]
fn a_capacitor_ahead_of_the_choke_is_asked_for() {
    let found = look(
        CHOKE_INPUT,
        "dc = { in = \"461.7 V\", B1 = \"442.9 V\", B2 = \"403.3 V\" }\n\
         hum = { in = \"28.47 V\", B1 = \"0.2024 V\", B2 = \"0.0027 V\" }\nhum_frequency = \"120 Hz\"",
    );
    assert!(matches!(found.beside[..], [Beside::CapacitorAhead { .. }]), "{:?}", found.beside);
    assert!(whole(&found).contains("ahead of the choke"), "{}", whole(&found));
}

#[test]
fn all_dc_low_alike_asks_for_the_line() {
    let low = "dc = { B1 = \"276.9 V\", B2 = \"260.5 V\", B3 = \"215.5 V\" }\n\
        hum = { B1 = \"3.218 V\", B2 = \"0.2531 V\", B3 = \"0.001629 V\" }\nhum_frequency = \"120 Hz\"";
    assert_eq!(look(&full_wave(), low).asks, [Ask::Line]);
    assert!(look(&full_wave(), &format!("{low}\nline = \"118 V\"")).asks.is_empty());
}

#[test]
fn ripple_at_twice_the_line_of_a_half_wave_rectifier() {
    let found = look(
        HALF_WAVE,
        "dc = { B1 = \"146 V\" }\nhum = { B1 = \"10.5 V\" }\nhum_frequency = \"120 Hz\"",
    );
    assert!(
        says(&found).contains("120 Hz is twice the line: full-wave ripple"),
        "{}",
        says(&found)
    );
}

/// 0.5 % of 146 V is 0.73 V.
#[test]
fn a_drop_below_zero_within_the_meters_error_shows_no_current() {
    let readings = |own: &str| {
        format!(
            "{HALF_WAVE}\n[measured]\ndc = {{ B1 = \"146 V\", B2 = \"{own}\" }}\n\
             hum = {{ B1 = \"10.5 V\", B2 = \"0.885 V\" }}\n"
        )
    };
    let read = |own: &str| recan::job::read_safely("job.toml", &readings(own), None);
    assert!(read("146.8 V").is_err());
    let job = read("146.6 V").unwrap();
    let found = diagnose(&job, &Chassis::of(&job).unwrap(), GoodPart::default()).unwrap();
    let told = found.assumed.iter().any(|says| says.contains("no current is known from that drop"));
    assert!(told, "{:?}", found.assumed);
    assert!(found.sections.iter().all(|s| s.leakage.between.is_none()), "{:?}", found.sections);
}
