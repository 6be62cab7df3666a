//! Critical inductance, full-wave: R/(6πf) ("Ripple (electrical)", Wikipedia).

use recan::{
    chassis::{Chassis, End},
    quantity::{in_amperes, in_ohms, in_volts, in_watts},
    remedy::Bleeder,
};

use crate::job::{chassis, example};

/// Invented.
const CHOKE_INPUT: &str = r#"
[mains]
volts = "120 V"
frequency = "60 Hz"
high = "126 V"
[rectifier]
circuit = "full-wave"
device = "5U4-G"
winding = "400 V"
supply_resistance = "100 Ω"
[[node]]
name = "B1"
[[node]]
name = "B2"
from = "B1"
choke = "10 H"
choke_resistance = "100 Ω"
capacitance = "40 µF"
load = "100 mA"
"#;

fn bleeder(chassis: &Chassis) -> Option<Bleeder> {
    Bleeder::new(chassis, &chassis.stamped(), End::Nominal).unwrap()
}

/// By hand: 6π × 60 Hz × 10 H = 11,310 Ω, so 10 kΩ of E12. A choke that chokes
/// gives the mean of the rectified sine, 0.9 × 420 V = 378 V at 126 V line, less
/// some 40 V in tube, winding and choke; without the bleeder it is the peak, 594 V.
#[test]
fn ten_henries() {
    let found = bleeder(&chassis(CHOKE_INPUT)).unwrap();
    assert_eq!((found.node, in_ohms(found.resistance)), (1, 10_000.0));
    assert!((in_ohms(found.most) - 11_309.7).abs() < 0.1, "{:?}", found.most);
    let v = in_volts(found.volts);
    assert!((320.0..385.0).contains(&v), "{v}");
    assert!((in_volts(found.before) - 594.0).abs() < 1.0, "{:?}", found.before);
    assert!((in_amperes(found.current) - v / 10_000.0).abs() < 1e-9);
    assert!((in_watts(found.power) - v * v / 10_000.0).abs() < 1e-9);
    let rated = in_watts(found.rating.unwrap());
    assert!(rated >= 2.0 * in_watts(found.power) && rated <= 50.0, "{rated}");
}

/// What it asks for is enough to be asked for nothing more; half of it is not.
#[test]
fn bleeders_that_are_there_count() {
    let with = |ohms: &str| {
        chassis(&CHOKE_INPUT.replace(
            "[[node]]\nname = \"B2\"",
            &format!("[[node]]\nbleeder = \"{ohms}\"\nname = \"B2\""),
        ))
    };
    assert_eq!(bleeder(&with("10 kΩ")), None);
    // 1/11,310 less 1/20,000 leaves 26,030 Ω.
    let found = bleeder(&with("20 kΩ")).unwrap();
    assert_eq!(in_ohms(found.resistance), 22_000.0, "{found:?}");
    assert!((in_ohms(found.most) / 26_030.0 - 1.0).abs() < 0.01, "{:?}", found.most);
}

#[test]
fn a_capacitor_first_needs_none() {
    for name in ["job1", "job2", "job3", "job4", "job5"] {
        assert_eq!(bleeder(&chassis(&example(name))), None, "{name}");
    }
}
