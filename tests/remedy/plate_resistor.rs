//! Scenario 5 of the reference (invented; computed by a transient integration of
//! its own): 150 Ω in each plate lead gives 339, 308 and 240 V, each carries about
//! 210 mA rms, 6.5 W, fit 15 W; 100 Ω gives 359 V.

use recan::{
    chassis::{Chassis, End},
    quantity::{in_amperes, in_ohms, in_volts, in_watts, ohms, volts},
    remedy::PlateResistors,
};

use crate::job::{chassis, example};

/// The scenario with the loads that its remedy leaves.
fn amplifier() -> Chassis {
    let text = example("job5").replace("load = \"168 mA\"", "load = \"155 mA\"");
    let text = text.replace("load = \"23 mA\"", "load = \"21 mA\"");
    let text = text.replace("load = \"11 mA\"", "load = \"10 mA\"");
    let without = |text: String, v: &str| text.replace(&format!("volts = \"{v} V\""), "");
    chassis(&without(without(without(text, "402"), "368"), "293"))
}

fn remedy(chassis: &Chassis) -> PlateResistors {
    let stamped = chassis.stamped();
    PlateResistors::to_original(chassis, &stamped, &stamped, End::Nominal).unwrap().unwrap()
}

#[test]
fn silicon_in_place_of_a_tube() {
    let found = remedy(&amplifier());
    assert_eq!((in_ohms(found.each), found.quantity), (150.0, 2), "{found:?}");
    let nodes: Vec<f64> = found.nodes.iter().map(|v| in_volts(*v)).collect();
    for (node, expected) in nodes.iter().zip([339.0, 308.0, 240.0]) {
        assert!((node / expected - 1.0).abs() < 0.01, "{nodes:?}");
    }
    assert!((in_volts(found.target) / 338.0 - 1.0).abs() < 0.01, "{:?}", found.target);
    assert!((in_amperes(found.current) / 0.210 - 1.0).abs() < 0.05, "{:?}", found.current);
    assert!((in_watts(found.power) / 6.5 - 1.0).abs() < 0.1, "{:?}", found.power);
    assert_eq!(found.rating.map(in_watts), Some(15.0));
}

/// The example as it stands, with the loads read on silicon, comes to the same
/// resistor: 222 mA make 7.4 W, of which twice is 14.7 W.
#[test]
fn with_the_loads_as_read() {
    let found = remedy(&chassis(&example("job5")));
    assert_eq!((in_ohms(found.each), found.rating.map(in_watts)), (150.0, Some(15.0)), "{found:?}");
}

/// What it finds to the volt really gives the volt.
#[test]
fn the_exact_ohms_meet_the_target() {
    let chassis = amplifier();
    let found = PlateResistors::to(&chassis, &chassis.stamped(), End::Nominal, volts(359.0));
    let found = found.unwrap().unwrap();
    assert_eq!(in_ohms(found.each), 100.0, "{found:?}");
    let at = |ohm| {
        let with = chassis.with_added(ohms(ohm));
        let solved = with.solve(chassis.line(), &chassis.stamped(), End::Nominal).unwrap();
        in_volts(solved.steady.nodes[0].dc)
    };
    assert!((at(in_ohms(found.exact)) - 359.0).abs() < 0.01);
}

#[test]
fn nothing_to_mend() {
    let amplifier = amplifier();
    let stamped = amplifier.stamped();
    let to =
        |target| PlateResistors::to(&amplifier, &stamped, End::Nominal, volts(target)).unwrap();
    assert_eq!(to(500.0), None);
    assert_eq!(to(0.0), None);
    assert_eq!(to(f64::NAN), None);
    // Fitted with what it was made with.
    let console = chassis(&example("job1"));
    let stamped = console.stamped();
    let found = PlateResistors::to_original(&console, &stamped, &stamped, End::Nominal);
    assert_eq!(found.unwrap(), None);
}
