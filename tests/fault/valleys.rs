//! Where more than one state of the can shows the same readings.

use recan::{
    chassis::{Chassis, Fitted},
    fault::{Condition, Diagnosis, GoodPart, Standing, diagnose},
    job::{Job, Meter, MeterKind},
    quantity::{amperes, in_amperes, in_microfarads, in_volts},
    supply::steady,
};

use crate::{
    bench::{Instrument, capacitor, circuit, example, job, with_readings},
    chance::Chance,
};

const EXACT: Instrument = Instrument { kind: MeterKind::TrueRms, ac: 0.0, dc: 0.0 };
const FAILED: Standing = Standing::Is(Condition::Failed);

/// What is found with readings of these parts, each load times `drawn`.
fn found(job: &Job, chassis: &Chassis, fitted: &Fitted, drawn: f64) -> Diagnosis {
    let mut circuit = circuit(chassis, fitted);
    for node in &mut circuit.nodes {
        node.load = amperes(drawn * in_amperes(node.load));
    }
    let mut read = with_readings(job, &circuit, EXACT, &mut Chance::new(1)).unwrap();
    read.measured.as_mut().unwrap().meter =
        Meter { kind: Some(MeterKind::TrueRms), error: Some(0.01) };
    diagnose(&read, &Chassis::of(&read).unwrap(), GoodPart::default()).unwrap()
}

#[track_caller]
fn check_inside(found: &Diagnosis, section: usize, true_uf: f64) {
    assert_eq!(found.sections[section].standing, FAILED, "{:?}", found.explanations);
    let range = found.sections[section].left.unwrap().capacitance;
    let (low, high) = (in_microfarads(range.low), in_microfarads(range.high));
    assert!((low..=high).contains(&true_uf), "{true_uf} µF: {low} to {high} µF");
}

/// Half-wave silicon, choke behind the reservoir; invented.
const CHOKE: &str = r#"
[[can]]
stamping = "40-40 MFD 300 V"
[mains]
volts = "120 V"
frequency = "60 Hz"
[rectifier]
circuit = "half-wave"
device = "silicon"
supply_resistance = "10 Ω"
[[node]]
name = "B1"
section = "1"
load = "10 mA"
[[node]]
name = "B2"
from = "B1"
choke = "2 H"
choke_resistance = "60 Ω"
section = "2"
load = "50 mA"
"#;

/// A choke and what is left of the section behind it ring: the hum is the same on both
/// sides, of the line's frequency or of twice that.
#[test]
fn both_sides_of_where_a_choke_rings() {
    let job = job(CHOKE);
    let chassis = Chassis::of(&job).unwrap();
    for left in [2.2, 2.5, 3.0, 4.0, 5.0, 6.0] {
        let fitted = chassis.stamped().with(1, capacitor(left, 2.0));
        let found = found(&job, &chassis, &fitted, 1.0);
        check_inside(&found, 1, left);
        assert_ne!(found.sections[0].standing, FAILED, "{left} µF: {:?}", found.explanations);
    }
}

/// Tubes that a dry reservoir starves draw less than was told: how much less is not
/// known, and the range holds both ends.
#[test]
fn starved_tubes_draw_less_than_told() {
    for (name, left) in [("job1", 1.5), ("job2", 4.0), ("job5", 2.0)] {
        let job = job(&example(name));
        let chassis = Chassis::of(&job).unwrap();
        let fitted = chassis.stamped().with(0, capacitor(left, 3.0));
        let dc = |drawn: f64| {
            let mut circuit = circuit(&chassis, &fitted);
            circuit.nodes.iter_mut().for_each(|n| n.load = amperes(drawn * in_amperes(n.load)));
            steady(&circuit).map(|state| in_volts(state.nodes[0].dc)).unwrap_or_default()
        };
        let due = in_volts(steady(&circuit(&chassis, &chassis.stamped())).unwrap().nodes[0].dc);
        // As volts fall so does the current, in proportion: solved by repeating.
        let drawn = (0..60).fold(0.6, |drawn, _| 0.5 * drawn + 0.5 * dc(drawn) / due);
        assert!(drawn < 0.9, "{name}: {drawn}");
        check_inside(&found(&job, &chassis, &fitted, drawn), 0, left);
    }
}

/// A lead that is off leaves nothing, also behind a resistor that is large against a
/// hundredth of the section.
#[test]
fn a_section_that_is_open() {
    let text = example("job1").replace("resistor = \"10 kΩ\"", "resistor = \"22 kΩ\"");
    let job = job(&text.replace("load = \"6 mA\"                  # driver", "load = \"2 mA\""));
    let chassis = Chassis::of(&job).unwrap();
    let fitted = chassis.stamped().with(2, capacitor(1e-4, 1.0));
    let found = found(&job, &chassis, &fitted, 1.0);
    assert!(!found.unexplained, "{:?}", found.explanations);
    assert_eq!(found.sections[2].standing, FAILED, "{:?}", found.explanations);
    assert!(found.failed().count() == 1, "{:?}", found.explanations);
}

/// A television supply with a full-wave doubler, invented.
const DOUBLER: &str = r#"
[[can]]
stamping = "80 MFD 200 V\n80 MFD 200 V\n20 MFD 350 V"
[mains]
volts = "118 V"
frequency = "60 Hz"
[rectifier]
circuit = "full-wave-doubler"
device = "silicon"
supply_resistance = "6 Ω"
[rectifier.upper]
section = "1"
[rectifier.lower]
section = "2"
[[node]]
name = "top"
load = "60 mA"
[[node]]
name = "B2"
from = "top"
resistor = "470 Ω"
section = "3"
load = "40 mA"
"#;

/// Beside one dry capacitor of a doubler's stack the other hardly shows at the top: it
/// is not cleared. Where both are dry the readings don't tell which is the drier, and
/// both ranges hold both.
#[test]
fn the_other_capacitor_of_a_stack() {
    let job = job(DOUBLER);
    let chassis = Chassis::of(&job).unwrap();
    let one = chassis.stamped().with(0, capacitor(4.0, 1.0)).with(1, capacitor(32.0, 1.0));
    let found_one = found(&job, &chassis, &one, 1.0);
    for of in &found_one.sections[..2] {
        assert_ne!(of.standing, Standing::Is(Condition::Sound), "{:?}", found_one.explanations);
    }
    let both = chassis.stamped().with(0, capacitor(3.0, 1.0)).with(1, capacitor(15.0, 1.0));
    let found_both = found(&job, &chassis, &both, 1.0);
    check_inside(&found_both, 0, 3.0);
    check_inside(&found_both, 1, 15.0);
}
